//! Tables as people call them.

use super::equipment::Gear;
use super::presets::Preset;
use crate::units::speak;

/// Between a table's name and what was changed in it, one change after the other.
const CHANGED: &str = ", changed: ";
const NEXT: &str = ", ";

/// A table by its name: `pool-9ft` is a 9-foot pool table, `pool-9ft, changed: corner.mouth 4.125 in`
/// one with corners 4⅛ in; a name of somebody's own stays.
#[must_use]
pub fn spoken_gear(name: &str) -> String {
    let (table, changes) = split(name);
    let spoken = Preset::named(table).map_or(table, |preset| preset.spoken());
    let changes: Vec<String> = changes.into_iter().map(change).collect();
    match changes.split_last() {
        None => spoken.to_owned(),
        Some((only, [])) => format!("{spoken} with {only}"),
        Some((last, most)) => format!("{spoken} with {} and {last}", most.join(NEXT)),
    }
}

/// The same inside a sentence: `the 9-foot pool table`; a name of somebody's own has no article.
#[must_use]
pub fn the_spoken_gear(name: &str) -> String {
    let spoken = spoken_gear(name);
    match Preset::named(split(name).0) {
        Some(_) => format!("the {spoken}"),
        None => spoken,
    }
}

/// Whether the first is the other with changes.
#[must_use]
pub fn is_changed_from(name: &str, other: &str) -> bool {
    let (table, changes) = split(name);
    !changes.is_empty() && table == other
}

fn split(name: &str) -> (&str, Vec<&str>) {
    match name.split_once(CHANGED) {
        Some((table, changes)) => (table, changes.split(NEXT).collect()),
        None => (name, Vec::new()),
    }
}

/// `corner.mouth 4.125 in` is "corners 4⅛ in"; other keys are said as words.
fn change(written: &str) -> String {
    let (key, value) = written.split_once(' ').unwrap_or((written, ""));
    let value = value
        .strip_suffix(" in")
        .and_then(|number| Some(format!("{} in", inches(number.parse().ok()?))))
        .unwrap_or_else(|| value.to_owned());
    let key = match key {
        "corner.mouth" => "corners".to_owned(),
        "side.mouth" => "sides".to_owned(),
        other => other.replace(['.', '_'], " "),
    };
    format!("{key} {value}").trim_end().to_owned()
}

/// Eighths of an inch as fractions, other numbers as they are.
fn inches(number: f64) -> String {
    let odd_eighth = [(0.125, '⅛'), (0.375, '⅜'), (0.625, '⅝'), (0.875, '⅞')];
    let is = |part: f64| (number.fract() - part).abs() < 1e-9;
    if let Some((_, mark)) = odd_eighth.into_iter().find(|(part, _)| is(*part)) {
        return format!("{}{mark}", number.trunc());
    }
    if (number * 4.0).fract().abs() < 1e-9 {
        return speak::diamonds(number);
    }
    number.to_string()
}

impl Gear {
    /// The table as people call it.
    #[must_use]
    pub fn spoken(&self) -> String {
        spoken_gear(&self.name)
    }
}
