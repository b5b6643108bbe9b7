//! Two rolls off a rail: places move as the model says, simulated rolls give the cushions back within
//! what is said.

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rayon::prelude::*;
use thincut::gear::{Gear, LoadedGear};
use thincut::measure::rails::{SPEED_M_S, rests_at};
use thincut::measure::{Instruments, RailRoll, RampRun, Rubs, rail_fit};
use thincut::player::normal::sample;

use super::{output, thincut};

const TESTS: u64 = 300;

fn with(base: &Gear, cushions: Rubs) -> Gear {
    let mut gear = base.clone();
    gear.cushion.restitution = cushions.restitution;
    gear.cushion.friction = cushions.friction;
    gear
}

fn back_m(gear: &Gear, speed_m_s: f64) -> f64 {
    match rests_at(gear, speed_m_s, false) {
        Some(RailRoll::Straight { back_m }) => back_m,
        other => panic!("{other:?}"),
    }
}

fn slanted_m(gear: &Gear, speed_m_s: f64) -> (f64, f64) {
    match rests_at(gear, speed_m_s, true) {
        Some(RailRoll::At45 { along_m, out_m }) => (along_m, out_m),
        other => panic!("{other:?}"),
    }
}

/// A tenth of restitution moves the straight roll by about 175 mm, half or twice the friction the one at
/// 45° by 140 to 200 mm.
#[test]
fn places_tell() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let at = |restitution: f64, friction: f64| {
        with(
            &gear,
            Rubs {
                restitution,
                friction,
            },
        )
    };
    let moved = back_m(&at(0.9, 0.14), SPEED_M_S) - back_m(&at(0.8, 0.14), SPEED_M_S);
    println!("straight {moved:.4}");
    assert!((0.15..0.2).contains(&moved), "{moved}");
    let place = |mu: f64| slanted_m(&at(0.85, mu), SPEED_M_S);
    let usual = place(0.14);
    for mu in [0.07, 0.279] {
        let (along, out) = place(mu);
        let moved = (along - usual.0).hypot(out - usual.1);
        println!("at 45 {mu} {moved:.4}");
        assert!((0.13..0.2).contains(&moved), "{mu}: {moved}");
    }
}

#[test]
fn cushions_are_found() {
    let base = Gear::preset("pool-9ft").unwrap();
    let run = RampRun::that_fits(&base, SPEED_M_S);
    let runs: Vec<(bool, f64, f64)> = (0..TESTS)
        .into_par_iter()
        .map(|k| {
            let mut rng = Pcg64::seed_from_u64(4000 + k);
            let truth = Rubs {
                restitution: rng.random_range(0.6..0.95),
                friction: rng.random_range(0.0..0.28),
            };
            let gear = with(&base, truth);
            let speed = SPEED_M_S * (1.0 + 0.02 * sample(&mut rng)).max(0.5).sqrt();
            let tape = |rng: &mut Pcg64| 5e-3 * sample(rng);
            let mut rolls = Vec::new();
            for _ in 0..3 {
                let back = back_m(&gear, speed);
                let strays = 0.02 * back * sample(&mut rng);
                rolls.push(RailRoll::Straight {
                    back_m: back + strays + tape(&mut rng),
                });
                let (along, out) = slanted_m(&gear, speed);
                // Way back from the cushion: from where it touched, level with its foot's distance.
                let way = (along - 0.34).hypot(out);
                let stray =
                    |rng: &mut Pcg64| way * (0.02f64).hypot(1f64.to_radians()) * sample(rng);
                rolls.push(RailRoll::At45 {
                    along_m: along + stray(&mut rng) + tape(&mut rng),
                    out_m: out + stray(&mut rng) + tape(&mut rng),
                });
            }
            let found = rail_fit(&base, &run, &rolls, &Instruments::default()).unwrap();
            (
                found.off(truth) <= 5.991,
                found.restitution_reach,
                found.friction_reach,
            )
        })
        .collect();
    let inside = runs.iter().filter(|r| r.0).count() as f64 / TESTS as f64;
    let mean = |f: fn(&(bool, f64, f64)) -> f64| runs.iter().map(f).sum::<f64>() / TESTS as f64;
    let (e, mu) = (mean(|r| r.1), mean(|r| r.2));
    println!("inside {inside:.3}, e ±{e:.3}, mu ±{mu:.3}");
    assert!((0.92..=0.985).contains(&inside), "{inside}");
    // Half and less of what is assumed of a cushion: ± 0.1, half to twice 0.14.
    assert!(e < 0.05 && mu < 0.06, "{e} {mu}");
}

/// From two rolls to a file, and what cannot be.
#[test]
fn two_rolls_make_a_file() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let cm = |m: f64| format!("{:.1}cm", 100.0 * m);
    let (along, out) = slanted_m(&gear, SPEED_M_S);
    let straight = cm(back_m(&gear, SPEED_M_S));
    let slanted = format!("{} {}", cm(along), cm(out));
    let folder = tempfile::tempdir().unwrap();
    let rails = |args: &[&str], code: i32| {
        let mut command = thincut(folder.path());
        command.args(["table", "rails"]).args(args);
        output(&mut command, code)
    };
    let (text, _) = rails(
        &[
            "--straight",
            &straight,
            "--at-45",
            &slanted,
            "--out",
            "our.toml",
        ],
        0,
    );
    for words in [
        "Rails, from 2 rolls off a rail: they give back 0.8",
        "Half-ball cut, 2 ft apart, 3 ft to the corner: 6 in 10",
        "Assumed: a ball strays by 2 %",
        "use it anywhere with --table our.toml",
    ] {
        assert!(text.contains(words), "{words} missing in {text}");
    }
    let loaded = LoadedGear::load(folder.path().join("our.toml").to_str().unwrap(), &[]).unwrap();
    assert!(loaded.gear.measured.cushions.is_known());
    assert!((loaded.gear.cushion.restitution - 0.85).abs() < 0.03);
    let (plan, _) = rails(&[], 0);
    assert!(
        plan.contains("At 45°") && plan.contains("half of the height"),
        "{plan}"
    );
    let bad: [(&[&str], &[&str]); 5] = [
        (&["--straight", &straight], &["--straight needs --at-45"]),
        (&["--straight", "62"], &["--straight", "no unit", "62mm"]),
        (&["--straight", "6m"], &["--straight 6m", "0 to 5 m"]),
        (
            &["--straight", &straight, "--at-45", "1m"],
            &["--at-45", "\"1m\"", "1.12m 30cm"],
        ),
        (
            &["--straight", "2cm", "--at-45", &slanted],
            &["--straight", "no cushion", "measure again"],
        ),
    ];
    for (args, words) in bad {
        let (_, err) = rails(args, 2);
        for words in words {
            assert!(err.contains(words), "{args:?}: {words} missing in {err}");
        }
    }
}
