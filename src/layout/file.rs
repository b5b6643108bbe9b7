//! Layouts: where all balls lie, read from CSV and checked as a whole.
//!
//! ```text
//! # the third rack of the evening
//! ball,x,y
//! cue,2,1
//! 3,6,2
//! 7,frozen-foot,30in
//! 8,foot-spot
//! ```
//!
//! Several balls may be called `red` or `yellow`: they are numbered in the order of the file. Lines
//! such as `# game: snooker` give the state of a game ([`crate::game::GameRequest::of_text`]).

use std::borrow::Cow;
use std::collections::HashMap;

use kurbo::Point;
use serde::Serialize;

use super::fault::{LABEL_CHARS, LayoutError, LayoutFault, MAX_BALLS, Problem};
use crate::files::{Rows, unguarded, with_decimal_point};
use crate::game::numbered;
use crate::gear::Gear;
use crate::motion::{BallBody, FeatureKind};
use crate::pocket::FullBed;
use crate::shown::quoted;
use crate::units::{Axis, Coordinate, Position};

/// Label of the cue ball.
const CUE: &str = "cue";
/// First line of a layout.
const HEADER: &str = "ball,x,y";
/// Balls this much into each other are rounding in the file and are set apart, m (assumption: a
/// tenth of a millimetre, the last digit people write).
const ROUNDING_M: f64 = 1e-4;
/// Overlap that is rounding in doubles, m.
const TOUCH_M: f64 = 1e-9;

/// An object ball.
#[derive(Debug, Clone, PartialEq)]
pub struct Ball {
    /// As people call it.
    pub label: String,
    /// Centre, m from the head and the right rail.
    pub at: Point,
}

/// A table with balls, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Cue ball, m.
    pub cue: Point,
    /// Object balls in the order of the file.
    pub balls: Vec<Ball>,
}

/// A ball with its line.
struct Placed {
    label: String,
    at: Point,
    line: u64,
}

impl Layout {
    /// Reads and checks a layout file's text.
    ///
    /// # Errors
    /// [`LayoutError`] with every fault and its line.
    pub fn parse(text: &str, gear: &Gear) -> Result<Self, LayoutError> {
        let mut problems = Vec::new();
        let placed = read(text, gear, &mut problems);
        Self::checked(gear, placed, problems)
    }

    /// Checks a layout built in code; lines are counted in the order given, the cue ball first.
    ///
    /// # Errors
    /// [`LayoutError`] with every fault.
    pub fn new(gear: &Gear, cue: Point, balls: Vec<Ball>) -> Result<Self, LayoutError> {
        let mut placed = vec![Placed {
            label: CUE.to_owned(),
            at: cue,
            line: 1,
        }];
        placed.extend((2..).zip(balls).map(|(line, b)| Placed {
            label: b.label,
            at: b.at,
            line,
        }));
        Self::checked(gear, placed, Vec::new())
    }

    /// The cue ball and one object ball that are placed already, and others as rows of a file:
    /// `7,4,1`. Faults have no lines.
    ///
    /// # Errors
    /// [`LayoutError`] with every fault.
    pub fn with_rows(
        gear: &Gear,
        cue: Point,
        object: Ball,
        rows: &[String],
    ) -> Result<Self, LayoutError> {
        let (mut problems, mut placed) = (Vec::new(), Vec::new());
        placed.push(Placed {
            label: CUE.to_owned(),
            at: cue,
            line: 0,
        });
        placed.push(Placed {
            label: object.label,
            at: object.at,
            line: 0,
        });
        placed.extend(read(
            &format!("{HEADER}\n{}\n", rows.join("\n")),
            gear,
            &mut problems,
        ));
        placed.iter_mut().for_each(|b| b.line = 0);
        problems.iter_mut().for_each(|p| p.line = 0);
        Self::checked(gear, placed, problems)
    }

    /// The ball called `label`.
    #[must_use]
    pub fn index_of(&self, label: &str) -> Option<usize> {
        self.balls.iter().position(|b| b.label == label)
    }

    /// The balls' names, in the order of the file.
    pub fn labels(&self) -> impl Iterator<Item = &str> {
        self.balls.iter().map(|ball| ball.label.as_str())
    }

    /// The layout in a mirror along the long middle line (left and right change places).
    #[must_use]
    pub fn mirrored(&self, gear: &Gear) -> Self {
        let flip = |p: Point| Point::new(p.x, gear.bed.width_m - p.y);
        Self {
            cue: flip(self.cue),
            balls: self
                .balls
                .iter()
                .map(|b| Ball {
                    label: b.label.clone(),
                    at: flip(b.at),
                })
                .collect(),
        }
    }

    fn checked(
        gear: &Gear,
        mut placed: Vec<Placed>,
        mut problems: Vec<Problem>,
    ) -> Result<Self, LayoutError> {
        let had_faults = !problems.is_empty();
        let labels: Vec<String> = placed.iter().map(|ball| ball.label.clone()).collect();
        for (ball, label) in placed.iter_mut().zip(numbered(&labels)) {
            ball.label = label;
        }
        named_twice(&placed, &mut problems);
        set_apart(gear, &mut placed);
        for ball in &placed {
            problems.extend(cushion_fault(gear, ball).map(|fault| Problem {
                line: ball.line,
                fault,
            }));
        }
        overlaps(gear, &placed, &mut problems);
        let count = placed.iter().filter(|b| b.label != CUE).count();
        let cue = placed.iter().find(|b| b.label == CUE).map(|b| b.at);
        // A line that could not be read may have been the ball that seems to be missing.
        if !had_faults && cue.is_none() {
            problems.push(Problem {
                line: 0,
                fault: LayoutFault::NoCue,
            });
        }
        if !had_faults && count == 0 {
            problems.push(Problem {
                line: 0,
                fault: LayoutFault::NoBalls,
            });
        }
        if count > MAX_BALLS {
            problems.push(Problem {
                line: 0,
                fault: LayoutFault::TooMany { count },
            });
        }
        problems.sort_by_key(|p| p.line);
        match cue {
            Some(cue) if problems.is_empty() => Ok(Self {
                cue,
                balls: placed
                    .into_iter()
                    .filter(|b| b.label != CUE)
                    .map(|b| Ball {
                        label: b.label,
                        at: b.at,
                    })
                    .collect(),
            }),
            _ => Err(LayoutError { problems }),
        }
    }
}

/// A name of two balls.
fn named_twice(placed: &[Placed], problems: &mut Vec<Problem>) {
    let mut first_lines: HashMap<String, u64> = HashMap::new();
    for ball in placed {
        if let Some(&first) = first_lines.get(&ball.label) {
            let fault = LayoutFault::Duplicate {
                label: ball.label.clone(),
                first,
            };
            problems.push(Problem {
                line: ball.line,
                fault,
            });
        } else {
            first_lines.insert(ball.label.clone(), ball.line);
        }
    }
}

fn read(text: &str, gear: &Gear, problems: &mut Vec<Problem>) -> Vec<Placed> {
    let mut placed = Vec::new();
    let mut header_seen = false;
    let unreadable = |line, message| Problem {
        line,
        fault: LayoutFault::Csv { message },
    };
    let mut rows = match Rows::new(text.as_bytes(), true) {
        Ok(rows) => rows,
        Err(error) => {
            problems.push(unreadable(0, error.to_string()));
            return placed;
        }
    };
    let mut row = csv::ByteRecord::new();
    loop {
        match rows.read(&mut row) {
            Ok(true) => {}
            Ok(false) => break,
            Err(fault) => {
                problems.push(unreadable(fault.line, fault.problem));
                break;
            }
        }
        let line = row.position().map_or(0, csv::Position::line);
        // Cut from a text, at marks of one byte.
        let cells: Vec<Cow<'_, str>> = row.iter().map(String::from_utf8_lossy).collect();
        let values: Vec<Cow<'_, str>> = cells
            .iter()
            .map(|cell| unguarded(cell.trim()))
            .enumerate()
            .map(|(k, cell)| match k {
                // A coordinate is one number.
                1.. if rows.has_decimal_commas() => with_decimal_point(cell),
                _ => Cow::Borrowed(cell),
            })
            .collect();
        let values: Vec<&str> = values.iter().map(|v| &**v).collect();
        if !header_seen {
            header_seen = true;
            if values.join(",") == HEADER {
                continue;
            }
            let fault = LayoutFault::Header {
                found: quoted(&values.join(",")),
            };
            problems.push(Problem { line, fault });
            continue;
        }
        match place(&values, gear) {
            Ok((label, at)) => placed.push(Placed { label, at, line }),
            Err(faults) => problems.extend(faults.into_iter().map(|fault| Problem { line, fault })),
        }
    }
    if !header_seen && problems.is_empty() {
        problems.push(Problem {
            line: 1,
            fault: LayoutFault::Header {
                found: String::new(),
            },
        });
    }
    placed
}

/// One line: a label and a place.
fn place(values: &[&str], gear: &Gear) -> Result<(String, Point), Vec<LayoutFault>> {
    let (label, x, y) = match values {
        [label, spot] | [label, spot, ""] => (*label, *spot, None),
        [label, x, y] => (*label, *x, Some(*y)),
        _ => {
            return Err(vec![LayoutFault::Values {
                count: values.len(),
            }]);
        }
    };
    if label.is_empty() {
        return Err(vec![LayoutFault::NoLabel]);
    }
    if label.chars().nth(LABEL_CHARS).is_some() || label.contains(char::is_control) {
        let label = quoted(label);
        return Err(vec![LayoutFault::Label { label }]);
    }
    let body = if label == CUE {
        BallBody::cue(gear)
    } else {
        BallBody::object(gear)
    };
    let rho_m = body.plan_radius_m;
    let fault = |column| move |source| LayoutFault::Coordinate { column, source };
    let Some(y) = y else {
        let spot: Result<Position, _> = x.parse();
        return match spot {
            Ok(spot @ Position::Spot(_)) => gear
                .bed
                .locate(spot, rho_m)
                .map(|at| (label.to_owned(), at))
                .map_err(|e| vec![fault("x")(e)]),
            _ => Err(vec![LayoutFault::Values {
                count: values.len(),
            }]),
        };
    };
    let x = Coordinate::parse(x, Axis::Along)
        .and_then(|x| gear.bed.along(x, rho_m))
        .map_err(fault("x"));
    let y = Coordinate::parse(y, Axis::Across)
        .and_then(|y| gear.bed.across(y, rho_m))
        .map_err(fault("y"));
    match (x, y) {
        (Ok(x), Ok(y)) => Ok((label.to_owned(), Point::new(x, y))),
        (x, y) => Err([x.err(), y.err()].into_iter().flatten().collect()),
    }
}

/// Contact distance in plan of two balls of the layout.
fn contact_m(gear: &Gear, one: &Placed, other: &Placed) -> f64 {
    if one.label == CUE || other.label == CUE {
        gear.contact_distance_m()
    } else {
        gear.balls.object_diameter_m
    }
}

/// Balls that overlap by no more than the rounding of the file touch.
fn set_apart(gear: &Gear, placed: &mut [Placed]) {
    for j in 1..placed.len() {
        for i in 0..j {
            let need_m = contact_m(gear, &placed[i], &placed[j]);
            let between = placed[j].at - placed[i].at;
            let apart_m = between.hypot();
            if apart_m < need_m && apart_m >= need_m - ROUNDING_M {
                placed[j].at = placed[i].at + between * ((need_m + TOUCH_M) / apart_m);
            }
        }
    }
}

fn overlaps(gear: &Gear, placed: &[Placed], problems: &mut Vec<Problem>) {
    for (j, other) in placed.iter().enumerate() {
        for one in &placed[..j] {
            let (need_m, apart_m) = (contact_m(gear, one, other), (other.at - one.at).hypot());
            if apart_m < need_m - ROUNDING_M {
                let fault = LayoutFault::Overlap {
                    one: one.label.clone(),
                    one_line: one.line,
                    other: other.label.clone(),
                    apart_mm: apart_m * 1e3,
                    need_mm: need_m * 1e3,
                };
                problems.push(Problem {
                    line: other.line,
                    fault,
                });
            }
        }
    }
}

fn cushion_fault(gear: &Gear, ball: &Placed) -> Option<LayoutFault> {
    let body = if ball.label == CUE {
        BallBody::cue(gear)
    } else {
        BallBody::object(gear)
    };
    let bed = FullBed::new(gear, &body);
    let label = ball.label.clone();
    let (gap_m, kind) = bed
        .features()
        .iter()
        .map(|f| (f.gap_m(ball.at), f.kind))
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    if gap_m >= -TOUCH_M {
        return None;
    }
    let what = match kind {
        FeatureKind::Rail => "rail",
        FeatureKind::Facing => "facing of a pocket",
        FeatureKind::Jaw => "jaw of a pocket",
        FeatureKind::Drop | FeatureKind::Ball => return Some(LayoutFault::Dropped { label }),
    };
    Some(LayoutFault::InCushion {
        label,
        what,
        by_mm: -gap_m * 1e3,
        need_mm: body.plan_radius_m * 1e3,
    })
}

impl Serialize for Layout {
    /// Labels with places in mm, the cue ball first.
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        #[derive(Serialize)]
        struct Row<'a> {
            ball: &'a str,
            x_mm: f64,
            y_mm: f64,
        }
        let row = |ball, p: Point| Row {
            ball,
            x_mm: p.x * 1e3,
            y_mm: p.y * 1e3,
        };
        serializer.collect_seq(
            std::iter::once(row(CUE, self.cue))
                .chain(self.balls.iter().map(|b| row(&b.label, b.at))),
        )
    }
}
