//! A student as a player: the spread and the lean that fit the log.

use thiserror::Error;

use super::diagnosed::{diagnosis_in, period_of};
use super::practice::Practice;
use super::since::Since;
use crate::diagnosis::{Period, since_words};
use crate::field::{Field, Hint};
use crate::player::aim_fit::{AimFit, FitOutcome, fit_as_diagnosed};
use crate::player::fault::PlayerError;
use crate::player::{Level, Player};
use crate::units::Side;

/// A student of whom nothing can be said.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum Unknown {
    /// The tries do not tell.
    #[error(
        "nothing can be said of student {label} yet: {why}; {}give {}",
        Hint::AskSkill { student: label },
        Field::Level
    )]
    NotTold {
        /// Whose.
        label: String,
        /// What the tries are.
        why: String,
    },
    /// The fit failed.
    #[error(transparent)]
    Fit(#[from] PlayerError),
}

/// What is known of a student: the fit, and of which attempts.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// The fit.
    pub fit: AimFit,
    /// The period it is of.
    pub period: Period,
    /// Attempts of all periods together.
    pub all_tries: u64,
}

/// The fit of a student's practice on a club player's ratio of arm to picture, assumed where the tries
/// do not tell it: from the day asked for, else since the change that the practice shows. A lean that the
/// diagnosis does not name is luck, and the player has none.
///
/// # Errors
/// [`Unknown`].
pub fn known(label: &str, practice: &Practice, since: &Since) -> Result<Known, Unknown> {
    let period = period_of(practice, since)?;
    let (tries, _) = practice.within(|day| period.holds(day)).observations();
    let named = diagnosis_in(label, practice, &period)?.names_a_steady_error();
    let why = match fit_as_diagnosed(&tries, Level::Club.aim_error(), named)? {
        FitOutcome::Fitted(fit) => {
            return Ok(Known {
                fit: *fit,
                period,
                all_tries: practice.tries(),
            });
        }
        FitOutcome::TooFew { tries, needed } => {
            format!("{tries} tries in the log, {needed} are needed")
        }
        FitOutcome::AllMade { tries, .. } => format!("all {tries} tries went in"),
        FitOutcome::AllMissed { tries, .. } => format!("all {tries} tries missed"),
    };
    Err(Unknown::NotTold {
        label: label.to_owned(),
        why,
    })
}

/// That student on a cut, since a lean may change with it.
#[must_use]
pub fn as_player(label: &str, known: &Known, cut: Side) -> Player {
    let tries = known.fit.tries;
    Player {
        error: known.fit.player(cut),
        who: match since_words(&known.period) {
            Some(since) => format!("student {label}, from {tries} tries {since}"),
            None => format!("student {label}, from {tries} tries"),
        },
        assumed: false,
    }
}
