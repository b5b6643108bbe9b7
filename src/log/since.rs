//! From when on a student's attempts count, as somebody says it.

use jiff::ToSpan as _;
use jiff::civil::Date;
use thiserror::Error;

use super::when::{When, WhenError};
use crate::shown::quoted;

/// From when on a student's attempts count.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Since {
    /// Since the change that they show, where they show one; else all of them.
    #[default]
    Change,
    /// All of them.
    Everything,
    /// From a day or an instant on.
    Day(When),
}

/// Not a period.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error(
    "\"{value}\" is no first day: write one such as 2025-11-25, or \"this week\", \"this month\", \"this year\", or all"
)]
pub struct SinceError {
    /// The text as given.
    pub value: String,
}

impl Since {
    /// The day or instant, where there is one.
    #[must_use]
    pub fn when(&self) -> Option<&When> {
        match self {
            Self::Day(when) => Some(when),
            Self::Change | Self::Everything => None,
        }
    }

    /// `change`, `all`, or the day or instant.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Change => "change",
            Self::Everything => "all",
            Self::Day(when) => when.as_str(),
        }
    }

    /// Reads a day, `this week`, `this month`, `this year` (with a blank or a hyphen), `all`, or `change`, as of
    /// a day.
    ///
    /// # Errors
    /// [`SinceError`].
    pub fn read(text: &str, today: &When) -> Result<Self, SinceError> {
        let fault = || SinceError {
            value: quoted(text),
        };
        let day: Date = today.day().parse().map_err(|_| fault())?;
        let first = match text.trim().replace('-', " ").as_str() {
            "all" => return Ok(Self::Everything),
            "change" => return Ok(Self::Change),
            "this week" => {
                let gone = i64::from(day.weekday().to_monday_zero_offset());
                day.checked_sub(gone.days()).map_err(|_| fault())?
            }
            "this month" => day.first_of_month(),
            "this year" => day.first_of_year(),
            _ => return text.parse().map(Self::Day).map_err(|_: WhenError| fault()),
        };
        first
            .to_string()
            .parse()
            .map(Self::Day)
            .map_err(|_| fault())
    }
}
