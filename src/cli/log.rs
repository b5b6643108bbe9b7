//! `thincut log`: the practice log.

mod check;
mod forget;
mod record;
mod redo;
mod restore;
mod salvage;
mod students;
mod transfer;
mod undo;

use std::io::Write;
use std::path::PathBuf;

use clap::{Args, Subcommand};
use jiff::Zoned;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use thincut::log::demo::DemoError;
use thincut::log::{Log, LogError, When, WhenError};

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::log_words;
use check::CheckArgs;
use forget::ForgetArgs;
use record::{AddArgs, EnterArgs};
use redo::RedoArgs;
use restore::RestoreArgs;
use salvage::SalvageArgs;
use students::StudentsArgs;
use transfer::{ExportArgs, ImportArgs, ListArgs};
use undo::UndoArgs;

/// Keep a practice log: who tried which shot, and how often it went
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut log students set K --hand left\n  \
    thincut log add \"K 6/10 thin 3\" --cut half-ball --cue-to-object 4ft --to-pocket 3ft\n  \
    thincut log list --student K --since 2025-11-01\n  \
    thincut log undo\n\n\
    A tally is made/tries, then misses by side if noted: full, thin, short, scratch, unseen.\n\
    `k 4/10`, `L4/10`, `overcut 3` are read too: you see first how, and say yes.\n\
    Labels only: the log keeps no names.")]
pub(crate) struct LogCommand {
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG", global = true)]
    log: Option<PathBuf>,
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    Add(Box<AddArgs>),
    List(ListArgs),
    Import(ImportArgs),
    Export(ExportArgs),
    Undo(UndoArgs),
    Redo(RedoArgs),
    Students(StudentsArgs),
    Forget(ForgetArgs),
    Enter(EnterArgs),
    Demo(DemoArgs),
    Check(CheckArgs),
    Restore(RestoreArgs),
    Salvage(SalvageArgs),
}

/// Fill an empty log with an invented evening class to learn with
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log --log demo.sqlite demo\n\n\
        The Tuesday beginners' evening at Millpond Hall, students K to S: place, students and tries\n\
        are invented. Nothing is mixed into a log that holds anybody.")]
struct DemoArgs {
    /// Start of the random numbers: the same number gives the same tries
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
}

/// The time here, with its offset.
pub(crate) fn here_and_now() -> Result<When, WhenError> {
    Zoned::now()
        .strftime("%Y-%m-%dT%H:%M:%S%:z")
        .to_string()
        .parse()
}

/// Refuses a day that nobody can have played on yet; tomorrow may be today elsewhere.
///
/// # Errors
/// [`Fault::Input`] naming the option.
pub(crate) fn not_to_come(option: &str, when: &When) -> Result<(), Fault> {
    let today = Zoned::now().date();
    let last = today.tomorrow().unwrap_or(today);
    if when.day() <= last.to_string().as_str() {
        return Ok(());
    }
    Err(Fault::input(format!(
        "{option} {when}: that day is still to come; today is {today}"
    )))
}

/// Says what was done. What is on the disk stays there whether or not anybody hears of it, so a
/// failure to say it tells that it is there: nobody should enter it again.
///
/// # Errors
/// [`Fault::Running`], or a reader that went away.
fn tell(out: &mut dyn Write, done: &str, text: &str) -> Result<(), Fault> {
    let told = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    told.map_err(|e| match e.into() {
        Fault::Running(problem) => Fault::Running(format!(
            "{done}, but saying so failed: {problem}; do not enter it again"
        )),
        other => other,
    })
}

fn now() -> Result<When, Fault> {
    here_and_now().map_err(Fault::running)
}

impl LogCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        match &self.what {
            What::Add(args) => args.run(&mut self.open()?, defaults, out),
            What::List(args) => args.run(&self.open_reading()?, out),
            What::Import(args) => args.run(&mut self.open()?, out),
            What::Export(args) => args.run(&self.open_reading()?, out),
            What::Undo(args) => args.run(&mut self.open_existing()?, out),
            What::Redo(args) => args.run(&mut self.open_existing()?, out),
            What::Students(args) => args.run(self, out),
            What::Forget(args) => args.run(self, out),
            What::Demo(args) => args.run(&mut self.open()?, out),
            What::Enter(args) => args.run(&mut self.open_existing()?, out),
            What::Check(args) => args.run(&self.open_reading()?, out),
            What::Restore(args) => args.run(&self.path()?, out),
            What::Salvage(args) => args.run(&self.path()?, out),
        }
    }

    fn path(&self) -> Result<PathBuf, LogError> {
        self.log.clone().map_or_else(Log::default_path, Ok)
    }

    /// A log to write to, made when missing.
    fn open(&self) -> Result<Log, Fault> {
        backed_up(
            self.log
                .as_deref()
                .map_or_else(Log::open_default, Log::open)?,
        )
    }

    /// A log to write to that is there.
    fn open_existing(&self) -> Result<Log, Fault> {
        backed_up(Log::open_existing(&self.path()?)?)
    }

    fn open_reading(&self) -> Result<Log, LogError> {
        Log::open_reading(&self.path()?)
    }
}

/// The log with its backup of the day. Without room for one a tally is still recorded.
fn backed_up(log: Log) -> Result<Log, Fault> {
    match log.back_up_daily(&now()?) {
        Err(e @ LogError::Backup { .. }) => {
            writeln!(std::io::stderr(), "warning: no backup was made today: {e}")?;
        }
        other => {
            other?;
        }
    }
    Ok(log)
}

impl DemoArgs {
    fn run(&self, log: &mut Log, out: &mut dyn Write) -> Result<(), Fault> {
        let mut rng = Pcg64::seed_from_u64(self.seed);
        let done = log.write_demo(&now()?, &mut rng).map_err(|e| match e {
            DemoError::Log(e) => e.into(),
            other => Fault::running(other),
        })?;
        Ok(out.write_all(log_words::demo(&done).as_bytes())?)
    }
}
