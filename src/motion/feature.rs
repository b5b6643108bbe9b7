//! What a rolling ball can meet, as curves for its *centre*.

use kurbo::{Point, Vec2};

/// What kind of thing a feature is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FeatureKind {
    /// A cushion nose along a rail.
    Rail,
    /// The face of a cushion inside a pocket.
    Facing,
    /// The point or rounding between nose and facing.
    Jaw,
    /// The edge of the slate cut: the ball is gone.
    Drop,
    /// Another ball: the trace ends there.
    Ball,
}

/// Where the ball's centre is when it touches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// A straight line, already moved by the ball's plan radius.
    Line {
        /// First end (beside the jaw).
        start: Point,
        /// Unit vector from `start` along the line.
        along: Vec2,
        /// Unit normal towards the ball.
        normal: Vec2,
        /// Length; infinite for an endless rail.
        length_m: f64,
    },
    /// A convex arc round a jaw, already widened by the ball's plan radius. Contact counts only
    /// between the normals of the nose line and the facing.
    Arc {
        /// Centre of the arc.
        centre: Point,
        /// Distance of the ball's centre when touching.
        radius_m: f64,
        /// Direction of the nose line away from the jaw.
        rail_along: Vec2,
        /// Direction of the facing away from the jaw.
        facing_along: Vec2,
    },
    /// A whole circle, entered from outside.
    Circle {
        /// Centre.
        centre: Point,
        /// Radius.
        radius_m: f64,
    },
}

impl Shape {
    /// The shape with its places and its directions moved; `turn` must keep lengths.
    pub(crate) fn moved(self, point: impl Fn(Point) -> Point, turn: impl Fn(Vec2) -> Vec2) -> Self {
        match self {
            Self::Line {
                start,
                along,
                normal,
                length_m,
            } => Self::Line {
                start: point(start),
                along: turn(along),
                normal: turn(normal),
                length_m,
            },
            Self::Arc {
                centre,
                radius_m,
                rail_along,
                facing_along,
            } => Self::Arc {
                centre: point(centre),
                radius_m,
                rail_along: turn(rail_along),
                facing_along: turn(facing_along),
            },
            Self::Circle { centre, radius_m } => Self::Circle {
                centre: point(centre),
                radius_m,
            },
        }
    }
}

/// A thing the ball can meet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feature {
    /// What it is.
    pub kind: FeatureKind,
    /// Where the centre is at contact.
    pub shape: Shape,
    /// Restitution in plan.
    pub restitution: f64,
    /// Friction.
    pub friction: f64,
}

/// How far beyond the end of its sector a jaw still counts, m. Rounding alone decides there;
/// far below any edge that is reported (1e-9 rad over a metre is 1e-9 m).
pub(super) const SECTOR_SLACK_M: f64 = 1e-12;

impl Feature {
    /// Another ball, met at `contact_m` from its centre: a path ends there.
    #[must_use]
    pub fn ball(at: Point, contact_m: f64) -> Self {
        Self {
            kind: FeatureKind::Ball,
            shape: Shape::Circle {
                centre: at,
                radius_m: contact_m,
            },
            restitution: 0.0,
            friction: 0.0,
        }
    }

    /// Unit normal from the feature towards a ball centred at `at`.
    pub(crate) fn normal_at(&self, at: Point) -> Vec2 {
        match self.shape {
            Shape::Line { normal, .. } => normal,
            Shape::Arc { centre, .. } | Shape::Circle { centre, .. } => {
                let d = at - centre;
                d / d.hypot2().sqrt()
            }
        }
    }

    /// Distance of a ball centre from touching, negative when overlapping. For a line only the
    /// part along its length counts; elsewhere the distance is infinite.
    #[must_use]
    pub fn gap_m(&self, at: Point) -> f64 {
        match self.shape {
            Shape::Line { start, normal, .. } => {
                if self.covers(at) {
                    (at - start).dot(normal)
                } else {
                    f64::INFINITY
                }
            }
            Shape::Arc {
                centre, radius_m, ..
            } => {
                if self.covers(at) {
                    (at - centre).hypot() - radius_m
                } else {
                    f64::INFINITY
                }
            }
            Shape::Circle { centre, radius_m } => (at - centre).hypot() - radius_m,
        }
    }

    /// Whether contact at this centre belongs to the feature. Exactly at a jaw point it is a jaw.
    pub(crate) fn covers(&self, at: Point) -> bool {
        match self.shape {
            Shape::Line {
                start,
                along,
                length_m,
                ..
            } => {
                let s = (at - start).dot(along);
                s > 0.0 && s < length_m
            }
            Shape::Arc {
                centre,
                rail_along,
                facing_along,
                ..
            } => {
                let d = at - centre;
                d.dot(rail_along) <= SECTOR_SLACK_M && d.dot(facing_along) <= SECTOR_SLACK_M
            }
            Shape::Circle { .. } => true,
        }
    }
}
