//! Why a shot is hard: its window over its spread against that of a plain shot, as factors.

use kurbo::{Point, Vec2};
use serde::{Deserialize, Serialize};

use super::aim_error::AimError;
use crate::gear::Gear;
use crate::motion::BallBody;
use crate::pocket::{Acceptance, PocketFrame, PocketKind, PocketShape, accept};
use crate::units::Side;
use crate::window::{AbstractShot, Shot, Solved, Stroke, solve_with};

/// Distances of the plain shot: 2 ft between the balls and to the pocket.
const PLAIN_M: f64 = 0.6096;
/// Its pace, m/s.
const PLAIN_PACE_M_S: f64 = 1.0;
/// Usual picture over arm, 7 mm a degree, m: without a player `√(t_c² + 0.40²)` stands for `t_c σ`.
const USUAL_RATIO_M: f64 = 0.40;
/// From this product on nothing makes a shot hard, and above it a factor is not named.
const HARD: f64 = 0.85;
/// A smaller share that goes in clean is worth a word.
const MOSTLY_CLEAN: f64 = 1.0 / 3.0;

/// One of the factors.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Factor {
    /// How far the object ball is from the pocket.
    ObjectDistance,
    /// The angle at which it comes into the pocket.
    PocketAngle,
    /// How fast it comes, and how fast the stroke is.
    Pace,
    /// How far the cue ball is from the object ball.
    CueDistance,
    /// The cut.
    Cut,
    /// Throw and side.
    Throw,
    /// Other balls and the ends of the rails.
    Others,
    /// The stroke may be too soft.
    DiesShort,
}

/// Factors that multiply to `product`; each is 1 for the plain shot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Factors {
    /// How far the object ball is from the pocket.
    pub object_distance: f64,
    /// The angle at which it comes into the pocket.
    pub pocket_angle: f64,
    /// How fast it comes, and how fast the stroke is.
    pub pace: f64,
    /// How far the cue ball is from the object ball.
    pub cue_distance: f64,
    /// The cut.
    pub cut: f64,
    /// Throw and side.
    pub throw: f64,
    /// Other balls and the ends of the rails.
    pub others: f64,
    /// Share of strokes that are not too soft.
    pub dies_short: f64,
    /// What the factors leave.
    pub rest: f64,
}

/// The verdict on a shot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    /// The factors.
    pub factors: Factors,
    /// All of them together.
    pub product: f64,
    /// The ones to name, smallest first; empty when nothing makes the shot hard.
    pub main: Vec<Factor>,
    /// Most of what drops does so off the jaws and the rail.
    pub mostly_jaws: bool,
}

/// What makes a solved shot hard, whoever plays it: all of a [`Verdict`] that has to be solved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hardness {
    /// The pocket takes nothing from this angle at a plain pace.
    Closed {
        /// The factor of the object ball's distance.
        object_distance: f64,
    },
    /// It takes something.
    Open(Openings),
}

/// Measures of directions, of the shot and of others like it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Openings {
    object_distance: f64,
    pocket_angle: f64,
    /// What the pocket takes at the shot's pace, over that at a plain one.
    pace: f64,
    cut: f64,
    /// What throw does to the shot.
    thrown: f64,
    /// Cue-ball directions with rails without end, rad.
    whole_rad: f64,
    /// Cue-ball directions, rad.
    open_rad: f64,
    plain: Plain,
    travel_m: f64,
    speed_m_s: f64,
    mostly_jaws: bool,
}

/// Who plays.
#[derive(Debug, Clone, Copy)]
pub struct By<'a> {
    /// The player.
    pub player: &'a AimError,
    /// The whole spread of the direction on this shot, rad.
    pub sigma_rad: f64,
    /// How often the stroke is too soft, 0 to 1.
    pub dies_short: f64,
}

impl Hardness {
    /// Of a solved shot; `None` when the kind of pocket takes no straight ball.
    #[must_use]
    pub fn of(gear: &Gear, shot: &Shot, solved: Solved<'_>) -> Option<Self> {
        let Solved { acceptance, window } = solved;
        let pocket = Pocket::new(gear, &shot.frame);
        let plain_taken = pocket.accepts(PLAIN_M, 0.0, PLAIN_PACE_M_S)?;
        let plain_open = taken(&plain_taken)?;
        let (far_m, angle) = (acceptance.distance_m, acceptance.approach_rad);
        let straight_in = taken(&pocket.accepts(far_m, 0.0, PLAIN_PACE_M_S)?)?;
        let object_distance = straight_in / plain_open;
        let from_angle = pocket.accepts(far_m, angle, PLAIN_PACE_M_S);
        let Some(at_angle) = from_angle.as_ref().and_then(taken) else {
            return Some(Self::Closed { object_distance });
        };
        let pace_m_s = shot.stroke.pace_m_s;
        let endless = if pace_m_s.to_bits() == PLAIN_PACE_M_S.to_bits() {
            from_angle?
        } else {
            pocket.accepts(far_m, angle, pace_m_s)?
        };
        let at_pace = endless.pieces.measure_rad();
        let whole_rad = exact(gear, &endless, shot.cue, &shot.stroke)?;
        let frictionless = without_throw(gear);
        let clean = acceptance.clean.map_or(0.0, |c| c.width_rad());
        Some(Self::Open(Openings {
            object_distance,
            pocket_angle: at_angle / straight_in,
            pace: at_pace / at_angle,
            cut: window.aim.cos_cut,
            thrown: whole_rad / exact(&frictionless, &endless, shot.cue, &shot.stroke)?,
            whole_rad,
            open_rad: window.cue_directions(&acceptance.pieces).measure_rad(),
            plain: plain(gear, shot.frame.kind, &plain_taken)?,
            travel_m: window.aim.travel_m,
            speed_m_s: window.cue_speed_m_s,
            mostly_jaws: clean < MOSTLY_CLEAN * at_pace,
        }))
    }

    /// The factors and the verdict for a player, or for nobody in particular.
    #[must_use]
    pub fn verdict(&self, by: Option<By<'_>>) -> Verdict {
        match self {
            Self::Closed { object_distance } => closed(*object_distance),
            Self::Open(openings) => openings.verdict(by),
        }
    }
}

impl Openings {
    fn verdict(&self, by: Option<By<'_>>) -> Verdict {
        let (plain, travel_m) = (&self.plain, self.travel_m);
        let spread = |travel_m: f64, speed: f64| match by {
            Some(by) => by.player.sigma_rad(travel_m, speed),
            None => travel_m.hypot(USUAL_RATIO_M) / travel_m,
        };
        let at_plain_speed = spread(travel_m, plain.speed_m_s);
        let with_growth = spread(travel_m, self.speed_m_s);
        let sigma = by.map_or(with_growth, |by| by.sigma_rad);
        let plain_sigma = spread(plain.travel_m, plain.speed_m_s);
        let goes = 1.0 - by.map_or(0.0, |by| by.dies_short);

        let mut factors = Factors {
            object_distance: self.object_distance,
            pocket_angle: self.pocket_angle,
            pace: self.pace * at_plain_speed / with_growth,
            cue_distance: plain.travel_m * plain_sigma / (travel_m * at_plain_speed),
            cut: self.cut,
            throw: self.thrown / plain.thrown * with_growth / sigma,
            others: self.open_rad / self.whole_rad,
            dies_short: goes,
            rest: 1.0,
        };
        let product = self.open_rad / sigma / (plain.measure_rad / plain_sigma) * goes;
        let known: f64 = factors.named().iter().map(|(_, f)| f).product();
        factors.rest = if known > 0.0 { product / known } else { 1.0 };
        Verdict {
            main: main(&factors, product),
            factors,
            product,
            mostly_jaws: self.mostly_jaws,
        }
    }
}

/// Total width of what a pocket takes, rad; `None` for nothing.
fn taken(acceptance: &Acceptance) -> Option<f64> {
    let measure = acceptance.pieces.measure_rad();
    (measure > 0.0).then_some(measure)
}

/// A pocket that takes nothing from this angle at a plain pace.
fn closed(object_distance: f64) -> Verdict {
    Verdict {
        factors: Factors {
            object_distance,
            pocket_angle: 0.0,
            pace: 1.0,
            cue_distance: 1.0,
            cut: 1.0,
            throw: 1.0,
            others: 1.0,
            dies_short: 1.0,
            rest: 1.0,
        },
        product: 0.0,
        main: vec![Factor::PocketAngle],
        mostly_jaws: false,
    }
}

impl Factors {
    /// All that may be named, in order.
    #[must_use]
    pub fn named(&self) -> [(Factor, f64); 8] {
        [
            (Factor::ObjectDistance, self.object_distance),
            (Factor::PocketAngle, self.pocket_angle),
            (Factor::Pace, self.pace),
            (Factor::CueDistance, self.cue_distance),
            (Factor::Cut, self.cut),
            (Factor::Throw, self.throw),
            (Factor::Others, self.others),
            (Factor::DiesShort, self.dies_short),
        ]
    }
}

/// The factors to name: all that are at most 0.85 and at most the root of the smallest, or else the
/// smallest.
fn main(factors: &Factors, product: f64) -> Vec<Factor> {
    if product >= HARD {
        return Vec::new();
    }
    let mut all = factors.named().to_vec();
    all.sort_by(|a, b| a.1.total_cmp(&b.1));
    let least = all[0].1;
    let most = HARD.min(least.max(0.0).sqrt());
    let names: Vec<_> = all
        .iter()
        .filter(|(_, f)| *f <= most)
        .map(|(n, _)| *n)
        .collect();
    if names.is_empty() {
        vec![all[0].0]
    } else {
        names
    }
}

/// A pocket by itself.
struct Pocket<'a> {
    gear: &'a Gear,
    shape: PocketShape,
    body: BallBody,
}

impl<'a> Pocket<'a> {
    fn new(gear: &'a Gear, frame: &PocketFrame) -> Self {
        let body = BallBody::object(gear);
        Self {
            gear,
            shape: PocketShape::in_frame(gear, frame, &body),
            body,
        }
    }

    fn accepts(&self, far_m: f64, approach_rad: f64, pace_m_s: f64) -> Option<Acceptance> {
        let object = Point::ORIGIN - Vec2::from_angle(approach_rad) * far_m;
        let cloth = &self.gear.cloth;
        accept(&self.shape, cloth, &self.body, object, pace_m_s)
            .ok()?
            .ok()
    }
}

/// The plain shot, solved.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Plain {
    travel_m: f64,
    speed_m_s: f64,
    measure_rad: f64,
    /// With throw over without.
    thrown: f64,
}

/// `acceptance` is what its pocket takes.
fn plain(gear: &Gear, kind: PocketKind, acceptance: &Acceptance) -> Option<Plain> {
    let stroke = Stroke {
        pace_m_s: PLAIN_PACE_M_S,
        ..Stroke::centre_ball()
    };
    let shot = AbstractShot {
        kind,
        cut_rad: 0.0,
        cut_side: Side::Left,
        apart_m: PLAIN_M,
        to_pocket_m: PLAIN_M,
        approach_rad: 0.0,
    };
    let shot = Shot::from_angles(gear, &shot, stroke).ok()?;
    let window = solve_with(gear, acceptance, shot.cue, &stroke).ok()?;
    let measure_rad = window.cue_directions(&acceptance.pieces).measure_rad();
    let bare = exact(&without_throw(gear), acceptance, shot.cue, &stroke)?;
    Some(Plain {
        travel_m: window.aim.travel_m,
        speed_m_s: window.cue_speed_m_s,
        measure_rad,
        thrown: measure_rad / bare,
    })
}

/// Measure of the cue-ball directions that send a ball into an acceptance, rad.
fn exact(gear: &Gear, acceptance: &Acceptance, cue: Point, stroke: &Stroke) -> Option<f64> {
    let window = solve_with(gear, acceptance, cue, stroke).ok()?;
    let measure = window.cue_directions(&acceptance.pieces).measure_rad();
    (measure > 0.0).then_some(measure)
}

/// The same balls without friction between them.
fn without_throw(gear: &Gear) -> Gear {
    let mut bare = gear.clone();
    bare.contact.friction_scale = 0.0;
    bare
}
