//! Tables as people call them.

use super::Gear;

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
    let spoken = match table {
        "pool-9ft" => "9-foot pool table",
        "pool-8ft" => "8-foot pool table",
        "pool-8ft-pro" => "large 8-foot pool table",
        "pool-7ft" => "7-foot bar table",
        "smallball-7ft" => "7-foot table with small balls",
        "snooker-12ft" => "12-foot snooker table",
        own => own,
    };
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
