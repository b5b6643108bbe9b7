//! Sheets of what other commands drew up: by the code of a kept one, or from what they wrote.

use std::path::Path;

use serde::de::DeserializeOwned;
use thincut::files::LAYOUT_BYTES;
use thincut::gear::Gear;
use thincut::log::Sheet as Kept;
use thincut::shown::bounded;

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::input;
use crate::table::GearArgs;

/// What `--format json` wrote.
pub(super) fn answer<T: DeserializeOwned>(file: &Path, command: &str) -> Result<T, Fault> {
    let at = |e: &dyn std::fmt::Display| {
        Fault::input(format!(
            "{}: {e}; it must be what {command} --format json wrote",
            input::source(file)
        ))
    };
    let text = input::text(file, LAYOUT_BYTES).map_err(|e| at(&e))?;
    serde_json::from_str(&text).map_err(|e| at(&bounded(&e.to_string())))
}

/// The code typed, when it is one: no file, no dash, letters and digits only.
pub(super) fn code(typed: &Path) -> Option<&str> {
    let text = typed.to_str()?;
    let plain = text.chars().all(|c| c.is_ascii_alphanumeric());
    (plain && !typed.exists()).then_some(text)
}

/// The gear of a kept sheet's first shot.
pub(super) fn gear_of(kept: &Kept, defaults: &Defaults) -> Result<Gear, Fault> {
    let own = kept.rungs.first().map(|rung| GearArgs {
        gear: Some(rung.shot.gear.clone()),
        set: rung.shot.set.clone(),
    });
    Ok(own.unwrap_or_default().load(defaults)?.gear)
}
