//! Why a sheet cannot be laid out, or a booklet not be printed.

use thiserror::Error;

use crate::draw::{DrawError, RenderError};
use crate::error::UnitError;
use crate::field::{Field, Hint};
use crate::ladder::LadderError;
use crate::lesson::LessonError;
use crate::window::ShotError;

/// A sheet that cannot be laid out.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum SheetError {
    /// Wider or higher than a page.
    #[error(
        "{what} is {width_mm:.0} x {height_mm:.0} mm and the page has room for {room_width_mm:.0} x {room_height_mm:.0} mm; choose smaller measures or other paper"
    )]
    TooLarge {
        /// What.
        what: String,
        /// Needed.
        width_mm: f64,
        /// Needed.
        height_mm: f64,
        /// There is.
        room_width_mm: f64,
        /// There is.
        room_height_mm: f64,
    },
    /// Longer than its place.
    #[error("{what} \"{text}\" is too long for its place; use at most {most} letters")]
    TooLong {
        /// What.
        what: &'static str,
        /// As given.
        text: String,
        /// Most letters.
        most: usize,
    },
    /// A number out of its range.
    #[error("{what} is {value}; it must be {need}")]
    OutOfRange {
        /// Which input.
        what: Field,
        /// As given.
        value: String,
        /// What would work.
        need: &'static str,
    },
    /// No page was drawn.
    #[error("\"{0}\" has no pages; give it something to print")]
    Empty(String),
    /// Writing the PDF failed.
    #[error(transparent)]
    Render(#[from] RenderError),
}

impl SheetError {
    /// Whether somebody asked for what cannot be, rather than that something failed.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        match self {
            Self::Render(e) => e.is_bad_input(),
            _ => true,
        }
    }
}

/// A booklet that cannot be printed.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum BookletError {
    /// Made for other equipment.
    #[error(
        "this was drawn up for {was}, not for {now}; print it with {} {was}",
        Field::Gear
    )]
    Gear {
        /// In the file.
        was: String,
        /// The gear to print with.
        now: String,
    },
    /// A place.
    #[error("{0}")]
    Place(#[from] UnitError),
    /// A pocket.
    #[error("{0}")]
    Pocket(String),
    /// A lesson with a fault.
    #[error(transparent)]
    Lesson(#[from] LessonError),
    /// A shot that cannot be had.
    #[error("{place}: {problem}")]
    Shot {
        /// Which.
        place: String,
        /// Why.
        problem: String,
    },
    /// What passes.
    #[error(transparent)]
    Ladder(#[from] LadderError),
    /// A kept sheet of another kind.
    #[error("{code} is a {kind} sheet{}", Hint::PrintSheet { kind, code })]
    Kind {
        /// Its code.
        code: String,
        /// What it is.
        kind: &'static str,
    },
    /// Kept marks that are not those of one shot.
    #[error("{code}: {problem}{}", Hint::PrintAnswer)]
    Marks {
        /// Its code.
        code: String,
        /// Why they cannot be printed.
        problem: String,
    },
    /// The paper.
    #[error(transparent)]
    Sheet(#[from] SheetError),
}

impl BookletError {
    /// Whether somebody asked for what cannot be, rather than that something failed.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        match self {
            Self::Sheet(e) => e.is_bad_input(),
            _ => true,
        }
    }

    /// A shot, a part or a chart that cannot be had.
    pub(super) fn shot(place: &str, problem: impl std::fmt::Display) -> Self {
        Self::Shot {
            place: place.to_owned(),
            problem: problem.to_string(),
        }
    }
}

impl From<DrawError> for BookletError {
    fn from(e: DrawError) -> Self {
        Self::shot("a chart of the lesson", e)
    }
}

/// A sheet of shots that cannot be printed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ShotSheetError {
    /// The shots.
    #[error(transparent)]
    Shot(#[from] ShotError),
    /// The paper.
    #[error(transparent)]
    Sheet(#[from] SheetError),
    /// Nothing to draw.
    #[error("none of these shots goes in clean: there is no margin to draw")]
    NoGap,
}

impl ShotSheetError {
    /// Whether somebody asked for what cannot be, rather than that something failed.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        match self {
            Self::Sheet(e) => e.is_bad_input(),
            Self::Shot(_) | Self::NoGap => true,
        }
    }
}
