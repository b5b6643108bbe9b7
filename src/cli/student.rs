//! `--student`: who aims, from the practice log.

use std::path::PathBuf;

use clap::Args;
use thincut::log::{Filter, Log, LogError, Unknown, When, as_player, known};
use thincut::player::{Cut, Player, PlayerRequest};

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
        let fit = known(label, &attempts).map_err(|e| match e {
            Unknown::Fit(e) => e.into(),
            untold => Fault::input(untold),
        })?;
        let player = as_player(label, &fit, cut, self.since.as_ref());
        Ok(Some(Player {
            error: request.adjusted(player.error)?,
            ..player
        }))
    }
}

/// The cut as an observation wants it.
pub(crate) fn cut(left: bool) -> Cut {
    if left { Cut::Left } else { Cut::Right }
}
