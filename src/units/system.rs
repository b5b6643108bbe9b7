//! Millimetres or inches, in what people read.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::error::UnitError;
use crate::shown::quoted;

/// The units that texts for people use. Files, CSV and JSON are always in the units they name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum UnitSystem {
    /// Millimetres and metres.
    #[default]
    Metric,
    /// Inches and feet.
    Inches,
}

impl FromStr for UnitSystem {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        match text.trim().to_lowercase().as_str() {
            "metric" => Ok(Self::Metric),
            "inches" => Ok(Self::Inches),
            _ => Err(UnitError::NotAUnitSystem {
                value: quoted(text),
            }),
        }
    }
}

impl fmt::Display for UnitSystem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Metric => "metric",
            Self::Inches => "inches",
        })
    }
}
