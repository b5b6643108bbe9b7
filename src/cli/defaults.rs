//! Defaults for table and units: flag over environment over `thincut.toml` in the working folder
//! over the one in the user's config folder. Nothing else can be set there.

use std::fmt;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use thincut::files::{self, ReadError, TABLE_BYTES};
use thincut::gear::Gear;
use thincut::speech::{Speech, WordSet};
use thincut::units::UnitSystem;
use toml::{Table, Value};

/// The file looked for in both folders.
const FILE: &str = "thincut.toml";
/// What THINCUT_TABLE was called in the first edition.
const FIRST_EDITION_TABLE: &str = "THINCUT_GEAR";

/// What the files say; `None` where they are silent.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Defaults {
    /// A preset's name or the path of a gear file.
    pub(crate) gear: Option<String>,
    /// Units of texts.
    pub(crate) units: Option<UnitSystem>,
    /// Words of texts.
    pub(crate) words: Option<WordSet>,
}

/// A defaults file that cannot be used: bad input.
#[derive(Debug)]
pub(crate) struct DefaultsError {
    path: PathBuf,
    problem: String,
}

impl fmt::Display for DefaultsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.path.display(), self.problem)
    }
}

impl std::error::Error for DefaultsError {}

/// `--units` of every command that prints text.
#[derive(Debug, Clone, Default, clap::Args)]
#[command(next_help_heading = "What to show")]
pub(crate) struct UnitArgs {
    /// metric or inches [default: metric]
    #[arg(long, value_name = "SYSTEM", env = "THINCUT_UNITS")]
    pub(crate) units: Option<UnitSystem>,
    /// us or uk [default: as the table is, pool us]
    #[arg(long, value_name = "WORDS", env = "THINCUT_WORDS")]
    pub(crate) words: Option<WordSet>,
}

impl UnitArgs {
    /// The flag or environment, else the files, else metric and the words of the table.
    pub(crate) fn pick(&self, defaults: &Defaults, gear: &Gear) -> Speech {
        let words = self.words.or(defaults.words);
        Speech::new(
            words.unwrap_or_else(|| WordSet::of(gear.bed.marks)),
            self.units_alone(defaults),
        )
    }

    /// Where no table is known.
    pub(crate) fn without_table(&self, defaults: &Defaults) -> Speech {
        let words = self.words.or(defaults.words).unwrap_or_default();
        Speech::new(words, self.units_alone(defaults))
    }

    /// The units alone.
    pub(crate) fn units_alone(&self, defaults: &Defaults) -> UnitSystem {
        self.units.or(defaults.units).unwrap_or_default()
    }
}

impl Defaults {
    /// Reads both files; the one in the working folder wins, key by key.
    pub(crate) fn read() -> Result<Self, DefaultsError> {
        let here = Self::file(Path::new(FILE))?;
        let user = directories::ProjectDirs::from("", "", "thincut")
            .map(|dirs| Self::file(&dirs.config_dir().join(FILE)))
            .transpose()?
            .unwrap_or_default();
        Ok(Self {
            // The variable of the first edition is read for good.
            gear: std::env::var(FIRST_EDITION_TABLE)
                .ok()
                .filter(|name| !name.is_empty())
                .or(here.gear)
                .or(user.gear),
            units: here.units.or(user.units),
            words: here.words.or(user.words),
        })
    }

    fn file(path: &Path) -> Result<Self, DefaultsError> {
        let fault = |problem: String| DefaultsError {
            path: path.to_owned(),
            problem,
        };
        let text = match files::text(path, TABLE_BYTES) {
            Ok(text) => text,
            Err(ReadError::System(error)) if error.kind() == ErrorKind::NotFound => {
                return Ok(Self::default());
            }
            Err(error) => return Err(fault(format!("cannot be read: {error}"))),
        };
        let table: Table = text.parse().map_err(|error: toml::de::Error| {
            fault(format!(
                "not valid TOML: {}",
                error.message().replace('\n', " ")
            ))
        })?;
        let mut defaults = Self::default();
        for (key, value) in &table {
            let Value::String(word) = value else {
                return Err(fault(format!("{key} must be a text in quotes")));
            };
            match key.as_str() {
                "table" | "gear" => defaults.gear = Some(gear_beside(path, word)),
                "units" => {
                    let units = word
                        .parse()
                        .map_err(|error| fault(format!("units: {error}")))?;
                    defaults.units = Some(units);
                }
                "words" => {
                    let words = word
                        .parse()
                        .map_err(|error| fault(format!("words: {error}")))?;
                    defaults.words = Some(words);
                }
                _ => {
                    return Err(fault(format!(
                        "unknown key {key}: only table, units and words can be set here"
                    )));
                }
            }
        }
        Ok(defaults)
    }
}

/// A path is meant from the folder of the file that names it.
fn gear_beside(file: &Path, name: &str) -> String {
    let is_path = name.contains(['/', '\\']) || name.ends_with(".toml");
    match file.parent() {
        Some(folder) if is_path && !Gear::preset_names().contains(&name) => {
            folder.join(name).display().to_string()
        }
        _ => name.to_owned(),
    }
}
