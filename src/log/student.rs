//! A student: a label and what the layout needs to know. Nothing else personal is kept.

use thiserror::Error;

use crate::layout::Reach;
use crate::shown::quoted;
use crate::units::Hand;

/// Longest label, characters. Common practice: it has to fit on a score sheet.
pub const LABEL_CHARS: usize = 12;

/// Believable reaches over the table, mm. Assumption.
pub const REACH_RANGE_MM: (f64, f64) = (100.0, 2500.0);

/// Something about a student that cannot be kept.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum StudentError {
    /// A label that would not fit, or could be mistaken for something else.
    #[error("\"{label}\" is no label: use 1 to {LABEL_CHARS} of letters, digits, - and _")]
    Label {
        /// As given.
        label: String,
    },
    /// Not a hand.
    #[error("\"{value}\" is no hand: write left or right")]
    Hand {
        /// As given.
        value: String,
    },
    /// Not a reach.
    #[error("a reach of {reach_mm} mm: it must be from {} to {} mm", REACH_RANGE_MM.0, REACH_RANGE_MM.1)]
    Reach {
        /// As given.
        reach_mm: f64,
    },
}

/// A student.
#[derive(Debug, Clone, PartialEq)]
pub struct Student {
    /// 1 to 12 letters, digits, `-`, `_`.
    pub label: String,
    /// The hand, if known.
    pub hand: Option<Hand>,
    /// How far over the table they reach, mm, if known.
    pub reach_mm: Option<f64>,
}

impl Student {
    /// Hand and reach, where the reach is known; right-handed unless told otherwise.
    #[must_use]
    pub fn reach(&self) -> Option<Reach> {
        let hand = self.hand.unwrap_or(Hand::Right);
        let reach_m = 1e-3 * self.reach_mm?;
        Some(Reach { hand, reach_m })
    }

    /// A student of whom only the label is known.
    #[must_use]
    pub fn named(label: &str) -> Self {
        Self {
            label: label.to_owned(),
            hand: None,
            reach_mm: None,
        }
    }

    /// Checks label and reach.
    ///
    /// # Errors
    /// [`StudentError`].
    pub fn check(&self) -> Result<(), StudentError> {
        check_label(&self.label)?;
        match self.reach_mm {
            Some(reach_mm) if !(REACH_RANGE_MM.0..=REACH_RANGE_MM.1).contains(&reach_mm) => {
                Err(StudentError::Reach { reach_mm })
            }
            _ => Ok(()),
        }
    }
}

/// Checks a label.
///
/// # Errors
/// [`StudentError::Label`].
pub fn check_label(label: &str) -> Result<(), StudentError> {
    let count = label.chars().count();
    let fits = (1..=LABEL_CHARS).contains(&count);
    if fits
        && label
            .chars()
            .all(|c| c.is_alphanumeric() || c == '-' || c == '_')
    {
        Ok(())
    } else {
        Err(StudentError::Label {
            label: quoted(label),
        })
    }
}

/// Reads a hand.
///
/// # Errors
/// [`StudentError::Hand`].
pub fn read_hand(text: &str) -> Result<Hand, StudentError> {
    Hand::from_name(text).ok_or_else(|| StudentError::Hand {
        value: quoted(text),
    })
}
