//! The bed as one pocket sees it: its own features first, then everything else.

use kurbo::{Point, Vec2};

use crate::gear::Gear;
use crate::motion::{
    BallBody, Feature, FeatureKind, Leg, Outline, Shape, Surroundings, Way, is_straight,
    straight_hit,
};
use crate::pocket::{
    Acceptance, AcceptanceError, Course, FullBed, NoAcceptance, PocketFrame, PocketName,
    PocketShape, accepted, check_pace,
};

/// Number of features that are the pocket's own.
const OWN: usize = PocketShape::DROP + 1;
/// How far to the side of the pocket's middle a ball may be sent for a drop off another pocket's jaws
/// to be looked for, m (assumption: more than any hole is wide, and no player errs by half a metre).
const SIGHT_M: f64 = 0.52;
/// Spacing of samples into another pocket's mouth, m at the mouth played at.
const SAMPLE_M: f64 = 0.004;
/// Widest step of samples in sight, rad: a mouth three metres down a path is 0.04 rad wide.
const STEP_IN_SIGHT_RAD: f64 = 0.02;
/// Widest step elsewhere, as for a pocket by itself.
const STEP_RAD: f64 = 0.2;
/// Overlap that is rounding, not placing, m.
const TOUCH_SLACK_M: f64 = 1e-9;
/// No facing is longer than this, m (assumption: deeper than any pocket).
const DEEPEST_M: f64 = 0.3;
/// Nose lines nearer than this are one, m.
const ONE_LINE_M: f64 = 1e-9;

/// The whole bed for an object ball.
#[derive(Debug, Clone)]
pub struct Bed {
    /// The bed on the plan.
    pub plan: FullBed,
    gear: Gear,
}

impl Bed {
    /// The bed of a table.
    #[must_use]
    pub fn new(gear: &Gear) -> Self {
        Self {
            plan: FullBed::new(gear, &BallBody::object(gear)),
            gear: gear.clone(),
        }
    }

    /// The equipment.
    #[must_use]
    pub fn gear(&self) -> &Gear {
        &self.gear
    }

    /// Which directions of an object ball at `object` (m on the plan) drop in a pocket at a pace.
    ///
    /// The acceptance is in the pocket's frame, as [`crate::pocket::accept`] gives it.
    ///
    /// # Errors
    /// [`AcceptanceError`] for a pace that is not positive or a ball inside a cushion. A ball that
    /// cannot drop is an answer: `Ok(Err(NoAcceptance))`.
    pub fn accept(
        &self,
        pocket: PocketName,
        object: Point,
        pace_m_s: f64,
    ) -> Result<Result<Acceptance, NoAcceptance>, AcceptanceError> {
        BedCourse::new(&self.gear, &self.plan, pocket).accept(
            &self.gear,
            pocket.frame(&self.gear).to_pocket(object),
            pace_m_s,
        )
    }
}

/// Which directions of an object ball drop in a pocket of a bed; `object` in the pocket's frame.
///
/// # Errors
/// As [`Bed::accept`].
pub(crate) fn accept_on_bed(
    gear: &Gear,
    pocket: PocketName,
    object: Point,
    pace_m_s: f64,
) -> Result<Result<Acceptance, NoAcceptance>, AcceptanceError> {
    let plan = FullBed::new(gear, &BallBody::object(gear));
    BedCourse::new(gear, &plan, pocket).accept(gear, object, pace_m_s)
}

/// A half-plane `normal · p ≥ least_m`.
#[derive(Debug, Clone, Copy)]
struct Half {
    normal: Vec2,
    least_m: f64,
}

/// A convex region.
#[derive(Debug, Clone)]
struct Region(Vec<Half>);

impl Region {
    fn holds(&self, p: Point) -> bool {
        let out = |h: &Half| p.to_vec2().dot(h.normal) < h.least_m;
        !self.0.iter().any(out)
    }

    /// Where a way from `from` (inside) to `to` leaves the region, as a share of it; 1 or more when
    /// it stays inside.
    fn leaves_at(&self, from: Point, to: Point) -> f64 {
        let mut first = f64::INFINITY;
        for h in &self.0 {
            let (a, b) = (
                from.to_vec2().dot(h.normal) - h.least_m,
                to.to_vec2().dot(h.normal) - h.least_m,
            );
            if b < 0.0 {
                first = first.min((a / (a - b)).max(0.0));
            }
        }
        first
    }
}

/// The bed in the frame of one pocket. Rails on other lines than the two that meet at it end a path:
/// what follows is a bank. A long rail goes on past a side pocket.
#[derive(Debug, Clone)]
pub(crate) struct BedCourse {
    shape: PocketShape,
    features: Vec<Feature>,
    /// The pocket's own, and the rest.
    outlines: [Outline; 2],
    /// Between the noses: nothing is met but at its edge. `None` where a hole reaches in.
    between: Option<Region>,
    /// Along the pocket's own rails and into its mouth: nothing is met but what is its own.
    home: Region,
}

impl BedCourse {
    pub(crate) fn new(gear: &Gear, plan: &FullBed, pocket: PocketName) -> Self {
        let frame = pocket.frame(gear);
        let mut shape = PocketShape::new(gear, pocket.kind(), &plan.body);
        let mut rest = Vec::with_capacity(plan.features().len());
        for (index, feature) in plan.features().iter().enumerate() {
            if plan.pocket_of(index) == Some(pocket) {
                continue;
            }
            let local = into_frame(feature, &frame);
            let own = plan
                .rail_ends(index)
                .is_some_and(|ends| ends.contains(&pocket));
            if own {
                end_rail(&mut shape, &local);
            } else if feature.kind == FeatureKind::Rail && !beside(&shape, &local) {
                rest.push(Feature {
                    kind: FeatureKind::Ball,
                    ..local
                });
            } else {
                rest.push(local);
            }
        }
        let home = home(&shape, &rest);
        let between = no_hole_between(gear, plan).then(|| between(&shape, &rest));
        let mut features = shape.features.to_vec();
        features.extend(rest);
        let outlines = [0..OWN, OWN..features.len()].map(|some| Outline::new(&features, some));
        Self {
            shape,
            outlines,
            features,
            between,
            home,
        }
    }

    pub(crate) fn accept(
        &self,
        gear: &Gear,
        object: Point,
        pace_m_s: f64,
    ) -> Result<Result<Acceptance, NoAcceptance>, AcceptanceError> {
        check_pace(pace_m_s)?;
        self.check_place(object)?;
        if object.x >= 0.0 {
            return Ok(Err(NoAcceptance::InTheJaws));
        }
        let body = BallBody::object(gear);
        Ok(accepted(self, &gear.cloth, &body, object, pace_m_s))
    }

    fn check_place(&self, object: Point) -> Result<(), AcceptanceError> {
        for feature in &self.features {
            let what = match (feature.kind, feature.shape) {
                (FeatureKind::Rail | FeatureKind::Ball, _) => "rail",
                (FeatureKind::Facing, _) => "facing",
                (FeatureKind::Jaw, _) => "jaw",
                (FeatureKind::Drop, _) => continue,
            };
            // A facing is modelled without end; what lies beside another pocket is no part of it.
            if let (FeatureKind::Facing, Shape::Line { start, .. }) = (feature.kind, feature.shape)
                && (object - start).hypot() > DEEPEST_M
            {
                continue;
            }
            let gap = feature.gap_m(object);
            if gap < -TOUCH_SLACK_M {
                return Err(AcceptanceError::Overlap {
                    what,
                    by_mm: -gap * 1e3,
                });
            }
        }
        Ok(())
    }

    /// Whether a leg, until `until_s`, cannot meet anything but the pocket's own features.
    fn stays_home(&self, leg: &Leg, until_s: f64) -> bool {
        if !until_s.is_finite() {
            return false;
        }
        let from = leg.start.at;
        let to = leg.position(until_s);
        let bend = from + leg.start.v * (0.5 * until_s);
        if self.home.holds(from) && self.home.holds(bend) && self.home.holds(to) {
            return true;
        }
        let Some(between) = &self.between else {
            return false;
        };
        if !between.holds(from) {
            return false;
        }
        if between.holds(bend) && between.holds(to) {
            return true;
        }
        is_straight(leg) && self.way_stays_home(from, to)
    }

    /// The same of a straight way.
    fn way_stays_home(&self, from: Point, to: Point) -> bool {
        if self.home.holds(from) && self.home.holds(to) {
            return true;
        }
        let Some(between) = &self.between else {
            return false;
        };
        if !between.holds(from) {
            return false;
        }
        if between.holds(to) {
            return true;
        }
        // A way out from between the noses is at home from where it leaves them.
        let share = between.leaves_at(from, to);
        self.home.holds(to) && self.home.holds(from.lerp(to, share.min(1.0)))
    }
}

impl Surroundings for BedCourse {
    #[inline(always)]
    fn features(&self) -> &[Feature] {
        &self.features
    }

    #[inline(always)]
    fn next_contact(
        &self,
        leg: &Leg,
        touched: Option<usize>,
        hugged: Option<usize>,
    ) -> Option<(f64, usize)> {
        let held = (touched, hugged);
        let [own, rest] = &self.outlines;
        let own = own.next(leg, held, None);
        if self.stays_home(leg, own.map_or(leg.duration_s, |(t, _)| t)) {
            return own;
        }
        rest.next(leg, held, own)
    }

    #[inline(always)]
    fn first_on_way(&self, way: &Way) -> Option<(f64, usize)> {
        let [own, rest] = &self.outlines;
        let own = own.on_way(way, (None, None), None);
        let to = way.from + way.direction * own.map_or(way.reach_m, |(s, _)| s);
        if self.way_stays_home(way.from, to) {
            return own;
        }
        rest.on_way(way, (None, None), own)
    }
}

impl Course for BedCourse {
    fn shape(&self) -> &PocketShape {
        &self.shape
    }

    fn more_candidates(&self, object: Point, toward: &dyn Fn(Point) -> f64, out: &mut Vec<f64>) {
        for feature in &self.features[OWN..] {
            if let (
                FeatureKind::Jaw,
                Shape::Arc {
                    centre, radius_m, ..
                },
            ) = (feature.kind, feature.shape)
            {
                let half = (radius_m / (centre - object).hypot()).min(1.0).asin();
                let middle = toward(centre);
                out.extend([middle - half, middle + half]);
            }
        }
    }

    fn widest_step_rad(&self, object: Point, direction: Vec2, off_rad: f64) -> f64 {
        let far_m = object.to_vec2().hypot();
        if self.out_of_sight(off_rad, far_m) {
            return STEP_RAD;
        }
        let into_another = straight_hit(&self.features, object, direction).is_some_and(|(_, i)| {
            let kind = self.features[i].kind;
            i >= OWN && kind != FeatureKind::Ball && kind != FeatureKind::Rail
        });
        if into_another {
            SAMPLE_M / far_m
        } else {
            STEP_IN_SIGHT_RAD
        }
    }

    fn out_of_sight(&self, off_rad: f64, distance_m: f64) -> bool {
        off_rad.abs() > (SIGHT_M / distance_m).atan()
    }
}

/// A feature of the plan in a pocket's frame.
fn into_frame(feature: &Feature, frame: &PocketFrame) -> Feature {
    let (s, c) = frame.axis_rad.sin_cos();
    let turn = |v: Vec2| Vec2::new(c * v.x + s * v.y, c * v.y - s * v.x);
    Feature {
        shape: feature.shape.moved(|p| frame.to_pocket(p), turn),
        ..*feature
    }
}

/// Gives one of the pocket's endless rails the length of `rail`.
fn end_rail(shape: &mut PocketShape, rail: &Feature) {
    let Shape::Line {
        normal: wanted,
        start: on,
        length_m: whole_m,
        along: way,
    } = rail.shape
    else {
        return;
    };
    let ends = [on, on + way * whole_m];
    for index in [PocketShape::RAIL_LEFT, PocketShape::RAIL_RIGHT] {
        let Shape::Line {
            start,
            along,
            normal,
            length_m,
        } = &mut shape.features[index].shape
        else {
            continue;
        };
        let far_m = ends
            .map(|p| (p - *start).dot(*along))
            .into_iter()
            .fold(f64::NEG_INFINITY, f64::max);
        let same = normal.dot(wanted) > 0.5 && (on - *start).dot(*normal).abs() < ONE_LINE_M;
        // A side pocket's two halves lie on one line and run apart.
        if same && far_m > 0.5 * whole_m {
            *length_m = whole_m;
        }
    }
}

/// Whether a rail lies on the nose line of one of the pocket's own, past the next pocket.
fn beside(shape: &PocketShape, rail: &Feature) -> bool {
    let Some(line) = nose(rail) else {
        return false;
    };
    let own = [PocketShape::RAIL_LEFT, PocketShape::RAIL_RIGHT];
    own.into_iter()
        .filter_map(|i| nose(&shape.features[i]))
        .any(|o| o.normal.dot(line.normal) > 0.5 && (o.least_m - line.least_m).abs() < ONE_LINE_M)
}

/// Along the pocket's own rails to their ends, before the nose lines that are not its own.
fn home(shape: &PocketShape, rest: &[Feature]) -> Region {
    let mut halves = Vec::with_capacity(8);
    let own = [PocketShape::RAIL_LEFT, PocketShape::RAIL_RIGHT].map(|i| shape.features[i].shape);
    for rail in own {
        if let Shape::Line {
            start,
            along,
            length_m,
            ..
        } = rail
        {
            halves.push(Half {
                normal: -along,
                least_m: -(start.to_vec2().dot(along) + length_m),
            });
        }
    }
    halves.extend(rest.iter().filter(|f| is_rail(f)).filter_map(|rail| {
        let line = nose(rail)?;
        (!beside(shape, rail)).then_some(line)
    }));
    Region(halves)
}

/// The rectangle between the noses.
fn between(shape: &PocketShape, rest: &[Feature]) -> Region {
    let own = [PocketShape::RAIL_LEFT, PocketShape::RAIL_RIGHT].map(|i| shape.features[i]);
    let mut halves: Vec<Half> = Vec::with_capacity(4);
    for rail in own.iter().chain(rest.iter().filter(|f| is_rail(f))) {
        let Some(line) = nose(rail) else { continue };
        let known = |h: &Half| {
            h.normal.dot(line.normal) > 0.5 && (h.least_m - line.least_m).abs() < ONE_LINE_M
        };
        if !halves.iter().any(known) {
            halves.push(line);
        }
    }
    Region(halves)
}

fn is_rail(feature: &Feature) -> bool {
    matches!(feature.shape, Shape::Line { .. }) && feature.kind != FeatureKind::Facing
}

/// The side of a nose line on which the ball is.
fn nose(rail: &Feature) -> Option<Half> {
    let Shape::Line { start, normal, .. } = rail.shape else {
        return None;
    };
    Some(Half {
        normal,
        least_m: start.to_vec2().dot(normal),
    })
}

/// Whether no hole reaches to where a ball between the noses can be.
fn no_hole_between(gear: &Gear, plan: &FullBed) -> bool {
    let edge = plan.body.plan_radius_m;
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    plan.features().iter().all(|f| match f.shape {
        Shape::Circle { centre, radius_m } => {
            let nearest = Point::new(
                centre.x.clamp(edge, l - edge),
                centre.y.clamp(edge, w - edge),
            );
            (centre - nearest).hypot() > radius_m
        }
        _ => true,
    })
}

#[cfg(test)]
mod tests {
    use kurbo::{Point, Vec2};
    use rand::{Rng as _, SeedableRng as _};
    use rand_pcg::Pcg64;
    use rayon::prelude::*;

    use super::BedCourse;
    use crate::gear::Gear;
    use crate::motion::{BallBody, Feature, Leg, Surroundings, Way};
    use crate::pocket::{
        Acceptance, Alone, Course, FullBed, NoAcceptance, PocketName, PocketShape, accepted,
    };

    /// The same course, every feature asked on every leg.
    struct Plain<'a>(&'a BedCourse);

    impl Surroundings for Plain<'_> {
        fn features(&self) -> &[Feature] {
            &self.0.features
        }

        fn next_contact(
            &self,
            leg: &Leg,
            touched: Option<usize>,
            hugged: Option<usize>,
        ) -> Option<(f64, usize)> {
            self.0.features[..].next_contact(leg, touched, hugged)
        }

        fn first_on_way(&self, way: &Way) -> Option<(f64, usize)> {
            self.0.features[..].first_on_way(way)
        }
    }

    impl Course for Plain<'_> {
        fn shape(&self) -> &PocketShape {
            &self.0.shape
        }

        fn more_candidates(
            &self,
            object: Point,
            toward: &dyn Fn(Point) -> f64,
            out: &mut Vec<f64>,
        ) {
            self.0.more_candidates(object, toward, out);
        }

        fn widest_step_rad(&self, object: Point, direction: Vec2, off_rad: f64) -> f64 {
            self.0.widest_step_rad(object, direction, off_rad)
        }

        fn out_of_sight(&self, off_rad: f64, distance_m: f64) -> bool {
            self.0.out_of_sight(off_rad, distance_m)
        }
    }

    /// Places of an object ball, some frozen to a rail, with a pocket and a pace each.
    fn places(gear: &Gear, count: usize, seed: u64) -> Vec<(PocketName, Point, f64)> {
        let mut rng = Pcg64::seed_from_u64(seed);
        let edge = gear.object_contact_radius_m();
        let along = |size: f64, rng: &mut Pcg64| match rng.random_range(0..16) {
            0 => edge,
            1 => size - edge,
            _ => rng.random_range(edge..size - edge),
        };
        (0..count)
            .map(|k| {
                let at = Point::new(
                    along(gear.bed.length_m, &mut rng),
                    along(gear.bed.width_m, &mut rng),
                );
                let pace_m_s = [0.4, 1.0, 2.0][rng.random_range(0..3)];
                (PocketName::ALL[k % 6], at, pace_m_s)
            })
            .collect()
    }

    /// Accuracy of an edge twice over: the span over which a root is sought changes its last bit.
    const EDGE_RAD: f64 = 2e-10;
    /// The same for a ball that touches a rail: sent along it to less than this it is held against
    /// it, and rounding alone says whether it meets the jaw at the other end.
    const ALONG_RAD: f64 = 1e-6;

    /// The same pieces, edges within the accuracy they are found with.
    fn same(
        a: &Result<Acceptance, NoAcceptance>,
        b: &Result<Acceptance, NoAcceptance>,
        within_rad: f64,
    ) -> bool {
        let (Ok(a), Ok(b)) = (a, b) else {
            return a == b;
        };
        let (a, b) = (a.pieces.spans(), b.pieces.spans());
        let near = |x: f64, y: f64| (x - y).abs() <= within_rad;
        a.len() == b.len()
            && a.iter().zip(b).all(|(x, y)| {
                x.tag == y.tag && near(x.from_rad, y.from_rad) && near(x.to_rad, y.to_rad)
            })
    }

    /// Leaving out what a leg cannot reach changes nothing.
    #[test]
    fn short_cuts_change_nothing() {
        let mut compared = 0;
        for (name, count) in [
            ("pool-9ft", 6000),
            ("pool-7ft", 2000),
            ("snooker-12ft", 2000),
        ] {
            let gear = Gear::preset(name).unwrap();
            let body = BallBody::object(&gear);
            let plan = FullBed::new(&gear, &body);
            let courses = PocketName::ALL.map(|p| BedCourse::new(&gear, &plan, p));
            compared += places(&gear, count, 12)
                .par_iter()
                .map(|&(pocket, at, pace_m_s)| {
                    let index = PocketName::ALL.iter().position(|&p| p == pocket).unwrap();
                    let course = &courses[index];
                    let object = pocket.frame(&gear).to_pocket(at);
                    if object.x >= 0.0 || course.check_place(object).is_err() {
                        return 0;
                    }
                    let quick = accepted(course, &gear.cloth, &body, object, pace_m_s);
                    let plain = accepted(&Plain(course), &gear.cloth, &body, object, pace_m_s);
                    let frozen = plan.clearance_m(at) < 1e-9;
                    let within_rad = if frozen { ALONG_RAD } else { EDGE_RAD };
                    assert!(
                        same(&quick, &plain, within_rad),
                        "{name} {pocket} {at:?} {quick:?} {plain:?}"
                    );
                    1
                })
                .sum::<usize>();
        }
        assert!(compared > 9_500, "{compared}");
    }

    /// Where a whole path stays at home the bed is the pocket by itself.
    #[test]
    fn near_a_corner_the_bed_is_the_pocket_alone() {
        let gear = Gear::preset("pool-9ft").unwrap();
        let body = BallBody::object(&gear);
        let plan = FullBed::new(&gear, &body);
        let pocket = PocketName::FootLeft;
        let course = BedCourse::new(&gear, &plan, pocket);
        let mut alike = 0;
        for (_, at, pace_m_s) in places(&gear, 300, 3) {
            let object = pocket.frame(&gear).to_pocket(at);
            if !course.home.holds(object) || object.x >= 0.0 {
                continue;
            }
            let alone = accepted(
                &Alone::new(course.shape_without_ends()),
                &gear.cloth,
                &body,
                object,
                pace_m_s,
            );
            let whole = accepted(&course, &gear.cloth, &body, object, pace_m_s);
            let (Ok(alone), Ok(whole)) = (alone, whole) else {
                continue;
            };
            assert_eq!(alone.clean, whole.clean, "{at:?}");
            alike += 1;
        }
        assert!(alike > 50, "{alike}");
    }

    impl BedCourse {
        /// The pocket's own features with endless rails, as [`PocketShape::new`] makes them.
        fn shape_without_ends(&self) -> PocketShape {
            PocketShape::new(
                &Gear::preset("pool-9ft").unwrap(),
                self.shape.kind,
                &BallBody::object(&Gear::preset("pool-9ft").unwrap()),
            )
        }
    }
}
