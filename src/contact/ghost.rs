//! The ghost ball: where the cue ball is when it meets the object ball.

use kurbo::{Point, Vec2};

use super::throw::{Throw, ThrowLaw};

/// The two balls before the shot. Directions are measured from the line cue ball → object ball,
/// counter-clockwise positive, rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Approach {
    /// Centre to centre.
    pub apart_m: f64,
    /// Centre to centre in plan when the balls touch, `D`.
    pub contact_m: f64,
    /// Direction from the cue ball to the object ball on the plan, rad.
    pub base_rad: f64,
}

/// One contact: all that follows from the direction of the line of centres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Geometry {
    /// Direction of the line of centres (where the object ball goes without throw).
    pub centres_rad: f64,
    /// Direction in which the cue ball travels to the ghost ball.
    pub aim_rad: f64,
    /// The cue ball's travel to the ghost ball.
    pub travel_m: f64,
    /// Sine of the cut angle, positive when the object ball lies left of the aim line.
    pub sin_cut: f64,
    /// Cosine of the cut angle.
    pub cos_cut: f64,
}

impl Geometry {
    /// The signed cut angle φ.
    #[must_use]
    pub fn cut_rad(&self) -> f64 {
        self.sin_cut.atan2(self.cos_cut)
    }
}

impl Approach {
    /// From the two centres; `None` when the balls overlap.
    #[must_use]
    pub fn new(cue: Point, object: Point, contact_m: f64) -> Option<Self> {
        let d = object - cue;
        let apart_m = d.hypot();
        (apart_m >= contact_m).then_some(Self {
            apart_m,
            contact_m,
            base_rad: d.atan2(),
        })
    }

    /// Largest direction of the line of centres that can be hit: φ reaches ±90° there,
    /// `acos(D/d)`.
    pub(crate) fn reach_rad(&self) -> f64 {
        (self.contact_m / self.apart_m).acos()
    }

    /// The contact with the line of centres at `centres_rad`. With the cue ball at the origin and
    /// the object ball at `(d, 0)` the ghost ball stands at `(d − D cos λ, −D sin λ)`.
    #[must_use]
    pub fn at(&self, centres_rad: f64) -> Geometry {
        let (s, c) = centres_rad.sin_cos();
        let ghost = Vec2::new(self.apart_m - self.contact_m * c, -self.contact_m * s);
        let travel_m = ghost.hypot();
        let (gx, gy) = if travel_m > 0.0 {
            (ghost.x / travel_m, ghost.y / travel_m)
        } else {
            (c, s)
        };
        Geometry {
            centres_rad,
            aim_rad: gy.atan2(gx),
            travel_m,
            sin_cut: gx * s - gy * c,
            cos_cut: gx * c + gy * s,
        }
    }

    /// The contact for a cue ball sent at `aim_rad`; `None` when it misses.
    /// `sin φ = d sin a/D`, `a` the angle from the aim line to the object ball.
    #[must_use]
    pub fn sent(&self, aim_rad: f64) -> Option<Geometry> {
        let sin = self.apart_m * (-aim_rad).sin() / self.contact_m;
        (sin.abs() <= 1.0 && aim_rad.cos() > 0.0).then(|| self.at(aim_rad + sin.asin()))
    }

    /// `dφ/dλ = 1 + D cos φ/t_c`: how fast the cut grows with the line of centres.
    pub(crate) fn cut_slope(&self, geometry: &Geometry) -> f64 {
        1.0 + self.contact_m * geometry.cos_cut / geometry.travel_m
    }

    /// Object-ball direction for a contact, throw included: `θ = λ − T(φ)`.
    pub(crate) fn object_direction(&self, law: &ThrowLaw, geometry: &Geometry) -> (f64, Throw) {
        let throw = law.throw(geometry.sin_cut, geometry.cos_cut);
        (geometry.centres_rad - throw.angle_rad, throw)
    }

    /// The contact that sends the object ball along `direction_rad`, throw included.
    ///
    /// Newton inside the bracket `direction ± largest throw`, which the branches' kink cannot
    /// leave; converges to 1e-13 rad where θ grows with λ over the bracket (see
    /// [`super::side_by_side::folds_between`]). `None` when the direction is out of reach.
    pub(crate) fn contact_for(
        &self,
        law: &ThrowLaw,
        direction_rad: f64,
        guess_rad: f64,
    ) -> Option<Geometry> {
        let reach = self.reach_rad();
        let slack = law.largest_rad() + 1e-12;
        let mut lo = (direction_rad - slack).max(-reach);
        let mut hi = (direction_rad + slack).min(reach);
        if lo >= hi {
            return None;
        }
        let mut centres = guess_rad.clamp(lo, hi);
        for _ in 0..80 {
            let geometry = self.at(centres);
            let (theta, throw) = self.object_direction(law, &geometry);
            let miss = theta - direction_rad;
            if miss > 0.0 {
                hi = centres;
            } else {
                lo = centres;
            }
            let slope = 1.0 - throw.slope * self.cut_slope(&geometry);
            let newton = centres - miss / slope;
            // A step too small to leave the end of the bracket it stands on is the last one.
            let next = if (lo..=hi).contains(&newton) {
                newton
            } else {
                0.5 * (lo + hi)
            };
            let change = (next - centres).abs();
            centres = next;
            if change <= CONVERGED_RAD || hi - lo <= CONVERGED_RAD {
                break;
            }
        }
        let geometry = self.at(centres);
        let (theta, _) = self.object_direction(law, &geometry);
        ((theta - direction_rad).abs() <= REACHED_RAD).then_some(geometry)
    }
}

/// Newton's last step, rad; quadratic convergence makes the error smaller still.
const CONVERGED_RAD: f64 = 1e-13;
/// A direction counts as reached this close, rad.
const REACHED_RAD: f64 = 1e-10;
