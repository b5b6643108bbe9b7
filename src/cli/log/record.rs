//! Recording tries: at one shot, or at the rungs of a sheet.

use std::io::{IsTerminal, Write};

use clap::Args;
use thincut::gear::DEFAULT_PRESET;
use thincut::log::{
    Attempt, EntryKind, Log, LogError, NewEntry, Sheet, ShotEntered, TallyRow, When, read_tally,
    solve_entered, with_pace,
};
use thincut::request::ShotRequest;
use thincut::shown::plain;

use super::{not_to_come, now, tell};
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::log_words;
use crate::table::GearArgs;

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
    after_help = "Example:\n  thincut log add \"K 6/10 thin 3, L 4/10\" --cut half-ball --cue-to-object 4ft --to-pocket 3ft"
)]
pub(super) struct AddArgs {
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
    /// Record it although the same tally of this shot stands in the log for that day
    #[arg(long)]
    again: bool,
}

/// Record the tally of a ladder, marks or lesson sheet by its code
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
        thincut log enter CODE \"K 6/10, L 4/10 thin 3\"\n  \
        thincut log enter CODE \"3: K 6/10, L 4/10; 4: K 2/10\"\n  \
        thincut log enter CODE -      one tally a line, each recorded before the next is read\n\n\
        CODE is the one printed on the sheet; on a sheet of several shots the number of the rung or shot comes first.")]
pub(super) struct EnterArgs {
    /// The code printed on the sheet
    #[arg(value_name = "CODE")]
    code: String,
    /// The tally, or - to read tallies from standard input
    #[arg(value_name = "TALLY")]
    tally: String,
    #[command(flatten)]
    played: Played,
    /// Record it although the same tally of this shot stands in the log for that day
    #[arg(long)]
    again: bool,
}

impl Played {
    fn when(&self) -> Result<When, Fault> {
        let Some(when) = &self.when else {
            return now();
        };
        not_to_come("--when", when)?;
        Ok(when.clone())
    }
}

/// Reads a tally of the students in the log.
fn tally(log: &Log, line: &str) -> Result<Vec<TallyRow>, Fault> {
    let students = log.students()?;
    let labels: Vec<&str> = students.iter().map(|s| s.label.as_str()).collect();
    read_tally(line, &labels).map_err(Fault::input)
}

impl AddArgs {
    pub(super) fn run(
        &self,
        log: &mut Log,
        defaults: &Defaults,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let rows = tally(log, &self.tally)?;
        if let Some(rung) = rows.iter().find_map(|r| r.rung) {
            return Err(Fault::input(format!(
                "\"{rung}:\" names a rung, but this is one shot: leave it out, or use thincut log enter"
            )));
        }
        let gear = self.gear.gear.as_deref().or(defaults.gear.as_deref());
        let shot = with_pace(ShotEntered {
            request: self.request.clone(),
            gear: gear.unwrap_or(DEFAULT_PRESET).to_owned(),
            set: self.gear.set.clone(),
        })
        .map_err(Fault::input)?;
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
        record(log, EntryKind::Add, attempts, self.again, out)
    }
}

fn record(
    log: &mut Log,
    kind: EntryKind,
    attempts: Vec<Attempt>,
    again: bool,
    out: &mut dyn Write,
) -> Result<(), Fault> {
    let entry = NewEntry {
        kind,
        recorded: now()?,
        attempts,
    };
    let recorded = if again {
        log.add(&entry)?
    } else {
        log.add_once(&entry)?
    };
    let number = recorded.entry;
    let words = log_words::recorded(number, &entry.attempts);
    tell(out, &format!("this is recorded as entry {number}"), &words)
}

/// A sheet of the log, and its code.
struct KnownSheet {
    code: String,
    sheet: Sheet,
}

impl EnterArgs {
    pub(super) fn run(&self, log: &mut Log, out: &mut dyn Write) -> Result<(), Fault> {
        let (code, sheet) = log.find_sheet(&self.code)?;
        let known = KnownSheet { code, sheet };
        if self.tally != "-" {
            return self.enter(log, &known, &self.tally, out);
        }
        let input = std::io::stdin().lock();
        let prompt = input.is_terminal();
        let (mut lines, mut failed) = (0, 0);
        for line in crate::input::lines(input) {
            let line = line?;
            let line = line.trim_end_matches(['\r', '\n']);
            if line.trim().is_empty() {
                continue;
            }
            lines += 1;
            match self.enter(log, &known, line, out) {
                // A slip costs one line, not the evening; a fault of the disk ends it.
                Err(Fault::Input(problem)) => {
                    failed += 1;
                    let mut err = std::io::stderr().lock();
                    let place = if prompt {
                        String::new()
                    } else {
                        format!("line {lines}: ")
                    };
                    writeln!(err, "not recorded: {place}{}", plain(&problem))?;
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
        known: &KnownSheet,
        line: &str,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let rows = tally(log, line)?;
        let when = self.played.when()?;
        let attempts = known
            .sheet
            .attempts(&known.code, &rows, &when, self.played.session.as_deref())
            .map_err(|e| match e {
                e @ LogError::Tally { .. } => Fault::input(format!("{e}\n  {line}")),
                other => other.into(),
            })?;
        record(log, EntryKind::Enter, attempts, self.again, out)
    }
}
