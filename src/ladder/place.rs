//! Places a person can set a ball on by eye: quarters of a diamond, and how they are said.

use kurbo::Point;

use crate::gear::Bed;
use crate::units::{Coordinate, Length, Position, Rail, Spot};

/// Quarters of a diamond along a long rail and along a short rail (geometry: 8 and 4 diamonds).
const QUARTERS: (u8, u8) = (32, 16);

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
    let (x, y) = match place {
        Position::At(x, y) => (x, y),
        Position::Spot(Spot::Yellow) => return Position::Spot(Spot::Green),
        Position::Spot(Spot::Green) => return Position::Spot(Spot::Yellow),
        spot => return spot,
    };
    let y = match y {
        Coordinate::Diamonds(d) => Coordinate::Diamonds(4.0 - d),
        Coordinate::Length(l) => Coordinate::Length(Length::from_m(bed.width_m - l.m())),
        Coordinate::Frozen(Rail::Left) => Coordinate::Frozen(Rail::Right),
        Coordinate::Frozen(Rail::Right) => Coordinate::Frozen(Rail::Left),
        Coordinate::From(l, Rail::Left) => Coordinate::From(l, Rail::Right),
        Coordinate::From(l, Rail::Right) => Coordinate::From(l, Rail::Left),
        Coordinate::Level(Spot::Yellow) => Coordinate::Level(Spot::Green),
        Coordinate::Level(Spot::Green) => Coordinate::Level(Spot::Yellow),
        other => other,
    };
    Position::At(x, y)
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

/// Metres from the head and the right rail; `None` off the table.
#[must_use]
pub(super) fn locate(place: Position, bed: &Bed, contact_radius_m: f64) -> Option<Point> {
    bed.locate(place, contact_radius_m).ok()
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
