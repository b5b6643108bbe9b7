//! `thincut log list`: one table, whatever letters stand in it.

use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

use crate::program::{output, thincut};
use crate::{attempt, entry, folder, new_log};
use thincut::log::MissSides;

/// Rows are written one by one, and laid out like a table that is laid out whole: each column begins
/// in the same place in every line, two blanks after the widest cell of the one before.
#[test]
fn columns_stand_below_their_names() {
    let here = folder();
    let mut log = new_log(&here);
    let row = |session: Option<&str>, cut: &str| {
        let mut row = attempt("A", 10, 4);
        row.session = session.map(str::to_owned);
        row.misses = session.map(|_| MissSides {
            thin: 3,
            ..MissSides::default()
        });
        row.shot.request.places.cut = Some(cut.to_owned());
        row
    };
    let rows = [
        row(None, "half-ball"),
        row(Some("火曜日 beginners"), "30deg"),
        row(Some("Tuesday"), "3/4-ball"),
    ];
    for given in rows {
        log.add(&entry(vec![given])).expect("recorded");
    }
    let path = log.path().to_owned();
    drop(log);
    let (text, _) = output(
        thincut(here.path())
            .args(["log", "list", "--log"])
            .arg(path),
        0,
    );
    let lines: Vec<&str> = text.lines().filter(|line| !line.is_empty()).collect();
    let head = lines
        .iter()
        .position(|line| line.trim_start().starts_with("day"))
        .expect("names of the columns");
    let names = [
        "day", "student", "made", "misses", "shot", "gear", "session",
    ];
    let starts = names.map(|name| lines[head][..lines[head].find(name).expect(name)].width());
    let session = starts[names.len() - 1];
    for line in &lines[head + 1..head + 4] {
        for start in starts.into_iter().filter(|start| *start > 0) {
            // What stands in the place before a column, if the line is as long.
            assert!(matches!(at(line, start - 1), None | Some(' ')), "{text}");
        }
        for start in &starts[..3] {
            assert!(at(line, *start).is_some_and(|c| c != ' '), "{text}");
        }
    }
    let said: Vec<Option<char>> = (head + 1..head + 4)
        .map(|k| at(lines[k], session))
        .collect();
    assert!(
        said.contains(&Some('火')) && said.contains(&Some('T')),
        "{text}"
    );
}

/// The letter that begins at this place of a line as a terminal shows it.
fn at(line: &str, place: usize) -> Option<char> {
    let mut here = 0;
    for letter in line.chars() {
        if here == place {
            return Some(letter);
        }
        here += letter.width().unwrap_or(0);
    }
    None
}
