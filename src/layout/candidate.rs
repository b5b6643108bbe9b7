//! One way of playing a ball into a pocket, or why there is none.

use crate::contact::ThrowLaw;
use crate::directions::Directions;
use crate::gear::Gear;
use crate::player::aim_error::LINE_NEAREST_M;
use crate::player::{AimError, chance};
use crate::pocket::{How, PocketName};
use crate::stroke::Stick;
use crate::units::Side;
use crate::window::{
    AimWindow, Tip, at, contact_speed_m_s, lengths_for_speed, start_speed_m_s, stick_of,
    stroke_lengths,
};

/// How the ball gets there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Family {
    /// Straight on, at most off the rails that meet at the pocket.
    Direct,
    /// Off one or two cushions first.
    Bank {
        /// How many.
        cushions: u8,
    },
    /// The cue ball meets `through`, which sends the ball in.
    Combination {
        /// Index of the ball between.
        through: usize,
    },
    /// The cue ball comes off one or more cushions.
    Kick {
        /// How many.
        cushions: u8,
    },
}

impl Family {
    /// `direct`, `bank`, `combination`, `kick`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Direct => "direct",
            Self::Bank { .. } => "bank",
            Self::Combination { .. } => "combination",
            Self::Kick { .. } => "kick",
        }
    }
}

/// How the cue ball reaches the first ball.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Way {
    /// Straight, as solved.
    Straight(Box<AimWindow>),
    /// Off cushions, sent off sliding without spin at this speed, m/s.
    Cushions {
        /// Speed off the tip.
        speed_m_s: f64,
    },
}

/// One way of playing a ball into a pocket.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// How the ball gets there.
    pub family: Family,
    /// The ball to be pocketed.
    pub ball: usize,
    /// The ball that the cue ball meets first.
    pub first: usize,
    /// The pocket.
    pub pocket: PocketName,
    /// Direction to send the cue ball on the plan, rad.
    pub aim_rad: f64,
    /// Directions that make it, relative to `aim_rad`.
    pub directions: Directions<How>,
    /// Travel of the cue ball to the ghost ball.
    pub cue_travel_m: f64,
    /// Cue-ball speed at contact.
    pub cue_speed_m_s: f64,
    /// Throw-free cut of the first ball, left positive.
    pub cut_rad: f64,
    /// Balls in the way of the object ball or of the cue ball.
    pub blockers: Vec<usize>,
    /// Share of the directions that other balls take away, 0 to 1.
    pub blocked_share: f64,
    /// What makes this shot harder to see than a straight one.
    pub unseen: Unseen,
    /// Speed of the dropping ball at the pocket; `None` for banks and kicks, whose stroke is given.
    pub pace_m_s: Option<f64>,
    pub(crate) way: Way,
}

/// How far off a player judges a line; where a spread alone was given it is that of the nearest level.
pub(crate) fn line_m(player: &AimError) -> f64 {
    if player.scatter.line_m > 0.0 {
        player.scatter.line_m
    } else {
        player.nearest_level().scatter().line_m
    }
}

/// How a player's direction spreads on a shot, and where its middle lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AimSpread {
    /// Its spread.
    pub sigma_rad: f64,
    /// Its middle against the aim, counter-clockwise positive.
    pub bias_rad: f64,
}

/// What makes a shot harder than a straight one: a line is judged, not seen ("doubt about a rebound" in
/// DEVELOPERS.md).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Unseen {
    /// Cue-ball direction for each metre that a line is misjudged at the first cushion or ball, rad/m.
    pub per_line_m: f64,
}

impl Unseen {
    /// A ball that is judged over `cushions` cushions, the first (or the next ball) `way_m` away;
    /// `lever` turns its direction into the cue ball's.
    pub(super) fn judged(cushions: f64, way_m: f64, lever: f64) -> Self {
        Self {
            per_line_m: cushions * lever / way_m.max(LINE_NEAREST_M),
        }
    }
}

impl Candidate {
    /// The solved window, where the cue ball goes straight to the first ball.
    #[must_use]
    pub fn window(&self) -> Option<&AimWindow> {
        match &self.way {
            Way::Straight(window) => Some(window),
            Way::Cushions { .. } => None,
        }
    }

    /// Where the first ball is cut to; a straight one as the stroke says.
    #[must_use]
    pub fn cut_side(&self) -> Side {
        self.window()
            .map_or(Side::left_if(self.cut_rad >= 0.0), |w| w.cut_side)
    }

    /// The stick that brings what arrives, where one does; as for the chance of the shot.
    pub(super) fn stick(&self, gear: &Gear) -> Option<Stick> {
        let w = self.window()?;
        w.stick
            .or_else(|| stick_of(gear, w, Tip::centre_on(gear).hold()).ok())
    }

    /// The cue ball's way with a stroke of this stick `share` times as fast, its aim held, and by how much
    /// that turns it, rad; `None` when it stops short.
    pub(super) fn way_at(
        &self,
        gear: &Gear,
        stick: Option<Stick>,
        share: f64,
    ) -> Option<(Way, f64)> {
        let w = match &self.way {
            Way::Straight(w) => w,
            Way::Cushions { speed_m_s } => {
                let speed_m_s = share * speed_m_s;
                return Some((Way::Cushions { speed_m_s }, 0.0));
            }
        };
        let (law, travel_m) = (w.law, w.aim.travel_m);
        let (law, turn_rad) = match stick {
            None => {
                let start = start_speed_m_s(&gear.cloth, law.speed_m_s, law.roll, travel_m);
                let speed_m_s = contact_speed_m_s(&gear.cloth, share * start, law.roll, travel_m)?;
                (ThrowLaw { speed_m_s, ..law }, 0.0)
            }
            Some(stick) => {
                let meant = at(gear, &stick, travel_m)?;
                let struck = Stick {
                    speed_m_s: share * stick.speed_m_s,
                    ..stick
                };
                let mark = at(gear, &struck, travel_m)?;
                let law = ThrowLaw {
                    speed_m_s: mark.arrival.speed_m_s,
                    roll: mark.arrival.roll,
                    side_right: mark.arrival.side_right,
                    ..law
                };
                let turn = mark.left_m.atan2(mark.along_m) - meant.left_m.atan2(meant.along_m);
                (law, turn)
            }
        };
        let throw = law.throw(w.aim.sin_cut, w.aim.cos_cut);
        let along_m_s = law.speed_m_s * w.aim.cos_cut / throw.angle_rad.cos();
        let window = AimWindow {
            law,
            cue_speed_m_s: law.speed_m_s,
            object_speed_m_s: gear.passed_on() * along_m_s,
            ..**w
        };
        Some((Way::Straight(Box::new(window)), turn_rad))
    }

    /// The stroke in table lengths; `None` where it cannot be followed.
    #[must_use]
    pub fn stroke_lengths(&self, gear: &Gear) -> Option<f64> {
        match &self.way {
            Way::Straight(w) => {
                stroke_lengths(gear, w.cue_speed_m_s, w.law.roll, w.aim.travel_m).ok()
            }
            Way::Cushions { speed_m_s } => lengths_for_speed(gear, *speed_m_s).ok(),
        }
    }

    /// Turn of the cue ball for a turn of the first ball at the aim, `D cos φ/t_c`; 1 off cushions.
    #[must_use]
    pub fn lever(&self) -> f64 {
        self.window().map_or(1.0, |w| {
            w.approach.contact_m * w.aim.cos_cut / w.aim.travel_m
        })
    }

    /// Intervals of cue-ball directions relative to the aim, rad.
    #[must_use]
    pub fn intervals_rad(&self) -> Vec<(f64, f64)> {
        self.directions.intervals_rad()
    }

    /// Chance that a player makes it; `arm_factor` widens the arm for an awkward stance.
    #[must_use]
    pub fn chance(&self, player: &AimError, arm_factor: f64) -> f64 {
        chance(
            &self.intervals_rad(),
            self.sigma_rad(player, arm_factor),
            player.bias_rad,
        )
    }

    /// Spread of this player's direction on this shot, rad.
    #[must_use]
    pub fn sigma_rad(&self, player: &AimError, arm_factor: f64) -> f64 {
        self.sigma_at_rad(player, arm_factor, self.cue_speed_m_s)
    }

    /// The same with another speed of the cue ball.
    #[must_use]
    pub(crate) fn sigma_at_rad(
        &self,
        player: &AimError,
        arm_factor: f64,
        cue_speed_m_s: f64,
    ) -> f64 {
        let widened = player.with_arm_times(arm_factor);
        let seen = widened.sigma_rad(self.cue_travel_m, cue_speed_m_s);
        // independent parts add as squares
        seen.hypot(line_m(player) * self.unseen.per_line_m)
    }
}

/// Why a ball cannot be played straight into a pocket.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// It does not drop, or hangs where no direction drops it.
    NoDrop,
    /// From there the pocket takes nothing at any pace.
    TooSteep,
    /// Other balls close the way of the object ball.
    ObjectBlocked(Vec<usize>),
    /// Other balls (or a cushion, when empty) close the way of the cue ball.
    CueBlocked(Vec<usize>),
    /// No cue-ball direction sends it there.
    OutOfReach,
    /// The balls are too close to say.
    TooClose,
}
