//! What a table is made of, in SI.

use kurbo::Point;

use crate::error::UnitError;
use crate::units::{Axis, Coordinate, Position, Spot};

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
    /// What single pockets have otherwise than their kind, in the order of [`POCKETS`].
    pub single: [PocketChanges; 6],
    /// How well bounce and rub are known, where they were measured.
    pub measured: MeasuredBounce,
    /// Pivot length of the cue from the ball's middle, where it was measured.
    pub cue_pivot_m: Option<f64>,
}

/// The six pockets as files call them, each with whether it is a corner.
pub const POCKETS: [(&str, bool); 6] = [
    ("head-left", true),
    ("head-right", true),
    ("side-left", false),
    ("side-right", false),
    ("foot-left", true),
    ("foot-right", true),
];

/// What is marked on bed and rails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Marks {
    /// Diamonds on the rails, head and foot spot.
    #[default]
    Diamonds,
    /// Baulk line, D and the spots of snooker.
    Snooker,
    /// Baulk line and the eight-ball spot of English pool.
    English,
}

impl Marks {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Diamonds, Self::Snooker, Self::English];

    /// As files have it: `diamonds`, `snooker`, `english`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Diamonds => "diamonds",
            Self::Snooker => "snooker",
            Self::English => "english",
        }
    }
}

/// Lines and spots of a table without diamonds; what is `None` follows from the table's size.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lines {
    /// Baulk cushion to baulk line.
    pub baulk_m: Option<f64>,
    /// Radius of the D.
    pub d_radius_m: Option<f64>,
    /// Top cushion to the black spot.
    pub black_spot_m: Option<f64>,
}

/// What one pocket has otherwise than its kind.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[expect(missing_docs, reason = "as in `PocketSpec`")]
pub struct PocketChanges {
    pub mouth_m: Option<f64>,
    pub facing_angle_rad: Option<f64>,
    pub shelf_m: Option<f64>,
    pub cutout_radius_m: Option<f64>,
    pub jaw_radius_m: Option<f64>,
    pub facing_restitution: Option<f64>,
    pub facing_friction: Option<f64>,
}

impl PocketChanges {
    /// A pocket of this kind with these changes.
    #[must_use]
    pub fn on(&self, kind: &PocketSpec) -> PocketSpec {
        PocketSpec {
            mouth_m: self.mouth_m.unwrap_or(kind.mouth_m),
            facing_angle_rad: self.facing_angle_rad.unwrap_or(kind.facing_angle_rad),
            shelf_m: self.shelf_m.unwrap_or(kind.shelf_m),
            cutout_radius_m: self.cutout_radius_m.unwrap_or(kind.cutout_radius_m),
            jaw_radius_m: self.jaw_radius_m.unwrap_or(kind.jaw_radius_m),
            facing_restitution: self.facing_restitution.unwrap_or(kind.facing_restitution),
            facing_friction: self.facing_friction.unwrap_or(kind.facing_friction),
        }
    }

    /// Whether it is like its kind in all.
    #[must_use]
    pub fn is_none(&self) -> bool {
        *self == Self::default()
    }
}

/// The rectangle between the cushion noses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bed {
    /// Head rail to foot rail.
    pub length_m: f64,
    /// Right rail to left rail.
    pub width_m: f64,
    /// What is marked on bed and rails.
    pub marks: Marks,
    /// Lines and spots of a table without diamonds, where the file gives them.
    pub lines: Lines,
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

/// How well bounce and rub of jaws and rails are known on a table where they were measured. What is
/// `None` was not measured: it is assumed.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MeasuredBounce {
    /// Of jaws and facings.
    pub facings: BounceReach,
    /// Of the cushions along the rails.
    pub cushions: BounceReach,
}

/// Half widths of the intervals that hold 95 times in 100, and how the two go together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BounceReach {
    /// Half width for the restitution.
    pub restitution: Option<f64>,
    /// Half width for the friction.
    pub friction: Option<f64>,
    /// Their correlation; none is 0. Rolls at a mouth tell the two together better than each alone.
    pub together: Option<f64>,
}

impl BounceReach {
    /// Whether it was measured.
    #[must_use]
    pub fn is_known(&self) -> bool {
        self.restitution.is_some() && self.friction.is_some()
    }
}

/// Playing area of the full-size snooker table, mm (published: WPBSA).
const FULL_LENGTH_MM: f64 = 3569.0;
const FULL_WIDTH_MM: f64 = 1778.0;

/// Standard gravity, m/s² (published: standard value).
pub const GRAVITY_M_S2: f64 = 9.80665;

impl Gear {
    /// One of the six pockets as it is, by its place in [`POCKETS`].
    ///
    /// # Panics
    /// Where there is no such place.
    #[must_use]
    pub fn single_pocket(&self, index: usize) -> PocketSpec {
        let kind = if POCKETS[index].1 {
            &self.corner
        } else {
            &self.side
        };
        self.single[index].on(kind)
    }

    /// Whether pockets of one kind differ.
    #[must_use]
    pub fn pockets_differ(&self) -> bool {
        self.single.iter().any(|own| !own.is_none())
    }

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
        let (x, y) = match place {
            Position::Spot(spot) => return Ok(self.spot(spot)),
            Position::At(x, y) => (x, y),
        };
        Ok(Point::new(
            self.along(x, contact_radius_m)?,
            self.across(y, contact_radius_m)?,
        ))
    }

    /// Metres from the head rail.
    ///
    /// # Errors
    /// As [`Bed::locate`].
    pub fn along(&self, x: Coordinate, contact_radius_m: f64) -> Result<f64, UnitError> {
        match x {
            Coordinate::Level(spot) => Ok(self.spot(spot).x),
            x => x.resolve(Axis::Along, self.length_m, contact_radius_m),
        }
    }

    /// Metres from the right rail.
    ///
    /// # Errors
    /// As [`Bed::locate`].
    pub fn across(&self, y: Coordinate, contact_radius_m: f64) -> Result<f64, UnitError> {
        match y {
            Coordinate::Level(spot) => Ok(self.spot(spot).y),
            y => y.resolve(Axis::Across, self.width_m, contact_radius_m),
        }
    }

    /// Baulk cushion to baulk line: as the file says, else a fifth of the length on a table of English pool
    /// (WEPF) and in proportion to 737 mm of 3569 mm on others (WPBSA).
    #[must_use]
    pub fn baulk_m(&self) -> f64 {
        let share = match self.marks {
            Marks::English => 0.2,
            _ => 737.0 / FULL_LENGTH_MM,
        };
        self.lines.baulk_m.unwrap_or(share * self.length_m)
    }

    /// Radius of the D: as the file says, else in proportion to 292 mm of 1778 mm (WPBSA).
    #[must_use]
    pub fn d_radius_m(&self) -> f64 {
        self.lines
            .d_radius_m
            .unwrap_or(292.0 / FULL_WIDTH_MM * self.width_m)
    }

    /// Top cushion to the black spot: as the file says, else in proportion to 324 mm of 3569 mm (WPBSA).
    #[must_use]
    pub fn black_spot_m(&self) -> f64 {
        self.lines
            .black_spot_m
            .unwrap_or(324.0 / FULL_LENGTH_MM * self.length_m)
    }

    /// Where a spot lies, m from the head and the right rail. Yellow right and green left where the D
    /// meets the baulk line, blue in the middle, pink midway between it and the top cushion (WPBSA); the
    /// eight-ball spot three quarters down the table, where the lines from the centre pockets to the far
    /// corners cross (WEPF).
    #[must_use]
    pub fn spot(&self, spot: Spot) -> Point {
        let (l, middle) = (self.length_m, 0.5 * self.width_m);
        match spot {
            Spot::Head => Point::new(0.25 * l, middle),
            Spot::Centre | Spot::Blue => Point::new(0.5 * l, middle),
            Spot::Foot | Spot::Pink | Spot::EightBall => Point::new(0.75 * l, middle),
            Spot::Brown => Point::new(self.baulk_m(), middle),
            Spot::Yellow => Point::new(self.baulk_m(), middle - self.d_radius_m()),
            Spot::Green => Point::new(self.baulk_m(), middle + self.d_radius_m()),
            Spot::Black => Point::new(l - self.black_spot_m(), middle),
        }
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
