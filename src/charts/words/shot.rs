//! What the picture of one shot says, from above and from behind the cue ball.

use crate::answer::not_playable;
use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::speech::Speech;
use crate::units::{Angle, Length, Speed, UnitSystem, speak};
use crate::window::{AimWindow, Flags, Part, Shot, Window, part_words, stroke_word};

/// Where the object ball does not drop.
pub(crate) const NO_DROP: &str = "the ball does not drop";
/// The object ball, where it lies off the table.
pub(crate) const OBJECT_BALL: &str = "object ball";
/// The cue ball.
pub(crate) const CUE_BALL: &str = "cue ball";
/// The cue ball at contact seen from behind: what all makes cover, what fullest and thinnest add.
pub(crate) const COVERED: [&str; 2] = ["cue ball at contact", "between fullest and thinnest"];

/// From where the shot is seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Seen {
    Above,
    /// So far behind the cue ball, eyes so far above the cloth, m.
    Behind {
        back_m: f64,
        eye_m: f64,
    },
}

/// What is drawn: the shot, its window, the part of it, seen from somewhere.
pub(crate) struct Drawn<'a> {
    pub(crate) gear: &'a Gear,
    pub(crate) shot: &'a Shot,
    pub(crate) window: &'a AimWindow,
    pub(crate) how: Part,
    pub(crate) part: &'a Window,
    pub(crate) seen: Seen,
    pub(crate) units: UnitSystem,
}

/// The band in the key, with how many times as wide its margins are drawn.
pub(crate) fn band(times: f64) -> String {
    if times > 1.0 {
        format!("cue ball's path, its margins drawn {times:.0} times as wide")
    } else {
        "cue ball's path with its margins".to_owned()
    }
}

/// The words round the picture.
pub(crate) fn caption(drawn: &Drawn<'_>) -> Caption {
    let Drawn {
        gear,
        shot,
        window,
        part,
        ..
    } = drawn;
    let what = part_words(drawn.how);
    let length = |m: f64| speak::distance(Length::from_m(m), drawn.units);
    let (first, from) = match drawn.seen {
        Seen::Above => (String::new(), "from above"),
        Seen::Behind { back_m, eye_m } => (
            format!(
                "Seen along the aim from {} behind the cue ball, eyes {} above the cloth (assumed), in true perspective. ",
                length(back_m),
                length(eye_m),
            ),
            "from behind the cue ball",
        ),
    };
    let each = 0.5 * part.total_rad();
    let ghost_m =
        0.5 * (window.ghost_offset_m(part.thick_rad) + window.ghost_offset_m(part.thin_rad));
    let margin = match drawn.how {
        Part::Clean => "Clean margin".to_owned(),
        Part::Direct | Part::Drop => format!("Margin {what}"),
    };
    let title = if window.flags.has(Flags::TOO_FAST) {
        not_playable(window.cue_speed_m_s, drawn.units)
    } else {
        format!(
            "{margin}: {} either side at the ghost ball ({})",
            speak::small_length(Length::from_m(ghost_m), drawn.units),
            speak::room_degrees(Angle::from_rad(each))
        )
    };
    Caption {
        title,
        subtitle: format!(
            "Cut {}, {} between the balls, {} to the {} pocket; {}",
            speak::degrees(Angle::from_rad(window.cut_rad.abs())),
            length(shot.apart_m()),
            length(shot.object.to_vec2().hypot()),
            shot.frame.kind.name(),
            gear.spoken()
        ),
        footer: format!(
            "{first}Band: the cue ball's path, a ball wide; beside it, how far it may be off. Assumed: {} at the pocket, {}, standard bounce.",
            speak::speed(Speed::from_m_s(shot.stroke.pace_m_s), drawn.units),
            stroke_word(&shot.stroke, Speech::from(drawn.units))
        ),
        desc: format!(
            "The table {from} with the cue ball, the object ball and the directions that drop; the window is {:.3} degrees in all, {what}.",
            part.total_rad().to_degrees()
        ),
    }
}
