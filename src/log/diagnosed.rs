//! A student's practice as the diagnosis takes it: what kind of shot each was, and on which day.

use std::collections::BTreeMap;

use super::practice::{Practice, ShotTried};
use super::since::Since;
use crate::diagnosis::{self, Diagnosis, Period, ShotFacts, Try};
use crate::gear::{Gear, LoadedGear};
use crate::player::Level;
use crate::player::fault::PlayerError;

/// Tables as rows name them, each loaded once.
#[derive(Default)]
pub(super) struct Gears(BTreeMap<(String, Vec<String>), Option<Gear>>);

impl Gears {
    /// What a shot is like; `None` without a window, or where its table is no more.
    pub(super) fn facts(&mut self, tried: &ShotTried) -> Option<ShotFacts> {
        let windows = tried.windows.as_ref()?;
        let entered = &tried.entered;
        let key = (entered.gear.clone(), entered.set.clone());
        let load = || LoadedGear::load(&entered.gear, &entered.set).map(|l| l.gear);
        let gear = self.0.entry(key).or_insert_with(|| load().ok()).as_ref()?;
        let shot = entered.request.shot(gear).ok()?;
        // The pocket's frame has its origin at the middle of the mouth.
        let away = -shot.object.to_vec2();
        let places = &entered.request.places;
        Some(ShotFacts {
            cut_rad: windows.cut_deg.to_radians(),
            cut: entered.tells_cut().then_some(tried.cut),
            cue_travel_m: 1e-3 * windows.cue_travel_mm,
            object_travel_m: away.hypot(),
            bed_length_m: gear.bed.length_m,
            pocket_kind: shot.frame.kind,
            pocket: places
                .pocket
                .as_deref()
                .and_then(|name| name.parse().ok())
                .filter(|_| places.object.is_some()),
            off_straight_rad: away.atan2(),
        })
    }
}

/// What somebody tried, as the diagnosis takes it.
#[must_use]
pub fn tries_of(practice: &Practice) -> Vec<Try> {
    let mut gears = Gears::default();
    let facts: Vec<Option<ShotFacts>> = practice
        .shots()
        .iter()
        .map(|shot| gears.facts(shot))
        .collect();
    practice
        .tried()
        .iter()
        .filter_map(|tried| {
            let observation = practice.shots()[tried.shot].observation(tried)?;
            Some(Try {
                observation,
                facts: facts[tried.shot],
                day: tried.day.clone(),
            })
        })
        .collect()
}

/// The period that a student's practice is read in: from the day asked for, else since the change that it
/// shows, else all of it.
///
/// # Errors
/// The faults of fitting.
pub fn period_of(practice: &Practice, since: &Since) -> Result<Period, PlayerError> {
    match since {
        Since::Day(day) => Ok(Period::asked(day.day())),
        Since::Everything => Ok(Period::ALL),
        Since::Change => diagnosis::period(&tries_of(practice), Level::Club.aim_error()),
    }
}

/// What the practice of a student says, in the period of [`period_of`].
///
/// # Errors
/// The faults of fitting.
pub fn diagnosis_of(
    student: &str,
    practice: &Practice,
    since: &Since,
) -> Result<Diagnosis, PlayerError> {
    diagnosis_in(student, practice, &period_of(practice, since)?)
}

/// The same in a period that is chosen.
pub(super) fn diagnosis_in(
    student: &str,
    practice: &Practice,
    period: &Period,
) -> Result<Diagnosis, PlayerError> {
    diagnosis::diagnose(
        student,
        &tries_of(practice),
        period,
        Level::Club.aim_error(),
    )
}
