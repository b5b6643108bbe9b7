//! A cushion in reach of the cue ball before it meets the object ball: the set is found forwards, ball
//! first or off one cushion first, pieces that touch are one, and the aim is its middle.
//!
//! The window keeps its form. Each direction of the cue ball is written down as the direction in which
//! a cue ball that ran straight on, through the cushion, would send the object ball; both turn
//! together, so that whoever pulls such a set back gets the directions that were found.

use kurbo::{Point, Vec2};

use super::aim::{AimWindow, Flags, Window};
use super::shot::{Shot, Stroke};
use super::solve::{STRAIGHT_RAD, solve_toward};
use super::strike::stick_at;
use crate::contact::{Geometry, ThrowLaw};
use crate::directions::{Directions, Span};
use crate::forwards::{Forwards, Lie, component};
use crate::gear::Gear;
use crate::pocket::{Acceptance, Component, How, PocketName};
use crate::units::Side;

/// Times the aim is taken anew: the stroke that goes with another aim throws a little otherwise.
const ROUNDS: u32 = 2;
/// How far the widest player errs whom the levels know, 5 σ: arm (rad) with its growth per m/s, and
/// picture (m). Directions farther off are nobody's.
const SIGMAS: f64 = 5.0;
const WIDEST_ARM_RAD: f64 = 0.017_453;
const ARM_GROWTH_PER_M_S: f64 = 0.05;
const WIDEST_PICTURE_M: f64 = 6e-3;
/// Nobody errs farther, rad: 20 degrees (assumption).
const FARTHEST_RAD: f64 = 0.35;
/// Directions lost to a cushion below this are rounding, rad: gaps this narrow are closed in what a
/// pocket accepts.
const LOST_RAD: f64 = 4e-6;

/// A shot whose places are known on the plan.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Placed<'a> {
    pub(crate) gear: &'a Gear,
    pub(crate) pocket: PocketName,
    /// Cue ball, m on the plan.
    pub(crate) cue: Point,
    /// Object ball.
    pub(crate) object: Point,
    /// All others.
    pub(crate) others: &'a [Point],
    /// From the frame of acceptance and window to the plan, rad.
    pub(crate) turned_rad: f64,
}

/// What was found.
#[derive(Debug, Clone)]
pub(crate) struct Beside {
    /// The acceptance as the window sees it.
    pub(crate) acceptance: Acceptance,
    pub(crate) window: AimWindow,
    /// Directions of the cue ball that make it, relative to the aim.
    pub(crate) directions: Directions<How>,
}

/// Whether a cushion is in reach of a cue ball that is sent at a ball: less than a ball's width lies
/// between that ball and a nose line.
pub(crate) fn near_cushion(gear: &Gear, object: Point) -> bool {
    let room_m = gear.cue_contact_radius_m() + gear.contact_distance_m();
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    let least = object.x.min(l - object.x).min(object.y).min(w - object.y);
    least < room_m
}

/// How far to both sides of an aim directions are looked at, rad.
fn range_rad(window: &AimWindow) -> f64 {
    let arm = WIDEST_ARM_RAD * (1.0 + ARM_GROWTH_PER_M_S * window.cue_speed_m_s);
    let picture = WIDEST_PICTURE_M / window.aim.travel_m;
    (SIGMAS * arm.hypot(picture)).min(FARTHEST_RAD)
}

impl<'a> Placed<'a> {
    /// The lie with the stroke of a window.
    fn forwards(&self, law: ThrowLaw, object_speed_m_s: f64) -> Forwards<'a> {
        Forwards::new(Lie {
            gear: self.gear,
            cue: self.cue,
            object: self.object,
            others: self.others,
            pocket: self.pocket,
            law,
            object_speed_m_s,
        })
    }

    /// A window with the stick that strikes where the stroke says, and what that brings.
    fn with_stick(&self, window: AimWindow, stroke: &Stroke) -> AimWindow {
        let travel_m = window.aim.travel_m;
        let struck = stroke
            .tip
            .and_then(|tip| stick_at(self.gear, &tip, window.cue_speed_m_s, travel_m));
        let Some((stick, arrival)) = struck else {
            return window;
        };
        AimWindow {
            law: ThrowLaw {
                roll: arrival.roll,
                side_right: arrival.side_right,
                ..window.law
            },
            stick: Some(stick),
            ..window
        }
    }

    /// Finds the set where a cushion plays a part; `None` where it plays none. `cue` is the cue ball
    /// in the frame of the acceptance.
    pub(crate) fn beside(
        &self,
        acceptance: &Acceptance,
        plain: &AimWindow,
        cue: Point,
        stroke: &Stroke,
    ) -> Option<Beside> {
        let mut window = *plain;
        let base_rad = acceptance.approach_rad + self.turned_rad;
        let mut forwards = self.forwards(window.law, window.object_speed_m_s);
        forwards.accept(acceptance.pieces.clone(), base_rad);
        for round in 0..ROUNDS {
            let about = window.aim_in_pocket_frame_rad() + self.turned_rad;
            let plain_set = window.cue_directions(&acceptance.pieces);
            let edges: Vec<f64> = plain_set
                .spans()
                .iter()
                .flat_map(|s| [about + s.from_rad, about + s.to_rad])
                .collect();
            let spans = forwards.spans(about, range_rad(&window), &edges);
            let part = component(&spans)?;
            if round == 0 && !touched(&forwards, about, &plain_set, &spans, &part) {
                let beyond = spans.iter().filter(|s| s.tag.1 > 0).map(|s| Span {
                    from_rad: s.from_rad,
                    to_rad: s.to_rad,
                    tag: s.tag.0,
                });
                let beyond = Directions::from_spans(beyond.collect());
                if beyond.is_empty() {
                    return None;
                }
                return drawn(acceptance, &window, &plain_set.union(&beyond), 0.0);
            }
            let middle = part.middle_rad();
            let set = spans.iter().map(|s| Span {
                from_rad: s.from_rad - middle,
                to_rad: s.to_rad - middle,
                tag: s.tag.0,
            });
            let set = Directions::from_spans(set.collect());
            let target = window.object_direction_rad(middle)?;
            let last = round + 1 == ROUNDS;
            let arriving = arriving(stroke, plain, target);
            match solve_toward(self.gear, acceptance, cue, &arriving, target) {
                Ok(next) if !last => {
                    window = self.with_stick(next, stroke);
                    forwards.strike(window.law, window.object_speed_m_s);
                }
                _ => return drawn(acceptance, &window, &set, middle),
            }
        }
        None
    }
}

/// The stroke that brings what the plain window has when it is aimed at another target: the same side of
/// the cue ball, whichever way that cuts.
fn arriving(stroke: &Stroke, plain: &AimWindow, target_rad: f64) -> Stroke {
    let toward = plain.approach.at(plain.centre_line_rad + target_rad);
    let cut_side = if toward.cut_rad().abs() > STRAIGHT_RAD {
        Side::left_if(toward.sin_cut > 0.0)
    } else {
        stroke.straight_side
    };
    Stroke {
        roll: plain.law.roll,
        side: cut_side.sign() * plain.law.side_right,
        tip: None,
        ..*stroke
    }
}

/// Whether a cushion takes part in what is aimed at: the connected part has the cue ball on a cushion
/// first, or a cushion closes some of what a straight way would make.
fn touched(
    forwards: &Forwards<'_>,
    about: f64,
    plain: &Directions<How>,
    spans: &[Span<(How, u8)>],
    part: &Component,
) -> bool {
    let inside = |s: &Span<(How, u8)>| s.from_rad >= part.from_rad && s.to_rad <= part.to_rad;
    if spans.iter().any(|s| s.tag.1 > 0 && inside(s)) {
        return true;
    }
    let straight: Vec<(f64, f64)> = spans
        .iter()
        .filter(|s| s.tag.1 == 0)
        .map(|s| (s.from_rad, s.to_rad))
        .collect();
    let lost = plain.subtract(&straight);
    lost.spans()
        .iter()
        .filter(|s| s.width_rad() > LOST_RAD)
        .any(|s| forwards.cushion_first(about + 0.5 * (s.from_rad + s.to_rad)))
}

/// The window aimed `middle` off another, with a set relative to the new aim as what makes it.
fn drawn(
    acceptance: &Acceptance,
    base: &AimWindow,
    set: &Directions<How>,
    middle: f64,
) -> Option<Beside> {
    let approach = &base.approach;
    let aim = if middle == 0.0 {
        base.aim
    } else {
        approach.sent(base.aim.aim_rad + middle)?
    };
    let throw = base.law.throw(aim.sin_cut, aim.cos_cut);
    let target_rad = aim.centres_rad - throw.angle_rad - base.centre_line_rad;
    let mut window = AimWindow {
        aim,
        throw_rad: throw.angle_rad,
        throw_slope: throw.slope,
        target_rad,
        cut_rad: approach.at(base.centre_line_rad + target_rad).cut_rad(),
        ..*base
    };
    // The end of a span beyond a grazing hit stands at the grazing hit.
    let reach_rad = (approach.contact_m / approach.apart_m).asin();
    let within = |delta: f64| (aim.aim_rad + delta).clamp(-reach_rad, reach_rad) - aim.aim_rad;
    let edges: Vec<(f64, f64)> = set
        .spans()
        .iter()
        .flat_map(|s| [s.from_rad, s.to_rad])
        .map(|delta| (delta, object_rad(&window, within(delta))))
        .collect();
    let pieces = edges
        .chunks_exact(2)
        .zip(set.spans())
        .map(|(ends, s)| Span {
            from_rad: ends[0].1.min(ends[1].1),
            to_rad: ends[0].1.max(ends[1].1),
            tag: s.tag,
        });
    let pieces = Directions::from_spans(pieces.collect());
    let acceptance = Acceptance {
        pieces: pieces.clone(),
        ..acceptance.with_open(&pieces)
    };
    let part = |c: &Component| {
        let edge = |theta: f64| {
            let known = edges.iter().find(|e| e.1.to_bits() == theta.to_bits());
            known.map(|e| within(e.0))
        };
        Some(part_of(&window, c, edge(c.from_rad)?, edge(c.to_rad)?))
    };
    let clean = acceptance.clean.as_ref().and_then(part);
    // Without an untouched part the sliver that misses the rail is not what is aimed at.
    let direct = acceptance.direct.as_ref().filter(|_| clean.is_some());
    let direct = direct.and_then(part);
    let drop = part(&acceptance.drop);
    (window.clean, window.direct, window.drop) = (clean, direct, drop);
    window.flags = window.flags.without(Flags::OUT_OF_REACH);
    window.flags = window.flags.without(Flags::NO_CLEAN_PART);
    window.flags.set(Flags::NO_CLEAN_PART, clean.is_none());
    window.flags.set(Flags::CUSHION_NEAR, true);
    Some(Beside {
        acceptance,
        window,
        directions: set.clone(),
    })
}

/// Direction of the object ball, relative to the centre-pocket line, of a cue ball that runs straight
/// on.
fn object_rad(window: &AimWindow, delta: f64) -> f64 {
    let approach = &window.approach;
    let aim_rad = window.aim.aim_rad + delta;
    let grazing = || {
        let limit = -aim_rad.signum() * (approach.contact_m / approach.apart_m).acos();
        approach.at(limit)
    };
    let contact: Geometry = approach.sent(aim_rad).unwrap_or_else(grazing);
    let throw = window.law.throw(contact.sin_cut, contact.cos_cut);
    let turned = contact.centres_rad - throw.angle_rad - window.centre_line_rad;
    Vec2::from_angle(turned).atan2()
}

/// A part with its edges as directions of the object ball (virtual) and of the cue ball.
fn part_of(window: &AimWindow, part: &Component, from: f64, to: f64) -> Window {
    let shift = |delta: f64| {
        let contact = window.approach.sent(window.aim.aim_rad + delta);
        contact.map_or(0.0, |g| g.centres_rad - window.aim.centres_rad)
    };
    let radius_m = 0.5 * window.approach.contact_m;
    // On a left cut a fuller hit turns the aim left and the object ball right.
    let (thick, thin, sign) = if window.cut_side.is_left() {
        (from, to, 1.0)
    } else {
        (to, from, -1.0)
    };
    Window {
        object: *part,
        aim_from_rad: from,
        aim_to_rad: to,
        thick_rad: sign * thick,
        thin_rad: -sign * thin,
        thick_contact_m: -sign * radius_m * shift(thick),
        thin_contact_m: sign * radius_m * shift(thin),
    }
}

/// A window whose aim is held, at other strokes, where a cushion is near the object ball.
#[derive(Debug)]
pub struct BesideRail<'a> {
    forwards: Forwards<'a>,
    about_rad: f64,
    range_rad: f64,
    turned_rad: f64,
}

impl<'a> BesideRail<'a> {
    /// For a solved shot; `None` where no cushion plays a part.
    #[must_use]
    pub fn new(gear: &'a Gear, shot: &Shot, window: &AimWindow) -> Option<Self> {
        let pocket = shot.frame.name?;
        if !window.flags.has(Flags::CUSHION_NEAR) {
            return None;
        }
        let placed = Placed {
            gear,
            pocket,
            cue: shot.frame.to_plan(shot.cue),
            object: shot.frame.to_plan(shot.object),
            others: &[],
            turned_rad: shot.frame.axis_rad,
        };
        Some(Self {
            forwards: placed.forwards(window.law, window.object_speed_m_s),
            about_rad: window.aim_in_pocket_frame_rad() + shot.frame.axis_rad,
            range_rad: range_rad(window),
            turned_rad: shot.frame.axis_rad,
        })
    }

    /// From now on with another stroke: the cue ball as it arrives, and what the pocket takes of an object
    /// ball at the speed it has when it is met first.
    pub fn strike(&mut self, law: ThrowLaw, accepted: &Acceptance) {
        let base_rad = accepted.approach_rad + self.turned_rad;
        self.forwards.strike(law, accepted.object_speed_m_s);
        self.forwards.accept(accepted.pieces.clone(), base_rad);
    }

    /// Directions of the cue ball that make it, relative to the held aim.
    #[must_use]
    pub fn directions(&self) -> Directions<How> {
        let spans = self.forwards.spans(self.about_rad, self.range_rad, &[]);
        let plain = |s: Span<(How, u8)>| Span {
            from_rad: s.from_rad,
            to_rad: s.to_rad,
            tag: s.tag.0,
        };
        Directions::from_spans(spans.into_iter().map(plain).collect())
    }

    /// Whether a cue ball sent so far off the held aim makes it with another stroke.
    #[must_use]
    pub fn makes(&mut self, law: ThrowLaw, object_speed_m_s: f64, delta_rad: f64) -> bool {
        self.forwards.strike(law, object_speed_m_s);
        let sent = self.forwards.sent(self.about_rad + delta_rad);
        sent.is_some_and(|s| s.how.is_some())
    }
}
