//! One object ball before one pocket, and the chance from any cue-ball place.

use std::sync::Arc;

use kurbo::{Point, Vec2};

use super::wishes::Wishes;
use crate::bed::Bed;
use crate::gear::Gear;
use crate::layout::{
    Around, Ball, Candidate, DropSet, Layout, Reach, Table, direct, sector, stance_among, turn_rad,
};
use crate::motion::BallBody;
use crate::player::{AimError, Aimed, Ranged, chance, left_open, makes, ranged};
use crate::pocket::{Acceptance, PocketFrame, PocketName};
use crate::units::{Position, Side};
use crate::window::{
    AimWindow, BedShot, Flags, NoWindow, Placed, Shot, Solved, Stroke, near_cushion, solve,
    solve_many, solve_with, speed_for_lengths,
};

/// Nearest the cue ball starts to the ghost ball, m (assumption: nearer, the cue comes in the way
/// and the picture part of the aim error means nothing).
const NEAREST_TRAVEL_M: f64 = 0.15;
static NO_BALLS: Layout = Layout {
    cue: Point::ORIGIN,
    balls: Vec::new(),
};

/// The table as the search sees it.
#[derive(Debug, Clone)]
pub(super) struct Room<'a> {
    pub(super) gear: &'a Gear,
    pub(super) stroke: Stroke,
    /// The player's aim on left and on right cuts.
    pub(super) aims: [AimError; 2],
    object: BallBody,
    cue: BallBody,
    bed: Bed,
    /// The table that obstacles stand on, without balls.
    bare: Option<Arc<Table<'a>>>,
    /// Speed off the tip, where the stroke is given in lengths.
    pub(super) start_m_s: Option<f64>,
    pub(super) reach: Option<Reach>,
    pub(super) obstacles: Vec<Point>,
}

/// What a pocket accepts of an object ball.
#[derive(Debug, Clone)]
pub(super) struct Accepted {
    /// In the pocket's frame; past the obstacles where there are any.
    pub(super) acceptance: Acceptance,
    /// On the plan, with what the obstacles take; `None` without obstacles.
    set: Option<DropSet>,
}

/// An object ball that drops into a pocket.
#[derive(Debug, Clone)]
pub(super) struct Lie {
    pub(super) pocket: PocketName,
    /// Object ball on the plan.
    pub(super) at: Point,
    pub(super) frame: PocketFrame,
    /// At the pace asked for, or at the usual one where the stroke gives each shot its own.
    pub(super) usual: Accepted,
    /// How near a cushion it is: 1 frozen, 0 where none is in reach of the cue ball.
    pub(super) cushion_share: f64,
}

/// A shot at the middle of the pocket, throw left out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rough {
    pub(super) cue: Point,
    /// Unsigned.
    pub(super) cut_rad: f64,
    /// The cue ball's way.
    pub(super) travel_m: f64,
}

impl Lie {
    /// A cushion is in reach of the cue ball: a look then costs hundreds of times as much.
    pub(super) fn is_beside_cushion(&self) -> bool {
        self.cushion_share > 0.0
    }
}

/// A cue-ball place tried.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    pub(super) window: AimWindow,
    pub(super) chance: f64,
    pace_m_s: f64,
    opening_m: f64,
    sigma_rad: f64,
    arm_times: f64,
    stance_factor: f64,
    over_rail: bool,
    over_ball: bool,
    pub(super) needs_rest: bool,
    blocked_share: f64,
}

/// A shot as it is played past the obstacles.
#[derive(Debug, Clone)]
pub(super) struct Played {
    pub(super) window: AimWindow,
    /// On the plan.
    aim_rad: f64,
    /// Directions of the cue ball that make it, relative to the aim, rad.
    intervals: Vec<(f64, f64)>,
    blocked_share: f64,
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
    /// Size of what the pocket takes, across the way, m; obstacles left out.
    pub opening_m: f64,
    /// Spread of the player's aim on this shot, rad, the stance counted.
    pub sigma_rad: f64,
    /// Speed of the cue ball at contact, m/s.
    pub cue_speed_m_s: f64,
    /// What throw does to the window, as a factor.
    pub throw_factor: f64,
    /// Object-ball speed at the pocket, m/s.
    pub pace_m_s: f64,
    /// What the stance does to the arm's part of it, as a factor.
    pub arm_times: f64,
    /// What the stance does to the spread, as a factor.
    pub stance_factor: f64,
    /// Whether the cue is raised over the rail behind the cue ball.
    pub over_rail: bool,
    /// Whether the cue is raised over a ball behind the cue ball.
    pub over_ball: bool,
    /// Share of the directions that obstacles take, 0 to 1.
    pub blocked_share: f64,
    /// Least gap between an obstacle and the ways of the balls, m, negative where the middle of
    /// the way is closed; infinite without obstacles.
    pub gap_m: f64,
}

impl<'a> Room<'a> {
    pub(super) fn new(gear: &'a Gear, stroke: Stroke, aims: [AimError; 2]) -> Self {
        let object = BallBody::object(gear);
        Self {
            gear,
            stroke,
            aims,
            object,
            cue: BallBody::cue(gear),
            bed: Bed::new(gear),
            bare: None,
            start_m_s: None,
            reach: None,
            obstacles: Vec::new(),
        }
    }

    /// The room of a ladder.
    pub(super) fn for_ladder(gear: &'a Gear, wishes: &Wishes) -> Result<Self, super::LadderError> {
        let mut room = Self::new(gear, wishes.stroke, Side::BOTH.map(|cut| wishes.aim(cut)));
        room.start_m_s = wishes
            .stroke_lengths
            .map(|lengths| speed_for_lengths(gear, lengths))
            .transpose()
            .map_err(crate::request::RequestError::from)?;
        room.reach = wishes.reach;
        room.obstacles = wishes
            .obstacles
            .iter()
            .filter_map(|p| room.object_point(*p))
            .collect();
        if !room.obstacles.is_empty() {
            room.bare = Some(Arc::new(Table::new(gear, &NO_BALLS)));
        }
        Ok(room)
    }

    /// The table with balls on it.
    fn table<'b>(&'b self, layout: &'b Layout) -> Table<'b> {
        match &self.bare {
            Some(bare) => bare.with_layout(layout),
            None => Table::new(self.gear, layout),
        }
    }

    /// The object ball at a point; `None` where it overlaps something or does not drop.
    pub(super) fn lie(&self, at: Point, pocket: PocketName) -> Option<Lie> {
        let apart = |b: &Point| (*b - at).hypot() >= self.gear.balls.object_diameter_m;
        if !self.on_table(at, &self.object) || !self.obstacles.iter().all(apart) {
            return None;
        }
        let frame = pocket.frame(self.gear);
        let usual = self.accepted(at, pocket, &frame, self.stroke.pace_m_s)?;
        Some(Lie {
            pocket,
            at,
            frame,
            usual,
            cushion_share: self.cushion_share(at),
        })
    }

    /// Whether an object ball lies so near a cushion that the cue ball may meet that first.
    pub(super) fn is_beside_cushion(&self, object: Position) -> bool {
        self.object_point(object)
            .is_some_and(|at| near_cushion(self.gear, at))
    }

    fn cushion_share(&self, at: Point) -> f64 {
        if !near_cushion(self.gear, at) {
            return 0.0;
        }
        let (l, w) = (self.gear.bed.length_m, self.gear.bed.width_m);
        let off_m = at.x.min(l - at.x).min(at.y).min(w - at.y) - self.object.plan_radius_m;
        (1.0 - off_m / self.gear.balls.object_diameter_m).clamp(f64::MIN_POSITIVE, 1.0)
    }

    /// What the pocket accepts at a pace.
    pub(super) fn accepted(
        &self,
        at: Point,
        pocket: PocketName,
        frame: &PocketFrame,
        pace_m_s: f64,
    ) -> Option<Accepted> {
        let local = frame.to_pocket(at);
        if self.obstacles.is_empty() {
            let acceptance = self.bed.accept(pocket, at, pace_m_s).ok()?.ok()?;
            return Some(Accepted {
                acceptance,
                set: None,
            });
        }
        if local.x >= 0.0 {
            return None;
        }
        let layout = self.layout(at, at);
        let set = self.table(&layout).drop_set(0, pocket, pace_m_s);
        let set = set.ok()?.ok().filter(|s| !s.open.is_empty())?;
        let acceptance = Acceptance {
            object: local,
            approach_rad: set.acceptance.approach_rad - frame.axis_rad,
            pieces: set.open.clone(),
            ..set.acceptance.clone()
        };
        Some(Accepted {
            acceptance,
            set: Some(set),
        })
    }

    /// Object ball and obstacles, in that order.
    fn layout(&self, cue: Point, object: Point) -> Layout {
        let ball = |at: Point| Ball {
            label: String::new(),
            at,
        };
        let balls = std::iter::once(object).chain(self.obstacles.iter().copied());
        Layout {
            cue,
            balls: balls.map(ball).collect(),
        }
    }

    /// The same table for another player.
    pub(super) fn of(&self, aims: [AimError; 2]) -> Self {
        Self {
            aims,
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

    /// The shot at the middle of the pocket before any window; `None` where the cue ball cannot get behind
    /// the object ball.
    pub(super) fn geometry(&self, lie: &Lie, cue: Point) -> Option<Rough> {
        let ghost = self.ghost(lie);
        let contact_m = self.gear.contact_distance_m();
        let clear = |b: &Point| (*b - cue).hypot() >= contact_m;
        // Beside a cushion the cue ball may come off it first.
        let room = lie.is_beside_cushion() || self.on_table(ghost, &self.cue);
        if !self.on_table(cue, &self.cue) || !room {
            return None;
        }
        if !self.obstacles.iter().all(clear) {
            return None;
        }
        let (way, forward) = (ghost - cue, lie.at - ghost);
        let rough = Rough {
            cue,
            cut_rad: way.cross(forward).atan2(way.dot(forward)).abs(),
            travel_m: way.hypot(),
        };
        (rough.travel_m >= NEAREST_TRAVEL_M).then_some(rough)
    }

    /// The ghost ball for the middle of the pocket.
    fn ghost(&self, lie: &Lie) -> Point {
        let away = lie.frame.mouth_middle - lie.at;
        lie.at - away / away.hypot() * self.gear.contact_distance_m()
    }

    /// A cue-ball point tried, at its own pace where the stroke gives one.
    pub(super) fn tried(&self, lie: &Lie, cue: Point) -> Option<Tried> {
        if self.start_m_s.is_none() {
            return self.tried_with(lie, &lie.usual, cue);
        }
        self.settled(lie, cue).map(|(_, tried)| tried)
    }

    /// Chances from a cue-ball point and from around it, at the pace of the shot from the point
    /// itself: a quarter of an inch changes a stroke's pace by less than a hundredth. Points where
    /// no ball can lie are left out.
    pub(super) fn chances_around(&self, lie: &Lie, cue: Point, pushes: &[Vec2]) -> Vec<f64> {
        let settled = self.start_m_s.map(|_| self.settled(lie, cue));
        let accepted = match &settled {
            None => Some(&lie.usual),
            Some(own) => own.as_ref().map(|(accepted, _)| accepted),
        };
        let points = pushes.iter().map(|push| cue + *push);
        let points: Vec<Point> = points
            .filter(|at| self.geometry(lie, *at).is_some())
            .collect();
        let Some(accepted) = accepted else {
            return vec![0.0; points.len()];
        };
        let tried = self.tried_all(lie, accepted, &points);
        tried.map(|t| t.map_or(0.0, |t| t.chance)).collect()
    }

    /// Many cue-ball points tried with what the pocket accepts at some pace, in order.
    pub(super) fn tried_all(
        &self,
        lie: &Lie,
        accepted: &Accepted,
        cues: &[Point],
    ) -> impl Iterator<Item = Option<Tried>> {
        let local: Vec<Point> = cues.iter().map(|cue| lie.frame.to_pocket(*cue)).collect();
        let stroke = self.stroke_at(accepted);
        let windows = solve_many(self.gear, &accepted.acceptance, &local, &stroke);
        cues.iter().zip(windows).map(|(cue, window)| {
            let played = self.played_from(lie, accepted, *cue, window)?;
            Some(self.counted(lie, &accepted.acceptance, *cue, played))
        })
    }

    /// The stroke at the pace that a pocket accepts something at.
    fn stroke_at(&self, accepted: &Accepted) -> Stroke {
        Stroke {
            pace_m_s: accepted.acceptance.pace_m_s,
            ..self.stroke
        }
    }

    /// The same with what the pocket accepts at some pace; `None` where there is nothing worth
    /// playing.
    pub(super) fn tried_with(&self, lie: &Lie, accepted: &Accepted, cue: Point) -> Option<Tried> {
        let played = self.played(lie, accepted, cue)?;
        Some(self.counted(lie, &accepted.acceptance, cue, played))
    }

    /// The shot from a cue-ball point past the obstacles; `None` where there is nothing worth playing.
    pub(super) fn played(&self, lie: &Lie, accepted: &Accepted, cue: Point) -> Option<Played> {
        let (local, stroke) = (lie.frame.to_pocket(cue), self.stroke_at(accepted));
        let window = solve_with(self.gear, &accepted.acceptance, local, &stroke);
        self.played_from(lie, accepted, cue, window)
    }

    /// The same where the window without the obstacles is known.
    fn played_from(
        &self,
        lie: &Lie,
        accepted: &Accepted,
        cue: Point,
        window: Result<AimWindow, NoWindow>,
    ) -> Option<Played> {
        let (acceptance, stroke) = (&accepted.acceptance, self.stroke_at(accepted));
        if lie.is_beside_cushion() {
            return self.played_beside(lie, accepted, cue, window);
        }
        let window = window.ok()?;
        if spoilt(&window) {
            return None;
        }
        let played = Played {
            aim_rad: window.aim_in_pocket_frame_rad() + lie.frame.axis_rad,
            intervals: makes(Solved {
                acceptance,
                window: &window,
            }),
            blocked_share: accepted.set.as_ref().map_or(0.0, |s| s.blocked_share),
            window,
        };
        if self.meets_obstacle(cue, &played) {
            // the aim is then the middle of what is left
            let set = accepted.set.as_ref()?;
            return as_played(&self.past_obstacles(set, cue, lie.at, &stroke)?);
        }
        Some(played)
    }

    /// The same where a cushion is in reach of the cue ball: rail and ball together, as a single shot is
    /// solved.
    fn played_beside(
        &self,
        lie: &Lie,
        accepted: &Accepted,
        cue: Point,
        window: Result<AimWindow, NoWindow>,
    ) -> Option<Played> {
        let stroke = &self.stroke_at(accepted);
        if let Some(set) = &accepted.set {
            let shot = self.past_obstacles(set, cue, lie.at, stroke)?;
            return as_played(&shot).filter(|p| !spoilt(&p.window));
        }
        let acceptance = &accepted.acceptance;
        let (local, plain) = (lie.frame.to_pocket(cue), window.ok()?);
        let placed = Placed {
            gear: self.gear,
            pocket: lie.pocket,
            cue,
            object: lie.at,
            others: &[],
            turned_rad: lie.frame.axis_rad,
        };
        let (window, intervals) = match placed.beside(acceptance, &plain, local, stroke) {
            Some(found) => {
                let spans = found.directions.spans();
                let ends = spans.iter().map(|s| (s.from_rad, s.to_rad));
                (found.window, ends.collect())
            }
            None => (
                plain,
                makes(Solved {
                    acceptance,
                    window: &plain,
                }),
            ),
        };
        (!spoilt(&window)).then(|| Played {
            aim_rad: window.aim_in_pocket_frame_rad() + lie.frame.axis_rad,
            intervals,
            blocked_share: 0.0,
            window,
        })
    }

    /// What a player makes of it as if no cushion were near, for guesses; 0 where nothing is left so.
    pub(super) fn guess(&self, lie: &Lie, cue: Point) -> f64 {
        let open = Lie {
            cushion_share: 0.0,
            ..lie.clone()
        };
        self.tried_with(&open, &lie.usual, cue)
            .map_or(0.0, |t| t.chance)
    }

    /// What the first player makes of a shot standing at ease.
    pub(super) fn chance_of(&self, played: &Played) -> f64 {
        let window = &played.window;
        let player = self.aims[window.cut_side.index()];
        let sigma_rad = player.sigma_rad(window.aim.travel_m, window.cue_speed_m_s);
        chance(&played.intervals, sigma_rad, player.bias_rad)
    }

    /// What a player makes of a shot from a stance.
    fn counted(&self, lie: &Lie, acceptance: &Acceptance, cue: Point, played: Played) -> Tried {
        let window = &played.window;
        let balls = std::iter::once(lie.at).chain(self.obstacles.iter().copied());
        let stance = self.reach.map(|reach| {
            let around = Around {
                bed: &self.gear.bed,
                cue,
                others: (0..).zip(balls).collect(),
                ball_radius_m: self.object.radius_m,
            };
            stance_among(&around, played.aim_rad, reach)
        });
        let player = self.aims[window.cut_side.index()];
        let spread = |factor: f64| {
            player
                .with_arm_times(factor)
                .sigma_rad(window.aim.travel_m, window.cue_speed_m_s)
        };
        let arm_times = stance.map_or(1.0, |s| s.arm_factor());
        let sigma_rad = spread(arm_times);
        Tried {
            chance: chance(&played.intervals, sigma_rad, player.bias_rad),
            pace_m_s: acceptance.pace_m_s,
            opening_m: acceptance.effective_size_m(&acceptance.drop) / (1.0 - played.blocked_share),
            sigma_rad,
            arm_times,
            stance_factor: sigma_rad / spread(1.0),
            over_rail: stance.is_some_and(|s| s.over_rail),
            over_ball: stance.is_some_and(|s| s.over_ball.is_some()),
            needs_rest: stance.is_some_and(|s| s.needs_rest),
            blocked_share: played.blocked_share,
            window: played.window,
        }
    }

    /// Whether an obstacle stands in some of the directions of the cue ball that make the shot.
    fn meets_obstacle(&self, cue: Point, played: &Played) -> bool {
        let (Some(first), Some(last)) = (played.intervals.first(), played.intervals.last()) else {
            return false;
        };
        let contact_m = self.gear.contact_distance_m();
        self.obstacles.iter().any(|b| {
            let (middle, half, far_m) = sector(cue, *b, contact_m);
            let turn = turn_rad(played.aim_rad, middle);
            turn + half > first.0
                && turn - half < last.1
                && far_m < played.window.approach.apart_m + contact_m
        })
    }

    /// The shot with what obstacles take from the cue ball's way too.
    fn past_obstacles(
        &self,
        set: &DropSet,
        cue: Point,
        object: Point,
        stroke: &Stroke,
    ) -> Option<Candidate> {
        let layout = self.layout(cue, object);
        direct(&self.table(&layout), Ok(set), stroke).ok()
    }

    /// Every direction of the cue ball that makes a shot as the obstacles leave it, relative to the
    /// aim, with the window it comes from; `None` where nothing does.
    pub(super) fn left_open(&self, shot: &Scored) -> Option<Candidate> {
        let (cue, at) = (self.cue_point(shot.cue)?, self.object_point(shot.object)?);
        let frame = shot.pocket.frame(self.gear);
        let accepted = self.accepted(at, shot.pocket, &frame, shot.pace_m_s)?;
        let stroke = Stroke {
            pace_m_s: shot.pace_m_s,
            ..self.stroke
        };
        self.past_obstacles(accepted.set.as_ref()?, cue, at, &stroke)
    }

    /// The chance of a shot as every other answer has it, over the speeds of the stroke; searches go by
    /// the stroke as intended.
    pub(super) fn exact(&self, shot: &Scored) -> Option<f64> {
        self.aimed(shot, |aimed, player| aimed.chance(player).chance)
    }

    /// The same with its range over how jaws and rails may bounce.
    pub(super) fn range(&self, shot: &Scored) -> Option<Ranged> {
        self.aimed(shot, |aimed, player| ranged(aimed, player).0)
    }

    /// What is found of a shot past the obstacles.
    fn aimed<T>(&self, shot: &Scored, find: impl FnOnce(&Aimed<'_>, &AimError) -> T) -> Option<T> {
        let (cue, object) = (self.cue_point(shot.cue)?, self.object_point(shot.object)?);
        let left = match self.obstacles.is_empty() {
            true => None,
            false => Some(self.left_open(shot)?.intervals_rad()),
        };
        let bed = BedShot {
            cue,
            object,
            pocket: shot.pocket,
        };
        let stroke = Stroke {
            pace_m_s: shot.pace_m_s,
            ..self.stroke
        };
        let on_bed = Shot::on_bed(self.gear, &bed, stroke).ok()?;
        let solution = solve(self.gear, &on_bed).ok()?;
        let aimed = Aimed {
            arm_times: shot.arm_times,
            ..Aimed::of(self.gear, &on_bed, &solution)?
        };
        let open = left.map(|left| left_open(&aimed.as_intended_rad(), &left));
        let aimed = Aimed {
            open_rad: open.as_deref(),
            ..aimed
        };
        Some(find(&aimed, &self.aims[aimed.window.cut_side.index()]))
    }

    /// The chance of a shot of this room's stroke between places on the bed, standing at ease.
    pub(super) fn exact_at(&self, bed: &BedShot) -> Option<f64> {
        let shot = Shot::on_bed(self.gear, bed, self.stroke).ok()?;
        let solution = solve(self.gear, &shot).ok()?;
        let aimed = Aimed::of(self.gear, &shot, &solution)?;
        let player = self.aims[aimed.window.cut_side.index()];
        Some(aimed.chance(&player).chance)
    }

    /// The player's chance from a cue-ball point, 0 where nothing is worth playing.
    pub(super) fn chance(&self, lie: &Lie, cue: Point) -> f64 {
        self.tried(lie, cue).map_or(0.0, |t| t.chance)
    }

    /// The shot with its numbers.
    pub(super) fn score(
        &self,
        lie: &Lie,
        cue: Position,
        object: Position,
        tried: &Tried,
    ) -> Scored {
        let window = &tried.window;
        Scored {
            cue,
            object,
            pocket: lie.pocket,
            chance: tried.chance,
            cut_rad: window.cut_rad,
            travel_m: window.aim.travel_m,
            to_pocket_m: lie.usual.acceptance.distance_m,
            off_square_rad: lie.usual.acceptance.approach_rad.abs(),
            opening_m: tried.opening_m,
            sigma_rad: tried.sigma_rad,
            cue_speed_m_s: window.cue_speed_m_s,
            throw_factor: crate::window::why(window).map_or(1.0, |w| w.throw_factor),
            pace_m_s: tried.pace_m_s,
            arm_times: tried.arm_times,
            stance_factor: tried.stance_factor,
            over_rail: tried.over_rail,
            over_ball: tried.over_ball,
            blocked_share: tried.blocked_share,
            gap_m: self
                .cue_point(cue)
                .map_or(f64::INFINITY, |at| self.gap_m(lie, at)),
        }
    }

    /// Least gap between an obstacle and the swept ways of both balls for the middle of the pocket.
    pub(super) fn gap_m(&self, lie: &Lie, cue: Point) -> f64 {
        let ghost = self.ghost(lie);
        let (one, two) = (
            self.gear.contact_distance_m(),
            self.gear.balls.object_diameter_m,
        );
        let gaps = self.obstacles.iter().flat_map(|b| {
            [
                from_way_m(*b, cue, ghost) - one,
                from_way_m(*b, lie.at, lie.frame.mouth_middle) - two,
            ]
        });
        gaps.fold(f64::INFINITY, f64::min)
    }

    /// Unit vectors in eight directions, times a length.
    pub(super) fn shoves(length_m: f64) -> impl Iterator<Item = Vec2> {
        (0..8).map(move |k| Vec2::from_angle(std::f64::consts::FRAC_PI_4 * f64::from(k)) * length_m)
    }
}

/// Too fast, or partly out of reach: no shot to practise.
fn spoilt(window: &AimWindow) -> bool {
    [Flags::TOO_FAST, Flags::OUT_OF_REACH, Flags::TRUNCATED]
        .into_iter()
        .any(|f| window.flags.has(f))
}

/// A shot of the layout solver.
fn as_played(shot: &Candidate) -> Option<Played> {
    Some(Played {
        aim_rad: shot.aim_rad,
        intervals: shot.intervals_rad(),
        blocked_share: shot.blocked_share,
        window: *shot.window()?,
    })
}

/// Distance of a point from a straight way.
fn from_way_m(point: Point, from: Point, to: Point) -> f64 {
    let way = to - from;
    let along = ((point - from).dot(way) / way.hypot2()).clamp(0.0, 1.0);
    (point - (from + way * along)).hypot()
}
