//! What the handlers share.

use std::sync::{Arc, Mutex};

use serde::{Deserialize, Serialize};

use super::fault::ApiFault;
use super::guard::Allowed;
use crate::gear::{Gear, LoadedGear};
use crate::units::UnitSystem;

/// Built gears kept at hand (assumption: a person tries a few).
const GEARS_KEPT: usize = 16;

/// One server's state.
#[derive(Debug)]
pub(super) struct Setup {
    /// Who may ask.
    pub(super) allowed: Allowed,
    /// Equipment the program was started with.
    pub(super) own: LoadedGear,
    /// Units of texts.
    pub(super) units: UnitSystem,
    built: Mutex<Vec<(GearRequest, Arc<LoadedGear>)>>,
}

/// Shared by all connections.
pub(super) type Shared = Arc<Setup>;

/// Which equipment: a preset or the program's own, with changes. Paths are not taken.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct GearRequest {
    /// Name of a preset, or of the equipment the program was started with.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) gear: Option<String>,
    /// `KEY=VALUE` changes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) set: Vec<String>,
}

impl Setup {
    pub(super) fn new(own: LoadedGear, units: UnitSystem, allowed: Allowed) -> Self {
        Self {
            allowed,
            own,
            units,
            built: Mutex::new(Vec::new()),
        }
    }

    /// Names that may be asked for, the program's own first.
    pub(super) fn gear_names(&self) -> Vec<String> {
        let own = self.own.gear.name.clone();
        let presets = Gear::preset_names().iter().map(|&n| n.to_owned());
        let others: Vec<String> = presets.filter(|n| *n != own).collect();
        std::iter::once(own).chain(others).collect()
    }

    /// The equipment a request means.
    pub(super) fn gear(&self, request: &GearRequest) -> Result<Arc<LoadedGear>, ApiFault> {
        // A poisoned lock only means another request panicked; the list is still whole.
        let mut built = self
            .built
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner);
        if let Some(k) = built.iter().position(|(r, _)| r == request) {
            let known = built.remove(k);
            let gear = Arc::clone(&known.1);
            built.push(known);
            return Ok(gear);
        }
        let gear = Arc::new(self.build(request)?);
        if built.len() >= GEARS_KEPT {
            built.remove(0);
        }
        built.push((request.clone(), Arc::clone(&gear)));
        Ok(gear)
    }

    fn build(&self, request: &GearRequest) -> Result<LoadedGear, ApiFault> {
        let own = &self.own;
        let name = request.gear.as_deref().unwrap_or(&own.gear.name);
        if name == own.gear.name {
            if request.set.is_empty() {
                return Ok(own.clone());
            }
            return Ok(LoadedGear {
                gear: own.gear.with_overrides(&request.set)?,
                ..own.clone()
            });
        }
        if Gear::preset_names().contains(&name) {
            return Ok(LoadedGear::load(name, &request.set)?);
        }
        Err(ApiFault::value(format!(
            "no gear is called \"{name}\" here; there are {}",
            self.gear_names().join(", ")
        )))
    }
}
