//! Files that may come from anybody: what an import takes, and what a spreadsheet may do to an export.

use std::fs;
use std::io::Cursor;
use std::path::Path;

use thincut::log::{LogError, ShotEntered, Tables, solve_beside};

use crate::{all, attempt, entry, export, folder, ladder, new_log, when};

const HEADER: &str = "student,when,gear,cut,apart,to_pocket,cut_direction,tries,made,note";

fn row(gear: &str) -> String {
    format!("{HEADER}\nK,2025-11-25,{gear},half-ball,4ft,3ft,left,10,6,\n")
}

/// What an import of a file in `place` says, as text.
fn refused(csv: &str, place: &Path) -> String {
    let folder = folder();
    let mut log = new_log(&folder);
    let solver = |shot: &ShotEntered| solve_beside(place, shot).map_err(|e| e.to_string());
    let done = log.import_csv(csv.as_bytes(), &when("2025-11-25"), Some(&solver));
    let error = done.expect_err("it is refused");
    assert!(matches!(error, LogError::Import(_)), "{error}");
    assert!(all(&log).is_empty());
    error.to_string()
}

#[test]
fn an_import_names_presets_and_tables_beside_it() {
    let place = folder();
    let place = place.path();
    fs::write(place.join("hall.toml"), "base = \"pool-8ft\"\n").unwrap();
    for gear in [
        "/dev/zero",
        "../hall.toml",
        "sub/hall.toml",
        "a\\hall.toml",
        "..",
    ] {
        let said = refused(&row(gear), place);
        assert!(said.contains("is a path"), "{said}");
    }
    let solver = |shot: &ShotEntered| solve_beside(place, shot).map_err(|e| e.to_string());
    let home = folder();
    let mut log = new_log(&home);
    let now = when("2025-11-25");
    log.import_csv(row("hall.toml").as_bytes(), &now, Some(&solver))
        .unwrap();
    assert!(all(&log)[0].windows.is_some());
    // A sheet's rungs are held to the same.
    let mut strange = ladder(2);
    strange.rungs[1].shot.gear = "/tmp/pipe".to_owned();
    let other_home = folder();
    let mut other = new_log(&other_home);
    other.save_sheet(&strange).unwrap();
    let out = export(&other);
    assert!(refused(&out, place).contains("is a path"));
    // An export of one's own goes in all the same.
    let done = log
        .import_from(&mut Cursor::new(&out), Tables::Anywhere, &now, None)
        .unwrap();
    assert_eq!(done.sheets.len(), 1);
}

#[test]
fn an_export_runs_nothing_in_a_spreadsheet_and_comes_back() {
    let home = folder();
    let mut log = new_log(&home);
    let texts = ["=1+1", "-x", "@y", "+z", "'=w", "'tis", "-5"];
    let rows = texts.map(|text| {
        let mut row = attempt("A", 10, 6);
        row.note = Some(text.to_owned());
        row.shot.request.places.approach = Some("-20deg".to_owned());
        row.shot.request.stroke.side = Some("-0.2".to_owned());
        row
    });
    log.add(&entry(rows.to_vec())).unwrap();
    let out = export(&log);
    for line in out.lines().skip(1) {
        for cell in line.split(',') {
            let number = cell.parse::<f64>().is_ok();
            assert!(number || !cell.starts_with(['=', '+', '-', '@']), "{line}");
        }
    }
    assert!(out.contains(",-0.2,"), "numbers stay numbers");
    let other_home = folder();
    let mut other = new_log(&other_home);
    other
        .import_csv(out.as_bytes(), &when("2025-11-26"), None)
        .unwrap();
    assert_eq!(all(&other), all(&log));
    assert_eq!(export(&other), out);
}

#[test]
fn semicolons_and_decimal_commas_are_read() {
    let points = "student,when,gear,cut,apart,to_pocket,pace,cut_direction,tries,made\n\
        K,2025-11-25,pool-9ft,30.5deg,4.5ft,0.9m,1.2m/s,left,10,6\n";
    let commas = "student;when;gear;cut;apart;to_pocket;pace;cut_direction;tries;made\r\n\
        K;2025-11-25;pool-9ft;30,5deg;4,5ft;0,9m;1,2m/s;left;10;6\r\n";
    let read = |csv: &str| {
        let home = folder();
        let mut log = new_log(&home);
        log.import_csv(csv.as_bytes(), &when("2025-11-25"), None)
            .unwrap();
        all(&log)
    };
    assert_eq!(read(points), read(commas));
    // A whole export, as such a spreadsheet saves it: windows too.
    let home = folder();
    let mut log = new_log(&home);
    let solver = |shot: &ShotEntered| solve_beside(Path::new(""), shot).map_err(|e| e.to_string());
    log.import_csv(points.as_bytes(), &when("2025-11-25"), Some(&solver))
        .unwrap();
    let saved: String = export(&log)
        .lines()
        .map(|line| {
            let cells = line.split(',').map(|cell| {
                let number = cell.parse::<f64>().is_ok();
                if number {
                    cell.replace('.', ",")
                } else {
                    cell.to_owned()
                }
            });
            cells.collect::<Vec<_>>().join(";") + "\r\n"
        })
        .collect();
    assert!(saved.contains(";0,"), "{saved}");
    let again = log
        .import_csv(saved.as_bytes(), &when("2025-11-25"), None)
        .unwrap();
    assert_eq!((again.added, again.known), (0, 1));
}

#[test]
fn a_long_cell_costs_no_time_and_a_long_row_no_memory() {
    let long = "x".repeat(900_000);
    let place = folder();
    for csv in [
        format!("{long},student\n"),
        format!("{HEADER}\nK,{long},pool-9ft,half-ball,4ft,3ft,left,10,6,\n"),
        format!("{HEADER}\n{long},2025-11-25,pool-9ft,half-ball,4ft,3ft,left,10,6,\n"),
        format!("{HEADER}\nK,2025-11-25,{long},half-ball,4ft,3ft,left,10,6,\n"),
        format!("{HEADER}\nK,2025-11-25,pool-9ft,half-ball,4ft,3ft,left,{long},6,\n"),
    ] {
        let said = refused(&csv, place.path());
        assert!(said.len() < 1500, "{} bytes", said.len());
        assert!(!said.contains(&"x".repeat(81)));
    }
    let said = refused(&format!("{HEADER}\n\"{long}{long}"), place.path());
    assert!(said.contains("longer than 1 MB"), "{said}");
    let said = refused(&row("\u{1b}[2J"), place.path());
    assert!(!said.contains('\u{1b}'), "{said:?}");
}
