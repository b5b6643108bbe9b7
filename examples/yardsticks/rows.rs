//! The tables of published numbers, and how a row is said.

use std::error::Error;
use std::fmt::Write as _;
use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use crate::solved::{SUBJECTS, Solver};

/// A published number beside the model's.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
pub(crate) struct Row {
    /// What it is called.
    pub(crate) name: String,
    /// Who prints it.
    pub(crate) source: String,
    /// Page, section or address.
    #[serde(rename = "where")]
    pub(crate) place: String,
    /// `seen` in the text of the source, or `memory`.
    pub(crate) read: String,
    /// As printed.
    pub(crate) printed: String,
    /// What the printed digits cover, from here; open where empty.
    pub(crate) from: Option<f64>,
    /// To here.
    pub(crate) to: Option<f64>,
    pub(crate) unit: String,
    /// How it is set up in the model.
    pub(crate) setup: String,
    /// What the model gives.
    pub(crate) model: String,
    /// How far outside what the digits cover.
    pub(crate) off_by: String,
    /// Why, where it is off.
    pub(crate) why: String,
}

/// Digits that the model's numbers are kept to.
const DIGITS: usize = 4;

/// To four digits, without an exponent; with as many as the print has where that is more.
pub(crate) fn rounded(value: f64, digits: usize) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let scientific = format!("{value:.*e}", digits - 1);
    let exponent: i32 = scientific
        .split_once('e')
        .and_then(|(_, e)| e.parse().ok())
        .unwrap_or(0);
    let after = (i32::try_from(digits).unwrap_or(4) - 1 - exponent).max(0);
    format!("{value:.*}", usize::try_from(after).unwrap_or(0))
}

impl Row {
    /// Digits of the last of `from` and `to`: as many are kept of the model.
    fn digits(&self) -> usize {
        let count = |x: Option<f64>| {
            x.map_or(0, |x| {
                let text = format!("{x}");
                text.trim_start_matches(['-', '0', '.'])
                    .chars()
                    .filter(char::is_ascii_digit)
                    .count()
            })
        };
        count(self.from).max(count(self.to)).max(DIGITS)
    }

    /// How far outside what the digits cover, 0 within.
    fn off(&self, model: f64) -> f64 {
        match (self.from, self.to) {
            (Some(from), _) if model < from => model - from,
            (_, Some(to)) if model > to => model - to,
            _ => 0.0,
        }
    }

    /// The same row with what the model gives now.
    pub(crate) fn solved(&self, solver: fn() -> f64) -> Self {
        let model = solver();
        Self {
            model: rounded(model, self.digits()),
            off_by: rounded(self.off(model), 2),
            ..self.clone()
        }
    }

    /// Whether the model gives what is printed.
    pub(crate) fn holds(&self) -> bool {
        self.off_by == "0"
    }
}

/// The file of a subject.
pub(crate) fn file(subject: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/published")
        .join(format!("{subject}.csv"))
}

/// The rows of a subject as they stand in its file.
pub(crate) fn rows(subject: &str) -> Result<Vec<Row>, Box<dyn Error>> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(file(subject))?;
    Ok(reader.deserialize().collect::<Result<_, _>>()?)
}

/// The rows of a subject, solved anew.
pub(crate) fn solved(subject: &str, solvers: &[Solver]) -> Result<Vec<Row>, Box<dyn Error>> {
    let rows = rows(subject)?;
    let names: Vec<&str> = rows.iter().map(|row| row.name.as_str()).collect();
    let known: Vec<&str> = solvers.iter().map(|(name, _)| *name).collect();
    if names != known {
        return Err(format!("{subject}.csv has {names:?}, solved are {known:?}").into());
    }
    Ok(rows
        .iter()
        .zip(solvers)
        .map(|(row, (_, solver))| row.solved(*solver))
        .collect())
}

/// The whole table as Markdown: source says, we say, off by.
pub(crate) fn table() -> Result<String, Box<dyn Error>> {
    let (mut text, mut all, mut hold) = (String::new(), 0, 0);
    text += "| what | source says | we say | off by | set up, and why it is off |\n|---|---|---|---|---|\n";
    for (subject, solvers) in SUBJECTS {
        for row in solved(subject, solvers)? {
            all += 1;
            hold += usize::from(row.holds());
            let off = if row.holds() { "" } else { &row.off_by };
            let why = if row.holds() {
                String::new()
            } else {
                format!(". *{}*", row.why)
            };
            let unit = if row.unit == "-" { "" } else { &row.unit };
            writeln!(
                text,
                "| {} | {}: {} | {} {unit} | {off} | {}{why} |",
                row.name, row.source, row.printed, row.model, row.setup
            )?;
        }
    }
    Ok(format!(
        "{hold} of {all} lie within what the printed digits cover.\n\n{text}"
    ))
}

/// The rows that README shows, by subject and name.
const SHORT: [(&str, &str); 12] = [
    ("window", "eastaway-long"),
    ("window", "grip-hand-2x2"),
    ("window", "nineteen-aims"),
    ("pocket", "slow-corner-over-side-45-off"),
    ("contact", "throw-largest"),
    ("contact", "half-ball-cut-with-throw"),
    ("paths", "rolling-half-ball"),
    ("paths", "in-off-red-on-the-centre-spot"),
    ("paths", "roll-straight-distances"),
    ("paths", "firm-stroke-lengths"),
    ("stick", "squirt-largest-short-pivot"),
    ("statistics", "putting-spread"),
];

/// README's table.
pub(crate) fn short() -> Result<String, Box<dyn Error>> {
    let mut text = String::from("| source says | we say | off by |\n|---|---|---|\n");
    for (subject, solvers) in SUBJECTS {
        if !SHORT.iter().any(|(of, _)| *of == subject) {
            continue;
        }
        for row in solved(subject, solvers)? {
            if SHORT.contains(&(subject, row.name.as_str())) {
                let unit = if row.unit == "-" { "" } else { &row.unit };
                let off = if row.holds() { "" } else { &row.off_by };
                writeln!(
                    text,
                    "| {}: {} | {} {unit} | {off} |",
                    row.source, row.printed, row.model
                )?;
            }
        }
    }
    Ok(text)
}
