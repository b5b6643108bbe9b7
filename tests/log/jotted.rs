//! Tallies as they are really jotted down, pages out of a spreadsheet, and the one yes before they count.

use std::path::Path;

use thincut::log::{Jotted, MissSides, TallyRow, place, read_jotted, read_page};

use crate::program::{ran, with_log};
use crate::{all, folder, ladder, new_log};

const PEOPLE: [&str; 3] = ["K", "L", "Bo-1"];

fn row(rung: Option<usize>, student: &str, made: u32, tries: u32, misses: (u32, u32)) -> TallyRow {
    TallyRow {
        rung,
        student: student.to_owned(),
        made,
        tries,
        misses: (misses != (0, 0)).then_some(MissSides {
            full: misses.0,
            thin: misses.1,
            ..MissSides::default()
        }),
    }
}

fn read(line: &str) -> Jotted {
    read_jotted(line, &PEOPLE).unwrap_or_else(|| panic!("{line}"))
}

#[test]
fn sloppy_tallies_are_understood() {
    for (line, wanted) in [
        ("k 4/10", vec![row(None, "K", 4, 10, (0, 0))]),
        ("L4/10", vec![row(None, "L", 4, 10, (0, 0))]),
        ("l4 / 10 overcut 3", vec![row(None, "L", 4, 10, (0, 3))]),
        ("K 4/10 thick 2", vec![row(None, "K", 4, 10, (2, 0))]),
        (
            "K 4/10 2 thick, 3 over",
            vec![row(None, "K", 4, 10, (2, 3))],
        ),
        ("K 4/10 f2 t3", vec![row(None, "K", 4, 10, (2, 3))]),
        ("K: 4 of 10", vec![row(None, "K", 4, 10, (0, 0))]),
        ("K 4 out of 10", vec![row(None, "K", 4, 10, (0, 0))]),
        (
            "k 4/10 L 5/10 bo-1 6/10",
            vec![
                row(None, "K", 4, 10, (0, 0)),
                row(None, "L", 5, 10, (0, 0)),
                row(None, "Bo-1", 6, 10, (0, 0)),
            ],
        ),
        (
            "2: k 4/10 undercut 1; 3: k 5/10",
            vec![
                row(Some(2), "K", 4, 10, (1, 0)),
                row(Some(3), "K", 5, 10, (0, 0)),
            ],
        ),
        (
            "K 4/10 5/10, 6/10",
            vec![
                row(None, "K", 4, 10, (0, 0)),
                row(None, "K", 5, 10, (0, 0)),
                row(None, "K", 6, 10, (0, 0)),
            ],
        ),
    ] {
        assert_eq!(read(line).rows, wanted, "{line}");
        assert!(read(line).new_students.is_empty(), "{line}");
    }
}

#[test]
fn somebody_new_is_named_and_nonsense_is_not_guessed_at() {
    let found = read("M 4/10, k 5/10, M2: 3/10");
    assert_eq!(found.new_students, ["M", "M2"]);
    assert_eq!(found.rows.len(), 3);
    for line in [
        "",
        "4/10",
        "K",
        "K 4",
        "K 11/10",
        "K 4/10 full 7",
        "K 4/10 purple 3",
        "K 4/0",
        "3: K 4/10, K 5/10",
        "0: K 4/10",
        "full 4/10",
        "K / 10",
    ] {
        assert_eq!(read_jotted(line, &PEOPLE), None, "{line}");
    }
    // Two students whose labels differ in case only: which one is meant is not guessed.
    assert_eq!(
        read_jotted("BO 4/10", &["Bo", "bo"]).map(|f| f.new_students),
        Some(vec!["BO".to_owned()])
    );
}

#[test]
fn a_page_has_a_row_a_student_and_a_column_a_shot() {
    let page = "student\tshot 1 (10)\tshot 3 (10)\r\nk\t4\t5 thin 2\r\nM\t\t6\r\n";
    let wanted = [
        row(Some(1), "K", 4, 10, (0, 0)),
        row(Some(3), "M", 6, 10, (0, 0)),
    ];
    // Makes alone take the column's tries; a cell with sides says its own.
    assert_eq!(read_page(page, &PEOPLE), Some(Err(2)));
    let page = page.replace("5 thin 2", "5/10 thin 2");
    let found = read_page(&page, &PEOPLE)
        .expect("a page")
        .expect("it reads");
    assert_eq!(found.rows[0], wanted[0]);
    assert_eq!(found.rows[1], row(Some(3), "K", 5, 10, (0, 2)));
    assert_eq!(found.rows[2], wanted[1]);
    assert_eq!(found.new_students, ["M"]);
    let plain = "K\t4/10\t5/10\nL\t6/10\t7/10\n";
    let found = read_page(plain, &PEOPLE)
        .expect("a page")
        .expect("it reads");
    assert_eq!(found.rows.len(), 4);
    assert!(found.rows.iter().all(|r| r.rung.is_none()));
    assert_eq!(read_page("K 4/10\nL 5/10\n", &PEOPLE), None);
    assert_eq!(read_page("K\t4/10\nL\tmany\n", &PEOPLE), Some(Err(2)));
}

#[test]
fn counts_without_a_shot_follow_the_sheet() {
    let rows = |line: &str| read(line).rows;
    let rungs =
        |placed: Vec<TallyRow>| -> Vec<Option<usize>> { placed.iter().map(|r| r.rung).collect() };
    let nobody = |_: &str, _: usize| false;
    let placed = place(rows("K 4/10 5/10 6/10, L 1/10"), 3, nobody).expect("shots");
    assert_eq!(rungs(placed), [Some(1), Some(2), Some(3), Some(1)]);
    // K has played the first one today.
    let first = |student: &str, rung: usize| student == "K" && rung == 1;
    let placed = place(rows("K 4/10, L 1/10"), 3, first).expect("shots");
    assert_eq!(rungs(placed), [Some(2), Some(1)]);
    let none = place(rows("K 4/10 5/10 6/10"), 2, nobody).expect_err("two shots for three counts");
    assert_eq!((none.student.as_str(), none.counts, none.open), ("K", 3, 2));
}

fn run(folder: &Path, arguments: &[&str], input: &str) -> (i32, String, String) {
    ran(with_log(folder)
        .arg("log")
        .args(arguments)
        .write_stdin(input))
}

const SHOT: [&str; 6] = [
    "--cut",
    "half-ball",
    "--cue-to-object",
    "4ft",
    "--to-pocket",
    "3ft",
];

#[test]
fn what_was_guessed_is_shown_and_recorded_with_one_yes() {
    let folder = folder();
    let log = new_log(&folder);
    let add = |tally: &str, more: &[&str]| {
        let arguments = [&["add", tally, "--when", "2025-11-25"], &SHOT[..], more].concat();
        run(folder.path(), &arguments, "")
    };
    let (code, out, err) = add("a4/10 overcut 3, M 5/10", &[]);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    assert!(
        err.contains("A 4 of 10 (thin 3); M 5 of 10; new in the log: M"),
        "{err}"
    );
    assert!(
        err.contains("Nothing is recorded; if that is what was meant, add --yes"),
        "{err}"
    );
    assert!(all(&log).is_empty() && log.students().unwrap().len() == 2);
    let (code, out, err) = add("a4/10 overcut 3, M 5/10", &["--yes"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("A 4 of 10 (thin 3); M 5 of 10"), "{out}");
    assert_eq!(all(&log).len(), 2);
    // The same again is noticed, and nobody new stays behind.
    let (code, _, err) = add("a 4/10 thin 3; N 1/10", &["--yes"]);
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("is in the log already"), "{err}");
    assert_eq!((all(&log).len(), log.students().unwrap().len()), (2, 3));
    // A tally word for word is recorded at once.
    let (code, ..) = add("B 4/10", &[]);
    assert_eq!((code, all(&log).len()), (0, 3));
    // Two counts at one shot are not added up.
    let (code, _, err) = add("B 4/10 5/10", &["--yes"]);
    assert_eq!(code, 2, "{err}");
}

#[test]
fn a_page_of_a_spreadsheet_is_one_entry() {
    let folder = folder();
    let mut log = new_log(&folder);
    let sheet_code = log.save_sheet(&ladder(3)).expect("kept");
    let page = "\t1 (10)\t2 (10)\t3 (10)\na\t7\t5\t3\nb\t6\t\t2\nM\t1\t1\t1\n";
    let enter = |tally: &str, input: &str, more: &[&str]| {
        let arguments = [
            &["enter", sheet_code.as_str(), tally, "--when", "2025-11-25"],
            more,
        ]
        .concat();
        run(folder.path(), &arguments, input)
    };
    let (code, out, err) = enter("-", page, &[]);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    assert!(
        err.contains("no. 3: B 2 of 10") && err.contains("new in the log: M"),
        "{err}"
    );
    let (code, out, err) = enter("-", page, &["--yes"]);
    assert_eq!(code, 0, "{err}");
    assert_eq!(out.matches("Recorded as entry").count(), 1, "{out}");
    assert_eq!(all(&log).len(), 8);
    let (code, _, err) = enter("-", page, &["--yes"]);
    assert_eq!((code, all(&log).len()), (2, 8), "{err}");
    let (code, _, err) = enter("-", "A\t4/10\nB\tmany\n", &["--yes"]);
    assert_eq!(code, 2);
    assert!(err.contains("line 2 of the page"), "{err}");
    // B has not played the second one yet: a count without a shot is that.
    let (code, _, err) = enter("b 5/10", "", &[]);
    assert_eq!(code, 2);
    assert!(err.contains("no. 2: B 5 of 10"), "{err}");
    let (code, ..) = enter("b 5/10", "", &["--yes"]);
    assert_eq!((code, all(&log).len()), (0, 9));
    let (code, _, err) = enter("B 5/10", "", &["--yes"]);
    assert_eq!(code, 2);
    assert!(err.contains("0 of them open for B"), "{err}");
}
