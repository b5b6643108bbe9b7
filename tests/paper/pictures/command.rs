//! `thincut chart`, `compare --out` and `survey --charts` through the command line.

use std::path::Path;
use std::process::{Command, Output};

use super::paper::{output, pdf_file};

const SHOT: [&str; 6] = ["--cue", "3,1", "--object", "5,2.4", "--pocket", "foot-left"];

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(args)
        .current_dir(folder)
        .env("HOME", "/nonexistent")
        .env_remove("SOURCE_DATE_EPOCH")
        .env_remove("THINCUT_GEAR")
        .output()
        .expect("it runs")
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}

/// What a chart is asked with.
fn subject(chart: &str) -> Vec<&'static str> {
    match chart {
        "why-thin" | "by-cut" | "grid" | "table" => Vec::new(),
        "gear" => vec!["--table", "pool-9ft", "--table", "pool-7ft"],
        _ => SHOT.to_vec(),
    }
}

#[test]
fn every_listed_chart_is_drawn_in_every_format() {
    let dir = folder();
    let list = run(dir.path(), &["chart", "list"]);
    let list = String::from_utf8(list.stdout).expect("UTF-8");
    let names: Vec<&str> = list
        .lines()
        .filter_map(|l| l.split_whitespace().next())
        .collect();
    assert_eq!(names.len(), 10, "{list}");
    for name in names {
        for ending in ["svg", "png", "pdf"] {
            let file = format!("{name}.{ending}");
            let args = [&["chart", name, "--out", &file], &subject(name)[..]].concat();
            let done = run(dir.path(), &args);
            let said = String::from_utf8_lossy(&done.stderr).into_owned();
            assert!(done.status.success(), "{args:?}: {said}");
            assert_eq!(String::from_utf8_lossy(&done.stdout).trim(), file);
            let bytes = std::fs::read(dir.path().join(&file)).expect("written");
            let head: &[u8] = match ending {
                "svg" => b"<svg ",
                "png" => b"\x89PNG",
                _ => b"%PDF-",
            };
            assert!(bytes.starts_with(head), "{file}");
        }
    }
}

/// The same run gives the same bytes, and the date in the PDF is the one asked for.
#[test]
fn pdfs_are_reproducible_and_carry_the_epoch() {
    let dir = folder();
    for name in [
        "by-cut", "grid", "pocket", "pace", "places", "shot", "why", "gear",
    ] {
        let draw = |epoch: &str| {
            let args = [
                &["chart", name, "--out", "a.pdf", "--force"],
                &subject(name)[..],
            ]
            .concat();
            let done = Command::new(env!("CARGO_BIN_EXE_thincut"))
                .args(args)
                .current_dir(dir.path())
                .env("SOURCE_DATE_EPOCH", epoch)
                .output()
                .expect("it runs");
            let said = String::from_utf8_lossy(&done.stderr).into_owned();
            (said, std::fs::read(dir.path().join("a.pdf")).expect("kept"))
        };
        let (_, first) = draw("951826154");
        assert!(first == draw("951826154").1, "{name}: bytes differ");
        assert!(
            first != draw("951826155").1,
            "{name}: the date is not in it"
        );
        let file = pdf_file(&first);
        // 951826154 s after 1970 is 2000-02-29 12:09:14 UTC (date -u -d @951826154).
        let info = output("pdfinfo", &["-rawdates", file.path_str()]);
        assert!(info.contains("20000229120914"), "{name}: {info}");
        output("qpdf", &["--check", file.path_str()]);
        let (said, _) = draw("yesterday");
        assert!(said.contains("SOURCE_DATE_EPOCH"), "{said}");
    }
}

#[test]
fn what_cannot_be_drawn_is_told_and_nothing_is_written() {
    let dir = folder();
    let cases: &[(&[&str], &[&str])] = &[
        (
            &["chart", "plases", "--out", "a.svg"],
            &["plases", "`places`", "chart list"],
        ),
        (&["chart", "shot", "--out", "a.svg"], &["--cue", "--cut"]),
        (&["chart", "grid", "--out", "a.jpg"], &["a.jpg", ".png"]),
        (&["chart", "grid"], &["--out", ".svg"]),
        (
            &["chart", "grid", "--out", "a.svg", "--size", "100x100"],
            &["100x100", "320x240", "8000x8000"],
        ),
        (
            &["chart", "grid", "--out", "a.png", "--size", "9000x800"],
            &["9000x800", "too large"],
        ),
        (
            &["chart", "grid", "--out", "a.pdf", "--paper", "a5"],
            &["a5", "letter or a3"],
        ),
        (
            &["chart", "by-cut", "--out", "a.svg", "--cut", "30deg"],
            &["--cut", "two"],
        ),
        (
            &["chart", "grid", "--out", "a.svg", "--cue-to-object", "2ft"],
            &["--cue-to-object", "two"],
        ),
        (
            &["chart", "grid", "--out", "a.svg", "--cut", "30deg"],
            &["--cut", "--cut"],
        ),
        (
            &["chart", "pocket", "--out", "a.svg", "--cut", "0deg,30deg"],
            &["--cut", "by-cut and grid"],
        ),
        (
            &["chart", "pocket", "--out", "a.svg", "--approach", "20deg"],
            &["--approach", "every approach"],
        ),
        (
            &["chart", "table", "--out", "a.svg", "--pace", "2m/s"],
            &["table alone"],
        ),
        (
            &["chart", "grid", "--out", "a.svg", "--level", "club"],
            &["a player", "places, why and gear"],
        ),
        (
            &["chart", "pocket", "--out", "a.svg", "--margin", "mm"],
            &["--margin", "by-cut, grid and gear"],
        ),
        (
            &["chart", "gear", "--out", "a.svg"],
            &["--table pool-9ft --table pool-7ft"],
        ),
        (
            &[
                "chart", "grid", "--out", "a.svg", "--table", "pool-9ft", "--table", "pool-7ft",
            ],
            &["--table", "one table"],
        ),
        (
            &[
                "chart",
                "shot",
                "--cut",
                "30deg",
                "--cue-to-object",
                "2ft",
                "--to-pocket",
                "2ft",
                "--out",
                "a.svg",
                "--eye-height",
                "5cm",
            ],
            &["--eye-height", "0.05 m", "0.1 m to 2 m"],
        ),
        (
            &["survey", "--charts", "by-cut,map", "--out", "s"],
            &["map", "by-cut and grid"],
        ),
    ];
    for (args, words) in cases {
        let done = run(dir.path(), args);
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert_eq!(done.status.code(), Some(2), "{args:?}: {said}");
        for word in *words {
            assert!(said.contains(word), "{args:?}: {said} lacks {word}");
        }
        assert!(done.stdout.is_empty(), "{args:?}");
        let left = std::fs::read_dir(dir.path()).expect("a folder").count();
        assert_eq!(left, 0, "{args:?} left a file");
    }
}

#[test]
fn a_picture_that_exists_is_kept_without_force() {
    let dir = folder();
    std::fs::write(dir.path().join("a.svg"), "mine").expect("written");
    let done = run(dir.path(), &["chart", "grid", "--out", "a.svg"]);
    assert_eq!(done.status.code(), Some(2));
    let kept = std::fs::read_to_string(dir.path().join("a.svg")).expect("kept");
    assert_eq!(kept, "mine");
    let done = run(dir.path(), &["chart", "grid", "--out", "a.svg", "--force"]);
    assert!(done.status.success());
    let now = std::fs::read_to_string(dir.path().join("a.svg")).expect("drawn");
    assert!(now.starts_with("<svg"));
}

/// The picture of a comparison holds the table's numbers, and data on standard output stay data.
#[test]
fn compare_draws_what_it_says() {
    let dir = folder();
    let gears = [
        "--table",
        "pool-9ft",
        "--table",
        "pool-9ft+pocket.corner.mouth=4.125in",
    ];
    let args = [
        &["table", "compare", "--out", "c.svg", "--format", "json"],
        &gears[..],
    ]
    .concat();
    let done = run(dir.path(), &args);
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let found: serde_json::Value = serde_json::from_slice(&done.stdout).expect("JSON alone");
    let svg = std::fs::read_to_string(dir.path().join("c.svg")).expect("drawn");
    let doc = super::svg::parse(&svg);
    let rows = super::svg::groups(&doc, "dots");
    let first = super::svg::numbers(rows[0], "data-values");
    for (k, value) in first.iter().enumerate() {
        let told = found["rows"][0]["on"][k]["direct_each_mm"].as_f64();
        assert!((told.expect("a number") - value).abs() < 1e-9);
    }
    let args = [&["chart", "gear", "--out", "d.svg"], &gears[..]].concat();
    assert!(run(dir.path(), &args).status.success());
    let same = std::fs::read_to_string(dir.path().join("d.svg")).expect("drawn");
    assert_eq!(svg, same, "chart gear and compare draw the same");
}

#[test]
fn survey_draws_the_charts_asked_for() {
    let dir = folder();
    for (charts, want) in [
        ("all", vec!["by-cut-pool-9ft.svg", "grid-pool-9ft.svg"]),
        ("none", vec![]),
        ("grid", vec!["grid-pool-9ft.svg"]),
        (
            "grid, by-cut,grid",
            vec!["by-cut-pool-9ft.svg", "grid-pool-9ft.svg"],
        ),
    ] {
        let _ = std::fs::remove_dir_all(dir.path().join("s"));
        let done = run(dir.path(), &["survey", "--charts", charts, "--out", "s"]);
        assert!(
            done.status.success(),
            "{}",
            String::from_utf8_lossy(&done.stderr)
        );
        let mut found: Vec<String> = std::fs::read_dir(dir.path().join("s"))
            .expect("a folder")
            .map(|e| {
                e.expect("a file")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .filter(|n| n.ends_with(".svg"))
            .collect();
        found.sort();
        assert_eq!(found, want, "{charts}");
    }
}
