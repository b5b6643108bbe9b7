//! Where a ball comes to rest, in words.

use crate::gear::Bed;
use crate::layout::answer::Place;
use crate::speech::{Speech, by_diamonds, place_words_m};
use crate::units::speak;

/// Nearer to a rail than this reads as by the rail, diamonds (assumption: about two balls).
const BY_THE_RAIL: f64 = 0.2;

/// Where a ball stops: "1 diamond from the foot rail, 1½ off the left side rail", "by the head rail, by
/// the left side rail".
#[must_use]
pub fn stop_words(place: Place, bed: &Bed, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    if !by_diamonds(bed, speech) {
        return place_words_m(1e-3 * place.x_mm, 1e-3 * place.y_mm, bed, speech);
    }
    let nouns = speech.nouns();
    let (rail, long_rail) = (nouns.rail, nouns.long_rail);
    let (diamond_x, diamond_y) = (bed.length_m / 8.0, bed.width_m / 4.0);
    let (x, y) = (place.x_mm / 1e3 / diamond_x, place.y_mm / 1e3 / diamond_y);
    let (along, end) = if x > 4.0 {
        (8.0 - x, nouns.foot)
    } else {
        (x, nouns.head)
    };
    let (across, side) = if y > 2.0 {
        (4.0 - y, "left")
    } else {
        (y, "right")
    };
    let along = if along < BY_THE_RAIL {
        format!("by the {end} {rail}")
    } else {
        let said = speak::diamonds(along);
        let unit = if along > 1.0 && said != "1" {
            nouns.diamonds
        } else {
            nouns.diamond
        };
        format!("{said} {unit} from the {end} {rail}")
    };
    if across < BY_THE_RAIL {
        format!("{along}, by the {side} {long_rail}")
    } else {
        format!(
            "{along}, {} off the {side} {long_rail}",
            speak::diamonds(across)
        )
    }
}
