//! One way on one shot: the error it carries, the room left, whether it still drops, what mends it.

use serde::Serialize;

use super::chances::{Aiming, Chances};
use super::{CannotAim, Scene, Way};
use crate::player::AimError;
use crate::pocket::{Acceptance, How};
use crate::window::{AimWindow, Window};

/// What becomes of the object ball.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Drops {
    /// Stays out, or is not hit.
    No,
    /// Goes in off a rail.
    Drop,
    /// Goes in off the jaws.
    Direct,
    /// Goes in untouched.
    Clean,
}

impl Drops {
    /// As in tables of data.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::No => "no",
            Self::Drop => "drop",
            Self::Direct => "direct",
            Self::Clean => "clean",
        }
    }

    /// What the pocket does with a ball sent `delta_rad` off the right aim.
    #[must_use]
    pub fn at(acceptance: &Acceptance, window: &AimWindow, delta_rad: f64) -> Self {
        let how = window
            .object_direction_rad(delta_rad)
            .and_then(|theta| acceptance.pieces.tag_at(theta));
        match how {
            Some(How::Clean) => Self::Clean,
            Some(How::Jaw) => Self::Direct,
            Some(How::Rail) => Self::Drop,
            None => Self::No,
        }
    }
}

/// Room left beside a way's line, inside the window named by `part`; negative on the side where the
/// line lies beyond the window.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Room {
    /// `clean`; `direct` or `drop` where nothing goes in untouched.
    pub part: Drops,
    /// Towards a fuller hit, rad.
    pub full_rad: f64,
    /// Towards a thinner hit, rad.
    pub thin_rad: f64,
}

/// A way judged on a shot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Verdict {
    /// The way's line relative to cue ball → object ball, counter-clockwise positive, rad.
    pub aim_rad: f64,
    /// The same relative to the right aim, rad.
    pub bias_rad: f64,
    /// The aim error in the sense people use: positive too full, negative too thin, rad.
    pub too_full_rad: f64,
    /// The same at the ghost ball, `t_c tan δ`, m. Aiming this much thinner mends it.
    pub too_full_m: f64,
    /// What becomes of the object ball.
    pub drops: Drops,
    /// Room left.
    pub room: Option<Room>,
    /// For a player: the whole chance by this way, and aimed at the middle.
    pub chance: Option<Chances>,
}

/// Judges a way on a shot, for a player if there is one.
///
/// # Errors
/// [`CannotAim`] where the way gives no line.
pub fn judge(
    way: &dyn Way,
    scene: &Scene<'_>,
    acceptance: &Acceptance,
    player: Option<&AimError>,
) -> Result<Verdict, CannotAim> {
    let aiming = player.map(|player| Aiming::new(scene, acceptance, player));
    judge_for(way, scene, acceptance, aiming.as_ref())
}

/// The same for a player whose chance on the shot is worked out.
pub(super) fn judge_for(
    way: &dyn Way,
    scene: &Scene<'_>,
    acceptance: &Acceptance,
    aiming: Option<&Aiming<'_>>,
) -> Result<Verdict, CannotAim> {
    let aim_rad = way.aim_rad(scene)?;
    let window = scene.window;
    let bias_rad = aim_rad - window.aim.aim_rad;
    let too_full_rad = scene.fuller_sign() * bias_rad;
    let parts: [(Drops, Option<Window>); 3] = [
        (Drops::Clean, window.clean),
        (Drops::Direct, window.direct),
        (Drops::Drop, window.drop),
    ];
    let room = parts.into_iter().find_map(|(part, w)| {
        w.map(|w| Room {
            part,
            full_rad: w.thick_rad - too_full_rad,
            thin_rad: w.thin_rad + too_full_rad,
        })
    });
    let chance = aiming.map(|aiming| aiming.chances(bias_rad));
    Ok(Verdict {
        aim_rad,
        bias_rad,
        too_full_rad,
        too_full_m: window.ghost_offset_m(too_full_rad),
        drops: Drops::at(acceptance, window, bias_rad),
        room,
        chance,
    })
}

/// An aim error below this is called right, rad (0.0006 mm at 60 cm: rounding, not geometry).
const RIGHT_RAD: f64 = 1e-6;

impl Verdict {
    /// Whether aiming at the middle mends it: for a player, where that makes no less.
    #[must_use]
    pub fn is_mended(&self) -> bool {
        self.chance.is_none_or(|chance| chance.mends())
    }

    /// `too full`, `too thin` or `right`.
    #[must_use]
    pub fn lean(&self) -> &'static str {
        if self.too_full_rad.abs() <= RIGHT_RAD {
            "right"
        } else if self.too_full_rad > 0.0 {
            "too full"
        } else {
            "too thin"
        }
    }
}
