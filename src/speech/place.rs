//! Where a ball lies, in words.

use super::listener::Speech;
use super::word_set::WordSet;
use crate::gear::{Bed, Marks};
use crate::units::{Coordinate, Length, Position, Rail, Spot, speak};

/// Level with a mark within this share of a diamond (assumption: what the eye calls level).
const LEVEL_DIAMONDS: f64 = 0.02;

/// A place: "1 diamond up from the foot rail, 1½ off the left side rail". Said plainly, what is no
/// quarter of a diamond is "nearly" one, or "a little over" one.
///
/// ```
/// use thincut::speech::place_words;
/// use thincut::{Gear, Position, Preset, Speech};
///
/// let bed = Gear::standard(Preset::Pool9Ft)?.bed;
/// assert_eq!(
///     place_words(Position::diamonds(6.0, 2.5), &bed, Speech::default()),
///     "2 diamonds up from the foot rail, 1½ off the left side rail"
/// );
/// # Ok::<(), thincut::GearError>(())
/// ```
#[must_use]
pub fn place_words(place: Position, bed: &Bed, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let (x, y) = match place {
        Position::Spot(spot) => match spot_words(spot, bed, speech) {
            Some(words) => return words,
            None => {
                let at = bed.spot(spot);
                let length = |m: f64| Coordinate::Length(Length::from_m(m));
                (length(at.x), length(at.y))
            }
        },
        Position::At(x, y) => (x, y),
    };
    if let Some(words) = on_a_spot(x, y, bed, speech) {
        return words;
    }
    format!("{}, {}", along(x, bed, speech), across(y, bed, speech))
}

/// On a spot without saying so: where a ball lies by lengths, on a table whose places are said by spots.
fn on_a_spot(x: Coordinate, y: Coordinate, bed: &Bed, speech: Speech) -> Option<String> {
    if by_diamonds(bed, speech) {
        return None;
    }
    on_a_spot_m(
        bed.along(x, 0.0).ok()?,
        bed.across(y, 0.0).ok()?,
        bed,
        speech,
    )
}

fn on_a_spot_m(x_m: f64, y_m: f64, bed: &Bed, speech: Speech) -> Option<String> {
    let near = |spot: &Spot| {
        let at = bed.spot(*spot);
        (at.x - x_m).hypot(at.y - y_m) < ON_SPOT_M
    };
    let mut spots = Spot::ALL.into_iter().filter(near);
    spots.find_map(|spot| spot_words(spot, bed, speech))
}

/// "just off the brown spot": a ball that stops level with a spot both ways, and not on it.
fn by_a_spot_m(x_m: f64, y_m: f64, bed: &Bed, speech: Speech) -> Option<String> {
    let near = |spot: &Spot| {
        let at = bed.spot(*spot);
        (at.x - x_m).abs() < LEVEL_M && (at.y - y_m).abs() < LEVEL_M
    };
    let mut spots = Spot::ALL.into_iter().filter(near);
    let on = spots.find_map(|spot| spot_words(spot, bed, speech))?;
    Some(format!("just off {}", on.strip_prefix("on ")?))
}

/// Whether places are said by diamonds: on a table that has them, to those who use them.
#[must_use]
pub fn by_diamonds(bed: &Bed, speech: Speech) -> bool {
    bed.marks == Marks::Diamonds && speech.words == WordSet::Us
}

/// A spot that is marked on such a table.
fn spot_words(spot: Spot, bed: &Bed, speech: Speech) -> Option<String> {
    let nouns = speech.nouns();
    let name = match (bed.marks, spot) {
        (Marks::Diamonds, Spot::Head) if by_diamonds(bed, speech) => nouns.head,
        (Marks::Diamonds, Spot::Foot) if by_diamonds(bed, speech) => nouns.foot,
        (Marks::Diamonds | Marks::English, Spot::Centre) => "centre",
        (Marks::English, Spot::Blue) => "centre",
        (Marks::English, Spot::EightBall) => "eight-ball",
        (Marks::Snooker, Spot::Centre) => "blue",
        (Marks::Snooker, spot) => snooker_spot(spot)?,
        _ => return None,
    };
    Some(format!("on the {name} spot"))
}

const fn snooker_spot(spot: Spot) -> Option<&'static str> {
    Some(match spot {
        Spot::Brown => "brown",
        Spot::Yellow => "yellow",
        Spot::Green => "green",
        Spot::Blue => "blue",
        Spot::Pink => "pink",
        Spot::Black => "black",
        _ => return None,
    })
}

/// A ball so near a spot lies on it, m (assumption: its own width is ten times that).
const ON_SPOT_M: f64 = 0.005;

/// Places this near a mark are level with it, m (assumption: a quarter of a ball, what the eye calls
/// level from a step away).
const LEVEL_M: f64 = 0.0125;

/// Along a table without diamonds: "on the baulk line", "level with the blue spot", "30 cm from the top
/// cushion". Of the ball itself nobody says that it is level with itself: the mark is the spot.
fn along_m(x_m: f64, bed: &Bed, speech: Speech) -> String {
    let nouns = speech.nouns();
    let middle = (0.5 * bed.length_m, nouns.side_pockets);
    let marks: &[(f64, &str)] = match bed.marks {
        Marks::Snooker => &[
            (bed.spot(Spot::Blue).x, "blue spot"),
            (bed.spot(Spot::Pink).x, "pink spot"),
            (bed.spot(Spot::Black).x, "black spot"),
        ],
        Marks::English => &[middle, (bed.spot(Spot::EightBall).x, "eight-ball spot")],
        Marks::Diamonds => &[middle],
    };
    let baulk = bed.marks != Marks::Diamonds && (x_m - bed.baulk_m()).abs() < LEVEL_M;
    if baulk {
        return format!("on the {}", nouns.head_string);
    }
    if let Some((_, mark)) = marks.iter().find(|(at, _)| (x_m - at).abs() < LEVEL_M) {
        return format!("level with the {mark}");
    }
    if x_m > 0.5 * bed.length_m {
        format!(
            "{} from the {}",
            far(bed.length_m - x_m, speech),
            nouns.foot_rail
        )
    } else {
        format!("{} from the {}", far(x_m, speech), nouns.head_rail)
    }
}

/// Across a table without diamonds: "30 cm from the left side cushion".
fn across_m(y_m: f64, bed: &Bed, speech: Speech) -> String {
    let long_rail = speech.nouns().long_rail;
    let middle_m = 0.5 * bed.width_m;
    if (y_m - middle_m).abs() < LEVEL_M {
        return match speech.words {
            WordSet::Us => "on the long middle line".to_owned(),
            WordSet::Uk => "on the centre line".to_owned(),
        };
    }
    if y_m > middle_m {
        format!(
            "{} from the left {long_rail}",
            far(bed.width_m - y_m, speech)
        )
    } else {
        format!("{} from the right {long_rail}", far(y_m, speech))
    }
}

/// A distance; said plainly, to five centimetres.
fn far(m: f64, speech: Speech) -> String {
    const PLAIN_M: f64 = 0.05;
    let said_m = if speech.plain {
        PLAIN_M * (m / PLAIN_M).round().max(1.0)
    } else {
        m
    };
    speak::distance(Length::from_m(said_m), speech)
}

/// The same of a place in metres, for balls that come to rest: "by the top cushion" within reach of it.
#[must_use]
pub fn place_words_m(x_m: f64, y_m: f64, bed: &Bed, speech: Speech) -> String {
    let spot = on_a_spot_m(x_m, y_m, bed, speech).or_else(|| by_a_spot_m(x_m, y_m, bed, speech));
    spot.unwrap_or_else(|| {
        format!(
            "{}, {}",
            along_m(x_m, bed, speech),
            across_m(y_m, bed, speech)
        )
    })
}

/// A place on a rail: "the left side rail, 2 diamonds from the head", "the head rail, 1½ diamonds
/// from the right"; without diamonds "the left side cushion, 1.2 m from baulk".
#[must_use]
pub fn rail_words(place: Position, bed: &Bed, speech: impl Into<Speech>) -> String {
    let Position::At(Coordinate::Diamonds(x), Coordinate::Diamonds(y)) = place else {
        return place.to_string();
    };
    let speech = speech.into();
    let nouns = speech.nouns();
    let at = |end: f64, value: f64| (value - end).abs() < LEVEL_DIAMONDS;
    let side = if at(0.0, y) { "right" } else { "left" };
    let end = if at(0.0, x) { nouns.head } else { nouns.foot };
    let lengths = !by_diamonds(bed, speech);
    match (at(0.0, x) || at(8.0, x), at(0.0, y) || at(4.0, y)) {
        (true, false) if lengths => {
            let from_right = far(y * bed.width_m / 4.0, speech);
            format!("the {end} {}, {from_right} from the right", nouns.rail)
        }
        (false, _) if lengths => {
            let from_head = far(x * bed.length_m / 8.0, speech);
            let (long_rail, head_rail) = (nouns.long_rail, nouns.head_rail);
            format!("the {side} {long_rail}, {from_head} from the {head_rail}")
        }
        (true, true) if lengths => {
            format!("the {side} {end} corner")
        }
        (true, true) => format!("the {end}-{side} corner"),
        (true, false) => format!(
            "the {end} {}, {} from the right",
            nouns.rail,
            counted(y, speech)
        ),
        _ => format!(
            "the {side} {}, {} from the {}",
            nouns.long_rail,
            counted(x, speech),
            nouns.head
        ),
    }
}

fn along(x: Coordinate, bed: &Bed, speech: Speech) -> String {
    let nouns = speech.nouns();
    let diamonds = match x {
        Coordinate::Frozen(rail) => {
            let end = match rail {
                Rail::Head => nouns.head,
                Rail::Foot => nouns.foot,
                Rail::Left | Rail::Right => rail.word(),
            };
            return format!("{} the {end} {}", nouns.frozen_to, nouns.rail);
        }
        Coordinate::Diamonds(d) => d,
        x => 8.0 * bed.along(x, 0.0).unwrap_or(0.0) / bed.length_m,
    };
    if !by_diamonds(bed, speech) {
        return along_m(diamonds * bed.length_m / 8.0, bed, speech);
    }
    if (diamonds - 4.0).abs() < LEVEL_DIAMONDS {
        format!("level with the {}", nouns.side_pockets)
    } else if diamonds > 4.0 {
        let far = counted(8.0 - diamonds, speech);
        format!("{far} up from the {} {}", nouns.foot, nouns.rail)
    } else {
        let far = counted(diamonds, speech);
        format!("{far} down from the {} {}", nouns.head, nouns.rail)
    }
}

fn across(y: Coordinate, bed: &Bed, speech: Speech) -> String {
    let long_rail = speech.nouns().long_rail;
    let diamonds = match y {
        Coordinate::Frozen(rail) => {
            return format!(
                "{} the {} {long_rail}",
                speech.nouns().frozen_to,
                rail.word()
            );
        }
        Coordinate::Diamonds(d) => d,
        y => 4.0 * bed.across(y, 0.0).unwrap_or(0.0) / bed.width_m,
    };
    if !by_diamonds(bed, speech) {
        return across_m(diamonds * bed.width_m / 4.0, bed, speech);
    }
    if (diamonds - 2.0).abs() < LEVEL_DIAMONDS {
        "on the long middle line".to_owned()
    } else if diamonds > 2.0 {
        let off = number(4.0 - diamonds, speech);
        format!("{off} off the left {long_rail}")
    } else {
        format!("{} off the right {long_rail}", number(diamonds, speech))
    }
}

fn number(diamonds: f64, speech: Speech) -> String {
    if speech.plain {
        speak::plain_diamonds(diamonds)
    } else {
        speak::diamonds(diamonds)
    }
}

/// "1 diamond", "1½ diamonds", "¾ diamond".
fn counted(diamonds: f64, speech: Speech) -> String {
    let said = if speech.plain {
        0.25 * (4.0 * diamonds).round()
    } else {
        diamonds
    };
    let unit = if said > 1.0 + LEVEL_DIAMONDS {
        speech.nouns().diamonds
    } else {
        speech.nouns().diamond
    };
    format!("{} {unit}", number(diamonds, speech))
}
