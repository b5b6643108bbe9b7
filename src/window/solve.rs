//! From an acceptance to the aim window, one contact after the other: pull the edges of the acceptance back through the contact.

use kurbo::{Point, Vec2};

use super::aim::{AimWindow, Flags, NoWindow, TOO_FAST_M_S, Window, wrap};
use super::shot::{Shot, Stroke};
use crate::bed::BedCourse;
use crate::contact::{Approach, Geometry, Near, Sent, ThrowLaw, folds_between};
use crate::gear::{Cloth, Gear};
use crate::motion::{BallBody, Moving};
use crate::pocket::{
    Acceptance, AcceptanceError, Alone, Component, FullBed, Grain, NoAcceptance, PocketShape,
    accept_alone, accepted_at_speed, drops_on,
};
use crate::units::Side;

/// Balls whose ghost ball is nearer than this many contact distances are checked for folding.
/// Folding needs `T′(1 + D cos φ/t_c) ≥ 1`; at 3 D that asks for T′ ≥ 0.75, and the friction law
/// (scale at most 3) stays below 0.6.
pub(super) const FOLD_CHECK_DISTANCES: f64 = 3.0;
/// Times the limits of reach are drawn in by throw; they settle within three, since the throw of a
/// grazing hit hardly changes with the target.
const REACH_TRIES: u32 = 6;
/// Steps to the speed as it is hit; four or five are usual.
const SPEED_ROUNDS: u32 = 40;
/// Agreement of the speed, as a share of it.
const SPEED_AGREED: f64 = 1e-13;
/// Places looked at for folding across the window.
const FOLD_SAMPLES: u32 = 48;

/// What the pocket takes of a shot: on the whole bed where it stands on a table, with endless rails
/// where it is given by angles alone.
///
/// # Errors
/// [`AcceptanceError`] when the object ball overlaps a cushion.
pub fn accept_shot(
    gear: &Gear,
    shot: &Shot,
) -> Result<Result<Acceptance, NoAcceptance>, AcceptanceError> {
    Mouth::new(gear, shot).accepts(gear, shot.object, shot.stroke.pace_m_s)
}

/// A shot's pocket with what an object ball can meet on its way there, for many speeds of it.
#[derive(Debug)]
pub struct Mouth {
    way: Way,
    body: BallBody,
    cloth: Cloth,
    object: Point,
}

/// The whole bed, or the pocket by itself.
#[derive(Debug)]
enum Way {
    Bed(Box<BedCourse>),
    Alone(Box<Alone>),
}

impl Mouth {
    /// For the object ball and the pocket of a shot.
    #[must_use]
    pub fn new(gear: &Gear, shot: &Shot) -> Self {
        let body = BallBody::object(gear);
        let way = match shot.frame.name {
            Some(pocket) => {
                let plan = FullBed::new(gear, &body);
                Way::Bed(Box::new(BedCourse::new(gear, &plan, pocket)))
            }
            None => {
                let shape = PocketShape::in_frame(gear, &shot.frame, &body);
                Way::Alone(Box::new(Alone::new(shape)))
            }
        };
        Self {
            way,
            body,
            cloth: gear.cloth,
            object: shot.object,
        }
    }

    /// What it takes of an object ball at any place (pocket frame, m) at a pace; `gear` is that which it
    /// was made for.
    ///
    /// # Errors
    /// [`AcceptanceError`] when the object ball overlaps a cushion.
    pub(crate) fn accepts(
        &self,
        gear: &Gear,
        object: Point,
        pace_m_s: f64,
    ) -> Result<Result<Acceptance, NoAcceptance>, AcceptanceError> {
        match &self.way {
            Way::Bed(course) => course.accept(gear, object, pace_m_s),
            Way::Alone(alone) => accept_alone(alone, &self.cloth, &self.body, object, pace_m_s),
        }
    }

    /// What it takes of an object ball that starts at a speed, m/s; `None` where no direction drops.
    #[must_use]
    pub fn takes(&self, speed_m_s: f64, grain: Grain) -> Option<Acceptance> {
        if self.object.x >= 0.0 || speed_m_s <= 0.0 {
            return None;
        }
        let object = self.object;
        let moving = Moving {
            body: &self.body,
            cloth: &self.cloth,
        };
        match &self.way {
            Way::Bed(course) => accepted_at_speed(&**course, moving, object, speed_m_s, grain),
            Way::Alone(shape) => accepted_at_speed(&**shape, moving, object, speed_m_s, grain),
        }
        .ok()
    }

    /// Whether the object ball drops when sent off at a velocity (pocket frame, m/s).
    #[must_use]
    pub fn drops(&self, velocity: Vec2) -> bool {
        let (cloth, body, object) = (&self.cloth, &self.body, self.object);
        match &self.way {
            Way::Bed(course) => drops_on(&**course, cloth, body, object, velocity),
            Way::Alone(shape) => drops_on(&**shape, cloth, body, object, velocity),
        }
    }
}

/// Solves the window of a cue ball at `cue` (pocket frame), the acceptance being known, one contact
/// after the other: what [`super::solve_with`] and [`super::solve_many`] are held against, and what
/// they leave thin cuts and balls that almost touch to.
///
/// Edges are solved to 1e-12 rad.
///
/// # Errors
/// [`NoWindow`] where there is none.
pub fn solve_one_by_one(
    gear: &Gear,
    acceptance: &Acceptance,
    cue: Point,
    stroke: &Stroke,
) -> Result<AimWindow, NoWindow> {
    let pull = Pull::new(gear, acceptance, cue, stroke)?;
    let target = acceptance
        .clean
        .or(acceptance.direct)
        .unwrap_or(acceptance.drop)
        .middle_rad();
    if (pull.centre + target).abs() < pull.approach.reach_rad() {
        return pull.window(target, false);
    }
    pull.reachable_window()
}

/// The same aimed at a direction of the object ball (relative to the centre-pocket line) instead of
/// the middle of a part.
pub(super) fn solve_toward(
    gear: &Gear,
    acceptance: &Acceptance,
    cue: Point,
    stroke: &Stroke,
    target_rad: f64,
) -> Result<AimWindow, NoWindow> {
    let pull = Pull::new(gear, acceptance, cue, stroke)?;
    if (pull.centre + target_rad).abs() < pull.approach.reach_rad() {
        return pull.window(target_rad, true);
    }
    Err(NoWindow::OutOfReach)
}

fn centre_line(acceptance: &Acceptance, approach: &Approach) -> f64 {
    wrap(acceptance.approach_rad - approach.base_rad)
}

/// Everything a pull-back needs.
struct Pull<'a> {
    gear: &'a Gear,
    acceptance: &'a Acceptance,
    stroke: &'a Stroke,
    approach: Approach,
    /// Centre-pocket line relative to cue → object.
    centre: f64,
}

impl<'a> Pull<'a> {
    fn new(
        gear: &'a Gear,
        acceptance: &'a Acceptance,
        cue: Point,
        stroke: &'a Stroke,
    ) -> Result<Self, NoWindow> {
        let contact = gear.contact_distance_m();
        let approach = Approach::new(cue, acceptance.object, contact).ok_or(NoWindow::TooClose)?;
        Ok(Self {
            gear,
            acceptance,
            stroke,
            approach,
            centre: centre_line(acceptance, &approach),
        })
    }

    /// The window of what can be hit where the target itself cannot: the clean part, else the
    /// direct, else the drop.
    fn reachable_window(&self) -> Result<AimWindow, NoWindow> {
        let acceptance = self.acceptance;
        [acceptance.clean, acceptance.direct, Some(acceptance.drop)]
            .into_iter()
            .flatten()
            .map(|part| self.part_window(&part))
            .find(|found| !matches!(found, Err(NoWindow::OutOfReach)))
            .unwrap_or(Err(NoWindow::OutOfReach))
    }

    /// Aims at the middle of what can be hit of a part. How far that reaches depends on throw,
    /// throw on the speed, and the speed on the target: the first try leaves throw out, later
    /// ones draw the limits in by the throw of the try before.
    fn part_window(&self, part: &Component) -> Result<AimWindow, NoWindow> {
        let reach = self.approach.reach_rad();
        let (mut lo, mut hi) = (-reach, reach);
        for _ in 0..REACH_TRIES {
            let from = (self.centre + part.from_rad).max(lo);
            let to = (self.centre + part.to_rad).min(hi);
            if from >= to {
                break;
            }
            let direction = 0.5 * (from + to);
            match self.window(direction - self.centre, true) {
                Err(NoWindow::OutOfReach) => {
                    let law = self.law(&self.approach.at(direction));
                    (lo, hi) = (self.farthest(&law, -1.0), self.farthest(&law, 1.0));
                }
                found => return found,
            }
        }
        Err(NoWindow::OutOfReach)
    }

    fn window(&self, target: f64, out_of_reach: bool) -> Result<AimWindow, NoWindow> {
        let (approach, acceptance) = (&self.approach, self.acceptance);
        let direction = self.centre + target;
        let straight_through = approach.at(direction);
        if straight_through.travel_m <= 0.0 {
            return Err(NoWindow::TooClose);
        }
        let law = self.law(&straight_through);
        if straight_through.travel_m < FOLD_CHECK_DISTANCES * approach.contact_m
            && self.folds(&law, &acceptance.drop)
        {
            return Err(NoWindow::TooClose);
        }
        let (law, found) = self.as_hit(law, &straight_through, direction);
        let Some(sent) = found else {
            return match self.thrown_out_of_reach(&law, direction) {
                true if out_of_reach => Err(NoWindow::OutOfReach),
                true => self.reachable_window(),
                false => Err(NoWindow::TooClose),
            };
        };
        let near = Near::new(approach, &law, straight_through);
        let aim = sent.contact;
        let throw = law.throw(aim.sin_cut, aim.cos_cut);
        let cut_side = self.cut_side(&straight_through);
        let edges = Edges {
            pull: self,
            near: &near,
            law: &law,
            aim: &aim,
            direction,
            slope: 1.0 / sent.slope,
            cut_side,
            near_grazing_rad: approach.reach_rad() - law.largest_rad(),
        };
        let mut flags = Flags::default();
        flags.set(Flags::OUT_OF_REACH, out_of_reach);
        self.flag(&law, &mut flags);
        let mut known = None;
        let mut part = |c: &Component| edges.window(c, &mut known, &mut flags);
        let clean = acceptance.clean.and_then(|c| part(&c));
        let direct = acceptance.direct.and_then(|c| part(&c));
        let drop = part(&acceptance.drop);
        Ok(AimWindow {
            approach: *approach,
            law,
            centre_line_rad: self.centre,
            aim,
            throw_rad: throw.angle_rad,
            throw_slope: throw.slope,
            target_rad: target,
            cut_rad: straight_through.cut_rad(),
            cut_side,
            cue_speed_m_s: law.speed_m_s,
            object_speed_m_s: acceptance.object_speed_m_s,
            clean,
            direct,
            drop,
            flags,
            stick: None,
        })
    }

    /// The law with the cue ball's speed for the contact as it is hit, throw included, and that
    /// contact: `v_o = m_c(1+e_b)/(m_c+m_o)·v cos φ/cos T`. Throw depends on the speed and the speed
    /// on throw; secant steps bring them into agreement, the throw-free cut being the first guess.
    /// Without the contact the direction is out of reach.
    fn as_hit(
        &self,
        mut law: ThrowLaw,
        straight_through: &Geometry,
        direction: f64,
    ) -> (ThrowLaw, Option<Sent>) {
        let throw = law.throw(straight_through.sin_cut, straight_through.cos_cut);
        let mut guess = direction + throw.angle_rad;
        let mut before: Option<(f64, f64)> = None;
        let mut found = None;
        for _ in 0..SPEED_ROUNDS {
            let near = Near::new(&self.approach, &law, *straight_through);
            found = near.contact_for(direction, guess);
            let Some(sent) = found else { break };
            let hit = sent.contact;
            guess = hit.centres_rad;
            let throw = law.throw(hit.sin_cut, hit.cos_cut);
            let (now, wanted) = (law.speed_m_s, self.speed(&hit) * throw.angle_rad.cos());
            let off = wanted - now;
            if off.abs() <= SPEED_AGREED * now {
                break;
            }
            let next = match before {
                Some((v, miss)) if (off - miss).abs() > 0.1 * miss.abs() => {
                    now - off * (now - v) / (off - miss)
                }
                _ => wanted,
            };
            before = Some((now, off));
            // A secant that leaves the neighbourhood of the plain step is not trusted.
            let near_enough = (0.5 * wanted..2.0 * wanted).contains(&next);
            law.speed_m_s = if near_enough { next } else { wanted };
        }
        (law, found)
    }

    /// Speed of the cue ball that sends the object ball off as fast as it must go, but for throw.
    fn speed(&self, contact: &Geometry) -> f64 {
        self.acceptance.object_speed_m_s / (self.gear.passed_on() * contact.cos_cut)
    }

    /// The farthest direction of the object ball on one side, throw included: a grazing hit.
    fn farthest(&self, law: &ThrowLaw, sign: f64) -> f64 {
        let grazing = self.approach.at(self.approach.reach_rad().copysign(sign));
        self.approach.object_direction(law, &grazing).0
    }

    /// Whether throw takes a direction beyond what a grazing hit can do.
    fn thrown_out_of_reach(&self, law: &ThrowLaw, direction: f64) -> bool {
        (direction - self.farthest(law, direction)) * direction.signum() >= 0.0
    }

    fn flag(&self, law: &ThrowLaw, flags: &mut Flags) {
        flags.set(Flags::NO_CLEAN_PART, self.acceptance.clean.is_none());
        flags.set(Flags::TOO_FAST, law.speed_m_s > TOO_FAST_M_S);
    }

    /// Which way the shot is cut; a straight one as the stroke says.
    fn cut_side(&self, straight_through: &Geometry) -> Side {
        if straight_through.cut_rad().abs() > STRAIGHT_RAD {
            Side::left_if(straight_through.sin_cut > 0.0)
        } else {
            self.stroke.straight_side
        }
    }

    /// The law at the throw-free cut, a first guess of the cue ball's speed; `side` is
    /// outside-positive, so its sign follows the cut.
    fn law(&self, straight_through: &Geometry) -> ThrowLaw {
        let cut_side = self.cut_side(straight_through);
        ThrowLaw {
            contact: self.gear.contact,
            speed_m_s: self.speed(straight_through),
            roll: self.stroke.roll,
            side_right: cut_side.sign() * self.stroke.side,
        }
    }

    /// Whether θ turns back anywhere in the window.
    fn folds(&self, law: &ThrowLaw, part: &Component) -> bool {
        let reach = self.approach.reach_rad();
        let at = |theta: f64| {
            let centres = (self.centre + theta).clamp(-reach, reach);
            let g = self.approach.at(centres);
            (centres + law.throw(g.sin_cut, g.cos_cut).angle_rad).clamp(-reach, reach)
        };
        let (lo, hi) = (at(part.from_rad), at(part.to_rad));
        folds_between(&self.approach, law, lo, hi, FOLD_SAMPLES)
    }
}

/// Cuts below this count as straight, rad (1e-9 rad: rounding of the placing).
pub(super) const STRAIGHT_RAD: f64 = 1e-9;

/// One edge pulled back.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    /// As in the acceptance, to recognise an edge that two parts share.
    pub(super) asked_rad: f64,
    /// Object-ball direction relative to the centre-pocket line; the one asked for unless cut.
    pub(super) object_rad: f64,
    /// Cue-ball direction relative to the aim.
    pub(super) turn_rad: f64,
    /// Shift of the line of centres.
    pub(super) shift_rad: f64,
    /// Cut at a grazing hit.
    pub(super) cut: bool,
}

/// Both edges of a part.
#[derive(Debug, Clone, Copy)]
struct Ends {
    from: Edge,
    to: Edge,
}

/// Pulls edges back, near a solved aim.
struct Edges<'a> {
    pull: &'a Pull<'a>,
    near: &'a Near<'a>,
    law: &'a ThrowLaw,
    aim: &'a Geometry,
    direction: f64,
    /// dλ/dθ at the aim, for first guesses.
    slope: f64,
    cut_side: Side,
    /// From this far off the line between the balls an edge may lie beyond a grazing hit.
    near_grazing_rad: f64,
}

/// Edges of a solved aim, pulled back one by one.
pub(super) struct OneByOne<'a> {
    pub(super) gear: &'a Gear,
    pub(super) acceptance: &'a Acceptance,
    pub(super) stroke: &'a Stroke,
    pub(super) approach: Approach,
    pub(super) law: ThrowLaw,
    pub(super) aim: Geometry,
    /// Centre-pocket line relative to cue → object.
    pub(super) centre: f64,
    /// The target relative to it.
    pub(super) target: f64,
    pub(super) cut_side: Side,
}

impl OneByOne<'_> {
    /// Whether the direction folds in what is accepted, so that there is no window; `straight_speed` is the
    /// cue ball's without throw.
    pub(super) fn folds(&self, straight_m_s: f64) -> bool {
        let law = ThrowLaw {
            speed_m_s: straight_m_s,
            ..self.law
        };
        self.pull().folds(&law, &self.acceptance.drop)
    }

    fn pull(&self) -> Pull<'_> {
        Pull {
            gear: self.gear,
            acceptance: self.acceptance,
            stroke: self.stroke,
            approach: self.approach,
            centre: self.centre,
        }
    }

    /// An edge, relative to the centre-pocket line.
    pub(super) fn edge(&self, theta: f64) -> Option<Edge> {
        let (approach, law) = (self.approach, &self.law);
        let pull = self.pull();
        let direction = self.centre + self.target;
        let near = Near::new(&approach, law, approach.at(direction));
        let edges = Edges {
            pull: &pull,
            near: &near,
            law,
            aim: &self.aim,
            direction,
            slope: 1.0,
            cut_side: self.cut_side,
            near_grazing_rad: approach.reach_rad() - law.largest_rad(),
        };
        edges.edge(theta)
    }
}

impl Edges<'_> {
    /// An edge, relative to the centre-pocket line.
    fn edge(&self, theta: f64) -> Option<Edge> {
        let direction = self.pull.centre + theta;
        let of = |g: &Geometry, object_rad: f64, cut: bool| Edge {
            asked_rad: theta,
            object_rad,
            turn_rad: g.aim_rad - self.aim.aim_rad,
            shift_rad: g.centres_rad - self.aim.centres_rad,
            cut,
        };
        if direction.abs() >= self.near_grazing_rad {
            let approach = &self.pull.approach;
            let limit = approach.reach_rad().copysign(direction);
            let grazing = approach.at(limit);
            let (most, _) = approach.object_direction(self.law, &grazing);
            if (direction - most) * limit.signum() >= 0.0 {
                return Some(of(&grazing, most - self.pull.centre, true));
            }
        }
        let guess = self.aim.centres_rad + self.slope * (direction - self.direction);
        self.near
            .contact_for(direction, guess)
            .map(|s| of(&s.contact, theta, false))
    }

    /// The window of a part. `known` are the edges of a part inside it; equal ones need no second
    /// solving.
    fn window(
        &self,
        part: &Component,
        known: &mut Option<Ends>,
        flags: &mut Flags,
    ) -> Option<Window> {
        let again = |theta: f64, pick: fn(&Ends) -> Edge| {
            known
                .as_ref()
                .map(pick)
                .filter(|e| e.asked_rad.to_bits() == theta.to_bits())
        };
        let from = again(part.from_rad, |k| k.from).or_else(|| self.edge(part.from_rad))?;
        let to = again(part.to_rad, |k| k.to).or_else(|| self.edge(part.to_rad))?;
        *known = Some(Ends { from, to });
        between(
            from,
            to,
            self.cut_side,
            self.pull.gear.object_radius_m(),
            flags,
        )
    }
}

/// The window between two edges, `None` where nothing lies between them.
pub(super) fn between(
    from: Edge,
    to: Edge,
    cut_side: Side,
    radius: f64,
    flags: &mut Flags,
) -> Option<Window> {
    if to.object_rad <= from.object_rad {
        return None;
    }
    flags.set(Flags::TRUNCATED, from.cut || to.cut);
    flags.set(Flags::TRUNCATED, from.cut || to.cut);
    // On a left cut a fuller hit turns the aim left and the object ball right.
    let (thick, thin, sign) = if cut_side.is_left() {
        (&from, &to, 1.0)
    } else {
        (&to, &from, -1.0)
    };
    Some(Window {
        object: Component {
            from_rad: from.object_rad,
            to_rad: to.object_rad,
        },
        aim_from_rad: from.turn_rad,
        aim_to_rad: to.turn_rad,
        thick_rad: sign * thick.turn_rad,
        thin_rad: -sign * thin.turn_rad,
        thick_contact_m: -sign * radius * thick.shift_rad,
        thin_contact_m: sign * radius * thin.shift_rad,
    })
}
