//! What a chart is drawn from, and the choices it offers.

use kurbo::Point;

use super::around::Around;
use super::fault::ChartError;
use crate::answer::CompareAnswer;
use crate::draw::Size;
use crate::gear::Gear;
use crate::layout::{Table, solve_past};
use crate::player::Player;
use crate::survey::Grid;
use crate::units::UnitSystem;
use crate::window::{AimWindow, Shot, Solution, solve};

/// What every chart is given.
#[derive(Debug, Clone)]
pub struct Request {
    /// The equipment.
    pub gear: Gear,
    /// Size of the picture.
    pub size: Size,
    /// The shot, for charts of one.
    pub shot: Option<Shot>,
    /// Cuts and distances, for charts over many shots; its kind of pocket and pace also serve a
    /// chart of a pocket without a shot.
    pub grid: Grid,
    /// The same shots on several gears, for charts that compare.
    pub compared: Option<CompareAnswer>,
    /// Whose chances to draw instead of the room ([`Choice::Player`]).
    pub player: Option<Player>,
    /// What stands round the shot, where it is not alone on the table.
    pub around: Option<Around>,
    /// Units of the words.
    pub units: UnitSystem,
    /// How to draw, where a chart leaves a choice.
    pub options: Options,
}

/// How to draw, where a chart leaves a choice ([`Choice`]).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Options {
    /// Unit of the room; each chart has its own usual one.
    pub room: Option<RoomUnit>,
    /// The distance that varies.
    pub over: Over,
    /// Distances by ratio instead of by difference.
    pub log_distance: bool,
    /// Room on a linear axis instead of a logarithmic one.
    pub linear: bool,
    /// Height of the eyes above the cloth, m, for the view from behind the cue ball.
    pub eye_height_m: Option<f64>,
    /// Mark the shot in charts that look beyond it: over paces, approaches, places, cuts.
    pub mark_shot: bool,
}

/// How room is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RoomUnit {
    /// Degrees of the cue ball's direction.
    Degrees,
    /// Millimetres at the ghost ball.
    Mm,
}

/// The distance that varies over a chart of many shots.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Over {
    /// Between the balls.
    #[default]
    Apart,
    /// From the object ball to the pocket.
    ToPocket,
}

/// A choice that a chart may offer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// [`Request::player`].
    Player,
    /// [`Options::room`].
    Room,
    /// [`Options::over`].
    Over,
    /// [`Options::log_distance`].
    LogDistance,
    /// [`Options::linear`].
    Linear,
    /// [`Options::eye_height_m`].
    EyeHeight,
}

/// What a chart is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Subject {
    /// One shot.
    Shot,
    /// A pocket, as a shot meets it or by itself.
    Pocket,
    /// A grid of shots.
    Grid,
    /// Usual hits and distances into a pocket.
    Hits,
    /// Several gears.
    Gears,
    /// The equipment alone.
    Gear,
}

impl Request {
    /// Of a gear alone, with the usual grid and no choices made.
    #[must_use]
    pub fn new(gear: Gear, size: Size) -> Self {
        Self {
            gear,
            size,
            shot: None,
            grid: Grid::default(),
            compared: None,
            player: None,
            around: None,
            units: UnitSystem::default(),
            options: Options::default(),
        }
    }

    /// The shot to mark in a chart that looks beyond it, with its window; none when it has none.
    pub(super) fn marked(&self) -> Option<(&Shot, AimWindow)> {
        let shot = self.shot.as_ref().filter(|_| self.options.mark_shot)?;
        let window = self.solved(shot).ok()?.window.ok()?;
        Some((shot, window))
    }

    /// The shot, or a sentence that says it is wanted.
    ///
    /// # Errors
    /// [`ChartError::NeedsShot`].
    pub fn shot(&self, chart: &'static str) -> Result<&Shot, ChartError> {
        self.shot.as_ref().ok_or(ChartError::NeedsShot { chart })
    }

    /// The shot past whatever stands round it.
    ///
    /// # Errors
    /// [`ChartError::NoRoom`] for a shot that cannot be solved.
    pub(super) fn solved(&self, shot: &Shot) -> Result<Solution, ChartError> {
        let solved = match &self.around {
            None => solve(&self.gear, shot),
            Some(around) => {
                let table = Table::new(&self.gear, &around.layout);
                solve_past(&table, shot, around.played()).map(|past| past.solution)
            }
        };
        solved.map_err(|e| ChartError::NoRoom(e.to_string()))
    }

    /// Where the balls lie that stand round it.
    pub(super) fn others(&self) -> Vec<Point> {
        self.around.iter().flat_map(Around::others).collect()
    }

    /// Whether a stance counts in a map.
    pub(super) fn counts_stance(&self) -> bool {
        self.player.is_some() && self.around.as_ref().is_some_and(|a| a.reach.is_some())
    }

    /// The line below a chart that counts neither other balls nor a stance.
    pub(super) fn footer_without(&self, footer: String) -> String {
        match self.around.as_ref().and_then(Around::left_out) {
            Some(left_out) => format!("{left_out} {footer}"),
            None => footer,
        }
    }
}
