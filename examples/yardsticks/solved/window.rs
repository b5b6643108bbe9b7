//! How far the aim of a straight shot may be off, and how many aims have every cut.

use thincut::gear::Gear;
use thincut::window::{AbstractShot, AimWindow, Shot, Stroke, solve};
use thincut::{Angle, Length};

use super::pocket::direct_deg;
use super::{FOOT_M, INCH_M, Solver, largest, pool, with};

pub(crate) const ALL: &[Solver] = &[
    ("eastaway-short", || eastaway(0.6, 0.6)),
    ("eastaway-middle", || eastaway(1.2, 1.2)),
    ("eastaway-long", || eastaway(1.5, 0.9)),
    ("new-scientist", || new_scientist(1.5, 0.9)),
    ("hardest-half-way", hardest),
    ("product-law", product_law),
    ("grip-hand-1x1", || grip_hand_in(1.0, 1.0)),
    ("grip-hand-2x2", || grip_hand_in(2.0, 2.0)),
    ("grip-hand-3x4", || grip_hand_in(3.0, 4.0)),
    ("grip-hand-ball-from-the-object-ball", || {
        grip_hand_in(2.25 / DIAMOND_IN, 6.0)
    }),
    ("three-lines-from-a-foot", || {
        (direct_deg(5.0, FOOT_M) / THREE_LINES_DEG).min(1.0)
    }),
    ("three-lines-from-two-feet", || {
        direct_deg(5.0, 2.0 * FOOT_M) / THREE_LINES_DEG
    }),
    ("nineteen-aims", || 90.0 / direct_deg(5.0, 3.0 * FOOT_M)),
];

/// A diamond of a nine-foot table, inches.
const DIAMOND_IN: f64 = 12.5;
/// Aims at 15, 30 and 45° have every cut of 7.5 to 52.5° when each takes 15°.
const THREE_LINES_DEG: f64 = 15.0;
/// From the bridge to the hand that holds the stick, inches: an assumption, the source says "average
/// wing span".
const GRIP_IN: f64 = 36.0;

fn without_throw() -> Gear {
    with(&pool(), &["ball.contact.friction_scale=0"])
}

/// Straight and straight in.
fn straight(gear: &Gear, apart_m: f64, to_pocket_m: f64) -> AimWindow {
    let asked = AbstractShot::new(
        Angle::from_deg(0.0),
        Length::from_m(apart_m),
        Length::from_m(to_pocket_m),
    );
    let shot = Shot::from_angles(gear, &asked, Stroke::default()).expect("it can lie so");
    solve(gear, &shot).expect("solved").window.expect("it goes")
}

/// Half window over a = M·W/((P − B)(B − W)).
fn eastaway(apart_m: f64, to_pocket_m: f64) -> f64 {
    let gear = without_throw();
    let clean = straight(&gear, apart_m, to_pocket_m).clean.expect("clean");
    let miss_m = to_pocket_m * clean.object.to_rad.tan();
    let ball_m = gear.balls.object_diameter_m;
    clean.thick_rad / (miss_m * ball_m / (to_pocket_m * (apart_m - ball_m)))
}

/// Half window over 2e/L with e = x·r/ℓ, L the distance between the balls' middles.
fn new_scientist(apart_m: f64, to_pocket_m: f64) -> f64 {
    let gear = without_throw();
    let clean = straight(&gear, apart_m, to_pocket_m).clean.expect("clean");
    let half_m = to_pocket_m * clean.object.to_rad.tan();
    let e_m = half_m * gear.object_radius_m() / to_pocket_m;
    clean.thick_rad / (2.0 * e_m / apart_m)
}

/// Share of a way of 1.8 m that the cue ball travels where the room is least.
fn hardest() -> f64 {
    let gear = pool();
    let whole_m = 1.8;
    let room = |share: f64| {
        let travel_m = share * whole_m;
        let apart_m = travel_m + gear.contact_distance_m();
        straight(&gear, apart_m, whole_m - travel_m)
            .clean
            .expect("clean")
            .total_rad()
    };
    largest(0.2, 0.8, |share| -room(share)).0
}

/// Room × travel × distance to the pocket, least over most of five shots.
fn product_law() -> f64 {
    let gear = pool();
    let product = |apart_m: f64, to_pocket_m: f64| {
        let window = straight(&gear, apart_m, to_pocket_m);
        window.clean.expect("clean").total_rad() * window.aim.travel_m * to_pocket_m
    };
    let products = [(0.5, 1.5), (1.5, 0.5), (1.5, 1.5), (0.9, 0.9), (0.6, 0.6)]
        .map(|(apart_m, to_pocket_m)| product(apart_m, to_pocket_m));
    let least = products.into_iter().fold(f64::INFINITY, f64::min);
    least / products.into_iter().fold(0.0, f64::max)
}

/// Room of the hand that holds the stick, inches; distances in diamonds, the first the cue ball's way.
fn grip_hand_in(travel: f64, to_pocket: f64) -> f64 {
    let gear = with(
        &pool(),
        &["pocket.corner.mouth=4.5in", "ball.contact.friction_scale=0"],
    );
    let apart_m = travel * DIAMOND_IN * INCH_M + gear.contact_distance_m();
    let window = straight(&gear, apart_m, to_pocket * DIAMOND_IN * INCH_M);
    window.clean.expect("clean").total_rad() * GRIP_IN
}
