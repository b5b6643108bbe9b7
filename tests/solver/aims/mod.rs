//! Ways of aiming against closed forms.

#![expect(clippy::unwrap_used, reason = "what cannot be set up fails its test")]

mod command;
mod judged;
mod light;
mod lines;
mod stranger;

use thincut::aims::*;
use thincut::gear::{Gear, LoadedGear};
use thincut::player::AimError;
use thincut::pocket::{Acceptance, PocketKind};
use thincut::units::{Side, UnitSystem};
use thincut::window::{AbstractShot, AimWindow, Shot, Stroke, solve};

/// Rounding of a few trigonometric steps, rad.
const ROUNDING_RAD: f64 = 1e-12;
/// The aim window's own accuracy through the pull-back, rad.
const WINDOW_RAD: f64 = 1e-9;

fn gear(sets: &[&str]) -> Gear {
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    LoadedGear::load("pool-9ft", &sets).unwrap().gear
}

fn no_throw() -> Gear {
    gear(&["ball.contact.friction_scale=0"])
}

/// Square into a corner, so that the target is the line to the middle of the pocket.
fn at(cut_deg: f64, apart_m: f64) -> AbstractShot {
    AbstractShot {
        kind: PocketKind::Corner,
        cut_rad: cut_deg.to_radians(),
        cut_side: Side::Left,
        apart_m,
        to_pocket_m: 0.9,
        approach_rad: 0.0,
    }
}

struct Solved {
    gear: Gear,
    shot: Shot,
    window: AimWindow,
    acceptance: Acceptance,
}

impl Solved {
    fn new(gear: &Gear, shot: &AbstractShot, stroke: Stroke) -> Self {
        let shot = Shot::from_angles(gear, shot, stroke).unwrap();
        let solution = solve(gear, &shot).unwrap();
        Self {
            gear: gear.clone(),
            shot,
            window: solution.window.unwrap(),
            acceptance: solution.acceptance.unwrap(),
        }
    }

    fn scene(&self) -> Scene<'_> {
        Scene {
            gear: &self.gear,
            shot: &self.shot,
            window: &self.window,
        }
    }

    fn judge(&self, way: &dyn Way) -> Verdict {
        judge(way, &self.scene(), &self.acceptance, None).unwrap()
    }

    /// Cut that a way makes, rad, in size.
    fn cut_made(&self, way: &dyn Way) -> f64 {
        let aim = way.aim_rad(&self.scene()).unwrap();
        self.window.approach.sent(aim).unwrap().cut_rad().abs()
    }
}

fn quiet(cut_deg: f64, apart_m: f64) -> Solved {
    Solved::new(&no_throw(), &at(cut_deg, apart_m), Stroke::default())
}

const GHOST: GhostBall = GhostBall {
    allowance: Allowance::None,
};

/// Cuts looked at, degrees.
const CUTS: [f64; 7] = [5.0, 15.0, 30.0, 45.0, 60.0, 75.0, 80.0];
/// Distances between the balls, m.
const APARTS: [f64; 3] = [0.3, 0.9, 2.0];
