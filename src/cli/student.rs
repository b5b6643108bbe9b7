//! Students of the practice log: their tries, and the player they make.

use std::path::{Path, PathBuf};

use clap::Args;
use thincut::log::{Attempt, Filter, Log, When};
use thincut::player::aim_fit::fit_aim;
use thincut::player::{AimError, Cut, FitOutcome, Level, Observation, Player, PlayerRequest};

use crate::fault::Fault;

/// The level a fit starts from when nobody says otherwise: its arm : picture ratio is kept while
/// the tries cannot tell the two apart.
pub(crate) const REFERENCE: Level = Level::Club;

/// A player by options, or a student from the log.
#[derive(Debug, Clone, Default, Args)]
pub(crate) struct WhoArgs {
    #[command(flatten)]
    pub(crate) player: PlayerRequest,
    /// A student of the practice log, as fitted from their tries
    #[arg(long, value_name = "LABEL", help_heading = "The player")]
    student: Option<String>,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(
        long,
        value_name = "FILE",
        env = "THINCUT_LOG",
        help_heading = "The player"
    )]
    log: Option<PathBuf>,
}

impl WhoArgs {
    /// The player, `None` when nobody is named.
    pub(crate) fn player(&self, cut: Cut) -> Result<Option<Player>, Fault> {
        let Some(label) = &self.student else {
            return Ok(self.player.player()?);
        };
        let p = &self.player;
        if p.level.is_some() || p.arm.is_some() || p.picture.is_some() || p.sigma.is_some() {
            return Err(Fault::input(
                "--student goes with neither --level nor --arm, --picture or --sigma: the log says who the student is",
            ));
        }
        let log = open(self.log.as_deref())?;
        let tries = tries_of(&log, label, None)?;
        let (error, who) = fitted(label, &tries, REFERENCE.aim_error(), cut)?;
        Ok(Some(Player {
            error: self.player.adjusted(error)?,
            who,
            assumed: false,
        }))
    }
}

/// Opens the log that exists.
pub(crate) fn open(path: Option<&Path>) -> Result<Log, Fault> {
    Ok(match path {
        Some(path) => Log::open_existing(path)?,
        None => Log::open_existing(&Log::default_path()?)?,
    })
}

/// A student's rows, all or from a day on.
pub(crate) fn tries_of(
    log: &Log,
    label: &str,
    since: Option<&When>,
) -> Result<Vec<Attempt>, Fault> {
    Ok(log.attempts(&Filter {
        student: Some(label.to_owned()),
        since: since.cloned(),
        ..Filter::default()
    })?)
}

/// Rows as the fit wants them; rows without a window say nothing.
pub(crate) fn observations(rows: &[Attempt]) -> Vec<Observation> {
    rows.iter().filter_map(Attempt::observation).collect()
}

fn fitted(
    label: &str,
    rows: &[Attempt],
    reference: AimError,
    cut: Cut,
) -> Result<(AimError, String), Fault> {
    let cannot = |what: String| {
        Err(Fault::input(format!(
            "--student {label}: {what}; name a --level instead"
        )))
    };
    match fit_aim(&observations(rows), reference)? {
        FitOutcome::Fitted(fit) => Ok((
            fit.player(cut),
            format!("student {label}, from {} tries", fit.tries),
        )),
        FitOutcome::AllMade { tries, .. } => cannot(format!(
            "all {tries} tries went in, which only says how good at least"
        )),
        FitOutcome::AllMissed { tries, .. } => cannot(format!(
            "all {tries} tries missed, which only says how good at most"
        )),
        FitOutcome::TooFew { tries, needed } => cannot(format!(
            "{tries} tries tell too little, {needed} are needed"
        )),
    }
}
