//! A lesson as a TOML file that a coach may edit: warm-up, test shots, topic, drills, homework.
//!
//! Schema `thincut-lesson-1`: a head, then `[[part]]` tables in the order they are played, each with
//! its shots in `[[part.shot]]`. Minutes are split by shares that are common practice of a one-hour
//! lesson, not measured. Homework is outside the lesson's minutes.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::error::LadderError;
use super::pick::{Ladder, ladder};
use super::students::Student;
use super::wishes::{Topic, Wishes};
use crate::gear::Gear;
use crate::player::{AimError, chance_of_solution};
use crate::request::{PlacesRequest, ShotRequest};
use crate::window::{Stroke, solve};

/// The schema's name, first line of every file.
pub const LESSON_FORMAT: &str = "thincut-lesson-1";
/// Shortest lesson, minutes (assumption: less leaves no part two tries).
const SHORTEST_MIN: u32 = 20;
/// Longest lesson, minutes (assumption: a day).
const LONGEST_MIN: u32 = 480;
/// One try with setting the balls again, minutes (assumption: 40 seconds).
pub const MINUTES_A_TRY: f64 = 2.0 / 3.0;
/// Makes in ten may be this much off when a lesson is checked, for editing and rounding.
const MAKES_OFF: f64 = 0.1;

/// The plain caution every lesson carries.
pub const CAUTION: &str = "The same shot many times over trains little and strains wrist, elbow and back: change the shot every few tries, stand up straight between tries, and stop when something hurts.";

/// What a part is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PartKind {
    /// Easy shots to start with.
    WarmUp,
    /// Shots whose makes are counted before the work.
    Test,
    /// What the lesson is about.
    Topic,
    /// Rungs to climb.
    Drill,
    /// One shot, each student of a group from a mark of their own.
    Marks,
    /// For the days after.
    Homework,
}

/// One shot of a lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LessonShot {
    /// Cue ball, as `--cue` takes it.
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

/// Share of the lesson, rungs, first and last chance of each part (common practice; chances are
/// assumptions).
const PLAN: [(PartKind, f64, usize, f64, f64); 4] = [
    (PartKind::WarmUp, 0.15, 2, 0.9, 0.8),
    (PartKind::Test, 0.2, 3, 0.7, 0.5),
    (PartKind::Topic, 0.35, 4, 0.8, 0.5),
    (PartKind::Drill, 0.3, 4, 0.7, 0.4),
];
/// Homework: minutes, rungs, chances (assumptions).
const HOMEWORK: (u32, usize, f64, f64) = (20, 3, 0.8, 0.5);

/// Draws up a lesson for a group; shots are for the student in the middle.
///
/// # Errors
/// [`LessonError::Ladder`]: an empty group, too few minutes, or shots that cannot be had.
pub fn lesson(
    gear: &Gear,
    gear_name: &str,
    group: &[Student],
    topic: Topic,
    minutes: u32,
) -> Result<Lesson, LessonError> {
    let middle = middle(group).ok_or(LadderError::EmptyGroup)?;
    if !(SHORTEST_MIN..=LONGEST_MIN).contains(&minutes) {
        return Err(LadderError::TooShort {
            minutes,
            need: format!("a lesson has {SHORTEST_MIN} to {LONGEST_MIN}"),
        }
        .into());
    }
    let mut parts = Vec::with_capacity(PLAN.len() + 1);
    let mut left = minutes;
    for (seed, (kind, share, rungs, from, to)) in (1..).zip(PLAN) {
        let own = if kind == PartKind::Drill {
            left
        } else {
            rounded(share * f64::from(minutes))
        };
        left -= own;
        let topic = if matches!(kind, PartKind::WarmUp) {
            Topic::Mixed
        } else {
            topic
        };
        let wishes = wishes(middle, topic, seed, (rungs, from, to));
        parts.push(part(kind, own, &ladder(gear, &wishes)?, topic));
    }
    let (own, rungs, from, to) = HOMEWORK;
    let wishes = wishes(middle, topic, 5, (rungs, from, to));
    parts.push(part(
        PartKind::Homework,
        own,
        &ladder(gear, &wishes)?,
        topic,
    ));
    let labels: Vec<String> = group.iter().map(|s| s.label.clone()).collect();
    Ok(Lesson {
        format: LESSON_FORMAT.to_owned(),
        title: format!("{} for {}", topic.spoken(), labels.join(", ")),
        students: labels,
        topic,
        minutes,
        gear: gear_name.to_owned(),
        arm_deg: middle.error.arm_rad.to_degrees(),
        picture_mm: 1e3 * middle.error.picture_m,
        lean_deg: None,
        because: None,
        caution: CAUTION.to_owned(),
        skills: Vec::new(),
        parts,
    })
}

/// The student in the middle by the spread at one metre.
fn middle(group: &[Student]) -> Option<&Student> {
    let mut order: Vec<&Student> = group.iter().collect();
    let spread = |s: &Student| s.error.sigma_rad(1.0, 1.0);
    order.sort_by(|a, b| spread(a).total_cmp(&spread(b)));
    order.get(order.len() / 2).copied()
}

fn wishes(student: &Student, topic: Topic, seed: u64, plan: (usize, f64, f64)) -> Wishes {
    let mut wishes = Wishes::new(plain(student.error));
    let fits = |p: &crate::pocket::PocketName| topic.wants_pocket(p.kind());
    wishes.pockets.retain(fits);
    (wishes.rungs, wishes.from_chance, wishes.to_chance) = plan;
    wishes.topic = topic;
    wishes.seed = seed;
    wishes
}

/// As the file keeps a student: arm and picture.
fn plain(error: AimError) -> AimError {
    AimError {
        bias_rad: 0.0,
        arm_growth_per_m_s: crate::player::error::ARM_GROWTH_PER_M_S,
        ..error
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "minutes of a lesson"
)]
fn rounded(minutes: f64) -> u32 {
    minutes.round() as u32
}

fn part(kind: PartKind, minutes: u32, ladder: &Ladder, topic: Topic) -> Part {
    let shots = f64::from(u32::try_from(ladder.rungs.len()).unwrap_or(1));
    let tries = rounded((f64::from(minutes) / MINUTES_A_TRY / shots).floor()).max(1);
    let counted = matches!(kind, PartKind::Test | PartKind::Drill | PartKind::Homework);
    let topic = topic.spoken();
    let say = match kind {
        PartKind::WarmUp => "Easy shots, a smooth stroke; nobody counts.".to_owned(),
        PartKind::Test => format!("Count makes and the side of each miss, {topic}."),
        PartKind::Topic => format!(
            "{topic}: see the ghost ball, stand behind its line, look where a miss went: too full or too thin?"
        ),
        PartKind::Drill => {
            "Climb: the next shot when this one is passed, the last again when it is not."
                .to_owned()
        }
        PartKind::Homework => {
            "On two or three days, not all at once; write down makes and tries.".to_owned()
        }
        PartKind::Marks => {
            "One shot, everybody from their own mark: the one with the most makes wins.".to_owned()
        }
    };
    Part {
        kind,
        minutes,
        balls: 2,
        say,
        turns: Vec::new(),
        shots: ladder
            .rungs
            .iter()
            .map(|r| LessonShot {
                cue: r.shot.cue.to_string(),
                object: r.shot.object.to_string(),
                pocket: r.shot.pocket.name().to_owned(),
                tries,
                pass: counted
                    .then(|| ladder.wishes.pass.pass_in(r.shot.chance, tries))
                    .flatten()
                    .map(|p| p.makes),
                makes_in_ten: (1e3 * r.shot.chance).round() / 100.0,
                student: None,
            })
            .collect(),
    }
}

impl Lesson {
    /// Reads a file's text and its shape; [`Self::check`] does the rest.
    ///
    /// # Errors
    /// [`LessonError::Toml`] with the place in the file.
    pub fn read(text: &str) -> Result<Self, LessonError> {
        let lesson: Self = toml::from_str(text)
            .map_err(|e| LessonError::Toml(e.to_string().trim_end().to_owned()))?;
        if lesson.format != LESSON_FORMAT {
            return Err(problem(
                "format",
                format!("\"{}\" must be \"{LESSON_FORMAT}\"", lesson.format),
            ));
        }
        Ok(lesson)
    }

    /// As a file's text.
    ///
    /// # Errors
    /// [`LessonError::Toml`] when it cannot be written as TOML.
    pub fn to_toml(&self) -> Result<String, LessonError> {
        toml::to_string(self).map_err(|e| LessonError::Toml(e.to_string()))
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
        let player = AimError::new(self.arm_deg.to_radians(), 1e-3 * self.picture_mm)
            .map_err(|e| problem("arm_deg and picture_mm", e.to_string()))?;
        for (number, part) in (1..).zip(&self.parts) {
            part.check(gear, &player, number)?;
        }
        Ok(())
    }
}

impl Part {
    fn check(&self, gear: &Gear, player: &AimError, number: usize) -> Result<(), LessonError> {
        let here = format!("part {number}");
        let tries: u64 = self.shots.iter().map(|s| u64::from(s.tries)).sum();
        let takes = MINUTES_A_TRY * f64::from(u32::try_from(tries).unwrap_or(u32::MAX));
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
            shot.check(gear, player, &format!("{here}, shot {k}"))?;
        }
        Ok(())
    }
}

impl LessonShot {
    fn check(&self, gear: &Gear, player: &AimError, here: &str) -> Result<(), LessonError> {
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
        let request = ShotRequest {
            places: PlacesRequest {
                cue: Some(self.cue.clone()),
                object: Some(self.object.clone()),
                pocket: Some(self.pocket.clone()),
                ..PlacesRequest::default()
            },
            ..ShotRequest::default()
        };
        let fault = |e: String| problem(here, e);
        let mut shot = request.shot(gear).map_err(|e| fault(e.to_string()))?;
        shot.stroke = Stroke::default();
        let solved = solve(gear, &shot).map_err(|e| fault(e.to_string()))?;
        let makes = 10.0 * chance_of_solution(&solved, player);
        if (makes - self.makes_in_ten).abs() > MAKES_OFF {
            return Err(fault(format!(
                "makes_in_ten = {}; it is {makes:.2} for this student: write that, or move a ball",
                self.makes_in_ten
            )));
        }
        Ok(())
    }
}

fn problem(place: &str, problem: String) -> LessonError {
    LessonError::Problem {
        place: place.to_owned(),
        problem,
    }
}
