//! Throw: how rubbing turns the object ball off the line of centres.

use crate::gear::BallContact;

/// The friction law with the cue ball's speed and spin at contact.
///
/// `side` is the signed ratio `w = R·ω_z/v`, right english positive; `roll` is `R·ω/v` about the
/// horizontal axis, 1 natural roll, 0 stun, negative draw (its sign does not matter here).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThrowLaw {
    /// Ball-ball contact of the gear.
    pub contact: BallContact,
    /// Cue-ball speed at contact, m/s.
    pub speed_m_s: f64,
    /// Roll ratio.
    pub roll: f64,
    /// Side-spin ratio, right positive.
    pub side_right: f64,
}

/// Throw at one cut angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Throw {
    /// Throw angle, rad, positive when it turns the object ball clockwise off the line of centres.
    pub angle_rad: f64,
    /// Its derivative with respect to the cut angle; on the kink, that of the branch in force.
    pub slope: f64,
    /// Whether the surfaces stop rubbing during the contact (the cap of the friction law).
    pub gripping: bool,
}

/// `tan T` at one cut angle.
#[derive(Debug, Clone, Copy)]
pub(super) struct ThrowTangent {
    pub(super) tan: f64,
    /// d(tan T)/dφ.
    pub(super) slope: f64,
    pub(super) gripping: bool,
}

impl ThrowLaw {
    /// Throw for a cut angle φ given by its sine and cosine, φ signed, left cuts positive.
    #[must_use]
    pub fn throw(&self, sin: f64, cos: f64) -> Throw {
        let t = self.tangent(sin, cos);
        Throw {
            angle_rad: t.tan.atan(),
            slope: t.slope / (1.0 + t.tan * t.tan),
            gripping: t.gripping,
        }
    }

    /// `tan T` and its derivative with respect to φ.
    ///
    /// `v_t = v(sin φ − w)`, `v_n = v cos φ`, `v_k = roll·v cos φ`, `v_r = √(v_t² + v_k²)`,
    /// `tan T = min( μ(v_r), (2/7) v_r/((1+e_b) v_n) )·v_t/v_r`,
    /// `μ(v) = scale·(mu_a + mu_b·exp(−mu_c v))`.
    pub(super) fn tangent(&self, sin: f64, cos: f64) -> ThrowTangent {
        let c = &self.contact;
        let v = self.speed_m_s;
        let (v_t, v_n) = (v * (sin - self.side_right), v * cos);
        let v_k = self.roll * v_n;
        let v_r = (v_t * v_t + v_k * v_k).sqrt();
        let cap = (2.0 / 7.0) / (1.0 + c.restitution);
        let decaying = c.friction_decaying(v_r);
        let mu = c.friction_scale * c.friction_floor + decaying;
        if mu * v_n >= cap * v_r {
            // tan T = cap·(sin φ − w)/cos φ
            if cos <= 0.0 {
                return ThrowTangent {
                    tan: 0.0,
                    slope: 0.0,
                    gripping: true,
                };
            }
            let tan = cap * (sin - self.side_right) / cos;
            let slope = cap * (1.0 - self.side_right * sin) / (cos * cos);
            return ThrowTangent {
                tan,
                slope,
                gripping: true,
            };
        }
        let part = v_t / v_r;
        let (dv_t, dv_k) = (v_n, -self.roll * v * sin);
        let dv_r = (v_t * dv_t + v_k * dv_k) / v_r;
        let d_mu = -c.friction_decay_s_m * decaying * dv_r;
        let slope = d_mu * part + mu * (dv_t - part * dv_r) / v_r;
        ThrowTangent {
            tan: mu * part,
            slope,
            gripping: false,
        }
    }

    /// No throw is larger than this, rad: `atan(scale·(mu_a + mu_b))`.
    pub(crate) fn largest_rad(&self) -> f64 {
        let c = &self.contact;
        (c.friction_scale * (c.friction_floor + c.friction_span)).atan()
    }
}
