//! The whole bed as curves for the centre of a ball: six rails, six pockets, other balls as stops.
//!
//! Unlike the endless rails of one pocket, each rail here ends at the jaws of its two pockets.

use kurbo::{Point, Vec2};

use super::shape::{PocketName, PocketShape};
use crate::gear::Gear;
use crate::motion::{BallBody, Feature, FeatureKind, Shape};

/// Features of one pocket kept on the bed, as indices of [`PocketShape::features`].
const POCKET_PARTS: [usize; 5] = [
    PocketShape::JAW_LEFT,
    PocketShape::FACING_LEFT,
    PocketShape::FACING_RIGHT,
    PocketShape::JAW_RIGHT,
    PocketShape::DROP,
];
/// Two half rails on one line lie within this of it, m (rounding of rotated frames).
const ONE_LINE_M: f64 = 1e-9;

/// Everything fixed that a ball can meet on the bed.
///
/// Order of the features: the six rails, then five parts for each pocket in the order of
/// [`PocketName::ALL`].
#[derive(Debug, Clone, PartialEq)]
pub struct FullBed {
    /// The ball it is for.
    pub body: BallBody,
    features: Vec<Feature>,
    ends: Vec<[PocketName; 2]>,
}

/// A rail as one pocket sees it: from its jaw on.
struct HalfRail {
    pocket: PocketName,
    start: Point,
    along: Vec2,
    feature: Feature,
}

impl FullBed {
    /// Parts of each pocket, which follow each other.
    pub const PARTS: usize = POCKET_PARTS.len();
    /// Number of rails between pockets.
    pub const RAILS: usize = 6;

    /// The bed for one ball.
    #[must_use]
    pub fn new(gear: &Gear, body: &BallBody) -> Self {
        let mut halves = Vec::with_capacity(2 * Self::RAILS);
        let mut parts = Vec::with_capacity(POCKET_PARTS.len() * PocketName::ALL.len());
        for pocket in PocketName::ALL {
            let frame = pocket.frame(gear);
            let shape = PocketShape::named(gear, pocket, body);
            let on_plan = |feature: &Feature| placed(feature, frame.axis_rad, |p| frame.to_plan(p));
            for index in [PocketShape::RAIL_LEFT, PocketShape::RAIL_RIGHT] {
                let feature = on_plan(&shape.features[index]);
                if let Shape::Line { start, along, .. } = feature.shape {
                    halves.push(HalfRail {
                        pocket,
                        start,
                        along,
                        feature,
                    });
                }
            }
            parts.extend(POCKET_PARTS.map(|index| on_plan(&shape.features[index])));
        }
        let mut features = Vec::with_capacity(Self::RAILS + parts.len());
        let mut ends = Vec::with_capacity(Self::RAILS);
        for (i, half) in halves.iter().enumerate() {
            let Some((j, length_m)) = partner(&halves, half) else {
                continue;
            };
            if j < i {
                continue;
            }
            let shape = match half.feature.shape {
                Shape::Line {
                    start,
                    along,
                    normal,
                    ..
                } => Shape::Line {
                    start,
                    along,
                    normal,
                    length_m,
                },
                other => other,
            };
            features.push(Feature {
                shape,
                ..half.feature
            });
            ends.push([half.pocket, halves[j].pocket]);
        }
        features.extend(parts);
        Self {
            body: *body,
            features,
            ends,
        }
    }

    /// What the ball can meet; indices as in [`crate::motion::trace`].
    #[must_use]
    pub fn features(&self) -> &[Feature] {
        &self.features
    }

    /// The fixed features and a stop for each ball of `balls`, met at `contact_m` from its
    /// centre. Ball `k` has index `self.first_ball() + k`.
    #[must_use]
    pub fn with_balls(
        &self,
        balls: impl IntoIterator<Item = Point>,
        contact_m: f64,
    ) -> Vec<Feature> {
        let mut features = self.features.clone();
        features.extend(balls.into_iter().map(|at| Feature::ball(at, contact_m)));
        features
    }

    /// Index of the first ball behind the fixed features.
    #[must_use]
    pub fn first_ball(&self) -> usize {
        self.features.len()
    }

    /// The pocket that a feature belongs to; `None` for rails and balls.
    #[must_use]
    pub fn pocket_of(&self, index: usize) -> Option<PocketName> {
        let part = index.checked_sub(self.ends.len())?;
        PocketName::ALL.get(part / POCKET_PARTS.len()).copied()
    }

    /// The two pockets a rail runs between; `None` for other features.
    pub(crate) fn rail_ends(&self, index: usize) -> Option<[PocketName; 2]> {
        self.ends.get(index).copied()
    }

    /// Whether a rail (its index) runs along one of the two lines that meet at a pocket; a long one
    /// goes on past a side pocket.
    #[must_use]
    pub fn meets_at(&self, rail: usize, pocket: PocketName) -> bool {
        let line = |i: usize| match self.features[i].shape {
            Shape::Line { start, normal, .. } => Some((start, normal)),
            _ => None,
        };
        let Some((at, normal)) = line(rail) else {
            return false;
        };
        (0..self.ends.len())
            .filter(|&i| self.ends[i].contains(&pocket))
            .filter_map(line)
            .any(|(p, n)| n.dot(normal) > 0.5 && (p - at).dot(normal).abs() < ONE_LINE_M)
    }

    /// How far a ball centred at `at` is from the nearest cushion, jaw or facing (m), negative
    /// when it overlaps one; infinite only off the bed.
    #[must_use]
    pub fn clearance_m(&self, at: Point) -> f64 {
        self.features
            .iter()
            .filter(|f| f.kind != FeatureKind::Drop)
            .map(|f| f.gap_m(at))
            .fold(f64::INFINITY, f64::min)
    }
}

/// The nearest half rail that runs against this one on the same line, and how far its start is.
fn partner(halves: &[HalfRail], half: &HalfRail) -> Option<(usize, f64)> {
    halves
        .iter()
        .enumerate()
        .filter_map(|(j, other)| {
            let d = other.start - half.start;
            let facing = half.along.dot(other.along) < 0.0;
            let (ahead_m, aside_m) = (d.dot(half.along), d.cross(half.along).abs());
            (facing && ahead_m > 0.0 && aside_m < ONE_LINE_M).then_some((j, ahead_m))
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

/// A feature of the pocket frame on the plan. Directions of rails are snapped to the axes, so
/// that a ball sent along one keeps to it.
fn placed(feature: &Feature, axis_rad: f64, point: impl Fn(Point) -> Point) -> Feature {
    let turn = |v: Vec2| {
        let (s, c) = axis_rad.sin_cos();
        let turned = Vec2::new(c * v.x - s * v.y, s * v.x + c * v.y);
        let snap = |x: f64| {
            if x.abs() < 1e-14 {
                0.0
            } else if (x.abs() - 1.0).abs() < 1e-14 {
                x.signum()
            } else {
                x
            }
        };
        Vec2::new(snap(turned.x), snap(turned.y))
    };
    Feature {
        shape: feature.shape.moved(point, turn),
        ..*feature
    }
}
