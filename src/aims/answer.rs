//! Ways of aiming on one shot, as data and in words.

use serde::Serialize;

use super::chances::Aiming;
use super::row::{AimRow, ReachRow, shot_row};
use super::words::{room_sentence, verdict_sentence};
use super::{Bench, Scene, Way, reach};
use crate::gear::Gear;
use crate::player::Player;
use crate::pocket::Acceptance;
use crate::speech::Speech;
use crate::window::{AbstractShot, ShotError, Stroke};

/// One way on the shot.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct WayAnswer {
    /// What the player does.
    pub rule: String,
    /// What is taken for lamp, eye or stick.
    pub assumes: Vec<String>,
    /// Its numbers.
    pub row: AimRow,
    /// What is said of it.
    pub says: Vec<String>,
    /// Up to which cut it works, a row a distance.
    pub reach: Vec<ReachRow>,
}

/// All ways asked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct ShotAims {
    /// Name of the equipment.
    pub gear: String,
    /// Who aims, when anybody was named.
    pub player: Option<String>,
    /// The ways.
    pub ways: Vec<WayAnswer>,
}

/// The shot as a bench looks at it: distances, pocket, and which way it cuts; at any cut.
#[must_use]
pub fn bench_shot(scene: &Scene<'_>, acceptance: &Acceptance) -> AbstractShot {
    AbstractShot {
        kind: scene.shot.frame.kind,
        cut_rad: 0.0,
        cut_side: scene.window.cut_side,
        apart_m: scene.apart_m(),
        to_pocket_m: acceptance.distance_m,
        approach_rad: acceptance.approach_rad,
    }
}

/// Shots that differ in the distance between the balls alone.
#[derive(Debug, Clone, Copy)]
pub struct Shots<'a> {
    /// What they have in common.
    pub base: AbstractShot,
    /// Centre to centre of the balls.
    pub aparts_m: &'a [f64],
    /// The stroke.
    pub stroke: Stroke,
}

/// How far each way reaches at each distance between the balls.
///
/// # Errors
/// [`ShotError`] for distances that cannot be.
pub fn reach_rows(
    gear: &Gear,
    ways: &[Box<dyn Way>],
    shots: &Shots<'_>,
    speech: impl Into<Speech>,
) -> Result<Vec<ReachRow>, ShotError> {
    let speech = speech.into();
    let mut out = Vec::new();
    let Ok(bench) = Bench::new(gear, shots.base, shots.stroke)? else {
        return Ok(out);
    };
    for way in ways {
        for &apart_m in shots.aparts_m {
            let bench = bench.at_distance(apart_m)?;
            out.push(ReachRow::new(&**way, reach(&bench, &**way), speech));
        }
    }
    Ok(out)
}

impl ShotAims {
    /// Judges the ways on a shot.
    #[must_use]
    pub fn new(
        ways: &[Box<dyn Way>],
        scene: &Scene<'_>,
        acceptance: &Acceptance,
        player: Option<&Player>,
        speech: impl Into<Speech>,
    ) -> Self {
        let speech = speech.into();
        let aiming = player.map(|player| Aiming::new(scene, acceptance, &player.error));
        let ways = ways.iter().map(|way| {
            let (row, verdict) = shot_row(&**way, scene, acceptance, aiming.as_ref());
            let says = match verdict {
                Ok(v) => {
                    let room = room_sentence(&v, |rad| scene.window.ghost_offset_m(rad), speech);
                    let first = verdict_sentence(&v, speech);
                    std::iter::once(first).chain(room).collect()
                }
                Err(e) => vec![e.to_string()],
            };
            WayAnswer {
                rule: way.rule(),
                assumes: way.assumes(),
                reach: Vec::new(),
                row,
                says,
            }
        });
        Self {
            gear: scene.gear.name.clone(),
            player: player.map(|p| p.who.clone()),
            ways: ways.collect(),
        }
    }

    /// With how far each way reaches.
    #[must_use]
    pub fn with_reaches(mut self, reaches: &[ReachRow]) -> Self {
        for way in &mut self.ways {
            let own = reaches.iter().filter(|r| r.way == way.row.way);
            way.reach = own.cloned().collect();
        }
        self
    }
}
