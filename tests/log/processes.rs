//! The program: its words, several at once, killed, and out of room.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;
use thincut::log::{Filter, Log};

use crate::{all, attempt, entry, export, folder, ladder, new_log};

const PROGRAM: &str = env!("CARGO_BIN_EXE_thincut");

/// Times a writer is killed.
const KILLS: u32 = 200;

pub(crate) fn program(log: &Path) -> Command {
    let mut command = crate::program::program(log.parent().expect("a folder"));
    command.env("THINCUT_LOG", log);
    command
}

fn enter(log: &Path, code: &str, session: &str) -> Child {
    program(log)
        .args([
            "log",
            "enter",
            code,
            "-",
            "--session",
            session,
            "--when",
            "2025-11-25",
        ])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts")
}

/// Rows of a session by their number of tries, which the tests use as a serial number.
fn serials(log: &Log, session: &str) -> Vec<u32> {
    let filter = Filter {
        session: Some(session.to_owned()),
        ..Filter::default()
    };
    log.attempts(&filter)
        .expect("readable")
        .iter()
        .map(|a| a.tries)
        .collect()
}

#[test]
fn two_processes_writing_at_once_lose_nothing() {
    const LINES: u32 = 60;
    let folder = folder();
    let mut log = new_log(&folder);
    let code = log.save_sheet(&ladder(1)).unwrap();
    let path = log.path().to_owned();
    let mut writers: Vec<Child> = ["one", "two"]
        .iter()
        .map(|s| enter(&path, &code, s))
        .collect();
    for writer in &mut writers {
        let tallies: String = (1..=LINES).map(|n| format!("A 0/{n}, B 0/{n}\n")).collect();
        writer
            .stdin
            .take()
            .unwrap()
            .write_all(tallies.as_bytes())
            .unwrap();
    }
    // A third writer, here.
    for n in 1..=LINES {
        let mut row = attempt("A", n, 0);
        row.session = Some("three".to_owned());
        log.add(&entry(vec![row])).unwrap();
    }
    for mut writer in writers {
        let mut said = String::new();
        writer
            .stdout
            .take()
            .unwrap()
            .read_to_string(&mut said)
            .unwrap();
        assert!(writer.wait().unwrap().success());
        assert_eq!(said.lines().count(), LINES as usize);
    }
    let twice: Vec<u32> = (1..=LINES).flat_map(|n| [n, n]).collect();
    assert_eq!(serials(&log, "one"), twice);
    assert_eq!(serials(&log, "two"), twice);
    assert_eq!(serials(&log, "three"), (1..=LINES).collect::<Vec<_>>());
}

#[test]
fn a_writer_killed_in_the_middle_loses_no_recorded_entry() {
    let folder = folder();
    let mut log = new_log(&folder);
    let code = log.save_sheet(&ladder(1)).unwrap();
    let path = log.path().to_owned();
    // Nobody keeps it open: each time the log is opened again after the kill.
    drop(log);
    let mut random = Pcg64Mcg::seed_from_u64(23);
    let (mut entries, mut cut_short) = (0, 0);
    for kill in 0..KILLS {
        let session = format!("kill {kill}");
        let mut writer = enter(&path, &code, &session);
        let mut input = writer.stdin.take().unwrap();
        let tallies: String = (1..=400).map(|n| format!("A 0/{n}, B 0/{n}\n")).collect();
        let feeding = std::thread::spawn(move || {
            // The reader is killed: the rest of the tallies has nowhere to go.
            let _ = input.write_all(tallies.as_bytes());
        });
        let mut said = BufReader::new(writer.stdout.take().unwrap()).lines();
        let before = random.random_range(0..6);
        let mut acknowledged = (0..before).filter(|_| said.next().is_some()).count();
        std::thread::sleep(Duration::from_micros(random.random_range(0..3000)));
        writer.kill().unwrap();
        writer.wait().unwrap();
        feeding.join().unwrap();
        acknowledged += said
            .map_while(Result::ok)
            .filter(|l| l.ends_with("undo"))
            .count();

        let log = Log::open_existing(&path).expect("readable after the kill");
        let kept = serials(&log, &session);
        let whole = kept.len() / 2;
        let wanted: Vec<u32> = (1..=400).flat_map(|n| [n, n]).take(2 * whole).collect();
        assert_eq!(kept, wanted, "entries in order, both rows or none");
        assert!(
            whole >= acknowledged,
            "{acknowledged} acknowledged, {whole} kept"
        );
        // Tallies go in one by one: at most one can be recorded and not yet told.
        assert!(
            whole <= acknowledged + 1,
            "{acknowledged} acknowledged, {whole} kept"
        );
        entries += whole;
        cut_short += usize::from(whole < 400);
    }
    assert_eq!(
        cut_short, KILLS as usize,
        "every writer was killed before it was done"
    );
    assert!(entries > KILLS as usize / 2, "{entries} entries in all");
}

/// A limit on file size makes writing fail where a failing disk would.
#[cfg(unix)]
#[test]
fn a_write_that_fails_is_told_and_leaves_the_log_whole() {
    let folder = folder();
    let mut log = new_log(&folder);
    log.add(&entry(vec![attempt("A", 10, 6)])).unwrap();
    let path = log.path().to_owned();
    let before = export(&log);
    drop(log);
    let rows: String = (0..2000)
        .map(|n| format!("A,2025-11-25,pool-9ft,30deg,4ft,3ft,left,10,6,{n}\n"))
        .collect();
    let file = folder.path().join("big.csv");
    fs::write(
        &file,
        format!("student,when,gear,cut,apart,to_pocket,cut_direction,tries,made,note\n{rows}"),
    )
    .unwrap();
    let done = Command::new("sh")
        .args([
            "-c",
            "trap '' XFSZ; ulimit -f 256; exec \"$0\" log import big.csv",
            PROGRAM,
        ])
        .env("THINCUT_LOG", &path)
        .current_dir(folder.path())
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(1), "{said}");
    assert!(
        said.contains("failed") && said.contains("not recorded"),
        "{said}"
    );
    let log = Log::open_existing(&path).unwrap();
    assert_eq!(export(&log), before);
}

fn said(command: &mut Command, code: i32) -> (String, String) {
    let done = command.output().expect("the program starts");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let (out, err) = (text(&done.stdout), text(&done.stderr));
    assert_eq!(
        done.status.code(),
        Some(code),
        "stdout: {out}\nstderr: {err}"
    );
    (out, err)
}

#[test]
fn an_evening_from_the_command_line() {
    let folder = folder();
    let path = folder.path().join("evening.sqlite");
    let shot = [
        "--cut",
        "half-ball",
        "--cue-to-object",
        "4ft",
        "--to-pocket",
        "3ft",
    ];
    let run = |args: &[&str], code| said(program(&path).arg("log").args(args), code);
    assert!(run(&["list"], 2).1.contains("no log at"));
    run(
        &["students", "set", "A", "--hand", "left", "--reach", "700mm"],
        0,
    );
    assert_eq!(run(&["students"], 0).0, "A, left-handed, reach 700 mm\n");
    let (_, err) = run(&[&["add", "B 6/10"], &shot[..]].concat(), 2);
    assert!(
        err.contains("no student is called B") && err.contains("  ^"),
        "{err}"
    );
    run(&["students", "set", "B"], 0);
    let (out, _) = run(
        &[
            &["add", "A 6/10 thin 3, B 4/10", "--when", "2025-11-25"],
            &shot[..],
        ]
        .concat(),
        0,
    );
    assert!(out.contains("A 6 of 10 (thin 3); B 4 of 10"), "{out}");
    assert!(
        run(
            &[&["add", "A 6/10", "--when", "tuesday"], &shot[..]].concat(),
            2
        )
        .1
        .contains("tuesday")
    );
    assert!(
        run(
            &[&["add", "A 6/10", "--table", "pool-nine"], &shot[..]].concat(),
            2
        )
        .1
        .contains("pool-nine")
    );

    exchange(&path, run);
}

/// A row has a column for the pace alone, so a stroke is kept as the pace it takes: exported and
/// read again, the row is the same.
#[test]
fn a_stroke_in_lengths_is_kept_as_its_pace() {
    let folder = folder();
    let run = |name: &str, args: &[&str]| {
        said(program(&folder.path().join(name)).arg("log").args(args), 0).0
    };
    run("one.sqlite", &["students", "set", "A"]);
    let shot = [
        "--cut",
        "half-ball",
        "--cue-to-object",
        "4ft",
        "--to-pocket",
        "3ft",
    ];
    let add = [&["add", "A 6/10", "--lengths", "3lengths"], &shot[..]].concat();
    run("one.sqlite", &add);
    let csv = run("one.sqlite", &["export"]);
    let pace = |csv: &str| -> f64 {
        let mut rows = csv::Reader::from_reader(csv.as_bytes());
        let column = rows
            .headers()
            .expect("there")
            .iter()
            .position(|h| h == "pace");
        let row = rows.records().last().expect("a row").expect("whole");
        let text = row[column.expect("there")].to_owned();
        text.trim_end_matches("m/s").parse().expect("a number")
    };
    // half ball and 4 ft, three lengths: clearly harder than the usual 1 m/s
    assert!(pace(&csv) > 1.2 && pace(&csv) < 3.0, "{csv}");
    fs::write(folder.path().join("rows.csv"), &csv).expect("written");
    run("two.sqlite", &["import", "rows.csv"]);
    assert_eq!(run("two.sqlite", &["export"]), csv);
}

/// List, export, import and undo of an evening with one entry of two rows.
fn exchange(path: &Path, run: impl Fn(&[&str], i32) -> (String, String)) {
    let folder = path.parent().expect("a folder");
    let list: serde_json::Value =
        serde_json::from_str(&run(&["list", "--format", "json"], 0).0).expect("there");
    assert_eq!(list["attempts"][0]["thin"], 3);
    assert_eq!(list["attempts"][1]["student"], "B");
    assert!(
        list["attempts"][0]["drop_thick_deg"]
            .as_f64()
            .expect("there")
            > 0.0
    );

    let (csv, _) = run(&["export"], 0);
    run(&["export", "copy.csv"], 0);
    assert_eq!(
        fs::read_to_string(folder.join("copy.csv")).expect("there"),
        csv
    );
    assert!(run(&["export", "copy.csv"], 2).1.contains("--force"));
    assert!(
        run(&["import", "copy.csv"], 0)
            .0
            .contains("2 rows were in the log already")
    );
    assert!(run(&["import", "none.csv"], 2).1.contains("none.csv"));
    assert!(
        run(&["undo"], 0)
            .0
            .contains("A 6 of 10 (thin 3); B 4 of 10")
    );
    run(&["import", "copy.csv"], 0);
    assert_eq!(run(&["export"], 0).0, csv);
    // A whole import goes only when somebody says so, having seen what it is.
    let asked = run(&["undo"], 2).1;
    assert!(
        asked.contains("an import") && asked.contains("2 rows of A, B"),
        "{asked}"
    );
    assert!(asked.contains("--yes"), "{asked}");
    assert_eq!(run(&["export"], 0).0, csv);
    assert!(run(&["undo", "--entry", "99"], 2).1.contains("no entry 99"));
    assert!(run(&["undo", "--yes"], 0).0.starts_with("Took back"));
    run(&["import", "copy.csv"], 0);
    assert!(
        run(&["list", "--student", "C"], 2)
            .1
            .contains("no student is called C")
    );
}

#[test]
fn a_sheet_is_entered_by_its_code() {
    let folder = folder();
    let mut log = new_log(&folder);
    let code = log.save_sheet(&ladder(3)).unwrap();
    let path = log.path().to_owned();
    let run = |args: &[&str], code| said(program(&path).arg("log").args(args), code);
    run(
        &["enter", &code.to_lowercase(), "3: A 2/5, B 1/5 short 1"],
        0,
    );
    assert!(run(&["enter", "222", "A 2/5"], 2).1.contains("222"));
    assert!(run(&["enter", &code, "3: A 7/5"], 2).1.contains("^^^"));
    assert!(
        run(&["list", "--last", "1"], 0)
            .0
            .contains(&format!("{code} 3"))
    );
}

/// A slip in one line costs that line only.
#[test]
fn lines_of_tallies_are_recorded_one_by_one() {
    let folder = folder();
    let mut log = new_log(&folder);
    let code = log.save_sheet(&ladder(1)).unwrap();
    let mut writer = program(log.path());
    let mut writer = writer
        .args(["log", "enter", &code, "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    writer
        .stdin
        .take()
        .unwrap()
        .write_all(b"A 1/2\n\nB 3/2\nB 1/2\n")
        .unwrap();
    let done = writer.wait_with_output().unwrap();
    assert_eq!(done.status.code(), Some(2));
    let err = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(
        err.contains("line 2: 3 made of 2") && err.contains("1 of 3 tallies"),
        "{err}"
    );
    assert_eq!(all(&log).len(), 2);
}

/// What is on the disk is there whether or not it could be said.
#[cfg(target_os = "linux")]
#[test]
fn a_tally_that_cannot_be_told_is_said_to_be_recorded_and_not_taken_twice() {
    let folder = folder();
    let path = new_log(&folder).path().to_owned();
    let add = |more: &[&str]| {
        let mut command = program(&path);
        command
            .args(["log", "add", "A 6/10", "--when", "2025-11-25"])
            .args([
                "--cut",
                "half-ball",
                "--cue-to-object",
                "4ft",
                "--to-pocket",
                "3ft",
            ])
            .args(more);
        command
    };
    let full = fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let done = add(&[])
        .stdout(full)
        .stderr(Stdio::piped())
        .output()
        .unwrap();
    assert_eq!(done.status.code(), Some(1));
    let err = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(
        err.contains("recorded as entry 3") && err.contains("do not enter it again"),
        "{err}"
    );
    let (_, err) = said(&mut add(&[]), 2);
    assert!(
        err.contains("as entry 3") && err.contains("--again"),
        "{err}"
    );
    said(&mut add(&["--again"]), 0);
    let log = Log::open_existing(&path).unwrap();
    assert_eq!(all(&log).len(), 2);
}

#[test]
fn an_empty_variable_names_no_log() {
    let folder = folder();
    let (_, err) = said(
        program(&folder.path().join("none"))
            .env("THINCUT_LOG", "")
            .args(["log", "list"]),
        2,
    );
    assert!(err.contains("practice.sqlite"), "{err}");
}
