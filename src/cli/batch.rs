//! `thincut batch`: a table of shots in, a table of answers out.

#[cfg(feature = "parquet")]
mod parquet;
mod read;
mod write;

use std::fmt::Display;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use csv::StringRecord;
use indicatif::{HumanCount, ProgressBar};
use thincut::answer::ShotAnswer;
use thincut::batch::{Block, Header, Players, Solver};
use thincut::files::{ReadError, Rows, open};
use thincut::units::Side;

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::format::FormatArgs;
use crate::input;
use crate::output::progress;
use crate::student::WhoArgs;
use crate::table::GearArgs;
use read::{Ahead, cells, next_row};
use write::{Answers, BatchFormat, Part, Writer};

/// Solve a table of shots: one row out per row in, in order.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    printf 'id,cut,apart,to-pocket\\n1,30deg,4ft,3ft\\n2,half-ball,2ft,3ft\\n' | thincut batch\n  \
    thincut batch shots.csv --level club --format jsonl > answers.jsonl\n  \
    thincut batch shots.csv --student K > answers.csv\n\n\
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
    /// Of the answer only these columns, in this order, such as aim_deg,drop_total_deg,chance; the
    /// table's own and status stay
    #[arg(long, value_name = "NAMES", value_delimiter = ',')]
    columns: Vec<String>,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    gear: GearArgs,
}

impl BatchCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        self.format.asked.is_there()?;
        let all = ShotAnswer::columns();
        let answers = match self.columns.as_slice() {
            [] => None,
            names => Some(
                all.picked(names.iter().map(String::as_str))
                    .map_err(|e| Fault::input(format!("--columns: {e}")))?,
            ),
        };
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
        let mut names = StringRecord::new();
        next_row(&mut rows, &mut names).map_err(|e| wrong(&e))?;
        let header = Header::new(cells(&names).map(str::to_owned).collect())
            .map_err(|e| wrong(&e))?
            .with_decimal_commas(rows.has_decimal_commas());
        let answers = Answers::new(self.format.asked, &header, answers);
        let mut writer = Writer::new(&answers, out)?;
        let folder = self.path().map(input::folder).unwrap_or_default();
        let mut solver = Solver::beside(folder, header, gear, players);
        let mut tally = Tally::default();
        let (rows, mut block) = (Ahead::of(rows), Block::default());
        while rows.take(&mut block).map_err(|e| wrong(&e))? {
            for part in solver.solve(&block, |outcomes| answers.part(outcomes)) {
                let part = part?;
                tally.count(&part);
                writer.write(part)?;
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

/// Counts failed rows.
#[derive(Debug, Default)]
struct Tally {
    rows: u64,
    failed: u64,
    first: Option<(u64, String)>,
}

impl Tally {
    fn count(&mut self, part: &Part) {
        if let (Some((row, message)), None) = (&part.first_failed, &self.first) {
            self.first = Some((self.rows + row, message.clone()));
        }
        self.rows += part.rows;
        self.failed += part.failed;
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
