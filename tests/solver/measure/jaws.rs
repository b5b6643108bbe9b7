//! The ramp test: simulated rolls give jaws back within what is said, the range of a chance shrinks, the
//! file it writes has the smaller range, and what cannot be is refused.

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rayon::prelude::*;
use serde_json::Value;
use thincut::gear::{Gear, LoadedGear};
use thincut::measure::jaws::drops;
use thincut::measure::{JawTest, Plan, Ramp, RampRun, Rolls, Rubber, Rubs, read_rolls};
use thincut::player::normal::sample;
use thincut::player::{Aimed, Level};
use thincut::pocket::PocketKind;
use thincut::request::{PlacesRequest, ShotRequest};
use thincut::window::{assumed_gears, over_cases, solve};

use super::{output, thincut};

const TESTS: u64 = 300;
/// Restitution and friction at which chances are worked out; between them they are interpolated.
const E: (f64, f64, usize) = (0.3, 1.0, 15);
const MU: (f64, f64, usize) = (0.0, 0.28, 8);
/// Cut, between the balls, to the pocket, off straight in: into a corner.
const SHOTS: [(&str, &str, &str, &str); 5] = [
    ("half-ball", "2ft", "3ft", "0deg"),
    ("0deg", "3ft", "4ft", "0deg"),
    ("30deg", "2ft", "2ft", "25deg"),
    ("45deg", "1ft", "4ft", "-15deg"),
    ("20deg", "3ft", "3ft", "35deg"),
];

fn with(base: &Gear, jaws: Rubs) -> Gear {
    let mut gear = base.clone();
    for pocket in [&mut gear.corner, &mut gear.side] {
        pocket.facing_restitution = jaws.restitution;
        pocket.facing_friction = jaws.friction;
    }
    gear
}

/// A club player's chance over the jaws, the speed as intended.
struct Surface {
    made: Vec<f64>,
}

fn node((low, high, count): (f64, f64, usize), k: usize) -> f64 {
    low + (high - low) * k as f64 / (count - 1) as f64
}

impl Surface {
    fn new(base: &Gear, [cut, apart, to_pocket, approach]: [&str; 4]) -> Self {
        let player = Level::Club.aim_error();
        let text = |t: &str| Some(t.to_owned());
        let shot = ShotRequest {
            places: PlacesRequest {
                cut: text(cut),
                apart: text(apart),
                to_pocket: text(to_pocket),
                approach: text(approach),
                ..PlacesRequest::default()
            },
            ..ShotRequest::default()
        };
        let at = |k: usize| {
            let jaws = Rubs {
                restitution: node(E, k / MU.2),
                friction: node(MU, k % MU.2),
            };
            let gear = with(base, jaws);
            let shot = shot.shot(&gear).unwrap();
            let solution = solve(&gear, &shot).unwrap();
            Aimed::of(&gear, &shot, &solution).map_or(0.0, |aimed| aimed.quick(&player))
        };
        Self {
            made: (0..E.2 * MU.2).into_par_iter().map(at).collect(),
        }
    }

    fn at(&self, gear: &Gear) -> f64 {
        let place = |x: f64, (low, high, count): (f64, f64, usize)| {
            let at = (x - low) / (high - low) * (count - 1) as f64;
            let k = (0..count - 1).rev().find(|k| *k as f64 <= at).unwrap_or(0);
            (k, (at - k as f64).clamp(0.0, 1.0))
        };
        let (i, x) = place(gear.corner.facing_restitution, E);
        let (j, y) = place(gear.corner.facing_friction, MU);
        let at = |i: usize, j: usize| self.made[i * MU.2 + j];
        (1.0 - x) * ((1.0 - y) * at(i, j) + y * at(i, j + 1))
            + x * ((1.0 - y) * at(i + 1, j) + y * at(i + 1, j + 1))
    }

    /// From lowest to highest over what the jaws of a table may be, its cushions left alone.
    fn range(&self, gear: &Gear) -> std::ops::Range<f64> {
        let mut chances: Vec<f64> = assumed_gears(gear).iter().map(|g| self.at(g)).collect();
        if chances.len() > 9 {
            let middle = chances[8];
            chances[9..].fill(middle);
        }
        over_cases(&chances)
    }
}

/// Ten rolls at each mark; each strays, the strip lies off, one in a hundred goes astray.
fn rolled(gear: &Gear, ramp: &Ramp, marks_mm: &[f64], rng: &mut Pcg64) -> Vec<Rolls> {
    let off_mm = 1.5 * sample(rng);
    let mut one = |mark_mm: f64| {
        let mut dropped = 0;
        for _ in 0..10 {
            let at_mm = mark_mm + off_mm + 1.5 * sample(rng);
            let astray = rng.random::<f64>() < 0.01;
            let drop = if astray {
                rng.random::<f64>() < 0.5
            } else {
                drops(gear, ramp, at_mm)
            };
            dropped += u32::from(drop);
        }
        Rolls {
            mark_mm,
            dropped,
            rolls: 10,
        }
    };
    marks_mm.iter().map(|mm| one(*mm)).collect()
}

#[test]
fn jaws_are_found_and_ranges_shrink() {
    let base = Gear::preset("pool-9ft").unwrap();
    let ramp = Ramp::usual(PocketKind::Corner);
    let marks = Plan::new(&base, ramp).marks_mm();
    assert_eq!(marks.len(), 12);
    assert!(
        marks.iter().all(|mm| (28.0..48.0).contains(&mm.abs())),
        "{marks:?}"
    );
    let test = JawTest::new(&base, &ramp, &marks);
    let surfaces = SHOTS.map(|(a, b, c, d)| Surface::new(&base, [a, b, c, d]));
    let before = surfaces.each_ref().map(|s| s.range(&base));
    // Whether jaws, and each shot's chance, lie within what is said, and how wide that is.
    let runs: Vec<(bool, [bool; 5], [f64; 5])> = (0..TESTS)
        .into_par_iter()
        .map(|k| {
            let mut rng = Pcg64::seed_from_u64(1000 + k);
            let truth = Rubs {
                restitution: rng.random_range(0.4..0.9),
                friction: rng.random_range(0.0..0.28),
            };
            let own = with(&base, truth);
            let rolls = rolled(&own, &ramp, &marks, &mut rng);
            let found = test.fit(&rolls).unwrap().bounce;
            let measured = found.on(&base, Rubber::Facings);
            let ranges = surfaces.each_ref().map(|s| s.range(&measured));
            let chances = surfaces.each_ref().map(|s| s.at(&own));
            let mut inside = [false; 5];
            let mut wide = [0.0; 5];
            for (s, range) in ranges.iter().enumerate() {
                let hair = 1e-3;
                inside[s] = (range.start - hair..=range.end + hair).contains(&chances[s]);
                wide[s] = range.end - range.start;
            }
            // 95 % quantile of chi-square with two degrees of freedom.
            (found.off(truth) <= 5.991, inside, wide)
        })
        .collect();
    let share = |count: usize, of: u64| count as f64 / of as f64;
    let jaws = share(runs.iter().filter(|r| r.0).count(), TESTS);
    let chances: usize = runs
        .iter()
        .map(|r| r.1.iter().filter(|i| **i).count())
        .sum();
    let chances = share(chances, 5 * TESTS);
    let left: Vec<f64> = (0..5)
        .map(|s| {
            let mean = runs.iter().map(|r| r.2[s]).sum::<f64>() / TESTS as f64;
            mean / (before[s].end - before[s].start)
        })
        .collect();
    println!("jaws {jaws:.3}, chances {chances:.3}, left {left:.2?} of {before:.2?}");
    assert!((0.93..=0.97).contains(&jaws), "jaws within: {jaws}");
    assert!(
        (0.93..=0.97).contains(&chances),
        "chances within: {chances}"
    );
    let mean = left.iter().sum::<f64>() / 5.0;
    assert!(mean <= 0.5, "a range keeps {mean} of its width");
}

const LEFT: &str = "L33 10/10, L35 9/10, L37 7/10, L39 2/10, L41 0/10";
const RIGHT: &str = "R33 10/10, R35 9/10, R37 6/10, R39 3/10, R41 1/10";
const SHOT: [&str; 9] = [
    "--cut",
    "half-ball",
    "--cue-to-object",
    "2ft",
    "--to-pocket",
    "3ft",
    "--level",
    "club",
    "--format=json",
];

/// From lowest to highest of a shot on a table, by the program.
fn said_range(folder: &std::path::Path, table: &str) -> (f64, f64) {
    let mut shot = thincut(folder);
    shot.args(["shot", "--table", table]).args(SHOT);
    let answer: Value = serde_json::from_str(&output(&mut shot, 0).0).unwrap();
    let number = |key: &str| answer[key].as_f64().unwrap();
    (number("chance_low"), number("chance_high"))
}

#[test]
fn the_file_has_the_smaller_range() {
    let folder = tempfile::tempdir().unwrap();
    let jaws = |more: &[&str]| {
        let mut command = thincut(folder.path());
        command
            .args(["table", "jaws", "--rolls", LEFT, "--rolls", RIGHT])
            .args(["--ramp-run", "1.28m 1/4", "--date", "2025-11-25"])
            .args(more);
        output(&mut command, 0).0
    };
    let text = jaws(&["--out", "our.toml"]);
    for words in [
        "Jaws and facings, from 100 rolls at 10 marks of a corner pocket: they give back 0.",
        "right 95 times in 100",
        "Chances for: club player, assumed.",
        "Half-ball cut, 2 ft apart, 3 ft to the corner: 6 in 10 (",
        "Next: ",
        "Assumed: a roll strays 1.5 mm",
        "our.toml: use it anywhere with --table our.toml",
    ] {
        assert!(text.contains(words), "{words} missing in {text}");
    }
    let (before, after) = (
        said_range(folder.path(), "pool-9ft"),
        said_range(folder.path(), "our.toml"),
    );
    let width = |range: (f64, f64)| range.1 - range.0;
    assert!(width(after) < 0.8 * width(before), "{after:?} {before:?}");
    // What the command says is what a shot says on the file.
    let json: Value = serde_json::from_str(&jaws(&["--format", "json"])).unwrap();
    let first = json["shots"]
        .as_array()
        .unwrap()
        .iter()
        .find(|s| s["shot"]["cut"] == "half-ball")
        .unwrap();
    let near = |key: &str, value: f64| {
        let said = first["after"][key].as_f64().unwrap();
        assert!((said - value).abs() < 2e-3, "{key}: {said} {value}");
    };
    near("low", after.0);
    near("high", after.1);
    let loaded = LoadedGear::load(folder.path().join("our.toml").to_str().unwrap(), &[]).unwrap();
    assert!(loaded.gear.measured.facings.is_known());
    assert!(!loaded.gear.measured.cushions.is_known());
    let mut shot = thincut(folder.path());
    shot.args(["shot", "--table", "our.toml"]).args(&SHOT[..8]);
    let (said, _) = output(&mut shot, 0);
    assert!(
        said.contains("the usual bounce of rails (jaws as measured)"),
        "{said}"
    );
}

#[test]
fn without_rolls_it_says_where_ramp_and_marks_go() {
    let folder = tempfile::tempdir().unwrap();
    for (more, words) in [
        (vec![], ["left rail", "L", "R", "a quarter of the height"]),
        (
            vec!["--ramp-at", "side"],
            ["right of the middle of the mouth", "L", "R", "side pocket"],
        ),
        (
            vec!["--table", "snooker-12ft"],
            ["left cushion", "L", "R", "half of the height"],
        ),
    ] {
        let mut command = thincut(folder.path());
        command.args(["table", "jaws"]).args(&more);
        let (text, _) = output(&mut command, 0);
        for words in words {
            assert!(text.contains(words), "{words} missing in {text}");
        }
        assert!(text.contains("Then: thincut table jaws --table "), "{text}");
    }
}

#[test]
fn rolls_that_cannot_be_are_refused() {
    let both = [LEFT, RIGHT].join(",");
    let swapped = "L33 0/10, L35 0/10, L37 3/10, L39 8/10, L41 10/10";
    let bad: [(&[&str], &[&str]); 12] = [
        (
            &["--rolls", "36 7/10"],
            &["--rolls", "\"36 7/10\"", "L36 7/10"],
        ),
        (&["--rolls", "L36"], &["--rolls", "\"L36\"", "L36 7/10"]),
        (&["--rolls", "L36 11/10"], &["--rolls", "L36 11/10", "7/10"]),
        (&["--rolls", "L36 0/0"], &["--rolls", "1 to 200"]),
        (&["--rolls", "L36 -1/10"], &["--rolls", "L36 7/10"]),
        (&["--rolls", "Lnan 1/10"], &["--rolls", "L36 7/10"]),
        (&["--rolls", "L90 1/10"], &["--rolls L90", "57 mm", "L36"]),
        (&["--rolls", swapped], &["--rolls", "no jaws", "roll again"]),
        (
            &["--rolls", &both, "--ramp-run", "8m 1/4"],
            &["--ramp-run 8 m", "2.51 m/s", "1.27 m"],
        ),
        (
            &["--rolls", &both, "--ramp-run", "1.3 1/4"],
            &["--ramp-run", "no unit"],
        ),
        (
            &["--rolls", &both, "--ramp-run", "1.3m 1/7"],
            &["--ramp-run", "1.28m 1/4"],
        ),
        (
            &["--ramp-at", "middle"],
            &["--ramp-at middle", "corner or side"],
        ),
    ];
    for (args, words) in bad {
        let folder = tempfile::tempdir().unwrap();
        let mut command = thincut(folder.path());
        command
            .args(["table", "jaws", "--out", "our.toml"])
            .args(args);
        let (out, err) = output(&mut command, 2);
        assert!(out.is_empty(), "{out}");
        for words in words {
            assert!(err.contains(words), "{args:?}: {words} missing in {err}");
        }
        assert!(!folder.path().join("our.toml").exists(), "{args:?}");
    }
    let folder = tempfile::tempdir().unwrap();
    let mut command = thincut(folder.path());
    command.args(["table", "jaws", "--out", "our.toml"]);
    let (_, err) = output(&mut command, 2);
    assert!(err.contains("--out") && err.contains("--rolls"), "{err}");
}

/// What was measured of bounce and rub comes in pairs.
#[test]
fn half_of_a_pair_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = thincut(folder.path());
    command
        .args(["shot", "--set", "measured.facing_friction=0.02"])
        .args(SHOT);
    let (_, err) = output(&mut command, 2);
    for words in [
        "measured.facing_friction",
        "0.02",
        "measured.facing_restitution",
    ] {
        assert!(err.contains(words), "{words} missing in {err}");
    }
}

#[test]
fn tallies_of_one_mark_count_together() {
    let texts = ["L36 7/10; l36mm 5/10".to_owned(), "R 38 2/10".to_owned()];
    let rolls = read_rolls(&texts).unwrap();
    let expected = [(36.0, 12, 20), (-38.0, 2, 10)];
    assert_eq!(rolls.len(), 2);
    for (roll, (mark_mm, dropped, all)) in rolls.iter().zip(expected) {
        assert!((roll.mark_mm - mark_mm).abs() < 1e-12);
        assert_eq!((roll.dropped, roll.rolls), (dropped, all));
    }
    let run = RampRun::read("1.28m from 1/4").unwrap();
    assert!((run.run_m - 1.28).abs() < 1e-12 && (run.share - 0.25).abs() < 1e-12);
}
