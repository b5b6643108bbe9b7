//! Reading what a request asks for, unknown names refused.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Json;
use axum::extract::rejection::JsonRejection;
use serde::Deserialize;
use serde_json::Value;

use crate::explorer::fault::ApiFault;
use crate::explorer::schema::{Schema, list, text};
use crate::explorer::state::{GearRequest, Setup};
use crate::gear::{Gear, LoadedGear};
use crate::player::{Cut, Player, PlayerRequest};
use crate::request::{PlacesRequest, ShotRequest, StrokeRequest};
use crate::window::{Shot, solve};

/// A shot, its equipment and its player, as the command line takes them.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct ShotAsk {
    #[serde(flatten)]
    pub(super) places: PlacesRequest,
    #[serde(flatten)]
    pub(super) stroke: StrokeRequest,
    #[serde(flatten)]
    pub(super) gear: GearRequest,
    #[serde(flatten)]
    pub(super) player: PlayerRequest,
    /// A student of the practice log, instead of a level or spreads.
    pub(super) student: Option<String>,
    /// Whatever else was sent.
    #[serde(flatten)]
    pub(super) rest: BTreeMap<String, Value>,
}

impl ShotAsk {
    /// Takes an option out of the rest.
    pub(super) fn take<T: serde::de::DeserializeOwned>(
        &mut self,
        name: &str,
    ) -> Result<Option<T>, ApiFault> {
        let Some(value) = self.rest.remove(name) else {
            return Ok(None);
        };
        serde_json::from_value(value)
            .map(Some)
            .map_err(|e| ApiFault::value(format!("{name}: {e}")))
    }

    /// Refuses what nobody took.
    pub(super) fn nothing_else(&self) -> Result<(), ApiFault> {
        match self.rest.keys().next() {
            Some(name) => Err(ApiFault::value(format!(
                "\"{name}\" is not known here; see /api/v1/openapi.json for what is"
            ))),
            None => Ok(()),
        }
    }

    /// Equipment, shot and player, checked.
    pub(super) fn read(&self, setup: &Setup) -> Result<Asked, ApiFault> {
        self.nothing_else()?;
        let gear = setup.gear(&self.gear)?;
        let shot = self.request().shot(&gear.gear)?;
        let player = match &self.student {
            None => self.player.player()?,
            Some(label) => Some(self.student(label, setup, &gear.gear, &shot)?),
        };
        Ok(Asked { gear, shot, player })
    }

    fn student(
        &self,
        label: &str,
        setup: &Setup,
        gear: &Gear,
        shot: &Shot,
    ) -> Result<Player, ApiFault> {
        let p = &self.player;
        if [&p.level, &p.arm, &p.picture, &p.sigma]
            .iter()
            .any(|v| v.is_some())
        {
            return Err(ApiFault::value(
                "student and level, arm, picture or sigma both say who aims; give one of them",
            ));
        }
        let cut = || match solve(gear, shot).ok().and_then(|s| s.window.ok()) {
            Some(window) if !window.cut_left => Cut::Right,
            None if !shot.stroke.straight_is_left => Cut::Right,
            _ => Cut::Left,
        };
        let player = setup.student(label, cut)?;
        Ok(Player {
            error: p.adjusted(player.error)?,
            ..player
        })
    }

    /// The shot alone.
    pub(super) fn request(&self) -> ShotRequest {
        ShotRequest {
            places: self.places.clone(),
            stroke: self.stroke.clone(),
        }
    }
}

/// What a request came to.
pub(super) struct Asked {
    pub(super) gear: Arc<LoadedGear>,
    pub(super) shot: Shot,
    pub(super) player: Option<Player>,
}

/// A body as the extractor gives it.
pub(super) type Sent<T> = Result<Json<T>, JsonRejection>;

/// Names of equipment and changes to it.
pub(super) fn gear_properties() -> Vec<(&'static str, Schema)> {
    vec![
        (
            "gear",
            text("Equipment: a preset, or what the program was started with"),
        ),
        (
            "set",
            list(
                text("KEY=VALUE"),
                "Changes, such as pocket.corner.mouth=4.25in",
            ),
        ),
    ]
}

/// Everything a shot can be asked with.
pub(super) fn shot_properties() -> Vec<(&'static str, Schema)> {
    let mut all = vec![
        (
            "cue",
            text("Cue ball: diamonds `3,1`, lengths, or a spot's name"),
        ),
        ("object", text("Object ball, likewise")),
        (
            "pocket",
            text("head-left, head-right, side-left, side-right, foot-left or foot-right"),
        ),
        (
            "cut",
            text("Cut `30deg` or `half-ball`, for a shot by angles"),
        ),
        ("apart", text("Cue ball to object ball, by angles")),
        ("to-pocket", text("Object ball to the mouth, by angles")),
        ("approach", text("Angle off square, by angles")),
        ("kind", text("corner or side, by angles")),
        ("cut-side", text("left or right")),
        (
            "pace",
            text("Speed of the object ball at the pocket, `1m/s`"),
        ),
        ("roll", text("Roll ratio at contact")),
        ("hit", text("stun, roll, draw or follow")),
        ("side", text("Side spin ratio, outside positive")),
        ("bridge", text("Length of the bridge")),
        (
            "level",
            text("first-evening, starting, club, league, strong or expert; nobody when absent"),
        ),
        (
            "arm",
            text("Spread of the stroke, `0.25deg`, instead of a level"),
        ),
        (
            "picture",
            text("Spread of seeing at the ghost ball, `2mm`, with arm"),
        ),
        ("sigma", text("Spread as one number, instead of the others")),
        ("bias", text("Steady error of the direction, left positive")),
        ("arm-growth", text("Growth of the arm's part per m/s")),
        (
            "student",
            text("A student of the practice log, instead of a level or spreads"),
        ),
    ];
    all.extend(gear_properties());
    all
}
