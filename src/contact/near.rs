//! Contacts near a known one, by series instead of trigonometry: the inner loop of a window.

use super::ghost::{Approach, Geometry};
use super::throw::ThrowLaw;

/// Farthest a contact may lie from the known one, rad of the line of centres. The sine's series to
/// the 11th power is exact to the last bit there.
const NEAR_RAD: f64 = 0.2;
/// Steps before the bracketed search takes over; three are usual.
const MAX_STEPS: u32 = 8;
/// A direction counts as reached this close, rad: a thousandth of what is promised for edges.
const REACHED_RAD: f64 = 1e-13;

/// A known contact to start from.
#[derive(Debug, Clone, Copy)]
pub struct Near<'a> {
    approach: &'a Approach,
    law: &'a ThrowLaw,
    /// The known contact.
    pub base: Geometry,
    sin: f64,
    cos: f64,
    /// Unit vector of the aim there.
    aim: (f64, f64),
    tan_throw: f64,
    throw_rad: f64,
}

/// A contact with what the object ball does.
#[derive(Debug, Clone, Copy)]
pub struct Sent {
    /// The contact.
    pub contact: Geometry,
    /// Direction of the object ball, throw included.
    pub object_rad: f64,
    /// d(object direction)/d(line of centres).
    pub slope: f64,
}

impl<'a> Near<'a> {
    /// Starts from a contact.
    #[must_use]
    pub fn new(approach: &'a Approach, law: &'a ThrowLaw, base: Geometry) -> Self {
        let (sin, cos) = base.centres_rad.sin_cos();
        let (aim_sin, aim_cos) = base.aim_rad.sin_cos();
        let tan_throw = law.tangent(base.sin_cut, base.cos_cut).tan;
        Self {
            approach,
            law,
            base,
            sin,
            cos,
            aim: (aim_cos, aim_sin),
            tan_throw,
            throw_rad: tan_throw.atan(),
        }
    }

    /// The contact with the line of centres turned by `turn_rad` (at most [`NEAR_RAD`]).
    fn turned(&self, turn_rad: f64) -> Sent {
        let (s, c) = small_sin_cos(turn_rad);
        let (sin, cos) = (self.sin * c + self.cos * s, self.cos * c - self.sin * s);
        let contact_m = self.approach.contact_m;
        let (x, y) = (self.approach.apart_m - contact_m * cos, -contact_m * sin);
        let travel_m = (x * x + y * y).sqrt();
        let per = 1.0 / travel_m;
        let (gx, gy) = (x * per, y * per);
        let (sin_cut, cos_cut) = (gx * sin - gy * cos, gx * cos + gy * sin);
        let (across, along) = (
            self.aim.0 * gy - self.aim.1 * gx,
            self.aim.0 * gx + self.aim.1 * gy,
        );
        // Of balls that almost touch, the aim turns by more than a right angle within one window.
        let aim_turn = if along > 0.0 {
            small_atan(across / along)
        } else {
            across.atan2(along)
        };
        let throw = self.law.tangent(sin_cut, cos_cut);
        let throw_rad = self.throw_rad
            + small_atan((throw.tan - self.tan_throw) / (1.0 + throw.tan * self.tan_throw));
        let throw_slope = throw.slope / (1.0 + throw.tan * throw.tan);
        let centres_rad = self.base.centres_rad + turn_rad;
        Sent {
            contact: Geometry {
                centres_rad,
                aim_rad: self.base.aim_rad + aim_turn,
                travel_m,
                sin_cut,
                cos_cut,
            },
            object_rad: centres_rad - throw_rad,
            slope: 1.0 - throw_slope * (1.0 + contact_m * cos_cut * per),
        }
    }

    /// The contact that sends the object ball along `direction_rad`, from a first guess of the line
    /// of centres. Newton's steps while they stay near; otherwise the bracketed search of
    /// [`Approach::contact_for`]. `None` out of reach.
    pub(crate) fn contact_for(&self, direction_rad: f64, guess_rad: f64) -> Option<Sent> {
        let mut turn = guess_rad - self.base.centres_rad;
        for _ in 0..MAX_STEPS {
            if turn.abs() > NEAR_RAD {
                break;
            }
            let sent = self.turned(turn);
            let miss = sent.object_rad - direction_rad;
            if miss.abs() <= REACHED_RAD && sent.cos_cut_ahead() {
                return Some(sent);
            }
            turn -= miss / sent.slope;
        }
        let contact = self
            .approach
            .contact_for(self.law, direction_rad, guess_rad)?;
        let (object_rad, throw) = self.approach.object_direction(self.law, &contact);
        let slope = 1.0 - throw.slope * self.approach.cut_slope(&contact);
        Some(Sent {
            contact,
            object_rad,
            slope,
        })
    }
}

impl Sent {
    /// The object ball lies ahead of the cue ball and the direction still turns with the aim.
    fn cos_cut_ahead(&self) -> bool {
        self.contact.cos_cut > 0.0 && self.slope > 0.0
    }
}

/// Sine and cosine of a small angle, exact to rounding for |x| ≤ 0.2.
#[must_use]
pub fn small_sin_cos(x: f64) -> (f64, f64) {
    let q = x * x;
    let sin = x
        * (1.0
            + q * (-1.0 / 6.0
                + q * (1.0 / 120.0
                    + q * (-1.0 / 5040.0 + q * (1.0 / 362_880.0 - q / 39_916_800.0)))));
    let cos = 1.0
        + q * (-0.5
            + q * (1.0 / 24.0
                + q * (-1.0 / 720.0
                    + q * (1.0 / 40_320.0 + q * (-1.0 / 3_628_800.0 + q / 479_001_600.0)))));
    (sin, cos)
}

/// Arc tangent; by series where |x| ≤ 0.1 (exact to rounding there).
#[must_use]
pub fn small_atan(x: f64) -> f64 {
    const SERIES_TO: f64 = 0.1;
    if x.abs() > SERIES_TO {
        return x.atan();
    }
    let q = x * x;
    x * (1.0
        + q * (-1.0 / 3.0
            + q * (0.2
                + q * (-1.0 / 7.0
                    + q * (1.0 / 9.0 + q * (-1.0 / 11.0 + q * (1.0 / 13.0 + q * (-1.0 / 15.0))))))))
}
