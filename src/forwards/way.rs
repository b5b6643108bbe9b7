//! The cue ball's way to the first ball it meets: straight, or off one cushion first.

use std::cell::OnceCell;

use kurbo::{Point, Vec2};

use crate::contact::ThrowLaw;
use crate::motion::{BallState, End, Feature, FeatureKind, Moving, Step, straight_hit, trace};

/// The cue ball just before it meets a ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Met {
    /// Index of the ball among the features.
    pub feature: usize,
    /// The cue ball there.
    pub state: BallState,
    /// Cushions it met before: 0 or 1.
    pub cushions: u8,
}

/// Everything a cue ball can meet.
#[derive(Debug, Clone)]
pub struct CueWay {
    features: Vec<Feature>,
    /// The same with every other rail as a stop, for each rail once it was met.
    off: Vec<OnceCell<Vec<Feature>>>,
}

impl CueWay {
    /// Among these features.
    #[must_use]
    pub fn new(features: Vec<Feature>) -> Self {
        let is_rail = |f: &Feature| f.kind == FeatureKind::Rail;
        let rails = features.iter().rposition(is_rail).map_or(0, |i| i + 1);
        Self {
            features,
            off: vec![OnceCell::new(); rails],
        }
    }

    /// What it can meet.
    #[must_use]
    pub fn features(&self) -> &[Feature] {
        &self.features
    }

    /// What a cue ball meets that is sent from `cue` in a direction (rad on the plan), ball first or
    /// off one cushion first. Until the first thing it meets it has the speed and spin of `law`.
    ///
    /// `None` when it meets no ball, or only off more than one cushion or off a jaw.
    #[must_use]
    pub fn first_met(
        &self,
        moving: Moving<'_>,
        cue: Point,
        direction_rad: f64,
        law: &ThrowLaw,
    ) -> Option<Met> {
        let direction = Vec2::from_angle(direction_rad);
        let (way_m, first) = straight_hit(&self.features, cue, direction)?;
        let v = direction * law.speed_m_s;
        let state = BallState {
            at: cue + direction * way_m,
            v,
            q: v * law.roll,
            spin_z_rad_s: law.side_right * law.speed_m_s / moving.body.radius_m,
        };
        match self.features[first].kind {
            FeatureKind::Ball => Some(Met {
                feature: first,
                state,
                cushions: 0,
            }),
            FeatureKind::Rail => self.off_one_cushion(first, moving, state),
            FeatureKind::Facing | FeatureKind::Jaw | FeatureKind::Drop => None,
        }
    }

    /// Follows a cue ball that has just come to a rail. A run of small bounces along it is one cushion.
    fn off_one_cushion(&self, rail: usize, moving: Moving<'_>, state: BallState) -> Option<Met> {
        let stop = |(i, f): (usize, &Feature)| match f.kind {
            FeatureKind::Rail | FeatureKind::Jaw | FeatureKind::Facing if i != rail => Feature {
                kind: FeatureKind::Ball,
                ..*f
            },
            _ => *f,
        };
        let features =
            self.off[rail].get_or_init(|| self.features.iter().enumerate().map(stop).collect());
        let (end, state) = trace(features, moving.body, moving.cloth, state, |_: Step| {}).ok()?;
        let End::Ball(feature) = end else { return None };
        (self.features[feature].kind == FeatureKind::Ball).then_some(Met {
            feature,
            state,
            cushions: 1,
        })
    }
}
