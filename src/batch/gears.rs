//! Gears that rows share.

use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::{Arc, PoisonError, RwLock};

use crate::gear::{Gear, LoadedGear};

/// A gear, or why it cannot be had.
type Loaded = Result<Arc<Gear>, String>;

/// The equipment of a row: that of all rows, which are many and share it, or its own.
#[derive(Debug)]
pub(super) enum RowGear<'g> {
    Default(&'g Arc<Gear>),
    Own(Arc<Gear>),
}

impl RowGear<'_> {
    pub(super) fn shared(&self) -> &Arc<Gear> {
        match self {
            Self::Default(gear) => gear,
            Self::Own(gear) => gear,
        }
    }
}

/// Gears by name and overrides. A table rarely names more than a handful.
#[derive(Debug)]
pub(super) struct Gears {
    default: Arc<Gear>,
    /// Where files that rows name lie.
    folder: PathBuf,
    known: RwLock<HashMap<(String, String), Loaded>>,
}

/// More gears than this are forgotten all at once, so that memory stays flat.
pub(super) const MOST_GEARS: usize = 256;

impl Gears {
    pub(super) fn new(default: Gear, folder: PathBuf) -> Self {
        Self {
            default: Arc::new(default),
            folder,
            known: RwLock::default(),
        }
    }

    /// `set` holds overrides separated by spaces or semicolons. Overrides without a gear change
    /// the default one.
    pub(super) fn get(&self, name: Option<&str>, set: Option<&str>) -> Result<RowGear<'_>, String> {
        if name.is_none() && set.is_none() {
            return Ok(RowGear::Default(&self.default));
        }
        self.own(name, set).map(RowGear::Own)
    }

    fn own(&self, name: Option<&str>, set: Option<&str>) -> Loaded {
        let key = (
            name.unwrap_or_default().to_owned(),
            set.unwrap_or_default().to_owned(),
        );
        if let Some(known) = self
            .known
            .read()
            .unwrap_or_else(PoisonError::into_inner)
            .get(&key)
        {
            return known.clone();
        }
        let overrides: Vec<String> = key
            .1
            .split([';', ' '])
            .filter(|s| !s.is_empty())
            .map(str::to_owned)
            .collect();
        let loaded = match name {
            Some(name) => LoadedGear::load_beside(&self.folder, name, &overrides).map(|l| l.gear),
            None => self.default.with_overrides(&overrides),
        };
        let loaded = loaded.map(Arc::new).map_err(|e| e.to_string());
        let mut known = self.known.write().unwrap_or_else(PoisonError::into_inner);
        if known.len() >= MOST_GEARS {
            known.clear();
        }
        known.insert(key, loaded.clone());
        loaded
    }
}
