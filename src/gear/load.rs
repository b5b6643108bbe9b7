//! Getting a gear: by preset, file or text, with overrides; and writing it back.

use std::path::Path;

use super::equipment::Gear;
use super::keys::{all, find};
use super::layers::{Layers, good_name, is_bare_name};
use super::origin::{GearRow, LoadedGear, Origin};
use super::presets::Preset;
use super::text::{document, written};
use crate::error::GearError;

/// What is used when nobody says otherwise.
pub const DEFAULT_PRESET: &str = "pool-9ft";

impl Gear {
    /// Names of the built-in presets, the default first.
    #[must_use]
    pub const fn preset_names() -> &'static [&'static str] {
        Preset::NAMES
    }

    /// A built-in table.
    ///
    /// ```
    /// use thincut::{Gear, Preset};
    ///
    /// let gear = Gear::standard(Preset::Pool9Ft)?;
    /// assert!((gear.bed.length_m - 2.54).abs() < 1e-9);
    /// # Ok::<(), thincut::GearError>(())
    /// ```
    ///
    /// # Errors
    /// None for those that are built in: each is read by a test.
    pub fn standard(preset: Preset) -> Result<Self, GearError> {
        Self::preset(preset.name())
    }

    /// A built-in table by its name.
    ///
    /// # Errors
    /// [`GearError::UnknownGear`], with the nearest name.
    pub fn preset(name: &str) -> Result<Self, GearError> {
        let mut layers = Layers::default();
        layers.preset(name)?;
        Ok(layers.build(&Origin::Preset(name.to_owned()))?.gear)
    }

    /// A preset's name or the path of a gear file.
    ///
    /// # Errors
    /// Every [`GearError`] but the one of overrides.
    pub fn load(name_or_path: &str) -> Result<Self, GearError> {
        Ok(LoadedGear::load(name_or_path, &[])?.gear)
    }

    /// A gear from the text of a file; a `base` path in it is relative to the working folder.
    ///
    /// # Errors
    /// As [`Gear::load`].
    pub fn from_toml_str(text: &str) -> Result<Self, GearError> {
        let mut layers = Layers::default();
        layers.text(text, &Origin::Text, Path::new(""))?;
        Ok(layers.build(&Origin::Text)?.gear)
    }

    /// This gear with `KEY=VALUE` laid over it, checked again.
    ///
    /// ```
    /// use thincut::{Gear, Preset};
    ///
    /// let gear = Gear::standard(Preset::Pool9Ft)?;
    /// let tight = gear.with_overrides(&["pocket.corner.mouth=4.25in".to_owned()])?;
    /// assert!(tight.corner.mouth_m < gear.corner.mouth_m);
    /// # Ok::<(), thincut::GearError>(())
    /// ```
    ///
    /// # Errors
    /// As [`Gear::load`], and [`GearError::BadOverride`].
    pub fn with_overrides(&self, overrides: &[String]) -> Result<Self, GearError> {
        let mut layers = Layers::default();
        layers.text(&self.to_toml(), &Origin::Text, Path::new(""))?;
        layers.overrides(overrides)?;
        Ok(layers.build(&Origin::Text)?.gear)
    }

    /// A gear file with every value; read back it gives an equal gear.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let lines = all().filter_map(|key| {
            let si = (key.get)(self)?;
            Some((key.path, written(key.kind, si, &key.kind.text(si)), None))
        });
        document(&self.name, None, self.bed.marks, lines)
    }
}

/// A value measured, to be laid over a gear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeasuredValue {
    /// The key with its sections, `pocket.corner.mouth`.
    pub key: &'static str,
    /// The value as a gear file has it, `115.5mm`.
    pub text: String,
    /// What stands beside it: day, readings, uncertainty.
    pub source: String,
}

impl LoadedGear {
    /// This gear under another name, with measured values instead of its own.
    ///
    /// # Errors
    /// [`GearError`]: a name that will not do, an unknown key, a text that is no such value, or a
    /// table that no ball could be played on.
    pub fn measured(
        &self,
        name: &str,
        note: String,
        values: &[MeasuredValue],
    ) -> Result<Self, GearError> {
        let mut out = self.clone();
        out.gear.name = good_name(name, &Origin::Measured)?;
        out.note = Some(note);
        for value in values {
            let unknown = || GearError::UnknownKey {
                key: value.key.to_owned(),
                origin: Origin::Measured.to_string(),
                suggestion: String::new(),
            };
            let key = find(value.key).ok_or_else(unknown)?;
            let si = key
                .kind
                .parse(&value.text)
                .map_err(|problem| GearError::BadValue {
                    key: value.key.to_owned(),
                    origin: Origin::Measured.to_string(),
                    problem: Box::new(problem),
                })?;
            (key.set)(&mut out.gear, si);
            out.rows.retain(|row| row.key != key.path);
            out.rows.push(GearRow {
                key: key.path,
                value: value.text.clone(),
                origin: Origin::Measured,
                source: Some(value.source.clone()),
            });
        }
        let place = |row: &GearRow| all().position(|key| key.path == row.key);
        out.rows.sort_by_key(place);
        out.gear.check()?;
        Ok(out)
    }

    /// A preset's name or the path of a gear file, with `KEY=VALUE` overrides laid over it.
    ///
    /// # Errors
    /// Every [`GearError`].
    pub fn load(name_or_path: &str, overrides: &[String]) -> Result<Self, GearError> {
        let mut layers = Layers::default();
        let origin = layers.named(name_or_path, Path::new(""))?;
        layers.overrides(overrides)?;
        layers.build(&origin)
    }

    /// As [`LoadedGear::load`], for a name that stands in a file which may come from anybody: a
    /// preset, or a file in `folder`, the one that file lies in (empty for the working folder).
    ///
    /// # Errors
    /// Every [`GearError`]; [`GearError::NotBeside`] for a path.
    pub fn load_beside(folder: &Path, name: &str, overrides: &[String]) -> Result<Self, GearError> {
        let mut layers = Layers::beside();
        let origin = layers.named(name, folder)?;
        layers.overrides(overrides)?;
        layers.build(&origin)
    }

    /// Whether [`LoadedGear::load_beside`] would look for a gear of this name.
    #[must_use]
    pub fn may_stand_in_a_file(name: &str) -> bool {
        is_bare_name(name)
    }

    /// A gear file with every value, where it comes from and its source beside it; read back it
    /// gives an equal gear.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let lines = self.rows.iter().filter_map(|row| {
            let key = find(row.key)?;
            let si = (key.get)(&self.gear)?;
            let origin = format!("{}: ", row.origin);
            let comment = row.source.as_deref().unwrap_or("no source given");
            let value = written(key.kind, si, &row.value);
            Some((key.path, value, Some(format!("{origin}{comment}"))))
        });
        document(
            &self.gear.name,
            self.note.as_deref(),
            self.gear.bed.marks,
            lines,
        )
    }
}
