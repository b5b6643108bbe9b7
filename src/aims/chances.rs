//! What a player makes by a way of aiming: the whole chance, over the speeds of the stroke.

use serde::Serialize;

use super::Scene;
use crate::player::{AimError, Aimed, left_open};
use crate::pocket::{Acceptance, Grain};
use crate::window::Mouth;

/// A player's chances, 0 to 1; the player's own bias is in both.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Chances {
    /// Following the way.
    pub by_way: f64,
    /// Aimed at the middle of what goes in untouched.
    pub right: f64,
}

impl Chances {
    /// Whether aiming at the middle makes no less than following the way.
    #[must_use]
    pub fn mends(&self) -> bool {
        self.right >= self.by_way
    }
}

/// A player before a shot, whatever the way of aiming.
#[derive(Debug)]
pub(super) struct Aiming<'a> {
    scene: &'a Scene<'a>,
    acceptance: &'a Acceptance,
    player: &'a AimError,
    /// Directions that other balls leave open, rad.
    open_rad: Vec<(f64, f64)>,
    right: f64,
    slowest: f64,
}

impl<'a> Aiming<'a> {
    /// What the pocket takes may be less than it takes of a ball alone: other balls took the rest.
    pub(super) fn new(
        scene: &'a Scene<'a>,
        acceptance: &'a Acceptance,
        player: &'a AimError,
    ) -> Self {
        let window = scene.window;
        let directions =
            |acceptance: &Acceptance| window.cue_directions(&acceptance.pieces).intervals_rad();
        let alone = Mouth::new(scene.gear, scene.shot).takes(window.object_speed_m_s, Grain::Fine);
        let left = directions(acceptance);
        let all = alone.as_ref().map_or_else(|| left.clone(), directions);
        let mut aiming = Self {
            scene,
            acceptance,
            player,
            open_rad: left_open(&all, &left),
            right: 0.0,
            slowest: 1.0,
        };
        let right = aiming.aimed(0.0).chance(player);
        aiming.slowest = right.slowest;
        aiming.right = if player.scatter.speed_share > 0.0 {
            right.chance
        } else {
            right.as_intended
        };
        aiming
    }

    /// The shot aimed so far off the right aim, rad.
    fn aimed(&self, turn_rad: f64) -> Aimed<'_> {
        let scene = self.scene;
        Aimed {
            acceptance: Some(self.acceptance),
            turn_rad,
            open_rad: Some(&self.open_rad),
            ..Aimed::new(scene.gear, scene.shot, scene.window)
        }
    }

    /// The chances with a way that aims so far off.
    pub(super) fn chances(&self, turn_rad: f64) -> Chances {
        let aimed = self.aimed(turn_rad);
        let by_way = if self.player.scatter.speed_share > 0.0 {
            aimed.chance_with(self.player, self.slowest).chance
        } else {
            aimed.chance(self.player).as_intended
        };
        Chances {
            by_way,
            right: self.right,
        }
    }
}
