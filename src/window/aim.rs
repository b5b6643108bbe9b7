//! The answer for one shot: the aim, the three windows round it, or why there is none.

use std::f64::consts::{PI, TAU};

use kurbo::{Point, Vec2};

use serde::{Deserialize, Serialize};

use crate::contact::{Approach, Geometry, Known, MOST_LANES, ThrowLaw};
use crate::directions::{Directions, Span};
use crate::pocket::{Component, NoAcceptance};
use crate::stroke::Stick;
use crate::units::{Angle, Side};

/// Faster than this a shot is marked too fast, m/s (assumption: a hard stroke, short of a break).
pub const TOO_FAST_M_S: f64 = 7.0;

/// Things to know about a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Flags(u8);

impl Flags {
    /// An edge lies beyond a grazing hit and was cut there.
    pub const TRUNCATED: Self = Self(1);
    /// The cue ball would need more than [`TOO_FAST_M_S`].
    pub const TOO_FAST: Self = Self(2);
    /// No direction goes in untouched.
    pub const NO_CLEAN_PART: Self = Self(4);
    /// The middle of the accepted directions cannot be hit; numbers are for the part that can.
    pub const OUT_OF_REACH: Self = Self(8);
    /// The stroke cannot bring the cue ball there as asked.
    pub const CANNOT_ARRIVE: Self = Self(16);

    /// A cushion is in reach of the cue ball before it meets the object ball, and the set was found
    /// forwards.
    pub const CUSHION_NEAR: Self = Self(32);

    const NAMES: [(Self, &'static str); 6] = [
        (Self::TRUNCATED, "truncated"),
        (Self::TOO_FAST, "too-fast"),
        (Self::NO_CLEAN_PART, "no-clean-part"),
        (Self::OUT_OF_REACH, "out-of-reach"),
        (Self::CUSHION_NEAR, "cushion-near"),
        (Self::CANNOT_ARRIVE, "cannot-arrive"),
    ];

    /// Whether all of `other` is set.
    #[must_use]
    pub fn has(self, other: Self) -> bool {
        self.0 & other.0 == other.0
    }

    /// Sets `other` when `on`.
    pub(crate) fn set(&mut self, other: Self, on: bool) {
        if on {
            self.0 |= other.0;
        }
    }

    /// The same without `other`.
    #[must_use]
    pub(crate) fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Names of what is set, as in JSON and CSV.
    pub fn names(self) -> impl Iterator<Item = &'static str> {
        Self::NAMES
            .into_iter()
            .filter(move |(f, _)| self.has(*f))
            .map(|(_, n)| n)
    }
}

/// One window: an interval of object-ball directions and the cue-ball directions that make it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Object-ball directions relative to the centre-pocket line.
    pub object: Component,
    /// Cue-ball direction relative to the aim that makes `object.from_rad`, counter-clockwise.
    pub aim_from_rad: f64,
    /// The same for `object.to_rad`.
    pub aim_to_rad: f64,
    /// Room towards a fuller hit; negative when the edge lies on the other side of the aim.
    pub thick_rad: f64,
    /// Room towards a thinner hit.
    pub thin_rad: f64,
    /// Shift of the contact point on the object ball at the thick edge, m.
    pub thick_contact_m: f64,
    /// The same at the thin edge.
    pub thin_contact_m: f64,
}

impl Window {
    /// Room towards a fuller hit.
    #[must_use]
    pub fn thick(&self) -> Angle {
        Angle::from_rad(self.thick_rad)
    }

    /// Room towards a thinner hit.
    #[must_use]
    pub fn thin(&self) -> Angle {
        Angle::from_rad(self.thin_rad)
    }

    /// Both together.
    #[must_use]
    pub fn total(&self) -> Angle {
        Angle::from_rad(self.total_rad())
    }

    /// Both sides together.
    #[must_use]
    pub fn total_rad(&self) -> f64 {
        self.thick_rad + self.thin_rad
    }

    /// Lower and upper cue-ball direction relative to the aim, counter-clockwise positive.
    #[must_use]
    pub fn interval_rad(&self) -> (f64, f64) {
        (
            self.aim_from_rad.min(self.aim_to_rad),
            self.aim_from_rad.max(self.aim_to_rad),
        )
    }
}

/// The answer for one shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AimWindow {
    /// The two balls.
    pub approach: Approach,
    /// Throw as this stroke makes it.
    pub law: ThrowLaw,
    /// Centre-pocket line relative to cue → object, rad.
    pub centre_line_rad: f64,
    /// The contact when aimed right.
    pub aim: Geometry,
    /// Throw there, signed like [`crate::contact::Throw`].
    pub throw_rad: f64,
    /// Slope of the throw there.
    pub throw_slope: f64,
    /// Middle of the clean part (or direct, or drop), relative to the centre-pocket line.
    pub target_rad: f64,
    /// Throw-free cut at the target, left positive.
    pub cut_rad: f64,
    /// Where the object ball is cut to.
    pub cut_side: Side,
    /// Speed of the cue ball at contact.
    pub cue_speed_m_s: f64,
    /// Speed of the object ball after contact.
    pub object_speed_m_s: f64,
    /// Goes in untouched.
    pub clean: Option<Window>,
    /// Goes in untouched or off the jaws.
    pub direct: Option<Window>,
    /// Goes in at all.
    pub drop: Option<Window>,
    /// What to know.
    pub flags: Flags,
    /// The stick, where the stroke says where its tip strikes.
    pub stick: Option<Stick>,
}

/// An answer without a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoWindow {
    /// The object ball does not drop at this pace.
    NoDrop,
    /// From there the pocket takes nothing straight at any pace.
    TooSteep,
    /// The object ball lies on or past the mouth line.
    InTheJaws,
    /// No accepted direction can be hit from here.
    OutOfReach,
    /// The balls are so close that turning the aim no longer turns the object ball steadily.
    TooClose,
    /// Other balls close every way.
    Blocked,
}

impl NoWindow {
    /// As in `flags` and `status`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::NoDrop => "no-drop",
            Self::TooSteep => "too-steep",
            Self::InTheJaws => "in-the-jaws",
            Self::OutOfReach => "out-of-reach",
            Self::TooClose => "too-close",
            Self::Blocked => "blocked",
        }
    }
}

impl From<NoAcceptance> for NoWindow {
    fn from(no: NoAcceptance) -> Self {
        match no {
            NoAcceptance::NoDrop => Self::NoDrop,
            NoAcceptance::InTheJaws => Self::InTheJaws,
        }
    }
}

/// A part of a window, by how the ball goes in; each holds the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// It goes in untouched.
    Clean,
    /// The same, and off jaws and facings.
    Direct,
    /// The same, and off a rail.
    Drop,
}

/// A direction of the object ball, and the turn of the aim that makes it where that is known, both rad.
#[derive(Debug, Clone, Copy)]
struct Asked {
    object_rad: f64,
    turn_rad: Option<f64>,
}

impl Asked {
    fn new(object_rad: f64, turn_rad: Option<f64>) -> Self {
        Self {
            object_rad,
            turn_rad,
        }
    }
}

impl AimWindow {
    /// The part of which most is said: what goes in untouched, else off the jaws, else off a rail.
    #[must_use]
    pub fn best_part(&self) -> Option<(Part, Window)> {
        let parts = [
            (Part::Clean, self.clean),
            (Part::Direct, self.direct),
            (Part::Drop, self.drop),
        ];
        parts
            .into_iter()
            .find_map(|(part, window)| window.map(|w| (part, w)))
    }

    /// Cue-ball direction, relative to the aim and counter-clockwise, that sends the object ball
    /// along `theta_rad` (relative to the centre-pocket line). `None` when out of reach.
    #[must_use]
    pub fn aim_for_rad(&self, theta_rad: f64) -> Option<f64> {
        self.turns(&[theta_rad])[0].or_else(|| self.searched(theta_rad))
    }

    /// The same for several, [`MOST_LANES`] at most, side by side; `None` is left to
    /// [`Self::searched`].
    fn turns(&self, thetas_rad: &[f64]) -> [Option<f64>; MOST_LANES] {
        let mut directions = [0.0; MOST_LANES];
        for (to, theta) in directions.iter_mut().zip(thetas_rad) {
            *to = self.centre_line_rad + theta;
        }
        let known = Known {
            approach: &self.approach,
            law: &self.law,
            aim: &self.aim,
            throw: (self.throw_rad, self.throw_slope),
        };
        known.turns(&directions[..thetas_rad.len().min(MOST_LANES)])
    }

    /// The same by the bracketed search, which also takes thin cuts.
    fn searched(&self, theta_rad: f64) -> Option<f64> {
        let direction = self.centre_line_rad + theta_rad;
        let guess = self.aim.centres_rad + theta_rad - self.target_rad;
        self.approach
            .contact_for(&self.law, direction, guess)
            .map(|g| g.aim_rad - self.aim.aim_rad)
    }

    /// Aim that sends the object ball along the centre-pocket line, relative to cue → object,
    /// throw included; `None` when that line is out of reach.
    #[must_use]
    pub fn centre_aim_rad(&self) -> Option<f64> {
        self.aim_for_rad(0.0).map(|turn| self.aim.aim_rad + turn)
    }

    /// Object-ball direction relative to the centre-pocket line for a cue ball sent `delta_rad` off the
    /// aim, counter-clockwise positive. `None` when it misses the object ball.
    #[must_use]
    pub fn object_direction_rad(&self, delta_rad: f64) -> Option<f64> {
        let contact = self.approach.sent(self.aim.aim_rad + delta_rad)?;
        let (theta, _) = self.approach.object_direction(&self.law, &contact);
        Some(wrap(theta - self.centre_line_rad))
    }

    /// The cue-ball directions, relative to the aim, that send the object ball along a set of
    /// directions (relative to the centre-pocket line). What lies beyond a grazing hit is cut off.
    #[must_use]
    pub fn cue_directions<T: Copy + PartialEq>(&self, object: &Directions<T>) -> Directions<T> {
        let spans = object.spans();
        let mut out = Vec::with_capacity(spans.len());
        for some in spans.chunks(MOST_LANES / 2) {
            let mut edges = [0.0; MOST_LANES];
            for (k, s) in some.iter().enumerate() {
                (edges[2 * k], edges[2 * k + 1]) = (s.from_rad, s.to_rad);
            }
            let turns = self.turns(&edges[..2 * some.len()]);
            out.extend(some.iter().enumerate().filter_map(|(k, s)| {
                let from = Asked::new(s.from_rad, turns[2 * k]);
                let to = Asked::new(s.to_rad, turns[2 * k + 1]);
                let (from_rad, to_rad) = self.between(from, to)?;
                Some(Span {
                    from_rad,
                    to_rad,
                    tag: s.tag,
                })
            }));
        }
        Directions::from_spans(out)
    }

    /// The same for one interval, lower end first; `None` when all of it lies beyond a grazing hit.
    #[must_use]
    pub fn turn_for_rad(&self, from_rad: f64, to_rad: f64) -> Option<(f64, f64)> {
        let turns = self.turns(&[from_rad, to_rad]);
        self.between(Asked::new(from_rad, turns[0]), Asked::new(to_rad, turns[1]))
    }

    /// Turns for two edges, lower first, of which some are known. An edge that was solved side by side
    /// lies well before a grazing hit.
    fn between(&self, from: Asked, to: Asked) -> Option<(f64, f64)> {
        match (from.turn_rad, to.turn_rad) {
            (Some(a), Some(b)) => Some((a.min(b), a.max(b))),
            _ => self.turn_between(from.object_rad, to.object_rad),
        }
    }

    /// Direction of the object ball and turn of the aim at the grazing hits on both sides.
    fn grazing(&self) -> [(f64, f64); 2] {
        let reach = self.approach.reach_rad();
        [-reach, reach].map(|centres| {
            let grazing = self.approach.at(centres);
            let (direction, _) = self.approach.object_direction(&self.law, &grazing);
            (
                direction - self.centre_line_rad,
                grazing.aim_rad - self.aim.aim_rad,
            )
        })
    }

    /// The same with what lies beyond a grazing hit cut off.
    fn turn_between(&self, from: f64, to: f64) -> Option<(f64, f64)> {
        let [low, high] = self.grazing();
        if to <= low.0 || from >= high.0 {
            return None;
        }
        let edge = |theta: f64| match theta {
            t if t <= low.0 => Some(low.1),
            t if t >= high.0 => Some(high.1),
            t => self.searched(t),
        };
        let (a, b) = (edge(from)?, edge(to)?);
        Some((a.min(b), a.max(b)))
    }

    /// Throw in the sense people use: positive when it makes the cut fuller.
    #[must_use]
    pub fn throw_fuller_rad(&self) -> f64 {
        self.cut_side.sign() * self.throw_rad
    }

    /// Aim direction in the pocket frame, rad.
    #[must_use]
    pub fn aim_in_pocket_frame_rad(&self) -> f64 {
        self.approach.base_rad + self.aim.aim_rad
    }

    /// Ghost ball in the pocket frame, for a contact.
    #[must_use]
    pub fn ghost(&self, object: Point, contact: &Geometry) -> Point {
        object
            - Vec2::from_angle(self.approach.base_rad + contact.centres_rad)
                * self.approach.contact_m
    }

    /// Ghost-ball offset of an edge, m: `t_c tan δ`.
    #[must_use]
    pub fn ghost_offset_m(&self, delta_rad: f64) -> f64 {
        self.aim.travel_m * delta_rad.tan()
    }
}

/// Into (−π, π].
pub(super) fn wrap(angle_rad: f64) -> f64 {
    let a = angle_rad.rem_euclid(TAU);
    if a > PI { a - TAU } else { a }
}
