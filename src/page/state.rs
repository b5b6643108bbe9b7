//! What the handlers share.

use std::io;
use std::ops::Deref;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use axum::http::StatusCode;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::callers::{Allowed, Caller};
use super::desk::Desk;
use super::fault::ApiFault;
use super::lanes::Lanes;
use super::live::Live;
use super::options::{Clock, ExplorerError, Options};
use super::order::Order;
use super::taps::Taps;
use crate::gear::{Gear, LoadedGear};
use crate::log::{ShotEntered, as_player};
use crate::player::{AimError, Player, Straights};
use crate::request::ShotRequest;
use crate::speech::{Speech, WordSet};
use crate::stop::Stop;
use crate::units::{Side, UnitSystem};
use crate::window::Stroke;

/// Built gears kept at hand (assumption: a person tries a few).
const GEARS_KEPT: usize = 16;
/// Players and strokes whose straight shots are kept (assumption: a group, each with a stroke).
const STRAIGHTS_KEPT: usize = 32;
/// Straight shots worked out ahead; each answer then needs a few more between two of them.
const STRAIGHTS_AHEAD: u32 = 48;
/// The straight shot that is as hard is found to this share: a hundredth of a millimetre in a metre.
const STRAIGHT_WITHIN: f64 = 1e-5;

/// One server's state, as one caller sees it.
#[derive(Debug, Clone)]
pub(super) struct Setup {
    common: Arc<Common>,
    /// Whose request this is.
    pub(super) caller: Caller,
    /// Asked when nobody waits for the answer any more.
    pub(super) stop: Stop,
}

impl Deref for Setup {
    type Target = Common;

    fn deref(&self) -> &Common {
        &self.common
    }
}

/// One server's state.
#[derive(Debug)]
pub(super) struct Common {
    /// Who may ask.
    pub(super) allowed: Allowed,
    /// Where others reach the page, without a slash at the end.
    pub(super) root: String,
    /// The phones' token, where there is one.
    pub(super) phones: Option<String>,
    /// Equipment the program was started with.
    pub(super) own: LoadedGear,
    /// How that equipment is asked for again: name or file, and changes.
    pub(super) asked: (String, Vec<String>),
    /// Units of texts.
    pub(super) units: UnitSystem,
    /// Whose words; those of each table where nobody says.
    pub(super) words: Option<WordSet>,
    /// The practice log, when there is one.
    pub(super) desk: Option<Desk>,
    /// The time.
    pub(super) clock: Clock,
    /// Who works when.
    pub(super) lanes: Lanes,
    /// Who is told when the log has changed.
    pub(super) live: Live,
    /// Which phone counted which try.
    pub(super) taps: Taps,
    /// Who plays at which table.
    pub(super) order: Mutex<Order>,
    built: Mutex<Vec<(GearRequest, Arc<LoadedGear>)>>,
    straights: Mutex<Vec<Known>>,
}

/// A player's straight shots with one stroke on one set of equipment.
#[derive(Debug)]
struct Known {
    gear: Arc<LoadedGear>,
    player: AimError,
    stroke: Stroke,
    straights: Arc<Straights>,
}

/// A poisoned lock only means another request panicked; the list is still whole.
pub(super) fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Shared by all connections.
pub(super) type Shared = Arc<Setup>;

/// Which equipment: a preset or the program's own, with changes. Paths are not taken.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
pub(super) struct GearRequest {
    /// The table: a built-in one, or what the program was started with.
    #[serde(
        rename = "table",
        alias = "gear",
        skip_serializing_if = "Option::is_none"
    )]
    pub(super) gear: Option<String>,
    /// Changes `KEY=VALUE`, such as `pocket.corner.mouth=4.25in`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) set: Vec<String>,
}

impl Setup {
    /// How it speaks of a table.
    pub(super) fn speech(&self, gear: &Gear) -> Speech {
        let words = self.words.unwrap_or_else(|| WordSet::of(gear.bed.marks));
        Speech::new(words, self.units)
    }

    pub(super) fn new(
        options: Options,
        allowed: Allowed,
        root: String,
    ) -> Result<Self, ExplorerError> {
        let common = Common {
            allowed,
            root,
            phones: options.phones,
            own: options.gear,
            asked: options.asked,
            units: options.units,
            words: options.words,
            desk: options
                .log
                .as_deref()
                .map(|path| Desk::open(path, options.clock, options.since))
                .transpose()?,
            clock: options.clock,
            lanes: Lanes::new().map_err(io::Error::other)?,
            live: Live::default(),
            taps: Taps::default(),
            order: Mutex::default(),
            built: Mutex::new(Vec::new()),
            straights: Mutex::new(Vec::new()),
        };
        Ok(Self {
            common: Arc::new(common),
            caller: Caller::Coach,
            stop: Stop::never(),
        })
    }

    /// The same for one request.
    pub(super) fn asked_by(&self, caller: Caller, stop: Stop) -> Self {
        Self {
            common: Arc::clone(&self.common),
            caller,
            stop,
        }
    }

    /// Refuses a phone what is said of a student.
    pub(super) fn of_students(&self) -> Result<(), ApiFault> {
        match self.caller {
            Caller::Coach => Ok(()),
            Caller::Phone => Err(ApiFault::new(
                StatusCode::FORBIDDEN,
                "how well a student plays opens with the coach's link only; take a level instead",
            )),
        }
    }

    /// A student as a player on a cut.
    pub(super) fn student(
        &self,
        label: &str,
        cut: impl FnOnce() -> Side,
    ) -> Result<Player, ApiFault> {
        self.of_students()?;
        match &*self.desk()?.known(label)? {
            // The side only matters where the lean changes with it.
            Ok(known) if known.fit.on_left_cuts == known.fit.on_right_cuts => {
                Ok(as_player(label, known, Side::Left))
            }
            Ok(known) => Ok(as_player(label, known, cut())),
            Err(unknown) => Err(ApiFault::value(unknown)),
        }
    }
}

impl Common {
    /// The straight shots of a player, kept over the steps of a drag: working them out takes longer
    /// than all the rest of an answer.
    pub(super) fn straights(
        &self,
        gear: &Arc<LoadedGear>,
        player: &AimError,
        stroke: &Stroke,
    ) -> Arc<Straights> {
        let same =
            |k: &Known| Arc::ptr_eq(&k.gear, gear) && k.player == *player && k.stroke == *stroke;
        if let Some(known) = held(&self.straights).iter().find(|k| same(k)) {
            return Arc::clone(&known.straights);
        }
        let straights = Straights::new(&gear.gear, player, stroke)
            .prepared(STRAIGHTS_AHEAD)
            .to_within(STRAIGHT_WITHIN);
        let straights = Arc::new(straights);
        let mut all = held(&self.straights);
        if all.len() >= STRAIGHTS_KEPT {
            all.remove(0);
        }
        all.push(Known {
            gear: Arc::clone(gear),
            player: *player,
            stroke: *stroke,
            straights: Arc::clone(&straights),
        });
        straights
    }

    /// The practice log, or a sentence that says how to have one.
    pub(super) fn desk(&self) -> Result<&Desk, ApiFault> {
        self.desk.as_ref().ok_or_else(|| {
            ApiFault::value(
                "this page was started without a practice log; start thincut explore with the file of one",
            )
        })
    }

    /// A shot as the log keeps it.
    pub(super) fn entered(&self, request: ShotRequest, gear: &GearRequest) -> ShotEntered {
        let own = gear.gear.as_ref().is_none_or(|n| *n == self.own.gear.name);
        let (name, mut set) = match &gear.gear {
            Some(name) if !own => (name.clone(), Vec::new()),
            _ => self.asked.clone(),
        };
        set.extend(gear.set.iter().cloned());
        ShotEntered {
            request,
            gear: name,
            set,
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
        let mut built = held(&self.built);
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
            "no table is called \"{name}\" here; there are {}",
            self.gear_names().join(", ")
        )))
    }
}
