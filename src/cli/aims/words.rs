//! Lines shared by the texts of `thincut aims`.

use std::io::Write;
use std::path::PathBuf;

use thincut::aims::{ReachRow, Way};
use thincut::speech::Speech;
use thincut::units::{Length, speak};

use crate::fault::Fault;

pub(super) fn apart(row: &ReachRow, units: Speech) -> String {
    let far = |mm: f64| speak::distance(Length::from_mm(mm), units);
    format!(
        "{} between the balls, {} to the pocket",
        far(row.apart_mm),
        far(row.to_pocket_mm)
    )
}

pub(super) fn assumed(ways: &[Box<dyn Way>], out: &mut dyn Write) -> Result<(), Fault> {
    let mut told: Vec<String> = Vec::new();
    for text in ways.iter().flat_map(|w| w.assumes()) {
        if !told.contains(&text) {
            told.push(text);
        }
    }
    if !told.is_empty() {
        writeln!(out, "\nAssumed unless given: {}.", told.join("; "))?;
    }
    Ok(())
}

pub(super) fn paths(paths: &[PathBuf], out: &mut dyn Write) -> Result<(), Fault> {
    for path in paths {
        writeln!(out, "{}", path.display())?;
    }
    Ok(())
}
