//! Reading what a request asks for, unknown names refused.

use std::collections::BTreeMap;
use std::sync::Arc;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde_json::Value;

use super::fault::ApiFault;
use super::state::{GearRequest, Setup};
use crate::draw::Paper;
use crate::gear::{Gear, LoadedGear};
use crate::layout::{
    Ball, Layout, PastOthers, Reach, ReachRequest, StanceAnswer, Table, solve_past, stance,
};
use crate::player::{Player, PlayerRequest};
use crate::request::{PlacesRequest, ShotRequest, StrokeRequest};
use crate::units::Side;
use crate::window::{Shot, solve};

/// Nothing needs saying.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(super) struct Nothing {}

/// Whatever else was sent.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(transparent)]
pub(super) struct Rest(BTreeMap<String, Value>);

impl Rest {
    /// Refuses what nobody took.
    pub(super) fn none(&self) -> Result<(), ApiFault> {
        match self.0.keys().next() {
            Some(name) => Err(ApiFault::unknown(name)),
            None => Ok(()),
        }
    }
}

impl JsonSchema for Rest {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Rest".into()
    }

    /// Nothing but what the request names itself.
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({"additionalProperties": false})
    }
}

/// A shot, its equipment and its player, as the command line takes them.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default, expecting = "an object")]
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
    /// Other balls on the table, each `NAME,X,Y` as a row of a layout: `7,4,1`.
    pub(super) balls: Vec<String>,
    /// Name of the object ball; `object` when absent.
    pub(super) called: Option<String>,
    #[serde(flatten)]
    pub(super) reach: ReachRequest,
    #[serde(flatten)]
    pub(super) rest: Rest,
}

impl ShotAsk {
    /// Equipment, shot, player and the other balls, checked.
    pub(super) fn read(self, setup: &Setup) -> Result<Asked, ApiFault> {
        self.rest.none()?;
        let gear = setup.gear(&self.gear)?;
        let shot = self.request().shot(&gear.gear)?;
        // A lean differs with the side of the cut.
        let cut = || {
            let solved = solve(&gear.gear, &shot).ok().and_then(|s| s.window.ok());
            solved.map_or(shot.stroke.straight_side, |w| w.cut_side)
        };
        let player = who_aims(&self.player, self.student.as_deref(), setup, cut)?;
        let reach = if self.reach.is_empty() {
            None
        } else {
            Some(self.reach.reach()?)
        };
        let on_table = shot.frame.name.is_some();
        if !on_table && (!self.balls.is_empty() || reach.is_some()) {
            return Err(ApiFault::value(
                "balls, hand, reach and seated need a shot on the table: give cue, object and pocket",
            ));
        }
        let called = self.called.unwrap_or_else(|| "object".to_owned());
        let layout = layout(&gear.gear, &shot, called, &self.balls)?;
        Ok(Asked {
            gear,
            shot,
            player,
            layout,
            reach,
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

/// The player asked for: a level or spreads, or a student of the practice log; `cut` is asked where
/// a student leans.
pub(super) fn who_aims(
    asked: &PlayerRequest,
    student: Option<&str>,
    setup: &Setup,
    cut: impl Fn() -> Side,
) -> Result<Option<Player>, ApiFault> {
    let Some(label) = student else {
        return Ok(asked.player()?);
    };
    let given = [&asked.level, &asked.arm, &asked.picture, &asked.sigma];
    if given.iter().any(|v| v.is_some()) {
        return Err(ApiFault::value(
            "student and level, arm, picture or sigma both say who aims; give one of them",
        ));
    }
    let player = setup.student(label, cut)?;
    Ok(Some(Player {
        error: asked.adjusted(player.error)?,
        ..player
    }))
}

/// What a request came to.
pub(super) struct Asked {
    pub(super) gear: Arc<LoadedGear>,
    pub(super) shot: Shot,
    pub(super) player: Option<Player>,
    /// The balls: the object ball first, then the others.
    pub(super) layout: Layout,
    /// How far the player gets, when it was asked for.
    pub(super) reach: Option<Reach>,
}

impl Asked {
    /// The shot past the other balls.
    pub(super) fn past(&self) -> Result<PastOthers, ApiFault> {
        let table = Table::new(&self.gear.gear, &self.layout);
        Ok(solve_past(&table, &self.shot, OBJECT)?)
    }

    /// How the player has to stand, where a reach was given and there is a shot.
    pub(super) fn stance(&self, past: &PastOthers) -> Option<StanceAnswer> {
        let table = Table::new(&self.gear.gear, &self.layout);
        let stance = stance(&table, past.played.as_ref()?.aim_rad, self.reach?);
        Some(StanceAnswer::new(&table, &stance))
    }

    /// The player as the stance leaves the arm.
    pub(super) fn player_there(&self, past: &PastOthers) -> Option<Player> {
        let arm_factor = self.stance(past).map_or(1.0, |s| s.arm_factor);
        self.player.clone().map(|p| Player {
            error: p.error.with_arm_times(arm_factor),
            ..p
        })
    }
}

/// The index of the object ball in [`Asked::layout`].
pub(super) const OBJECT: usize = 0;

/// The shot's two balls and the others.
fn layout(gear: &Gear, shot: &Shot, called: String, rows: &[String]) -> Result<Layout, ApiFault> {
    let cue = shot.frame.to_plan(shot.cue);
    let object = Ball {
        label: called,
        at: shot.frame.to_plan(shot.object),
    };
    if rows.is_empty() {
        // The shot was checked already.
        return Ok(Layout {
            cue,
            balls: vec![object],
        });
    }
    Ok(Layout::with_rows(gear, cue, object, rows)?)
}

/// Refuses more than can be worked out while somebody waits.
pub(super) fn at_most(what: &str, count: usize, most: usize) -> Result<(), ApiFault> {
    if count <= most {
        return Ok(());
    }
    Err(ApiFault::value(format!(
        "{what}: there are {count}; the page takes at most {most}"
    )))
}

/// A4 unless another one is named.
pub(super) fn paper(word: Option<String>) -> Result<Paper, ApiFault> {
    Ok(match word {
        Some(word) => word.parse()?,
        None => Paper::A4,
    })
}
