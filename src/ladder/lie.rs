//! One object ball before one pocket, and the chance from any cue-ball place.

use kurbo::{Point, Vec2};

use crate::gear::Gear;
use crate::motion::BallBody;
use crate::player::{AimError, chance_of};
use crate::pocket::{Acceptance, PocketFrame, PocketKind, PocketName, PocketShape, accept};
use crate::units::Position;
use crate::window::{AimWindow, Flags, Stroke, solve_with};

/// Nearest the cue ball starts to the ghost ball, m (assumption: nearer, the cue comes in the way
/// and the picture part of the aim error means nothing).
const NEAREST_TRAVEL_M: f64 = 0.15;

/// The table as the search sees it.
#[derive(Debug, Clone)]
pub(super) struct Room<'a> {
    pub(super) gear: &'a Gear,
    pub(super) stroke: Stroke,
    pub(super) player: AimError,
    object: BallBody,
    cue: BallBody,
    shapes: [PocketShape; 2],
}

/// An object ball that drops into a pocket.
#[derive(Debug, Clone)]
pub(super) struct Lie {
    pub(super) pocket: PocketName,
    /// Object ball on the plan.
    pub(super) at: Point,
    pub(super) frame: PocketFrame,
    pub(super) acceptance: Acceptance,
}

/// A shot with the numbers that make it easy or hard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scored {
    /// Cue ball.
    pub cue: Position,
    /// Object ball.
    pub object: Position,
    /// Pocket.
    pub pocket: PocketName,
    /// Chance, 0 to 1.
    pub chance: f64,
    /// Throw-free cut, left positive, rad.
    pub cut_rad: f64,
    /// Cue ball to ghost ball, m.
    pub travel_m: f64,
    /// Object ball to the middle of the mouth, m.
    pub to_pocket_m: f64,
    /// Off square to the pocket's axis, rad, unsigned.
    pub off_square_rad: f64,
    /// Size of what the pocket takes, across the way, m.
    pub opening_m: f64,
    /// Spread of the player's aim on this shot, rad.
    pub sigma_rad: f64,
    /// Speed of the cue ball at contact, m/s.
    pub cue_speed_m_s: f64,
    /// What throw does to the window, as a factor.
    pub throw_factor: f64,
}

impl<'a> Room<'a> {
    pub(super) fn new(gear: &'a Gear, stroke: Stroke, player: AimError) -> Self {
        let object = BallBody::object(gear);
        let shape = |kind| PocketShape::new(gear, kind, &object);
        Self {
            gear,
            stroke,
            player,
            object,
            cue: BallBody::cue(gear),
            shapes: [shape(PocketKind::Corner), shape(PocketKind::Side)],
        }
    }

    /// The object ball at a point; `None` where it overlaps a cushion or does not drop.
    pub(super) fn lie(&self, at: Point, pocket: PocketName) -> Option<Lie> {
        if !self.on_table(at, &self.object) {
            return None;
        }
        let frame = pocket.frame(self.gear);
        let shape = &self.shapes[usize::from(frame.kind == PocketKind::Side)];
        let local = frame.to_pocket(at);
        let pace = self.stroke.pace_m_s;
        let acceptance = accept(shape, &self.gear.cloth, &self.object, local, pace)
            .ok()?
            .ok()?;
        Some(Lie {
            pocket,
            at,
            frame,
            acceptance,
        })
    }

    /// The same table for another player.
    pub(super) fn of(&self, player: AimError) -> Self {
        Self {
            player,
            ..self.clone()
        }
    }

    fn on_table(&self, at: Point, body: &BallBody) -> bool {
        let (l, w, rho) = (
            self.gear.bed.length_m,
            self.gear.bed.width_m,
            body.plan_radius_m - 1e-9,
        );
        (rho..=l - rho).contains(&at.x) && (rho..=w - rho).contains(&at.y)
    }

    /// Where a place is for the cue ball and for the object ball.
    pub(super) fn cue_point(&self, place: Position) -> Option<Point> {
        super::place::locate(place, &self.gear.bed, self.cue.plan_radius_m)
    }

    pub(super) fn object_point(&self, place: Position) -> Option<Point> {
        super::place::locate(place, &self.gear.bed, self.object.plan_radius_m)
    }

    /// Unsigned cut (rad) towards the middle of the pocket and the cue ball's way (m), before any
    /// window; `None` where the cue ball cannot get behind the object ball.
    pub(super) fn geometry(&self, lie: &Lie, cue: Point) -> Option<(f64, f64)> {
        let away = lie.frame.mouth_middle - lie.at;
        let forward = away / away.hypot();
        let ghost = lie.at - forward * self.gear.contact_distance_m();
        if !self.on_table(cue, &self.cue) || !self.on_table(ghost, &self.cue) {
            return None;
        }
        let way = ghost - cue;
        let cut = way.cross(forward).atan2(way.dot(forward)).abs();
        let travel_m = way.hypot();
        (travel_m >= NEAREST_TRAVEL_M).then_some((cut, travel_m))
    }

    /// The window from a cue-ball point; `None` where there is none worth playing.
    pub(super) fn window(&self, lie: &Lie, cue: Point) -> Option<AimWindow> {
        let local = lie.frame.to_pocket(cue);
        let window = solve_with(self.gear, &lie.acceptance, local, &self.stroke).ok()?;
        let spoilt = [Flags::TOO_FAST, Flags::OUT_OF_REACH, Flags::TRUNCATED]
            .into_iter()
            .any(|f| window.flags.has(f));
        (!spoilt).then_some(window)
    }

    /// The player's chance from a cue-ball point, 0 without a window.
    pub(super) fn chance(&self, lie: &Lie, cue: Point) -> f64 {
        self.window(lie, cue)
            .map_or(0.0, |w| chance_of(&lie.acceptance, &w, &self.player))
    }

    /// The shot with its numbers.
    pub(super) fn score(&self, lie: &Lie, cue: Position, object: Position) -> Option<Scored> {
        let window = self.window(lie, self.cue_point(cue)?)?;
        let acceptance = &lie.acceptance;
        Some(Scored {
            cue,
            object,
            pocket: lie.pocket,
            chance: chance_of(acceptance, &window, &self.player),
            cut_rad: window.cut_rad,
            travel_m: window.aim.travel_m,
            to_pocket_m: acceptance.distance_m,
            off_square_rad: acceptance.approach_rad.abs(),
            opening_m: acceptance.effective_size_m(&acceptance.drop),
            sigma_rad: self
                .player
                .sigma_rad(window.aim.travel_m, window.cue_speed_m_s),
            cue_speed_m_s: window.cue_speed_m_s,
            throw_factor: crate::window::why(&window).map_or(1.0, |w| w.throw_factor),
        })
    }

    /// Unit vectors in eight directions, times a length.
    pub(super) fn shoves(length_m: f64) -> impl Iterator<Item = Vec2> {
        (0..8).map(move |k| Vec2::from_angle(std::f64::consts::FRAC_PI_4 * f64::from(k)) * length_m)
    }
}
