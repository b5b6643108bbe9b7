//! A demonstration log: the Tuesday beginners' evening at the invented Millpond Hall.
//!
//! Students A to H are inventions. Their tries are drawn from the aim model with the truths of
//! [`TRUTHS`], seeded, so that what a fit says can be held against what is true.

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;

use super::attempt::{Attempt, MissSides, ShotEntered};
use super::error::LogError;
use super::open::Log;
use super::solver::{SolveError, Solved, solve_entered};
use super::store::{EntryKind, NewEntry, Recorded};
use super::student::{Hand, Student};
use super::when::{When, WhenError};
use crate::gear::DEFAULT_PRESET;
use crate::player::normal::sample;
use crate::player::{AimError, Cut, PlayerError};
use crate::request::{PlacesRequest, ShotRequest};

/// What is true of a student of the demonstration: all invented.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Truth {
    /// Label.
    pub label: &'static str,
    /// Hand.
    pub hand: Hand,
    /// Reach over the table, mm.
    pub reach_mm: f64,
    /// Arm, degrees.
    pub arm_deg: f64,
    /// Picture at the ghost ball, mm.
    pub picture_mm: f64,
    /// Steady lean of the aim, degrees, left positive.
    pub lean_deg: f64,
    /// Factor on arm and picture in the second half of the evenings.
    pub later: f64,
}

/// The eight students. A gets better, B leans left, C has a good arm and poor eyes, D the
/// reverse, G gets no better; the others are steady.
pub const TRUTHS: [Truth; 8] = [
    truth("A", Hand::Right, 700.0, [0.50, 4.0], 0.0, 0.62),
    truth("B", Hand::Left, 760.0, [0.30, 2.4], 0.25, 1.0),
    truth("C", Hand::Right, 640.0, [0.15, 5.0], 0.0, 1.0),
    truth("D", Hand::Right, 720.0, [0.60, 1.2], 0.0, 1.0),
    truth("E", Hand::Right, 810.0, [0.25, 2.0], 0.0, 1.0),
    truth("F", Hand::Left, 580.0, [1.00, 6.0], 0.0, 1.0),
    truth("G", Hand::Right, 750.0, [0.45, 3.6], 0.0, 1.0),
    truth("H", Hand::Right, 690.0, [0.80, 5.0], -0.2, 0.9),
];

const fn truth(
    label: &'static str,
    hand: Hand,
    reach_mm: f64,
    [arm_deg, picture_mm]: [f64; 2],
    lean_deg: f64,
    later: f64,
) -> Truth {
    Truth {
        label,
        hand,
        reach_mm,
        arm_deg,
        picture_mm,
        lean_deg,
        later,
    }
}

/// The Tuesdays, all in one autumn.
const TUESDAYS: [&str; 8] = [
    "2026-09-29",
    "2026-10-06",
    "2026-10-13",
    "2026-10-20",
    "2026-10-27",
    "2026-11-03",
    "2026-11-10",
    "2026-11-17",
];

/// Cue ball, object ball, pocket: set by eye on diamonds, easy to hard, both hands' cuts.
const SHOTS: [(&str, &str, &str); 12] = [
    ("5,2", "6,3", "foot-left"),
    ("5.5,2.5", "7,1", "foot-right"),
    ("4,1", "6,2.5", "foot-left"),
    ("4,3", "6,1.5", "foot-right"),
    ("3,2", "4.5,3", "side-left"),
    ("3,2.5", "4.5,1", "side-right"),
    ("3,1", "5,2.4", "foot-left"),
    ("2,3", "5,1.5", "foot-right"),
    ("2,2", "6,3", "foot-left"),
    ("6,1", "5,3", "foot-left"),
    ("5,3.5", "6.5,3", "foot-right"),
    ("1,2", "6,2", "foot-left"),
];
/// Tries at each shot of an evening, and shots of an evening.
const TRIES: u32 = 10;
const SHOTS_AN_EVENING: usize = 6;
/// Seed of the demonstration.
pub const SEED: u64 = 20_260_929;

/// A demonstration that could not be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum DemoError {
    /// The log has tries already.
    #[error(
        "the log already holds {rows} rows; a demonstration goes into an empty one: name a new file with --log"
    )]
    NotEmpty {
        /// How many.
        rows: usize,
    },
    /// The log.
    #[error(transparent)]
    Log(#[from] LogError),
    /// A shot.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// A date.
    #[error(transparent)]
    When(#[from] WhenError),
    /// A player.
    #[error(transparent)]
    Player(#[from] PlayerError),
}

/// The students.
#[must_use]
pub fn students() -> Vec<Student> {
    TRUTHS
        .iter()
        .map(|t| Student {
            label: t.label.to_owned(),
            hand: Some(t.hand),
            reach_mm: Some(t.reach_mm),
        })
        .collect()
}

/// Their tries, drawn with a seed.
///
/// # Errors
/// [`DemoError`], which the built-in shots do not cause.
pub fn attempts(seed: u64) -> Result<Vec<Attempt>, DemoError> {
    let shots = SHOTS
        .iter()
        .map(|&(cue, object, pocket)| {
            let entered = entered(cue, object, pocket);
            let solved = solve_entered(&entered)?;
            Ok((entered, solved))
        })
        .collect::<Result<Vec<_>, DemoError>>()?;
    let mut rng = Pcg64Mcg::seed_from_u64(seed);
    let mut out = Vec::new();
    for (evening, day) in TUESDAYS.iter().enumerate() {
        let when: When = day.parse()?;
        for truth in &TRUTHS {
            let later = if 2 * evening >= TUESDAYS.len() {
                truth.later
            } else {
                1.0
            };
            let player = AimError::new(truth.arm_deg.to_radians(), 1e-3 * truth.picture_mm)?
                .scaled(later)
                .with_bias(truth.lean_deg.to_radians())?;
            for k in 0..SHOTS_AN_EVENING {
                let (entered, solved) = &shots[(evening * SHOTS_AN_EVENING + k) % shots.len()];
                let Some(row) = played(truth, &when, (entered, solved), &player, &mut rng) else {
                    continue;
                };
                out.push(row);
            }
        }
    }
    Ok(out)
}

fn entered(cue: &str, object: &str, pocket: &str) -> ShotEntered {
    ShotEntered {
        request: ShotRequest {
            places: PlacesRequest {
                cue: Some(cue.to_owned()),
                object: Some(object.to_owned()),
                pocket: Some(pocket.to_owned()),
                ..PlacesRequest::default()
            },
            ..ShotRequest::default()
        },
        gear: DEFAULT_PRESET.to_owned(),
        set: Vec::new(),
    }
}

/// Ten tries of one student at one shot; `None` for a shot without a window.
fn played(
    truth: &Truth,
    when: &When,
    (entered, solved): (&ShotEntered, &Solved),
    player: &AimError,
    rng: &mut impl Rng,
) -> Option<Attempt> {
    let windows = solved.windows.as_ref()?;
    let sigma = player.sigma_rad(1e-3 * windows.cue_travel_mm, windows.cue_speed_m_s);
    let middle = windows
        .allowed
        .iter()
        .map(|a| a.from_deg + a.to_deg)
        .sum::<f64>();
    let (mut made, mut misses) = (0, MissSides::default());
    for _ in 0..TRIES {
        let delta = (player.bias_rad + sigma * sample(rng)).to_degrees();
        let goes = windows
            .allowed
            .iter()
            .any(|a| a.from_deg <= delta && delta <= a.to_deg);
        let left = delta > 0.5 * middle;
        match (goes, left == (solved.cut == Cut::Left)) {
            (true, _) => made += 1,
            // turning left is fuller on a left cut
            (false, true) => misses.full += 1,
            (false, false) => misses.thin += 1,
        }
    }
    Some(Attempt {
        id: None,
        student: truth.label.to_owned(),
        when: when.clone(),
        session: Some("Millpond Hall, Tuesday beginners".to_owned()),
        sheet: None,
        rung: None,
        shot: entered.clone(),
        cut: solved.cut,
        tries: TRIES,
        made,
        misses: Some(misses),
        windows: Some(windows.clone()),
        note: None,
    })
}

/// Writes the demonstration into an empty log: students, then all tries as one entry.
///
/// # Errors
/// [`DemoError::NotEmpty`], and the faults of writing.
pub fn fill(log: &mut Log, recorded: &When, seed: u64) -> Result<Recorded, DemoError> {
    let rows = log.attempts(&super::store::Filter::default())?.len();
    if rows > 0 {
        return Err(DemoError::NotEmpty { rows });
    }
    for student in students() {
        log.set_student(&student, recorded)?;
    }
    let entry = NewEntry {
        kind: EntryKind::Import,
        recorded: recorded.clone(),
        attempts: attempts(seed)?,
    };
    Ok(log.add(&entry)?)
}
