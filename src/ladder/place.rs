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
    spoken(place, bed, &EXACT)
}

/// The same without decimals, for children and beginners: what is no quarter of a diamond is
/// "nearly" one, or "a little over" one.
#[must_use]
pub fn plain_words(place: Position, bed: &Bed) -> String {
    spoken(place, bed, &PLAIN)
}

/// A place as files and flags take it, lengths turned into diamonds: `2.82,1.83`.
#[must_use]
pub fn in_diamonds(place: Position, bed: &Bed) -> String {
    let Position::At(x, y) = place else {
        return place.to_string();
    };
    let along = counted_from(x, 8.0 / bed.length_m);
    let across = counted_from(y, 4.0 / bed.width_m);
    format!("{along},{across}")
}

fn counted_from(at: Coordinate, per_m: f64) -> String {
    match at {
        // A hundredth of a diamond is 3 mm on the largest tables.
        Coordinate::Length(l) => ((100.0 * per_m * l.m()).round() / 100.0).to_string(),
        other => other.to_string(),
    }
}

/// How a number of diamonds is said, and how many that is for "diamond" or "diamonds".
struct Count {
    number: fn(f64) -> String,
    said: fn(f64) -> f64,
}

const EXACT: Count = Count {
    number: speak::diamonds,
    said: |d| d,
};
const PLAIN: Count = Count {
    number: speak::plain_diamonds,
    said: |d| 0.25 * (4.0 * d).round(),
};

impl Count {
    /// "1 diamond", "1½ diamonds", "¾ diamond".
    fn counted(&self, diamonds: f64) -> String {
        let unit = if (self.said)(diamonds) > 1.0 + LEVEL_DIAMONDS {
            "diamonds"
        } else {
            "diamond"
        };
        format!("{} {unit}", (self.number)(diamonds))
    }
}

fn spoken(place: Position, bed: &Bed, count: &Count) -> String {
    match place {
        Position::Spot(Spot::Head) => "on the head spot".to_owned(),
        Position::Spot(Spot::Centre) => "on the centre spot".to_owned(),
        Position::Spot(Spot::Foot) => "on the foot spot".to_owned(),
        Position::At(x, y) => format!("{}, {}", along(x, bed, count), across(y, bed, count)),
    }
}

fn along(x: Coordinate, bed: &Bed, count: &Count) -> String {
    let diamonds = match x {
        Coordinate::Frozen(rail) => return format!("frozen to the {} rail", rail.word()),
        Coordinate::Diamonds(d) => d,
        Coordinate::Length(l) => 8.0 * l.m() / bed.length_m,
    };
    if (diamonds - 4.0).abs() < LEVEL_DIAMONDS {
        "level with the side pockets".to_owned()
    } else if diamonds > 4.0 {
        format!("{} up from the foot rail", count.counted(8.0 - diamonds))
    } else {
        format!("{} down from the head rail", count.counted(diamonds))
    }
}

fn across(y: Coordinate, bed: &Bed, count: &Count) -> String {
    let diamonds = match y {
        Coordinate::Frozen(rail) => return format!("frozen to the {} long rail", rail.word()),
        Coordinate::Diamonds(d) => d,
        Coordinate::Length(l) => 4.0 * l.m() / bed.width_m,
    };
    if (diamonds - 2.0).abs() < LEVEL_DIAMONDS {
        "on the long middle line".to_owned()
    } else if diamonds > 2.0 {
        let off = (count.number)(4.0 - diamonds);
        format!("{off} off the left long rail")
    } else {
        format!("{} off the right long rail", (count.number)(diamonds))
    }
}

/// Metres from the head and the right rail; `None` off the table.
#[must_use]
pub(super) fn locate(place: Position, bed: &Bed, contact_radius_m: f64) -> Option<Point> {
    bed.locate(place, contact_radius_m).ok()
}

/// A place on a rail in words: "the left long rail, 2 diamonds from the head", "the head rail, 1½
/// diamonds from the right".
#[must_use]
pub fn rail_words(place: Position) -> String {
    on_rail(place, &EXACT)
}

/// The same without decimals.
#[must_use]
pub fn plain_rail_words(place: Position) -> String {
    on_rail(place, &PLAIN)
}

fn on_rail(place: Position, count: &Count) -> String {
    let Position::At(Coordinate::Diamonds(x), Coordinate::Diamonds(y)) = place else {
        return place.to_string();
    };
    let at = |end: f64, value: f64| (value - end).abs() < LEVEL_DIAMONDS;
    let side = if at(0.0, y) { "right" } else { "left" };
    let end = if at(0.0, x) { "head" } else { "foot" };
    match (at(0.0, x) || at(8.0, x), at(0.0, y) || at(4.0, y)) {
        (true, true) => format!("the {end}-{side} corner"),
        (true, false) => format!("the {end} rail, {} from the right", count.counted(y)),
        _ => format!("the {side} long rail, {} from the head", count.counted(x)),
    }
}

/// Where a string from a ball through another place meets a rail, in diamonds: at a quarter of one
/// where it is that near. `None` for places that are the same, or off the table.
#[must_use]
pub fn string_end(bed: &Bed, from: Point, through: Point) -> Option<Position> {
    /// Rounded places and the tape leave this much, diamonds.
    const NEAR: f64 = 0.03;
    let way = through - from;
    let to = |at: f64, size: f64, v: f64| match v {
        v if v > 0.0 => (size - at) / v,
        v if v < 0.0 => at / -v,
        _ => f64::INFINITY,
    };
    let (l, w) = (bed.length_m, bed.width_m);
    let reach = to(from.x, l, way.x).min(to(from.y, w, way.y));
    if !(way.hypot() > 1e-6 && reach.is_finite() && reach >= 0.0) {
        return None;
    }
    let end = from + way * reach;
    let tidy = |d: f64, most: f64| {
        let quarter = 0.25 * (4.0 * d).round();
        let d = if (d - quarter).abs() < NEAR {
            quarter
        } else {
            (100.0 * d).round() / 100.0
        };
        // No minus zero.
        Coordinate::Diamonds(d.clamp(0.0, most) + 0.0)
    };
    Some(Position::At(
        tidy(8.0 * end.x / l, 8.0),
        tidy(4.0 * end.y / w, 4.0),
    ))
}
