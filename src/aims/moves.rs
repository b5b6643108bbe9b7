//! What moves the aim: stroke, roll, side, ball condition and ball size, one at a time, for one shot
//! and one way, with the stick's own correction beside the cue ball's line.
//!
//! The balls stay where they are; each row is solved anew. *Stick*: side comes from a tip offset
//! `b = w R/2.5` (right positive), which makes the cue ball squirt by `b/L_p` to the left, `L_p` the
//! pivot length; so the stick must point that much to the right of the cue ball's line. Limits: side at
//! the tip is taken for side at contact, no swerve.

use serde::Serialize;

use super::error::{AimsError, require};
use super::verdict::judge;
use super::{Scene, Way};
use crate::field::Field;
use crate::gear::Gear;
use crate::units::Speed;
use crate::window::{Hit, Shot, ShotError, Solved, solve};

/// How a stick turns the cue ball off its line when hit with side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stick {
    pivot_m: f64,
}

impl Default for Stick {
    /// Pivot length 300 mm (assumption: shafts differ by a factor of two).
    fn default() -> Self {
        Self { pivot_m: 0.3 }
    }
}

impl Stick {
    /// A stick by its pivot length, m.
    ///
    /// # Errors
    /// [`AimsError::OutOfRange`] outside 50 mm to 5 m.
    pub fn with_pivot(pivot_m: f64) -> Result<Self, AimsError> {
        require(
            (0.05..=5.0).contains(&pivot_m),
            Field::Pivot,
            || format!("{}mm", pivot_m * 1e3),
            "from 50mm to 5m",
        )?;
        Ok(Self { pivot_m })
    }

    /// A stick by its squirt at side ratio 1, rad: `R/(2.5 L_p)`.
    ///
    /// # Errors
    /// As [`Stick::with_pivot`], or a squirt that is not above 0.
    pub fn with_squirt(gear: &Gear, squirt_rad: f64) -> Result<Self, AimsError> {
        require(
            squirt_rad > 0.0,
            Field::Squirt,
            || format!("{:.3}deg", squirt_rad.to_degrees()),
            "above 0deg, such as 2deg",
        )?;
        Self::with_pivot(gear.cue_radius_m() / (2.5 * squirt_rad))
    }

    /// Pivot length, m.
    #[must_use]
    pub fn pivot_m(self) -> f64 {
        self.pivot_m
    }

    /// Squirt for a side ratio, right english positive, counter-clockwise positive, rad:
    /// `w R/(2.5 L_p)`, to the left for right english.
    #[must_use]
    pub fn squirt_rad(self, gear: &Gear, side_right: f64) -> f64 {
        side_right * gear.cue_radius_m() / (2.5 * self.pivot_m)
    }
}

/// One setting of one thing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MoveRow {
    /// What is changed.
    pub what: &'static str,
    /// To what, in words.
    pub setting: String,
    /// `ok`, or why there is no aim.
    pub status: &'static str,
    /// Right aim of the cue ball against that of the shot as asked: positive thinner, degrees.
    pub ball_thinner_deg: Option<f64>,
    /// The same at the ghost ball, mm.
    pub ball_thinner_mm: Option<f64>,
    /// Turn of the stick against the right line of the shot as asked: positive thinner, degrees.
    pub stick_thinner_deg: Option<f64>,
    /// The same at the ghost ball, mm.
    pub stick_thinner_mm: Option<f64>,
    /// Throw at the right aim, positive towards a fuller cut, degrees.
    pub throw_deg: Option<f64>,
    /// Speed of the cue ball at contact, m/s.
    pub cue_speed_m_s: Option<f64>,
    /// The way's own error with this setting, positive too full, degrees.
    pub too_full_deg: Option<f64>,
    /// The same at the ghost ball, mm.
    pub too_full_mm: Option<f64>,
    /// What becomes of a ball aimed by the way: `clean`, `direct`, `drop` or `no`.
    pub drops: Option<&'static str>,
}

/// Paces shown, m/s: from a ball that just drops to a hard stroke (assumptions).
const PACES_M_S: [f64; 4] = [0.5, 1.0, 2.0, 3.0];
/// Side ratios shown, outside positive (assumptions; 0.5 is much).
const SIDES: [f64; 5] = [-0.5, -0.25, 0.0, 0.25, 0.5];
/// Ball-ball friction against the published: polished, as published, dirty (assumptions).
const CONDITIONS: [(f64, &str); 3] = [(0.5, "polished"), (1.0, "as published"), (1.3, "dirty")];
/// Cue-ball diameter against the object ball's: small-ball games 47.6/50.8 (published: WEPF),
/// equal, and the 2⅜ in ball of old coin-operated tables 60.3/57.15 (common practice).
const SIZES: [(f64, &str); 3] = [
    (47.6 / 50.8, "smaller cue ball"),
    (1.0, "equal balls"),
    (60.3 / 57.15, "larger cue ball"),
];

/// A changed gear or stroke.
struct Case {
    what: &'static str,
    setting: String,
    gear: Gear,
    shot: Shot,
}

/// The rows for a shot and a way; the first is the shot as asked.
///
/// # Errors
/// [`ShotError`] when the shot as asked cannot stand; changed shots that cannot are rows with a status.
pub fn moves(
    gear: &Gear,
    shot: &Shot,
    way: &dyn Way,
    stick: Stick,
) -> Result<Vec<MoveRow>, ShotError> {
    let window = solve(gear, shot)?.window.ok();
    let arrived = window.map(|w| Arrived {
        roll: w.law.roll,
        side: w.cut_side.sign() * w.law.side_right,
    });
    let asked = Case {
        what: "as asked",
        setting: "the shot as asked".into(),
        gear: gear.clone(),
        shot: *shot,
    };
    let base = window.map(|w| Base {
        aim_rad: w.aim.aim_rad,
        fuller: w.cut_side.sign(),
    });
    Ok(std::iter::once(asked)
        .chain(cases(gear, shot, arrived))
        .map(|case| row(case, base, way, stick))
        .collect())
}

/// What arrives of the stroke as asked.
#[derive(Clone, Copy)]
struct Arrived {
    roll: f64,
    side: f64,
}

/// What all rows are compared with: the right line of the cue ball, and which turn of it is fuller.
#[derive(Clone, Copy)]
struct Base {
    aim_rad: f64,
    fuller: f64,
}

fn cases(gear: &Gear, shot: &Shot, arrived: Option<Arrived>) -> Vec<Case> {
    let mut out = Vec::new();
    let mut push = |what, setting: String, change: &dyn Fn(&mut Gear, &mut Shot)| {
        let (mut gear, mut shot) = (gear.clone(), *shot);
        change(&mut gear, &mut shot);
        out.push(Case {
            what,
            setting,
            gear,
            shot,
        });
    };
    for pace in PACES_M_S {
        let text = format!("{} at the pocket", Speed::from_m_s(pace));
        push("stroke", text, &|_, s| s.stroke.pace_m_s = pace);
    }
    let hits = [
        (Hit::Draw, "draw"),
        (Hit::Stun, "stun"),
        (Hit::Roll, "natural roll"),
    ];
    // What arrives of the stroke as asked, where that is said by its tip.
    let Arrived { roll, side } = arrived.unwrap_or(Arrived {
        roll: shot.stroke.roll,
        side: shot.stroke.side,
    });
    for (hit, name) in hits {
        push("hit", name.into(), &|_, s| {
            s.stroke = s.stroke.arriving(hit.roll(), side);
        });
    }
    for side in SIDES {
        let text = match side {
            s if s > 0.0 => format!("{s} outside"),
            s if s < 0.0 => format!("{} inside", -s),
            _ => "none".into(),
        };
        push("side", text, &|_, s| {
            s.stroke = s.stroke.arriving(roll, side);
        });
    }
    for (scale, name) in CONDITIONS {
        let text = format!("{name} (friction × {scale})");
        push("balls", text, &|g, _| g.contact.friction_scale = scale);
    }
    for (ratio, name) in SIZES {
        push("size", name.into(), &|g, _| {
            g.balls.cue_diameter_m = ratio * g.balls.object_diameter_m;
            // same material: mass goes with the cube of the size
            g.balls.cue_mass_kg = ratio.powi(3) * g.balls.object_mass_kg;
        });
    }
    out
}

fn row(case: Case, base: Option<Base>, way: &dyn Way, stick: Stick) -> MoveRow {
    let mut row = MoveRow {
        what: case.what,
        setting: case.setting,
        status: "ok",
        ball_thinner_deg: None,
        ball_thinner_mm: None,
        stick_thinner_deg: None,
        stick_thinner_mm: None,
        throw_deg: None,
        cue_speed_m_s: None,
        too_full_deg: None,
        too_full_mm: None,
        drops: None,
    };
    let solution = match solve(&case.gear, &case.shot) {
        Ok(solution) => solution,
        Err(_) => {
            row.status = "cannot-stand";
            return row;
        }
    };
    let Solved { acceptance, window } = match solution.solved() {
        Ok(solved) => solved,
        Err(no) => {
            row.status = no.name();
            return row;
        }
    };
    row.throw_deg = Some(window.throw_fuller_rad().to_degrees());
    row.cue_speed_m_s = Some(window.cue_speed_m_s);
    if let Some(Base { aim_rad, fuller }) = base {
        let ball = -fuller * (window.aim.aim_rad - aim_rad);
        // The stick points against the squirt: cue ball's line less the squirt.
        let squirt = stick.squirt_rad(&case.gear, window.law.side_right);
        let stick_turn = ball + fuller * squirt;
        row.ball_thinner_deg = Some(ball.to_degrees());
        row.ball_thinner_mm = Some(window.ghost_offset_m(ball) * 1e3);
        row.stick_thinner_deg = Some(stick_turn.to_degrees());
        row.stick_thinner_mm = Some(window.ghost_offset_m(stick_turn) * 1e3);
    }
    let scene = Scene {
        gear: &case.gear,
        shot: &case.shot,
        window,
    };
    match judge(way, &scene, acceptance, None) {
        Ok(verdict) => {
            row.too_full_deg = Some(verdict.too_full_rad.to_degrees());
            row.too_full_mm = Some(verdict.too_full_m * 1e3);
            row.drops = Some(verdict.drops.name());
        }
        Err(error) => row.status = error.name(),
    }
    row
}
