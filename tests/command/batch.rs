//! Tables of shots in, tables of answers out.

use std::io::Write;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use thincut::answer::ShotAnswer;
use thincut::batch::{Block, Header, Players, Solver};
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};
use thincut::{Gear, Preset, solve};

fn batch(args: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .arg("batch")
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("piped");
    let input = input.to_owned();
    // Writing from a thread: a large table fills both pipes.
    let writer = std::thread::spawn(move || stdin.write_all(input.as_bytes()));
    let out = child.wait_with_output().expect("it ends");
    writer
        .join()
        .expect("the writer ends")
        .expect("the table is taken");
    out
}

fn rows(out: &Output) -> Vec<std::collections::HashMap<String, String>> {
    csv::Reader::from_reader(out.stdout.as_slice())
        .deserialize()
        .map(|r| r.expect("a row"))
        .collect()
}

/// The shot command and the batch answer the same.
#[test]
fn rows_answer_as_shot_does() {
    let table = "id,cue,object,pocket,level\nx,\"3,1\",\"5,2.4\",foot-left,club\n";
    let out = batch(&[], table);
    assert!(out.status.success());
    let row = &rows(&out)[0];
    let single = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args([
            "shot",
            "--cue",
            "3,1",
            "--object",
            "5,2.4",
            "--pocket",
            "foot-left",
        ])
        .args(["--level", "club", "--format", "csv"])
        .output()
        .expect("it runs");
    let single = &rows(&single)[0];
    assert_eq!((row["id"].as_str(), row["status"].as_str()), ("x", "ok"));
    for name in [
        "aim_deg",
        "clean_total_deg",
        "direct_thick_deg",
        "drop_to_deg",
        "chance",
        "why_cut_factor",
    ] {
        assert_eq!(row[name], single[name], "{name}");
        assert!(!row[name].is_empty(), "{name}");
    }
}

/// Rows of another width than the header keep their status below its name.
#[test]
fn rows_of_another_width_keep_their_columns() {
    let table = "n,cut,apart,to-pocket\n1,30deg,4ft\n2,30deg,4ft,3ft,more\n3,30deg,4ft,3ft\n";
    let out = batch(&[], table);
    assert_eq!(out.status.code(), Some(1));
    let rows = rows(&out);
    assert!(rows[0]["status"].contains("3 cells under 4 columns"));
    assert!(rows[1]["status"].contains("5 cells under 4 columns"));
    assert_eq!(rows[2]["status"], "ok");
    assert_eq!(rows[1]["to-pocket"], "3ft");
    let out = batch(&[], "n|cut|apart\n1|30deg|4ft\n");
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    assert!(
        said.contains("with commas, semicolons or tabs between columns"),
        "{said}"
    );
}

#[test]
fn order_is_kept_and_bad_rows_do_not_stop_others() {
    let mut table = String::from("n,cut,apart,to_pocket,gear\n");
    for n in 0..10_000 {
        let cut = if n == 17 {
            "30".to_owned()
        } else {
            format!("{}deg", n % 80)
        };
        let gear = ["", "pool-7ft", "snooker-12ft"][n % 3];
        table.push_str(&format!("{n},{cut},{}mm,900mm,{gear}\n", 400 + n % 50));
    }
    let out = batch(&[], &table);
    let rows = rows(&out);
    assert_eq!(out.status.code(), Some(1));
    let told = String::from_utf8_lossy(&out.stderr);
    assert!(
        told.contains("1 of 10000 rows failed") && told.contains("row 18"),
        "{told}"
    );
    assert_eq!(rows.len(), 10_000);
    for (n, row) in rows.iter().enumerate() {
        assert_eq!(row["n"], n.to_string());
        if n == 17 {
            assert!(row["status"].starts_with("error: cut"), "{}", row["status"]);
            assert!(row["aim_deg"].is_empty());
        } else {
            assert!(
                ["ok", "too-fast"].contains(&row["status"].as_str()),
                "{}",
                row["status"]
            );
            assert!(row["clean_total_deg"].parse::<f64>().expect("a number") > 0.0);
        }
    }
}

#[test]
fn typed_answers_are_statuses() {
    let table = "object,cue,pocket,pace\n\"6,2\",\"7.8,3.8\",foot-left,1m/s\n\"6,2\",\"3,1\",foot-left,1mm/s\n";
    let out = batch(&["--format", "jsonl"], table);
    let lines: Vec<Value> = String::from_utf8_lossy(&out.stdout)
        .lines()
        .map(|l| serde_json::from_str(l).expect("JSON"))
        .collect();
    assert_eq!(lines[0]["status"], "out-of-reach");
    assert_eq!(lines[0]["answer"]["flags"][0], "out-of-reach");
    assert_eq!(lines[1]["asked"]["object"], "6,2");
    assert!(
        lines[1]["status"]
            .as_str()
            .expect("a word")
            .starts_with("error: pace")
    );
    assert!(lines[1]["answer"].is_null());
}

#[test]
fn a_wrong_header_is_bad_input() {
    for (table, word) in [
        ("cut,apart,to-pockett\n", "to-pocket"),
        ("cut,apart,to-pocket,cut\n", "twice"),
        ("a,b\n", "names no shot"),
    ] {
        let out = batch(&[], table);
        let told = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(2), "{told}");
        assert!(told.contains(word), "{told}");
        assert!(out.stdout.is_empty());
    }
}

/// A program that waits for each answer before it asks again gets them.
#[test]
fn rows_are_answered_as_they_come() {
    use std::io::{BufRead, BufReader};
    let mut child = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .arg("batch")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("piped");
    let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines();
    stdin.write_all(b"cut,apart,to-pocket\n").expect("taken");
    for (k, cut) in ["0deg", "30deg"].into_iter().enumerate() {
        writeln!(stdin, "{cut},4ft,3ft").expect("taken");
        if k == 0 {
            let header = lines.next().expect("a line").expect("text");
            assert!(header.starts_with("cut,apart,to-pocket,status"));
        }
        let line = lines.next().expect("a line").expect("text");
        assert!(line.starts_with(cut), "{line}");
    }
    drop(stdin);
    assert!(child.wait().expect("it ends").success());
}

/// Of the answer only the columns asked for, in that order; the table's own and the status stay.
#[test]
fn columns_are_chosen() {
    let table = "id,cut,apart,to-pocket\nx,30deg,4ft,3ft\ny,95deg,4ft,3ft\n";
    let columns = ["--columns", "drop_total_deg,aim_deg,clean_thick_deg"];
    let all = rows(&batch(&[], table));
    let out = batch(&columns, table);
    assert_eq!(out.status.code(), Some(1));
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(
        text.starts_with("id,cut,apart,to-pocket,status,drop_total_deg,aim_deg,clean_thick_deg\n"),
        "{text}"
    );
    for (row, whole) in rows(&out).iter().zip(&all) {
        assert_eq!(row.len(), 8);
        for (name, cell) in row {
            assert_eq!(*cell, whole[name], "{name}");
        }
    }
    let out = batch(&[&columns[..], &["--format", "jsonl"]].concat(), table);
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    let lines: Vec<Value> = text
        .lines()
        .map(|l| serde_json::from_str(l).expect("JSON"))
        .collect();
    let answer = lines[0]["answer"].as_object().expect("an object");
    assert_eq!(
        answer.keys().collect::<Vec<_>>(),
        ["drop_total_deg", "aim_deg", "clean_thick_deg"]
    );
    assert_eq!(answer["aim_deg"].to_string(), all[0]["aim_deg"]);
    assert!(lines[1]["answer"].is_null());
}

/// A name that is no column's is refused with those most like it, before anything is read or written.
#[test]
fn a_column_that_is_none_is_refused() {
    for (columns, words) in [
        (
            "aim_deg,drop_totl_deg",
            "`drop_totl_deg` is no column; the nearest are drop_total_deg, ",
        ),
        (
            "total",
            "`total` is no column; the nearest are drop_total_deg, direct_total_deg, clean_total_deg, ",
        ),
        ("aim_deg,AIM-DEG", "`AIM-DEG` stands there twice"),
    ] {
        let out = batch(&["--columns", columns], "");
        let told = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(2), "{told}");
        assert!(told.contains("--columns") && told.contains(words), "{told}");
        assert!(out.stdout.is_empty());
    }
}

/// Rows that share an acceptance are solved together, and answer as each by itself.
#[test]
fn rows_that_share_answer_as_alone() {
    let header = ["cue", "object", "pocket", "side", "pace"].map(str::to_owned);
    let gear = Gear::standard(Preset::Pool9Ft).expect("a preset");
    let mut block = Block::default();
    for n in 0..240 {
        // Among them balls near a rail, places out of reach and rows that are wrong.
        let object = ["5,2.4", "6,3.9", "5,3.72", "7,3"][n % 4];
        let cue = format!(
            "{},{}",
            1.0 + (n % 37) as f64 / 10.0,
            0.3 + (n % 23) as f64 / 8.0
        );
        let side = ["", "0.3", "0.3", "-0.5", "x"][n % 5];
        let pace = ["", "", "2m/s"][n % 3];
        block.push([cue.as_str(), object, "foot-left", side, pace]);
    }
    let mut solver = Solver::new(
        Header::new(header.to_vec()).expect("a header"),
        gear.clone(),
        Players::default(),
    );
    let answered: Vec<_> = solver
        .solve(&block, |outcomes| {
            outcomes.map(|o| o.answer).collect::<Vec<_>>()
        })
        .concat();
    assert_eq!(answered.len(), block.len());
    let (mut solved, mut wrong) = (0, 0);
    for (n, answer) in answered.iter().enumerate() {
        let cells: Vec<&str> = block.row(n).cells().collect();
        let text = |k: usize| Some(cells[k].to_owned()).filter(|t| !t.is_empty());
        let request = ShotRequest {
            places: PlacesRequest {
                cue: text(0),
                object: text(1),
                pocket: text(2),
                ..PlacesRequest::default()
            },
            stroke: StrokeRequest {
                side: text(3),
                pace: text(4),
                ..StrokeRequest::default()
            },
        };
        let Ok(shot) = request.shot(&gear) else {
            assert!(answer.is_err(), "row {n}");
            wrong += 1;
            continue;
        };
        let solution = solve(&gear, &shot).expect("a place");
        let alone = ShotAnswer::new(&gear, &shot, &solution, None);
        let answer = answer.as_ref().expect("an answer");
        let numbers = |answer: &ShotAnswer| {
            let drop = answer.drop.as_ref();
            [
                answer.aim_deg,
                answer.cue_speed_m_s,
                drop.map(|d| d.thick_deg),
                drop.map(|d| d.thin_deg),
                answer.clean.as_ref().map(|c| c.total_deg),
            ]
        };
        // Whether a stick brings it is asked of single shots only.
        let flags = |answer: &ShotAnswer| {
            let flags = answer.flags.iter().filter(|f| *f != "cannot-arrive");
            flags.cloned().collect::<Vec<_>>()
        };
        assert_eq!(flags(answer), flags(&alone), "row {n}");
        for (a, b) in numbers(answer).into_iter().zip(numbers(&alone)) {
            assert_eq!(a.is_some(), b.is_some(), "row {n}");
            if let (Some(a), Some(b)) = (a, b) {
                assert!((a - b).abs() < 1e-9, "row {n}: {a} against {b}");
                solved += 1;
            }
        }
    }
    assert!(solved > 400 && wrong > 20, "{solved} {wrong}");
}

/// Built without the feature, `--format parquet` says how to get it and writes nothing.
#[cfg(not(feature = "parquet"))]
#[test]
fn parquet_is_built_on_request() {
    let out = batch(&["--format", "parquet"], "");
    let told = String::from_utf8_lossy(&out.stderr);
    assert_eq!(out.status.code(), Some(2), "{told}");
    assert!(told.contains("--features parquet"), "{told}");
    assert!(out.stdout.is_empty());
}

/// What is wrong with the file itself names it.
#[test]
fn a_file_that_is_no_table_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let broken = folder.path().join("broken.csv");
    std::fs::write(&broken, b"cut,apart,to-pocket\n30deg,\xff,3ft\n").expect("written");
    for (file, word) in [
        (folder.path().to_owned(), "is a folder"),
        (folder.path().join("none.csv"), "No such file"),
        (broken, "UTF-8"),
    ] {
        let file = file.display().to_string();
        let out = batch(&[&file], "");
        let told = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(2), "{told}");
        assert!(told.contains(&file) && told.contains(word), "{told}");
    }
}

/// Answers can be asked again: their columns keep apart from the new ones.
#[test]
fn answers_go_in_again() {
    let first = batch(&[], "cut,apart,to-pocket,pace\n30deg,4ft,3ft,1m/s\n");
    let text = String::from_utf8(first.stdout).expect("UTF-8");
    // Of the answer only its status and speed, under their own names.
    let again = batch(
        &[],
        "cut,apart,to-pocket,status,answer_status,aim_deg\n30deg,4ft,3ft,a,b,c\n",
    );
    assert!(text.starts_with("cut,apart,to-pocket,pace,status,gear"));
    let row = &rows(&again)[0];
    let cells = ["status", "answer_status", "answer_answer_status", "aim_deg"];
    assert_eq!(cells.map(|c| row[c].as_str()), ["a", "b", "ok", "c"]);
    assert!(row["answer_aim_deg"].parse::<f64>().is_ok());
}

/// A stroke in table lengths and a student from the log, as with a single shot.
#[test]
fn strokes_and_students_are_those_of_shot() {
    let folder = tempfile::tempdir().expect("a folder");
    let log = folder.path().join("log.sqlite").display().to_string();
    let run = |args: &[&str]| {
        let out = Command::new(env!("CARGO_BIN_EXE_thincut"))
            .args(args)
            .env("THINCUT_LOG", &log)
            .output()
            .expect("it runs");
        assert!(
            out.status.success(),
            "{}",
            String::from_utf8_lossy(&out.stderr)
        );
        out
    };
    run(&["log", "demo"]);
    // F hits every cut too full: another chance on cuts to the left and to the right.
    let table = "cut,cut-side,apart,to-pocket,stroke,level\n\
        40deg,left,3ft,3ft,2lengths,\n40deg,right,3ft,3ft,2lengths,\n40deg,left,3ft,3ft,2lengths,club\n";
    let file = folder.path().join("shots.csv");
    std::fs::write(&file, table).expect("written");
    let all = rows(&run(&[
        "batch",
        &file.display().to_string(),
        "--student",
        "Q",
    ]));
    assert_eq!(all.len(), 3);
    for (row, side) in all.iter().zip(["left", "right", "left"]) {
        let mut args = vec![
            "shot",
            "--cut",
            "40deg",
            "--cut-side",
            side,
            "--cue-to-object",
            "3ft",
        ];
        args.extend([
            "--to-pocket",
            "3ft",
            "--lengths",
            "2lengths",
            "--format",
            "csv",
        ]);
        let club = row["level"] == "club";
        args.extend(if club {
            ["--level", "club"]
        } else {
            ["--student", "Q"]
        });
        let single = &rows(&run(&args))[0];
        for name in ["player", "chance", "cue_speed_m_s", "drop_total_deg"] {
            assert_eq!(row[name], single[name], "{name} on the {side}");
        }
    }
    assert_eq!(all[2]["player"], "club player, assumed");
    assert_ne!(all[0]["chance"], all[1]["chance"]);
}

/// Where there is no window, a chance is 0 or, when almost any hit drops the ball, not said.
#[test]
fn no_window_has_no_chance_to_name() {
    let table =
        "cue,object,pocket,apart\n\"7,3\",\"5,2\",foot-left,\n\"3,1\",\"7.98,3.96\",foot-left,\n";
    let out = batch(&["--level", "club"], table);
    let all = rows(&out);
    let told = [0, 1].map(|k: usize| [all[k]["status"].as_str(), all[k]["chance"].as_str()]);
    assert_eq!(told, [["out-of-reach", "0"], ["in-the-jaws", ""]]);
    let shot = |cue: &str, object: &str| {
        let out = Command::new(env!("CARGO_BIN_EXE_thincut"))
            .args(["shot", "--level", "club", "--pocket", "foot-left"])
            .args(["--cue", cue, "--object", object])
            .output()
            .expect("it runs");
        String::from_utf8(out.stdout).expect("UTF-8")
    };
    assert!(shot("7,3", "5,2").starts_with("Never made, whoever plays it.\nOut of reach"));
    assert!(shot("3,1", "7.98,3.96").starts_with("A hanger: the object ball lies on or past"));
}
