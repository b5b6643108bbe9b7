//! Windows for shots as they were entered.

use std::path::Path;

use super::attempt::ShotEntered;
use super::windows::Windows;
use crate::error::GearError;
use crate::gear::{Gear, LoadedGear};
use crate::request::RequestError;
use crate::units::Side;
use crate::window::{Shot, ShotError, solve};

/// What solving says about a shot.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// Its windows; `None` where it has none, such as a pocket out of reach.
    pub windows: Option<Windows>,
    /// Which way it cuts; a straight shot as its `cut_side` says.
    pub cut: Side,
}

/// Solves the shots of rows that come without windows; the error says what is wrong with a shot
/// that cannot stand, and what would do.
pub type Solver<'a> = &'a dyn Fn(&ShotEntered) -> Result<Solved, String>;

/// A shot as the log keeps it: a stroke in table lengths becomes the pace that it takes, since a row
/// has a column for the pace alone.
///
/// # Errors
/// [`SolveError`] naming the value and what would work.
pub fn with_pace(mut entered: ShotEntered) -> Result<ShotEntered, SolveError> {
    if entered.request.stroke.stroke.is_some() {
        let gear = LoadedGear::load(&entered.gear, &entered.set)?.gear;
        let pace_m_s = entered.request.shot(&gear)?.stroke.pace_m_s;
        entered.request.stroke.stroke = None;
        entered.request.stroke.pace = Some(format!("{pace_m_s}m/s"));
    }
    Ok(entered)
}

/// A shot that cannot stand.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SolveError {
    /// Its gear cannot be loaded.
    #[error(transparent)]
    Gear(#[from] GearError),
    /// Its texts cannot be read.
    #[error(transparent)]
    Request(#[from] RequestError),
    /// Its balls cannot lie like that.
    #[error(transparent)]
    Shot(#[from] ShotError),
}

/// Loads the gear, reads the texts and solves. For shots of the user's own: the gear may be any file.
///
/// # Errors
/// [`SolveError`] naming the value and what would work.
pub fn solve_entered(entered: &ShotEntered) -> Result<Solved, SolveError> {
    solve_on(
        &LoadedGear::load(&entered.gear, &entered.set)?.gear,
        entered,
    )
}

/// As [`solve_entered`], for a shot from a file that may come from anybody and lies in `folder`.
///
/// # Errors
/// [`SolveError`]; a gear that is a path is refused.
pub fn solve_beside(folder: &Path, entered: &ShotEntered) -> Result<Solved, SolveError> {
    let gear = LoadedGear::load_beside(folder, &entered.gear, &entered.set)?.gear;
    solve_on(&gear, entered)
}

fn solve_on(gear: &Gear, entered: &ShotEntered) -> Result<Solved, SolveError> {
    let shot = entered.request.shot(gear)?;
    let solution = solve(gear, &shot)?;
    let solved = solution
        .window
        .ok()
        .zip(solution.acceptance.as_ref())
        .map(|(window, acceptance)| (Windows::of(&window, acceptance), window.cut_side));
    Ok(match solved {
        Some((windows, cut)) => Solved {
            windows: Some(windows),
            cut,
        },
        None => Solved {
            windows: None,
            cut: cut_side(&shot),
        },
    })
}

/// From where the balls lie: left when the middle of the mouth (the frame's origin) lies left of
/// the line from cue ball to object ball.
fn cut_side(shot: &Shot) -> Side {
    let turn = (shot.object - shot.cue).cross(-shot.object.to_vec2());
    if turn == 0.0 {
        shot.stroke.straight_side
    } else {
        Side::left_if(turn > 0.0)
    }
}
