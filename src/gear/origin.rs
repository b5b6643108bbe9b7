//! A gear with the origin of each value.

use std::fmt;
use std::path::PathBuf;

use super::equipment::Gear;
use crate::field::Field;

/// Where a value was given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// A built-in preset.
    Preset(String),
    /// A file.
    File(PathBuf),
    /// A text that is in no file.
    Text,
    /// An override.
    Set,
    /// A measurement of the table itself.
    Measured,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Preset(name) => write!(f, "preset {name}"),
            Self::File(path) => write!(f, "file {}", path.display()),
            Self::Text => f.write_str("the table text"),
            Self::Set => Field::Set.fmt(f),
            Self::Measured => f.write_str("measured"),
        }
    }
}

/// One value of a gear with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct GearRow {
    /// The key with its sections, `pocket.corner.mouth`.
    pub key: &'static str,
    /// The value with its unit, as it was written.
    pub value: String,
    /// Where it was given.
    pub origin: Origin,
    /// The comment beside it: source and mark.
    pub source: Option<String>,
}

/// A gear with the origin of each value.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadedGear {
    /// The equipment itself.
    pub gear: Gear,
    /// What the file says about itself.
    pub note: Option<String>,
    /// Every value, in the order files are written.
    pub rows: Vec<GearRow>,
}
