//! Marks: one object ball, one pocket, a string of cue-ball places, and on it a mark for each
//! student from which the shot is equally hard.
//!
//! The string runs from the object ball to a quarter-diamond place of a rail. Along it the cut stays
//! nearly the same and the chance falls with the distance; the distance of equal chance is found
//! to a hundredth of a millimetre, then rounded to what a tape shows.
//!
//! Strings are looked for by the chance of the stroke as intended and held against the whole chance, over
//! the speeds of the stroke: the best string whose marks all hold is taken.

use kurbo::Point;
use rayon::prelude::*;

use super::error::LadderError;
use super::lie::{Lie, Played, Room};
use super::place::{locate, quarter};
use super::students::Student;
use crate::gear::Gear;
use crate::pocket::PocketName;
use crate::stop::Stop;
use crate::units::{Coordinate, Position};
use crate::window::{BedShot, Stroke};

/// Marks are set to the nearest of these, m: 5 mm (assumption: what a tape and a hand can do).
pub const TAPE_M: f64 = 0.005;
/// Accuracy of the distance of equal chance, m.
const MARK_M: f64 = 1e-5;
/// Thinnest cut for a shared shot, rad: 50° (assumption: thinner is a contest of luck).
const THINNEST_RAD: f64 = 50.0 * std::f64::consts::PI / 180.0;
/// The cue ball stays this far from the nose, m (assumption: room for a flat bridge).
const OFF_RAIL_M: f64 = 0.08;
/// Nearest mark to the object ball, centre to centre, m (assumption).
const NEAREST_M: f64 = 0.25;
/// Marks nearer to each other than this get in each other's way, m: two ball widths (assumption).
const APART_M: f64 = 0.114;

/// What is wanted of a marks sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct MarksWishes {
    /// Chance for everybody, 0 to 1.
    pub chance: f64,
    /// Place of the object ball; any when not given.
    pub object: Option<Position>,
    /// Pocket; any when not given.
    pub pocket: Option<PocketName>,
    /// How the shot is hit.
    pub stroke: Stroke,
}

/// One student's mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Whose.
    pub label: String,
    /// From the object ball along the string, centre to centre, m, as a tape shows it.
    pub distance_m: f64,
    /// The same before rounding.
    pub exact_m: f64,
    /// The place in metres from the head and the right rail.
    pub at: Point,
    /// Chance at `distance_m`, 0 to 1.
    pub chance: f64,
    /// Chance at `exact_m`.
    pub exact_chance: f64,
}

/// A marks sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Marks {
    /// Chance asked for.
    pub chance: f64,
    /// Object ball.
    pub object: Position,
    /// Pocket.
    pub pocket: PocketName,
    /// Where the string ends, at a rail.
    pub towards: Position,
    /// Throw-free cut at the first mark, left positive, rad.
    pub cut_rad: f64,
    /// A mark each, in the order of the students.
    pub marks: Vec<Mark>,
}

/// One string.
#[derive(Debug)]
struct Line<'a> {
    lie: &'a Lie,
    unit: kurbo::Vec2,
    longest_m: f64,
}

impl Line<'_> {
    fn at(&self, distance_m: f64) -> Point {
        self.lie.at + self.unit * distance_m
    }
}

/// Finds the string and the marks.
///
/// # Errors
/// [`LadderError::EmptyGroup`], [`LadderError::NoLine`].
pub fn marks(
    gear: &Gear,
    students: &[Student],
    wishes: &MarksWishes,
) -> Result<Marks, LadderError> {
    marks_until(gear, students, wishes, &Stop::never())
}

/// The same, given up when it is asked to stop.
///
/// # Errors
/// As [`marks`], and [`LadderError::Stopped`].
pub fn marks_until(
    gear: &Gear,
    students: &[Student],
    wishes: &MarksWishes,
    stop: &Stop,
) -> Result<Marks, LadderError> {
    let Some(first) = students.first() else {
        return Err(LadderError::EmptyGroup);
    };
    let room = Room::new(gear, wishes.stroke, first.aims());
    let pockets = wishes.pocket.map_or_else(|| ALL_FOOT.to_vec(), |p| vec![p]);
    let objects = wishes.object.map_or_else(half_diamonds, |p| vec![p]);
    let pairs: Vec<(Position, PocketName)> = objects
        .iter()
        .flat_map(|o| pockets.iter().map(move |p| (*o, *p)))
        .collect();
    let rooms: Vec<Room<'_>> = students.iter().map(|s| room.of(s.aims())).collect();
    let group = Group {
        rooms: &rooms,
        students,
        wishes,
    };
    let mut tries: Vec<Try> = pairs
        .par_iter()
        .flat_map_iter(|&(object, pocket)| on_lie(&group, object, pocket, stop))
        .collect();
    stop.check()?;
    tries.sort_by(|a, b| b.worth.total_cmp(&a.worth));
    let mut problem = None;
    for tried in tries.into_iter().take(STRINGS) {
        stop.check()?;
        match tried.marks.and_then(|marks| exact(&rooms, wishes, marks)) {
            Ok(marks) => return Ok(marks),
            Err(new) => problem = problem.or(Some(new)),
        }
    }
    let nowhere = || "the object ball does not drop from there".to_owned();
    Err(no_line(wishes, problem.unwrap_or_else(nowhere)))
}

/// Strings held against the whole chance, best first, before it is said that there is none (assumption:
/// the first is usual).
const STRINGS: usize = 64;
/// Steps to a mark by the whole chance; three are usual.
const EXACT_STEPS: u32 = 8;
/// A mark's chance is that asked for to this.
const EXACT: f64 = 1e-4;
/// What the speeds of a stroke may take of the chance of the stroke as intended: strings on which the
/// nearest place leaves so much to spare come first (assumption).
const TO_SPARE: f64 = 0.04;
/// More than how far apart marks lie can be worth.
const SPARE_FIRST: f64 = 10.0;

/// The marks by the chance as every other answer has it, over the speeds of the stroke; or whose mark
/// would lie off the string.
fn exact(rooms: &[Room<'_>], wishes: &MarksWishes, mut marks: Marks) -> Result<Marks, String> {
    let (object, pocket) = (marks.object, marks.pocket);
    // Whoever stands nearest first: that mark is the one that may not hold.
    let mut order: Vec<usize> = (0..marks.marks.len()).collect();
    order.sort_by(|a, b| {
        let at = |k: &usize| marks.marks[*k].exact_m;
        at(a).total_cmp(&at(b))
    });
    for k in order {
        let (room, mark) = (&rooms[k], &mut marks.marks[k]);
        let Some(from) = room.object_point(object) else {
            continue;
        };
        let unit = (mark.at - from).normalize();
        let whole = |d: f64| {
            let bed = BedShot {
                cue: from + unit * d,
                object: from,
                pocket,
            };
            room.exact_at(&bed)
        };
        let longest_m = longest_m(room, from, unit);
        let (exact_m, exact_chance) = settled(&whole, wishes.chance, mark.exact_m, longest_m);
        if (exact_chance - wishes.chance).abs() > EXACT {
            let what = if exact_m <= NEAREST_M {
                "even the nearest mark is"
            } else if exact_m >= longest_m {
                "even the farthest mark is"
            } else {
                "the best mark is"
            };
            return Err(cannot(&mark.label, exact_chance, what));
        }
        let distance_m = on_tape(exact_m, longest_m);
        *mark = Mark {
            label: mark.label.clone(),
            distance_m,
            exact_m,
            at: from + unit * distance_m,
            chance: whole(distance_m).unwrap_or(exact_chance),
            exact_chance,
        };
    }
    Ok(marks)
}

/// The distance at which a chance is this, from a first guess on, and the chance there: nearest to it on
/// the string where it is nowhere so.
fn settled(
    whole: &impl Fn(f64) -> Option<f64>,
    chance: f64,
    guess_m: f64,
    longest_m: f64,
) -> (f64, f64) {
    let at = |d: f64| whole(d).unwrap_or(0.0);
    let (mut d, mut now) = (guess_m, at(guess_m));
    let mut before = None::<(f64, f64)>;
    for _ in 0..EXACT_STEPS {
        let off = now - chance;
        if off.abs() < EXACT {
            break;
        }
        // A secant; the first step as if makes fell as the distance grows.
        let next = match before {
            Some((e, miss)) if (off - miss).abs() > 0.0 => d - off * (d - e) / (off - miss),
            _ => d * (1.0 + off),
        };
        let next = next.clamp(0.8 * d, 1.25 * d).clamp(NEAREST_M, longest_m);
        if (next - d).abs() < f64::EPSILON {
            break;
        }
        before = Some((d, off));
        (d, now) = (next, at(next));
    }
    (d, now)
}

/// To the nearest that a tape shows, on the string.
fn on_tape(exact_m: f64, longest_m: f64) -> f64 {
    ((exact_m / TAPE_M).round() * TAPE_M).min(longest_m)
}

fn no_line(wishes: &MarksWishes, problem: String) -> LadderError {
    LadderError::NoLine {
        makes: 10.0 * wishes.chance,
        problem,
    }
}

/// Pockets tried when none is asked for: sheets look towards the foot.
const ALL_FOOT: [PocketName; 2] = [PocketName::FootLeft, PocketName::FootRight];

/// Half-diamond places of the foot half, for an object ball that is put back many times.
fn half_diamonds() -> Vec<Position> {
    (8..16)
        .flat_map(|x| (1..8).map(move |y| quarter(2 * x, 2 * y)))
        .collect()
}

/// Whom marks are for, and what is wished of them.
struct Group<'a> {
    /// One of each student.
    rooms: &'a [Room<'a>],
    students: &'a [Student],
    wishes: &'a MarksWishes,
}

/// A string tried: better when everybody has a mark, then when the nearest place leaves something to
/// spare, then when the marks are farther apart.
#[derive(Debug)]
struct Try {
    worth: f64,
    marks: Result<Marks, String>,
}

/// All strings from one object ball.
fn on_lie(group: &Group<'_>, object: Position, pocket: PocketName, stop: &Stop) -> Vec<Try> {
    let room = &group.rooms[0];
    let lie = room
        .object_point(object)
        .and_then(|at| room.lie(at, pocket));
    let Some(lie) = lie else { return Vec::new() };
    // Beside a cushion a look is dear: strings to every other place, and looks that all students share.
    let every = if lie.is_beside_cushion() { 2 } else { 1 };
    let places: Vec<Position> = rail_places(every).collect();
    places
        .into_par_iter()
        .filter_map(|towards| {
            // What is found after that is thrown away.
            if stop.asked() {
                return None;
            }
            let line = line(room, &lie, towards)?;
            let middle = room.geometry(&lie, line.at(0.5 * line.longest_m))?;
            (middle.cut_rad <= THINNEST_RAD).then(|| on_line(group, &line, object, towards))
        })
        .collect()
}

/// Looks along a string beside a cushion, between which chances are taken in proportion.
const LOOKS: u32 = 9;

/// What a string leaves at some distances.
#[derive(Debug)]
struct Looks {
    at: Vec<(f64, Option<Played>)>,
}

impl Looks {
    fn along(room: &Room<'_>, line: &Line<'_>) -> Self {
        let ratio = line.longest_m / NEAREST_M;
        let at = (0..LOOKS).map(|k| {
            let d = NEAREST_M * ratio.powf(f64::from(k) / f64::from(LOOKS - 1));
            (d, room.played(line.lie, &line.lie.usual, line.at(d)))
        });
        Self { at: at.collect() }
    }

    fn chance(&self, room: &Room<'_>, d: f64) -> f64 {
        let of = |k: usize| self.at[k].1.as_ref().map_or(0.0, |p| room.chance_of(p));
        let next = self.at.partition_point(|(e, _)| *e < d);
        match next {
            0 => of(0),
            k if k >= self.at.len() => of(self.at.len() - 1),
            k => {
                let share = (d / self.at[k - 1].0).ln() / (self.at[k].0 / self.at[k - 1].0).ln();
                of(k - 1) + share * (of(k) - of(k - 1))
            }
        }
    }
}

/// Quarter-diamond places of all four rails, where the string can be held, or one of so many of them.
fn rail_places(every: u8) -> impl Iterator<Item = Position> {
    let d = |q: u8| Coordinate::Diamonds(0.25 * f64::from(q));
    let step = usize::from(every);
    let (x, y) = ((0..=32).step_by(step), (every..16).step_by(step));
    let long = x.flat_map(move |x| [Position::At(d(x), d(0)), Position::At(d(x), d(16))]);
    let short = y.flat_map(move |y| [Position::At(d(0), d(y)), Position::At(d(32), d(y))]);
    long.chain(short)
}

fn line<'a>(room: &Room<'_>, lie: &'a Lie, towards: Position) -> Option<Line<'a>> {
    let end = locate(towards, &room.gear.bed, 0.0)?;
    let way = end - lie.at;
    let unit = way / way.hypot();
    let longest_m = longest_m(room, lie.at, unit);
    (longest_m > NEAREST_M).then_some(Line {
        lie,
        unit,
        longest_m,
    })
}

/// As far as the cue ball stays off every rail.
fn longest_m(room: &Room<'_>, from: Point, unit: kurbo::Vec2) -> f64 {
    let to = |at: f64, size: f64, v: f64| {
        if v > 0.0 {
            (size - OFF_RAIL_M - at) / v
        } else if v < 0.0 {
            (at - OFF_RAIL_M) / -v
        } else {
            f64::INFINITY
        }
    };
    let bed = &room.gear.bed;
    to(from.x, bed.length_m, unit.x).min(to(from.y, bed.width_m, unit.y))
}

fn on_line(group: &Group<'_>, line: &Line<'_>, object: Position, towards: Position) -> Try {
    let Group {
        rooms,
        students,
        wishes,
    } = *group;
    let mut marks: Vec<Mark> = Vec::with_capacity(students.len());
    let mut short = 0.0;
    let mut spare = f64::INFINITY;
    let mut problem = None;
    let looks = line
        .lie
        .is_beside_cushion()
        .then(|| Looks::along(&rooms[0], line));
    for (room, student) in rooms.iter().zip(students) {
        let at = |d: f64| match &looks {
            Some(looks) => looks.chance(room, d),
            None => room.chance(line.lie, line.at(d)),
        };
        let (near, far) = (at(NEAREST_M), at(line.longest_m));
        if near < wishes.chance {
            short += wishes.chance - near;
            problem.get_or_insert_with(|| cannot(&student.label, near, "even the nearest mark is"));
        } else if far > wishes.chance {
            short += far - wishes.chance;
            problem.get_or_insert_with(|| cannot(&student.label, far, "even the farthest mark is"));
        } else if problem.is_none() {
            let exact_m = equal(&at, wishes.chance, line.longest_m);
            let distance_m = on_tape(exact_m, line.longest_m);
            spare = spare.min(near - wishes.chance);
            marks.push(Mark {
                label: student.label.clone(),
                distance_m,
                exact_m,
                at: line.at(distance_m),
                chance: at(distance_m),
                exact_chance: at(exact_m),
            });
        }
    }
    if let Some(problem) = problem {
        return Try {
            worth: -short,
            marks: Err(problem),
        };
    }
    let first = marks.first().map_or(NEAREST_M, |m| m.exact_m);
    let cut_rad = rooms[0]
        .tried(line.lie, line.at(first))
        .map_or(0.0, |t| t.window.cut_rad);
    Try {
        worth: f64::from(u8::from(spare >= TO_SPARE)) * SPARE_FIRST + 1.0 + spread(&marks),
        marks: Ok(Marks {
            chance: wishes.chance,
            object,
            pocket: line.lie.pocket,
            towards,
            cut_rad,
            marks,
        }),
    }
}

fn cannot(label: &str, chance: f64, what: &str) -> String {
    format!("for {label} {what} {:.1} in 10", 10.0 * chance)
}

/// The distance at which a falling chance is this; the ends are on either side of it.
fn equal(at: &impl Fn(f64) -> f64, chance: f64, longest_m: f64) -> f64 {
    let (mut lo, mut hi) = (NEAREST_M, longest_m);
    while hi - lo > MARK_M {
        let middle = 0.5 * (lo + hi);
        if at(middle) >= chance {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    0.5 * (lo + hi)
}

/// How well apart the marks lie: the least gap between different ones, counted up to two ball
/// widths, and a little for the whole range. Students of equal skill share a mark.
fn spread(marks: &[Mark]) -> f64 {
    let mut at: Vec<f64> = marks.iter().map(|m| m.exact_m).collect();
    at.sort_by(f64::total_cmp);
    let gap = at
        .windows(2)
        .map(|w| w[1] - w[0])
        .filter(|g| *g > 2.0 * MARK_M)
        .fold(APART_M, f64::min);
    let range = at.last().zip(at.first()).map_or(0.0, |(b, a)| b - a);
    gap / APART_M + 0.1 * range
}
