//! Tables as people call them.

use super::Gear;

/// A table by its name: `pool-9ft` is a 9-foot pool table; a name of somebody's own stays.
#[must_use]
pub fn spoken_gear(name: &str) -> &str {
    match name {
        "pool-9ft" => "9-foot pool table",
        "pool-8ft" => "8-foot pool table",
        "pool-8ft-pro" => "large 8-foot pool table",
        "pool-7ft" => "7-foot bar table",
        "smallball-7ft" => "7-foot table with small balls",
        "snooker-12ft" => "12-foot snooker table",
        own => own,
    }
}

impl Gear {
    /// The table as people call it.
    #[must_use]
    pub fn spoken(&self) -> &str {
        spoken_gear(&self.name)
    }
}
