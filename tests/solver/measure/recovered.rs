//! A known table, measured with noise a thousand times: the stated 95 % intervals hold the truth in
//! 93 to 97 % of the runs, for every value and for a shot's chance.
//!
//! With 1000 runs an exact interval misses those bounds less than once in two hundred (binomial).

use rand::SeedableRng;
use rand_pcg::Pcg64;
use rayon::prelude::*;
use thincut::gear::{Gear, LoadedGear};
use thincut::measure::strokes::{rolling_time_s, run_time_s};
use thincut::measure::{
    Instrument, Instruments, MeasuredTable, Quantity, Reading, drawn_chances, usual_shots, values,
};
use thincut::player::Level;
use thincut::player::monte_carlo::summarise;
use thincut::player::normal::sample;
use thincut::pocket::PocketKind::{Corner, Side};
use thincut::request::StrokeRequest;

use super::read;

const RUNS: u64 = 1000;
/// Least and greatest of 39 draws hold a fortieth of their kind 38 times in 40, exactly 95 %.
const DRAWS: usize = 39;

const TRUTH: [&str; 13] = [
    "pocket.corner.mouth=4.4in",
    "pocket.corner.facing_angle=143deg",
    "pocket.corner.shelf=1.5in",
    "pocket.side.mouth=5.1in",
    "pocket.side.facing_angle=105deg",
    "pocket.side.shelf=8mm",
    "cloth.rolling_friction=0.012",
    "cushion.restitution=0.8",
    "ball.contact.friction_scale=1.2",
    "ball.object_diameter=57mm",
    "ball.cue_diameter=57mm",
    "ball.object_mass=165g",
    "ball.cue_mass=165g",
];

fn truth() -> Gear {
    let changes = TRUTH.map(str::to_owned);
    LoadedGear::load("pool-9ft", &changes).unwrap().gear
}

/// True times that the noise is added to.
struct Strokes {
    lag_m: f64,
    lag_s: f64,
    lengths: f64,
    run_s: f64,
}

/// One round of measuring.
fn measured(gear: &Gear, strokes: &Strokes, rng: &mut Pcg64) -> Vec<(Quantity, Reading)> {
    let good = Instruments::default();
    let mut out = Vec::new();
    let mut noise = |instrument: Instrument| good.good_to(instrument) * sample(rng);
    let depth_m = 0.04;
    let throat = |mouth: f64, depth: f64, closing_deg: f64| {
        mouth - 2.0 * depth * closing_deg.to_radians().tan()
    };
    let (corner, side) = (&gear.corner, &gear.side);
    // quantity, true value, times measured
    let sizes = [
        (Quantity::TableLength, gear.bed.length_m, 1),
        (Quantity::TableWidth, gear.bed.width_m, 2),
        (Quantity::BallDiameter, gear.balls.object_diameter_m, 2),
        (Quantity::BallWeight, gear.balls.object_mass_kg, 3),
        (Quantity::Mouth(Corner), corner.mouth_m, 3),
        (
            Quantity::Throat(Corner),
            throat(corner.mouth_m, corner.shelf_m, 8.0),
            2,
        ),
        (Quantity::Shelf(Corner), corner.shelf_m, 2),
        (Quantity::Mouth(Side), side.mouth_m, 1),
        (
            Quantity::Throat(Side),
            throat(side.mouth_m, depth_m, 15.0),
            4,
        ),
        (Quantity::ThroatDepth(Side), depth_m, 1),
        (Quantity::Shelf(Side), side.shelf_m, 2),
    ];
    for (quantity, true_value, times) in sizes {
        for _ in 0..times {
            let value = true_value + noise(quantity.instrument());
            out.push(read(quantity, &[value]));
        }
    }
    // Two balls in the mouth: R = 28.5 mm and the plan radius at the nose leave a gap.
    let both_m = 2.0 * (gear.object_radius_m() + gear.object_contact_radius_m());
    let gap = corner.mouth_m - both_m + noise(Instrument::Feeler);
    out.push(read(Quantity::Gap(Corner), &[gap]));
    for _ in 0..3 {
        let way = strokes.lag_m + noise(Instrument::Tape);
        let time = strokes.lag_s + noise(Instrument::Watch);
        out.push(read(Quantity::Lag, &[way, time]));
    }
    let lengths = strokes.lengths + noise(Instrument::Count);
    let time = strokes.run_s + noise(Instrument::Watch);
    out.push(read(Quantity::Run, &[lengths, time]));
    let (cut, speed): (f64, f64) = (45f64.to_radians(), 2.0);
    let contact = &gear.contact;
    let rubbing = contact.friction_scale
        * (contact.friction_floor
            + contact.friction_span * (-contact.friction_decay_s_m * speed * cut.sin()).exp());
    for _ in 0..3 {
        // The spreads of cut (1°) and speed (15 %) are those the reading assumes.
        let off = rubbing + 2f64.sqrt() * noise(Instrument::Tape);
        let way = 1.0 + noise(Instrument::Tape);
        let unit = noise(Instrument::Watch) / good.good_to(Instrument::Watch);
        let turn = noise(Instrument::Watch) / good.good_to(Instrument::Watch);
        out.push(read(
            Quantity::Throw,
            &[
                cut + turn.to_radians(),
                way,
                off,
                speed * (1.0 + 0.15 * unit),
            ],
        ));
    }
    out
}

#[test]
fn intervals_hold_the_truth_as_often_as_they_say() {
    let gear = truth();
    let strokes = Strokes {
        lag_m: 2.5,
        lag_s: rolling_time_s(2.5, gear.cloth.rolling_friction),
        lengths: 4.0,
        run_s: run_time_s(&gear, gear.cushion.restitution, 4.0 * gear.bed.length_m).unwrap(),
    };
    let base = LoadedGear::load("pool-9ft", &[]).unwrap();
    let shots = usual_shots(&StrokeRequest::default());
    let player = Level::Club.aim_error();
    let chance = |gear: &Gear| {
        let shot = shots[0].shot(gear).unwrap();
        let solved = thincut::window::solve(gear, &shot).unwrap();
        let aimed = thincut::Aimed::of(gear, &shot, &solved).unwrap();
        aimed.quick(&player)
    };
    let true_chance = chance(&gear);
    let true_values: Vec<(&str, f64)> = vec![
        ("bed.length", 2540.0),
        ("bed.width", 1270.0),
        ("ball.object_diameter", 57.0),
        ("ball.cue_diameter", 57.0),
        ("ball.object_mass", 165.0),
        ("ball.cue_mass", 165.0),
        ("ball.contact.friction_scale", 1.2),
        ("cloth.rolling_friction", 0.012),
        ("cushion.restitution", 0.8),
        ("pocket.corner.mouth", 4.4 * 25.4),
        ("pocket.corner.facing_angle", 143.0),
        ("pocket.corner.shelf", 1.5 * 25.4),
        ("pocket.side.mouth", 5.1 * 25.4),
        ("pocket.side.facing_angle", 105.0),
        ("pocket.side.shelf", 8.0),
    ];
    // One list of hits a run: every value, then the chance.
    let hits: Vec<Vec<bool>> = (0..RUNS)
        .into_par_iter()
        .map(|run| {
            let mut rng = Pcg64::seed_from_u64(run);
            let readings = measured(&gear, &strokes, &mut rng);
            let table =
                MeasuredTable::new(base.clone(), &readings, &Instruments::default()).unwrap();
            let found = values(&table);
            assert_eq!(found.len(), true_values.len());
            let mut hits: Vec<bool> = found
                .iter()
                .zip(&true_values)
                .map(|(value, (key, truth))| {
                    assert_eq!(value.key, *key);
                    value.low <= *truth && *truth <= value.high
                })
                .collect();
            let drawn = drawn_chances(&table, &shots[..1], &player, DRAWS, &mut rng).unwrap();
            let (low, high) = summarise(drawn[0].clone()).symmetric_95;
            hits.push(low <= true_chance && true_chance <= high);
            hits
        })
        .collect();
    let names = true_values.iter().map(|(key, _)| *key).chain(["chance"]);
    let counts: Vec<(&str, usize)> = names
        .enumerate()
        .map(|(k, name)| (name, hits.iter().filter(|run| run[k]).count()))
        .collect();
    println!("of {RUNS}: {counts:?}");
    for (name, held) in &counts {
        assert!((930..=970).contains(held), "{name}: {counts:?}");
    }
    // The shot is one the readings matter to: the tables differ on it.
    assert!((true_chance - chance(&base.gear)).abs() > 0.01);
}

#[test]
fn readings_that_scatter_more_than_said_widen_their_interval() {
    let base = LoadedGear::load("pool-9ft", &[]).unwrap();
    let at = |mm: [f64; 3]| {
        let readings = mm.map(|x| read(Quantity::Mouth(Corner), &[x / 1e3]));
        let table = MeasuredTable::new(base.clone(), &readings, &Instruments::default()).unwrap();
        values(&table).remove(0)
    };
    let calm = at([115.0, 115.5, 116.0]);
    // a rule of ±1 mm, three readings: 1.96/√3
    assert!((calm.high - calm.low - 2.0 * 1.959_964 / 3f64.sqrt()).abs() < 1e-4);
    assert!(!calm.scattered);
    let wild = at([112.0, 115.5, 119.0]);
    assert!(wild.scattered);
    // Student's t with 2 degrees of freedom, 4.3027 (handbook table): s/√3 with s = 3.5 mm
    assert!((0.5 * (wild.high - wild.low) - 4.3027 * 3.5 / 3f64.sqrt()).abs() < 1e-3);
}
