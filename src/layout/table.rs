//! A layout on its gear, with everything that several shots share.

use std::sync::Arc;

use kurbo::{Point, Rect};

use super::file::Layout;
use super::obstruct::{EDGE_RAD, restrict, sector, spans_of, turn_rad};
use crate::bed::BedCourse;
use crate::directions::Directions;
use crate::game::Situation;
use crate::gear::Gear;
use crate::motion::{
    BallBody, BallState, End, Feature, FeatureKind, Step, Surroundings as _, trace,
};
use crate::pocket::{
    Acceptance, AcceptanceError, Component, Course as _, FullBed, How, NoAcceptance, PocketFrame,
    PocketName, PocketShape,
};
use crate::stop::Stop;

/// Looks per accepted piece when something stands near it.
const STATIONS: u32 = 24;
/// A ball farther beyond the mouth than this cannot stand in the way, m (assumption: deeper than
/// any shelf).
const BEHIND_MOUTH_M: f64 = 0.3;
/// Half-width and step of the look round a ball in the jaws, rad: a quarter turn by single degrees.
const JAWS_STEPS: u32 = 180;

/// A layout on its gear.
#[derive(Debug)]
pub struct Table<'a> {
    /// The equipment.
    pub gear: &'a Gear,
    /// The balls.
    pub layout: &'a Layout,
    /// The bed for an object ball.
    pub object_bed: Arc<FullBed>,
    /// The bed for the cue ball.
    pub cue_bed: Arc<FullBed>,
    /// Contact distance in plan of cue ball and object ball.
    pub cue_object_m: f64,
    /// Contact distance in plan of two object balls.
    pub object_object_m: f64,
    /// The state of a game; `None` in free play.
    pub situation: Option<Situation>,
    courses: Arc<[BedCourse; 6]>,
    /// Asked where nobody waits for what is found any more.
    pub(super) stop: Stop,
    /// No hole reaches between the noses, where a cue ball's centre can be.
    holes_outside: bool,
}

/// Directions in which one ball drops into one pocket past the others.
#[derive(Debug, Clone, PartialEq)]
pub struct DropSet {
    /// Which ball.
    pub ball: usize,
    /// Which pocket.
    pub pocket: PocketName,
    /// The acceptance on the plan; its clean, direct and drop parts are those still open.
    pub acceptance: Acceptance,
    /// What is left open, relative to the centre-pocket line.
    pub open: Directions<How>,
    /// Share of the accepted directions that other balls block, 0 to 1.
    pub blocked_share: f64,
    /// Balls in the way of some of them.
    pub blockers: Vec<usize>,
}

impl<'a> Table<'a> {
    /// Prepares a layout.
    #[must_use]
    pub fn new(gear: &'a Gear, layout: &'a Layout) -> Self {
        let (object, cue) = (BallBody::object(gear), BallBody::cue(gear));
        let object_bed = FullBed::new(gear, &object);
        let courses = PocketName::ALL.map(|name| BedCourse::new(gear, &object_bed, name));
        Self {
            gear,
            layout,
            object_bed: Arc::new(object_bed),
            cue_bed: Arc::new(FullBed::new(gear, &cue)),
            cue_object_m: gear.contact_distance_m(),
            object_object_m: gear.balls.object_diameter_m,
            situation: None,
            courses: Arc::new(courses),
            holes_outside: holes_outside(gear),
            stop: Stop::never(),
        }
    }

    /// The same; searches on it end early when asked to stop, and what they then give is no answer:
    /// whoever asked throws it away.
    #[must_use]
    pub fn until(self, stop: Stop) -> Self {
        Self { stop, ..self }
    }

    /// Whether nobody waits for the answer any more.
    #[must_use]
    pub fn stopped(&self) -> bool {
        self.stop.asked()
    }

    /// The same in a game; the balls of the situation are those of the layout, in their order.
    #[must_use]
    pub fn in_game(self, situation: Option<Situation>) -> Self {
        Self { situation, ..self }
    }

    /// The same bed with the balls elsewhere, for many places of the cue ball; nothing is copied.
    #[must_use]
    pub fn with_layout<'b>(&self, layout: &'b Layout) -> Table<'b>
    where
        'a: 'b,
    {
        Table {
            gear: self.gear,
            layout,
            object_bed: Arc::clone(&self.object_bed),
            cue_bed: Arc::clone(&self.cue_bed),
            cue_object_m: self.cue_object_m,
            object_object_m: self.object_object_m,
            situation: self.situation.clone(),
            courses: Arc::clone(&self.courses),
            stop: self.stop.clone(),
            holes_outside: self.holes_outside,
        }
    }

    /// Whether a cue ball on its way to a ball at `to` can meet no cushion, wherever it hits: the
    /// cue ball lies on the bed, and there is room for it all round the ball. Between two places
    /// of the rectangle inside the noses there is nothing but balls.
    #[must_use]
    pub fn open_bed_to(&self, to: Point) -> bool {
        let inside = |p: Point, edge: f64| {
            let room = between_noses(self.gear, edge);
            p.x >= room.x0 && p.y >= room.y0 && p.x <= room.x1 && p.y <= room.y1
        };
        let edge = self.gear.cue_contact_radius_m();
        self.holes_outside && inside(self.layout.cue, edge) && inside(to, edge + self.cue_object_m)
    }

    /// The place of a ball.
    #[must_use]
    pub fn at(&self, ball: usize) -> Point {
        self.layout.balls[ball].at
    }

    /// Everything the cue ball can meet, all balls but `without`.
    #[must_use]
    pub fn cue_features(&self, without: Option<usize>) -> Vec<Feature> {
        self.cue_bed
            .with_balls(self.others(without).map(|(_, p)| p), self.cue_object_m)
    }

    /// Everything the object ball `ball` can meet: all other object balls are stops.
    #[must_use]
    pub fn object_features(&self, ball: usize) -> Vec<Feature> {
        self.object_bed.with_balls(
            self.others(Some(ball)).map(|(_, p)| p),
            self.object_object_m,
        )
    }

    /// Balls but one, with their indices.
    pub(crate) fn others(
        &self,
        without: Option<usize>,
    ) -> impl Iterator<Item = (usize, Point)> + '_ {
        let all = self.layout.balls.iter().enumerate();
        all.filter(move |(i, _)| Some(*i) != without)
            .map(|(i, b)| (i, b.at))
    }

    /// The ball that a stop stands for in features made with `without` left out.
    #[must_use]
    pub(crate) fn ball_of(bed: &FullBed, index: usize, without: Option<usize>) -> Option<usize> {
        let k = index.checked_sub(bed.first_ball())?;
        Some(match without {
            Some(left_out) if k >= left_out => k + 1,
            _ => k,
        })
    }

    /// Directions in which a ball drops into a pocket at a pace, past all others.
    ///
    /// # Errors
    /// [`AcceptanceError`] for a bad pace or a ball in a cushion. A ball that cannot drop is an
    /// answer.
    pub fn drop_set(
        &self,
        ball: usize,
        pocket: PocketName,
        pace_m_s: f64,
    ) -> Result<Result<DropSet, NoAcceptance>, AcceptanceError> {
        let frame = pocket.frame(self.gear);
        let object = frame.to_pocket(self.at(ball));
        match self.course(pocket).accept(self.gear, object, pace_m_s)? {
            Ok(acceptance) => Ok(Ok(self.opened(ball, pocket, &frame, acceptance))),
            Err(NoAcceptance::InTheJaws) => Ok(self.past_the_mouth(ball, pocket, &frame, pace_m_s)),
            Err(no) => Ok(Err(no)),
        }
    }

    /// The same of what the pocket takes from the ball, known already and seen from the pocket.
    #[must_use]
    pub fn drop_set_of(&self, ball: usize, pocket: PocketName, acceptance: Acceptance) -> DropSet {
        let frame = pocket.frame(self.gear);
        self.opened(ball, pocket, &frame, acceptance)
    }

    /// The bed as one pocket sees it.
    fn course(&self, pocket: PocketName) -> &BedCourse {
        &self.courses[pocket as usize]
    }

    /// Takes out what other balls block, and turns the acceptance to the plan.
    fn opened(
        &self,
        ball: usize,
        pocket: PocketName,
        frame: &PocketFrame,
        acceptance: Acceptance,
    ) -> DropSet {
        let all = &acceptance.pieces;
        let (from, to) = ends(all);
        let (mut features, mut edges, mut blockers) = (
            self.course(pocket).features().to_vec(),
            Vec::new(),
            Vec::new(),
        );
        for (i, at) in self.others(Some(ball)) {
            let local = frame.to_pocket(at);
            let (middle, half, far_m) = sector(acceptance.object, local, self.object_object_m);
            let turn = turn_rad(acceptance.approach_rad, middle);
            if turn + half > from
                && turn - half < to
                && far_m < acceptance.distance_m + BEHIND_MOUTH_M
            {
                features.push(Feature::ball(local, self.object_object_m));
                edges.extend([turn - half, turn + half]);
                blockers.push(i);
            }
        }
        let open = if blockers.is_empty() {
            all.clone()
        } else {
            let (cloth, body) = (&self.gear.cloth, &self.object_bed.body);
            let speed = acceptance.object_speed_m_s;
            restrict(all, &edges, STATIONS, &|theta| {
                let v = kurbo::Vec2::from_angle(acceptance.approach_rad + theta) * speed;
                let start = BallState::sliding(acceptance.object, v);
                matches!(
                    trace(&features, body, cloth, start, |_| {}),
                    Ok((End::Drop(PocketShape::DROP), _))
                )
            })
        };
        let blocked_share = 1.0 - open.measure_rad() / all.measure_rad();
        let placed = Acceptance {
            object: self.at(ball),
            approach_rad: acceptance.approach_rad + frame.axis_rad,
            ..acceptance
        };
        let acceptance = placed.with_open(&open);
        if blocked_share <= 0.0 {
            blockers.clear();
        }
        DropSet {
            ball,
            pocket,
            acceptance,
            open,
            blocked_share,
            blockers,
        }
    }

    /// A ball past the mouth line: every direction is followed over the whole bed.
    fn past_the_mouth(
        &self,
        ball: usize,
        pocket: PocketName,
        frame: &PocketFrame,
        pace_m_s: f64,
    ) -> Result<DropSet, NoAcceptance> {
        let at = self.at(ball);
        let hole = frame.to_plan(self.course(pocket).shape().cutout_centre);
        let approach_rad = (hole - at).atan2();
        let features = self.object_features(ball);
        let bed = &self.object_bed;
        let look = |theta: f64| {
            let v = kurbo::Vec2::from_angle(approach_rad + theta) * pace_m_s;
            let mut how = How::Clean;
            let end = trace(
                &features,
                &bed.body,
                &self.gear.cloth,
                BallState::sliding(at, v),
                |step| {
                    if let Step::Impact(i, _) = step {
                        how = match (features[i].kind, how) {
                            (FeatureKind::Rail, _) | (_, How::Rail) => How::Rail,
                            _ => How::Jaw,
                        };
                    }
                },
            );
            match end {
                Ok((End::Drop(i), _)) if bed.pocket_of(i) == Some(pocket) => Some(how),
                _ => None,
            }
        };
        let stations: Vec<f64> = (0..=JAWS_STEPS)
            .map(|k| (f64::from(k) - 0.5 * f64::from(JAWS_STEPS)).to_radians())
            .collect();
        let open = Directions::from_spans(spans_of(&stations, EDGE_RAD, &look));
        if open.is_empty() {
            return Err(NoAcceptance::InTheJaws);
        }
        let acceptance = set_as_acceptance(
            at,
            approach_rad,
            pace_m_s,
            (hole - at).hypot(),
            open.clone(),
        );
        let acceptance = Acceptance {
            pace_m_s,
            ..acceptance
        };
        Ok(DropSet {
            ball,
            pocket,
            acceptance,
            open,
            blocked_share: 0.0,
            blockers: Vec::new(),
        })
    }
}

/// The bed without a strip along the noses.
fn between_noses(gear: &Gear, edge_m: f64) -> Rect {
    Rect::new(0.0, 0.0, gear.bed.length_m, gear.bed.width_m).inset(-edge_m)
}

/// Whether no hole reaches to where a cue ball between the noses can be.
fn holes_outside(gear: &Gear) -> bool {
    let room = between_noses(gear, gear.cue_contact_radius_m());
    PocketName::ALL.iter().all(|name| {
        let frame = name.frame(gear);
        let spec = frame.spec(gear);
        let hole = frame.to_plan(Point::new(spec.shelf_m + spec.cutout_radius_m, 0.0));
        let nearest = Point::new(
            hole.x.clamp(room.x0, room.x1),
            hole.y.clamp(room.y0, room.y1),
        );
        (hole - nearest).hypot() > spec.cutout_radius_m
    })
}

/// First and last direction of a set.
pub(crate) fn ends<T: Copy + PartialEq>(set: &Directions<T>) -> (f64, f64) {
    let spans = set.spans();
    match (spans.first(), spans.last()) {
        (Some(first), Some(last)) => (first.from_rad, last.to_rad),
        _ => (0.0, 0.0),
    }
}

/// A set of directions of a ball at `at` as an acceptance on the plan, so that the window solver
/// can pull it back: `approach_rad` is the direction the set is relative to.
pub(crate) fn set_as_acceptance(
    at: Point,
    approach_rad: f64,
    object_speed_m_s: f64,
    distance_m: f64,
    open: Directions<How>,
) -> Acceptance {
    let (from_rad, to_rad) = ends(&open);
    let whole = Acceptance {
        object: at,
        distance_m,
        approach_rad,
        pace_m_s: object_speed_m_s,
        object_speed_m_s,
        pieces: open.clone(),
        clean: None,
        direct: None,
        drop: Component { from_rad, to_rad },
    };
    whole.with_open(&open)
}
