//! What a fair game on one shot says.

use crate::gear::Bed;
use crate::ladder::in_diamonds;
use crate::pocket::PocketName;
use crate::sheets::parts::Style;
use crate::speech::{by_diamonds, place_words, rail_words};
use crate::units::Position;

/// What it is played with, and how far along the string.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SetUp {
    pub(crate) object: Position,
    pub(crate) pocket: PocketName,
    pub(crate) string_to: Position,
    pub(crate) makes_in_ten: Option<f64>,
}

/// How to set it up.
pub(crate) fn set_up(game: &SetUp, bed: &Bed, style: &Style) -> String {
    let pocket = game.pocket.name();
    let object = place_words(game.object, bed, style.speech());
    let rail = rail_words(game.string_to, bed, style.speech());
    if style.plain {
        return format!(
            "Ball 1: {object}. Pocket: {pocket}. Stretch a string from its middle to {rail}. White ball: your mark."
        );
    }
    let chance = game.makes_in_ten.map_or_else(String::new, |m| {
        format!(": about {m:.1} in 10 for everybody")
    });
    if !by_diamonds(bed, style.speech()) {
        return format!(
            "Object ball: {object}. Into the pocket {pocket}. Stretch a string from the object ball's middle to {rail}, and set the cue ball on it at your own mark, so far from the middle of the object ball{chance}."
        );
    }
    format!(
        "Object ball {}: {object}. Into the pocket {pocket}. Stretch a string from the object ball's middle to {rail} ({}), and set the cue ball on it at your own mark, so far from the middle of the object ball{chance}.",
        in_diamonds(game.object, bed),
        game.string_to,
    )
}

/// What the diagram shows.
pub(crate) fn shows(game: &SetUp, bed: &Bed, style: &Style) -> String {
    format!(
        "The table from above, head left: the object ball {}, and on the string to {} a mark for each student.",
        place_words(game.object, bed, style.speech()),
        rail_words(game.string_to, bed, style.speech())
    )
}

/// What it takes, in plain words; how many tries each where all have as many.
pub(crate) fn needs(tries: Option<u32>) -> String {
    let things = "You need a string, a tape and chalk.";
    match tries {
        Some(tries) => {
            let s = if tries == 1 { "try" } else { "tries" };
            format!("{things} {tries} {s} each.")
        }
        None => things.to_owned(),
    }
}

/// What stands beside the boxes: `Shot 9, A: 52.5 cm`.
pub(crate) fn line(
    shot: Option<usize>,
    key: &str,
    student: &str,
    distance_m: f64,
    style: &Style,
) -> String {
    let name = if key == student {
        key.to_owned()
    } else {
        format!("{key}: {student}")
    };
    let shot = shot.map_or_else(String::new, |n| format!("Shot {n}, "));
    format!("{shot}{name}: {}", style.tape(distance_m))
}
