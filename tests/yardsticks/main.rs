//! Published numbers beside the model: every row of `tests/data/published` is solved anew, the tables in
//! the documents are those that the example prints, and there are enough of them.
//!
//! `THINCUT_UPDATE=1 cargo test --test yardsticks` writes what the model gives into all of them.

#[path = "../../examples/yardsticks/rows.rs"]
mod rows;
#[path = "../../examples/yardsticks/solved/mod.rs"]
mod solved;

use std::fs;
use std::path::Path;

use rows::Row;
use solved::SUBJECTS;

fn updating() -> bool {
    std::env::var_os("THINCUT_UPDATE").is_some()
}

fn all() -> Vec<(&'static str, Vec<Row>)> {
    SUBJECTS
        .iter()
        .map(|(subject, solvers)| (*subject, rows::solved(subject, solvers).expect("solved")))
        .collect()
}

#[test]
fn every_row_and_table_is_what_the_model_gives() {
    for (subject, solved) in all() {
        if updating() {
            let path = rows::file(subject);
            let text = fs::read_to_string(&path).expect("a table");
            let head: String = text
                .lines()
                .filter(|line| line.starts_with('#'))
                .map(|line| format!("{line}\n"))
                .collect();
            let mut writer = csv::Writer::from_writer(head.into_bytes());
            for row in &solved {
                writer.serialize(row).expect("a row");
            }
            fs::write(&path, writer.into_inner().expect("all of it")).expect("written");
            continue;
        }
        for (kept, now) in rows::rows(subject).expect("rows").iter().zip(&solved) {
            assert_eq!(
                kept, now,
                "{subject}: THINCUT_UPDATE=1 cargo test --test yardsticks"
            );
        }
    }
    let long = rows::table().expect("a table");
    stands_in("DEVELOPERS.md", "yardsticks", &long);
    stands_in("DEVELOPERS.md", "cushion", &solved::cushion::beside());
    stands_in("README.md", "yardsticks", &rows::short().expect("a table"));
}

/// At least 45 checks from outside, of the main job and of its statistics, most of which hold; each says
/// where it comes from, how it was set up, and why it is off where it is.
#[test]
fn there_are_enough_checks_from_outside_each_with_its_source() {
    // Sizes that presets took from print check the pen, not the model.
    const TAKEN_OVER: &str = "taken from";
    let (mut checks, mut hold, mut statistics) = (0, 0, 0);
    for (subject, rows) in all() {
        for row in &rows {
            let name = &row.name;
            assert!(!row.source.is_empty() && !row.printed.is_empty(), "{name}");
            assert!(!row.setup.is_empty() && !row.unit.is_empty(), "{name}");
            assert!(["seen", "memory"].contains(&row.read.as_str()), "{name}");
            assert!(row.from.is_some() || row.to.is_some(), "{name}");
            assert!(row.holds() || !row.why.is_empty(), "{name}: why is it off?");
            if row.setup.contains(TAKEN_OVER) {
                assert!(row.holds(), "{name}: {} in the preset", row.model);
                continue;
            }
            checks += 1;
            hold += usize::from(row.holds());
            statistics += usize::from(subject == "statistics");
        }
    }
    println!("{checks} checks, {statistics} of them of statistics, {hold} hold");
    assert!(checks >= 45, "only {checks}");
    assert!(
        checks - statistics >= 40,
        "only {} of the main job",
        checks - statistics
    );
    assert!(hold >= 45, "only {hold} of {checks} hold");
}

/// The table between two marks of a document is this one.
fn stands_in(document: &str, mark: &str, table: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(document);
    let text = fs::read_to_string(&path).expect(document);
    let (open, close) = (
        format!("<!-- {mark} -->\n"),
        format!("<!-- end of {mark} -->"),
    );
    let start = text.find(&open).expect(&open) + open.len();
    let end = start + text[start..].find(&close).expect(&close);
    if updating() {
        let (before, after) = (&text[..start], &text[end..]);
        fs::write(&path, format!("{before}\n{table}\n{after}")).expect("written");
    } else {
        assert_eq!(
            text[start..end].trim(),
            table.trim(),
            "{document}: THINCUT_UPDATE=1 cargo test --test yardsticks"
        );
    }
}

/// Another law at the cushion, integrated: what must be true of it whatever its constants.
#[test]
fn the_other_cushion_law_is_integrated_soundly() {
    solved::cushion::sound();
}
