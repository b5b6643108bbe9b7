//! Answers to a table of shots, written row for row.

use std::io::Write;

use clap::ValueEnum;
use serde_json::{Map, Value};
use thincut::answer::ShotAnswer;
use thincut::batch::{Header, Outcome};
use thincut::columns::{Cell, Columns};
use thincut::files::guarded;

#[cfg(feature = "parquet")]
use super::parquet::Parquet;
use crate::fault::Fault;

/// How answers are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(super) enum BatchFormat {
    /// The input columns, status, then the answer's columns
    #[default]
    Csv,
    /// One object a line
    Jsonl,
    /// The columns of CSV, typed, in row groups
    Parquet,
}

impl BatchFormat {
    /// Whether this program can write it, here.
    pub(super) fn is_there(self) -> Result<(), Fault> {
        if self != Self::Parquet {
            return Ok(());
        }
        if cfg!(not(feature = "parquet")) {
            return Err(not_built());
        }
        if std::io::IsTerminal::is_terminal(&std::io::stdout()) {
            return Err(Fault::input(
                "--format parquet: Parquet is no text for a terminal; send it to a file with > answers.parquet",
            ));
        }
        Ok(())
    }
}

fn not_built() -> Fault {
    Fault::input(
        "--format parquet: this program was built without it; `cargo install --path . --features parquet` builds one with it, or use csv or jsonl",
    )
}

/// The names of `status` and of an answer's columns; one that an input column bears already gets
/// `answer_` before it.
pub(super) fn answer_names(header: &Header, answers: &Columns) -> impl Iterator<Item = String> {
    ["status"].into_iter().chain(answers.names()).map(|name| {
        let mut name = name.to_owned();
        while header.names().contains(&name) {
            name.insert_str(0, "answer_");
        }
        name
    })
}

/// Writes answers in a format.
pub(super) enum Writer<'a> {
    Csv(Box<Csv<'a>>),
    Jsonl(&'a mut dyn Write, Header),
    #[cfg(feature = "parquet")]
    Parquet(Box<Parquet<'a>>),
}

/// Rows of CSV.
pub(super) struct Csv<'a> {
    writer: csv::Writer<&'a mut dyn Write>,
    /// How many columns came in.
    inputs: usize,
    answers: Columns,
}

impl<'a> Writer<'a> {
    pub(super) fn new(
        format: BatchFormat,
        header: &Header,
        out: &'a mut dyn Write,
    ) -> Result<Self, Fault> {
        match format {
            #[cfg(feature = "parquet")]
            BatchFormat::Parquet => Ok(Self::Parquet(Box::new(Parquet::new(header, out)?))),
            #[cfg(not(feature = "parquet"))]
            BatchFormat::Parquet => Err(not_built()),
            BatchFormat::Jsonl => Ok(Self::Jsonl(out, header.clone())),
            BatchFormat::Csv => {
                let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(out);
                let answers = ShotAnswer::columns();
                let inputs = header.names().iter().cloned();
                for name in inputs.chain(answer_names(header, &answers)) {
                    writer.write_field(guarded(&name).as_bytes())?;
                }
                writer.write_record(None::<&[u8]>)?;
                Ok(Self::Csv(Box::new(Csv {
                    writer,
                    inputs: header.names().len(),
                    answers,
                })))
            }
        }
    }

    pub(super) fn write(&mut self, outcome: &Outcome) -> Result<(), Fault> {
        match self {
            Self::Csv(csv) => csv.row(outcome),
            Self::Jsonl(out, header) => json_line(*out, header, outcome),
            #[cfg(feature = "parquet")]
            Self::Parquet(writer) => writer.write(outcome),
        }
    }

    /// What is there so far goes out; Parquet waits for a whole group of rows.
    pub(super) fn flush(&mut self) -> Result<(), Fault> {
        match self {
            Self::Csv(csv) => Ok(csv.writer.flush()?),
            Self::Jsonl(out, _) => Ok(out.flush()?),
            #[cfg(feature = "parquet")]
            Self::Parquet(_) => Ok(()),
        }
    }

    /// After the last row.
    pub(super) fn finish(mut self) -> Result<(), Fault> {
        self.flush()?;
        match self {
            #[cfg(feature = "parquet")]
            Self::Parquet(writer) => writer.finish(),
            _ => Ok(()),
        }
    }
}

impl Csv<'_> {
    fn row(&mut self, outcome: &Outcome) -> Result<(), Fault> {
        let writer = &mut self.writer;
        // A row of another width keeps the status below its own name.
        let none = String::new();
        let cells = outcome.cells.iter().chain(std::iter::repeat(&none));
        for cell in cells.take(self.inputs) {
            writer.write_field(guarded(cell).as_bytes())?;
        }
        writer.write_field(outcome.status())?;
        let mut written = Ok(());
        let mut write = |cell: Cell<'_>| {
            if written.is_ok() {
                written = writer.write_field(cell.csv());
            }
        };
        match &outcome.answer {
            Ok(answer) => self.answers.cells(answer, write),
            Err(_) => self.answers.names().for_each(|_| write(Cell::Absent)),
        }
        written?;
        Ok(writer.write_record(None::<&[u8]>)?)
    }
}

fn json_line(out: &mut dyn Write, header: &Header, outcome: &Outcome) -> Result<(), Fault> {
    let mut object = Map::new();
    let asked: Map<String, Value> = header
        .names()
        .iter()
        .zip(&outcome.cells)
        .map(|(n, c)| (n.clone(), Value::String(c.clone())))
        .collect();
    object.insert("asked".to_owned(), Value::Object(asked));
    object.insert("status".to_owned(), Value::String(outcome.status()));
    let answer = outcome.answer.as_ref().ok();
    object.insert("answer".to_owned(), serde_json::to_value(answer)?);
    serde_json::to_writer(&mut *out, &object)?;
    Ok(writeln!(out)?)
}
