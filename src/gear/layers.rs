//! Presets, files and overrides, laid over one another in that order and checked once.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use toml::{Table, Value};

use super::keys::{self, Kind};
use super::origin::{GearRow, LoadedGear, Origin};
use super::presets::Preset;
use super::text::{PlainLine, comments, plain_lines, syntax_message};
use super::{Marks, POCKETS};
use crate::error::{GearError, UnitError};
use crate::files::{TABLE_BYTES, text};
use crate::shown::{quoted, suggestion};
use crate::units::hint_units;

#[derive(Debug, Clone)]
struct Entry {
    si: f64,
    text: String,
    origin: Origin,
    source: Option<String>,
}

/// Values gathered so far; later ones replace earlier ones.
#[derive(Debug, Default)]
pub(super) struct Layers {
    name: Option<String>,
    note: Option<String>,
    marks: Marks,
    entries: BTreeMap<&'static str, Entry>,
    /// Files and presets being read, to see circles.
    open: Vec<String>,
    /// Keys that an override gave another value, in the order given.
    changed: Vec<&'static str>,
    /// An override gave the name.
    renamed: bool,
    /// Somebody else's file names the gear: presets, and files beside that one.
    beside: bool,
}

impl Layers {
    /// For gears named in a file that may come from anybody.
    pub(super) fn beside() -> Self {
        Self {
            beside: true,
            ..Self::default()
        }
    }

    pub(super) fn named(&mut self, name: &str, folder: &Path) -> Result<Origin, GearError> {
        if Preset::named(name).is_some() {
            self.preset(name)?;
            return Ok(Origin::Preset(name.to_owned()));
        }
        if self.beside && !is_bare_name(name) {
            return Err(GearError::NotBeside { name: quoted(name) });
        }
        let path = folder.join(name);
        let looks_like_path = name.contains(['/', '\\']) || name.ends_with(".toml");
        if !looks_like_path && !path.is_file() {
            return Err(unknown_gear(name));
        }
        self.file(&path)?;
        Ok(Origin::File(path))
    }

    pub(super) fn preset(&mut self, name: &str) -> Result<(), GearError> {
        let text = Preset::named(name)
            .ok_or_else(|| unknown_gear(name))?
            .text();
        self.enter(name.to_owned())?;
        let origin = Origin::Preset(name.to_owned());
        match plain_lines(text) {
            Some(lines) => self.lines(&lines, &origin)?,
            None => self.text(text, &origin, Path::new(""))?,
        }
        self.open.pop();
        Ok(())
    }

    fn lines(&mut self, lines: &[PlainLine<'_>], origin: &Origin) -> Result<(), GearError> {
        if let Some((key, base, _)) = lines.iter().find(|(key, ..)| key == "base") {
            self.named(string(key, base, origin)?, Path::new(""))?;
        }
        (self.name, self.note) = (None, None);
        for (key, value, source) in lines.iter().filter(|(key, ..)| key != "base") {
            self.value(key, value, origin, source.map(str::to_owned))?;
        }
        Ok(())
    }

    fn file(&mut self, path: &Path) -> Result<(), GearError> {
        let unreadable = |fault| GearError::Unreadable {
            path: path.display().to_string(),
            fault,
        };
        let text = text(path, TABLE_BYTES).map_err(unreadable)?;
        let real = fs::canonicalize(path).map_err(|fault| unreadable(fault.into()))?;
        self.enter(real.display().to_string())?;
        let folder = path.parent().unwrap_or(Path::new(""));
        self.text(&text, &Origin::File(path.to_owned()), folder)?;
        self.open.pop();
        Ok(())
    }

    fn enter(&mut self, step: String) -> Result<(), GearError> {
        let seen = self.open.contains(&step);
        self.open.push(step);
        if seen {
            return Err(GearError::BaseCycle {
                chain: self.open.join(" → "),
            });
        }
        Ok(())
    }

    pub(super) fn text(
        &mut self,
        text: &str,
        origin: &Origin,
        folder: &Path,
    ) -> Result<(), GearError> {
        let table: Table = text
            .parse()
            .map_err(|error: toml::de::Error| GearError::Syntax {
                origin: origin.to_string(),
                message: syntax_message(text, &error),
            })?;
        if let Some(base) = table.get("base") {
            self.named(string("base", base, origin)?, folder)?;
        }
        // A name belongs to the file that gives it, not to those built on it.
        self.name = match origin {
            Origin::File(path) => path
                .file_stem()
                .map(|stem| stem.to_string_lossy().into_owned()),
            _ => None,
        };
        self.note = None;
        let sources = comments(text);
        self.table("", &table, origin, &sources)
    }

    fn table(
        &mut self,
        section: &str,
        table: &Table,
        origin: &Origin,
        sources: &BTreeMap<String, String>,
    ) -> Result<(), GearError> {
        // What holds of a kind comes first, then what single pockets have otherwise.
        let of_kind = |word: &str| section == "pocket" && matches!(word, "corner" | "side");
        let (kinds, rest): (Vec<_>, Vec<_>) = table.iter().partition(|(word, _)| of_kind(word));
        for (word, value) in kinds.into_iter().chain(rest) {
            let path = if section.is_empty() {
                word.clone()
            } else {
                format!("{section}.{word}")
            };
            match value {
                // Unknown sections are entered too: the key in them makes a better message.
                Value::Table(inner) if is_section(&path) || is_unknown_section(&path, inner) => {
                    self.table(&path, inner, origin, sources)?;
                }
                _ if path == "base" => {}
                _ => self.value(&path, value, origin, sources.get(&path).cloned())?,
            }
        }
        Ok(())
    }

    fn value(
        &mut self,
        path: &str,
        value: &Value,
        origin: &Origin,
        source: Option<String>,
    ) -> Result<(), GearError> {
        match path {
            "name" => {
                self.name = Some(good_name(string(path, value, origin)?, origin)?);
                return Ok(());
            }
            "note" => {
                self.note = Some(string(path, value, origin)?.to_owned());
                return Ok(());
            }
            "marks" => {
                let text = string(path, value, origin)?;
                let marks = Marks::ALL.into_iter().find(|m| m.name() == text);
                self.marks = marks.ok_or_else(|| GearError::UnknownMarks {
                    value: quoted(text),
                    origin: origin.to_string(),
                })?;
                return Ok(());
            }
            _ => {}
        }
        let Some(key) = keys::find(path) else {
            return Err(GearError::UnknownKey {
                key: quoted(path),
                origin: origin.to_string(),
                suggestion: keys::key_suggestion(path),
            });
        };
        let text = match value {
            Value::String(text) => text.clone(),
            Value::Integer(number) => number.to_string(),
            Value::Float(number) => number.to_string(),
            other => return Err(wrong_type(path, other, origin, key.kind.wanted())),
        };
        let si = key.kind.parse(&text).map_err(|error| GearError::BadValue {
            key: path.to_owned(),
            origin: origin.to_string(),
            problem: Box::new(self.hinted(key, error)),
        })?;
        // What is said of all pockets of a kind replaces what was said of one before.
        for single in keys::singles_of(key.path) {
            self.entries.remove(single);
        }
        self.entries.insert(
            key.path,
            Entry {
                si,
                text,
                origin: origin.clone(),
                source,
            },
        );
        Ok(())
    }

    /// A forgotten unit hinted at: one that makes the value much like the one it replaces, or at
    /// least one that the key allows.
    fn hinted(&self, key: &keys::Key, error: UnitError) -> UnitError {
        // Tables differ by less than this from one another (assumption).
        const ALIKE: f64 = 2.0;
        let error = hint_units(error, |si| key.range.holds(si));
        match self.entries.get(key.path) {
            Some(old) => hint_units(error, |si| {
                key.range.holds(si) && si <= ALIKE * old.si && old.si <= ALIKE * si
            }),
            None => error,
        }
    }

    pub(super) fn overrides(&mut self, overrides: &[String]) -> Result<(), GearError> {
        let of_one = |text: &&String| {
            let key = text.split('=').next().unwrap_or_default().trim();
            let key = key.strip_prefix("pocket.").unwrap_or(key);
            POCKETS
                .iter()
                .any(|(name, _)| key.split('.').next() == Some(*name))
        };
        let (ones, kinds): (Vec<_>, Vec<_>) = overrides.iter().partition(of_one);
        for text in kinds.into_iter().chain(ones) {
            let bad = || GearError::BadOverride { text: quoted(text) };
            let (key, value) = text.split_once('=').ok_or_else(bad)?;
            let (key, value) = (key.trim(), value.trim());
            if key.is_empty() || value.is_empty() || key == "base" {
                return Err(bad());
            }
            // as answers name them: corner.mouth
            let of_pocket = format!("pocket.{key}");
            let key = match keys::find(key) {
                None if keys::find(&of_pocket).is_some() => of_pocket.as_str(),
                _ => key,
            };
            let known = keys::find(key).map(|k| k.path);
            let si_of = |layers: &Self| Some(layers.entries.get(known?)?.si.to_bits());
            let before = si_of(self);
            self.value(key, &Value::String(value.to_owned()), &Origin::Set, None)?;
            self.renamed |= key == "name";
            if let Some(path) = known.filter(|_| si_of(self) != before) {
                self.changed.retain(|other| *other != path);
                self.changed.push(path);
            }
        }
        Ok(())
    }

    /// The name with what overrides changed, so that nothing made with them passes for the
    /// unchanged gear: `pool-9ft, changed: corner.mouth 4.25 in`. A name given by an override
    /// stands as it is.
    fn full_name(&self) -> Option<String> {
        let name = self.name.clone()?;
        if self.changed.is_empty() || self.renamed {
            return Some(name);
        }
        let changes: Vec<String> = self
            .changed
            .iter()
            .filter_map(|path| Some(change_words(path, self.entries.get(path)?)))
            .collect();
        let joint = if name.contains(CHANGED) {
            ", "
        } else {
            CHANGED
        };
        Some(format!("{name}{joint}{}", changes.join(", ")))
    }

    /// The error with the value as its author wrote it.
    fn as_written(&self, mut error: GearError) -> GearError {
        if let GearError::OutOfRange { key, value, .. } | GearError::DoesNotFit { key, value, .. } =
            &mut error
            && let Some(entry) = self.entries.get(*key)
        {
            *value = quoted(&entry.text);
        }
        error
    }

    pub(super) fn build(self, origin: &Origin) -> Result<LoadedGear, GearError> {
        let missing = |key: &str| GearError::MissingKey {
            key: key.to_owned(),
            origin: origin.to_string(),
        };
        let mut gear = keys::blank(self.full_name().ok_or_else(|| missing("name"))?);
        gear.bed.marks = self.marks;
        let mut rows = Vec::with_capacity(self.entries.len());
        for key in keys::all() {
            let entry = match self.entries.get(key.path) {
                Some(entry) => entry,
                None if key.optional => continue,
                None => return Err(missing(key.path)),
            };
            (key.set)(&mut gear, entry.si);
            rows.push(GearRow {
                key: key.path,
                value: entry.text.clone(),
                origin: entry.origin.clone(),
                source: entry.source.clone(),
            });
        }
        gear.check().map_err(|error| self.as_written(error))?;
        Ok(LoadedGear {
            gear,
            note: self.note,
            rows,
        })
    }
}

/// A file's name without any folder: no separator of any system, no drive, not the folder above.
pub(super) fn is_bare_name(name: &str) -> bool {
    !name.is_empty() && !matches!(name, "." | "..") && !name.contains(['/', '\\', ':'])
}

fn is_section(path: &str) -> bool {
    keys::all().any(|key| {
        key.path
            .strip_prefix(path)
            .is_some_and(|rest| rest.starts_with('.'))
    })
}

fn is_unknown_section(path: &str, inner: &Table) -> bool {
    !inner.is_empty()
        && keys::find(path).is_none()
        && !matches!(path, "name" | "base" | "note" | "marks")
}

fn unknown_gear(name: &str) -> GearError {
    GearError::UnknownGear {
        name: quoted(name),
        suggestion: suggestion(name, Preset::NAMES.iter().copied()),
        known: Preset::NAMES.join(", "),
    }
}

fn string<'a>(key: &str, value: &'a Value, origin: &Origin) -> Result<&'a str, GearError> {
    value
        .as_str()
        .ok_or_else(|| wrong_type(key, value, origin, "a text in quotes"))
}

fn wrong_type(key: &str, value: &Value, origin: &Origin, wanted: &str) -> GearError {
    let found = match value {
        Value::String(_) => "a text",
        Value::Integer(_) | Value::Float(_) => "a number",
        Value::Boolean(_) => "true or false",
        Value::Datetime(_) => "a date",
        Value::Array(_) => "a list",
        Value::Table(_) => "a section",
    };
    // A section nobody knows is an unknown key, whatever stands in it.
    if matches!(value, Value::Table(_)) && keys::find(key).is_none() {
        return GearError::UnknownKey {
            key: quoted(key),
            origin: origin.to_string(),
            suggestion: keys::key_suggestion(key),
        };
    }
    GearError::WrongType {
        key: quoted(key),
        origin: origin.to_string(),
        found,
        wanted: wanted.to_owned(),
    }
}

/// Between the name of a gear and what was changed in it.
const CHANGED: &str = ", changed: ";

/// `corner.mouth 4.25 in`: the last two words of the key and the value.
fn change_words(path: &str, entry: &Entry) -> String {
    let mut words: Vec<&str> = path.rsplitn(3, '.').take(2).collect();
    words.reverse();
    let plain = |text: &str| {
        let simple = |c: char| c.is_alphanumeric() || matches!(c, '.' | ' ');
        text.chars().all(simple)
    };
    let kind = keys::find(path).map(|key| key.kind);
    let text = match kind {
        // Feet and inch marks or fractions: the same value in one unit.
        Some(kind) if !plain(&entry.text) => kind.text(entry.si),
        _ => entry.text.clone(),
    };
    // A number and its unit are two words; a slash could not stand in a file name.
    let unit = text.find(char::is_alphabetic).unwrap_or(text.len());
    let (number, unit) = text.split_at(unit);
    let value = match kind {
        Some(Kind::Number) | None => text.clone(),
        Some(_) => format!("{} {}", number.trim_end(), unit.replace('/', " per ")),
    };
    format!("{} {value}", words.join("."))
}

pub(super) fn good_name(name: &str, origin: &Origin) -> Result<String, GearError> {
    // Names become file names (survey-NAME.csv): nothing that could leave the folder.
    const LONGEST: usize = 60;
    let whole = name;
    let (name, changes) = name.split_once(CHANGED).unwrap_or((name, ""));
    let in_changes = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ' ' | ',');
    let allowed = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ' ');
    let good = name.chars().count() <= LONGEST
        && name.chars().next().is_some_and(char::is_alphanumeric)
        && name.chars().all(allowed)
        && !name.ends_with(' ')
        && changes.chars().all(in_changes);
    if good {
        Ok(whole.to_owned())
    } else {
        Err(GearError::BadName {
            name: quoted(whole),
            origin: origin.to_string(),
        })
    }
}
