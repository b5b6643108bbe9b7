//! The Tuesday beginners' evening at Millpond Hall: eight invented students, simulated.
//!
//! Place, students and every number are invented. Each try is a direction drawn with the
//! student's known error and judged by the windows of the shot, so a fit can be checked against
//! the truth in [`TRUTHS`]. The generator comes from the caller, seeded.

use rand::Rng;

use super::attempt::{Attempt, MissSides, ShotEntered};
use super::error::LogError;
use super::handle::Log;
use super::solver::{SolveError, Solved, solve_entered};
use super::student::Student;
use super::transfer::Imported;
use super::when::{When, WhenError};
use super::windows::Windows;
use crate::gear::DEFAULT_PRESET;
use crate::player::aim_error::{ARM_GROWTH_PER_M_S, AimError, Balance, Scatter};
use crate::player::chance::ratios::Ratios;
use crate::player::normal::sample;
use crate::request::{PlacesRequest, ShotRequest};
use crate::units::{Hand, Side};

/// The evenings, Tuesdays all.
pub const EVENINGS: [&str; 8] = [
    "2025-10-07",
    "2025-10-14",
    "2025-10-21",
    "2025-10-28",
    "2025-11-04",
    "2025-11-11",
    "2025-11-18",
    "2025-11-25",
];

/// The evening's name.
pub const SESSION: &str = "Tuesday beginners, Millpond Hall";

/// Tries at each shot of an evening.
pub const TRIES: u32 = 10;

/// One miss in so many has no side noted.
const UNSEEN_ONE_IN: u32 = 10;

/// What is true of an invented student.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Truth {
    /// Label.
    pub label: &'static str,
    /// Arm, degrees, in the first four evenings.
    pub arm_deg: f64,
    /// Picture, mm, in the first four evenings.
    pub picture_mm: f64,
    /// Arm and picture from the fifth evening on, as factors.
    pub later: (f64, f64),
    /// Lean on left and on right cuts, degrees, counter-clockwise positive.
    pub lean_deg: (f64, f64),
    /// First evening attended, from 0.
    pub first: usize,
    /// Which shots, as a range of [`SHOTS`].
    pub shots: (usize, usize),
    /// The story, for people.
    pub story: &'static str,
}

/// The students (invented).
pub const TRUTHS: [Truth; 8] = [
    truth(
        "K",
        0.15,
        5.0,
        "steady stroke; learns to see the ghost ball in November",
    )
    .later(1.0, 0.5),
    truth("L", 0.25, 2.0, "plays as at the start"),
    truth("M", 0.30, 2.5, "leans left on every cut").lean(0.25, 0.25),
    truth("N", 0.60, 1.5, "sees well, the stroke scatters"),
    truth("P", 0.12, 6.0, "steady stroke, does not see the ghost ball"),
    truth("Q", 0.25, 2.5, "hits every cut too full").lean(0.25, -0.25),
    truth("R", 1.00, 6.0, "came for the first time, once").from(7, 0, 1),
    truth("S", 0.08, 0.5, "only ever plays the easy ones").from(4, 10, 11),
];

const fn truth(label: &'static str, arm_deg: f64, picture_mm: f64, story: &'static str) -> Truth {
    Truth {
        label,
        arm_deg,
        picture_mm,
        later: (1.0, 1.0),
        lean_deg: (0.0, 0.0),
        first: 0,
        shots: (0, 10),
        story,
    }
}

impl Truth {
    const fn later(self, arm: f64, picture: f64) -> Self {
        Self {
            later: (arm, picture),
            ..self
        }
    }

    const fn lean(self, left: f64, right: f64) -> Self {
        Self {
            lean_deg: (left, right),
            ..self
        }
    }

    /// Comes from an evening on, for the shots from `shot` up to `end`.
    const fn from(self, first: usize, shot: usize, end: usize) -> Self {
        Self {
            first,
            shots: (shot, end),
            ..self
        }
    }

    /// The true error on an evening (from 0) and a cut.
    #[must_use]
    pub fn error(&self, evening: usize, cut: Side) -> AimError {
        let (arm, picture) = if evening >= EVENINGS.len() / 2 {
            self.later
        } else {
            (1.0, 1.0)
        };
        let lean_deg = match cut {
            Side::Left => self.lean_deg.0,
            Side::Right => self.lean_deg.1,
        };
        AimError {
            arm_rad: (arm * self.arm_deg).to_radians(),
            picture_m: 1e-3 * picture * self.picture_mm,
            bias_rad: lean_deg.to_radians(),
            arm_growth_per_m_s: ARM_GROWTH_PER_M_S,
            scatter: Scatter::NONE,
            told_apart: true,
            ratios: Ratios::KNOWN,
            balance: Balance::Given,
            wild_share: 0.0,
        }
    }
}

/// The shots: cut, between the balls, to the pocket, side of the cut. The last one is H's.
pub const SHOTS: [(&str, &str, &str, &str); 11] = [
    ("0deg", "2ft", "2ft", "left"),
    ("0deg", "5ft", "1ft", "left"),
    ("3/4-ball", "8in", "3ft", "left"),
    ("3/4-ball", "8in", "3ft", "right"),
    ("half-ball", "10in", "2ft", "right"),
    ("half-ball", "3ft", "1ft", "left"),
    ("half-ball", "3ft", "1ft", "right"),
    ("45deg", "12in", "18in", "left"),
    ("20deg", "6ft", "1ft", "left"),
    ("20deg", "6ft", "1ft", "right"),
    ("0deg", "8in", "8in", "left"),
];

/// A shot of the evening as it would have been entered.
#[must_use]
pub fn shot(index: usize) -> ShotEntered {
    let (cut, apart, to_pocket, side) = SHOTS[index % SHOTS.len()];
    let text = |t: &str| Some(t.to_owned());
    ShotEntered {
        request: ShotRequest {
            places: PlacesRequest {
                cut: text(cut),
                apart: text(apart),
                to_pocket: text(to_pocket),
                cut_side: text(side),
                ..PlacesRequest::default()
            },
            ..ShotRequest::default()
        },
        gear: DEFAULT_PRESET.to_owned(),
        set: Vec::new(),
    }
}

/// The rows of all evenings, simulated.
///
/// # Errors
/// [`DemoError`] should a shot not stand on the standard table.
pub fn attempts<R: Rng + ?Sized>(rng: &mut R) -> Result<Vec<Attempt>, DemoError> {
    let solved: Vec<Solved> = (0..SHOTS.len())
        .map(|k| solve_entered(&shot(k)))
        .collect::<Result<_, _>>()?;
    let mut rows = Vec::new();
    for (evening, day) in EVENINGS.iter().enumerate() {
        let when: When = day.parse()?;
        for truth in TRUTHS.iter().filter(|t| evening >= t.first) {
            let own = truth.shots.0..truth.shots.1;
            for (k, shot_solved) in own.clone().zip(&solved[own]) {
                let Some(windows) = &shot_solved.windows else {
                    continue;
                };
                let cut = shot_solved.cut;
                let error = truth.error(evening, cut);
                let (made, misses) = play(&error, windows, cut, rng);
                rows.push(Attempt {
                    id: None,
                    student: truth.label.to_owned(),
                    when: when.clone(),
                    session: Some(SESSION.to_owned()),
                    sheet: None,
                    rung: None,
                    shot: shot(k),
                    cut,
                    tries: TRIES,
                    made,
                    misses: Some(misses),
                    windows: Some(windows.clone()),
                    note: None,
                });
            }
        }
    }
    Ok(rows)
}

/// Plays one shot [`TRIES`] times.
fn play<R: Rng + ?Sized>(
    error: &AimError,
    windows: &Windows,
    cut: Side,
    rng: &mut R,
) -> (u32, MissSides) {
    let sigma = error.sigma_rad(1e-3 * windows.cue_travel_mm, windows.cue_speed_m_s);
    let (mut made, mut misses) = (0, MissSides::default());
    for _ in 0..TRIES {
        let off_deg = (error.bias_rad + sigma * sample(rng)).to_degrees();
        if windows
            .allowed
            .iter()
            .any(|a| (a.from_deg..=a.to_deg).contains(&off_deg))
        {
            made += 1;
        } else if rng.random_range(0..UNSEEN_ONE_IN) == 0 {
            misses.not_seen += 1;
        } else if (off_deg > 0.0) == (cut == Side::Left) {
            misses.full += 1;
        } else {
            misses.thin += 1;
        }
    }
    (made, misses)
}

/// Readings of a stroke test of an invented student, mm left of the mark, whole millimetres.
#[must_use]
pub fn stroke_readings_mm<R: Rng + ?Sized>(
    truth: &Truth,
    readings: usize,
    distance_m: f64,
    speed_m_s: f64,
    rng: &mut R,
) -> Vec<f64> {
    let lift = 1.0 + ARM_GROWTH_PER_M_S * speed_m_s;
    let sigma = truth.arm_deg.to_radians() * lift;
    (0..readings)
        .map(|_| (1e3 * distance_m * (sigma * sample(rng)).tan()).round() + 0.0)
        .collect()
}

/// A demo that cannot be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum DemoError {
    /// Its shots.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// Its dates.
    #[error(transparent)]
    When(#[from] WhenError),
    /// The log.
    #[error(transparent)]
    Log(#[from] LogError),
}

impl Log {
    /// Writes the demo into an empty log, as one entry.
    ///
    /// # Errors
    /// [`LogError::NotEmpty`] when somebody is in it already, and the faults of writing.
    pub fn write_demo<R: Rng + ?Sized>(
        &mut self,
        recorded: &When,
        rng: &mut R,
    ) -> Result<Imported, DemoError> {
        if !self.students()?.is_empty() {
            return Err(LogError::NotEmpty {
                path: self.path.clone(),
            }
            .into());
        }
        let students: Vec<Student> = TRUTHS
            .iter()
            .map(|t| Student {
                // One in eight is left-handed, so that both hands occur.
                hand: Some(if t.label == "N" {
                    Hand::Left
                } else {
                    Hand::Right
                }),
                ..Student::named(t.label)
            })
            .collect();
        let mut file = Vec::new();
        Self::write_csv(&students, &[], &attempts(rng)?, &mut file)?;
        Ok(self.import_csv(&file, recorded, None)?)
    }
}
