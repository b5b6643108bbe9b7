//! Charts: pictures that answer one question each, drawn to SVG and from that to PNG and PDF.
//!
//! [`colour`], [`text`], [`labels`] and [`theme`] say how things look, [`svg`] and [`plot`] draw
//! canvas and axes, [`lines`], [`heat`], [`bars`] and [`calibration`] are charts of plain numbers,
//! [`dots`] as well; [`mod@budget`] and [`skill`] are what the player's commands draw,
//! [`table`] is the table from above, [`render`], [`pdf`] and [`tags`] turn an SVG into files. The charts
//! behind [`Chart`] are listed in [`ALL`].

pub mod aims;
pub mod aims_moved;
mod around;
pub(crate) mod backend;
pub mod bars;
pub mod behind;
pub mod budget;
pub mod by_cut;
pub mod calibration;
pub mod colour;
pub mod contour;
pub mod dots;
pub mod gear;
pub mod grid;
pub mod heat;
pub mod labels;
pub mod layout;
pub mod leave;
pub mod lines;
pub mod pace;
pub mod paint;
pub mod pdf;
mod perspective;
pub mod places;
pub mod plot;
pub mod pocket;
pub mod render;
mod request;
mod rows;
pub mod shot;
pub mod skill;
mod survey;
pub mod svg;
pub mod table;
pub mod tags;
pub mod text;
pub mod theme;
pub mod why;

use thiserror::Error;

pub use around::Around;
pub use request::{Choice, Options, Over, Request, RoomUnit, Subject};

use crate::field::{Field, Fields};
use crate::shown::may_be_a_slip;
use crate::window::ShotError;

/// A chart that cannot be drawn.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ChartError {
    /// No chart of that name.
    #[error("no chart is called `{name}`{}; `chart list` shows all", suggestion(.nearest))]
    Unknown {
        /// As asked.
        name: String,
        /// The nearest name, if any is near.
        nearest: Option<&'static str>,
    },
    /// More lines than can be told apart.
    #[error("{count} lines in one chart cannot be told apart; choose at most 5")]
    TooManyLines {
        /// As asked.
        count: usize,
    },
    /// Nothing to draw.
    #[error("{what} has nothing to draw: {why}")]
    Empty {
        /// The chart or the series.
        what: String,
        /// What is missing.
        why: &'static str,
    },
    /// An axis that cannot be drawn.
    #[error(
        "axis \"{title}\" cannot run from {from} to {to}; the end must be larger than the start{}",
        if *.log { " and both larger than 0 on a logarithmic axis" } else { "" }
    )]
    Axis {
        /// Axis title.
        title: String,
        /// Start.
        from: f64,
        /// End.
        to: f64,
        /// Logarithmic.
        log: bool,
    },
    /// A value that cannot be placed.
    #[error("\"{series}\": {value} cannot be drawn; {why}")]
    Value {
        /// Series.
        series: String,
        /// The value.
        value: f64,
        /// What would work.
        why: &'static str,
    },
    /// Not enough room.
    #[error(
        "{width_px}x{height_px} leaves no room for the picture below its title; try {} 1200x800",
        Field::Size
    )]
    TooSmall {
        /// Width in pixels.
        width_px: u32,
        /// Height in pixels.
        height_px: u32,
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
        "chart {chart} compares gears: give {0} two to five times, such as {0} pool-9ft {0} pool-7ft",
        Field::Gear
    )]
    NeedsGears {
        /// The chart.
        chart: &'static str,
    },
    /// A shot that cannot stand.
    #[error(transparent)]
    Shot(#[from] ShotError),
    /// A shot that cannot be solved or has no window.
    #[error("this shot has no room to draw: {0}")]
    NoRoom(String),
    /// The drawing library refused.
    #[error("the chart could not be drawn: {0}")]
    Drawing(String),
}

impl ChartError {
    /// Whether somebody asked for what cannot be, rather than that something failed.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        !matches!(self, Self::Drawing(_))
    }
}

fn suggestion(nearest: &Option<&'static str>) -> String {
    nearest.map_or_else(String::new, |n| format!("; did you mean `{n}`?"))
}

/// A finished picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The SVG file.
    pub svg: String,
    /// The question or the finding.
    pub title: String,
    /// The picture in words.
    pub desc: String,
    /// Width in pixels.
    pub width_px: u32,
    /// Height in pixels.
    pub height_px: u32,
}

/// One kind of chart.
pub trait Chart: Sync {
    /// As typed.
    fn name(&self) -> &'static str;
    /// The question it answers.
    fn question(&self) -> &'static str;
    /// What it is about.
    fn subject(&self) -> Subject {
        Subject::Shot
    }
    /// The choices it offers.
    fn choices(&self) -> &'static [Choice] {
        &[]
    }
    /// Draws it.
    ///
    /// # Errors
    /// [`ChartError`].
    fn draw(&self, request: &Request) -> Result<Picture, ChartError>;
}

/// All charts, in the order of `chart list`.
pub const ALL: &[&dyn Chart] = &[
    &shot::ShotChart,
    &places::PlacesChart,
    &pace::PaceChart,
    &pocket::PocketChart,
    &why::WhyChart,
    &by_cut::ByCutChart,
    &grid::GridChart,
    &gear::GearChart,
    &table::TableChart,
];

/// The chart of that name.
///
/// # Errors
/// [`ChartError::Unknown`] with the nearest name.
pub fn find(name: &str) -> Result<&'static dyn Chart, ChartError> {
    ALL.iter()
        .copied()
        .find(|c| c.name() == name)
        .ok_or_else(|| ChartError::Unknown {
            name: name.to_owned(),
            nearest: nearest(name),
        })
}

/// The name most alike, when it is alike enough to be a slip of the keys.
fn nearest(name: &str) -> Option<&'static str> {
    // Jaro–Winkler 0.7 (assumption) keeps swapped and missing letters, not other words.
    ALL.iter()
        .filter(|_| may_be_a_slip(name))
        .map(|c| (strsim::jaro_winkler(name, c.name()), c.name()))
        .filter(|(likeness, _)| *likeness >= 0.7)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, n)| n)
}
