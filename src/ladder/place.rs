//! Places a person can set a ball on by eye: quarters of a diamond, and how they are said.

use kurbo::Point;

use crate::gear::Bed;
use crate::units::{Coordinate, Length, Position, Rail, Spot, speak};

/// Quarters of a diamond along a long rail and along a short rail (geometry: 8 and 4 diamonds).
const QUARTERS: (u8, u8) = (32, 16);
/// Level with a mark within this share of a diamond (assumption: what the eye calls level).
const LEVEL_DIAMONDS: f64 = 0.02;

/// All quarter-diamond places between the rails, head to foot, right to left.
pub fn grid() -> impl Iterator<Item = Position> {
    (1..QUARTERS.0).flat_map(|x| (1..QUARTERS.1).map(move |y| quarter(x, y)))
}

/// The place so many quarters of a diamond from the head rail and from the right rail.
#[must_use]
pub fn quarter(from_head: u8, from_right: u8) -> Position {
    let at = |q: u8| Coordinate::Diamonds(0.25 * f64::from(q));
    Position::At(at(from_head), at(from_right))
}

/// The place on the other side of the long middle line.
#[must_use]
pub fn mirrored(place: Position, bed: &Bed) -> Position {
    let Position::At(x, y) = place else {
        return place;
    };
    let y = match y {
        Coordinate::Diamonds(d) => Coordinate::Diamonds(4.0 - d),
        Coordinate::Length(l) => Coordinate::Length(Length::from_m(bed.width_m - l.m())),
        Coordinate::Frozen(Rail::Left) => Coordinate::Frozen(Rail::Right),
        Coordinate::Frozen(Rail::Right) => Coordinate::Frozen(Rail::Left),
        other @ Coordinate::Frozen(_) => other,
    };
    Position::At(x, y)
}

/// A place in words: "1 diamond up from the foot rail, 1½ off the left long rail".
#[must_use]
pub fn words(place: Position, bed: &Bed) -> String {
    match place {
        Position::Spot(Spot::Head) => "on the head spot".to_owned(),
        Position::Spot(Spot::Centre) => "on the centre spot".to_owned(),
        Position::Spot(Spot::Foot) => "on the foot spot".to_owned(),
        Position::At(x, y) => format!("{}, {}", along(x, bed), across(y, bed)),
    }
}

fn along(x: Coordinate, bed: &Bed) -> String {
    let diamonds = match x {
        Coordinate::Frozen(rail) => return format!("frozen to the {} rail", rail.word()),
        Coordinate::Diamonds(d) => d,
        Coordinate::Length(l) => 8.0 * l.m() / bed.length_m,
    };
    if (diamonds - 4.0).abs() < LEVEL_DIAMONDS {
        "level with the side pockets".to_owned()
    } else if diamonds > 4.0 {
        format!("{} up from the foot rail", counted(8.0 - diamonds))
    } else {
        format!("{} down from the head rail", counted(diamonds))
    }
}

fn across(y: Coordinate, bed: &Bed) -> String {
    let diamonds = match y {
        Coordinate::Frozen(rail) => return format!("frozen to the {} long rail", rail.word()),
        Coordinate::Diamonds(d) => d,
        Coordinate::Length(l) => 4.0 * l.m() / bed.width_m,
    };
    if (diamonds - 2.0).abs() < LEVEL_DIAMONDS {
        "on the long middle line".to_owned()
    } else if diamonds > 2.0 {
        format!("{} off the left long rail", speak::diamonds(4.0 - diamonds))
    } else {
        format!("{} off the right long rail", speak::diamonds(diamonds))
    }
}

/// "1 diamond", "1½ diamonds", "¾ diamond".
fn counted(diamonds: f64) -> String {
    let unit = if diamonds > 1.0 + LEVEL_DIAMONDS {
        "diamonds"
    } else {
        "diamond"
    };
    format!("{} {unit}", speak::diamonds(diamonds))
}

/// Metres from the head and the right rail; `None` off the table.
#[must_use]
pub(super) fn locate(place: Position, bed: &Bed, contact_radius_m: f64) -> Option<Point> {
    bed.locate(place, contact_radius_m).ok()
}

/// A place on a rail in words: "the left long rail, 2 diamonds from the head", "the head rail, 1½
/// diamonds from the right".
#[must_use]
pub(super) fn rail_words(place: Position) -> String {
    let Position::At(Coordinate::Diamonds(x), Coordinate::Diamonds(y)) = place else {
        return place.to_string();
    };
    let at = |end: f64, value: f64| (value - end).abs() < LEVEL_DIAMONDS;
    let side = if at(0.0, y) { "right" } else { "left" };
    let end = if at(0.0, x) { "head" } else { "foot" };
    match (at(0.0, x) || at(8.0, x), at(0.0, y) || at(4.0, y)) {
        (true, true) => format!("the {end}-{side} corner"),
        (true, false) => format!("the {end} rail, {} from the right", counted(y)),
        _ => format!("the {side} long rail, {} from the head", counted(x)),
    }
}
