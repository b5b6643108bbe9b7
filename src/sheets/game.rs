//! A fair game on one shot: the string, the marks on it, and the diagram of both.

use kurbo::{Point, Rect, Vec2};

use super::diagram::{Around, Placed, table};
use super::fault::BookletError;
use super::page::Sheet;
use super::parts::Style;
use super::words::game::{self as words, SetUp};
use crate::charts::corridor::{OBJECT_RUN, ribbon};
use crate::charts::view::{self as picture, BallLook};
use crate::draw::canvas::{Anchor, Canvas, Stroke as Line, Text};
use crate::draw::colour;
use crate::draw::text::{self, Weight};
use crate::field::Hint;
use crate::gear::Gear;
use crate::ladder::{MarksAnswer, string_end};
use crate::lesson::LessonShot;
#[cfg(feature = "log")]
use crate::log::Rung;
use crate::pocket::PocketName;
use crate::request::Places;
use crate::units::Position;

/// Tries of each student on a sheet of its own.
const TRIES: u32 = 10;

/// A mark this far beside the string is none of it, m (assumption: what a tape and a hand can do).
const BESIDE_M: f64 = 0.005;
/// Longest label that stands in the diagram itself; longer ones have a number there.
const SHORT_LABEL: usize = 3;

/// One student's mark.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mark {
    /// Whose.
    pub(super) student: String,
    /// The shot's number in a lesson.
    pub(super) shot: Option<usize>,
    /// The cue ball there, m.
    pub(super) at: Point,
    /// From the middle of the object ball, m.
    pub(super) distance_m: f64,
    /// How many boxes.
    pub(super) tries: u32,
}

impl Mark {
    /// What stands beside the boxes: `Shot 9, A: 52.5 cm`.
    pub(super) fn line(&self, game: &Game, style: &Style) -> String {
        let key = game.key(self);
        words::line(self.shot, &key, &self.student, self.distance_m, style)
    }
}

/// The shot, the string and its marks, nearest first.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Game {
    object: Position,
    pocket: PocketName,
    object_m: Point,
    string_to: Position,
    makes_in_ten: Option<f64>,
    pub(super) marks: Vec<Mark>,
}

/// A shot of the game as it is kept.
struct Kept<'a> {
    student: &'a str,
    places: Places<'a>,
    /// Its number in a lesson.
    shot: Option<usize>,
    tries: u32,
}

impl Game {
    /// Of an answer.
    pub(super) fn of_answer(gear: &Gear, marks: &MarksAnswer) -> Result<Self, BookletError> {
        let shots: Vec<Kept<'_>> = marks
            .marks
            .iter()
            .map(|m| Kept {
                student: &m.student,
                places: Places {
                    cue: &m.cue,
                    object: &marks.object,
                    pocket: &marks.pocket,
                },
                shot: None,
                tries: TRIES,
            })
            .collect();
        Self::new(gear, &shots, Some(marks.asked_in_ten))?.ok_or_else(|| BookletError::Shot {
            place: "marks".to_owned(),
            problem: format!(
                "they do not lie on one string from the object ball{}",
                Hint::TakeMarks
            ),
        })
    }

    /// Of a kept marks sheet; `None` where its shots are not one.
    #[cfg(feature = "log")]
    pub(super) fn of_kept(
        gear: &Gear,
        rungs: &[Rung],
        makes_in_ten: Option<f64>,
    ) -> Result<Option<Self>, BookletError> {
        let shots: Option<Vec<Kept<'_>>> = rungs
            .iter()
            .map(|rung| {
                let at = &rung.shot.request.places;
                Some(Kept {
                    student: rung.student.as_deref()?,
                    places: Places {
                        cue: at.cue.as_deref()?,
                        object: at.object.as_deref()?,
                        pocket: at.pocket.as_deref()?,
                    },
                    shot: None,
                    tries: TRIES,
                })
            })
            .collect();
        shots.map_or(Ok(None), |shots| Self::new(gear, &shots, makes_in_ten))
    }

    /// Of a part of a lesson, its first shot with this number; `None` where a coach made something
    /// else of it.
    pub(super) fn of_part(
        gear: &Gear,
        shots: &[LessonShot],
        first: usize,
    ) -> Result<Option<Self>, BookletError> {
        let all: Option<Vec<Kept<'_>>> = (first..)
            .zip(shots)
            .map(|(number, s)| {
                Some(Kept {
                    student: s.student.as_deref()?,
                    places: Places {
                        cue: &s.cue,
                        object: &s.object,
                        pocket: &s.pocket,
                    },
                    shot: Some(number),
                    tries: s.tries,
                })
            })
            .collect();
        #[expect(clippy::cast_precision_loss, reason = "a few shots")]
        let middle = shots.iter().map(|s| s.makes_in_ten).sum::<f64>() / shots.len().max(1) as f64;
        all.map_or(Ok(None), |all| Self::new(gear, &all, Some(middle)))
    }

    fn new(
        gear: &Gear,
        shots: &[Kept<'_>],
        makes_in_ten: Option<f64>,
    ) -> Result<Option<Self>, BookletError> {
        let Some(Places { object, pocket, .. }) = shots.first().map(|s| s.places) else {
            return Ok(None);
        };
        let mut object_m = Point::ORIGIN;
        let mut marks = Vec::with_capacity(shots.len());
        for kept in shots {
            let lie = Placed::new(gear, kept.places)?;
            object_m = lie.object;
            marks.push(Mark {
                student: kept.student.to_owned(),
                shot: kept.shot,
                at: lie.cue,
                distance_m: lie.cue.distance(lie.object),
                tries: kept.tries,
            });
        }
        marks.sort_by(|a, b| a.distance_m.total_cmp(&b.distance_m));
        let far = marks.last().map_or(object_m, |m| m.at);
        let same = shots
            .iter()
            .all(|s| s.places.object == object && s.places.pocket == pocket);
        let Some(string_to) = string_end(&gear.bed, object_m, far).filter(|_| same) else {
            return Ok(None);
        };
        let way = (far - object_m).normalize();
        let straight = |m: &Mark| {
            let to = m.at - object_m;
            to.dot(way) > 0.0 && to.cross(way).abs() < BESIDE_M
        };
        if !marks.iter().all(straight) {
            return Ok(None);
        }
        Ok(Some(Self {
            object: object.parse()?,
            pocket: pocket.parse().map_err(BookletError::Pocket)?,
            object_m,
            string_to,
            makes_in_ten,
            marks,
        }))
    }

    /// How to set it up.
    pub(super) fn set_up(&self, gear: &Gear, style: &Style) -> String {
        words::set_up(&self.said(), &gear.bed, style)
    }

    fn said(&self) -> SetUp {
        SetUp {
            object: self.object,
            pocket: self.pocket,
            string_to: self.string_to,
            makes_in_ten: self.makes_in_ten,
        }
    }

    /// How its tally is typed, for its first two students.
    pub(super) fn tally(&self) -> String {
        let own: Vec<String> = std::iter::zip(&self.marks, ["6/10", "4/10"])
            .map(|(mark, made)| format!("{} {made}", mark.student))
            .collect();
        format!("\"{}\"", own.join(", "))
    }

    /// What it takes, in plain words.
    pub(super) fn needs(&self) -> String {
        let tries = self.marks.first().map_or(0, |m| m.tries);
        let alike = tries > 0 && self.marks.iter().all(|m| m.tries == tries);
        words::needs(alike.then_some(tries))
    }

    /// What stands for a mark in the diagram: a short label itself, else a number.
    pub(super) fn key(&self, mark: &Mark) -> String {
        let short = self
            .marks
            .iter()
            .all(|m| m.student.chars().count() <= SHORT_LABEL);
        if short {
            return mark.student.clone();
        }
        let at = self.marks.iter().position(|m| m == mark);
        (at.unwrap_or(0) + 1).to_string()
    }

    /// The diagram, across the page and so high.
    pub(super) fn draw(
        &self,
        sheet: &mut Sheet,
        gear: &Gear,
        style: &Style,
        high_mm: f64,
    ) -> Result<(), BookletError> {
        let shows = words::shows(&self.said(), &gear.bed, style);
        let (canvas, strip) = sheet.figure("the diagram", shows, high_mm)?;
        self.diagram(canvas, gear, strip, style);
        Ok(())
    }

    /// Usual height of the diagram, mm.
    pub(super) fn high_mm(&self, sheet: &Sheet, style: &Style) -> f64 {
        let share = if style.plain { 0.46 } else { 0.55 };
        share * sheet.room().width()
    }

    fn diagram(&self, canvas: &mut Canvas, gear: &Gear, room: Rect, style: &Style) {
        let view = table(canvas, gear, room, Around::of(style));
        let hair = Line::new(colour::SOFT_INK, 0.25);
        let mouth = self.pocket.frame(gear).mouth_middle;
        let object_m = gear.object_radius_m();
        ribbon(canvas, &view, &[self.object_m, mouth], object_m, OBJECT_RUN);
        let dashed = hair.dashed(&[4.0, 3.0]);
        // The string goes on to the rail, where it is held.
        let end = gear
            .bed
            .locate(self.string_to, 0.0)
            .unwrap_or(self.object_m);
        picture::path(canvas, &view, &[self.object_m, end], &dashed);
        let cue_m = gear.cue_radius_m();
        picture::object_ball(
            canvas,
            &view,
            self.object_m,
            object_m,
            picture::OBJECT_NUMBER,
        );
        let places = self.places();
        // Marks nearer to each other than a ball is wide are strokes across the string.
        let roomy = places
            .windows(2)
            .all(|w| w[1].0.distance(w[0].0) > 2.2 * cue_m);
        let way = view.direction((end - self.object_m).normalize());
        let across = Vec2::new(-way.y, way.x);
        for (at, _) in &places {
            if roomy {
                picture::ball(canvas, &view, *at, cue_m, BallLook::Cue);
            } else {
                let (middle, reach) = (view.map(*at), across * (1.2 * cue_m * view.scale));
                let stroke = Line::new(colour::INK, 0.35);
                canvas.line(middle - reach, middle + reach, &stroke);
            }
        }
        let labels: Vec<(Point, String)> = places
            .into_iter()
            .map(|(at, label)| (view.map(at), label))
            .collect();
        let clear = 1.2 * cue_m * view.scale;
        let bed = &gear.bed;
        let corners = [Point::ORIGIN, Point::new(bed.length_m, bed.width_m)];
        let [a, b] = corners.map(|p| view.map(p));
        let cloth = Rect::from_points(a, b).inset(-2.0);
        let lettering = Lettering {
            along: way,
            clear_mm: clear,
            size_mm: style.body_mm(),
            cloth,
        };
        write_labels(canvas, &labels, &lettering);
    }

    /// Where marks lie, with the keys of all that share the place.
    fn places(&self) -> Vec<(Point, String)> {
        let mut out: Vec<(Point, String)> = Vec::new();
        for mark in &self.marks {
            let key = self.key(mark);
            match out.last_mut() {
                Some((at, label)) if at.distance(mark.at) < 1e-3 => {
                    label.push_str(", ");
                    label.push_str(&key);
                }
                _ => out.push((mark.at, key)),
            }
        }
        out
    }
}

/// How labels are set along a string.
struct Lettering {
    /// The string's direction.
    along: Vec2,
    /// What a mark takes to each side of it.
    clear_mm: f64,
    /// Height of the letters.
    size_mm: f64,
    /// Where labels may stand.
    cloth: Rect,
}

/// Labels on both sides of a string in turn, or on the side where they stay on the cloth, moved along
/// it until they are apart, with a line to their mark where they had to move.
fn write_labels(canvas: &mut Canvas, labels: &[(Point, String)], lettering: &Lettering) {
    let Lettering {
        along: way,
        clear_mm,
        size_mm: size,
        cloth,
    } = *lettering;
    let across = Vec2::new(-way.y, way.x);
    let extent = |label: &str, along: Vec2| {
        let wide = text::width(label, size, Weight::Bold);
        along.x.abs() * wide + along.y.abs() * size
    };
    let off = |label: &str| clear_mm + 0.3 * size + 0.5 * extent(label, across);
    // What brings a label back onto the cloth.
    let back = |place: Point, label: &str| {
        let half = 0.5 * Vec2::new(text::width(label, size, Weight::Bold), size);
        let into = |at: f64, low: f64, high: f64| at.clamp(low.min(high), high.max(low)) - at;
        Vec2::new(
            into(place.x, cloth.x0 + half.x, cloth.x1 - half.x),
            into(place.y, cloth.y0 + half.y, cloth.y1 - half.y),
        )
    };
    let side_of = |k: usize| {
        let turn = if k.is_multiple_of(2) { 1.0 } else { -1.0 };
        let (at, label) = &labels[k];
        // Moved towards the string it would lie on the mark.
        let out = |side: f64| {
            let off = across * (side * off(label));
            let moved = back(*at + off, label);
            moved.hypot() + 9.0 * (-moved.dot(across) * side).max(0.0)
        };
        if out(turn) > out(-turn) { -turn } else { turn }
    };
    for side in [1.0, -1.0] {
        let own: Vec<&(Point, String)> = (0..labels.len())
            .filter(|k| side_of(*k) * side > 0.0)
            .map(|k| &labels[k])
            .collect();
        let wanted: Vec<(f64, f64)> = own
            .iter()
            .map(|(at, label)| (at.to_vec2().dot(way), extent(label, way)))
            .collect();
        for ((at, label), moved) in own.iter().zip(apart(&wanted, 0.4 * size)) {
            let shift = moved - at.to_vec2().dot(way);
            let led = shift.abs() > 0.5;
            let off = off(label) + if led { 0.8 * size } else { 0.0 };
            let place = *at + way * shift + across * (side * off);
            let place = place + back(place, label);
            if led {
                let from = *at + across * (side * clear_mm);
                let to = place - across * (side * (0.5 * extent(label, across) + 0.2 * size));
                canvas.line(from, to, &Line::new(colour::SOFT_INK, 0.2));
            }
            let t = Text::new(label, place, size)
                .anchor(Anchor::Middle)
                .bold()
                .centred();
            canvas.text(&t);
        }
    }
}

/// Places in order, `(middle, extent)`, moved as little as may be until `gap` is between them: groups
/// that touch are spread about their common middle.
#[must_use]
pub fn apart(wanted: &[(f64, f64)], gap: f64) -> Vec<f64> {
    /// A run of labels that touch: first of them, the middle it wants, its extent, how many.
    struct Run {
        first: usize,
        middle: f64,
        extent: f64,
        count: f64,
    }
    let mut runs: Vec<Run> = Vec::new();
    for (k, (at, extent)) in wanted.iter().enumerate() {
        let mut run = Run {
            first: k,
            middle: *at,
            extent: *extent,
            count: 1.0,
        };
        while let Some(last) = runs.last() {
            let free = (run.middle - 0.5 * run.extent) - (last.middle + 0.5 * last.extent);
            if free >= gap {
                break;
            }
            let count = last.count + run.count;
            run = Run {
                first: last.first,
                middle: (last.middle * last.count + run.middle * run.count) / count,
                extent: last.extent + run.extent + gap,
                count,
            };
            runs.pop();
        }
        runs.push(run);
    }
    let mut out = Vec::with_capacity(wanted.len());
    for (k, run) in runs.iter().enumerate() {
        let end = runs.get(k + 1).map_or(wanted.len(), |next| next.first);
        let mut at = run.middle - 0.5 * run.extent;
        for (_, extent) in &wanted[run.first..end] {
            out.push(at + 0.5 * extent);
            at += extent + gap;
        }
    }
    out
}
