//! Ladders and marks in the practice log: the code printed on them, and what to try next.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use thincut::ladder::{Next, PassRule, RungResult};
use thincut::log::{Filter, Log, Sheet, SheetKind, ShotEntered, Windows};
use thincut::player::{AimError, PlayerRequest, chance};

use crate::fault::Fault;
use crate::ladder::{PassArgs, player_or_club};

/// `--log`, and whether to keep the sheet.
#[derive(Debug, Clone, Default, Args)]
#[command(next_help_heading = "The practice log")]
pub(crate) struct KeepArgs {
    /// Keep it in the practice log and print the code for `thincut log enter`
    #[arg(long)]
    keep: bool,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
}

impl KeepArgs {
    fn open(&self) -> Result<Log, Fault> {
        Ok(self
            .log
            .as_ref()
            .map_or_else(Log::open_default, |p| Log::open(p))?)
    }

    /// Keeps the shots, each with its student on a marks sheet, and gives the code; `None` when
    /// nobody asked for one.
    pub(crate) fn keep(
        &self,
        kind: SheetKind,
        title: String,
        shots: Vec<(Option<String>, ShotEntered)>,
    ) -> Result<Option<String>, Fault> {
        if !self.keep {
            return Ok(None);
        }
        let sheet = Sheet::of_shots(kind, title, shots).map_err(Fault::input)?;
        Ok(Some(self.open()?.save_sheet(&sheet)?))
    }
}

/// What should a student try after these results?
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut ladder next --code K7Q --student A --level club")]
pub(crate) struct NextCommand {
    /// The ladder's code, as printed with --keep
    #[arg(long, value_name = "CODE")]
    code: String,
    /// The student's label
    #[arg(long, value_name = "LABEL")]
    student: String,
    #[command(flatten)]
    pass: PassArgs,
    #[command(flatten)]
    player: PlayerRequest,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
}

impl NextCommand {
    pub(crate) fn run(&self, out: &mut dyn Write) -> Result<(), Fault> {
        let path = match &self.log {
            Some(path) => path.clone(),
            None => Log::default_path()?,
        };
        let log = Log::open_existing(&path)?;
        let (code, sheet) = log.find_sheet(&self.code)?;
        if sheet.kind != SheetKind::Ladder {
            return Err(Fault::input(format!(
                "--code {code}: that is a marks sheet; next needs a ladder"
            )));
        }
        log.student(&self.student)?;
        let player = player_or_club(&self.player)?;
        let attempts = log.attempts(&Filter {
            student: Some(self.student.clone()),
            sheet: Some(code.clone()),
            ..Filter::default()
        })?;
        let results: Vec<RungResult> = (1_u32..)
            .zip(&sheet.rungs)
            .map(|(number, rung)| {
                let own = attempts.iter().filter(|a| a.rung == Some(number));
                let (made, tries) = own.fold((0, 0), |(m, t), a| (m + a.made, t + a.tries));
                RungResult {
                    chance: rung
                        .windows
                        .as_ref()
                        .map_or(0.0, |w| chance_in(w, &player.error)),
                    made,
                    tries,
                }
            })
            .collect();
        let rule = self.pass.rule()?;
        Ok(writeln!(out, "{}", words(&self.student, &rule, &results))?)
    }
}

/// The chance in windows as the log keeps them.
fn chance_in(windows: &Windows, player: &AimError) -> f64 {
    let intervals: Vec<(f64, f64)> = windows
        .allowed
        .iter()
        .map(|a| (a.from_deg.to_radians(), a.to_deg.to_radians()))
        .collect();
    let sigma = player.sigma_rad(1e-3 * windows.cue_travel_mm, windows.cue_speed_m_s);
    chance(&intervals, sigma, player.bias_rad)
}

fn words(student: &str, rule: &PassRule, results: &[RungResult]) -> String {
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
        Next::Done => format!("{student} has the whole ladder; draw up a harder one."),
    }
}
