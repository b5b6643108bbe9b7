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

/// What is said of each row, and how.
#[derive(Debug)]
pub(super) struct Answers {
    format: BatchFormat,
    header: Header,
    columns: Columns,
    /// Some columns were picked, so that JSON has these instead of the whole answer.
    picked: bool,
}

/// Rows that follow each other, answered.
#[derive(Debug, Default)]
pub(super) struct Part {
    /// As they are written.
    form: Form,
    pub(super) rows: u64,
    pub(super) failed: u64,
    /// The first that failed, counted from 1 in this part, and what is wrong with it.
    pub(super) first_failed: Option<(u64, String)>,
}

#[derive(Debug)]
enum Form {
    Text(Vec<u8>),
    #[cfg(feature = "parquet")]
    Columns(Vec<super::parquet::Column>),
}

impl Default for Form {
    fn default() -> Self {
        Self::Text(Vec::new())
    }
}

impl Answers {
    /// Of these columns of the answer, or all.
    pub(super) fn new(format: BatchFormat, header: &Header, picked: Option<Columns>) -> Self {
        Self {
            format,
            header: header.clone(),
            picked: picked.is_some(),
            columns: picked.unwrap_or_else(ShotAnswer::columns),
        }
    }

    /// The names of all columns: those that came in, `status`, the answer's.
    pub(super) fn names(&self) -> impl Iterator<Item = String> {
        let inputs = self.header.names().iter().cloned();
        inputs.chain(answer_names(&self.header, &self.columns))
    }

    /// Writes down what became of some rows.
    pub(super) fn part(
        &self,
        outcomes: &mut dyn Iterator<Item = Outcome<'_>>,
    ) -> Result<Part, Fault> {
        let mut part = Part::default();
        let counted = outcomes.inspect(|outcome| {
            part.rows += 1;
            if let Err(message) = &outcome.answer {
                part.failed += 1;
                part.first_failed
                    .get_or_insert_with(|| (part.rows, message.clone()));
            }
        });
        part.form = match self.format {
            BatchFormat::Csv => Form::Text(self.csv(counted)?),
            BatchFormat::Jsonl => Form::Text(self.json(counted)?),
            #[cfg(feature = "parquet")]
            BatchFormat::Parquet => Form::Columns(self.columns_of(counted)),
            #[cfg(not(feature = "parquet"))]
            BatchFormat::Parquet => return Err(not_built()),
        };
        Ok(part)
    }

    fn csv<'o>(&self, outcomes: impl Iterator<Item = Outcome<'o>>) -> Result<Vec<u8>, Fault> {
        let mut writer = csv_writer(Vec::new());
        for outcome in outcomes {
            // A row of another width keeps the status below its own name.
            let cells = outcome.row.cells().chain(std::iter::repeat(""));
            for cell in cells.take(self.header.names().len()) {
                writer.write_field(guarded(cell).as_bytes())?;
            }
            writer.write_field(outcome.status().as_bytes())?;
            let mut written = Ok(());
            let mut write = |cell: Cell<'_>| {
                if written.is_ok() {
                    written = cell.with_csv(|text| writer.write_field(text));
                }
            };
            match &outcome.answer {
                Ok(answer) => self.columns.cells(answer, write),
                Err(_) => self.columns.names().for_each(|_| write(Cell::Absent)),
            }
            written?;
            writer.write_record(None::<&[u8]>)?;
        }
        writer
            .into_inner()
            .map_err(|e| Fault::running(e.to_string()))
    }

    fn json<'o>(&self, outcomes: impl Iterator<Item = Outcome<'o>>) -> Result<Vec<u8>, Fault> {
        let mut out = Vec::new();
        for outcome in outcomes {
            let names = self.header.names().iter();
            let asked: Map<String, Value> = names
                .zip(outcome.row.cells())
                .map(|(name, cell)| (name.clone(), cell.into()))
                .collect();
            let answer = match &outcome.answer {
                Ok(answer) if self.picked => {
                    let mut object = Map::new();
                    self.columns.named_cells(answer, |name, cell| {
                        object.insert(name.to_owned(), json_cell(cell));
                    });
                    Value::Object(object)
                }
                Ok(answer) => serde_json::to_value(answer)?,
                Err(_) => Value::Null,
            };
            let mut object = Map::new();
            object.insert("asked".to_owned(), Value::Object(asked));
            object.insert("status".to_owned(), outcome.status().into());
            object.insert("answer".to_owned(), answer);
            serde_json::to_writer(&mut out, &object)?;
            out.push(b'\n');
        }
        Ok(out)
    }

    #[cfg(feature = "parquet")]
    fn columns_of<'o>(
        &self,
        outcomes: impl Iterator<Item = Outcome<'o>>,
    ) -> Vec<super::parquet::Column> {
        let mut columns = self.empty_columns();
        let inputs = self.header.names().len();
        for outcome in outcomes {
            super::parquet::push(&mut columns, inputs, &outcome, &self.columns);
        }
        columns
    }

    /// Columns of Parquet with nothing in them.
    #[cfg(feature = "parquet")]
    pub(super) fn empty_columns(&self) -> Vec<super::parquet::Column> {
        let inputs = self.header.names().len();
        std::iter::repeat_n(false, inputs + 1)
            .chain(self.columns.are_numbers())
            .map(super::parquet::Column::new)
            .collect()
    }
}

fn csv_writer<W: Write>(out: W) -> csv::Writer<W> {
    csv::WriterBuilder::new().flexible(true).from_writer(out)
}

fn json_cell(cell: Cell<'_>) -> Value {
    match cell {
        Cell::Number(number) => number.into(),
        Cell::Text(text) => text.into(),
        Cell::Absent => Value::Null,
    }
}

/// Writes parts in their order.
pub(super) enum Writer<'a> {
    Text(&'a mut dyn Write),
    #[cfg(feature = "parquet")]
    Parquet(Box<Parquet<'a>>),
}

impl<'a> Writer<'a> {
    pub(super) fn new(answers: &Answers, out: &'a mut dyn Write) -> Result<Self, Fault> {
        match answers.format {
            #[cfg(feature = "parquet")]
            BatchFormat::Parquet => Ok(Self::Parquet(Box::new(Parquet::new(answers, out)?))),
            #[cfg(not(feature = "parquet"))]
            BatchFormat::Parquet => Err(not_built()),
            BatchFormat::Jsonl => Ok(Self::Text(out)),
            BatchFormat::Csv => {
                let mut header = csv_writer(&mut *out);
                for name in answers.names() {
                    header.write_field(guarded(&name).as_bytes())?;
                }
                header.write_record(None::<&[u8]>)?;
                header.flush()?;
                drop(header);
                Ok(Self::Text(out))
            }
        }
    }

    pub(super) fn write(&mut self, part: Part) -> Result<(), Fault> {
        match (self, part.form) {
            (Self::Text(out), Form::Text(text)) => Ok(out.write_all(&text)?),
            #[cfg(feature = "parquet")]
            (Self::Parquet(writer), Form::Columns(columns)) => writer.write(columns, part.rows),
            #[cfg(feature = "parquet")]
            _ => Ok(()),
        }
    }

    /// What is there so far goes out; Parquet waits for a whole group of rows.
    pub(super) fn flush(&mut self) -> Result<(), Fault> {
        match self {
            Self::Text(out) => Ok(out.flush()?),
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
            Self::Text(_) => Ok(()),
        }
    }
}
