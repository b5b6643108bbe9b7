//! Text from outside drives no terminal.

use std::io::Write as _;

use thincut::shown::{MOST_QUOTED, Plain, plain, quoted};

fn through(pieces: &[&[u8]]) -> String {
    let mut out = Vec::new();
    let mut plain = Plain::new(&mut out);
    for piece in pieces {
        plain.write_all(piece).expect("a Vec takes all");
    }
    String::from_utf8(out).expect("text")
}

#[test]
fn what_is_quoted_is_short_and_drives_nothing() {
    assert_eq!(quoted("half-ball"), "half-ball");
    assert_eq!(quoted("a\u{1b}[2Jb\nc"), "a\\u001b[2Jb\\u000ac");
    let eighty = "é".repeat(80);
    assert_eq!(quoted(&eighty), eighty);
    let long = quoted(&"x".repeat(1_000_000));
    assert_eq!(long, format!("{}…", "x".repeat(79)));
    for k in 0..90 {
        let text = format!("{}{}", "y".repeat(k), "\u{7}".repeat(40));
        assert!(quoted(&text).chars().count() <= MOST_QUOTED, "{k}");
    }
}

#[test]
fn a_writer_escapes_what_drives_a_terminal_and_nothing_else() {
    let kept = "°\u{a0}ü…\tφ\n";
    assert_eq!(through(&[kept.as_bytes()]), kept);
    for cut in 0..kept.len() {
        let (a, b) = kept.as_bytes().split_at(cut);
        assert_eq!(through(&[a, b]), kept, "{cut}");
    }
    let text = "a\u{1b}[1mb\u{9b}c\u{7f}\u{c2}";
    let shown = "a\\u001b[1mb\\u009bc\\u007f\u{c2}";
    for cut in 0..text.len() {
        let (a, b) = text.as_bytes().split_at(cut);
        assert_eq!(through(&[a, b]), shown, "{cut}");
    }
    assert_eq!(plain(text), shown);
}
