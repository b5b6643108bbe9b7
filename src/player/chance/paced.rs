//! A chance over the speeds that a player's stroke has: a ball that may die short pays, and one that
//! is struck hard pays through the jaws.

use std::cell::RefCell;
use std::sync::{Arc, Mutex, PoisonError};

use kurbo::Vec2;

use super::aim_error::{AimError, Scatter};
use super::caught::{chance, joined};
use super::normal::{cdf, quantile};
use super::ratios::Parts;
use crate::contact::ThrowLaw;
use crate::directions::Directions;
use crate::gear::Gear;
use crate::pocket::{Acceptance, Grain, How};
use crate::stroke::{MISCUE_SHARE, Stick};
use crate::window::{
    AimWindow, BesideRail, Flags, Mouth, Shot, Solution, Tip, at, contact_speed_m_s,
    start_speed_m_s, stick_of,
};

/// Quantiles of the speeds above the slowest that drops, at which the chance is worked out first.
const QUANTILES: [f64; 3] = [1.0 / 6.0, 0.5, 5.0 / 6.0];
/// Where the middle one of the three chances is off the mean of the others by more than half of this, more
/// speeds are looked at: what the three would be off by is a fifth of it where the chance bends evenly.
const BEND: f64 = 0.015;
/// Where more strokes than this die short, the chance breaks off among those that are looked at: it falls from
/// one and a half spreads of speed above that on.
const BREAKS_OFF: f64 = 5e-5;
/// Where more strokes than this die short, it tells what other errors of the aim make of them.
const TELLS: f64 = 0.002;
/// A part of the speeds may be off by about this.
const OFF: f64 = 0.003;
/// Parts that are cut in three again, at most.
const CUTS: u32 = 6;
/// More than this share dying short is never.
const NEVER: f64 = 1.0 - 1e-9;
/// Spreads of speed beyond which a stroke never is: Φ(−6) is 1e-9.
const FAR: f64 = 6.0;
/// Strokes looked at for the slowest that drops, as shares of the intended one.
const SLOWEST: f64 = 0.05;
const FASTEST: f64 = 3.0;
/// Step of the look upwards, as a share.
const STEP: f64 = 0.02;
/// Halvings to the slowest stroke, at most: 1e-6 of the intended one.
const HALVINGS: u32 = 20;
/// The share that dies short is found to this.
const SHORT: f64 = 1e-7;
/// Gaps narrower than this are rounding, rad.
const TAKEN_RAD: f64 = 1e-9;
/// Edges this near to each other are one, rad.
const SAME_RAD: f64 = 1e-7;
/// Speeds closer than this are one, as a share: a thousandth of a millionth of a chance at most.
const SAME_SHARE: f64 = 1e-9;
/// Step for the effect of elevation, rad.
const TILT_RAD: f64 = 1e-3;

/// A shot aimed and struck: all that a chance over speeds needs.
#[derive(Debug, Clone, Copy)]
pub struct Aimed<'a> {
    /// The equipment.
    pub gear: &'a Gear,
    /// The shot, its pocket and places.
    pub shot: &'a Shot,
    /// What the pocket takes as intended, where it is at hand.
    pub acceptance: Option<&'a Acceptance>,
    /// The window as intended; its aim is held.
    pub window: &'a AimWindow,
    /// How the cue ball is struck; without a stick roll and side arrive as the window has them at
    /// every speed, and neither squirts nor swerves.
    pub stick: Option<Stick>,
    /// How much a stance widens the arm's part of the error; 1 at ease.
    pub arm_times: f64,
    /// The aim is turned by so much off the window's, rad, counter-clockwise positive.
    pub turn_rad: f64,
    /// Cue-ball directions relative to the window's aim that other balls leave open, sorted, rad; all
    /// where nothing stands in the way.
    pub open_rad: Option<&'a [(f64, f64)]>,
}

/// Spread of the cue ball's direction and its parts, rad; they add as squares.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spread {
    /// The stroke.
    pub arm_rad: f64,
    /// The sighting.
    pub picture_rad: f64,
    /// Squirt and swerve that are misjudged.
    pub allow_rad: f64,
    /// Elevation of the stick, by the swerve that it makes.
    pub elevation_rad: f64,
}

impl Spread {
    /// The same where arm and picture stand to each other in another way.
    #[must_use]
    pub fn at_ratio(&self, parts: &Parts) -> Self {
        Self {
            arm_rad: self.arm_rad * parts.arm,
            picture_rad: self.picture_rad * parts.picture,
            ..*self
        }
    }

    /// Chance of a player with this spread, over the ratios of arm and picture that the tries allow,
    /// that a window catches the cue ball; directions relative to the aim, rad.
    fn caught(&self, intervals_rad: &[(f64, f64)], player: &AimError) -> f64 {
        player.over_ratios(|parts| {
            let sigma_rad = self.at_ratio(parts).total_rad();
            chance(intervals_rad, sigma_rad, player.bias_rad)
        })
    }

    /// All of them together.
    #[must_use]
    pub fn total_rad(&self) -> f64 {
        self.arm_rad
            .hypot(self.picture_rad)
            .hypot(self.allow_rad)
            .hypot(self.elevation_rad)
    }
}

/// A player's chance and what it is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paced {
    /// Chance to make it.
    pub chance: f64,
    /// What three speeds above the slowest that drops make of it.
    pub by_three: f64,
    /// Chance with the speed as intended.
    pub as_intended: f64,
    /// How often the stroke is too soft for the ball to drop on the held aim.
    pub dies_short: f64,
    /// Slowest stroke that drops on the held aim, as a share of the intended one; infinite where none
    /// does. Looked for as far as it tells in `dies_short`.
    pub slowest: f64,
    /// Spread of the cue ball's direction as intended.
    pub spread: Spread,
}

/// What a stroke of one speed brings to the contact.
#[derive(Debug, Clone, Copy)]
struct Brought {
    law: ThrowLaw,
    /// Direction of the way to the contact off the stick's line, rad.
    off_rad: f64,
    /// Direction of travel there, off the stick's line, rad.
    travels_rad: f64,
}

/// A shot's pocket, and what it takes at the speeds that were asked for: solved once each, whichever
/// aim and player ask.
#[derive(Debug)]
pub(super) struct Takes {
    mouth: Mouth,
    grain: Grain,
    known: Mutex<Vec<(u64, Option<Arc<Acceptance>>)>>,
}

impl Takes {
    pub(super) fn new(gear: &Gear, shot: &Shot) -> Self {
        Self {
            mouth: Mouth::new(gear, shot),
            grain: Grain::Fine,
            known: Mutex::default(),
        }
    }

    /// For chances that are compared with each other.
    fn rough(gear: &Gear, shot: &Shot) -> Self {
        Self {
            grain: Grain::Rough,
            ..Self::new(gear, shot)
        }
    }

    fn at(&self, speed_m_s: f64) -> Option<Arc<Acceptance>> {
        let key = speed_m_s.to_bits();
        let known = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, taken)) = known().iter().find(|(k, _)| *k == key) {
            return taken.clone();
        }
        let taken = self.mouth.takes(speed_m_s, self.grain).map(Arc::new);
        known().push((key, taken.clone()));
        taken
    }
}

/// What all speeds of one shot share.
struct Held<'a> {
    aimed: &'a Aimed<'a>,
    takes: &'a Takes,
    beside: Option<RefCell<BesideRail<'a>>>,
    /// Way to the contact as intended, off the stick's line.
    intended_rad: f64,
    /// Turn of the direction of travel for a radian more of elevation.
    tilted: f64,
    player: AimError,
}

impl<'a> Aimed<'a> {
    /// A solved shot, aimed at its window's target, the stick as its stroke has it: where the tip
    /// strikes, or what brings that which shall arrive.
    #[must_use]
    pub fn new(gear: &'a Gear, shot: &'a Shot, window: &'a AimWindow) -> Self {
        let hold = Tip::centre_on(gear).hold();
        Self {
            gear,
            shot,
            acceptance: None,
            window,
            stick: window.stick.or_else(|| stick_of(gear, window, hold).ok()),
            arm_times: 1.0,
            turn_rad: 0.0,
            open_rad: None,
        }
    }

    /// The same of a solution; `None` where there is no window.
    #[must_use]
    pub fn of(gear: &'a Gear, shot: &'a Shot, solution: &'a Solution) -> Option<Self> {
        let window = solution.window.as_ref().ok()?;
        Some(Self {
            acceptance: solution.acceptance.as_ref(),
            ..Self::new(gear, shot, window)
        })
    }

    /// The chance of a player over the speeds of their stroke.
    ///
    /// With s the relative spread of speed, k the slowest stroke that drops and `F = Φ((k−1)/s)`:
    /// `P = (1 − F) × mean of P at the 1/6, 1/2 and 5/6 quantiles of the speeds above k`. Where these three
    /// bend, or the chance breaks off among them, the parts they stand for are cut finer until their middles
    /// do stand for them, and what other errors of the aim make below k is added.
    #[must_use]
    pub fn chance(&self, player: &AimError) -> Paced {
        self.chance_in(&Takes::new(self.gear, self.shot), player)
    }

    /// The same of a pocket that is asked by others too.
    pub(super) fn chance_in(&self, takes: &Takes, player: &AimError) -> Paced {
        let spread = player.scatter.speed_share;
        let player = player.with_arm_times(self.arm_times);
        if spread <= 0.0 && self.acceptance.is_some() {
            return self.as_intended(&player);
        }
        let held = self.held(takes, player);
        let slowest = slowest_that_drops(spread, |share| held.falls(share));
        held.over_speeds(spread, slowest)
    }

    /// The chance by three speeds and no more, edges to a millionth: for what changes from table to table or from
    /// shot to shot ([`Paced::by_three`]).
    #[must_use]
    pub fn chance_by_three(&self, player: &AimError) -> f64 {
        let spread = player.scatter.speed_share;
        let takes = Takes::rough(self.gear, self.shot);
        let held = self.held(&takes, player.with_arm_times(self.arm_times));
        let slowest = slowest_that_drops(spread, |share| held.falls(share));
        let dies_short = short_of(spread, slowest);
        by_three(spread, dies_short, |share| held.chance_at(share)).chance(dies_short)
    }

    /// The same as [`Aimed::chance`] where the slowest stroke that drops is known from the right aim: of an aim that lies
    /// beside the pocket none drops, and what it makes it makes by its scatter.
    #[must_use]
    pub fn chance_with(&self, player: &AimError, slowest: f64) -> Paced {
        let spread = player.scatter.speed_share;
        let takes = Takes::new(self.gear, self.shot);
        self.held(&takes, player.with_arm_times(self.arm_times))
            .over_speeds(spread, slowest)
    }

    /// What all speeds share.
    fn held<'b>(&'b self, takes: &'b Takes, player: AimError) -> Held<'b> {
        Held {
            aimed: self,
            takes,
            beside: self.beside(),
            intended_rad: self.brought(1.0).map_or(0.0, |b| b.off_rad),
            tilted: self.tilted(),
            player,
        }
    }

    /// The chance with the speed as intended: the same but for what speed does, at a tenth of the work,
    /// for maps and searches.
    #[must_use]
    pub fn quick(&self, player: &AimError) -> f64 {
        let player = player.with_arm_times(self.arm_times);
        self.spread_of(self.brought(1.0), self.tilted(), &player)
            .caught(&self.as_intended_rad(), &player)
    }

    /// Without a spread of speed: what the window of the intended stroke catches, as far as the aim
    /// lies in it.
    fn as_intended(&self, player: &AimError) -> Paced {
        let spread = self.spread_of(self.brought(1.0), self.tilted(), player);
        let intervals = self.as_intended_rad();
        let inside = intervals.iter().any(|(lo, hi)| (*lo..=*hi).contains(&0.0));
        let caught = spread.caught(&intervals, player);
        let chance = if inside { caught } else { 0.0 };
        Paced {
            chance,
            by_three: chance,
            as_intended: caught,
            dies_short: f64::from(u8::from(!inside)),
            slowest: if inside { 1.0 } else { f64::INFINITY },
            spread,
        }
    }

    /// Directions that drop with the stroke as intended, relative to the held aim, rad.
    #[must_use]
    pub fn as_intended_rad(&self) -> Vec<(f64, f64)> {
        let Some(acceptance) = self.acceptance else {
            return self.intervals_rad(1.0);
        };
        let pulled = self.pulled_back(self.window, acceptance, 0.0);
        if !self.window.flags.has(Flags::CUSHION_NEAR) {
            return pulled;
        }
        // What drops beyond a grazing hit, off a cushion first, has no direction of the object ball, so it is
        // found forwards. Edges that can be pulled back are the finer ones.
        let finer = |edge: f64| {
            let mut known = pulled.iter().flat_map(|(a, b)| [*a, *b]);
            known.find(|p| (p - edge).abs() < SAME_RAD).unwrap_or(edge)
        };
        let found = self.intervals_rad(1.0).into_iter();
        found.map(|(a, b)| (finer(a), finer(b))).collect()
    }

    /// The cue ball at the contact for a stroke `share` of the intended; `None` when it stops short.
    fn brought(&self, share: f64) -> Option<Brought> {
        let window = self.window;
        let travel_m = window.aim.travel_m;
        let Some(stick) = self.stick else {
            let cloth = &self.gear.cloth;
            let law = window.law;
            let start = start_speed_m_s(cloth, law.speed_m_s, law.roll, travel_m);
            let speed_m_s = contact_speed_m_s(cloth, share * start, law.roll, travel_m)?;
            return Some(Brought {
                law: ThrowLaw { speed_m_s, ..law },
                off_rad: 0.0,
                travels_rad: 0.0,
            });
        };
        let struck = Stick {
            speed_m_s: share * stick.speed_m_s,
            ..stick
        };
        let mark = at(self.gear, &struck, travel_m)?;
        Some(Brought {
            law: ThrowLaw {
                speed_m_s: mark.arrival.speed_m_s,
                roll: mark.arrival.roll,
                side_right: mark.arrival.side_right,
                ..window.law
            },
            off_rad: mark.left_m.atan2(mark.along_m),
            travels_rad: mark.arrival.direction_rad,
        })
    }

    /// The window at another speed, aim held.
    fn window_at(&self, brought: &Brought) -> AimWindow {
        let aim = &self.window.aim;
        let throw = brought.law.throw(aim.sin_cut, aim.cos_cut);
        AimWindow {
            law: brought.law,
            cue_speed_m_s: brought.law.speed_m_s,
            object_speed_m_s: self.gear.passed_on() * brought.law.speed_m_s * aim.cos_cut
                / throw.angle_rad.cos(),
            ..*self.window
        }
    }

    /// Intervals of cue-ball directions relative to the held aim that drop at one speed.
    #[must_use]
    pub fn intervals_rad(&self, share: f64) -> Vec<(f64, f64)> {
        let intended = self.brought(1.0).map_or(0.0, |b| b.off_rad);
        self.intervals_of(
            &Takes::new(self.gear, self.shot),
            self.beside().as_ref(),
            intended,
            share,
        )
    }

    /// Where a cushion plays a part: what is found forwards at each speed.
    fn beside(&self) -> Option<RefCell<BesideRail<'_>>> {
        BesideRail::new(self.gear, self.shot, self.window).map(RefCell::new)
    }

    fn intervals_of(
        &self,
        takes: &Takes,
        beside: Option<&RefCell<BesideRail<'_>>>,
        intended_rad: f64,
        share: f64,
    ) -> Vec<(f64, f64)> {
        let as_intended = (share - 1.0).abs() < f64::EPSILON;
        let Some(brought) = self.brought(share) else {
            return Vec::new();
        };
        let window = if as_intended {
            *self.window
        } else {
            self.window_at(&brought)
        };
        let Some(acceptance) = takes.at(window.object_speed_m_s) else {
            return Vec::new();
        };
        let turn = brought.off_rad - intended_rad;
        match beside {
            Some(beside) => {
                let mut beside = beside.borrow_mut();
                beside.strike(window.law, &acceptance);
                self.as_seen(&beside.directions(), turn)
            }
            None => self.pulled_back(&window, &acceptance, turn),
        }
    }

    /// What a window takes, as seen from the held aim, `turn` being what the way turns at its speed.
    fn pulled_back(
        &self,
        window: &AimWindow,
        acceptance: &Acceptance,
        turn_rad: f64,
    ) -> Vec<(f64, f64)> {
        self.as_seen(&window.cue_directions(&acceptance.pieces), turn_rad)
    }

    /// Directions of the cue ball relative to the window's aim, as seen from the held aim.
    fn as_seen(&self, directions: &Directions<How>, turn_rad: f64) -> Vec<(f64, f64)> {
        let turn = turn_rad + self.turn_rad;
        let spans: Vec<(f64, f64)> = directions
            .spans()
            .iter()
            .map(|s| (s.from_rad - turn, s.to_rad - turn))
            .collect();
        let Some(open) = self.open_rad else {
            return joined(&spans).collect();
        };
        let mut left = Vec::with_capacity(open.len());
        for (lo, hi) in joined(&spans) {
            for (from, to) in open {
                let (a, b) = (lo.max(from - turn), hi.min(to - turn));
                if a < b {
                    left.push((a, b));
                }
            }
        }
        left
    }

    /// Turn of the direction of travel at the contact for a radian more of elevation; none without a
    /// stick, or where it strikes the ball's upright line.
    fn tilted(&self) -> f64 {
        let sided = self.stick.filter(|s| s.across_m != 0.0);
        sided.map_or(0.0, |s| tilted(self.gear, &s, self.window.aim.travel_m))
    }

    /// Spread of the cue ball's direction:
    /// `σ² = arm² + (picture/t_c)² + allow²(q² + s²) + (dα/dε σ_ε)²`, q the squirt and s the swerve
    /// by contact, both as directions of travel.
    fn spread_of(&self, brought: Option<Brought>, tilted: f64, player: &AimError) -> Spread {
        let speed = brought.map_or(self.window.cue_speed_m_s, |b| b.law.speed_m_s);
        let (scatter, travel_m) = (&player.scatter, self.window.aim.travel_m);
        let mut spread = Spread {
            arm_rad: player.arm_at_rad(speed),
            picture_rad: if player.picture_m > 0.0 {
                player.picture_m / travel_m
            } else {
                0.0
            },
            ..Spread::default()
        };
        let misjudged = match (self.stick, brought) {
            (_, None) => return spread,
            (Some(stick), Some(brought)) => Misjudged {
                squirt_rad: stick.squirt_rad(self.gear.cue_radius_m()),
                travels_rad: brought.travels_rad,
                tilted,
            },
            (None, Some(brought)) => Misjudged::at_least(self.gear, brought.law.side_right),
        };
        (spread.allow_rad, spread.elevation_rad) = misjudged.parts_rad(scatter);
        spread
    }

    /// Spread of the cue ball's direction for a player, the stroke as intended.
    #[must_use]
    pub fn spread(&self, player: &AimError) -> Spread {
        let player = player.with_arm_times(self.arm_times);
        self.spread_of(self.brought(1.0), self.tilted(), &player)
    }
}

/// What is misjudged of a stroke with side: `allow²(q² + s²) + (dα/dε σ_ε)²`, q the squirt and s the swerve.
struct Misjudged {
    squirt_rad: f64,
    /// Direction of travel at the contact, off the stick's line.
    travels_rad: f64,
    /// Its turn for a radian more of elevation.
    tilted: f64,
}

impl Misjudged {
    /// Where no stick brings what is asked: the squirt of the least that has to be struck for this side,
    /// `w = 2.5 b/R` with nothing lost on the way, as far as a tip holds.
    fn at_least(gear: &Gear, side_right: f64) -> Self {
        let radius_m = gear.cue_radius_m();
        let share = (side_right / 2.5).clamp(-MISCUE_SHARE, MISCUE_SHARE);
        let stick = Stick {
            across_m: share * radius_m,
            ..Stick::centre(1.0)
        };
        let squirt_rad = stick.squirt_rad(radius_m);
        Self {
            squirt_rad,
            travels_rad: squirt_rad,
            tilted: 0.0,
        }
    }

    /// The two parts of the spread, rad.
    fn parts_rad(&self, scatter: &Scatter) -> (f64, f64) {
        let swerve_rad = self.travels_rad - self.squirt_rad;
        (
            scatter.allow * self.squirt_rad.hypot(swerve_rad),
            (self.tilted * scatter.elevation_rad).abs(),
        )
    }
}

/// Turn of the direction of travel at the contact for a radian more of elevation.
fn tilted(gear: &Gear, stick: &Stick, travel_m: f64) -> f64 {
    let off = |by: f64| {
        let tilted = Stick {
            elevation_rad: stick.elevation_rad + by,
            ..*stick
        };
        at(gear, &tilted, travel_m).map_or(0.0, |m| m.arrival.direction_rad)
    };
    (off(TILT_RAD) - off(-TILT_RAD)) / (2.0 * TILT_RAD)
}

/// What side adds to the spread of a stroke as intended, squirt and curve misjudged: the parts that
/// [`Spread`] calls allow and elevation, rad; 0 without side.
#[must_use]
pub fn side_spread_rad(gear: &Gear, window: &AimWindow, scatter: &Scatter) -> f64 {
    let hold = Tip::centre_on(gear).hold();
    let stick = window.stick.or_else(|| stick_of(gear, window, hold).ok());
    let misjudged = match stick {
        None => Misjudged::at_least(gear, window.law.side_right),
        Some(stick) if stick.across_m == 0.0 => return 0.0,
        Some(stick) => {
            let travel_m = window.aim.travel_m;
            let squirt_rad = stick.squirt_rad(gear.cue_radius_m());
            let arrives = at(gear, &stick, travel_m);
            Misjudged {
                squirt_rad,
                travels_rad: arrives.map_or(squirt_rad, |m| m.arrival.direction_rad),
                tilted: tilted(gear, &stick, travel_m),
            }
        }
    };
    let (allow, elevation) = misjudged.parts_rad(scatter);
    allow.hypot(elevation)
}

/// Directions that something leaves open, of `all` that would go it leaves `left`; both sorted.
/// Beyond what would go nothing is known to stand, so it counts as open.
#[must_use]
pub fn left_open(all: &[(f64, f64)], left: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut open = Vec::with_capacity(left.len() + 1);
    let mut from = -std::f64::consts::PI;
    for &(lo, hi) in all {
        // What is taken of this interval ends an open stretch and begins another.
        let mut at = lo;
        for &(a, b) in left.iter().filter(|(a, b)| *b > lo && *a < hi) {
            if a - at > TAKEN_RAD {
                open.push((from, at));
                from = a;
            }
            at = b;
        }
        if hi - at > TAKEN_RAD {
            open.push((from, at));
            from = hi;
        }
    }
    open.push((from, std::f64::consts::PI));
    open
}

impl Held<'_> {
    fn over_speeds(&self, spread: f64, slowest: f64) -> Paced {
        let as_intended = self.chance_at(1.0);
        // Where hardly a stroke dies short, the middle speed is the intended one.
        let at = |share: f64| {
            if (share - 1.0).abs() < SAME_SHARE {
                as_intended
            } else {
                self.chance_at(share)
            }
        };
        let strokes = over_speeds(spread, slowest, at);
        Paced {
            chance: strokes.chance,
            by_three: strokes.by_three,
            as_intended,
            dies_short: strokes.dies_short,
            slowest,
            spread: self.spread(1.0),
        }
    }

    fn spread(&self, share: f64) -> Spread {
        let brought = self.aimed.brought(share);
        self.aimed.spread_of(brought, self.tilted, &self.player)
    }

    fn chance_at(&self, share: f64) -> f64 {
        if share <= 0.0 {
            return 0.0;
        }
        let intervals = match self.aimed.acceptance.filter(|_| self.beside.is_none()) {
            Some(_) if (share - 1.0).abs() < f64::EPSILON => self.aimed.as_intended_rad(),
            _ => {
                self.aimed
                    .intervals_of(self.takes, self.beside.as_ref(), self.intended_rad, share)
            }
        };
        self.spread(share).caught(&intervals, &self.player)
    }

    /// Whether the object ball drops on the held aim at a share of the stroke.
    fn falls(&self, share: f64) -> bool {
        let aimed = self.aimed;
        let Some(brought) = aimed.brought(share) else {
            return false;
        };
        let window = aimed.window_at(&brought);
        let turn = brought.off_rad - self.intended_rad + aimed.turn_rad;
        if let Some(beside) = &self.beside {
            return beside
                .borrow_mut()
                .makes(brought.law, window.object_speed_m_s, turn);
        }
        let Some(theta) = window.object_direction_rad(turn) else {
            return false;
        };
        let object = aimed.shot.object;
        let approach_rad = (-object.y).atan2(-object.x);
        let v = Vec2::from_angle(approach_rad + theta) * window.object_speed_m_s;
        self.takes.mouth.drops(v)
    }
}

/// Slowest stroke that drops on the held aim, as a share of the intended one and as far as a spread of
/// speed can tell; `drops` says whether one does. Infinite where none does.
#[must_use]
pub fn slowest_that_drops(spread: f64, drops: impl Fn(f64) -> bool) -> f64 {
    let (mut fails, mut falls) = (SLOWEST.max(1.0 - FAR * spread), 1.0);
    if drops(1.0) {
        if spread <= 0.0 {
            return 1.0;
        }
        if drops(fails) {
            return fails;
        }
    } else {
        let most = FASTEST.min(1.0 + (FAR + 0.5) * spread);
        let mut share = 1.0 + STEP;
        while !drops(share) {
            share += STEP;
            if share > most {
                return f64::INFINITY;
            }
        }
        (fails, falls) = (share - STEP, share);
    }
    let short = |share: f64| {
        if spread > 0.0 {
            cdf((share - 1.0) / spread)
        } else {
            share
        }
    };
    for _ in 0..HALVINGS {
        if short(falls) - short(fails) < SHORT {
            break;
        }
        let middle = 0.5 * (fails + falls);
        if drops(middle) {
            falls = middle;
        } else {
            fails = middle;
        }
    }
    falls
}

/// A chance over speeds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OverSpeeds {
    /// Of all strokes.
    pub chance: f64,
    /// What three speeds above the slowest that drops make of it.
    pub by_three: f64,
    /// Share of strokes too soft to drop.
    pub dies_short: f64,
}

/// Chances at the three speeds that are looked at first.
struct Three([f64; 3]);

impl Three {
    /// What they make of all strokes, those that die short making nothing.
    fn chance(&self, dies_short: f64) -> f64 {
        (1.0 - dies_short) * self.0.iter().sum::<f64>() / 3.0
    }

    fn bend(&self) -> f64 {
        let [slow, middle, fast] = self.0;
        slow - 2.0 * middle + fast
    }
}

/// The share of strokes softer than the slowest that drops.
fn short_of(spread: f64, slowest: f64) -> f64 {
    if spread > 0.0 {
        cdf((slowest - 1.0) / spread)
    } else {
        f64::from(u8::from(slowest > 1.0))
    }
}

/// The share of the intended speed that `softer` of all strokes are softer than.
fn share_at(spread: f64, softer: f64) -> f64 {
    (1.0 + spread * quantile(softer)).max(SLOWEST)
}

fn by_three(spread: f64, dies_short: f64, at: impl Fn(f64) -> f64) -> Three {
    if dies_short > NEVER {
        return Three([0.0; 3]);
    }
    if spread <= 0.0 {
        return Three([at(1.0); 3]);
    }
    Three(QUANTILES.map(|q| at(share_at(spread, dies_short + q * (1.0 - dies_short)))))
}

/// The chance over speeds that spread by a share round the intended one: `at` gives the chance at a
/// share of the intended speed. See [`Aimed::chance`] for the rule.
#[must_use]
pub fn over_speeds(spread: f64, slowest: f64, at: impl Fn(f64) -> f64) -> OverSpeeds {
    let dies_short = short_of(spread, slowest);
    let three = by_three(spread, dies_short, &at);
    let by_three = three.chance(dies_short);
    let of_all = |chance| OverSpeeds {
        chance,
        by_three,
        dies_short,
    };
    let agree = three.bend().abs() < BEND && dies_short < BREAKS_OFF;
    if agree || spread <= 0.0 || dies_short > NEVER {
        return of_all(by_three);
    }
    let look = &|q: f64| at(share_at(spread, q));
    let mut above = Part::thirds(dies_short, 1.0, three.0);
    if dies_short > BREAKS_OFF {
        cut(&mut above, 0, look);
    }
    // A jaw that turns the hardest away shows only at the end.
    for _ in 0..2 {
        let last = above.len() - 1;
        cut(&mut above, last, look);
    }
    let below = if dies_short > TELLS {
        let chances = QUANTILES.map(|q| look(q * dies_short));
        integral(Part::thirds(0.0, dies_short, chances), look)
    } else {
        0.0
    };
    of_all(below + integral(above, look))
}

/// Strokes from one softness to another, as shares of all from the softest on, and the chance at the
/// middle one.
#[derive(Debug, Clone, Copy)]
struct Part {
    from: f64,
    to: f64,
    chance: f64,
}

impl Part {
    /// Three of one width with the chances at their middles.
    fn thirds(from: f64, to: f64, chances: [f64; 3]) -> Vec<Self> {
        let third = (to - from) / 3.0;
        let starts = [from, from + third, to - third];
        let ends = [from + third, to - third, to];
        let parts = starts.into_iter().zip(ends).zip(chances);
        parts
            .map(|((from, to), chance)| Self { from, to, chance })
            .collect()
    }

    fn middle(&self) -> f64 {
        0.5 * (self.from + self.to)
    }

    /// What it adds to the mean.
    fn holds(&self) -> f64 {
        (self.to - self.from) * self.chance
    }

    /// How far its chance is off the line through two others, times its width.
    fn off_line(&self, one: &Self, other: &Self) -> f64 {
        let slope = (other.chance - one.chance) / (other.middle() - one.middle());
        let on_line = one.chance + slope * (self.middle() - one.middle());
        ((self.chance - on_line) * (self.to - self.from)).abs()
    }
}

/// Cuts a part in three, two of which are looked at.
fn cut(parts: &mut Vec<Part>, which: usize, look: impl Fn(f64) -> f64) {
    let Part { from, to, chance } = parts[which];
    let sixth = (to - from) / 6.0;
    let finer = Part::thirds(from, to, [look(from + sixth), chance, look(to - sixth)]);
    parts.splice(which..=which, finer);
}

/// The chance over parts of the speeds, those cut in three again whose middle stands least for the whole,
/// as the neighbours have it: where the chance breaks off, more speeds are looked at.
fn integral(mut parts: Vec<Part>, look: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..CUTS {
        let last = parts.len() - 1;
        let off = |k: usize| {
            let (one, other) = match k {
                0 => (1, 2),
                k if k == last => (k - 2, k - 1),
                k => (k - 1, k + 1),
            };
            parts[k].off_line(&parts[one], &parts[other])
        };
        let worst = (0..=last).max_by(|a, b| off(*a).total_cmp(&off(*b)));
        let Some(worst) = worst.filter(|k| off(*k) > OFF) else {
            break;
        };
        cut(&mut parts, worst, &look);
    }
    parts.iter().map(Part::holds).sum()
}
