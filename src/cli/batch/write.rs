//! Answers to a table of shots, written row for row.

use std::io::Write;

use clap::ValueEnum;
use serde_json::{Map, Value};
use thincut::answer::columns;
use thincut::batch::{Header, Outcome};
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
pub(super) fn answer_names(header: &Header) -> impl Iterator<Item = String> {
    ["status"]
        .into_iter()
        .chain(columns().map(|(name, _)| name))
        .map(|name| {
            let mut name = name.to_owned();
            while header.names().contains(&name) {
                name.insert_str(0, "answer_");
            }
            name
        })
}

/// Writes answers in a format.
pub(super) enum Writer<'a> {
    /// With how many columns came in.
    Csv(Box<csv::Writer<&'a mut dyn Write>>, usize),
    Jsonl(&'a mut dyn Write, Header),
    #[cfg(feature = "parquet")]
    Parquet(Box<Parquet<'a>>),
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
                let names = header.names().iter().cloned().chain(answer_names(header));
                for name in names {
                    writer.write_field(guarded(&name).as_bytes())?;
                }
                writer.write_record(None::<&[u8]>)?;
                Ok(Self::Csv(Box::new(writer), header.names().len()))
            }
        }
    }

    pub(super) fn write(&mut self, outcome: &Outcome) -> Result<(), Fault> {
        match self {
            Self::Csv(writer, columns) => csv_row(writer, *columns, outcome),
            Self::Jsonl(out, header) => json_line(*out, header, outcome),
            #[cfg(feature = "parquet")]
            Self::Parquet(writer) => writer.write(outcome),
        }
    }

    /// What is there so far goes out; Parquet waits for a whole group of rows.
    pub(super) fn flush(&mut self) -> Result<(), Fault> {
        match self {
            Self::Csv(writer, _) => Ok(writer.flush()?),
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

fn csv_row(
    writer: &mut csv::Writer<&mut dyn Write>,
    names: usize,
    outcome: &Outcome,
) -> Result<(), Fault> {
    // A row of another width keeps the status below its own name.
    let none = String::new();
    let cells = outcome.cells.iter().chain(std::iter::repeat(&none));
    for cell in cells.take(names) {
        writer.write_field(guarded(cell).as_bytes())?;
    }
    writer.write_field(outcome.status())?;
    for (_, read) in columns() {
        let cell = outcome
            .answer
            .as_ref()
            .map_or_else(|_| String::new(), |a| read(a).csv());
        writer.write_field(cell)?;
    }
    Ok(writer.write_record(None::<&[u8]>)?)
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
