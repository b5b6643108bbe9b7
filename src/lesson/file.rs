//! A lesson as a TOML file that a coach may edit: warm-up, test shots, topic, drills, homework.
//!
//! Schema `thincut-lesson-1`: a head, `[[skill]]` tables with how good each student is taken to be,
//! then `[[part]]` tables in the order they are played, each with its shots in `[[part.shot]]`.
//! Homework is outside the lesson's minutes.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::part::PartKind;
use super::words::how_to_edit;
use crate::error::UnitError;
use crate::gear::Gear;
use crate::ladder::{LadderError, Topic};
use crate::player::{AimError, PlayerError, chance, chance_of_solution, makes};
use crate::request::{PlacesRequest, ShotRequest};
use crate::shown::{bounded, quoted};
use crate::speech::Speech;
use crate::units::{Length, Position};
use crate::window::{Stroke, solve};

/// The schema's name, first line of every file.
pub const LESSON_FORMAT: &str = "thincut-lesson-1";
/// One try with setting the balls again, minutes (assumption: 40 seconds).
pub const MINUTES_A_TRY: f64 = 2.0 / 3.0;
/// Makes in ten may be this much off when a lesson is checked, for editing and rounding.
const MAKES_OFF: f64 = 0.1;

/// A mark may be this far from where its tape length says, m: half a centimetre or a quarter of an
/// inch of rounding.
const ALONG_OFF_M: f64 = 0.0075;

/// One shot of a lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LessonShot {
    /// Cue ball, as `cue` takes it.
    pub cue: String,
    /// Object ball.
    pub object: String,
    /// Pocket.
    pub pocket: String,
    /// Tries by everybody together.
    pub tries: u32,
    /// Makes of a student's own tries that pass it, where counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pass: Option<u32>,
    /// Makes in ten for the student it was drawn up for.
    pub makes_in_ten: f64,
    /// Whose mark it is, where the shot is one student's only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub student: Option<String>,
    /// How far the mark is along the string, from the middle of the object ball: for the coach with a
    /// tape, in the coach's units.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub along: Option<String>,
}

/// How good a student is taken to be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Skill {
    /// The label.
    pub student: String,
    /// Who that is in words.
    pub who: String,
    /// Spread of the arm, degrees.
    pub arm_deg: f64,
    /// Spread of the picture, mm.
    pub picture_mm: f64,
    /// Lean of the aim on left cuts and on right cuts, degrees, left positive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lean_deg: Option<[f64; 2]>,
}

/// One part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// What for.
    pub kind: PartKind,
    /// How long.
    pub minutes: u32,
    /// Balls needed, the cue ball counted.
    pub balls: u32,
    /// What the coach says.
    pub say: String,
    /// Who is at which table when, a line a turn.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub turns: Vec<String>,
    /// The shots.
    #[serde(default, rename = "shot", skip_serializing_if = "Vec::is_empty")]
    pub shots: Vec<LessonShot>,
}

/// A lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lesson {
    /// [`LESSON_FORMAT`].
    pub format: String,
    /// A line to know it by.
    pub title: String,
    /// Labels of the students.
    pub students: Vec<String>,
    /// The topic.
    pub topic: Topic,
    /// Minutes at the table, homework apart.
    pub minutes: u32,
    /// Tables played on at the same time.
    #[serde(default = "one_table")]
    pub tables: u32,
    /// Equipment: a preset or a file.
    pub gear: String,
    /// Spread of the arm of the student it is drawn up for, degrees.
    pub arm_deg: f64,
    /// Spread of the picture, mm.
    pub picture_mm: f64,
    /// Lean of that student's aim on left cuts and on right cuts, degrees, left positive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lean_deg: Option<[f64; 2]>,
    /// Why this topic.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub because: Option<String>,
    /// A caution.
    pub caution: String,
    /// How good each student is taken to be; marks are set by it.
    #[serde(default, rename = "skill", skip_serializing_if = "Vec::is_empty")]
    pub skills: Vec<Skill>,
    /// The parts in order.
    #[serde(default, rename = "part")]
    pub parts: Vec<Part>,
}

fn one_table() -> u32 {
    1
}

/// A lesson that is not good.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum LessonError {
    /// Not the schema.
    #[error("not a lesson file: {0}")]
    Toml(String),
    /// Something in it.
    #[error("{place}: {problem}")]
    Problem {
        /// Which key or part.
        place: String,
        /// What, and what would do.
        problem: String,
    },
    /// The shots cannot be had.
    #[error(transparent)]
    Ladder(#[from] LadderError),
}

impl Lesson {
    /// The same with its sentences in the words of whoever listens; what a program reads stays.
    #[must_use]
    pub fn said(mut self, speech: Speech) -> Self {
        let say = |text: &mut String| *text = speech.said(text);
        say(&mut self.title);
        say(&mut self.caution);
        self.because.iter_mut().for_each(say);
        for part in &mut self.parts {
            say(&mut part.say);
            part.turns.iter_mut().for_each(say);
        }
        self
    }

    /// Reads a file's text and its shape; [`Self::check`] does the rest.
    ///
    /// # Errors
    /// [`LessonError::Toml`] with the place in the file.
    pub fn read(text: &str) -> Result<Self, LessonError> {
        let lesson: Self = toml::from_str(text)
            .map_err(|e| LessonError::Toml(bounded(e.to_string().trim_end())))?;
        if lesson.format != LESSON_FORMAT {
            return Err(problem(
                "format",
                format!("\"{}\" must be \"{LESSON_FORMAT}\"", quoted(&lesson.format)),
            ));
        }
        lesson.check_numbers()?;
        Ok(lesson)
    }

    /// Numbers that TOML allows and a lesson cannot have: nan and inf.
    fn check_numbers(&self) -> Result<(), LessonError> {
        let own = std::iter::once((None, self.arm_deg, self.picture_mm, self.lean_deg));
        let skills = self
            .skills
            .iter()
            .map(|s| (Some(&s.student), s.arm_deg, s.picture_mm, s.lean_deg));
        for (student, arm_deg, picture_mm, lean_deg) in own.chain(skills) {
            let [left, right] = lean_deg.unwrap_or_default();
            let given = [
                ("arm_deg", arm_deg),
                ("picture_mm", picture_mm),
                ("lean_deg", left),
                ("lean_deg", right),
            ];
            let place = |name: &str| match student {
                Some(label) => format!("skill of {}, {name}", quoted(label)),
                None => name.to_owned(),
            };
            for (name, value) in given {
                finite(&place(name), value)?;
            }
        }
        for (number, part) in (1..).zip(&self.parts) {
            for (k, shot) in (1..).zip(&part.shots) {
                finite(
                    &format!("part {number}, shot {k}, makes_in_ten"),
                    shot.makes_in_ten,
                )?;
            }
        }
        Ok(())
    }

    /// As a file's text.
    ///
    /// # Errors
    /// [`LessonError::Toml`] when it cannot be written as TOML.
    pub fn to_toml(&self) -> Result<String, LessonError> {
        let table = toml::to_string(self).map_err(|e| LessonError::Toml(e.to_string()))?;
        Ok(how_to_edit() + &table)
    }

    /// Minutes at the table of all parts but homework.
    #[must_use]
    pub fn minutes_of_parts(&self) -> u64 {
        let at_table = self.parts.iter().filter(|p| p.kind != PartKind::Homework);
        at_table.map(|p| u64::from(p.minutes)).sum()
    }

    /// Checks students, minutes, balls, and solves every shot again.
    ///
    /// # Errors
    /// [`LessonError::Problem`], the first from the top.
    pub fn check(&self, gear: &Gear) -> Result<(), LessonError> {
        if self.students.is_empty() {
            return Err(problem(
                "students",
                "nobody is named; name at least one".to_owned(),
            ));
        }
        let sum = self.minutes_of_parts();
        if sum > u64::from(self.minutes) {
            return Err(problem(
                "minutes",
                format!(
                    "the parts take {sum} minutes, the lesson has {}; shorten a part by {}",
                    self.minutes,
                    sum - u64::from(self.minutes)
                ),
            ));
        }
        if self.tables == 0 {
            return Err(problem(
                "tables",
                "0 tables; it takes 1 at least".to_owned(),
            ));
        }
        for skill in &self.skills {
            if !self.students.contains(&skill.student) {
                return Err(problem(
                    &format!("skill of {}", quoted(&skill.student)),
                    format!("students are {}", self.students.join(", ")),
                ));
            }
        }
        for (number, part) in (1..).zip(&self.parts) {
            part.check(gear, self, number)?;
        }
        Ok(())
    }

    /// Whose aim a shot is for, on left and on right cuts: the student's whose mark it is, else the
    /// one's the lesson is drawn up for.
    fn aims(&self, shot: &LessonShot) -> Result<[AimError; 2], LessonError> {
        let Some(label) = &shot.student else {
            return aims(self.arm_deg, self.picture_mm, self.lean_deg)
                .map_err(|e| problem("arm_deg and picture_mm", e.to_string()));
        };
        let skill = self.skills.iter().find(|s| s.student == *label);
        let skill = skill.ok_or_else(|| {
            let label = quoted(label);
            problem(
                &format!("mark of {label}"),
                format!("no [[skill]] says how good {label} is"),
            )
        })?;
        aims(skill.arm_deg, skill.picture_mm, skill.lean_deg)
            .map_err(|e| problem(&format!("skill of {label}"), e.to_string()))
    }
}

/// The aim on left and on right cuts.
pub(super) fn aims(
    arm_deg: f64,
    picture_mm: f64,
    lean_deg: Option<[f64; 2]>,
) -> Result<[AimError; 2], PlayerError> {
    let plain = AimError::new(arm_deg.to_radians(), 1e-3 * picture_mm)?.with_nearest_scatter();
    let [left, right] = lean_deg.unwrap_or_default();
    Ok([
        plain.with_bias(left.to_radians())?,
        plain.with_bias(right.to_radians())?,
    ])
}

impl Part {
    fn check(&self, gear: &Gear, lesson: &Lesson, number: usize) -> Result<(), LessonError> {
        let here = format!("part {number}");
        let tries: u64 = self.shots.iter().map(|s| u64::from(s.tries)).sum();
        let tables = if self.kind == PartKind::Homework {
            1
        } else {
            lesson.tables
        };
        let takes =
            MINUTES_A_TRY * f64::from(u32::try_from(tries).unwrap_or(u32::MAX)) / f64::from(tables);
        if takes > f64::from(self.minutes) + 1.0 {
            return Err(problem(
                &here,
                format!(
                    "{tries} tries take about {takes:.0} minutes, the part has {}; fewer tries or more minutes",
                    self.minutes
                ),
            ));
        }
        if !self.shots.is_empty() && self.balls < 2 {
            return Err(problem(
                &here,
                format!("balls = {}; a shot takes 2", self.balls),
            ));
        }
        for (k, shot) in (1..).zip(&self.shots) {
            shot.check(gear, &lesson.aims(shot)?, &format!("{here}, shot {k}"))?;
        }
        Ok(())
    }
}

impl LessonShot {
    /// The shot as somebody would ask for it, at the usual pace.
    #[must_use]
    pub fn request(&self) -> ShotRequest {
        ShotRequest {
            places: PlacesRequest {
                cue: Some(self.cue.clone()),
                object: Some(self.object.clone()),
                pocket: Some(self.pocket.clone()),
                ..PlacesRequest::default()
            },
            ..ShotRequest::default()
        }
    }

    fn check(&self, gear: &Gear, aims: &[AimError; 2], here: &str) -> Result<(), LessonError> {
        if self.tries == 0 || self.pass.is_some_and(|p| p > self.tries) {
            return Err(problem(
                here,
                format!(
                    "tries = {}, pass = {}; tries is at least 1 and pass at most tries",
                    self.tries,
                    self.pass.unwrap_or(0)
                ),
            ));
        }
        let fault = |e: String| problem(here, e);
        self.check_along(gear, here)?;
        let mut shot = self
            .request()
            .shot(gear)
            .map_err(|e| fault(e.to_string()))?;
        shot.stroke = Stroke::centre_ball();
        let solved = solve(gear, &shot).map_err(|e| fault(e.to_string()))?;
        let cut = solved.window.as_ref().map_or(0, |w| w.cut_side.index());
        let found = 10.0 * chance_of_solution(gear, &shot, &solved, &aims[cut]);
        let off = |found: f64| (found - self.makes_in_ten).abs() > MAKES_OFF;
        // A lesson of the first edition counted a cue ball that rolls, at one speed.
        shot.stroke = Stroke::default();
        let rolled = solve(gear, &shot).map_err(|e| fault(e.to_string()))?;
        let first_edition = rolled.solved().map_or(0.0, |solved| {
            let (window, aim) = (solved.window, aims[cut]);
            let sigma = aim.sigma_rad(window.aim.travel_m, window.cue_speed_m_s);
            10.0 * chance(&makes(solved), sigma, aim.bias_rad)
        });
        if off(found) && off(first_edition) {
            return Err(fault(format!(
                "makes_in_ten = {}; it is {found:.2} for this student: write that, or move a ball",
                self.makes_in_ten
            )));
        }
        Ok(())
    }
}

impl LessonShot {
    /// Whether `along` is how far the cue ball is from the object ball.
    fn check_along(&self, gear: &Gear, here: &str) -> Result<(), LessonError> {
        let Some(text) = &self.along else {
            return Ok(());
        };
        let fault = |e: String| problem(here, e);
        let said: Length = text.parse().map_err(|e: UnitError| fault(e.to_string()))?;
        let at = |place: &str, rho_m: f64| {
            let place = place.parse::<Position>();
            place
                .and_then(|p| gear.bed.locate(p, rho_m))
                .map_err(|e| fault(e.to_string()))
        };
        let found_m = at(&self.cue, gear.cue_contact_radius_m())?
            .distance(at(&self.object, gear.object_contact_radius_m())?);
        if (found_m - said.m()).abs() <= ALONG_OFF_M {
            return Ok(());
        }
        Err(fault(format!(
            "along = \"{}\"; the cue ball is {:.1} cm from the object ball: write that, or move it",
            quoted(text),
            100.0 * found_m
        )))
    }
}

fn finite(place: &str, value: f64) -> Result<(), LessonError> {
    if value.is_finite() {
        Ok(())
    } else {
        Err(problem(
            place,
            format!("{value} is no number to work with; write one such as 2.5"),
        ))
    }
}

pub(super) fn problem(place: &str, problem: String) -> LessonError {
    LessonError::Problem {
        place: place.to_owned(),
        problem,
    }
}
