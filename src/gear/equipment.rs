//! What a table is made of, in SI.

use kurbo::Point;

use crate::error::UnitError;
use crate::units::Position;

/// A whole set of equipment.
#[derive(Debug, Clone, PartialEq)]
pub struct Gear {
    /// Name, as in the file or preset.
    pub name: String,
    /// The rectangle between the cushion noses.
    pub bed: Bed,
    /// The two balls of a shot.
    pub balls: Balls,
    /// What happens when they meet.
    pub contact: BallContact,
    /// The cloth.
    pub cloth: Cloth,
    /// The cushions along the rails.
    pub cushion: Cushion,
    /// The four corner pockets.
    pub corner: PocketSpec,
    /// The two side pockets.
    pub side: PocketSpec,
}

/// The rectangle between the cushion noses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bed {
    /// Head rail to foot rail.
    pub length_m: f64,
    /// Right rail to left rail.
    pub width_m: f64,
}

/// Sizes and masses of the cue ball and the object balls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balls {
    /// Object-ball diameter.
    pub object_diameter_m: f64,
    /// Cue-ball diameter.
    pub cue_diameter_m: f64,
    /// Object-ball mass.
    pub object_mass_kg: f64,
    /// Cue-ball mass.
    pub cue_mass_kg: f64,
}

/// Restitution and friction between two balls, `mu(v) = scale · (floor + span · exp(−decay · v))`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BallContact {
    /// Coefficient of restitution, 1 = no loss.
    pub restitution: f64,
    /// `mu_a`, the friction of fast rubbing.
    pub friction_floor: f64,
    /// `mu_b`, what slow rubbing adds.
    pub friction_span: f64,
    /// `mu_c` in s/m.
    pub friction_decay_s_m: f64,
    /// Ball condition: 1 as published, 0 frictionless, about 1.3 dirty.
    pub friction_scale: f64,
}

impl BallContact {
    /// Friction of balls that rub at a speed (m/s): `scale·(mu_a + mu_b·exp(−mu_c v))`.
    #[must_use]
    pub fn friction(&self, rub_m_s: f64) -> f64 {
        self.friction_scale * self.friction_floor + self.friction_decaying(rub_m_s)
    }

    /// The part of it that fades as the balls rub faster.
    pub(crate) fn friction_decaying(&self, rub_m_s: f64) -> f64 {
        self.friction_scale * self.friction_span * (-self.friction_decay_s_m * rub_m_s).exp()
    }
}

/// Friction of a ball on the cloth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cloth {
    /// Sliding friction.
    pub sliding_friction: f64,
    /// Rolling friction.
    pub rolling_friction: f64,
    /// Decay of spin about the vertical, in rad/s².
    pub spin_decay_rad_s2: f64,
}

/// A cushion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cushion {
    /// Nose height over the slate in object-ball diameters.
    pub nose_height_ratio: f64,
    /// Coefficient of restitution in plan.
    pub restitution: f64,
    /// Friction.
    pub friction: f64,
}

/// One kind of pocket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PocketSpec {
    /// Between the sharp jaw points.
    pub mouth_m: f64,
    /// Angle between rail and facing, inside the cushion.
    pub facing_angle_rad: f64,
    /// Mouth-line middle to the edge of the slate cut.
    pub shelf_m: f64,
    /// Radius of the slate cut.
    pub cutout_radius_m: f64,
    /// Rounding of the jaw point, 0 = sharp.
    pub jaw_radius_m: f64,
    /// Restitution of facings and jaws.
    pub facing_restitution: f64,
    /// Friction of facings and jaws.
    pub facing_friction: f64,
}

/// Standard gravity, m/s² (published: standard value).
pub const GRAVITY_M_S2: f64 = 9.80665;

impl Gear {
    /// Nose height above the slate.
    #[must_use]
    pub fn nose_height_m(&self) -> f64 {
        self.cushion.nose_height_ratio * self.balls.object_diameter_m
    }
    /// Object-ball radius.
    #[must_use]
    pub fn object_radius_m(&self) -> f64 {
        0.5 * self.balls.object_diameter_m
    }
    /// Cue-ball radius.
    #[must_use]
    pub fn cue_radius_m(&self) -> f64 {
        0.5 * self.balls.cue_diameter_m
    }
    /// Contact distance in plan of cue and object ball, `D = 2·√(R_c·R_o)`: two balls on one slate
    /// touch with centres at their own heights, so the plan distance is the geometric mean.
    #[must_use]
    pub fn contact_distance_m(&self) -> f64 {
        (self.balls.cue_diameter_m * self.balls.object_diameter_m).sqrt()
    }

    /// Share of the cue ball's speed along the line of centres that the object ball leaves with,
    /// `m_c(1 + e_b)/(m_c + m_o)`: 0.975 for balls of one mass with e_b = 0.95.
    #[must_use]
    pub fn passed_on(&self) -> f64 {
        self.balls.cue_mass_kg * (1.0 + self.contact.restitution)
            / (self.balls.cue_mass_kg + self.balls.object_mass_kg)
    }

    /// Plan contact radius of a ball of `radius_m` against a nose `nose_m` above the slate,
    /// `ρ = √(R² − (h − R)²)`: the nose touches a ball above its middle.
    fn plan_radius_m(radius_m: f64, nose_m: f64) -> f64 {
        (radius_m * radius_m - (nose_m - radius_m).powi(2)).sqrt()
    }
    /// Plan contact radius of the object ball at a nose, in metres.
    #[must_use]
    pub fn object_contact_radius_m(&self) -> f64 {
        Self::plan_radius_m(self.object_radius_m(), self.nose_height_m())
    }
    /// Plan contact radius of the cue ball at a nose, in metres.
    #[must_use]
    pub fn cue_contact_radius_m(&self) -> f64 {
        Self::plan_radius_m(self.cue_radius_m(), self.nose_height_m())
    }
}

impl Bed {
    /// A place in metres from the head and the right rail, for a ball that touches a nose at
    /// `contact_radius_m` in plan.
    ///
    /// # Errors
    /// [`UnitError::OffTheTable`] when a coordinate is beyond the noses.
    pub fn locate(&self, place: Position, contact_radius_m: f64) -> Result<Point, UnitError> {
        place.resolve(self.length_m, self.width_m, contact_radius_m)
    }
}

impl PocketSpec {
    /// How far the straight rail and the straight facing each end before the sharp jaw point when
    /// it is rounded: an arc of radius j in a corner of angle a is tangent at `j / tan(a/2)`.
    #[must_use]
    pub fn jaw_tangent_m(&self) -> f64 {
        self.jaw_radius_m / (0.5 * self.facing_angle_rad).tan()
    }
}
