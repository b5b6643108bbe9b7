//! Recording tries: at one shot, or at the rungs of a sheet.

use std::collections::BTreeSet;
use std::io::{BufRead as _, IsTerminal, Read as _, Write};

use clap::Args;
use thincut::files::TABLE_BYTES;
use thincut::gear::DEFAULT_PRESET;
use thincut::log::{
    Attempt, EntryKind, Filter, Jotted, Log, LogError, NewEntry, Sheet, ShotEntered, Student,
    TallyError, TallyRow, When, place, read_jotted, read_page, read_tally, solve_entered,
    with_pace,
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
    #[command(flatten)]
    sure: Sure,
}

/// Record the tally of a ladder, marks or lesson sheet by its code
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
        thincut log enter CODE \"K 6/10, L 4/10 thin 3\"\n  \
        thincut log enter CODE \"3: K 6/10, L 4/10; 4: K 2/10\"\n  \
        thincut log enter CODE -      one tally a line, each recorded before the next is read\n  \
        thincut log enter CODE - --yes < page.txt     a page out of a spreadsheet, a row a student, a column a shot\n\n\
        CODE is the one printed on the sheet; on a sheet of several shots the number of the rung or shot comes first.\n\
        Without it counts follow the shots in order. `k 4/10`, `L4/10`, `overcut 3`, `thick 2` are read too and shown first.")]
pub(super) struct EnterArgs {
    /// The code printed on the sheet
    #[arg(value_name = "CODE")]
    code: String,
    /// The tally, or - to read tallies from standard input
    #[arg(value_name = "TALLY")]
    tally: String,
    #[command(flatten)]
    played: Played,
    #[command(flatten)]
    sure: Sure,
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

/// Whether to record what had to be guessed at.
#[derive(Debug, Args)]
struct Sure {
    /// Record a tally as it was understood, and add students that are new, without asking
    #[arg(long)]
    yes: bool,
    /// Record it although the same tally of this shot stands in the log for that day
    #[arg(long)]
    again: bool,
}

/// A tally as it was read.
struct Tally {
    rows: Vec<TallyRow>,
    /// Students that the log has not.
    new: Vec<String>,
    /// What keeps it from being a tally word for word: then it is shown before it is recorded.
    unlike: Option<String>,
}

/// Reads a tally of the students in the log: word for word, else as it was jotted down.
fn tally(log: &Log, line: &str) -> Result<Tally, Fault> {
    let students = log.students()?;
    let labels: Vec<&str> = students.iter().map(|s| s.label.as_str()).collect();
    let exact: TallyError = match read_tally(line, &labels) {
        Ok(rows) => {
            return Ok(Tally {
                rows,
                new: Vec::new(),
                unlike: None,
            });
        }
        Err(e) => e,
    };
    match read_jotted(line, &labels) {
        Some(Jotted { rows, new_students }) => Ok(Tally {
            rows,
            new: new_students,
            unlike: Some(exact.to_string()),
        }),
        None => Err(Fault::input(exact)),
    }
}

impl Sure {
    /// Shows what would be recorded and asks; without anybody to ask it is not recorded.
    fn agreed(&self, unlike: &str, preview: &str, may_ask: bool) -> Result<(), Fault> {
        if self.yes {
            return Ok(());
        }
        let mut err = std::io::stderr().lock();
        if !may_ask || !std::io::stdin().is_terminal() || !err.is_terminal() {
            return Err(Fault::input(format!(
                "{unlike}\nRead as: {preview}\nNothing is recorded; if that is what was meant, add --yes"
            )));
        }
        write!(err, "{}\nRecord it so? [y/n] ", plain(preview))?;
        err.flush()?;
        let mut answer = String::new();
        std::io::stdin().lock().read_line(&mut answer)?;
        if matches!(answer.trim().to_lowercase().as_str(), "y" | "yes") {
            return Ok(());
        }
        Err(Fault::input("nothing is recorded"))
    }

    /// Records attempts and the students that are new, after asking where the tally was not word for word.
    fn record(
        &self,
        log: &mut Log,
        read: &Read,
        attempts: Vec<Attempt>,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let entry = NewEntry {
            kind: read.kind,
            recorded: now()?,
            attempts,
        };
        if let Some(unlike) = &read.unlike {
            let preview = log_words::preview(&entry.attempts, &read.new);
            self.agreed(unlike, &preview, read.may_ask)?;
        }
        let mut added = Vec::new();
        for label in &read.new {
            added.push(
                log.set_student(&Student::named(label), &entry.recorded)?
                    .entry,
            );
        }
        let recorded = if self.again {
            log.add(&entry)
        } else {
            log.add_once(&entry)
        };
        let recorded = match recorded {
            Ok(recorded) => recorded,
            Err(fault) => {
                // Students of a tally that was not recorded are not there either, unless something else
                // was recorded meanwhile: that is nobody's to take back here, and they stay.
                for entry in added.into_iter().rev() {
                    if log.undo_if(Some(entry), |_| true).is_err() {
                        break;
                    }
                }
                return Err(fault.into());
            }
        };
        let number = recorded.entry;
        let words = log_words::recorded(number, &entry.attempts);
        tell(out, &format!("this is recorded as entry {number}"), &words)
    }
}

/// How a tally came to be read.
struct Read {
    kind: EntryKind,
    new: Vec<String>,
    unlike: Option<String>,
    /// Whether standard input is free to be asked.
    may_ask: bool,
}

impl AddArgs {
    pub(super) fn run(
        &self,
        log: &mut Log,
        defaults: &Defaults,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let Tally { rows, new, unlike } = tally(log, &self.tally)?;
        let students: BTreeSet<&str> = rows.iter().map(|r| r.student.as_str()).collect();
        if let (Some(unlike), true) = (&unlike, students.len() < rows.len()) {
            return Err(Fault::input(unlike.clone()));
        }
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
        let read = Read {
            kind: EntryKind::Add,
            new,
            unlike,
            may_ask: true,
        };
        self.sure.record(log, &read, attempts, out)
    }
}

/// A page out of a spreadsheet as one tally; `None` where it is none.
fn whole_page(log: &Log, page: &[u8]) -> Result<Option<Tally>, Fault> {
    let students = log.students()?;
    let labels: Vec<&str> = students.iter().map(|s| s.label.as_str()).collect();
    match read_page(&String::from_utf8_lossy(page), &labels) {
        None => Ok(None),
        Some(Ok(Jotted { rows, new_students })) => Ok(Some(Tally {
            rows,
            new: new_students,
            unlike: Some("a page is shown before it is recorded".to_owned()),
        })),
        Some(Err(line)) => Err(Fault::input(format!(
            "line {line} of the page cannot be read: write the student first, then a cell a shot, such as 6/10 or 6/10 thin 3; a first row may number the shots, with the tries of all in brackets: 1 (10)"
        ))),
    }
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
            let tally = tally(log, &self.tally)?;
            return self.enter(log, &known, tally, out);
        }
        let mut input = std::io::stdin().lock();
        let prompt = input.is_terminal();
        let mut page = Vec::new();
        if !prompt {
            // A page has tabs in its first line; tallies come line by line.
            (&mut input)
                .take(TABLE_BYTES)
                .read_until(b'\n', &mut page)?;
            if page.contains(&b'\t') {
                (&mut input).take(TABLE_BYTES).read_to_end(&mut page)?;
            }
            if let Some(tally) = whole_page(log, &page)? {
                return self.enter(log, &known, tally, out);
            }
        }
        let input = std::io::Cursor::new(page).chain(input);
        let (mut lines, mut failed) = (0, 0);
        for line in crate::input::lines(input) {
            let line = line?;
            let line = line.trim_end_matches(['\r', '\n']);
            if line.trim().is_empty() {
                continue;
            }
            lines += 1;
            match tally(log, line).and_then(|tally| self.enter(log, &known, tally, out)) {
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
        tally: Tally,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let when = self.played.when()?;
        let KnownSheet { code, sheet } = known;
        let (rows, placed) = self.placed(log, known, tally.rows, &when)?;
        let attempts = sheet.attempts(code, &rows, &when, self.played.session.as_deref())?;
        let read = Read {
            kind: EntryKind::Enter,
            new: tally.new,
            unlike: tally.unlike.or(placed),
            may_ask: self.tally != "-",
        };
        self.sure.record(log, &read, attempts, out)
    }

    /// Counts without a shot on a sheet of several get theirs, and it is said that they did.
    fn placed(
        &self,
        log: &Log,
        known: &KnownSheet,
        rows: Vec<TallyRow>,
        when: &When,
    ) -> Result<(Vec<TallyRow>, Option<String>), Fault> {
        let KnownSheet { code, sheet } = known;
        // On a sheet of marks everybody has a shot of their own.
        let own = sheet.rungs.iter().any(|r| r.student.is_some());
        let shots = sheet.rungs.len();
        let unplaced = rows.iter().any(|r| r.rung.is_none());
        if own || !unplaced || (shots == 1 && rows.len() == 1) {
            return Ok((rows, None));
        }
        let mut played: BTreeSet<(String, usize)> = BTreeSet::new();
        let filter = Filter {
            sheet: Some(code.clone()),
            since: Some(when.day().parse().map_err(Fault::running)?),
            until: Some(when.day().parse().map_err(Fault::running)?),
            ..Filter::default()
        };
        log.each_attempt(&filter, None, |attempt| {
            let rung = attempt.rung.and_then(|r| usize::try_from(r).ok());
            played.extend(rung.map(|rung| (attempt.student, rung)));
            Ok::<(), LogError>(())
        })?;
        let rows = place(rows, shots, |student, rung| {
            played.contains(&(student.to_owned(), rung))
        })
        .map_err(|e| {
            Fault::input(format!(
                "sheet {code} has {shots} shots, {} of them open for {} on {}, but {} counts name none: say which, such as 3: {} 6/10",
                e.open, e.student, when.day(), e.counts, e.student
            ))
        })?;
        let said = (shots > 1)
            .then(|| format!("sheet {code} has {shots} shots, and which one was not said"));
        Ok((rows, said))
    }
}
