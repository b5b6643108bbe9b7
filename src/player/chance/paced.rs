//! A chance over the speeds that a player's stroke has: a ball that may die short pays, and one that
//! is struck hard pays through the jaws.

use kurbo::Vec2;

use super::aim_error::AimError;
use super::caught::{chance, joined};
use super::level::Scatter;
use super::normal::{cdf, quantile};
use crate::contact::ThrowLaw;
use crate::gear::Gear;
use crate::stroke::Stick;
use crate::window::{AimWindow, Mouth, Shot, at, contact_speed_m_s, start_speed_m_s};

/// Quantiles of the speeds above the slowest that drops, at which the chance is worked out: within
/// 0.05 in ten of 201 speeds.
const QUANTILES: [f64; 3] = [1.0 / 6.0, 0.5, 5.0 / 6.0];
/// More than this share dying short is never.
const NEVER: f64 = 1.0 - 1e-9;
/// Strokes looked at for the slowest that drops, as shares of the intended one.
const SLOWEST: f64 = 0.05;
const FASTEST: f64 = 3.0;
/// Step of the look upwards, as a share.
const STEP: f64 = 0.02;
/// Halvings to the slowest stroke: 1e-6 of the intended one.
const HALVINGS: u32 = 20;
/// Step for the effect of elevation, rad.
const TILT_RAD: f64 = 1e-3;

/// A shot aimed and struck: all that a chance over speeds needs.
#[derive(Debug, Clone, Copy)]
pub struct Aimed<'a> {
    /// The equipment.
    pub gear: &'a Gear,
    /// The shot, its pocket and places.
    pub shot: &'a Shot,
    /// The window as intended; its aim is held.
    pub window: &'a AimWindow,
    /// How the cue ball is struck; without a stick roll and side arrive as the window has them at
    /// every speed, and neither squirts nor swerves.
    pub stick: Option<&'a Stick>,
}

/// A player's chance and what it is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paced {
    /// Chance to make it.
    pub chance: f64,
    /// Chance with the speed as intended.
    pub as_intended: f64,
    /// How often the stroke is too soft for the ball to drop on the held aim.
    pub dies_short: f64,
    /// Slowest stroke that drops on the held aim, as a share of the intended one; infinite where none
    /// does.
    pub slowest: f64,
    /// Spread of the cue ball's direction as intended, rad.
    pub sigma_rad: f64,
}

/// What a stroke of one speed brings to the contact.
#[derive(Debug, Clone, Copy)]
struct Brought {
    law: ThrowLaw,
    /// Direction of the way to the contact off the stick's line, rad.
    off_rad: f64,
    /// Direction of travel there, off the stick's line, rad.
    travels_rad: f64,
}

impl Aimed<'_> {
    /// The chance of a player over the speeds of their stroke.
    ///
    /// With s the relative spread of speed, k the slowest stroke that drops and `F = Φ((k−1)/s)`:
    /// `P = (1 − F) × mean of P at the 1/6, 1/2 and 5/6 quantiles of the speeds above k`.
    #[must_use]
    pub fn chance(&self, player: &AimError, scatter: &Scatter) -> Paced {
        let mouth = Mouth::new(self.gear, self.shot);
        let tilted = self.tilted();
        let slowest = self.slowest(&mouth);
        let sigma_rad = self.sigma_rad(1.0, player, scatter, tilted);
        let as_intended = self.chance_at(&mouth, 1.0, player, sigma_rad);
        let spread = scatter.speed_share;
        let dies_short = if spread > 0.0 {
            cdf((slowest - 1.0) / spread)
        } else if slowest <= 1.0 {
            0.0
        } else {
            1.0
        };
        let chance = if dies_short > NEVER {
            0.0
        } else if spread <= 0.0 {
            as_intended
        } else {
            let node = |q: f64| {
                let share = 1.0 + spread * quantile(dies_short + q * (1.0 - dies_short));
                let sigma_rad = self.sigma_rad(share, player, scatter, tilted);
                self.chance_at(&mouth, share, player, sigma_rad)
            };
            (1.0 - dies_short) * QUANTILES.map(node).iter().sum::<f64>() / 3.0
        };
        Paced {
            chance,
            as_intended,
            dies_short,
            slowest,
            sigma_rad,
        }
    }

    /// The cue ball at the contact for a stroke `share` of the intended; `None` when it stops short.
    fn brought(&self, share: f64) -> Option<Brought> {
        let window = self.window;
        let travel_m = window.aim.travel_m;
        let Some(stick) = self.stick else {
            let cloth = &self.gear.cloth;
            let law = window.law;
            let start = start_speed_m_s(cloth, law.speed_m_s, law.roll, travel_m);
            let speed_m_s = contact_speed_m_s(cloth, share * start, law.roll, travel_m)?;
            return Some(Brought {
                law: ThrowLaw { speed_m_s, ..law },
                off_rad: 0.0,
                travels_rad: 0.0,
            });
        };
        let struck = Stick {
            speed_m_s: share * stick.speed_m_s,
            ..*stick
        };
        let mark = at(self.gear, &struck, travel_m)?;
        Some(Brought {
            law: ThrowLaw {
                speed_m_s: mark.arrival.speed_m_s,
                roll: mark.arrival.roll,
                side_right: mark.arrival.side_right,
                ..window.law
            },
            off_rad: mark.left_m.atan2(mark.along_m),
            travels_rad: mark.arrival.direction_rad,
        })
    }

    /// Turn of the cue ball's way against the intended, at one speed.
    fn turn_rad(&self, brought: &Brought) -> f64 {
        let intended = self.brought(1.0).map_or(0.0, |b| b.off_rad);
        brought.off_rad - intended
    }

    /// The window at another speed, aim held.
    fn window_at(&self, brought: &Brought) -> AimWindow {
        let aim = &self.window.aim;
        let throw = brought.law.throw(aim.sin_cut, aim.cos_cut);
        AimWindow {
            law: brought.law,
            cue_speed_m_s: brought.law.speed_m_s,
            object_speed_m_s: self.gear.passed_on() * brought.law.speed_m_s * aim.cos_cut
                / throw.angle_rad.cos(),
            ..*self.window
        }
    }

    /// Intervals of cue-ball directions relative to the held aim that drop at one speed.
    #[must_use]
    pub fn intervals_rad(&self, share: f64) -> Vec<(f64, f64)> {
        self.intervals_of(&Mouth::new(self.gear, self.shot), share)
    }

    fn intervals_of(&self, mouth: &Mouth, share: f64) -> Vec<(f64, f64)> {
        let Some(brought) = self.brought(share) else {
            return Vec::new();
        };
        let window = self.window_at(&brought);
        let Some(acceptance) = mouth.takes(window.object_speed_m_s) else {
            return Vec::new();
        };
        let turn = self.turn_rad(&brought);
        let open = window.cue_directions(&acceptance.pieces);
        let spans: Vec<(f64, f64)> = open
            .spans()
            .iter()
            .map(|s| (s.from_rad - turn, s.to_rad - turn))
            .collect();
        joined(&spans).collect()
    }

    fn chance_at(&self, mouth: &Mouth, share: f64, player: &AimError, sigma_rad: f64) -> f64 {
        if share <= 0.0 {
            return 0.0;
        }
        chance(&self.intervals_of(mouth, share), sigma_rad, player.bias_rad)
    }

    /// Whether the object ball drops on the held aim at a share of the stroke.
    fn falls(&self, mouth: &Mouth, share: f64) -> bool {
        let Some(brought) = self.brought(share) else {
            return false;
        };
        let window = self.window_at(&brought);
        let Some(theta) = window.object_direction_rad(self.turn_rad(&brought)) else {
            return false;
        };
        let approach_rad = (-self.shot.object.y).atan2(-self.shot.object.x);
        let v = Vec2::from_angle(approach_rad + theta) * window.object_speed_m_s;
        mouth.drops(v)
    }

    /// Slowest stroke that drops on the held aim.
    fn slowest(&self, mouth: &Mouth) -> f64 {
        let (mut fails, mut falls) = (SLOWEST, 1.0);
        if self.falls(mouth, 1.0) {
            if self.falls(mouth, SLOWEST) {
                return SLOWEST;
            }
        } else {
            let mut share = 1.0 + STEP;
            while !self.falls(mouth, share) {
                share += STEP;
                if share > FASTEST {
                    return f64::INFINITY;
                }
            }
            (fails, falls) = (share - STEP, share);
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (fails + falls);
            if self.falls(mouth, middle) {
                falls = middle;
            } else {
                fails = middle;
            }
        }
        falls
    }

    /// Turn of the direction of travel at the contact for a radian more of elevation; none without a stick.
    fn tilted(&self) -> f64 {
        let Some(stick) = self.stick else { return 0.0 };
        let off = |by: f64| {
            let tilted = Stick {
                elevation_rad: stick.elevation_rad + by,
                ..*stick
            };
            at(self.gear, &tilted, self.window.aim.travel_m)
                .map_or(0.0, |m| m.arrival.direction_rad)
        };
        (off(TILT_RAD) - off(-TILT_RAD)) / (2.0 * TILT_RAD)
    }

    /// Spread of the cue ball's direction:
    /// `σ² = arm² + (picture/t_c)² + allow²(q² + s²) + (dα/dε σ_ε)²`, q the squirt and s the swerve
    /// by contact, both as directions of travel.
    fn sigma_rad(&self, share: f64, player: &AimError, scatter: &Scatter, tilted: f64) -> f64 {
        let brought = self.brought(share);
        let speed = brought.map_or(self.window.cue_speed_m_s, |b| b.law.speed_m_s);
        let seen = player.sigma_rad(self.window.aim.travel_m, speed);
        let (Some(stick), Some(brought)) = (self.stick, brought) else {
            return seen;
        };
        let squirt = stick.squirt_rad(self.gear.cue_radius_m());
        let swerve = brought.travels_rad - squirt;
        seen.hypot(scatter.allow * squirt.hypot(swerve))
            .hypot(tilted * scatter.elevation_rad)
    }
}
