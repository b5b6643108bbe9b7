//! The pivot-length test: simulated readings give the cue back within what is said, the file changes what
//! is said of side, and what cannot be is refused.

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use thincut::gear::{Gear, LoadedGear};
use thincut::measure::{PivotSet, PivotTest, read_pivot_sets};
use thincut::player::normal::sample;

use super::{output, thincut};

const TESTS: u64 = 100;

#[test]
fn a_bridge_at_the_pivot_undoes_squirt() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let test = PivotTest::usual(&gear);
    for pivot_m in [0.25, 0.4] {
        // The butt is raised by 3°, so a little curve is left; small offsets squirt by offset over pivot.
        let at = test.meets_m(&gear, pivot_m, test.tip_m, pivot_m);
        assert!(at.abs() < 5e-3, "{pivot_m}: {at}");
        let short = test.meets_m(&gear, pivot_m, test.tip_m, 0.6 * pivot_m);
        let long = test.meets_m(&gear, pivot_m, test.tip_m, 1.8 * pivot_m);
        // Turned about a short bridge it goes to the side of the tip, about a long one squirt wins.
        assert!(short < at && at < long, "{short} {at} {long}");
    }
}

#[test]
fn pivots_are_found() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let test = PivotTest {
        distance_m: 1.5,
        ..PivotTest::usual(&gear)
    };
    let (mut inside, mut wide) = (0, 0.0);
    for k in 0..TESTS {
        let mut rng = Pcg64::seed_from_u64(7000 + k);
        let pivot_m: f64 = rng.random_range(0.2..0.6);
        let tip_m = test.tip_m + 1e-3 * sample(&mut rng);
        let steady_m = 5e-3 * sample(&mut rng);
        let sets: Vec<PivotSet> = [0.2, 0.3, 0.4]
            .into_iter()
            .map(|bridge_m| {
                let middle = test.meets_m(&gear, pivot_m, tip_m, bridge_m);
                let mut five = |side: f64| -> Vec<f64> {
                    let one = |_| 1e3 * (steady_m + side * middle + 8e-3 * sample(&mut rng));
                    (0..5).map(one).collect()
                };
                PivotSet {
                    bridge_m,
                    right_mm: five(1.0),
                    left_mm: five(-1.0),
                }
            })
            .collect();
        let found = test.fit(&gear, &sets).unwrap();
        inside += u32::from((found.low_m..=found.high_m).contains(&pivot_m));
        wide += found.high_m - found.low_m;
    }
    let share = f64::from(inside) / TESTS as f64;
    let wide = wide / TESTS as f64;
    println!("inside {share:.3}, wide {wide:.3} m");
    assert!((0.9..=0.99).contains(&share), "{share}");
    // Less than half of the 400 mm that cues have.
    assert!(wide < 0.2, "{wide}");
}

#[test]
fn a_cue_in_the_file_changes_what_side_does() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let test = PivotTest::usual(&gear);
    let folder = tempfile::tempdir().unwrap();
    // What a cue of 220 mm brings, with two bridges.
    let set = |bridge_m: f64| {
        let mm = 1e3 * test.meets_m(&gear, 0.22, test.tip_m, bridge_m);
        format!(
            "{:.0}cm R {mm:.1},{:.1} L {:.1},{:.1}",
            100.0 * bridge_m,
            mm + 2.0,
            -mm,
            2.0 - mm
        )
    };
    let mut command = thincut(folder.path());
    command
        .args([
            "table",
            "cue",
            "--pivot-test",
            &set(0.2),
            "--pivot-test",
            &set(0.4),
        ])
        .args(["--date", "2025-11-25", "--out", "our.toml"]);
    let (text, _) = output(&mut command, 0);
    for words in [
        "Your cue pivots 2",
        "not 300 mm, which is assumed of any cue; from 8 readings",
        "off the middle it squirts",
        "Half-ball cut, 2 ft apart, 3 ft to the corner: ",
        "our.toml: use it anywhere with --table our.toml",
    ] {
        assert!(text.contains(words), "{words} missing in {text}");
    }
    let loaded = LoadedGear::load(folder.path().join("our.toml").to_str().unwrap(), &[]).unwrap();
    let pivot_m = loaded.gear.cue_pivot_m.unwrap();
    assert!((0.2..0.28).contains(&pivot_m), "{pivot_m}");
    let squirt = |table: &str| {
        let mut stroke = thincut(folder.path());
        stroke.args([
            "stroke", "--table", table, "--across", "6mm", "--speed", "2m/s", "--format", "json",
        ]);
        let answer: serde_json::Value = serde_json::from_str(&output(&mut stroke, 0).0).unwrap();
        answer["stick"]["pivot_mm"]
            .as_f64()
            .or(answer["pivot_mm"].as_f64())
            .unwrap()
    };
    assert!((squirt("pool-9ft") - 300.0).abs() < 1e-6);
    assert!((squirt("our.toml") - 1e3 * pivot_m).abs() < 1e-6);
}

#[test]
fn readings_that_cannot_be_are_refused() {
    let bad: [(&[&str], &[&str]); 9] = [
        (
            &["--pivot-test", "25cm"],
            &["--pivot-test", "\"25cm\"", "25cm R 12,9,14"],
        ),
        (
            &["--pivot-test", "25 R 1 L 2"],
            &["--pivot-test", "no unit"],
        ),
        (
            &["--pivot-test", "25cm R 1,2"],
            &["--pivot-test", "one side only"],
        ),
        (
            &["--pivot-test", "25cm R 1 L x"],
            &["--pivot-test", "25cm R 12,9,14"],
        ),
        (
            &["--pivot-test", "5cm R 1 L 2"],
            &["--pivot-test", "10 to 60 cm"],
        ),
        (
            &["--pivot-test", "25cm R 900 L 2"],
            &["--pivot-test", "beyond any scale"],
        ),
        (
            &["--pivot-test", "25cm R 200,201 L -200,-203"],
            &["--pivot-test", "no cue", "left of the middle"],
        ),
        (&["--tip-off", "20mm"], &["--tip-off 20.0 mm", "2 to 14 mm"]),
        (&["--distance", "9m"], &["--distance 9 m", "1m or 2m"]),
    ];
    for (args, words) in bad {
        let folder = tempfile::tempdir().unwrap();
        let mut command = thincut(folder.path());
        command.args(["table", "cue"]).args(args);
        let (_, err) = output(&mut command, 2);
        for words in words {
            assert!(err.contains(words), "{args:?}: {words} missing in {err}");
        }
    }
    let sets = read_pivot_sets(&["25cm R 1,2 L -3; 30cm L 4 R 5".to_owned()]).unwrap();
    assert_eq!(sets.len(), 2);
    assert_eq!((sets[0].right_mm.len(), sets[1].left_mm.len()), (2, 1));
}
