//! The examples answer, and as the program does.

#![expect(dead_code, reason = "the examples' own main functions")]

#[path = "../../examples/fit_a_player.rs"]
mod fit_a_player;
#[path = "../../examples/one_shot.rs"]
mod one_shot;
#[path = "../../examples/which_shot.rs"]
mod which_shot;

use std::process::Command;

use serde_json::Value;

fn json(line: &[&str]) -> Value {
    let out = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(line)
        .args(["--format", "json"])
        .output()
        .expect("it runs");
    serde_json::from_slice(&out.stdout).expect("JSON")
}

#[test]
fn one_shot_is_what_shot_says() {
    let told = one_shot::answer().expect("an answer");
    let shot = json(&[
        "shot",
        "--cue",
        "3,1",
        "--object",
        "5,2.4",
        "--pocket",
        "foot-left",
        "--level",
        "club",
        "--set",
        "pocket.corner.mouth=4.25in",
    ]);
    let clean = |key: &str| shot["clean"][key].as_f64().expect("a number");
    for text in [
        format!("{:.2} mm too full", clean("thick_ghost_mm")),
        format!("{:.2} mm too thin", clean("thin_ghost_mm")),
        format!("({:.3}°)", clean("total_deg")),
    ] {
        assert!(told.contains(&text), "{told}: {text}");
    }
}

#[test]
fn which_shot_is_what_choose_says() {
    let told = which_shot::answer().expect("an answer");
    let file = tempfile::NamedTempFile::new().expect("a file");
    std::fs::write(file.path(), which_shot::LAYOUT).expect("written");
    let path = file.path().display().to_string();
    let choice = json(&["choose", &path, "--level", "starting", "--direct-only"]);
    let shots = choice["shots"].as_array().expect("shots");
    assert_eq!(told.len(), 3);
    for (line, shot) in told.iter().zip(shots) {
        let (ball, pocket) = (shot["ball"].as_str(), shot["pocket"].as_str());
        let start = format!(
            "the {} into {}:",
            ball.expect("a ball"),
            pocket.expect("a pocket")
        );
        assert!(line.starts_with(&start), "{line}: {start}");
    }
}

/// A thin cut is harder than every shot of the evening but not hopeless for who made half of those.
#[test]
fn fit_a_player_predicts_a_thin_cut() {
    let chance = fit_a_player::answer().expect("an answer");
    assert!((0.1..0.6).contains(&chance), "{chance}");
}
