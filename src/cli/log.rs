//! `thincut log`: the practice log.

use std::io::{BufRead, IsTerminal, Read, Write};
use std::path::PathBuf;

use clap::{Args, Subcommand};
use jiff::Zoned;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use thincut::files::write_whole;
use thincut::gear::DEFAULT_PRESET;
use thincut::log::demo::DemoError;
use thincut::log::{
    Attempt, EntryKind, Filter, Hand, Log, LogError, NewEntry, Sheet, ShotEntered, Student,
    TallyRow, When, read_tally, solve_entered,
};
use thincut::request::{ShotRequest, quantity};
use thincut::units::Length;

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::log_words::{self, json_attempts, json_students};
use crate::output::{Format, json};

/// Keep a practice log: who tried which shot, and how often it went
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut log students set A --hand left\n  \
    thincut log add \"A 6/10 thin 3\" --cut half-ball --apart 4ft --to-pocket 3ft\n  \
    thincut log list --student A --since 2025-11-01\n  \
    thincut log undo\n\n\
    A tally is made/tries, then misses by side if noted: full, thin, short, scratch, unseen.\n\
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
    /// Take the last entry back, whole
    #[command(after_help = "Example:\n  thincut log undo")]
    Undo,
    Students(StudentsArgs),
    Enter(EnterArgs),
    Demo(DemoArgs),
}

/// When it was played.
#[derive(Debug, Args)]
struct Played {
    /// Day `2025-11-25` or time with its offset [default: now]
    #[arg(long, value_name = "DATE")]
    when: Option<When>,
    /// A name for the evening
    #[arg(long, value_name = "NAME")]
    session: Option<String>,
}

/// Record tries at one shot
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  thincut log add \"A 6/10 thin 3, B 4/10\" --cut half-ball --apart 4ft --to-pocket 3ft"
)]
struct AddArgs {
    /// Who made how many: `A 6/10`, with misses by side if noted: `A 6/10 thin 3 full 1`
    #[arg(value_name = "TALLY")]
    tally: String,
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten, next_help_heading = "The try")]
    played: Played,
    /// A remark
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
}

/// Which rows.
#[derive(Debug, Args)]
struct Which {
    /// Only this student's
    #[arg(long, value_name = "LABEL")]
    student: Option<String>,
    /// From this day on
    #[arg(long, value_name = "DATE")]
    since: Option<When>,
    /// Up to and with this day
    #[arg(long, value_name = "DATE")]
    until: Option<When>,
    /// Only this session
    #[arg(long, value_name = "NAME")]
    session: Option<String>,
}

impl Which {
    fn filter(&self) -> Filter {
        Filter {
            student: self.student.clone(),
            since: self.since.clone(),
            until: self.until.clone(),
            session: self.session.clone(),
            sheet: None,
        }
    }
}

/// List what was recorded
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log list --student A --last 10")]
struct ListArgs {
    #[command(flatten)]
    which: Which,
    /// Only the last so many rows
    #[arg(long, value_name = "N")]
    last: Option<usize>,
    /// text, json or csv (as export)
    #[arg(long, value_enum, default_value_t, hide_possible_values = true)]
    format: Format,
}

/// Take in a CSV file, all of it or nothing; rows already there are left alone
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log import tuesday.csv\n\n\
        Columns as in an export; needed are student, when, gear, tries, made and the shot.\n\
        Rows without windows are solved.")]
struct ImportArgs {
    /// The file, or - for standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

/// Write the log, or part of it, as CSV
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log export backup.csv")]
struct ExportArgs {
    /// The file [default: standard output]
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    #[command(flatten)]
    which: Which,
    /// Replace the file if it exists
    #[arg(long)]
    force: bool,
}

/// List the students, or add and change one
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  thincut log students\n  thincut log students set A --hand left --reach 700mm"
)]
struct StudentsArgs {
    #[command(subcommand)]
    what: Option<StudentsWhat>,
    /// text or json
    #[arg(long, value_enum, default_value_t, hide_possible_values = true)]
    format: Format,
}

#[derive(Debug, Subcommand)]
enum StudentsWhat {
    /// Add a student, or set hand and reach of one
    #[command(after_help = "Example:\n  thincut log students set A --hand left --reach 700mm")]
    Set {
        /// 1 to 12 letters, digits, - and _
        #[arg(value_name = "LABEL")]
        label: String,
        /// left or right
        #[arg(long, value_name = "HAND")]
        hand: Option<Hand>,
        /// How far over the table
        #[arg(long, value_name = "LENGTH")]
        reach: Option<String>,
    },
}

/// Record the tally of a ladder or marks sheet by its code
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
        thincut log enter CODE \"A 6/10, B 4/10 thin 3\"\n  \
        thincut log enter CODE \"3: A 6/10, B 4/10; 4: A 2/10\"\n  \
        thincut log enter CODE -      one tally a line, each recorded before the next is read\n\n\
        CODE is the one printed on the sheet; on a sheet of several rungs the rung comes first.")]
struct EnterArgs {
    /// The code printed on the sheet
    #[arg(value_name = "CODE")]
    code: String,
    /// The tally, or - to read tallies from standard input
    #[arg(value_name = "TALLY")]
    tally: String,
    #[command(flatten)]
    played: Played,
}

/// Fill an empty log with an invented evening class to learn with
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log --log demo.sqlite demo\n\n\
        The Tuesday beginners' evening at Millpond Hall, students A to H: place, students and tries\n\
        are invented. Nothing is mixed into a log that holds anybody.")]
struct DemoArgs {
    /// Start of the random numbers: the same number gives the same tries
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
}

/// The time here, with its offset.
fn now() -> Result<When, Fault> {
    let text = Zoned::now().strftime("%Y-%m-%dT%H:%M:%S%:z").to_string();
    text.parse().map_err(Fault::running)
}

impl Played {
    fn when(&self) -> Result<When, Fault> {
        self.when.clone().map_or_else(now, Ok)
    }
}

impl LogCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        match &self.what {
            What::Add(args) => args.run(&mut self.open()?, defaults, out),
            What::List(args) => args.run(&self.open_existing()?, out),
            What::Import(args) => args.run(&mut self.open()?, out),
            What::Export(args) => args.run(&self.open_existing()?, out),
            What::Undo => {
                let undone = self.open_existing()?.undo()?;
                Ok(out.write_all(log_words::undone(undone.as_ref()).as_bytes())?)
            }
            What::Students(args) => args.run(self, out),
            What::Demo(args) => args.run(&mut self.open()?, out),
            What::Enter(args) => args.run(&mut self.open_existing()?, out),
        }
    }

    fn open(&self) -> Result<Log, LogError> {
        self.log
            .as_deref()
            .map_or_else(Log::open_default, Log::open)
    }

    fn open_existing(&self) -> Result<Log, LogError> {
        match &self.log {
            Some(path) => Log::open_existing(path),
            None => Log::open_existing(&Log::default_path()?),
        }
    }
}

/// Reads a tally of the students in the log.
fn tally(log: &Log, line: &str) -> Result<Vec<TallyRow>, Fault> {
    let students = log.students()?;
    let labels: Vec<&str> = students.iter().map(|s| s.label.as_str()).collect();
    read_tally(line, &labels).map_err(Fault::input)
}

impl AddArgs {
    fn run(&self, log: &mut Log, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let rows = tally(log, &self.tally)?;
        if let Some(rung) = rows.iter().find_map(|r| r.rung) {
            return Err(Fault::input(format!(
                "\"{rung}:\" names a rung, but this is one shot: leave it out, or use thincut log enter"
            )));
        }
        let gear = self.gear.gear.as_deref().or(defaults.gear.as_deref());
        let shot = ShotEntered {
            request: self.request.clone(),
            gear: gear.unwrap_or(DEFAULT_PRESET).to_owned(),
            set: self.gear.set.clone(),
        };
        let solved = solve_entered(&shot).map_err(Fault::input)?;
        let when = self.played.when()?;
        let attempts: Vec<Attempt> = rows
            .into_iter()
            .map(|row| Attempt {
                id: None,
                student: row.student,
                when: when.clone(),
                session: self.played.session.clone(),
                sheet: None,
                rung: None,
                shot: shot.clone(),
                cut: solved.cut,
                tries: row.tries,
                made: row.made,
                misses: row.misses,
                windows: solved.windows.clone(),
                note: self.note.clone(),
            })
            .collect();
        record(log, EntryKind::Add, attempts, out)
    }
}

fn record(
    log: &mut Log,
    kind: EntryKind,
    attempts: Vec<Attempt>,
    out: &mut dyn Write,
) -> Result<(), Fault> {
    let entry = NewEntry {
        kind,
        recorded: now()?,
        attempts,
    };
    let recorded = log.add(&entry)?;
    out.write_all(log_words::recorded(recorded.entry, &entry.attempts).as_bytes())?;
    Ok(out.flush()?)
}

impl ListArgs {
    fn run(&self, log: &Log, out: &mut dyn Write) -> Result<(), Fault> {
        let mut attempts = log.attempts(&self.which.filter())?;
        if let Some(last) = self.last {
            attempts.drain(..attempts.len().saturating_sub(last));
        }
        match self.format {
            Format::Json => json(out, &json_attempts(&attempts)),
            Format::Csv => Ok(Log::write_csv(&[], &[], &attempts, out)?),
            Format::Text => Ok(out.write_all(log_words::list(&attempts).as_bytes())?),
        }
    }
}

impl ImportArgs {
    fn run(&self, log: &mut Log, out: &mut dyn Write) -> Result<(), Fault> {
        let name = self.file.display();
        let mut bytes = Vec::new();
        let read = if self.file.as_os_str() == "-" {
            std::io::stdin().lock().read_to_end(&mut bytes).map(|_| ())
        } else {
            std::fs::read(&self.file).map(|b| bytes = b)
        };
        read.map_err(|e| Fault::input(format!("cannot read {name}: {e}; give a CSV file, or -")))?;
        let solver = |shot: &ShotEntered| solve_entered(shot).map_err(|e| e.to_string());
        let done = log
            .import_csv(&bytes, &now()?, Some(&solver))
            .map_err(|e| match e {
                LogError::Import(_) => Fault::input(format!("{name}: {e}")),
                other => other.into(),
            })?;
        Ok(out.write_all(log_words::imported(&done).as_bytes())?)
    }
}

impl ExportArgs {
    fn run(&self, log: &Log, out: &mut dyn Write) -> Result<(), Fault> {
        let filter = self.which.filter();
        match &self.file {
            Some(path) if path.as_os_str() != "-" => {
                let mut bytes = Vec::new();
                log.export_csv(&filter, &mut bytes)?;
                write_whole(path, &bytes, self.force)?;
                Ok(writeln!(out, "Exported to {}.", path.display())?)
            }
            _ => Ok(log.export_csv(&filter, out)?),
        }
    }
}

impl StudentsArgs {
    fn run(&self, command: &LogCommand, out: &mut dyn Write) -> Result<(), Fault> {
        let Some(StudentsWhat::Set { label, hand, reach }) = &self.what else {
            let students = command.open_existing()?.students()?;
            return match self.format {
                Format::Json => json(out, &json_students(&students)),
                Format::Text | Format::Csv => {
                    Ok(out.write_all(log_words::students(&students).as_bytes())?)
                }
            };
        };
        let reach_mm = quantity::<Length>("--reach", reach.as_deref())?.map(Length::mm);
        let mut log = command.open()?;
        let known = log.students()?.into_iter().find(|s| s.label == *label);
        let before = known.clone().unwrap_or_else(|| Student::named(label));
        let student = Student {
            label: label.clone(),
            hand: hand.or(before.hand),
            reach_mm: reach_mm.or(before.reach_mm),
        };
        if known.as_ref() == Some(&student) {
            return Ok(writeln!(out, "{label} is as before.")?);
        }
        log.set_student(&student, &now()?)?;
        let what = if known.is_some() { "Changed" } else { "Added" };
        let words = log_words::student(&student);
        Ok(writeln!(
            out,
            "{what} {words}. Take it back with: thincut log undo"
        )?)
    }
}

impl EnterArgs {
    fn run(&self, log: &mut Log, out: &mut dyn Write) -> Result<(), Fault> {
        let (code, sheet) = log.find_sheet(&self.code)?;
        if self.tally != "-" {
            return self.enter(log, (&code, &sheet), &self.tally, out);
        }
        let input = std::io::stdin().lock();
        let prompt = input.is_terminal();
        let (mut lines, mut failed) = (0, 0);
        for line in input.lines() {
            let line = line.map_err(Fault::running)?;
            if line.trim().is_empty() {
                continue;
            }
            lines += 1;
            match self.enter(log, (&code, &sheet), &line, out) {
                // A slip costs one line, not the evening; a fault of the disk ends it.
                Err(Fault::Input(problem)) => {
                    failed += 1;
                    let mut err = std::io::stderr().lock();
                    let place = if prompt {
                        String::new()
                    } else {
                        format!("line {lines}: ")
                    };
                    writeln!(err, "not recorded: {place}{problem}")?;
                }
                other => other?,
            }
        }
        if failed > 0 {
            let message =
                format!("{failed} of {lines} tallies were not recorded; enter them again");
            return Err(Fault::input(message));
        }
        Ok(())
    }

    fn enter(
        &self,
        log: &mut Log,
        (code, sheet): (&str, &Sheet),
        line: &str,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let rows = tally(log, line)?;
        let when = self.played.when()?;
        let attempts = sheet.attempts(code, &rows, &when, self.played.session.as_deref())?;
        record(log, EntryKind::Enter, attempts, out)
    }
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

impl From<LogError> for Fault {
    fn from(error: LogError) -> Self {
        match error {
            LogError::Export(e) => e.into(),
            e if e.is_bad_input() => Self::input(e),
            e => Self::running(e),
        }
    }
}
