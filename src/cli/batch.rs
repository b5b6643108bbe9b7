//! `thincut batch`: a table of shots in, a table of answers out.

#[cfg(feature = "parquet")]
mod parquet;
mod write;

use std::fmt::Display;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, sync_channel};
use std::thread;
use std::time::Duration;

use clap::Args;
use csv::{ByteRecord, Position, StringRecord};
use indicatif::{HumanCount, ProgressBar};
use thincut::batch::{Header, Outcome, Players, Solver};
use thincut::files::{ReadError, Rows, open, unguarded};
use thincut::units::Side;

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::format::FormatArgs;
use crate::input;
use crate::output::progress;
use crate::student::WhoArgs;
use crate::table::GearArgs;
use write::{BatchFormat, Writer};

/// Solve a table of shots: one row out per row in, in order.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    printf 'id,cut,apart,to-pocket\\n1,30deg,4ft,3ft\\n2,half-ball,2ft,3ft\\n' | thincut batch\n  \
    thincut batch shots.csv --level club --format jsonl > answers.jsonl\n  \
    thincut batch shots.csv --student A > answers.csv\n\n\
    Columns are named like the options of `thincut shot` (cue, object, pocket, or cut, apart,\n\
    to-pocket …), with units in the cells; gear, set, level, arm, picture may differ per row.\n\
    Other columns are carried through, one called student too. `status` says ok, a typed answer, or what is wrong with the\n\
    row; the other rows go on, and the exit code is 1 when any failed. Memory stays flat, rows are\n\
    answered as they come, so it works as a worker behind any program that pipes rows. Parquet is\n\
    written where the program was built with it.")]
pub(crate) struct BatchCommand {
    /// The table; - or nothing for standard input
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    #[command(flatten)]
    format: FormatArgs<BatchFormat>,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    gear: GearArgs,
}

/// Rows solved at once.
const ROWS_AT_ONCE: usize = 4096;
/// With rows waiting this long is waited for more before they are answered.
const PATIENCE: Duration = Duration::from_millis(2);

impl BatchCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        self.format.asked.is_there()?;
        let gear = self.gear.load(defaults)?.gear;
        let players = Players {
            on_left_cuts: self.who.player(Side::Left)?,
            on_right_cuts: self.who.player(Side::Right)?,
        };
        let (input, size) = self.open()?;
        let bar = progress(
            size,
            "{bar:30} {bytes}/{total_bytes} ({msg}, {bytes_per_sec}, {eta} left)",
        );
        let wrong = |e: &dyn Display| Fault::input(format!("{}: {e}", self.source()));
        let mut rows = Rows::new(bar.wrap_read(input), true).map_err(|e| wrong(&e))?;
        let names = next_row(&mut rows).map_err(|e| wrong(&e))?;
        let header = Header::new(names.unwrap_or_default())
            .map_err(|e| wrong(&e))?
            .with_decimal_commas(rows.has_decimal_commas());
        let mut writer = Writer::new(self.format.asked, &header, out)?;
        let folder = self.path().map(input::folder).unwrap_or_default();
        let mut solver = Solver::beside(folder, header, gear, players);
        let mut tally = Tally::default();
        let rows = read_ahead(rows);
        while let Some(batch) = next_batch(&rows) {
            let batch = batch
                .into_iter()
                .collect::<Result<Vec<_>, String>>()
                .map_err(|e| wrong(&e))?;
            for outcome in solver.solve(batch) {
                tally.count(&outcome);
                writer.write(&outcome)?;
            }
            writer.flush()?;
            tally.show(&bar);
        }
        writer.finish()?;
        bar.finish_and_clear();
        tally.verdict()
    }

    /// The file, unless rows come from standard input.
    fn path(&self) -> Option<&Path> {
        self.file.as_deref().filter(|path| path.as_os_str() != "-")
    }

    /// Where rows come from, in words.
    fn source(&self) -> String {
        self.path()
            .map_or_else(|| "standard input".to_owned(), |p| p.display().to_string())
    }

    fn open(&self) -> Result<(Box<dyn Read + Send>, Option<u64>), Fault> {
        let Some(path) = self.path() else {
            return Ok((Box::new(std::io::stdin()), None));
        };
        let wrong = |why: ReadError| {
            Fault::input(format!(
                "{}: {why}; give a CSV file, or - for standard input",
                path.display()
            ))
        };
        let file = open(path).map_err(wrong)?;
        let size = file.metadata().map_err(|e| wrong(e.into()))?.len();
        Ok((Box::new(file), Some(size)))
    }
}

type Row = Result<Vec<String>, String>;

/// The next row's cells, without what guards them in a spreadsheet.
fn next_row<R: Read>(rows: &mut Rows<R>) -> Result<Option<Vec<String>>, String> {
    let mut row = ByteRecord::new();
    let fault = |line, problem| format!("line {line}: {problem}");
    if !rows.read(&mut row).map_err(|e| fault(e.line, e.problem))? {
        return Ok(None);
    }
    let line = row.position().map_or(1, Position::line);
    let row = StringRecord::from_byte_record(row)
        .map_err(|_| fault(line, ReadError::NotText.to_string()))?;
    Ok(Some(row.iter().map(|c| unguarded(c).to_owned()).collect()))
}

/// Reads rows on a thread of its own, so that rows can be answered while others are awaited.
fn read_ahead<R: Read + Send + 'static>(mut rows: Rows<R>) -> Receiver<Row> {
    let (send, receive) = sync_channel(2 * ROWS_AT_ONCE);
    thread::spawn(move || {
        while let Some(row) = next_row(&mut rows).transpose() {
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

    /// Rows answered so far and each second, beside the bar.
    fn show(&self, bar: &ProgressBar) {
        let seconds = bar.elapsed().as_secs();
        let rate = self.rows / seconds.max(1);
        bar.set_message(format!(
            "{} rows, {}/s",
            HumanCount(self.rows),
            HumanCount(rate)
        ));
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
