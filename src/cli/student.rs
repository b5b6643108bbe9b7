//! `--student`: who aims, from the practice log.

use std::path::PathBuf;

use clap::Args;
use thincut::log::{Filter, Log, LogError, When, observations};
use thincut::player::aim_fit::{FitOutcome, fit_aim};
use thincut::player::{Cut, Level, Player, PlayerRequest};

use crate::fault::Fault;

/// Who aims, from the practice log.
#[derive(Debug, Clone, Default, Args)]
#[command(next_help_heading = "The player, from the practice log")]
pub(crate) struct StudentArgs {
    /// A student, with the spread and lean that fit the practice log
    #[arg(long, value_name = "LABEL")]
    student: Option<String>,
    /// Of the student's tries only those from this day on
    #[arg(long, value_name = "DATE", requires = "student")]
    since: Option<When>,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
}

/// Opens a log that must be there.
pub(crate) fn open_existing(log: Option<&PathBuf>) -> Result<Log, LogError> {
    match log {
        Some(path) => Log::open_existing(path),
        None => Log::open_existing(&Log::default_path()?),
    }
}

impl StudentArgs {
    /// The player named by either kind of option; on this cut, since a lean may change with it.
    pub(crate) fn player(
        &self,
        request: &PlayerRequest,
        cut: Cut,
    ) -> Result<Option<Player>, Fault> {
        let Some(label) = &self.student else {
            return Ok(request.player()?);
        };
        for (option, value) in [
            ("--level", &request.level),
            ("--arm", &request.arm),
            ("--picture", &request.picture),
            ("--sigma", &request.sigma),
        ] {
            if value.is_some() {
                return Err(Fault::input(format!(
                    "--student and {option} both say who aims; give one of them"
                )));
            }
        }
        let filter = Filter {
            student: Some(label.clone()),
            since: self.since.clone(),
            ..Filter::default()
        };
        let attempts = open_existing(self.log.as_ref())?.attempts(&filter)?;
        let (tries, _) = observations(&attempts);
        let fit = match fit_aim(&tries, Level::Club.aim_error())? {
            FitOutcome::Fitted(fit) => fit,
            other => return Err(unknown(label, &other)),
        };
        Ok(Some(Player {
            error: request.adjusted(fit.player(cut))?,
            who: match &self.since {
                Some(day) => format!("student {label}, from {} tries since {day}", fit.tries),
                None => format!("student {label}, from {} tries", fit.tries),
            },
            assumed: false,
        }))
    }
}

fn unknown(label: &str, outcome: &FitOutcome) -> Fault {
    let why = match outcome {
        FitOutcome::TooFew { tries, needed } => {
            format!("{tries} tries in the log, {needed} are needed")
        }
        FitOutcome::AllMade { tries, .. } => format!("all {tries} tries went in"),
        FitOutcome::AllMissed { tries, .. } => format!("all {tries} tries missed"),
        FitOutcome::Fitted(_) => String::new(),
    };
    Fault::input(format!(
        "nothing can be said of student {label} yet: {why}; `thincut skill {label}` says what would tell, or give --level"
    ))
}

/// The cut as an observation wants it.
pub(crate) fn cut(left: bool) -> Cut {
    if left { Cut::Left } else { Cut::Right }
}
