//! What the picture of one shot says, from above and from behind the cue ball.

use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::speech::Speech;
use crate::units::{Angle, Length, UnitSystem, speak};
use crate::window::{AimWindow, Part, Shot, Window, part_words, stroke_word};

/// Where the object ball does not drop.
pub(crate) const NO_DROP: &str = "the ball does not drop";
/// The object ball, where it lies off the table.
pub(crate) const OBJECT_BALL: &str = "object ball";
/// The cue ball.
pub(crate) const CUE_BALL: &str = "cue ball";
/// The outlines of the ghost ball seen from behind: fullest, thinnest.
pub(crate) const OUTLINES: [&str; 2] = ["ghost ball at the fullest hit", "at the thinnest hit"];

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
    let length = |m: f64| speak::distance(Length::from_m(m), UnitSystem::Metric);
    let (first, outlines, from) = match drawn.seen {
        Seen::Above => (
            String::new(),
            " Dashed: ghost ball at the fullest and thinnest hit.",
            "from above",
        ),
        // The outlines have a key of their own.
        Seen::Behind { back_m, eye_m } => (
            format!(
                "Seen along the aim from {} behind the cue ball, eyes {} above the cloth (assumed), in true perspective. ",
                length(back_m),
                length(eye_m),
            ),
            "",
            "from behind the cue ball",
        ),
    };
    let each = 0.5 * part.total_rad();
    Caption {
        title: format!(
            "{} each side {what}: {:.1} mm at the ghost ball",
            speak::degrees(Angle::from_rad(each)),
            500.0 * (window.ghost_offset_m(part.thick_rad) + window.ghost_offset_m(part.thin_rad))
        ),
        subtitle: format!(
            "Cut {}, {} between the balls, {} to the {} pocket; {}",
            speak::degrees(Angle::from_rad(window.cut_rad.abs())),
            length(shot.apart_m()),
            length(shot.object.to_vec2().hypot()),
            shot.frame.kind.name(),
            gear.spoken()
        ),
        footer: format!(
            "{first}Wedge: the cue ball's directions {what}, about the aim.{outlines} Assumed: {} m/s at the pocket, {}, standard bounce.",
            shot.stroke.pace_m_s,
            stroke_word(&shot.stroke, Speech::default())
        ),
        desc: format!(
            "The table {from} with the cue ball, the object ball and the directions that drop; the window is {:.3} degrees in all, {what}.",
            part.total_rad().to_degrees()
        ),
    }
}
