//! The committed tables and charts are what the program makes today.
//!
//! `THINCUT_UPDATE=1 cargo test --test fresh` writes them anew.

use std::path::Path;

use thincut::charts::render::png;
use thincut::charts::survey::{by_cut, map};
use thincut::gear::Gear;
use thincut::survey::{Grid, SurveyCsv, survey};

/// Largest difference of a number from the committed one: one unit in the last digit written (six
/// decimals for angles, four for lengths), since machines' mathematical functions differ there.
const LAST_DIGIT: f64 = 1.1e-4;

fn table(name: &str) -> String {
    let gear = Gear::preset(name).expect("an embedded preset");
    let grid = Grid::default();
    let mut csv = SurveyCsv::new(Vec::new(), &gear, &grid).expect("memory");
    survey(
        &gear,
        &grid,
        |row| -> Result<(), Box<dyn std::error::Error>> { Ok(csv.write(row)?) },
    )
    .expect("the default grid");
    String::from_utf8(csv.finish().expect("memory")).expect("UTF-8")
}

#[test]
fn tables_are_fresh() {
    let update = std::env::var_os("THINCUT_UPDATE").is_some();
    for name in Gear::preset_names() {
        let path = format!("{}/tables/survey-{name}.csv", env!("CARGO_MANIFEST_DIR"));
        let now = table(name);
        if update {
            std::fs::write(&path, &now).expect("tables/ is writable");
        }
        let kept = std::fs::read_to_string(&path).unwrap_or_else(|e| {
            panic!("{path}: {e}; run THINCUT_UPDATE=1 cargo test --test fresh")
        });
        compare(Path::new(&path), &kept, &now);
    }
}

fn compare(path: &Path, kept: &str, now: &str) {
    let stale = "is stale; run THINCUT_UPDATE=1 cargo test --test fresh";
    assert_eq!(
        kept.lines().count(),
        now.lines().count(),
        "{} {stale}",
        path.display()
    );
    for (line, (a, b)) in kept.lines().zip(now.lines()).enumerate() {
        let (a, b): (Vec<&str>, Vec<&str>) = (a.split(',').collect(), b.split(',').collect());
        assert_eq!(a.len(), b.len(), "{}:{} {stale}", path.display(), line + 1);
        for (x, y) in a.iter().zip(&b) {
            let same = x == y
                || matches!((x.parse::<f64>(), y.parse::<f64>()), (Ok(x), Ok(y)) if (x - y).abs() <= LAST_DIGIT);
            assert!(
                same,
                "{}:{}: {x} is now {y}; the table {stale}",
                path.display(),
                line + 1
            );
        }
    }
}

/// Numbers in a picture may differ by this much: a twentieth of a pixel, or a thousandth.
const DRAWN: f64 = 0.05;

#[test]
fn charts_are_fresh() {
    let update = std::env::var_os("THINCUT_UPDATE").is_some();
    let size = "1200x800".parse().expect("a size");
    for name in Gear::preset_names() {
        let gear = Gear::preset(name).expect("an embedded preset");
        let grid = Grid::default();
        for (chart, picture) in [
            ("by-cut", by_cut(&gear, &grid, size)),
            ("map", map(&gear, &grid, size)),
        ] {
            let now = picture.expect("the default grid draws").svg;
            let path = format!("{}/charts/{chart}-{name}.svg", env!("CARGO_MANIFEST_DIR"));
            if update {
                std::fs::write(&path, &now).expect("charts/ is writable");
                let pixels = png(&now, 1.0).expect("it renders");
                std::fs::write(path.replace(".svg", ".png"), pixels).expect("writable");
            }
            let kept = std::fs::read_to_string(&path).unwrap_or_else(|e| {
                panic!("{path}: {e}; run THINCUT_UPDATE=1 cargo test --test fresh")
            });
            assert!(
                Path::new(&path.replace(".svg", ".png")).exists(),
                "{path} lost its PNG"
            );
            same_structure(&path, &kept, &now);
        }
    }
}

/// Words and marks equal, numbers close: machines' mathematical functions differ in last digits.
fn same_structure(path: &str, kept: &str, now: &str) {
    let (a, b) = (pieces(kept), pieces(now));
    let stale = "is stale; run THINCUT_UPDATE=1 cargo test --test fresh";
    assert_eq!(a.len(), b.len(), "{path} {stale}");
    for (x, y) in a.iter().zip(&b) {
        let close = match (x.parse::<f64>(), y.parse::<f64>()) {
            (Ok(x), Ok(y)) => (x - y).abs() <= DRAWN.max(1e-3 * x.abs()),
            _ => x == y,
        };
        assert!(close, "{path}: {x} is now {y}; the chart {stale}");
    }
}

/// A text cut into numbers and what stands between them.
fn pieces(text: &str) -> Vec<&str> {
    let numeric = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let mut out = Vec::new();
    let mut start = 0;
    let mut was = None;
    for (at, c) in text.char_indices() {
        let is = numeric(c);
        if was.is_some_and(|w| w != is) {
            out.push(&text[start..at]);
            start = at;
        }
        was = Some(is);
    }
    out.push(&text[start..]);
    out
}
