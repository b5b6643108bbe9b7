//! Random gears and balls for the properties, all within what a gear file may say.

use kurbo::{Point, Vec2};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use thincut::gear::{Gear, PocketSpec};
use thincut::motion::{BallBody, BallState, End, FeatureKind, Shape, Step, trace};
use thincut::pocket::{Acceptance, How, NoAcceptance, PocketKind, PocketShape, accept};

/// The same cases on every run, so that a failure is a failure for everyone.
pub(crate) fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(20_240_611),
        failure_persistence: None,
        max_global_rejects: 200 * cases,
        ..ProptestConfig::default()
    }
}

/// A pocket whose facings close in by up to 25° from `square_deg`.
fn pocket(square_deg: f64) -> impl Strategy<Value = PocketSpec> {
    (
        0.06..0.16,
        0.0..25.0,
        prop_oneof![Just(0.0), 0.0..0.06],
        0.04..0.1,
        prop_oneof![Just(0.0), 0.0..0.02],
        0.2..=1.0,
        0.0..0.279,
    )
        .prop_map(
            move |(mouth_m, closing, shelf_m, cutout_radius_m, jaw_radius_m, e, mu)| PocketSpec {
                mouth_m,
                facing_angle_rad: f64::to_radians(square_deg + closing),
                shelf_m,
                cutout_radius_m,
                jaw_radius_m,
                facing_restitution: e,
                facing_friction: mu,
            },
        )
}

prop_compose! {
    fn any_values()(
        corner in pocket(135.0),
        side in pocket(90.0),
        object_diameter_m in 0.045..0.065,
        cue_ratio in 0.9..1.1,
        nose_height_ratio in 0.55..0.75,
        cushion in (0.2..=1.0, 0.0..0.279),
        cloth in (0.1..0.4, 0.003..0.03),
        scale in 0.0..2.0,
    ) -> Gear {
        let mut gear = Gear::preset("pool-9ft").unwrap();
        (gear.corner, gear.side) = (corner, side);
        gear.balls.object_diameter_m = object_diameter_m;
        gear.balls.cue_diameter_m = object_diameter_m * cue_ratio;
        gear.cushion.nose_height_ratio = nose_height_ratio;
        (gear.cushion.restitution, gear.cushion.friction) = cushion;
        (gear.cloth.sliding_friction, gear.cloth.rolling_friction) = cloth;
        gear.contact.friction_scale = scale;
        gear
    }
}

/// A gear that passes [`Gear::check`].
pub(crate) fn gears() -> impl Strategy<Value = Gear> {
    any_values().prop_filter("a playable gear", |gear| gear.check().is_ok())
}

pub(crate) fn kinds() -> impl Strategy<Value = PocketKind> {
    prop_oneof![Just(PocketKind::Corner), Just(PocketKind::Side)]
}

/// Evenly spread over the orders of magnitude from `low` to `high`.
pub(crate) fn orders(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

/// A ball before one pocket.
#[derive(Debug, Clone)]
pub(crate) struct Ball {
    pub(crate) gear: Gear,
    pub(crate) kind: PocketKind,
    /// Pocket frame.
    pub(crate) object: Point,
    pub(crate) pace_m_s: f64,
}

impl Ball {
    pub(crate) fn new(gear: Gear, kind: PocketKind, polar: (f64, f64), pace_m_s: f64) -> Self {
        let (far_m, approach_deg) = polar;
        let object = Point::ORIGIN - Vec2::from_angle(approach_deg.to_radians()) * far_m;
        Self {
            gear,
            kind,
            object,
            pace_m_s,
        }
    }

    pub(crate) fn body(&self) -> BallBody {
        BallBody::object(&self.gear)
    }

    pub(crate) fn shape(&self) -> PocketShape {
        PocketShape::new(&self.gear, self.kind, &self.body())
    }

    /// `None` where no ball can lie.
    pub(crate) fn accept(&self) -> Option<Result<Acceptance, NoAcceptance>> {
        let (shape, body) = (self.shape(), self.body());
        accept(&shape, &self.gear.cloth, &body, self.object, self.pace_m_s).ok()
    }

    /// The same place and pace on the other side of the pocket's axis.
    pub(crate) fn mirrored(&self) -> Self {
        Self {
            object: Point::new(self.object.x, -self.object.y),
            ..self.clone()
        }
    }

    /// The ball moved against the left rail (`along_m` from the jaw point).
    pub(crate) fn frozen(mut self, along_m: f64) -> Self {
        let shape = self.shape();
        if let Shape::Line { start, along, .. } = shape.features[PocketShape::RAIL_LEFT].shape {
            self.object = start + along * along_m;
        }
        self
    }
}

/// Traces one direction by itself: how the ball drops, if it does.
pub(crate) fn how_it_drops(
    ball: &Ball,
    shape: &PocketShape,
    speed_m_s: f64,
    direction_rad: f64,
) -> Option<How> {
    let (mut rail, mut touched) = (false, false);
    let start = BallState::sliding(ball.object, Vec2::from_angle(direction_rad) * speed_m_s);
    let see = |step| {
        if let Step::Impact(index, _) = step {
            touched = true;
            rail |= shape.features[index].kind == FeatureKind::Rail;
        }
    };
    match trace(&shape.features, &ball.body(), &ball.gear.cloth, start, see) {
        Ok((End::Drop(_), _)) if rail => Some(How::Rail),
        Ok((End::Drop(_), _)) if touched => Some(How::Jaw),
        Ok((End::Drop(_), _)) => Some(How::Clean),
        _ => None,
    }
}
