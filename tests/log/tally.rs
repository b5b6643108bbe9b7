//! Codes on sheets and tallies from the table.

use thincut::log::code::{ALPHABET, CodeError, make_code, read_code};
use thincut::log::{LogError, MissSides, SheetKind, TallyRow, read_tally};

use crate::{folder, ladder, new_log, when};

/// ISO 2108:1992 (ISBN-10) promises it for modulus 11; here it is tried out for 31.
#[test]
fn every_single_slip_in_a_code_is_noticed() {
    let alphabet: Vec<char> = ALPHABET.iter().map(|b| char::from(*b)).collect();
    assert!("0O1IL".chars().all(|c| !alphabet.contains(&c)));
    let short = (0..31 * 31).map(|n| make_code(n, 2));
    let long = (0..400_u64)
        .map(|n| make_code(n.wrapping_mul(0x9e37_79b9_7f4a_7c15), 4 + (n % 7) as usize));
    for code in short.chain(long) {
        assert_eq!(read_code(&code.to_lowercase()).as_ref(), Ok(&code));
        let chars: Vec<char> = code.chars().collect();
        for k in 0..chars.len() {
            for other in alphabet.iter().filter(|c| **c != chars[k]) {
                let mut wrong = chars.clone();
                wrong[k] = *other;
                let wrong: String = wrong.into_iter().collect();
                assert!(
                    matches!(read_code(&wrong), Err(CodeError::Mistyped { .. })),
                    "{code} {wrong}"
                );
            }
            if k > 0 && chars[k - 1] != chars[k] {
                let mut swapped = chars.clone();
                swapped.swap(k - 1, k);
                assert!(read_code(&swapped.into_iter().collect::<String>()).is_err());
            }
        }
    }
    for bad in ["", "K", "K0Q", "KÄQ", "2222222222222"] {
        assert!(read_code(bad).is_err(), "{bad}");
    }
}

#[test]
fn sheets_keep_their_codes() {
    let (here, there) = (folder(), folder());
    let mut log = new_log(&here);
    let mut codes: Vec<String> = (1..=60)
        .map(|n| log.save_sheet(&ladder(n)).unwrap())
        .collect();
    assert_eq!(
        log.save_sheet(&ladder(7)).unwrap(),
        codes[6],
        "the same sheet, the same code"
    );
    let (code, sheet) = log.find_sheet(&codes[2].to_lowercase()).unwrap();
    assert_eq!((&code, &sheet), (&codes[2], &ladder(3)));
    codes.sort();
    codes.dedup();
    assert_eq!(codes.len(), 60);
    let mut other = new_log(&there);
    assert!(matches!(
        other.find_sheet(&code),
        Err(LogError::UnknownSheet { .. })
    ));
    assert_eq!(
        other.save_sheet(&ladder(1)).unwrap(),
        log.save_sheet(&ladder(1)).unwrap()
    );
    let mut twice = ladder(2);
    twice.kind = SheetKind::Marks;
    assert!(matches!(
        log.save_sheet(&twice),
        Err(LogError::Sheet { .. })
    ));
}

#[test]
fn tallies_are_read_as_they_are_jotted_down() {
    let row = |rung, student: &str, made, tries, misses| TallyRow {
        rung,
        student: student.to_owned(),
        made,
        tries,
        misses,
    };
    let thin = Some(MissSides {
        thin: 3,
        ..MissSides::default()
    });
    let people = ["A", "B", "Bo-1"];
    for (line, wanted) in [
        (
            "A 6/10, B 4/10 thin 3",
            vec![row(None, "A", 6, 10, None), row(None, "B", 4, 10, thin)],
        ),
        (
            "  A 6 / 10 ,Bo-1 0/5  ",
            vec![row(None, "A", 6, 10, None), row(None, "Bo-1", 0, 5, None)],
        ),
        (
            "3: A 6/10, B 4/10; 4: A 2/10",
            vec![
                row(Some(3), "A", 6, 10, None),
                row(Some(3), "B", 4, 10, None),
                row(Some(4), "A", 2, 10, None),
            ],
        ),
        (
            "A 1/10 full 1 thin 2 short 1 scratch 2 unseen 3",
            vec![row(
                None,
                "A",
                1,
                10,
                Some(MissSides {
                    full: 1,
                    thin: 2,
                    short: 1,
                    scratch: 2,
                    not_seen: 3,
                }),
            )],
        ),
    ] {
        assert_eq!(read_tally(line, &people).unwrap(), wanted, "{line}");
    }
}

#[test]
fn a_wrong_tally_is_shown_back_with_the_place() {
    let people = ["A", "B", "Bobby"];
    for (line, marks, says) in [
        ("A 6/10, C 4/10", "        ^", "students are A, B, Bobby"),
        ("A 6/10, Boby 4/10", "        ^^^^", "did you mean Bobby?"),
        ("A 6/10, B 14/10", "          ^^^^^", "14 made of 10 tries"),
        (
            "A 6/10 thin 3 full 2",
            "       ^^^^^^^^^^^^^",
            "5 misses noted",
        ),
        ("A 6/0", "  ^^^", "0 tries"),
        ("A 6", "   ^", "ends where"),
        ("A 6-10", "  ^^^^", "\"6-10\" is not a count"),
        ("A 6/10 B 4/10", "       ^", "comma before the next student"),
        ("A 6/10,", "       ^", "a student's label"),
        ("", "^", "a student's label"),
        ("x: A 6/10", "^", "number of a rung"),
        ("A 6/10, A 5/10", "        ^", "twice"),
        ("A 6/10 thin 1 thin 1", "              ^^^^", "twice"),
        ("Ä 6/10", "^", "no student is called Ä"),
        ("A 6/99999999999", "    ^^^^^^^^^^^", "number of tries"),
    ] {
        let text = read_tally(line, &people).unwrap_err().to_string();
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines[0].contains(says), "{text} lacks {says}");
        assert_eq!(lines[1], format!("  {line}"));
        assert_eq!(lines[2], format!("  {marks}"), "{text}");
    }
}

#[test]
fn a_tally_finds_its_rung_or_mark() {
    let (when, students) = (when("2025-11-25"), ["A", "B"]);
    let rows = |line: &str| read_tally(line, &students).unwrap();
    let five = ladder(5);
    let found = five
        .attempts("K7K", &rows("3: A 6/10; 5: B 1/4"), &when, Some("s"))
        .unwrap();
    assert_eq!(
        found.iter().map(|a| a.rung).collect::<Vec<_>>(),
        [Some(3), Some(5)]
    );
    assert!(
        found
            .iter()
            .all(|a| a.windows.is_some() && a.session.as_deref() == Some("s"))
    );
    for (line, wanted) in [
        ("A 6/10", "3: A 6/10"),
        ("6: A 6/10", "rungs run from 1 to 5"),
    ] {
        let fault = five.attempts("K7K", &rows(line), &when, None).unwrap_err();
        assert!(fault.to_string().contains(wanted), "{fault}");
    }
    assert_eq!(
        ladder(1)
            .attempts("K7K", &rows("A 6/10"), &when, None)
            .unwrap()[0]
            .rung,
        Some(1)
    );
    let mut marks = ladder(2);
    marks.kind = SheetKind::Marks;
    marks.rungs[0].student = Some("C".to_owned());
    marks.rungs[1].student = Some("B".to_owned());
    assert_eq!(
        marks.attempts("K7K", &rows("B 6/10"), &when, None).unwrap()[0].rung,
        Some(2)
    );
    let fault = marks
        .attempts("K7K", &rows("A 6/10"), &when, None)
        .unwrap_err();
    assert!(fault.to_string().contains("marks are for C, B"), "{fault}");
}
