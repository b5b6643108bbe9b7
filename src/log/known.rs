//! A student as a player: the spread and the lean that fit the log.

use thiserror::Error;

use super::practice::Practice;
use super::when::When;
use crate::field::{Field, Hint};
use crate::player::aim_fit::{AimFit, FitOutcome, fit_aim};
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

/// The fit of a student's practice on a club player's ratio of arm to picture, assumed where the tries
/// do not tell it.
///
/// # Errors
/// [`Unknown`].
pub fn known(label: &str, practice: &Practice) -> Result<AimFit, Unknown> {
    let (tries, _) = practice.observations();
    let why = match fit_aim(&tries, Level::Club.aim_error())? {
        FitOutcome::Fitted(fit) => return Ok(*fit),
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
pub fn as_player(label: &str, fit: &AimFit, cut: Side, since: Option<&When>) -> Player {
    Player {
        error: fit.player(cut),
        who: match since {
            Some(day) => format!("student {label}, from {} tries since {day}", fit.tries),
            None => format!("student {label}, from {} tries", fit.tries),
        },
        assumed: false,
    }
}
