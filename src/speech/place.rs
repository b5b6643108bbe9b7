//! Where a ball lies, in words.

use super::listener::Speech;
use crate::gear::Bed;
use crate::units::{Coordinate, Position, Rail, Spot, speak};

/// Level with a mark within this share of a diamond (assumption: what the eye calls level).
const LEVEL_DIAMONDS: f64 = 0.02;

/// A place: "1 diamond up from the foot rail, 1½ off the left long rail". Said plainly, what is no
/// quarter of a diamond is "nearly" one, or "a little over" one.
///
/// ```
/// use thincut::speech::place_words;
/// use thincut::{Gear, Position, Preset, Speech};
///
/// let bed = Gear::standard(Preset::Pool9Ft)?.bed;
/// assert_eq!(
///     place_words(Position::diamonds(6.0, 2.5), &bed, Speech::default()),
///     "2 diamonds up from the foot rail, 1½ off the left long rail"
/// );
/// # Ok::<(), thincut::GearError>(())
/// ```
#[must_use]
pub fn place_words(place: Position, bed: &Bed, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let nouns = speech.nouns();
    match place {
        Position::Spot(Spot::Head) => format!("on the {} spot", nouns.head),
        Position::Spot(Spot::Centre) => "on the centre spot".to_owned(),
        Position::Spot(Spot::Foot) => format!("on the {} spot", nouns.foot),
        Position::At(x, y) => format!("{}, {}", along(x, bed, speech), across(y, bed, speech)),
    }
}

/// A place on a rail: "the left long rail, 2 diamonds from the head", "the head rail, 1½ diamonds
/// from the right".
#[must_use]
pub fn rail_words(place: Position, speech: impl Into<Speech>) -> String {
    let Position::At(Coordinate::Diamonds(x), Coordinate::Diamonds(y)) = place else {
        return place.to_string();
    };
    let speech = speech.into();
    let nouns = speech.nouns();
    let at = |end: f64, value: f64| (value - end).abs() < LEVEL_DIAMONDS;
    let side = if at(0.0, y) { "right" } else { "left" };
    let end = if at(0.0, x) { nouns.head } else { nouns.foot };
    match (at(0.0, x) || at(8.0, x), at(0.0, y) || at(4.0, y)) {
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
            return format!("frozen to the {end} {}", nouns.rail);
        }
        Coordinate::Diamonds(d) => d,
        Coordinate::Length(l) => 8.0 * l.m() / bed.length_m,
    };
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
        Coordinate::Frozen(rail) => return format!("frozen to the {} {long_rail}", rail.word()),
        Coordinate::Diamonds(d) => d,
        Coordinate::Length(l) => 4.0 * l.m() / bed.width_m,
    };
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
