//! Somebody at the table: which player is meant, and how often the shot goes in for them.

use serde::{Deserialize, Serialize};

use crate::gear::Gear;
use crate::player::chance::{EqualStraight, equal_straight};
use crate::player::{AimError, Level, PlayerError, chance, in_ten};
use crate::pocket::PocketKind;
use crate::request::{RequestError, quantity};
use crate::units::{Angle, Length, UnitSystem, speak};
use crate::window::{AbstractShot, AimWindow, Shot, Solution, Stroke, solve};

/// The player of a request: a level, or arm and picture.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, rename_all = "kebab-case")]
pub struct PlayerRequest {
    /// A level such as `club`; nobody when absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub player: Option<String>,
    /// Spread of the stroke, `0.25deg`; replaces the level's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arm: Option<String>,
    /// Spread of seeing at the ghost ball, `2mm`; replaces the level's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub picture: Option<String>,
}

/// A player who cannot be.
#[derive(Debug, thiserror::Error)]
pub(super) enum WhoError {
    #[error(transparent)]
    Request(#[from] RequestError),
    #[error(transparent)]
    Player(#[from] PlayerError),
}

/// A player with a name to say.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Who {
    pub(super) error: AimError,
    pub(super) spoken: String,
}

impl PlayerRequest {
    /// The player meant; `None` when the request names nobody.
    pub(super) fn who(&self) -> Result<Option<Who>, WhoError> {
        let level: Option<Level> = self.player.as_deref().map(str::parse).transpose()?;
        let arm = quantity::<Angle>("arm", self.arm.as_deref())?.map(Angle::rad);
        let picture = quantity::<Length>("picture", self.picture.as_deref())?.map(Length::m);
        let changed = arm.is_some() || picture.is_some();
        let base = level.map(Level::aim_error);
        if base.is_none() && !changed {
            return Ok(None);
        }
        let (arm, picture) = (
            arm.or(base.map(|b| b.arm_rad)).unwrap_or(0.0),
            picture.or(base.map(|b| b.picture_m)).unwrap_or(0.0),
        );
        let spoken = match level {
            Some(level) if !changed => level.spoken(),
            Some(level) => format!("{} player with changes", level.name().replace('-', " ")),
            None => "player as entered".to_owned(),
        };
        Ok(Some(Who {
            error: AimError::new(arm, picture)?,
            spoken,
        }))
    }
}

/// How often the shot goes in for somebody.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChanceAnswer {
    /// `club player, assumed`.
    pub player: String,
    /// 0 to 1.
    pub chance: f64,
    /// `7 in 10`.
    pub spoken: String,
    /// Standard deviation of the cue ball's direction in this shot.
    pub sigma_deg: f64,
    /// The same in words.
    pub spread: String,
    /// The straight shot that is as hard, in words.
    pub as_hard_as: String,
}

/// Every direction that drops, relative to the aim: the pieces of the acceptance that can be hit.
pub(super) fn intervals_rad(window: &AimWindow, solution: &Solution) -> Vec<(f64, f64)> {
    let mut all: Vec<(f64, f64)> = solution
        .acceptance
        .iter()
        .flat_map(|a| a.pieces.spans())
        .filter_map(|s| Some((window.aim_for_rad(s.from_rad)?, window.aim_for_rad(s.to_rad)?)))
        .map(|(a, b)| (a.min(b), a.max(b)))
        .collect();
    // Where an edge is out of reach the window itself was cut there; take it whole.
    all.extend(window.drop.map(|w| w.interval_rad()));
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}

/// Chance of a window for a player.
pub(super) fn chance_of(who: &Who, window: &AimWindow, intervals: &[(f64, f64)]) -> f64 {
    let sigma = who.error.sigma_rad(window.aim.travel_m, window.cue_speed_m_s);
    chance(intervals, sigma, who.error.bias_rad)
}

impl ChanceAnswer {
    /// The chance of a solved shot; `None` where there is no window.
    #[must_use]
    pub(super) fn new(
        gear: &Gear,
        shot: &Shot,
        solution: &Solution,
        who: &Who,
        units: UnitSystem,
    ) -> Option<Self> {
        let window = solution.window.as_ref().ok()?;
        let p = chance_of(who, window, &intervals_rad(window, solution));
        let sigma = who.error.sigma_rad(window.aim.travel_m, window.cue_speed_m_s);
        Some(Self {
            player: who.spoken.clone(),
            chance: p,
            spoken: in_ten(p),
            sigma_deg: sigma.to_degrees(),
            spread: format!(
                "two shots in three within ±{}",
                speak::degrees(Angle::from_rad(sigma))
            ),
            as_hard_as: as_hard_as(gear, &shot.stroke, who, p, units),
        })
    }
}

/// "As hard as a straight shot with X between the balls and X to the pocket", square to a corner.
fn as_hard_as(gear: &Gear, stroke: &Stroke, who: &Who, p: f64, units: UnitSystem) -> String {
    let straight = |x: f64| {
        let shot = AbstractShot {
            kind: PocketKind::Corner,
            cut_rad: 0.0,
            cut_left: true,
            apart_m: x,
            to_pocket_m: x,
            approach_rad: 0.0,
        };
        let solved = Shot::from_angles(gear, &shot, *stroke).and_then(|s| solve(gear, &s));
        let Ok(solution) = solved else { return 0.0 };
        let window = solution.window.as_ref().ok();
        window.map_or(0.0, |w| chance_of(who, w, &intervals_rad(w, &solution)))
    };
    // No straight line on the table is longer than its diagonal: 2X = √(L² + W²).
    let longest = 0.5 * gear.bed.length_m.hypot(gear.bed.width_m);
    let shortest = 2.0 * gear.contact_distance_m();
    match equal_straight(p, shortest, longest, straight) {
        EqualStraight::At { distance_m } => {
            let x = speak::distance(Length::from_m(distance_m), units);
            format!("as hard as a straight shot with {x} between the balls and {x} to the pocket")
        }
        EqualStraight::EasierThanAny => "easier than any straight shot worth measuring".to_owned(),
        EqualStraight::BeyondTable => "harder than any straight shot on this table".to_owned(),
    }
}
