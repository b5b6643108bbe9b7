//! Which errors of the library mean that somebody asked for what cannot be, rather than that
//! something failed: told once, for every face that has a fault of its own.

/// Hands every error type that can mean bad input to a macro of the caller, each with how to tell:
/// `Error => told,` where `told(&error)` says whether it does.
///
/// ```
/// # #[cfg(all(feature = "log", feature = "paper"))] {
/// enum Fault {
///     Refused(String),
///     Failed(String),
/// }
/// macro_rules! fault {
///     ($($error:ty => $told:expr,)*) => {$(
///         impl From<$error> for Fault {
///             fn from(error: $error) -> Self {
///                 let told: fn(&$error) -> bool = $told;
///                 if told(&error) {
///                     Self::Refused(error.to_string())
///                 } else {
///                     Self::Failed(error.to_string())
///                 }
///             }
///         }
///     )*};
/// }
/// thincut::bad_inputs!(fault);
///
/// let fault = Fault::from("30".parse::<thincut::units::Angle>().unwrap_err());
/// assert!(matches!(fault, Fault::Refused(why) if why.contains("30deg")));
/// # }
/// ```
///
/// Needs the features `log` and `paper`.
#[macro_export]
macro_rules! bad_inputs {
    ($each:ident) => {
        $each!(
            $crate::error::GearError => |_| true,
            $crate::error::UnitError => |_| true,
            $crate::files::FileError => $crate::files::FileError::is_bad_input,
            $crate::pocket::AcceptanceError => |_| true,
            $crate::window::ShotError => |_| true,
            $crate::request::RequestError => |_| true,
            $crate::player::PlayerError => |_| true,
            $crate::player::PlayerRequestError => |_| true,
            $crate::measure::MeasureError => |_| true,
            $crate::game::GameError => |_| true,
            $crate::layout::LayoutError => |_| true,
            $crate::layout::ReachError => |_| true,
            $crate::ladder::LadderError => |_| true,
            $crate::lesson::LessonError => |_| true,
            $crate::aims::AimsError => |_| true,
            $crate::log::LogError => $crate::log::LogError::is_bad_input,
            $crate::log::SolveError => |_| true,
            $crate::log::WhenError => |_| true,
            $crate::charts::ChartError => $crate::charts::ChartError::is_bad_input,
            $crate::draw::RenderError => $crate::draw::RenderError::is_bad_input,
            $crate::sheets::SheetError => $crate::sheets::SheetError::is_bad_input,
            $crate::sheets::BookletError => $crate::sheets::BookletError::is_bad_input,
            $crate::sheets::ShotSheetError => $crate::sheets::ShotSheetError::is_bad_input,
        );
    };
}
