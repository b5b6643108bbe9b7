//! The bed as one pocket sees it: its own features first, then everything else.

use std::sync::Arc;

use kurbo::{Point, Vec2};

use crate::gear::Gear;
use crate::motion::{
    BallBody, Feature, FeatureKind, Grouped, Held, Leg, Met, Outline, Shape, Surroundings, Way,
    is_straight, straight_hit,
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
    /// As each pocket sees it.
    courses: Arc<[BedCourse; 6]>,
}

impl Bed {
    /// The bed of a table.
    #[must_use]
    pub fn new(gear: &Gear) -> Self {
        let plan = FullBed::new(gear, &BallBody::object(gear));
        let courses = PocketName::ALL.map(|name| BedCourse::new(gear, &plan, name));
        Self {
            plan,
            gear: gear.clone(),
            courses: Arc::new(courses),
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
        let local = pocket.frame(&self.gear).to_pocket(object);
        self.courses[pocket as usize].accept(&self.gear, local, pace_m_s)
    }
}

/// A half-plane `normal · p ≥ least_m`.
#[derive(Debug, Clone, Copy)]
struct Half {
    normal: Vec2,
    least_m: f64,
}

/// Whether two unit normals are one but for rounding.
fn alike(a: Vec2, b: Vec2) -> bool {
    const ROUNDING: f64 = 1e-12;
    (a - b).hypot2() < ROUNDING * ROUNDING
}

/// A convex region.
#[derive(Debug, Clone)]
struct Region(Vec<Half>);

impl Region {
    /// Of half-planes: of those that face the same way the narrowest is enough.
    fn new(halves: Vec<Half>) -> Self {
        let mut kept: Vec<Half> = Vec::with_capacity(halves.len());
        for half in halves {
            match kept.iter_mut().find(|k| alike(k.normal, half.normal)) {
                Some(k) => k.least_m = k.least_m.max(half.least_m),
                None => kept.push(half),
            }
        }
        Self(kept)
    }

    #[inline(always)]
    fn holds(&self, p: Point) -> bool {
        let mut all = true;
        for h in &self.0 {
            all &= p.x * h.normal.x + p.y * h.normal.y >= h.least_m;
        }
        all
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
pub struct BedCourse {
    shape: PocketShape,
    features: Vec<Feature>,
    /// The pocket's own.
    own: Outline,
    /// The rest: rails, and the other pockets.
    rest: Grouped,
    /// Between the noses: nothing is met but at its edge. `None` where a hole reaches in.
    between: Option<Region>,
    /// Along the pocket's own rails and into its mouth: nothing is met but what is its own.
    home: Region,
}

impl BedCourse {
    /// The bed as a pocket sees it.
    #[must_use]
    pub fn new(gear: &Gear, plan: &FullBed, pocket: PocketName) -> Self {
        let frame = pocket.frame(gear);
        let mut shape = PocketShape::named(gear, pocket, &plan.body);
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
        let of_pockets = features.len() - (PocketName::ALL.len() - 1) * FullBed::PARTS;
        let others = (of_pockets..features.len()).step_by(FullBed::PARTS);
        let own = Outline::new(&features, 0..OWN);
        let rest = Grouped::new(
            &features,
            OWN..of_pockets,
            others.map(|first| first..first + FullBed::PARTS),
        );
        Self {
            shape,
            own,
            rest,
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
    #[inline(always)]
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
    #[inline(always)]
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
    fn next_contact(&self, leg: &Leg, held: Held) -> Option<Met> {
        let own = self.own.next(leg, held, None);
        if self.stays_home(leg, own.map_or(leg.duration_s, |met| met.at)) {
            return own;
        }
        self.rest.next(leg, held, own)
    }

    #[inline(always)]
    fn first_on_way(&self, way: &Way) -> Option<Met> {
        let own = self.own.on_way(way, Held::default(), None);
        let to = way.from + way.direction * own.map_or(way.reach_m, |met| met.at);
        if self.way_stays_home(way.from, to) {
            return own;
        }
        self.rest.on_way(way, Held::default(), own)
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

    fn is_mirrored(&self) -> bool {
        false
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
    Region::new(halves)
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
    Region::new(halves)
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
