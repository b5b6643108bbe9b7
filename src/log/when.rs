//! Dates and times as they are written: RFC 3339, a day or a day with a time and its offset.

use std::fmt;
use std::str::FromStr;

use crate::shown::quoted;
use jiff::Timestamp;
use jiff::civil::Date;
use thiserror::Error;

/// Length of `2025-11-25`.
const DAY_CHARS: usize = 10;

/// A day, or an instant on a day.
///
/// The text is kept as written. The *day* is the one written, at the place it was written in: a
/// Tuesday evening stays a Tuesday, whatever its date in another time zone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct When {
    text: String,
    instant: Option<Timestamp>,
}

/// Not a date.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error(
    "\"{value}\" is no date: write a day such as 2025-11-25, or a time with its offset such as 2025-11-25T19:30:00+01:00 or …Z"
)]
pub struct WhenError {
    /// The text as given.
    pub value: String,
}

impl When {
    /// As written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// The day written, `2025-11-25`.
    #[must_use]
    pub fn day(&self) -> &str {
        &self.text[..DAY_CHARS]
    }

    /// Microseconds since 1970 in UTC, when a time was given.
    #[must_use]
    pub fn instant_us(&self) -> Option<i64> {
        self.instant.map(Timestamp::as_microsecond)
    }
}

impl FromStr for When {
    type Err = WhenError;

    fn from_str(text: &str) -> Result<Self, WhenError> {
        let fault = || WhenError {
            value: quoted(text),
        };
        // The parser knows more notations than RFC 3339; these are the characters of that one.
        let plain = |c: char| c.is_ascii_digit() || matches!(c, '-' | ':' | '.' | '+' | 'T' | 'Z');
        if !text.chars().all(plain) {
            return Err(fault());
        }
        let (day, time) = text.split_at_checked(DAY_CHARS).ok_or_else(fault)?;
        let dashes = day
            .bytes()
            .enumerate()
            .all(|(k, b)| (b == b'-') == matches!(k, 4 | 7));
        if !dashes {
            return Err(fault());
        }
        day.parse::<Date>().map_err(|_| fault())?;
        let instant = match time.as_bytes() {
            [] => None,
            [b'T', ..] => Some(text.parse::<Timestamp>().map_err(|_| fault())?),
            _ => return Err(fault()),
        };
        Ok(Self {
            text: text.to_owned(),
            instant,
        })
    }
}

impl fmt::Display for When {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text)
    }
}
