//! What the Python binding is held against is what the program gives today.
//!
//! `THINCUT_UPDATE=1 cargo test --test repository python` writes it anew.

use crate::fresh::{compare, mended, read};
use crate::program::{output, thincut};

/// Largest difference, degrees and chances: machines' mathematical functions differ in last digits, and the
/// Python tests allow 1e-9.
const SAME: f64 = 1e-10;

/// Columns of `tests/data/python/windows.csv`, and where `batch` has them; the empty one is the roll.
const COLUMNS: [(&str, &str); 15] = [
    ("pocket", "kind"),
    ("cut_deg", "cut"),
    ("apart_m", "cue-to-object"),
    ("to_pocket_m", "to-pocket"),
    ("approach_deg", "approach"),
    ("pace_m_s", "pace"),
    ("roll", "arrives"),
    ("throw_deg", "throw_deg"),
    ("clean_thick_deg", "clean_thick_deg"),
    ("clean_thin_deg", "clean_thin_deg"),
    ("direct_thick_deg", "direct_thick_deg"),
    ("direct_thin_deg", "direct_thin_deg"),
    ("drop_thick_deg", "drop_thick_deg"),
    ("drop_thin_deg", "drop_thin_deg"),
    ("club", "chance"),
];

/// A cell of `batch` as a bare number: lengths without their unit, the roll of a stroke as a share.
fn bare(name: &str, cell: &str) -> String {
    match (name, cell) {
        ("roll", "roll") => "1".to_owned(),
        ("roll", "stun") => "0".to_owned(),
        ("cut_deg" | "apart_m" | "to_pocket_m" | "approach_deg" | "pace_m_s", _) => {
            let unit = |c: char| c.is_ascii_alphabetic() || c == '/';
            cell.trim_start_matches('\'')
                .trim_end_matches(unit)
                .to_owned()
        }
        _ => cell.to_owned(),
    }
}

fn windows(folder: &str) -> String {
    let home = tempfile::tempdir().expect("a folder");
    let shots = format!("{folder}/shots.csv");
    let mut batch = thincut(home.path());
    batch.args(["batch", shots.as_str(), "--level", "club"]);
    let (answered, _) = output(&mut batch, 0);
    let mut rows = csv::Reader::from_reader(answered.as_bytes());
    let header = rows.headers().expect("a header").clone();
    let at = |name: &str| header.iter().position(|h| h == name).expect(name);
    let mut out = COLUMNS.map(|(ours, _)| ours).join(",") + "\n";
    for row in rows.records() {
        let row = row.expect("a row");
        assert_eq!(&row[at("status")], "ok", "{row:?}");
        let cells = COLUMNS.map(|(ours, theirs)| bare(ours, &row[at(theirs)]));
        out += &(cells.join(",") + "\n");
    }
    out
}

#[test]
fn windows_for_python_are_fresh() {
    let folder = format!("{}/tests/data/python", env!("CARGO_MANIFEST_DIR"));
    let path = format!("{folder}/windows.csv");
    let now = windows(&folder);
    assert!(now.lines().count() > 24, "{now}");
    let held = read(&path).and_then(|kept| compare(&kept, &now, SAME));
    mended(held, &path, &[(path.as_str(), now.as_bytes())]);
}
