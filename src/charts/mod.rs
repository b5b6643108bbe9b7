//! Charts: pictures that answer one question each. All are listed in [`ALL`], one file a chart.
//!
//! [`request`](Request) is what they are drawn from; the table from above ([`view`]), a shot laid on
//! it and the slice of a grid are what several of them share.

mod around;
pub mod behind;
pub mod bias;
pub mod budget;
pub mod by_cut;
mod chart;
pub(crate) mod corridor;
mod evenings;
mod fault;
pub mod gear;
pub mod grid;
pub mod layout;
pub mod leave;
pub mod margins;
pub mod moved;
pub mod pace;
mod panels;
pub mod places;
pub mod pocket;
pub(crate) mod poster;
mod predictions;
mod request;
mod scene;
pub mod shot;
mod slice;
pub mod stroke;
pub mod table;
mod trade;
pub mod view;
pub mod why;
pub mod why_thin;
pub(crate) mod words;
pub mod works;

pub use around::Around;
pub use chart::{AnswerChart, Chart, Found};
pub use evenings::EveningsChart;
pub use fault::ChartError;
pub use predictions::PredictionsChart;
pub use request::{Choice, Options, Over, Request, RoomUnit, Subject};
pub use trade::in_words_of;

use crate::answer::SkillAnswer;
use crate::shown::nearest;

/// A chart and what it is drawn from.
#[expect(
    missing_debug_implementations,
    reason = "charts are functions, not data"
)]
#[derive(Clone, Copy)]
pub enum Entry {
    /// What is asked for: gear, shot, grid.
    Asked(&'static dyn Chart),
    /// The error budget of a shot.
    Budget(&'static dyn for<'a> AnswerChart<budget::Budgeted<'a>>),
    /// What the log tells of a student.
    Student(&'static dyn AnswerChart<SkillAnswer>),
    /// What a command of its own finds, and draws into its folder.
    Found(Found),
}

/// All charts: those of `chart list` in its order, then those of the page, then those that only go
/// with an answer.
pub const ALL: &[Entry] = &[
    Entry::Asked(&why_thin::WhyThinChart),
    Entry::Asked(&shot::ShotChart),
    Entry::Asked(&places::PlacesChart),
    Entry::Asked(&pace::PaceChart),
    Entry::Asked(&pocket::PocketChart),
    Entry::Asked(&why::WhyChart),
    Entry::Asked(&by_cut::ByCutChart),
    Entry::Asked(&grid::GridChart),
    Entry::Asked(&gear::GearChart),
    Entry::Asked(&table::TableChart),
    Entry::Budget(&budget::BudgetChart),
    Entry::Student(&EveningsChart),
    Entry::Student(&PredictionsChart),
    Entry::Found(layout::CHART),
    Entry::Found(leave::CHART),
    Entry::Found(bias::CHART),
    Entry::Found(works::CHART),
    Entry::Found(moved::CHART),
];

impl Entry {
    /// As typed.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Asked(chart) => chart.name(),
            Self::Budget(chart) => chart.name(),
            Self::Student(chart) => chart.name(),
            Self::Found(chart) => chart.name,
        }
    }

    /// The question it answers.
    #[must_use]
    pub fn question(&self) -> &'static str {
        match self {
            Self::Asked(chart) => chart.question(),
            Self::Budget(chart) => chart.question(),
            Self::Student(chart) => chart.question(),
            Self::Found(chart) => chart.question,
        }
    }
}

/// The charts of what is asked for, in the order of `chart list`.
pub fn asked() -> impl Iterator<Item = &'static dyn Chart> {
    ALL.iter().filter_map(|entry| match entry {
        Entry::Asked(chart) => Some(*chart),
        _ => None,
    })
}

/// The chart of that name among those of what is asked for.
///
/// # Errors
/// [`ChartError::Unknown`] with the nearest name.
pub fn find(name: &str) -> Result<&'static dyn Chart, ChartError> {
    asked()
        .find(|c| c.name() == name)
        .ok_or_else(|| ChartError::Unknown {
            name: name.to_owned(),
            nearest: nearest(name, asked().map(Chart::name)),
        })
}
