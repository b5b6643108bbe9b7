//! Jaws, facings, rails and cut-out of one pocket, and where the six pockets are.

use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_2, FRAC_PI_4};
use std::fmt;
use std::str::FromStr;

use kurbo::{Point, Vec2};
use serde::Serialize;

use crate::gear::{Gear, PocketSpec};
use crate::motion::{BallBody, Feature, FeatureKind, Shape};

/// Corner or side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PocketKind {
    /// One of the four corner pockets.
    Corner,
    /// One of the two side pockets.
    Side,
}

impl PocketKind {
    /// `corner` or `side`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Corner => "corner",
            Self::Side => "side",
        }
    }

    /// Angle between the pocket's axis and each rail, rad: 45° or 90° (geometry of a rectangle).
    pub(crate) fn rail_angle_rad(self) -> f64 {
        match self {
            Self::Corner => FRAC_PI_4,
            Self::Side => FRAC_PI_2,
        }
    }

    /// This kind's dimensions in a gear.
    #[must_use]
    pub fn spec(self, gear: &Gear) -> &PocketSpec {
        match self {
            Self::Corner => &gear.corner,
            Self::Side => &gear.side,
        }
    }
}

impl PocketKind {
    /// Between the facings where they meet the edge of the slate cut, m: what the trade of snooker and
    /// English pool calls the width at the fall. `mouth − 2x·tan(closing)`, x the depth where sharp
    /// facing and cut-out meet; `None` where they do not.
    #[must_use]
    pub fn fall_width_m(self, spec: &PocketSpec) -> Option<f64> {
        let closing_rad = spec.facing_angle_rad - (std::f64::consts::PI - self.rail_angle_rad());
        let along = Vec2::from_angle(-closing_rad);
        let jaw = Point::new(0.0, 0.5 * spec.mouth_m);
        // |jaw + t·along − centre| = r, smaller root
        let to_centre = Point::new(spec.shelf_m + spec.cutout_radius_m, 0.0) - jaw;
        let b = to_centre.dot(along);
        let root = b * b - to_centre.hypot2() + spec.cutout_radius_m.powi(2);
        (root >= 0.0).then(|| 2.0 * (jaw + along * (b - root.sqrt())).y)
    }
}

impl fmt::Display for PocketKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// One of the six pockets, seen by a player at the head looking to the foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum PocketName {
    HeadLeft,
    HeadRight,
    SideLeft,
    SideRight,
    FootLeft,
    FootRight,
}

impl PocketName {
    /// All six.
    pub const ALL: [Self; 6] = [
        Self::HeadLeft,
        Self::HeadRight,
        Self::SideLeft,
        Self::SideRight,
        Self::FootLeft,
        Self::FootRight,
    ];

    /// As typed and printed: `foot-left`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::HeadLeft => "head-left",
            Self::HeadRight => "head-right",
            Self::SideLeft => "side-left",
            Self::SideRight => "side-right",
            Self::FootLeft => "foot-left",
            Self::FootRight => "foot-right",
        }
    }

    /// Corner or side.
    #[must_use]
    pub fn kind(self) -> PocketKind {
        match self {
            Self::SideLeft | Self::SideRight => PocketKind::Side,
            _ => PocketKind::Corner,
        }
    }

    /// Direction of the axis into the pocket on the bed, degrees counter-clockwise from the foot.
    pub(crate) fn axis_deg(self) -> f64 {
        match self {
            Self::FootLeft => 45.0,
            Self::SideLeft => 90.0,
            Self::HeadLeft => 135.0,
            Self::HeadRight => 225.0,
            Self::SideRight => 270.0,
            Self::FootRight => 315.0,
        }
    }

    /// This pocket's dimensions in a gear.
    #[must_use]
    pub fn spec(self, gear: &Gear) -> PocketSpec {
        gear.single_pocket(self as usize)
    }

    /// Where this pocket lies on a gear's bed.
    #[must_use]
    pub fn frame(self, gear: &Gear) -> PocketFrame {
        let (l, w) = (gear.bed.length_m, gear.bed.width_m);
        let back = 0.5 * self.spec(gear).mouth_m * FRAC_1_SQRT_2;
        let (x, y) = match self {
            Self::FootLeft => (l - back, w - back),
            Self::FootRight => (l - back, back),
            Self::HeadLeft => (back, w - back),
            Self::HeadRight => (back, back),
            Self::SideLeft => (0.5 * l, w),
            Self::SideRight => (0.5 * l, 0.0),
        };
        PocketFrame {
            kind: self.kind(),
            name: Some(self),
            mouth_middle: Point::new(x, y),
            axis_rad: self.axis_deg().to_radians(),
        }
    }
}

impl fmt::Display for PocketName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for PocketName {
    type Err = String;

    /// # Errors
    /// A sentence that names the six pockets.
    fn from_str(s: &str) -> Result<Self, String> {
        // What the trades call differently.
        let (end, side) = s.split_once('-').unwrap_or((s, ""));
        let end = match end {
            "baulk" => "head",
            "middle" => "side",
            "top" => "foot",
            other => other,
        };
        Self::ALL
            .into_iter()
            .find(|p| p.name().split_once('-') == Some((end, side)))
            .ok_or_else(|| {
                let names: Vec<_> = Self::ALL.iter().map(|p| p.name()).collect();
                format!(
                    "`{s}` is not a pocket; it must be one of {}",
                    names.join(", ")
                )
            })
    }
}

/// Position and direction of a pocket on a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PocketFrame {
    /// Corner or side.
    pub kind: PocketKind,
    /// Which of the six, when it is one of a bed's.
    pub name: Option<PocketName>,
    /// Middle of the mouth, m.
    pub mouth_middle: Point,
    /// Direction of the axis into the pocket, rad counter-clockwise from +x.
    pub axis_rad: f64,
}

impl PocketFrame {
    /// A pocket by itself: mouth's middle at the origin, axis along +x.
    #[must_use]
    pub fn alone(kind: PocketKind) -> Self {
        Self {
            kind,
            name: None,
            mouth_middle: Point::ORIGIN,
            axis_rad: 0.0,
        }
    }

    /// This pocket's dimensions in a gear: its own on a bed, those of its kind by itself.
    #[must_use]
    pub fn spec(&self, gear: &Gear) -> PocketSpec {
        self.name
            .map_or_else(|| *self.kind.spec(gear), |name| name.spec(gear))
    }

    /// From the plan into the pocket frame.
    #[must_use]
    pub fn to_pocket(&self, p: Point) -> Point {
        rotate(p - self.mouth_middle, -self.axis_rad).to_point()
    }

    /// From the pocket frame to the plan.
    #[must_use]
    pub fn to_plan(&self, p: Point) -> Point {
        self.mouth_middle + rotate(p.to_vec2(), self.axis_rad)
    }
}

fn rotate(v: Vec2, angle_rad: f64) -> Vec2 {
    let (s, c) = angle_rad.sin_cos();
    Vec2::new(c * v.x - s * v.y, s * v.x + c * v.y)
}

/// One pocket as curves for the centre of a ball, in the pocket frame.
#[derive(Debug, Clone, PartialEq)]
pub struct PocketShape {
    /// Corner or side.
    pub kind: PocketKind,
    /// Between the sharp jaw points.
    pub mouth_m: f64,
    /// What the ball can meet: see the index constants.
    pub features: [Feature; 7],
    /// Angle by which each facing closes in on the axis, rad.
    pub closing_rad: f64,
    /// Centre of the cut-out.
    pub cutout_centre: Point,
    /// Its radius.
    pub cutout_radius_m: f64,
}

impl PocketShape {
    /// Index of the left rail in `features`; the right ones mirror the left ones.
    pub const RAIL_LEFT: usize = 0;
    /// Left jaw.
    pub const JAW_LEFT: usize = 1;
    /// Left facing.
    pub const FACING_LEFT: usize = 2;
    /// Right facing.
    pub const FACING_RIGHT: usize = 3;
    /// Right jaw.
    pub const JAW_RIGHT: usize = 4;
    /// Right rail.
    pub const RAIL_RIGHT: usize = 5;
    /// Cut-out.
    pub const DROP: usize = 6;

    /// The shape of a kind for a ball with plan radius `body.plan_radius_m`.
    #[must_use]
    pub fn new(gear: &Gear, kind: PocketKind, body: &BallBody) -> Self {
        Self::of(gear, kind, kind.spec(gear), body)
    }

    /// The same of one of the six, which may differ from its kind.
    #[must_use]
    pub fn named(gear: &Gear, pocket: PocketName, body: &BallBody) -> Self {
        Self::of(gear, pocket.kind(), &pocket.spec(gear), body)
    }

    /// The same of a frame's.
    #[must_use]
    pub fn in_frame(gear: &Gear, frame: &PocketFrame, body: &BallBody) -> Self {
        Self::of(gear, frame.kind, &frame.spec(gear), body)
    }

    fn of(gear: &Gear, kind: PocketKind, spec: &PocketSpec, body: &BallBody) -> Self {
        let closing_rad = spec.facing_angle_rad - (std::f64::consts::PI - kind.rail_angle_rad());
        let left = side_features(gear, kind, spec, closing_rad, body.plan_radius_m);
        let right = left.map(mirrored);
        let cutout_centre = Point::new(spec.shelf_m + spec.cutout_radius_m, 0.0);
        let drop = Feature {
            kind: FeatureKind::Drop,
            shape: Shape::Circle {
                centre: cutout_centre,
                radius_m: spec.cutout_radius_m,
            },
            restitution: 0.0,
            friction: 0.0,
        };
        Self {
            kind,
            mouth_m: spec.mouth_m,
            features: [
                left[0], left[1], left[2], right[2], right[1], right[0], drop,
            ],
            closing_rad,
            cutout_centre,
            cutout_radius_m: spec.cutout_radius_m,
        }
    }
}

/// Rail, jaw and facing on the left.
fn side_features(
    gear: &Gear,
    kind: PocketKind,
    spec: &PocketSpec,
    closing_rad: f64,
    rho: f64,
) -> [Feature; 3] {
    let point = Point::new(0.0, 0.5 * spec.mouth_m);
    let (s, c) = kind.rail_angle_rad().sin_cos();
    let (rail_along, rail_normal) = (Vec2::new(-c, s), Vec2::new(-s, -c));
    let (s, c) = closing_rad.sin_cos();
    let (facing_along, facing_normal) = (Vec2::new(c, -s), Vec2::new(-s, -c));
    // Tangent points of the rounding lie r/tan(A/2) from the sharp point, A the angle in the rubber;
    // its centre lies r behind both lines.
    let back = spec.jaw_radius_m / (0.5 * spec.facing_angle_rad).tan();
    let centre = point + rail_along * back - rail_normal * spec.jaw_radius_m;
    let line = |along: Vec2, normal: Vec2| Shape::Line {
        start: point + along * back + normal * rho,
        along,
        normal,
        length_m: f64::INFINITY,
    };
    let jaw = Shape::Arc {
        centre,
        radius_m: rho + spec.jaw_radius_m,
        rail_along,
        facing_along,
    };
    let of = |kind, shape, restitution, friction| Feature {
        kind,
        shape,
        restitution,
        friction,
    };
    let (e, mu) = (spec.facing_restitution, spec.facing_friction);
    [
        of(
            FeatureKind::Rail,
            line(rail_along, rail_normal),
            gear.cushion.restitution,
            gear.cushion.friction,
        ),
        of(FeatureKind::Jaw, jaw, e, mu),
        of(
            FeatureKind::Facing,
            line(facing_along, facing_normal),
            e,
            mu,
        ),
    ]
}

/// A feature on the other side of the axis.
fn mirrored(feature: Feature) -> Feature {
    let point = |p: Point| Point::new(p.x, -p.y);
    let vec = |v: Vec2| Vec2::new(v.x, -v.y);
    Feature {
        shape: feature.shape.moved(point, vec),
        ..feature
    }
}
