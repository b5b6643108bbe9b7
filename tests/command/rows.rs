//! Rows of a table, as people and spreadsheets write them.

use std::io::{self, Read as _};

use csv::ByteRecord;
use thincut::files::{Rows, guarded, unguarded, with_decimal_point};

fn rows_of(text: &str) -> Vec<Vec<String>> {
    let mut rows = Rows::new(text.as_bytes(), true).expect("a slice is read");
    let mut row = ByteRecord::new();
    let mut out = Vec::new();
    while rows.read(&mut row).expect("good") {
        let cells = row.iter().map(|c| String::from_utf8_lossy(c).into_owned());
        out.push(cells.collect());
    }
    out
}

#[test]
fn commas_semicolons_and_tabs_part_cells() {
    for mark in [',', ';', '\t'] {
        let text = format!("\u{feff}# a,b;c\n\na{mark}b\n\"1{mark}\"{mark}2\n");
        let expected = [["a", "b"], [&format!("1{mark}"), "2"]];
        assert_eq!(rows_of(&text), expected, "{mark:?}");
        assert_eq!(rows_of(text.trim_end()), expected, "{mark:?}");
    }
    assert_eq!(rows_of("a;b,c\n1,2"), [["a;b", "c"], ["1", "2"]]);
    assert_eq!(rows_of("\"a;b\""), [["a;b"]]);
}

#[test]
fn a_guarded_cell_comes_back_and_runs_nothing() {
    let starts = [
        "=1+1", "+a", "-20deg", "@x", "\tx", "\r=x", "-inf", "-", "=", "+",
    ];
    for start in starts {
        for marks in 0..4 {
            let cell = format!("{}{start}", "'".repeat(marks));
            let out = guarded(&cell);
            assert!(out.starts_with('\''), "{cell}");
            assert_eq!(unguarded(&out), cell);
        }
    }
    for plain in [
        "",
        "-0.25",
        "+5",
        "-1e-9",
        "half-ball",
        "'tis",
        "a=b",
        "'",
        "1-2",
    ] {
        assert_eq!(guarded(plain), plain);
        assert_eq!(unguarded(plain), plain);
    }
}

#[test]
fn decimal_commas_of_one_number_become_points() {
    for (cell, read) in [
        ("2,5", "2.5"),
        ("-0,25", "-0.25"),
        ("30,5deg", "30.5deg"),
        ("1,2,3", "1,2,3"),
        ("1.2,3", "1.2,3"),
        ("a,b", "a,b"),
        (",5", ",5"),
    ] {
        assert_eq!(with_decimal_point(cell), read);
    }
}

#[test]
fn a_row_without_end_is_refused_before_it_fills_the_memory() {
    let endless = io::repeat(b'x');
    let mut rows = Rows::new(b"a,b\n1,\"".chain(endless), false).expect("the head");
    let mut row = ByteRecord::new();
    assert!(rows.read(&mut row).expect("the header"));
    let fault = rows.read(&mut row).expect_err("no end");
    assert!(fault.problem.contains("longer than 1 MB"), "{fault:?}");
    assert_eq!(fault.line, 2);
    // Rows that are long but not too long, and many of them.
    let long = format!("{},1\n", "y".repeat(900_000)).repeat(3);
    assert_eq!(rows_of(&long).len(), 3);
}
