//! `thincut batch`: a table of shots in, a table of answers out.

use std::fs::File;
use std::io::{BufReader, Read, Write};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError, sync_channel};
use std::thread;
use std::time::Duration;

use clap::{Args, ValueEnum};
use serde_json::{Map, Value};
use thincut::answer::columns;
use thincut::batch::{Header, Outcome, Solver};
use thincut::player::PlayerRequest;

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::output::progress;

/// Solve a table of shots: one row out per row in, in order.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    printf 'id,cut,apart,to-pocket\\n1,30deg,4ft,3ft\\n2,half-ball,2ft,3ft\\n' | thincut batch\n  \
    thincut batch shots.csv --level club --format jsonl > answers.jsonl\n\n\
    Columns are named like the options of `thincut shot` (cue, object, pocket, or cut, apart,\n\
    to-pocket …), with units in the cells; gear, set, level, arm, picture may differ per row.\n\
    Other columns are carried through. `status` says ok, a typed answer, or what is wrong with the\n\
    row; the other rows go on, and the exit code is 1 when any failed. Memory stays flat, rows are\n\
    answered as they come, so it works as a worker behind any program that pipes rows.")]
pub(crate) struct BatchCommand {
    /// The table; - or nothing for standard input
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    /// csv or jsonl
    #[arg(long, value_enum, default_value_t, hide_possible_values = true)]
    format: BatchFormat,
    #[command(flatten)]
    player: PlayerRequest,
    #[command(flatten)]
    gear: GearArgs,
}

/// How answers are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
enum BatchFormat {
    /// The input columns, status, then the answer's columns
    #[default]
    Csv,
    /// One object a line
    Jsonl,
}

/// Rows solved at once.
const ROWS_AT_ONCE: usize = 4096;
/// With rows waiting this long is waited for more before they are answered.
const PATIENCE: Duration = Duration::from_millis(2);

impl BatchCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        self.player.player()?;
        let (input, size) = self.open()?;
        let bar = progress(
            size,
            "{bar:40} {bytes}/{total_bytes} ({bytes_per_sec}, {eta} left)",
        );
        let mut reader = csv::ReaderBuilder::new()
            .flexible(true)
            .comment(Some(b'#'))
            .from_reader(bar.wrap_read(input));
        let names = reader
            .headers()
            .map_err(Fault::input)?
            .iter()
            .map(str::to_owned)
            .collect();
        let header = Header::new(names).map_err(Fault::input)?;
        let mut writer = Writer::new(self.format, header.clone(), out)?;
        let mut solver = Solver::new(header, gear, self.player.clone());
        let rows = rows(reader);
        let mut tally = Tally::default();
        while let Some(batch) = next_batch(&rows) {
            let batch = batch
                .into_iter()
                .collect::<Result<Vec<_>, String>>()
                .map_err(Fault::input)?;
            for outcome in solver.solve(batch) {
                tally.count(&outcome);
                writer.write(&outcome)?;
            }
            writer.flush()?;
        }
        bar.finish_and_clear();
        tally.verdict()
    }

    fn open(&self) -> Result<(Box<dyn Read + Send>, Option<u64>), Fault> {
        match &self.file {
            Some(path) if path.as_os_str() != "-" => {
                let file = File::open(path).map_err(|e| {
                    Fault::input(format!(
                        "{}: {e}; give a CSV file, or - for standard input",
                        path.display()
                    ))
                })?;
                let size = file.metadata().ok().map(|m| m.len());
                Ok((Box::new(BufReader::new(file)), size))
            }
            _ => Ok((Box::new(std::io::stdin()), None)),
        }
    }
}

type Row = Result<Vec<String>, String>;

/// Reads rows on a thread of its own, so that rows can be answered while others are awaited.
fn rows<R: Read + Send + 'static>(mut reader: csv::Reader<R>) -> Receiver<Row> {
    let (send, receive) = sync_channel(2 * ROWS_AT_ONCE);
    thread::spawn(move || {
        for record in reader.records() {
            let row = record
                .map(|r| r.iter().map(str::to_owned).collect())
                .map_err(|e| format!("the table cannot be read: {e}"));
            let broken = row.is_err();
            if send.send(row).is_err() || broken {
                return;
            }
        }
    });
    receive
}

/// At least one row, and what else is there; `None` at the end.
fn next_batch(rows: &Receiver<Row>) -> Option<Vec<Row>> {
    let mut batch = vec![rows.recv().ok()?];
    while batch.len() < ROWS_AT_ONCE {
        match rows.recv_timeout(PATIENCE) {
            Ok(row) => batch.push(row),
            Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => break,
        }
    }
    Some(batch)
}

/// Counts failed rows.
#[derive(Debug, Default)]
struct Tally {
    rows: u64,
    failed: u64,
    first: Option<(u64, String)>,
}

impl Tally {
    fn count(&mut self, outcome: &Outcome) {
        self.rows += 1;
        if let Err(message) = &outcome.answer {
            self.failed += 1;
            self.first
                .get_or_insert_with(|| (self.rows, message.clone()));
        }
    }

    fn verdict(self) -> Result<(), Fault> {
        match self.first {
            None => Ok(()),
            Some((row, message)) => Err(Fault::running(format!(
                "{} of {} rows failed; the first is row {row}: {message}",
                self.failed, self.rows
            ))),
        }
    }
}

/// Writes answers in a format.
enum Writer<'a> {
    Csv(Box<csv::Writer<&'a mut dyn Write>>),
    Jsonl(&'a mut dyn Write, Header),
}

impl<'a> Writer<'a> {
    fn new(format: BatchFormat, header: Header, out: &'a mut dyn Write) -> Result<Self, Fault> {
        Ok(match format {
            BatchFormat::Jsonl => Self::Jsonl(out, header),
            BatchFormat::Csv => {
                let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(out);
                // An answer's column that an input column is called like gets a prefix.
                let taken = |n: &str| header.names().iter().any(|h| h == n);
                let answers = columns().map(|(name, _)| {
                    if taken(name) {
                        format!("answer_{name}")
                    } else {
                        name.to_owned()
                    }
                });
                let names = header.names().iter().cloned();
                writer.write_record(names.chain(["status".to_owned()]).chain(answers))?;
                Self::Csv(Box::new(writer))
            }
        })
    }

    fn write(&mut self, outcome: &Outcome) -> Result<(), Fault> {
        match self {
            Self::Csv(writer) => {
                for cell in &outcome.cells {
                    writer.write_field(cell)?;
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
            Self::Jsonl(out, header) => {
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
        }
    }

    fn flush(&mut self) -> Result<(), Fault> {
        match self {
            Self::Csv(writer) => Ok(writer.flush()?),
            Self::Jsonl(out, _) => Ok(out.flush()?),
        }
    }
}
