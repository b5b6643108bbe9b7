//! One way of playing a ball into a pocket, and the direct shots.

use kurbo::{Point, Vec2};

use super::force::{Tip, pace_for};
use super::obstruct::{restrict, sector, turn_rad};
use super::scratch::intervals;
use super::table::{DropSet, Table};
use crate::contact::ThrowLaw;
use crate::directions::{Directions, Span};
use crate::gear::Gear;
use crate::motion::{Feature, straight_hit};
use crate::player::aim_error::LINE_NEAREST_M;
use crate::player::{AimError, chance};
use crate::pocket::{Acceptance, AcceptanceError, How, NoAcceptance, PocketName};
use crate::stroke::Stick;
use crate::units::Side;
use crate::window::{
    AimWindow, NoWindow, Placed, Stroke, at, contact_speed_m_s, lengths_for_speed, near_cushion,
    solve_with, start_speed_m_s, stroke_lengths,
};

/// Looks per span when something may stand in the cue ball's way.
const STATIONS: u32 = 12;
/// Times the aim is taken anew when others block the cue ball; the throw changes by thousandths of
/// itself from one to the next.
const AIM_ROUNDS: u32 = 2;

/// How the ball gets there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Family {
    /// Straight on, at most off the rails that meet at the pocket.
    Direct,
    /// Off one or two cushions first.
    Bank {
        /// How many.
        cushions: u8,
    },
    /// The cue ball meets `through`, which sends the ball in.
    Combination {
        /// Index of the ball between.
        through: usize,
    },
    /// The cue ball comes off one or more cushions.
    Kick {
        /// How many.
        cushions: u8,
    },
}

impl Family {
    /// `direct`, `bank`, `combination`, `kick`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Direct => "direct",
            Self::Bank { .. } => "bank",
            Self::Combination { .. } => "combination",
            Self::Kick { .. } => "kick",
        }
    }
}

/// How the cue ball reaches the first ball.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Way {
    /// Straight, as solved.
    Straight(Box<AimWindow>),
    /// Off cushions, sent off sliding without spin at this speed, m/s.
    Cushions {
        /// Speed off the tip.
        speed_m_s: f64,
    },
}

/// One way of playing a ball into a pocket.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// How the ball gets there.
    pub family: Family,
    /// The ball to be pocketed.
    pub ball: usize,
    /// The ball that the cue ball meets first.
    pub first: usize,
    /// The pocket.
    pub pocket: PocketName,
    /// Direction to send the cue ball on the plan, rad.
    pub aim_rad: f64,
    /// Directions that make it, relative to `aim_rad`.
    pub directions: Directions<How>,
    /// Travel of the cue ball to the ghost ball.
    pub cue_travel_m: f64,
    /// Cue-ball speed at contact.
    pub cue_speed_m_s: f64,
    /// Throw-free cut of the first ball, left positive.
    pub cut_rad: f64,
    /// Balls in the way of the object ball or of the cue ball.
    pub blockers: Vec<usize>,
    /// Share of the directions that other balls take away, 0 to 1.
    pub blocked_share: f64,
    /// What makes this shot harder to see than a straight one.
    pub unseen: Unseen,
    /// Speed of the dropping ball at the pocket; `None` for banks and kicks, whose stroke is given.
    pub pace_m_s: Option<f64>,
    pub(crate) way: Way,
}

/// How far off a player judges a line; where a spread alone was given it is that of the nearest level.
fn line_m(player: &AimError) -> f64 {
    if player.scatter.line_m > 0.0 {
        player.scatter.line_m
    } else {
        player.nearest_level().scatter().line_m
    }
}

/// What makes a shot harder than a straight one: a line is judged, not seen ("doubt about a rebound" in
/// DEVELOPERS.md).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Unseen {
    /// Cue-ball direction for each metre that a line is misjudged at the first cushion or ball, rad/m.
    pub per_line_m: f64,
}

impl Unseen {
    /// A ball that is judged over `cushions` cushions, the first (or the next ball) `way_m` away;
    /// `lever` turns its direction into the cue ball's.
    pub(super) fn judged(cushions: f64, way_m: f64, lever: f64) -> Self {
        Self {
            per_line_m: cushions * lever / way_m.max(LINE_NEAREST_M),
        }
    }
}

impl Candidate {
    /// The solved window, where the cue ball goes straight to the first ball.
    #[must_use]
    pub fn window(&self) -> Option<&AimWindow> {
        match &self.way {
            Way::Straight(window) => Some(window),
            Way::Cushions { .. } => None,
        }
    }

    /// Where the first ball is cut to; a straight one as the stroke says.
    #[must_use]
    pub fn cut_side(&self) -> Side {
        self.window()
            .map_or(Side::left_if(self.cut_rad >= 0.0), |w| w.cut_side)
    }

    /// The cue ball's way with a stroke `share` times as fast, the aim of the stick held, and by how much
    /// that turns it, rad; `None` when it stops short.
    pub(super) fn way_at(&self, gear: &Gear, share: f64) -> Option<(Way, f64)> {
        let w = match &self.way {
            Way::Straight(w) => w,
            Way::Cushions { speed_m_s } => {
                let speed_m_s = share * speed_m_s;
                return Some((Way::Cushions { speed_m_s }, 0.0));
            }
        };
        let (law, travel_m) = (w.law, w.aim.travel_m);
        let (law, turn_rad) = match w.stick {
            None => {
                let start = start_speed_m_s(&gear.cloth, law.speed_m_s, law.roll, travel_m);
                let speed_m_s = contact_speed_m_s(&gear.cloth, share * start, law.roll, travel_m)?;
                (ThrowLaw { speed_m_s, ..law }, 0.0)
            }
            Some(stick) => {
                let meant = at(gear, &stick, travel_m)?;
                let struck = Stick {
                    speed_m_s: share * stick.speed_m_s,
                    ..stick
                };
                let mark = at(gear, &struck, travel_m)?;
                let law = ThrowLaw {
                    speed_m_s: mark.arrival.speed_m_s,
                    roll: mark.arrival.roll,
                    side_right: mark.arrival.side_right,
                    ..law
                };
                let turn = mark.left_m.atan2(mark.along_m) - meant.left_m.atan2(meant.along_m);
                (law, turn)
            }
        };
        let throw = law.throw(w.aim.sin_cut, w.aim.cos_cut);
        let along_m_s = law.speed_m_s * w.aim.cos_cut / throw.angle_rad.cos();
        let window = AimWindow {
            law,
            cue_speed_m_s: law.speed_m_s,
            object_speed_m_s: gear.passed_on() * along_m_s,
            ..**w
        };
        Some((Way::Straight(Box::new(window)), turn_rad))
    }

    /// The stroke in table lengths; `None` where it cannot be followed.
    #[must_use]
    pub fn stroke_lengths(&self, gear: &Gear) -> Option<f64> {
        match &self.way {
            Way::Straight(w) => {
                stroke_lengths(gear, w.cue_speed_m_s, w.law.roll, w.aim.travel_m).ok()
            }
            Way::Cushions { speed_m_s } => lengths_for_speed(gear, *speed_m_s).ok(),
        }
    }

    /// Turn of the cue ball for a turn of the first ball at the aim, `D cos φ/t_c`; 1 off cushions.
    #[must_use]
    pub fn lever(&self) -> f64 {
        self.window().map_or(1.0, |w| {
            w.approach.contact_m * w.aim.cos_cut / w.aim.travel_m
        })
    }

    /// Intervals of cue-ball directions relative to the aim, rad.
    #[must_use]
    pub fn intervals_rad(&self) -> Vec<(f64, f64)> {
        intervals(&self.directions)
    }

    /// Chance that a player makes it; `arm_factor` widens the arm for an awkward stance.
    #[must_use]
    pub fn chance(&self, player: &AimError, arm_factor: f64) -> f64 {
        chance(
            &self.intervals_rad(),
            self.sigma_rad(player, arm_factor),
            player.bias_rad,
        )
    }

    /// Spread of this player's direction on this shot, rad.
    #[must_use]
    pub fn sigma_rad(&self, player: &AimError, arm_factor: f64) -> f64 {
        self.sigma_at_rad(player, arm_factor, self.cue_speed_m_s)
    }

    /// The same with another speed of the cue ball.
    #[must_use]
    pub(super) fn sigma_at_rad(
        &self,
        player: &AimError,
        arm_factor: f64,
        cue_speed_m_s: f64,
    ) -> f64 {
        let widened = player.with_arm_times(arm_factor);
        let seen = widened.sigma_rad(self.cue_travel_m, cue_speed_m_s);
        // independent parts add as squares
        seen.hypot(line_m(player) * self.unseen.per_line_m)
    }
}

/// Why a ball cannot be played straight into a pocket.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// It does not drop, or hangs where no direction drops it.
    NoDrop,
    /// From there the pocket takes nothing at any pace.
    TooSteep,
    /// Other balls close the way of the object ball.
    ObjectBlocked(Vec<usize>),
    /// Other balls (or a cushion, when empty) close the way of the cue ball.
    CueBlocked(Vec<usize>),
    /// No cue-ball direction sends it there.
    OutOfReach,
    /// The balls are too close to say.
    TooClose,
}

/// Every direct shot of one ball into one pocket.
///
/// # Errors
/// [`Refusal`]: why the shot is not on.
pub fn direct(
    table: &Table<'_>,
    set: Result<&DropSet, NoAcceptance>,
    stroke: &Stroke,
) -> Result<Candidate, Refusal> {
    let set = set.map_err(|_| Refusal::NoDrop)?;
    direct_played(table, set, stroke).map(|(found, _)| found)
}

/// The same with what it is aimed by, see [`pulled`].
pub(crate) fn direct_played(
    table: &Table<'_>,
    set: &DropSet,
    stroke: &Stroke,
) -> Result<(Candidate, Option<Acceptance>), Refusal> {
    if set.open.is_empty() {
        return Err(Refusal::ObjectBlocked(set.blockers.clone()));
    }
    let (mut found, played) = match beside_cushion(table, set, stroke) {
        Some(found) => found,
        None => pulled(table, set.ball, &set.acceptance, &set.open, stroke)?,
    };
    found.pocket = set.pocket;
    found.pace_m_s = Some(set.acceptance.pace_m_s);
    found.blocked_share = 1.0 - (1.0 - found.blocked_share) * (1.0 - set.blocked_share);
    found.blockers.extend(&set.blockers);
    found.blockers.sort_unstable();
    found.blockers.dedup();
    Ok((found, played))
}

/// A drop set, or why there is none.
pub(crate) type MaybeSet = Result<DropSet, (usize, PocketName, NoAcceptance)>;

/// All drop sets of the balls wanted, six for each in the order of [`PocketName::ALL`]: at the
/// stroke's pace, or at the pace that a stroke off the tip gives each.
pub(crate) fn drop_sets(
    table: &Table<'_>,
    balls: &[usize],
    (stroke, tip): (&Stroke, Option<&Tip>),
) -> Result<Vec<MaybeSet>, AcceptanceError> {
    use rayon::prelude::*;
    balls
        .par_iter()
        .flat_map_iter(|&ball| PocketName::ALL.map(|pocket| (ball, pocket)))
        .map(|(ball, pocket)| {
            let pace_m_s = match tip {
                None => stroke.pace_m_s,
                Some(tip) => match pace_for(table, (ball, pocket), stroke, tip)? {
                    Some(pace_m_s) => pace_m_s,
                    None => return Ok(Err((ball, pocket, NoAcceptance::NoDrop))),
                },
            };
            Ok(table
                .drop_set(ball, pocket, pace_m_s)?
                .map_err(|no| (ball, pocket, no)))
        })
        .collect()
}

/// A shot whose ball lies so near a cushion that the cue ball may meet it first: found forwards, with
/// the acceptance that the aim goes by. `None` where no cushion plays a part, or nothing is left.
fn beside_cushion(
    table: &Table<'_>,
    set: &DropSet,
    stroke: &Stroke,
) -> Option<(Candidate, Option<Acceptance>)> {
    let (gear, object, cue) = (table.gear, table.at(set.ball), table.layout.cue);
    if !near_cushion(gear, object) {
        return None;
    }
    let acceptance = Acceptance {
        pieces: set.open.clone(),
        ..set.acceptance.clone()
    };
    let window = solve_with(gear, &acceptance, cue, stroke).ok()?;
    let others: Vec<Point> = table.others(Some(set.ball)).map(|(_, at)| at).collect();
    let among = |others| {
        let placed = Placed {
            gear,
            pocket: set.pocket,
            cue,
            object,
            others,
            turned_rad: 0.0,
        };
        placed.beside((&acceptance, &window), cue, stroke)
    };
    let found = among(&others)?;
    let (_, blockers) = past_others(
        table,
        set.ball,
        &found.window,
        &found.window.cue_directions(&found.acceptance.pieces),
    );
    let blocked_share = if blockers.is_empty() {
        0.0
    } else {
        let all = among(&[])?.directions.measure_rad();
        (1.0 - found.directions.measure_rad() / all).max(0.0)
    };
    let candidate = Candidate {
        blocked_share,
        directions: found.directions,
        blockers: if blocked_share > 0.0 {
            blockers
        } else {
            Vec::new()
        },
        ..straight(set.ball, found.window)
    };
    Some((candidate, Some(found.acceptance)))
}

/// A cue ball sent straight at a ball, without directions. The pocket is a placeholder.
fn straight(first: usize, window: AimWindow) -> Candidate {
    Candidate {
        family: Family::Direct,
        ball: first,
        first,
        pocket: PocketName::FootLeft,
        aim_rad: window.aim_in_pocket_frame_rad(),
        blocked_share: 0.0,
        directions: Directions::new(),
        cue_travel_m: window.aim.travel_m,
        cue_speed_m_s: window.cue_speed_m_s,
        cut_rad: window.cut_rad,
        blockers: Vec::new(),
        unseen: Unseen::default(),
        pace_m_s: None,
        way: Way::Straight(Box::new(window)),
    }
}

/// Pulls a set of directions of the ball `first` back to the cue ball, and takes out what blocks
/// the cue ball.
///
/// The pocket is a placeholder for the caller to set; family is `Direct`.
pub(crate) fn pull_back(
    table: &Table<'_>,
    first: usize,
    acceptance: &Acceptance,
    open: &Directions<How>,
    stroke: &Stroke,
) -> Result<Candidate, Refusal> {
    pulled(table, first, acceptance, open, stroke).map(|(found, _)| found)
}

/// The same with the acceptance that the aim goes by: the part of `open` that the cue ball can
/// still play; `None` where that is all of it.
///
/// Where others block the cue ball the aim is the middle of what is left. The stroke that goes with
/// another aim throws a little otherwise; [`AIM_ROUNDS`] settle it.
pub(crate) fn pulled(
    table: &Table<'_>,
    first: usize,
    acceptance: &Acceptance,
    open: &Directions<How>,
    stroke: &Stroke,
) -> Result<(Candidate, Option<Acceptance>), Refusal> {
    let aimed = |acceptance: &Acceptance| {
        let window =
            solve_with(table.gear, acceptance, table.layout.cue, stroke).map_err(refusal)?;
        let all = window.cue_directions(open);
        if all.is_empty() {
            return Err(Refusal::OutOfReach);
        }
        let (directions, blockers) = past_others(table, first, &window, &all);
        if directions.is_empty() {
            return Err(Refusal::CueBlocked(blockers));
        }
        Ok((window, all, directions, blockers))
    };
    let mut played = None;
    let (mut window, mut all, mut directions, mut blockers) = aimed(acceptance)?;
    for _ in 0..AIM_ROUNDS {
        if blockers.is_empty() {
            break;
        }
        let left = object_directions(&window, &directions);
        if left.is_empty() {
            return Err(Refusal::CueBlocked(blockers));
        }
        let part = Acceptance {
            pieces: left.clone(),
            ..acceptance.with_open(&left)
        };
        (window, all, directions, blockers) = aimed(&part)?;
        played = Some(part);
    }
    let found = Candidate {
        blocked_share: 1.0 - directions.measure_rad() / all.measure_rad(),
        directions,
        blockers,
        ..straight(first, window)
    };
    Ok((found, played))
}

fn refusal(no: NoWindow) -> Refusal {
    match no {
        NoWindow::OutOfReach => Refusal::OutOfReach,
        NoWindow::TooClose => Refusal::TooClose,
        // One ball's own window knows of no others.
        NoWindow::TooSteep => Refusal::TooSteep,
        NoWindow::NoDrop | NoWindow::InTheJaws | NoWindow::Blocked => Refusal::NoDrop,
    }
}

/// The object-ball directions, relative to the window's centre line, that cue-ball directions send
/// it along.
fn object_directions(window: &AimWindow, cue: &Directions<How>) -> Directions<How> {
    let spans = cue.spans().iter().filter_map(|s| {
        let a = window.object_direction_rad(s.from_rad)?;
        let b = window.object_direction_rad(s.to_rad)?;
        Some(Span {
            from_rad: a.min(b),
            to_rad: a.max(b),
            tag: s.tag,
        })
    });
    Directions::from_spans(spans.collect())
}

/// The ball played and those in the way, and which of them is played: all that a cue ball can meet
/// where no cushion is in reach.
#[must_use]
pub fn balls_alone(table: &Table<'_>, first: usize, blockers: &[usize]) -> (Vec<Feature>, usize) {
    let near = std::iter::once(first).chain(blockers.iter().copied());
    let balls = near.map(|i| Feature::ball(table.at(i), table.cue_object_m));
    (balls.collect(), 0)
}

/// Takes out the directions in which something stands between cue ball and ghost ball.
pub(super) fn past_others(
    table: &Table<'_>,
    first: usize,
    window: &AimWindow,
    all: &Directions<How>,
) -> (Directions<How>, Vec<usize>) {
    let cue = table.layout.cue;
    let aim_rad = window.aim_in_pocket_frame_rad();
    let (from, to) = super::table::ends(all);
    let (mut edges, mut blockers) = (Vec::new(), Vec::new());
    for (i, at) in table.others(Some(first)) {
        let (middle, half, far_m) = sector(cue, at, table.cue_object_m);
        let turn = turn_rad(aim_rad, middle);
        if turn + half > from
            && turn - half < to
            && far_m < window.approach.apart_m + table.cue_object_m
        {
            edges.extend([turn - half, turn + half]);
            blockers.push(i);
        }
    }
    let at = table.at(first);
    let open_bed = table.open_bed_to(at);
    if open_bed && blockers.is_empty() {
        return (all.clone(), blockers);
    }
    let (features, target) = if open_bed {
        balls_alone(table, first, &blockers)
    } else {
        let target = table.cue_bed.first_ball() + first;
        (table.cue_features(None), target)
    };
    let kept = restrict(all, &edges, STATIONS, &|delta| {
        let direction = Vec2::from_angle(aim_rad + delta);
        straight_hit(&features, cue, direction).is_some_and(|(_, i)| i == target)
    });
    if kept.measure_rad() >= all.measure_rad() {
        blockers.clear();
    }
    (kept, blockers)
}
