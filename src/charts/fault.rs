//! Why a chart cannot be drawn.

use thiserror::Error;

use crate::draw::DrawError;
use crate::field::{Field, Fields, Hint};
use crate::window::ShotError;

/// A chart that cannot be drawn.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ChartError {
    /// No chart of that name.
    #[error("no chart is called `{name}`{}{}", suggestion(.nearest), Hint::ListCharts)]
    Unknown {
        /// As asked.
        name: String,
        /// The nearest name, if any is near.
        nearest: Option<&'static str>,
    },
    /// A chart of one shot without one.
    #[error(
        "chart {chart} draws one shot: give {}, or {}",
        Fields::ON_TABLE,
        Fields::BY_ANGLES
    )]
    NeedsShot {
        /// The chart.
        chart: &'static str,
    },
    /// A ball that would lie off the table.
    #[error(
        "the {ball} of this shot would lie off the table; shorten {} or {}, or give {}",
        Field::Apart,
        Field::ToPocket,
        Fields::ON_TABLE
    )]
    OffTheTable {
        /// Which.
        ball: &'static str,
    },
    /// A chart over a grid whose axis has one value.
    #[error("chart {chart} needs two different values at least in {option}")]
    NeedsRange {
        /// The chart.
        chart: &'static str,
        /// The option that gives too few.
        option: Field,
    },
    /// A comparison without gears to compare.
    #[error(
        "chart {chart} compares tables: give {0} two to five times, such as {0} pool-9ft {0} pool-7ft",
        Field::Gear
    )]
    NeedsGears {
        /// The chart.
        chart: &'static str,
    },
    /// A picture that cannot be drawn.
    #[error(transparent)]
    Draw(#[from] DrawError),
    /// A shot that cannot stand.
    #[error(transparent)]
    Shot(#[from] ShotError),
    /// A shot that cannot be solved or has no window.
    #[error("this shot has no margin to draw: {0}")]
    NoRoom(String),
}

impl ChartError {
    /// Whether somebody asked for what cannot be, rather than that something failed.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        !matches!(self, Self::Draw(DrawError::Drawing(_)))
    }
}

fn suggestion(nearest: &Option<&'static str>) -> String {
    nearest.map_or_else(String::new, |n| format!("; did you mean `{n}`?"))
}
