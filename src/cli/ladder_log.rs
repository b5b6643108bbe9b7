//! Ladders and marks in the practice log: the code printed on them, and what to try next.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use thincut::gear::Gear;
use thincut::ladder::{LadderError, Next, PassRule, RungResult, Scored, Wishes, left_open};
use thincut::log::{
    Filter, Log, LogError, Practice, Rung, Sheet, SheetKind, ShotEntered, Since, Unknown, Windows,
    as_player, known, solve_entered,
};
use thincut::player::{AimError, Level, Player, PlayerRequest};
use thincut::shown;
use thincut::units::Side;

use crate::fault::Fault;
use crate::ladder::PassArgs;
use crate::student::{open_for_fits, since};

/// A sheet's code, and whether the log knows it.
#[derive(Debug, Clone)]
pub(crate) struct Coded {
    /// With its check character.
    pub(crate) code: String,
    /// Whether it was kept.
    pub(crate) kept: bool,
}

impl Coded {
    /// The line below the sheet.
    pub(crate) fn line_below(&self, tally: &str) -> String {
        let code = &self.code;
        if self.kept {
            format!("Code {code}. After the evening: thincut log enter {code} {tally}")
        } else {
            format!(
                "Code {code}. To enter tallies by it, keep the sheet in the practice log: the same command with --keep."
            )
        }
    }
}

/// Whether a sheet is kept in the practice log.
#[derive(Debug, Clone, Copy, Args)]
pub(crate) struct KeepArgs {
    /// Keep it in the log under a code [default: where there is a log]
    #[arg(long, conflicts_with = "no_keep", help_heading = "The practice log")]
    keep: bool,
    /// Do not keep it
    #[arg(long, help_heading = "The practice log")]
    no_keep: bool,
}

impl KeepArgs {
    /// Keeps a sheet as asked. Nobody loses a sheet because a log that was not asked for cannot be written:
    /// then it is said.
    pub(crate) fn keep(self, sheet: NewSheet, log: Option<&PathBuf>) -> Result<Coded, Fault> {
        let NewSheet { kind, title, rungs } = sheet;
        if self.keep {
            return keep(kind, title, rungs, Some(log));
        }
        let path = log.map_or_else(Log::default_path, |path| Ok(path.clone()));
        let there = !self.no_keep && path.is_ok_and(|path| path.exists());
        if !there {
            return keep(kind, title, rungs, None);
        }
        match keep(kind, title.clone(), rungs.clone(), Some(log)) {
            Err(Fault::Input(why) | Fault::Running(why)) => {
                writeln!(
                    std::io::stderr(),
                    "The sheet is not kept, so its code is not known to the log: {}",
                    shown::plain(&why)
                )?;
                keep(kind, title, rungs, None)
            }
            done => done,
        }
    }
}

/// A sheet that is new.
pub(crate) struct NewSheet {
    pub(crate) kind: SheetKind,
    pub(crate) title: String,
    pub(crate) rungs: Vec<Rung>,
}

/// The sheet's code; with a log (the usual one, or the file named) the sheet is kept there.
fn keep(
    kind: SheetKind,
    title: String,
    rungs: Vec<Rung>,
    log: Option<Option<&PathBuf>>,
) -> Result<Coded, Fault> {
    let sheet = Sheet {
        kind,
        title,
        rungs,
        gone: Vec::new(),
    };
    let Some(path) = log else {
        let code = sheet.code()?;
        return Ok(Coded { code, kept: false });
    };
    let mut log = path.map_or_else(Log::open_default, |p| Log::open(p))?;
    let code = log.save_sheet(&sheet)?;
    Ok(Coded { code, kept: true })
}

/// A shot of a sheet with its windows, and its student on a marks sheet.
pub(crate) fn rung_of(student: Option<String>, shot: ShotEntered) -> Result<Rung, Fault> {
    let solved = solve_entered(&shot).map_err(Fault::input)?;
    Ok(Rung {
        student,
        shot,
        cut: solved.cut,
        windows: solved.windows,
        pass: None,
    })
}

/// A rung with balls in the way: the windows are what they leave.
pub(crate) fn rung_past(
    gear: &Gear,
    wishes: &Wishes,
    scored: &Scored,
    shot: ShotEntered,
) -> Result<Rung, LadderError> {
    let open = left_open(gear, wishes, scored)?;
    let open = open
        .as_ref()
        .and_then(|c| Some((c.window()?, &c.directions)));
    Ok(Rung {
        student: None,
        shot,
        cut: open.map_or(Side::left_if(scored.cut_rad >= 0.0), |(w, _)| w.cut_side),
        windows: open.map(|(w, directions)| Windows::left_open(w, directions)),
        pass: None,
    })
}

/// What should a student try after these results?
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  thincut ladder next --student K\n  thincut ladder next --student K --code CODE --level club"
)]
pub(crate) struct NextCommand {
    /// The ladder's code [default: the ladder the student played last]
    #[arg(long, value_name = "CODE")]
    code: Option<String>,
    /// The student's label
    #[arg(long, value_name = "LABEL")]
    student: String,
    #[command(flatten)]
    pass: PassArgs,
    #[command(flatten)]
    player: PlayerRequest,
    /// Of the student's tries only those from this day on, also "this month", or all [default: since the change that the log shows]
    #[arg(long, value_name = "DATE", value_parser = since)]
    since: Option<Since>,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
}

impl NextCommand {
    pub(crate) fn run(&self, out: &mut dyn Write) -> Result<(), Fault> {
        let log = open_for_fits(self.log.as_ref())?;
        log.student(&self.student)?;
        let practice = log.practice(&self.student, self.since().when())?;
        let (code, sheet) = match &self.code {
            Some(code) => log.find_sheet(code)?,
            None => self.last_ladder(&log)?,
        };
        if sheet.kind != SheetKind::Ladder {
            return Err(Fault::input(format!(
                "--code {code}: that is a {} sheet; next needs a ladder",
                sheet.kind.name()
            )));
        }
        let (who, aims) = self.aims(&practice)?;
        // Makes and tries of each rung.
        let mut had: BTreeMap<u32, (u32, u32)> = BTreeMap::new();
        let filter = Filter {
            student: Some(self.student.clone()),
            sheet: Some(code.clone()),
            ..Filter::default()
        };
        log.each_attempt(&filter, None, |attempt| {
            let sum = had.entry(attempt.rung.unwrap_or_default()).or_default();
            *sum = (sum.0 + attempt.made, sum.1 + attempt.tries);
            Ok::<(), LogError>(())
        })?;
        let results: Vec<RungResult> = (1_u32..)
            .zip(&sheet.rungs)
            .map(|(number, rung)| {
                let (made, tries) = had.get(&number).copied().unwrap_or_default();
                let aim = &aims[usize::from(rung.cut == Side::Right)];
                RungResult {
                    chance: rung.windows.as_ref().map_or(0.0, |w| chance_in(w, aim)),
                    made,
                    tries,
                }
            })
            .collect();
        let rule = self.pass.rule()?;
        writeln!(out, "{}", next_rung_line(&self.student, &rule, &results))?;
        Ok(writeln!(out, "Ladder {code}; pass scores for {who}.")?)
    }

    fn since(&self) -> Since {
        self.since.clone().unwrap_or_default()
    }

    /// The ladder of the student's last tries.
    fn last_ladder(&self, log: &Log) -> Result<(String, Sheet), Fault> {
        for code in log.sheets_tried(&self.student)? {
            let (code, sheet) = log.find_sheet(&code)?;
            if sheet.kind == SheetKind::Ladder {
                return Ok((code, sheet));
            }
        }
        Err(Fault::input(format!(
            "{} has no tries on a ladder in this log; name the ladder with --code, or draw one up: thincut ladder --student {} --keep",
            self.student, self.student
        )))
    }

    /// Whose chances count: the player named, else the student as the log knows them, else a club
    /// player; on left and on right cuts.
    fn aims(&self, practice: &Practice) -> Result<(String, [AimError; 2]), Fault> {
        if let Some(Player { error, who, .. }) = self.player.player()? {
            return Ok((who, [error; 2]));
        }
        Ok(match known(&self.student, practice, &self.since()) {
            Ok(known) => (
                as_player(&self.student, &known, Side::Left).who,
                [known.fit.player(Side::Left), known.fit.player(Side::Right)],
            ),
            Err(Unknown::NotTold { why, .. }) => (
                format!("a {} ({why})", Level::Club.spoken()),
                [Level::Club.aim_error(); 2],
            ),
            Err(other) => return Err(Fault::input(other)),
        })
    }
}

/// The chance in windows as the log keeps them.
fn chance_in(windows: &Windows, player: &AimError) -> f64 {
    let intervals: Vec<(f64, f64)> = windows
        .allowed
        .iter()
        .map(|a| (a.from_deg.to_radians(), a.to_deg.to_radians()))
        .collect();
    player.caught(
        &intervals,
        1e-3 * windows.cue_travel_mm,
        windows.cue_speed_m_s,
    )
}

fn next_rung_line(student: &str, rule: &PassRule, results: &[RungResult]) -> String {
    let had = |k: usize| format!("{} of {}", results[k].made, results[k].tries);
    let pass = |k: usize| {
        rule.pass(results[k].chance).map_or(String::new(), |p| {
            format!(", pass {} of {}", p.makes, p.tries)
        })
    };
    match rule.next(results) {
        Next::Up(0) => format!("{student} starts with rung 1{}.", pass(0)),
        Next::Up(k) => format!(
            "{student} has rung {k} ({}); next rung {}{}.",
            had(k - 1),
            k + 1,
            pass(k)
        ),
        Next::Again(k) => format!(
            "Rung {} again ({} so far says neither yes nor no){}.",
            k + 1,
            had(k),
            pass(k)
        ),
        Next::Down(k) => format!(
            "Rung {} is too hard for now ({}); back to rung {}{}.",
            k + 2,
            had(k + 1),
            k + 1,
            pass(k)
        ),
        Next::Easier => format!(
            "Even rung 1 is too hard for now ({}); draw up an easier ladder.",
            had(0)
        ),
        Next::Done => format!("{student} has the whole ladder; draw up a harder one."),
    }
}
