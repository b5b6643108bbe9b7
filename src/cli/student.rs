//! `--student`: who aims, from the practice log.

use std::path::PathBuf;

use clap::Args;
use thincut::ladder;
use thincut::layout::{Hand, Reach};
use thincut::log::{self, Filter, Log, LogError, When, observations};
use thincut::player::aim_fit::{AimFit, FitOutcome, fit_aim};
use thincut::player::{AimError, Cut, Level, Player, PlayerRequest};

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
        let log = open_existing(self.log.as_ref())?;
        let known = known(&log, label, self.since.as_ref())?.map_err(|why| unsaid(label, &why))?;
        Ok(Some(Player {
            error: request.adjusted(known.fit.player(cut))?,
            who: known.who,
            assumed: false,
        }))
    }

    /// The same with the aim on right cuts and how the student stands, where the log knows.
    pub(crate) fn climber(&self, request: &PlayerRequest) -> Result<Climber, Fault> {
        if let Some(left) = self.player(request, Cut::Left)? {
            let right = self.player(request, Cut::Right)?.map(|p| p.error);
            let reach = match &self.student {
                Some(label) => reach(&open_existing(self.log.as_ref())?.student(label)?),
                None => None,
            };
            return Ok(Climber {
                right: right.filter(|r| *r != left.error),
                player: left,
                reach,
            });
        }
        Ok(Climber {
            player: Player {
                error: Level::Club.aim_error(),
                who: Level::Club.spoken(),
                assumed: true,
            },
            right: None,
            reach: None,
        })
    }

    /// The log named.
    pub(crate) fn log(&self) -> Option<&PathBuf> {
        self.log.as_ref()
    }
}

/// Who climbs a ladder; nobody named is a club player, marked as assumed.
#[derive(Debug, Clone)]
pub(crate) struct Climber {
    /// The player, with the aim on left cuts.
    pub(crate) player: Player,
    /// The aim on right cuts, where it differs.
    pub(crate) right: Option<AimError>,
    /// Hand and reach, where the log knows the reach.
    pub(crate) reach: Option<Reach>,
}

/// Hand and reach of a student whose reach the log knows.
fn reach(student: &log::Student) -> Option<Reach> {
    let reach_mm = student.reach_mm?;
    let hand = match student.hand {
        Some(log::Hand::Left) => Hand::Left,
        _ => Hand::Right,
    };
    Some(Reach {
        hand,
        reach_m: 1e-3 * reach_mm,
    })
}

/// What the log says of a student.
#[derive(Debug, Clone)]
pub(crate) struct Known {
    /// The fit.
    pub(crate) fit: Box<AimFit>,
    /// `student A, from 400 tries`.
    pub(crate) who: String,
}

/// What the log says of a student; the inner error is why that is nothing yet.
pub(crate) fn known(
    log: &Log,
    label: &str,
    since: Option<&When>,
) -> Result<Result<Known, String>, Fault> {
    let filter = Filter {
        student: Some(label.to_owned()),
        since: since.cloned(),
        ..Filter::default()
    };
    let (tries, _) = observations(&log.attempts(&filter)?);
    let why = match fit_aim(&tries, Level::Club.aim_error())? {
        FitOutcome::Fitted(fit) => {
            let who = match since {
                Some(day) => format!("student {label}, from {} tries since {day}", fit.tries),
                None => format!("student {label}, from {} tries", fit.tries),
            };
            return Ok(Ok(Known { fit, who }));
        }
        FitOutcome::TooFew { tries, needed } => {
            format!("{tries} tries in the log, {needed} are needed")
        }
        FitOutcome::AllMade { tries, .. } => format!("all {tries} tries went in"),
        FitOutcome::AllMissed { tries, .. } => format!("all {tries} tries missed"),
    };
    Ok(Err(why))
}

/// Labels of a group: those without a skill of their own get theirs from the log.
pub(crate) fn group(
    texts: &[String],
    log: Option<&PathBuf>,
    since: Option<&When>,
) -> Result<Vec<ladder::Student>, Fault> {
    let open = std::cell::OnceCell::new();
    let from_log = |label: &str| -> Result<ladder::Student, String> {
        let log = open.get_or_init(|| open_existing(log).map_err(|e| e.to_string()));
        let log = log.as_ref().map_err(Clone::clone)?;
        let found = known(log, label, since).map_err(Fault::message)?;
        let Known { fit, who } = found?;
        let (left, right) = (fit.player(Cut::Left), fit.player(Cut::Right));
        Ok(ladder::Student {
            label: label.to_owned(),
            error: left,
            right: (left != right).then_some(right),
            who,
            assumed: false,
        })
    };
    Ok(ladder::students(texts, &from_log)?)
}

fn unsaid(label: &str, why: &str) -> Fault {
    Fault::input(format!(
        "nothing can be said of student {label} yet: {why}; `thincut skill {label}` says what would tell, or give --level"
    ))
}

/// The cut as an observation wants it.
pub(crate) fn cut(left: bool) -> Cut {
    if left { Cut::Left } else { Cut::Right }
}
