//! Tables as people call them.

use super::equipment::Gear;
use super::presets::Preset;

/// Between a table's name and what was changed in it.
const CHANGED: &str = ", ";

/// A table by its name: `pool-9ft` is a 9-foot pool table, with its changes if there are any; a name
/// of somebody's own stays.
#[must_use]
pub fn spoken_gear(name: &str) -> String {
    let (table, changes) = match name.split_once(CHANGED) {
        Some((table, changes)) => (table, Some(changes)),
        None => (name, None),
    };
    let spoken = Preset::named(table).map_or(table, |preset| preset.spoken());
    match changes {
        Some(changes) => format!("{spoken}{CHANGED}{changes}"),
        None => spoken.to_owned(),
    }
}

impl Gear {
    /// The table as people call it.
    #[must_use]
    pub fn spoken(&self) -> String {
        spoken_gear(&self.name)
    }
}
