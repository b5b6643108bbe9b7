//! Reading what a request asks for, unknown names refused.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Json;
use axum::extract::rejection::JsonRejection;
use serde::Deserialize;
use serde_json::Value;

use crate::gear::{Gear, LoadedGear};
use crate::layout::{
    Ball, Layout, PastOthers, Reach, ReachRequest, StanceAnswer, Table, solve_past, stance,
};
use crate::page::fault::ApiFault;
use crate::page::schema::{Schema, list, text, truth};
use crate::page::state::{GearRequest, Setup};
use crate::player::{Player, PlayerRequest};
use crate::request::{PlacesRequest, ShotRequest, StrokeRequest};
use crate::units::Side;
use crate::window::{Shot, solve};

/// A shot, its equipment and its player, as the command line takes them.
#[derive(Debug, Clone, Default, Deserialize)]
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
    #[serde(flatten)]
    pub(super) reach: ReachRequest,
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
            Some(name) => Err(ApiFault::unknown(name)),
            None => Ok(()),
        }
    }

    /// Equipment, shot, player and the other balls, checked.
    pub(super) fn read(mut self, setup: &Setup) -> Result<Asked, ApiFault> {
        let rows: Vec<String> = self.take("balls")?.unwrap_or_default();
        let called = self.take("called")?.unwrap_or_else(|| "object".to_owned());
        self.nothing_else()?;
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
        if !on_table && (!rows.is_empty() || reach.is_some()) {
            return Err(ApiFault::value(
                "balls, hand, reach and seated need a shot on the table: give cue, object and pocket",
            ));
        }
        let layout = layout(&gear.gear, &shot, called, &rows)?;
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
pub(in crate::page) struct Asked {
    pub(in crate::page) gear: Arc<LoadedGear>,
    pub(in crate::page) shot: Shot,
    pub(in crate::page) player: Option<Player>,
    /// The balls: the object ball first, then the others.
    pub(in crate::page) layout: Layout,
    /// How far the player gets, when it was asked for.
    pub(in crate::page) reach: Option<Reach>,
}

impl Asked {
    /// The shot past the other balls.
    pub(super) fn past(&self) -> Result<PastOthers, ApiFault> {
        let table = Table::new(&self.gear.gear, &self.layout);
        Ok(solve_past(&table, &self.shot, OBJECT)?)
    }

    /// How the player has to stand, where a reach was given and there is a shot.
    pub(in crate::page) fn stance(&self, past: &PastOthers) -> Option<StanceAnswer> {
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
    ];
    all.extend(stroke_properties());
    all.extend(player_properties());
    all.push((
        "balls",
        list(
            text("NAME,X,Y as a row of a layout: `7,4,1`"),
            "Other balls on the table",
        ),
    ));
    all.push((
        "called",
        text("Name of the object ball; `object` when absent"),
    ));
    all.extend(reach_properties());
    all.extend(gear_properties());
    all
}

/// Hand and reach.
pub(super) fn reach_properties() -> Vec<(&'static str, Schema)> {
    vec![
        (
            "hand",
            text("Playing hand, left or right; the stance counts when any of the three is given"),
        ),
        (
            "reach",
            text("Rail's outer edge to the farthest cue ball without a rest, `1m`"),
        ),
        ("seated", truth("The player plays seated")),
    ]
}

/// How the cue ball is hit.
pub(super) fn stroke_properties() -> Vec<(&'static str, Schema)> {
    vec![
        (
            "pace",
            text("Speed of the object ball at the pocket, `1m/s`"),
        ),
        (
            "stroke",
            text("Instead of pace: a stroke in table lengths, `2lengths`"),
        ),
        (
            "tip",
            text("Where the tip strikes: centre, `half a tip right`, `6mm low`"),
        ),
        (
            "arrives",
            text("Instead of tip, what arrives: roll, stun, follow, draw or a ratio"),
        ),
        ("roll", text("The same as a ratio")),
        ("hit", text("The same as a word")),
        ("side", text("Side spin that arrives, outside positive")),
        ("bridge", text("Length of the bridge")),
    ]
}

/// Who aims.
pub(super) fn player_properties() -> Vec<(&'static str, Schema)> {
    vec![
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
            "speed-spread",
            text("Spread of the stroke's speed, as a share of it"),
        ),
        (
            "student",
            text("A student of the practice log, instead of a level or spreads"),
        ),
    ]
}
