//! `thincut choose` and `thincut choose check`, through the program itself.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
use thincut::gear::Gear;
use thincut::window::PaceWord;

use crate::program::{output, program, thincut};

const LAYOUTS: [(&str, usize); 3] = [("five-left", 5), ("last-three", 3), ("crowded", 15)];
/// Chances of a layout and of its mirror image: the same sums in another order, through cushion
/// angles that are rounded once more.
const SAME_CHANCE: f64 = 1e-6;
/// Five standard errors of a simulated share at its widest, times the root of the tries.
const SIMULATED: f64 = 2.5;
/// The cue ball in the middle of a ring of six balls, each a quarter diamond from it.
const SHUT_IN: &str = "ball,x,y\ncue,2,2\n1,2.25,2\n2,2.125,2.2165\n3,1.875,2.2165\n4,1.75,2\n5,1.875,1.7835\n6,2.125,1.7835\n";

fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/layouts")
        .join(format!("{name}.csv"))
}

/// Standard output and standard error of a run that ends with `code`.
#[track_caller]
fn run(args: &[&str], code: i32) -> (String, String) {
    let home = tempfile::tempdir().expect("a folder");
    output(thincut(home.path()).args(args), code)
}

fn choose(path: &Path, more: &[&str], code: i32) -> (String, String) {
    let mut args = vec!["choose", path.to_str().expect("a plain path")];
    args.extend(more);
    run(&args, code)
}

fn answer(path: &Path, more: &[&str]) -> Value {
    let (out, err) = choose(path, &[more, &["--format", "json"]].concat(), 0);
    assert!(err.is_empty(), "{err}");
    serde_json::from_str(&out).expect("JSON")
}

fn value(shot: &Value, key: &str) -> f64 {
    shot[key].as_f64().expect("a number")
}

fn shots(answer: &Value) -> &Vec<Value> {
    answer["shots"].as_array().expect("shots")
}

#[test]
fn three_layouts_give_their_best_three_with_reasons() {
    for (name, _) in LAYOUTS {
        let (text, err) = choose(&file(name), &[], 0);
        assert!(err.is_empty(), "{err}");
        for rank in ["1. ", "2. ", "3. "] {
            assert!(text.lines().any(|l| l.starts_with(rank)), "{name}: {text}");
        }
        assert!(!text.contains("\n4. "), "{name}: {text}");
        // Two lines each: the shot with its stroke, and where the cue ball goes.
        let second = text
            .lines()
            .filter(|l| l.starts_with("   ") && l.contains("cue ball"));
        assert!(second.count() >= 3, "{name}: {text}");
        assert!(
            text.contains("For a club player, assumed"),
            "{name}: {text}"
        );
    }
}

/// Chances this near count as alike, and what follows decides: two hundredths.
const ALIKE: f64 = 0.02;

#[test]
fn json_ranks_by_the_chance_to_make_it_and_keep_the_cue_ball() {
    for (name, _) in LAYOUTS {
        let more = ["--direct-only", "--no-safeties", "--prefer", "make"];
        let answer = answer(&file(name), &more);
        let shots = shots(&answer);
        assert!(shots.len() >= 3, "{name}");
        for shot in shots {
            assert_eq!(shot["family"], "direct", "{name}");
            let (make, keep) = (value(shot, "chance"), value(shot, "chance_and_keep"));
            assert!(0.0 <= keep && keep <= make && make <= 1.0, "{name}: {shot}");
        }
        let ranked = shots.windows(2).all(|pair| {
            let worth = |shot| value(shot, "chance_and_keep");
            worth(&pair[0]) >= worth(&pair[1]) - ALIKE
        });
        assert!(ranked, "{name}: {answer}");
        assert_eq!(answer["no_shot"], false, "{name}");
    }
}

#[test]
fn text_and_json_name_the_same_first_shot() {
    for (name, _) in LAYOUTS {
        let (text, _) = choose(&file(name), &["--direct-only"], 0);
        let answer = answer(&file(name), &["--direct-only"]);
        let first = &shots(&answer)[0];
        let said = format!(
            "1. Play the {} into the {} pocket",
            first["ball"].as_str().unwrap(),
            first["pocket"].as_str().unwrap()
        );
        assert!(text.lines().any(|l| l.starts_with(&said)), "{name}: {text}");
    }
}

#[test]
fn targets_limit_the_ball_hit_first() {
    let answer = answer(&file("five-left"), &["--targets", "7,9"]);
    assert!(!shots(&answer).is_empty());
    for shot in shots(&answer) {
        assert!(
            ["7", "9"].contains(&shot["first"].as_str().unwrap()),
            "{shot}"
        );
    }
    let (_, err) = choose(&file("five-left"), &["--targets", "7,12"], 2);
    assert!(err.contains("--targets") && err.contains("`12`"), "{err}");
    assert!(err.contains("2, 5, 7, 9, 8"), "{err}");
}

#[test]
fn check_lists_every_ball() {
    for (name, balls) in LAYOUTS {
        let path = file(name);
        let (text, _) = run(&["choose", "check", path.to_str().unwrap()], 0);
        assert_eq!(text.lines().count(), balls + 2, "{name}: {text}");
        assert!(
            text.contains(&format!("{balls} balls and the cue ball")),
            "{text}"
        );
        let (json, _) = run(
            &[
                "choose",
                "check",
                path.to_str().unwrap(),
                "--format",
                "json",
            ],
            0,
        );
        let layout: Value = serde_json::from_str(&json).expect("JSON");
        // the cue ball is one of them
        assert_eq!(layout.as_array().unwrap().len(), balls + 1, "{name}");
    }
}

#[test]
fn a_bad_file_gives_all_its_faults_with_their_lines() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bad.csv");
    // a name twice and an overlap on line 3, off the table on line 4, no word for a place on line 5
    fs::write(&path, "ball,x,y\n1,2,2\n1,2,2.01\nx,9,2\n4,frozen-up,1\n").unwrap();
    let named = path.to_str().unwrap();
    for args in [vec!["choose", named], vec!["choose", "check", named]] {
        let (out, err) = run(&args, 2);
        assert!(out.is_empty(), "{out}");
        for part in [
            "bad.csv",
            "line 3: the ball 1 is already on line 2",
            "overlap",
            "line 4: x: \"9\" is off the table",
            "line 5: ",
            "frozen-up",
        ] {
            assert!(err.contains(part), "`{part}` is missing: {err}");
        }
        let (out, err) = run(&[&args[..], &["--format", "json"]].concat(), 2);
        assert!(out.is_empty(), "{out}");
        let fault: Value = serde_json::from_str(&err).expect("JSON on standard error");
        assert_eq!(fault["error"]["exit_code"], 2);
        let message = fault["error"]["message"].as_str().unwrap();
        assert!(
            message.contains("line 3: ") && message.contains("line 5: "),
            "{message}"
        );
    }
    let (_, err) = choose(&folder.path().join("none.csv"), &[], 2);
    assert!(
        err.contains("cannot read the layout") && err.contains("none.csv"),
        "{err}"
    );
}

#[test]
fn bad_options_name_themselves() {
    for (options, part) in [
        (
            ["--hand", "both"],
            "--hand: `both` is not one of left, right",
        ),
        (
            ["--prefer", "luck"],
            "--prefer: `luck` is not one of run, make, control",
        ),
        (["--reach", "0mm"], "--reach: "),
        (["--format", "csv"], "possible values: text, json]"),
    ] {
        let (out, err) = choose(&file("five-left"), &options, 2);
        assert!(out.is_empty() && err.contains(part), "{options:?}: {err}");
    }
    let wins = [
        "--win-make",
        "1.5",
        "--win-miss",
        "0.2",
        "--win-safe",
        "0.4",
    ];
    let (_, err) = choose(&file("five-left"), &wins, 2);
    assert!(err.contains("--win-make: 1.5 is no chance"), "{err}");
}

#[test]
fn no_shot_is_said_with_the_least_bad() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shut-in.csv");
    fs::write(&path, SHUT_IN).unwrap();
    let more = ["--direct-only", "--level", "starting", "--no-safeties"];
    let answer = answer(&path, &more);
    let (text, _) = choose(&path, &more, 0);
    assert_eq!(answer["no_shot"], true, "{text}");
    assert!(text.starts_with("No shot worth trying here."), "{text}");
    let hit = &answer["least_bad"];
    assert!(value(hit, "chance") > 0.0, "{hit}");
    let named = format!(
        "The easiest legal hit is the {}",
        hit["ball"].as_str().unwrap()
    );
    assert!(text.contains(&named), "{text}");
}

/// The layout file seen from the other long side, places in millimetres.
fn mirrored(path: &Path, folder: &Path) -> PathBuf {
    let (json, _) = run(
        &[
            "choose",
            "check",
            path.to_str().unwrap(),
            "--format",
            "json",
        ],
        0,
    );
    let layout: Value = serde_json::from_str(&json).unwrap();
    let width_m = Gear::preset("pool-9ft")
        .expect("a built-in table")
        .bed
        .width_m;
    let mut text = "ball,x,y\n".to_owned();
    for ball in layout.as_array().expect("a list of balls") {
        let (x_mm, y_mm) = (value(ball, "x_mm"), width_m * 1e3 - value(ball, "y_mm"));
        let label = ball["ball"].as_str().expect("a label");
        text.push_str(&format!("{label},{x_mm:.9}mm,{y_mm:.9}mm\n"));
    }
    let out = folder.join("mirrored.csv");
    fs::write(&out, text).unwrap();
    out
}

#[test]
fn a_mirror_image_with_the_other_hand_gives_the_mirror_answer() {
    let folder = tempfile::tempdir().unwrap();
    for (name, _) in LAYOUTS {
        let by = |hand| {
            let plain = "--direct-only --no-safeties --pace medium --arrives roll --side 0 --hand";
            plain.split(' ').chain([hand]).collect::<Vec<&str>>()
        };
        let one = answer(&file(name), &by("right"));
        let other = mirrored(&file(name), folder.path());
        let other = answer(&other, &by("left"));
        assert_eq!(shots(&one).len(), shots(&other).len(), "{name}");
        for shot in shots(&one) {
            let pocket = shot["pocket"].as_str().unwrap();
            let swapped = match pocket.split_once('-').expect("two words") {
                (end, "left") => format!("{end}-right"),
                (end, _) => format!("{end}-left"),
            };
            let twin = shots(&other)
                .iter()
                .find(|s| s["ball"] == shot["ball"] && s["pocket"] == swapped.as_str())
                .unwrap_or_else(|| panic!("{name}: no twin of {shot}"));
            let apart = (value(shot, "chance") - value(twin, "chance")).abs();
            assert!(apart < SAME_CHANCE, "{name}: {shot}\n{twin}");
            assert_eq!(shot["stance"]["needs_rest"], twin["stance"]["needs_rest"]);
        }
    }
}

#[test]
fn risk_best_pace_and_go_or_safe_come_as_text_and_json() {
    let more = [
        "--direct-only",
        "--risk",
        "--best-pace",
        "--win-make",
        "0.7",
        "--win-miss",
        "0.2",
        "--win-safe",
        "0.45",
    ];
    for (name, _) in LAYOUTS {
        let answer = answer(&file(name), &more);
        let (text, _) = choose(&file(name), &more, 0);
        let first = &shots(&answer)[0];

        let risk = &answer["risk"];
        let (make, miss) = (value(risk, "make"), value(risk, "miss"));
        assert!(
            (make + miss - 1.0).abs() < SAME_CHANCE,
            "{name}: {make} {miss}"
        );
        let tries = value(risk, "tries");
        let apart = (make - value(first, "chance")).abs();
        assert!(apart < SIMULATED / tries.sqrt(), "{name}: {apart}");
        let stops = risk["object_stops"].as_array().expect("places").len();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count"
        )]
        let missed = (miss * tries).round() as usize;
        assert_eq!(stops, missed, "{name}");

        let (best, asked) = (&answer["best_pace"]["best"], &answer["best_pace"]["asked"]);
        assert!(value(best, "chance") >= value(asked, "chance"), "{name}");
        for tried in answer["best_pace"]["tried"].as_array().expect("paces") {
            let least = PaceWord::DeadWeight.pace_m_s();
            assert!(value(tried, "pace_m_s") >= least, "{name}: {tried}");
            assert!(value(tried, "chance") <= value(best, "chance"), "{name}");
        }

        // (0.45 - 0.2)/(0.7 - 0.2)
        let verdict = &answer["go_or_safe"];
        assert!((value(verdict, "break_even") - 0.5).abs() < SAME_CHANCE);
        let go = value(first, "chance_and_keep") >= 0.5;
        assert_eq!(verdict["go"], go, "{name}");
        let said = if go {
            "Go or safe: go for it"
        } else {
            "Go or safe: play safe"
        };
        for part in ["Risk of shot 1", "Best pace for shot 1", said] {
            assert!(text.contains(part), "{name}, {part}: {text}");
        }
    }
    let plain = answer(&file("five-left"), &["--direct-only"]);
    for key in ["risk", "best_pace", "go_or_safe"] {
        assert!(plain.get(key).is_none(), "{key} was not asked for");
    }
}

#[test]
fn the_leave_for_a_next_ball_is_given_per_way_of_hitting() {
    let more = ["--direct-only", "--targets", "9", "--leave", "7,foot-right"];
    let answer = answer(&file("five-left"), &more);
    let (text, _) = choose(&file("five-left"), &more, 0);
    let leave = &answer["leave"];
    assert_eq!(
        (&leave["ball"], &leave["pocket"]),
        (&"7".into(), &"foot-right".into())
    );
    let ways = leave["resting"].as_array().expect("ways of hitting");
    assert!(ways.iter().any(|w| w["hit"] == "stun"), "{leave}");
    let line = text
        .lines()
        .find(|l| l.starts_with("For the 7 into the foot-right pocket next: "))
        .unwrap_or_else(|| panic!("no leave in {text}"));
    for way in ways {
        let said = format!("{} leaves you", way["hit"].as_str().unwrap());
        assert!(line.contains(&said), "{line}");
        assert!((0.0..=1.0).contains(&value(way, "next")), "{way}");
    }
    for (wish, part) in [
        ("7", "not a ball and a pocket"),
        ("12,foot-right", "there is no ball `12`"),
        ("7,foot", "`foot` is not one of head-left"),
        ("9,foot-right", "plays the 9 itself"),
    ] {
        let more = ["--direct-only", "--targets", "9", "--leave", wish];
        let (out, err) = choose(&file("five-left"), &more, 2);
        assert!(out.is_empty() && err.contains("--leave"), "{err}");
        assert!(err.contains(part), "{wish}: {err}");
    }
}

#[test]
fn a_stroke_in_lengths_is_taken_and_said_both_ways() {
    let more = ["--lengths", "2lengths"];
    let by_stroke = answer(&file("five-left"), &more);
    assert_eq!(by_stroke["stroke_lengths"], 2.0);
    assert!(by_stroke["pace_m_s"].is_null());
    let direct = shots(&by_stroke)
        .iter()
        .filter(|s| s["family"] == "direct")
        .count();
    assert!(direct > 0, "{by_stroke}");
    let (text, _) = choose(&file("five-left"), &["--lengths", "2", "--all"], 0);
    assert!(text.contains("every shot a two-length stroke"), "{text}");
    assert!(text.contains("m/s at the pocket"), "{text}");
    let (text, _) = choose(&file("five-left"), &["--pace", "firm", "--all"], 0);
    assert!(
        text.contains("direct shots at 2 m/s at the pocket"),
        "{text}"
    );
    assert!(
        text.contains("-length stroke (2 m/s at the pocket)"),
        "{text}"
    );
    for (wrong, part) in [
        (
            ["--lengths", "60lengths"],
            "the hardest stroke on this table runs",
        ),
        (
            ["--lengths", "2m"],
            "is no stroke: write table lengths, such as 2lengths",
        ),
    ] {
        let (out, err) = choose(&file("five-left"), &wrong, 2);
        assert!(out.is_empty() && err.contains(part), "{err}");
    }
    let (help, _) = run(&["help", "stroke-options"], 0);
    // lines are broken to the terminal's width
    let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        help.contains("dead-weight (0.4 m/s)") && help.contains("firm (2 m/s)"),
        "{help}"
    );
    for (word, pace) in [("0.4", PaceWord::DeadWeight), ("2", PaceWord::Firm)] {
        let said: f64 = word.parse().unwrap();
        assert!((said - pace.pace_m_s()).abs() < 1e-12, "{said}");
    }
}

#[test]
fn a_student_of_the_log_plays() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("log.sqlite");
    let log = log.to_str().unwrap();
    run(&["log", "demo", "--log", log], 0);
    let more = ["--student", "N", "--log", log, "--direct-only"];
    let (text, _) = choose(&file("five-left"), &more, 0);
    assert!(text.contains("For student N, from "), "{text}");
    let (_, err) = choose(
        &file("five-left"),
        &[&more[..], &["--level", "club"]].concat(),
        2,
    );
    assert!(
        err.contains("--student and --level both say who aims"),
        "{err}"
    );
    // F hits every cut too full: the lean turns with the side of the cut
    let leaning = ["--student", "Q", "--log", log, "--direct-only"];
    let leaning = answer(&file("five-left"), &leaning);
    let misses = |side: &str| -> Vec<f64> {
        let cuts = shots(&leaning).iter().filter(|s| s["cut_side"] == side);
        cuts.filter_map(|s| {
            let of = |name| {
                let all = s["misses"].as_array()?;
                Some(value(all.iter().find(|m| m["side"] == name)?, "chance"))
            };
            Some(of("too full")? - of("too thin")?)
        })
        .collect()
    };
    for side in ["left", "right"] {
        let more_full = misses(side);
        let mean =
            more_full.iter().sum::<f64>() / f64::from(u32::try_from(more_full.len()).unwrap());
        assert!(mean > 0.1, "{side}: {more_full:?}");
    }
}

#[test]
fn a_ball_out_of_reach_comes_with_something_else() {
    let (text, _) = choose(&file("five-left"), &["--all"], 0);
    let lines: Vec<&str> = text
        .lines()
        .filter(|l| l.contains("no hit is thin enough"))
        .collect();
    assert!(!lines.is_empty(), "{text}");
    for line in lines {
        let helps = line.contains(" instead, ") || line.contains("from the other side");
        assert!(helps, "{line}");
    }
}

#[test]
fn pictures_of_shots_and_leave_are_written_whole_or_not_at_all() {
    let folder = tempfile::tempdir().unwrap();
    let pictures = folder.path().join("pictures");
    let pictures = pictures.to_str().unwrap();
    let more = [
        "--direct-only",
        "--targets",
        "9",
        "--leave",
        "7,foot-right",
        "--charts",
        pictures,
    ];
    let (text, _) = choose(&file("five-left"), &more, 0);
    assert!(
        text.contains("leave.svg") && text.contains("shot-1.svg"),
        "{text}"
    );
    for name in ["shot-1.svg", "shot-1.png", "leave.svg", "leave.png"] {
        assert!(Path::new(pictures).join(name).exists(), "{name}");
    }
    let (_, err) = choose(&file("five-left"), &more, 2);
    assert!(err.contains("--force"), "{err}");
    let out = folder.path().join("best.svg");
    let draw = |shot: &str, out: &Path, code| {
        let (layout, out) = (file("five-left"), out.to_str().unwrap().to_owned());
        let args = [
            "choose",
            "draw",
            layout.to_str().unwrap(),
            "--shot",
            shot,
            "--out",
            &out,
        ];
        run(&args, code)
    };
    draw("best", &out, 0);
    assert!(fs::read_to_string(&out).unwrap().contains("class=\"shot\""));
    for (shot, part) in [
        ("worst", "is neither best nor a ball and a pocket"),
        ("12:foot-left", "there is no ball `12`"),
        ("9:foot", "`foot` is not one of"),
    ] {
        let (_, err) = draw(shot, &folder.path().join("none.svg"), 2);
        assert!(err.contains("--shot") && err.contains(part), "{err}");
    }
    let (_, err) = draw("best", &folder.path().join("none.gif"), 2);
    assert!(err.contains("does not end in .svg, .png or .pdf"), "{err}");
    assert!(!folder.path().join("none.svg").exists());
}

/// The keys of a ranked shot are those of `shot`, which says the same chance.
#[test]
fn a_ranked_shot_asked_for_alone_has_the_same_chance() {
    let path = file("five-left");
    let more = ["--direct-only", "--no-safeties", "--level", "league"];
    let ranked = answer(&path, &more);
    let (json, _) = run(
        &[
            "choose",
            "check",
            path.to_str().unwrap(),
            "--format",
            "json",
        ],
        0,
    );
    let layout: Value = serde_json::from_str(&json).unwrap();
    let place = |label: &Value| {
        let rows = layout.as_array().unwrap();
        let row = rows.iter().find(|row| row["ball"] == *label).unwrap();
        format!("{}mm,{}mm", row["x_mm"], row["y_mm"])
    };
    let mut compared = 0;
    for shot in shots(&ranked).iter().take(6) {
        let at_ease = (value(&shot["stance"], "arm_factor") - 1.0).abs() < 1e-9;
        if !at_ease || value(shot, "blocked_share") > 0.0 {
            continue;
        }
        let [pace, roll, side] = ["pace_m_s", "roll", "side"].map(|key| shot[key].to_string());
        let args = [
            "shot",
            "--cue",
            &place(&"cue".into()),
            "--object",
            &place(&shot["ball"]),
            "--pocket",
            shot["pocket"].as_str().unwrap(),
            "--pace",
            &format!("{pace}m/s"),
            "--arrives",
            &roll,
            "--side",
            &side,
            "--level",
            "league",
            "--format",
            "json",
        ];
        let (alone, _) = run(&args, 0);
        let alone: Value = serde_json::from_str(&alone).unwrap();
        let apart = (value(&alone, "chance") - value(shot, "chance")).abs();
        assert!(apart < 2e-3, "{apart}: {shot}");
        compared += 1;
    }
    assert!(compared >= 2, "{ranked}");
}

/// Ctrl-C says the best so far; the exit code says that it is not all.
#[cfg(target_os = "linux")]
#[test]
fn an_interrupted_search_says_the_best_so_far() {
    use std::process::{Command, Stdio};
    use std::time::Duration;

    /// Hundredths of a second at work: by then it searches.
    const AT_WORK: u64 = 40;
    let folder = tempfile::tempdir().expect("a folder");
    let mut child = program(folder.path())
        .args(["choose", file("crowded").to_str().unwrap(), "--ahead", "2"])
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let stat = format!("/proc/{}/stat", child.id());
    let worked = || {
        let text = fs::read_to_string(&stat).unwrap_or_default();
        let after = text.rsplit_once(')').map_or("", |(_, rest)| rest);
        let cells = after.split_whitespace().nth(11);
        cells
            .and_then(|ticks| ticks.parse::<u64>().ok())
            .unwrap_or(0)
    };
    while worked() < AT_WORK && child.try_wait().expect("its state").is_none() {
        std::thread::sleep(Duration::from_millis(5));
    }
    let pid = child.id().to_string();
    let sent = Command::new("kill").args(["-INT", &pid]).status();
    assert!(
        sent.expect("kill is there").success(),
        "it was still at work"
    );
    let output = child.wait_with_output().expect("it ends");
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    assert_eq!(output.status.code(), Some(130), "{text}");
    assert!(text.contains("Stopped before all was looked at"), "{text}");
    assert!(text.contains("1. Play the "), "{text}");
}
