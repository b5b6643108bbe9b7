//! Which directions of the cue ball make a shot, found forwards: where a cushion stands in the way,
//! the cue ball is followed, ball first or off one cushion first.
//!
//! A ball frozen to the rail it runs along is a normal shot: a cue ball that is a little thin meets
//! the rail first and still sends it in. Pieces of both kinds that touch are one, and the aim is the
//! middle of it in directions of the cue ball.
//!
//! Which side of a miss is too full or too thin follows from the signed cut at the contact, so that a
//! cushion before the ball swaps it; a cue ball that meets nothing misses the ball.
//!
//! Limits: a second contact of the two balls is left out. Edges are halved to 1e-10 rad; a piece
//! narrower than a four-hundredth of the range looked at may be missed.

mod way;

pub use way::{CueWay, Met};

use kurbo::{Point, Vec2};
use serde::Serialize;

use crate::bed::BedCourse;
use crate::contact::{Pair, ThrowLaw, aftermath};
use crate::directions::{Directions, Span, close_hairs, spans_of};
use crate::gear::Gear;
use crate::motion::{
    BallBody, BallState, End, Feature, FeatureKind, Moving, Step, Surroundings as _, straight_hit,
    trace, trace_sent_off,
};
use crate::pocket::{Component, FullBed, How, PocketFrame, PocketName, PocketShape};

/// Accuracy of an edge, rad.
const EDGE_RAD: f64 = 1e-10;
/// Pieces nearer than this touch, rad.
const TOUCHING_RAD: f64 = 4.0 * EDGE_RAD;
/// Directions looked at over the range.
const STATIONS: u32 = 400;
/// Samples stand this far beside an edge that is known, rad.
const BESIDE_RAD: f64 = 2e-9;

/// The balls of a shot and how the cue ball is sent.
#[derive(Debug, Clone, Copy)]
pub struct Lie<'a> {
    /// The equipment.
    pub gear: &'a Gear,
    /// Cue ball, m on the plan.
    pub cue: Point,
    /// Object ball.
    pub object: Point,
    /// All others.
    pub others: &'a [Point],
    /// The pocket.
    pub pocket: PocketName,
    /// The cue ball's speed and spin where it meets the first thing.
    pub law: ThrowLaw,
    /// Speed of an object ball that is met first; off a cushion it follows from the contact.
    pub object_speed_m_s: f64,
}

/// What one direction of the cue ball does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sent {
    /// How the object ball drops, if it does.
    pub how: Option<How>,
    /// Cushions the cue ball met before it.
    pub cushions: u8,
    /// Signed cut at the contact, rad: positive when the object ball lies left of the way.
    pub cut_rad: f64,
    /// Direction of the object ball on the plan, rad.
    pub object_rad: f64,
    /// Its speed, m/s.
    pub object_speed_m_s: f64,
}

impl Sent {
    /// The cut as the way before a cushion has it: each cushion turns the sides round.
    fn facing_cut_rad(&self) -> f64 {
        if self.cushions.is_multiple_of(2) {
            self.cut_rad
        } else {
            -self.cut_rad
        }
    }
}

/// Which way a direction misses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub enum Miss {
    /// The contact is fuller than those that make it.
    #[serde(rename = "too full")]
    TooFull,
    /// It is thinner.
    #[serde(rename = "too thin")]
    TooThin,
    /// The cue ball does not meet the object ball first: a foul.
    #[serde(rename = "misses the ball: a foul")]
    NoBall,
}

impl Miss {
    /// By the signed cut of a contact against that of the aim, rad: a cut of the other sign is past
    /// full.
    #[must_use]
    pub fn of_cut(aimed_rad: f64, cut_rad: f64) -> Self {
        let thinner = (cut_rad - aimed_rad) * if aimed_rad < 0.0 { -1.0 } else { 1.0 };
        if thinner > 0.0 {
            Self::TooThin
        } else {
            Self::TooFull
        }
    }
}

/// The directions found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The aim: direction of the cue ball on the plan, rad; the middle of `component`.
    pub aim_rad: f64,
    /// Pieces that drop, relative to the aim, counter-clockwise positive.
    pub pieces: Directions<How>,
    /// The connected part aimed at, relative to the aim.
    pub component: Component,
    /// What the aim does.
    pub at_aim: Sent,
    /// Some of what drops has the cue ball on a cushion first.
    pub rail_first: bool,
}

/// A shot prepared to be followed.
#[derive(Debug)]
pub struct Forwards<'a> {
    lie: Lie<'a>,
    cue_body: BallBody,
    object_body: BallBody,
    way: CueWay,
    object_ball: usize,
    frame: PocketFrame,
    course: BedCourse,
    /// Everything the object ball can meet where other balls lie about; without them the course
    /// knows short cuts.
    object_features: Option<Vec<Feature>>,
    /// Directions that drop at the speed of an object ball met first, where they are known, and what
    /// they are relative to (rad on the plan).
    accepted: Option<(Directions<How>, f64)>,
    pair: Pair,
}

impl<'a> Forwards<'a> {
    /// Prepares a lie.
    #[must_use]
    pub fn new(lie: Lie<'a>) -> Self {
        let gear = lie.gear;
        let cue_body = BallBody::cue(gear);
        let object_body = BallBody::object(gear);
        let cue_bed = FullBed::new(gear, &cue_body);
        let object_ball = cue_bed.first_ball();
        let balls = std::iter::once(lie.object).chain(lie.others.iter().copied());
        let way = CueWay::new(cue_bed.with_balls(balls, gear.contact_distance_m()));
        let frame = lie.pocket.frame(gear);
        let course = BedCourse::new(gear, &FullBed::new(gear, &object_body), lie.pocket);
        let contact_m = gear.balls.object_diameter_m;
        let object_features = (!lie.others.is_empty()).then(|| {
            let balls = lie.others.iter();
            let stops = balls.map(|&at| Feature::ball(frame.to_pocket(at), contact_m));
            course.features().iter().copied().chain(stops).collect()
        });
        Self {
            lie,
            cue_body,
            object_body,
            way,
            object_ball,
            frame,
            course,
            object_features,
            accepted: None,
            pair: Pair {
                first_mass_kg: gear.balls.cue_mass_kg,
                second_mass_kg: gear.balls.object_mass_kg,
                first_radius_m: cue_body.radius_m,
            },
        }
    }

    /// What the cue ball does when it is sent in a direction (rad on the plan); `None` when it does
    /// not meet the object ball first, or only off more than one cushion or off a jaw.
    #[must_use]
    pub fn sent(&self, direction_rad: f64) -> Option<Sent> {
        let moving = Moving {
            body: &self.cue_body,
            cloth: &self.lie.gear.cloth,
        };
        let (cue, law) = (self.lie.cue, &self.lie.law);
        let met = self.way.first_met(moving, cue, direction_rad, law)?;
        (met.feature == self.object_ball).then(|| self.contact(&met.state, met.cushions))
    }

    /// Whether a straight way in a direction comes to a cushion, jaw or hole before any ball.
    #[must_use]
    pub fn cushion_first(&self, direction_rad: f64) -> bool {
        let direction = Vec2::from_angle(direction_rad);
        let features = self.way.features();
        straight_hit(features, self.lie.cue, direction)
            .is_some_and(|(_, first)| features[first].kind != FeatureKind::Ball)
    }

    /// The same lie with another stroke.
    #[must_use]
    pub fn struck(mut self, law: ThrowLaw, object_speed_m_s: f64) -> Self {
        self.strike(law, object_speed_m_s);
        self
    }

    /// From now on with another stroke.
    pub fn strike(&mut self, law: ThrowLaw, object_speed_m_s: f64) {
        if object_speed_m_s.to_bits() != self.lie.object_speed_m_s.to_bits() {
            self.accepted = None;
        }
        self.lie.law = law;
        self.lie.object_speed_m_s = object_speed_m_s;
    }

    /// From now on it is known which directions of an object ball that is met first drop, relative
    /// to `base_rad` on the plan: it is then not followed.
    pub fn accept(&mut self, directions: Directions<How>, base_rad: f64) {
        self.accepted = Some((directions, base_rad));
    }

    fn contact(&self, state: &BallState, cushions: u8) -> Sent {
        let centres = (self.lie.object - state.at).normalize();
        let after = aftermath(&self.lie.gear.contact, &self.pair, state, centres);
        let velocity = if cushions == 0 {
            after.second_at(self.lie.object_speed_m_s)
        } else {
            after.second_velocity
        };
        let known = self.accepted.as_ref().filter(|_| cushions == 0);
        let how = match known {
            Some((directions, base_rad)) => {
                directions.tag_at(Vec2::from_angle(velocity.atan2() - base_rad).atan2())
            }
            None => self.drops(velocity),
        };
        Sent {
            how,
            cushions,
            cut_rad: state.v.cross(centres).atan2(state.v.dot(centres)),
            object_rad: velocity.atan2(),
            object_speed_m_s: velocity.hypot(),
        }
    }

    /// How an object ball sent off drops in its pocket.
    fn drops(&self, velocity: Vec2) -> Option<How> {
        let (s, c) = self.frame.axis_rad.sin_cos();
        let v = Vec2::new(
            c * velocity.x + s * velocity.y,
            c * velocity.y - s * velocity.x,
        );
        let start = BallState::sliding(self.frame.to_pocket(self.lie.object), v);
        let mut how = How::Clean;
        let moving = Moving {
            body: &self.object_body,
            cloth: &self.lie.gear.cloth,
        };
        let features = self.object_features.as_deref();
        let met = features.unwrap_or(self.course.features());
        let mut observe = |step: Step| {
            if let Step::Impact(index, _) = step {
                how = match (met[index].kind, how) {
                    (FeatureKind::Rail, _) | (_, How::Rail) => How::Rail,
                    _ => How::Jaw,
                };
            }
        };
        let end = match features {
            Some(features) => trace(features, moving.body, moving.cloth, start, &mut observe),
            None => trace_sent_off(&self.course, moving, start.at, v, &mut observe),
        };
        matches!(end, Ok((End::Drop(PocketShape::DROP), _))).then_some(how)
    }

    /// Everything that drops within `half_rad` of `about_rad` (directions on the plan), relative to
    /// it, with the cushions the cue ball met before; `edges` are directions to look to both sides of.
    #[must_use]
    pub fn spans(&self, about_rad: f64, half_rad: f64, edges: &[f64]) -> Vec<Span<(How, u8)>> {
        let mut stations: Vec<f64> = (0..=STATIONS)
            .map(|k| half_rad * (2.0 * f64::from(k) / f64::from(STATIONS) - 1.0))
            .collect();
        for edge in edges {
            let off = Vec2::from_angle(edge - about_rad).atan2();
            let beside = [off - BESIDE_RAD, off + BESIDE_RAD];
            stations.extend(beside.into_iter().filter(|a| a.abs() < half_rad));
        }
        stations.sort_by(f64::total_cmp);
        let look = |off: f64| {
            let sent = self.sent(about_rad + off)?;
            sent.how.map(|how| (how, sent.cushions))
        };
        let mut spans = spans_of(&stations, EDGE_RAD, &look);
        close_hairs(&mut spans, EDGE_RAD);
        spans
    }

    /// Everything that drops within `half_rad` of `about_rad` (directions on the plan); `edges` are
    /// directions to look to both sides of. `None` when nothing does.
    #[must_use]
    pub fn find(&self, about_rad: f64, half_rad: f64, edges: &[f64]) -> Option<Found> {
        self.of_spans(about_rad, &self.spans(about_rad, half_rad, edges))
    }

    /// The same from what [`Forwards::spans`] gave.
    #[must_use]
    pub fn of_spans(&self, about_rad: f64, spans: &[Span<(How, u8)>]) -> Option<Found> {
        let part = component(spans)?;
        let middle = part.middle_rad();
        let aim_rad = about_rad + middle;
        let at_aim = self.sent(aim_rad)?;
        let rail_first = spans.iter().any(|s| s.tag.1 > 0);
        let pieces = spans.iter().map(|s| Span {
            from_rad: s.from_rad - middle,
            to_rad: s.to_rad - middle,
            tag: s.tag.0,
        });
        Some(Found {
            aim_rad,
            pieces: Directions::from_spans(pieces.collect()),
            component: Component {
                from_rad: part.from_rad - middle,
                to_rad: part.to_rad - middle,
            },
            at_aim,
            rail_first,
        })
    }

    /// Which way a direction misses, against the aim of what was found; `None` when it makes it.
    #[must_use]
    pub fn miss(&self, found: &Found, direction_rad: f64) -> Option<Miss> {
        let Some(sent) = self.sent(direction_rad) else {
            return Some(Miss::NoBall);
        };
        let by_cut = || Miss::of_cut(found.at_aim.facing_cut_rad(), sent.facing_cut_rad());
        sent.how.is_none().then(by_cut)
    }
}

/// The connected part with the widest clean piece, or else the widest.
pub(crate) fn component(spans: &[Span<(How, u8)>]) -> Option<Component> {
    let mut parts: Vec<(f64, f64, f64)> = Vec::new();
    for span in spans {
        let clean = if span.tag.0 == How::Clean {
            span.width_rad()
        } else {
            0.0
        };
        match parts.last_mut() {
            Some(last) if span.from_rad - last.1 <= TOUCHING_RAD => {
                last.1 = span.to_rad;
                last.2 += clean;
            }
            _ => parts.push((span.from_rad, span.to_rad, clean)),
        }
    }
    let better = |a: &(f64, f64, f64), b: &(f64, f64, f64)| {
        let width = |p: &(f64, f64, f64)| p.1 - p.0;
        a.2.total_cmp(&b.2).then(width(a).total_cmp(&width(b)))
    };
    parts.into_iter().max_by(better).map(|p| Component {
        from_rad: p.0,
        to_rad: p.1,
    })
}
