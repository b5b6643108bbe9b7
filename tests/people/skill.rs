//! The demo evening against its known truth, and `thincut skill`, `--student` and `log demo`
//! through the program itself.

use std::fs;
use std::path::Path;

use rand::SeedableRng;
use rand_pcg::Pcg64;
use serde_json::Value;
use thincut::log::demo::{self, EVENINGS, SESSION, TRUTHS, Truth};
use thincut::log::{Attempt, Periods, Practice};
use thincut::player::aim_fit::{AimFit, Bias, Estimate, FitOutcome, fit_aim};
use thincut::player::skill::{comparing, skill_report};
use thincut::player::verdict::{Verdict, compare};
use thincut::player::{AimError, Level, Observation};
use thincut::units::Side;

use crate::program::{output, with_log};

/// Simulated logs per question.
const LOGS: u64 = 60;
/// Least and most share of 95 % intervals that hold the truth: 240 of them scatter by 1.4 %, so
/// these are three standard errors either way.
const COVERAGE: (f64, f64) = (0.908, 0.992);

fn rows(seed: u64) -> Vec<Attempt> {
    demo::attempts(&mut Pcg64::seed_from_u64(seed)).expect("the shots stand")
}

fn truth(label: &str) -> &'static Truth {
    TRUTHS.iter().find(|t| t.label == label).expect("a student")
}

fn of(rows: &[Attempt], label: &str) -> Vec<Observation> {
    let own: Vec<Attempt> = rows
        .iter()
        .filter(|r| r.student == label)
        .cloned()
        .collect();
    let (used, left_out) = Practice::of(&own).observations();
    assert_eq!(left_out, 0);
    used
}

fn fitted(tries: &[Observation]) -> Box<AimFit> {
    match fit_aim(tries, Level::Club.aim_error()).expect("a fit") {
        FitOutcome::Fitted(fit) => fit,
        other => panic!("{other:?}"),
    }
}

fn holds(estimate: &Estimate, value: f64) -> bool {
    estimate.low.is_none_or(|low| low <= value) && estimate.high.is_none_or(|high| value <= high)
}

/// Arm and picture of the students who do not change, from many logs.
#[test]
fn intervals_hold_the_known_truth() {
    let (mut asked, mut held) = (0_u32, 0_u32);
    for seed in 0..LOGS {
        let rows = rows(seed);
        for label in ["N", "P"] {
            let error = truth(label).error(0, Side::Left);
            let parts = fitted(&of(&rows, label))
                .parts
                .expect("stroke and sighting apart");
            for (estimate, true_value) in [
                (parts.arm_rad, error.arm_rad),
                (parts.picture_m, error.picture_m),
            ] {
                asked += 1;
                held += u32::from(holds(&estimate, true_value));
            }
        }
    }
    let share = f64::from(held) / f64::from(asked);
    assert!(
        (COVERAGE.0..=COVERAGE.1).contains(&share),
        "{held} of {asked}"
    );
}

/// C leans left on every cut, F is too full on both, and nobody else leans.
#[test]
fn leans_are_recovered_with_their_sign() {
    let (mut asked, mut held) = (0_u32, 0_u32);
    let mut false_alarms = 0_u32;
    for seed in 0..LOGS {
        let rows = rows(seed);
        let c = fitted(&of(&rows, "M"));
        assert!(c.on_left_cuts.bias_rad > 0.0 && c.on_right_cuts.bias_rad > 0.0);
        let lean = truth("Q").lean_deg;
        let estimates = match fitted(&of(&rows, "Q")).bias {
            Bias::Fullness(full) => vec![(full, lean.0)],
            // Luck parts left from right one time in twenty.
            Bias::ByCut { left, right } => vec![(left, lean.0), (right, lean.1)],
            other => panic!("Q hits too full (log {seed}): {other:?}"),
        };
        for (estimate, true_deg) in estimates {
            assert!(estimate.value * true_deg > 0.0);
            asked += 1;
            held += u32::from(holds(&estimate, f64::to_radians(true_deg)));
        }
        if let Some(test) = fitted(&of(&rows, "L")).bias_test {
            false_alarms += u32::from(test.more_than_luck());
        }
    }
    let share = f64::from(held) / f64::from(asked);
    assert!(share > 0.88, "{held} of {asked}");
    // One in twenty is expected; six standard errors are allowed.
    assert!(
        f64::from(false_alarms) < 0.05 * 60.0 + 6.0 * 1.7,
        "{false_alarms}"
    );
}

/// A sees better from November on; B does not change.
#[test]
fn progress_is_told_from_luck() {
    let (mut a_better, mut b_changed) = (0_u32, 0_u32);
    for seed in 0..LOGS {
        let rows = rows(seed);
        let verdict = |label: &str| {
            let own: Vec<Attempt> = rows
                .iter()
                .filter(|r| r.student == label)
                .cloned()
                .collect();
            let periods = Periods::new(&Practice::of(&own), None);
            assert_eq!(periods.since.as_deref(), Some(EVENINGS[4]));
            let ((before, _), (after, _)) =
                (periods.earlier.observations(), periods.later.observations());
            let all = [&before[..], &after[..]].concat();
            let club = Level::Club.aim_error();
            let reference = comparing(&fit_aim(&all, club).expect("a fit"), club);
            compare(&before, &after, reference)
                .expect("a comparison")
                .verdict
        };
        a_better += u32::from(verdict("K") == Verdict::Better);
        b_changed += u32::from(matches!(verdict("L"), Verdict::Better | Verdict::Worse));
    }
    assert!(a_better >= 58, "K better in {a_better} of {LOGS}");
    assert!(b_changed <= 9, "L changed in {b_changed} of {LOGS}");
}

/// With a wrong arm : picture ratio the longer shots of one side would look like a wider spread.
#[test]
fn sides_are_compared_on_the_fitted_ratio() {
    let mut alarms = 0_u32;
    for seed in 0..LOGS {
        let report =
            skill_report(&of(&rows(seed), "N"), None, Level::Club.aim_error()).expect("a report");
        let test = report.left_right.and_then(|c| c.test).expect("both sides");
        alarms += u32::from(test.more_than_luck());
    }
    assert!(
        alarms <= 9,
        "{alarms} of {LOGS} find a side that scatters more"
    );
}

#[test]
fn too_few_and_all_made_are_said() {
    let rows = rows(1);
    let outcome = |label| fit_aim(&of(&rows, label), Level::Club.aim_error()).expect("an outcome");
    assert!(matches!(
        outcome("R"),
        FitOutcome::TooFew {
            tries: 10,
            needed: 20
        }
    ));
    assert!(matches!(
        outcome("S"),
        FitOutcome::AllMade { tries: 40, .. }
    ));
    assert!(rows.iter().all(|r| r.session.as_deref() == Some(SESSION)));
    assert!(rows.iter().all(|r| r.problem().is_none()));
}

/// README's stroke test is A's own: drawn from A's true arm, not made up.
#[test]
fn stroke_test_in_readme_is_drawn_from_the_truth() {
    let mut rng = Pcg64::seed_from_u64(1);
    let readings = demo::stroke_readings_mm(truth("K"), 12, 2.0, 2.0, &mut rng);
    let text: Vec<String> = readings.iter().map(f64::to_string).collect();
    let command = format!(
        "thincut skill K --stroke-test {} --stroke-distance 2m",
        text.join(",")
    );
    let readme = include_str!("../../README.md");
    assert!(readme.contains(&command), "README should say: {command}");
}

#[test]
fn table_of_truths_for_developers_is_the_code() {
    let text = include_str!("../../DEVELOPERS.md");
    for t in TRUTHS {
        let later = match t.later {
            (1.0, 1.0) => "same".to_owned(),
            (1.0, picture) => format!("picture × {picture}"),
            (arm, picture) => format!("arm × {arm}, picture × {picture}"),
        };
        let line = format!(
            "| {} | {}° | {} mm | {later} | {}°, {}° | {} |",
            t.label, t.arm_deg, t.picture_mm, t.lean_deg.0, t.lean_deg.1, t.story
        );
        assert!(text.contains(&line), "DEVELOPERS.md should have: {line}");
    }
}

#[test]
fn same_seed_same_evening() {
    assert_eq!(rows(5), rows(5));
    assert_ne!(rows(5), rows(6));
}

fn good(folder: &Path, arguments: &[&str]) -> String {
    output(with_log(folder).args(arguments), 0).0
}

fn bad(folder: &Path, arguments: &[&str], wanted: &str) {
    let (out, err) = output(with_log(folder).args(arguments), 2);
    assert!(out.is_empty(), "{arguments:?}");
    assert!(err.contains(wanted), "{arguments:?}: {err}");
}

fn demo_folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let said = good(folder.path(), &["log", "demo"]);
    assert!(said.starts_with("Invented: "), "{said}");
    folder
}

fn object(folder: &Path, arguments: &[&str]) -> Value {
    serde_json::from_str(&good(folder, arguments)).expect("JSON")
}

#[test]
fn verdict_comes_first_and_statistics_only_when_asked() {
    let folder = demo_folder();
    let folder = folder.path();
    for (student, first, then) in [
        (
            "K",
            "K: better since 2025-11-04, by more than luck",
            "sighting",
        ),
        ("M", "M: ", "Pulls left by"),
        (
            "N",
            "N: ",
            "At one metre stroke errors outweigh sighting errors",
        ),
        (
            "P",
            "P: ",
            "At one metre sighting errors outweigh stroke errors",
        ),
        ("Q", "Q: ", "Q hits too full (undercuts): of "),
        (
            "R",
            "R: cannot tell yet: 10 tries recorded, 10 more needed",
            "",
        ),
        ("S", "S: cannot tell: all 40 tries went in;", "harder shots"),
    ] {
        let text = good(folder, &["skill", student]);
        let line = text.lines().next().expect("a line");
        assert!(line.starts_with(first), "{text}");
        assert!(text.contains(then), "{text}");
        for word in ["deviance", "Pearson", "ikelihood", "p = "] {
            assert!(!text.contains(word), "{word} without --stats: {text}");
        }
    }
    let text = good(folder, &["skill", "K", "--stats"]);
    for word in ["deviance", "Pearson", "likelihood ratio", "95 in 100"] {
        assert!(text.contains(word), "{text}");
    }
}

#[test]
fn json_and_csv_say_the_same() {
    let folder = demo_folder();
    let folder = folder.path();
    let json = object(folder, &["skill", "Q", "--format", "json"]);
    assert_eq!(json["tries"], 800);
    assert_eq!(json["since"], "2025-11-04");
    let fit = &json["report"]["outcome"]["fitted"];
    let csv = good(folder, &["skill", "Q", "--format", "csv"]);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let mut seen = 0;
    for row in reader.records() {
        let row = row.expect("a row");
        let number = |k: usize| {
            row.get(k)
                .and_then(|t| t.parse::<f64>().ok())
                .expect("a number")
        };
        let (value, wanted) = match &row[0] {
            "scale" => (number(2), fit["scale"]["value"].as_f64()),
            "lean_left_cuts" => (
                number(2).to_radians(),
                fit["bias"]["by_cut"]["left"]["value"].as_f64(),
            ),
            _ => continue,
        };
        seen += 1;
        let wanted = wanted.unwrap_or_else(|| panic!("{}: {fit}", &row[0]));
        assert!((value - wanted).abs() < 1e-12 * wanted.abs().max(1.0));
        assert!(number(4) < number(2) && number(2) < number(5));
    }
    assert_eq!(seen, 2);
}

#[test]
fn since_parts_the_tries() {
    let folder = demo_folder();
    let folder = folder.path();
    let json = object(
        folder,
        &["skill", "K", "--since", "2025-11-18", "--format", "json"],
    );
    assert_eq!(json["tries"], 200);
    assert_eq!(json["days"][0], "2025-11-18");
    assert_eq!(json["report"]["trend"]["first_tries"], 600);
    let future = good(folder, &["skill", "K", "--since", "2026-01-06"]);
    assert!(
        future.starts_with("K: cannot tell yet: no tries recorded"),
        "{future}"
    );
    bad(folder, &["skill", "K", "--since", "yesterday"], "--since");
}

/// The stroke test has E's steady arm; what is left of the misses is the eyes'.
#[test]
fn stroke_test_parts_arm_from_eyes() {
    let folder = demo_folder();
    let folder = folder.path();
    let mut rng = Pcg64::seed_from_u64(3);
    for (label, mostly) in [("P", "Mostly the sighting"), ("N", "Mostly the stroke")] {
        let readings = demo::stroke_readings_mm(truth(label), 20, 2.0, 2.0, &mut rng);
        let text: Vec<String> = readings.iter().map(f64::to_string).collect();
        let arguments = [
            "skill",
            label,
            "--stroke-test",
            &text.join(","),
            "--stroke-distance",
            "2m",
        ];
        let said = good(folder, &arguments);
        assert!(said.contains(mostly), "{said}");
        assert!(said.contains("Stroke test, 20 readings"), "{said}");
        fs::write(folder.join("readings.txt"), text.join("\n")).expect("a file");
        let from_file = [
            "skill",
            label,
            "--stroke-test",
            "readings.txt",
            "--stroke-distance",
            "2m",
        ];
        assert_eq!(good(folder, &from_file), said);
    }
    bad(
        folder,
        &["skill", "P", "--stroke-test", "1,2,3,4,5"],
        "--stroke-distance",
    );
    bad(
        folder,
        &[
            "skill",
            "P",
            "--stroke-test",
            "1,2",
            "--stroke-distance",
            "2m",
        ],
        "at least 5",
    );
    bad(
        folder,
        &[
            "skill",
            "P",
            "--stroke-test",
            "gone.txt",
            "--stroke-distance",
            "2m",
        ],
        "gone.txt",
    );
}

/// The list comes back: filled in, it is imported, and the fit takes it in.
#[test]
fn shots_that_tell_go_back_into_the_log() {
    let folder = demo_folder();
    let folder = folder.path();
    let text = good(folder, &["skill", "K", "--tell-me-more", "5"]);
    assert_eq!(
        text.matches("thincut log add \"K M/10\"").count(),
        5,
        "{text}"
    );
    let rows = good(
        folder,
        &["skill", "K", "--tell-me-more", "5", "--format", "csv"],
    );
    let filled = rows
        .replace("K,,", "K,2025-12-02,")
        .replace(",10,\n", ",10,5\n");
    fs::write(folder.join("probes.csv"), filled).expect("a file");
    let said = good(folder, &["log", "import", "probes.csv"]);
    assert!(said.contains("Imported 5 rows"), "{said}");
    let json = object(folder, &["skill", "K", "--format", "json"]);
    // Of the attempts since K became better.
    assert_eq!(json["tries"], 450);
    assert_eq!(json["left_out"], 0);
    bad(
        folder,
        &["skill", "K", "--tell-me-more", "0"],
        "--tell-me-more",
    );
}

/// A command about one shot.
fn with<'a>(command: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    let shot = [
        "--cut",
        "half-ball",
        "--cue-to-object",
        "2ft",
        "--to-pocket",
        "2ft",
    ];
    [&[command][..], &shot, more].concat()
}

#[test]
fn student_is_a_player() {
    let folder = demo_folder();
    let folder = folder.path();
    let json = object(
        folder,
        &with("shot", &["--student", "K", "--format", "json"]),
    );
    assert_eq!(
        json["player"],
        "student K, from 400 tries since 2025-11-04, better since then"
    );
    // The same numbers by hand give the same chance.
    let skill = object(folder, &["skill", "K", "--format", "json"]);
    let error = &skill["report"]["outcome"]["fitted"]["on_left_cuts"];
    let number = |key: &str| error[key].as_f64().expect("a number");
    let by_hand = [
        format!("--stroke-spread={}deg", number("arm_rad").to_degrees()),
        format!("--sighting-spread={}mm", 1e3 * number("picture_m")),
        format!("--steady-error={}deg", number("bias_rad").to_degrees()),
        // A student's speed scatters as that of the level nearest to them.
        format!(
            "--speed-spread={}",
            AimError::new(number("arm_rad"), number("picture_m"))
                .expect("a player")
                .with_nearest_scatter()
                .scatter
                .speed_share
        ),
        "--format=json".to_owned(),
    ];
    let by_hand: Vec<&str> = by_hand.iter().map(String::as_str).collect();
    let same = object(folder, &with("shot", &by_hand));
    let (a, b) = (json["chance"].as_f64(), same["chance"].as_f64());
    assert!((a.expect("a chance") - b.expect("a chance")).abs() < 1e-9);
    let budget = good(
        folder,
        &with("budget", &["--student", "P", "--trials", "20000"]),
    );
    assert!(
        budget.starts_with("P loses most to sighting")
            && budget.contains("practise sighting the ghost ball"),
        "{budget}"
    );
    assert!(budget.contains("student P, from 800 tries"));
    let survey = [
        "survey",
        "--student",
        "K",
        "--cut",
        "0deg,30deg",
        "--cue-to-object",
        "2ft",
        "--to-pocket",
        "2ft",
    ];
    good(folder, &survey);
    let table = fs::read_to_string(folder.join("survey/survey-pool-9ft.csv")).expect("a table");
    assert!(
        table
            .lines()
            .next()
            .expect("a header")
            .contains("makes_in_ten")
    );
    bad(
        folder,
        &with("shot", &["--student", "K", "--level", "club"]),
        "--level",
    );
    bad(folder, &with("shot", &["--student", "R"]), "20 are needed");
    bad(
        folder,
        &with("shot", &["--student", "S"]),
        "all 40 tries went in",
    );
    bad(
        folder,
        &with("shot", &["--student", "Z"]),
        "no student is called Z",
    );
}

#[test]
fn demo_keeps_out_of_a_log_in_use_and_can_be_undone() {
    let folder = demo_folder();
    let folder = folder.path();
    bad(folder, &["log", "demo"], "does not mix");
    bad(folder, &["log", "undo"], "add --yes");
    good(folder, &["skill", "K"]);
    good(folder, &["log", "undo", "--yes"]);
    bad(folder, &["skill", "K"], "no student is called K");
    good(folder, &["log", "demo", "--seed", "2"]);
    let empty = tempfile::tempdir().expect("a folder");
    bad(empty.path(), &["skill", "K"], "no log at");
}

/// The numbers a chart carries, by the class of its groups.
fn drawn(svg: &str, class: &str, attribute: &str) -> Vec<Vec<f64>> {
    let document = roxmltree::Document::parse(svg).expect("an SVG");
    document
        .descendants()
        .filter(|n| n.attribute("class") == Some(class))
        .map(|n| {
            let text = n.attribute(attribute).expect("its numbers");
            text.split(' ')
                .map(|t| t.parse().expect("a number"))
                .collect()
        })
        .collect()
}

#[test]
fn charts_show_what_json_says() {
    let folder = demo_folder();
    let folder = folder.path();
    let said = good(folder, &["skill", "K", "--out", "pictures"]);
    for name in ["predictions", "evenings"] {
        for ending in ["svg", "png"] {
            assert!(said.contains(&format!("skill-K-{name}.{ending}")), "{said}");
        }
    }
    let json = object(folder, &["skill", "K", "--format", "json"]);
    let read = |name: &str| fs::read_to_string(folder.join("pictures").join(name)).expect("an SVG");
    let dots = drawn(&read("skill-K-predictions.svg"), "dot", "data-values");
    let bands = json["report"]["bands"].as_array().expect("bands");
    assert_eq!(dots.len(), bands.len());
    for (dot, band) in dots.iter().zip(bands) {
        for (drawn, key) in dot.iter().zip(["predicted", "observed"]) {
            assert!((drawn - band[key].as_f64().expect("a share")).abs() < 1e-12);
        }
    }
    let days = json["by_day"].as_array().expect("days");
    assert_eq!(days.len(), EVENINGS.len());
    let svg = read("skill-K-evenings.svg");
    assert!(svg.contains("K: better since 2025-11-04"));
    let spreads: Vec<f64> = days
        .iter()
        .map(|d| d["spread"]["value"].as_f64().expect("a spread"))
        .collect();
    let (before, after) = spreads.split_at(4);
    let mean = |part: &[f64]| part.iter().sum::<f64>() / 4.0;
    assert!(mean(after) < 0.8 * mean(before), "{spreads:?}");
    bad(folder, &["skill", "K", "--out", "pictures"], "--force");
    good(folder, &["skill", "K", "--out", "pictures", "--force"]);

    let shot = ["--student", "K", "--trials", "5000"];
    let out = [&shot[..], &["--out", "pictures"]].concat();
    good(folder, &with("budget", &out));
    let bars = drawn(&read("budget.svg"), "bar", "data-values");
    let json = object(
        folder,
        &with("budget", &[&shot[..], &["--format", "json"]].concat()),
    );
    let inputs = json["inputs"].as_array().expect("inputs");
    assert_eq!(bars.len(), inputs.len());
    for (bar, input) in bars.iter().zip(inputs) {
        let wanted = input["contribution_deg"].as_f64().expect("a number");
        assert!((bar[0] - wanted).abs() < 1e-12);
    }
}
