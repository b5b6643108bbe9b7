//! The shots of a survey, solved.

use kurbo::{Point, Vec2};
use rayon::prelude::*;

use crate::gear::Gear;
use crate::motion::BallBody;
use crate::player::chance::EqualStraight;
use crate::player::{AimError, Aimed, Straights};
use crate::pocket::{Acceptance, AcceptanceError, NoAcceptance, PocketKind, PocketShape, accept};
use crate::window::{
    AbstractShot, AimWindow, Flags, NoWindow, Shot, ShotError, Stroke, solve_many,
};

/// The shots of a survey.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Throw-free cuts, rad.
    pub cuts_rad: Vec<f64>,
    /// Centre to centre of the balls, m.
    pub aparts_m: Vec<f64>,
    /// Object ball to the middle of the mouth, m.
    pub to_pockets_m: Vec<f64>,
    /// Corner or side.
    pub kind: PocketKind,
    /// Pocket axis to direction of travel, rad.
    pub approach_rad: f64,
    /// How the cue ball is hit.
    pub stroke: Stroke,
    /// Whose chances to add, if anybody's.
    pub player: Option<AimError>,
}

impl Default for Grid {
    /// 0–80° by 5°; 1, 2, 3, 4, 6, 8 ft between the balls; 1 to 5 ft to a corner, square in.
    fn default() -> Self {
        const FOOT_M: f64 = 0.3048;
        Self {
            cuts_rad: (0..=16)
                .map(|k| (5.0 * f64::from(k)).to_radians())
                .collect(),
            aparts_m: [1.0, 2.0, 3.0, 4.0, 6.0, 8.0].map(|f| f * FOOT_M).to_vec(),
            to_pockets_m: [1.0, 2.0, 3.0, 4.0, 5.0].map(|f| f * FOOT_M).to_vec(),
            kind: PocketKind::Corner,
            approach_rad: 0.0,
            stroke: Stroke::centre_ball(),
            player: None,
        }
    }
}

impl Grid {
    /// How many shots.
    #[must_use]
    pub fn len(&self) -> u64 {
        [&self.cuts_rad, &self.aparts_m, &self.to_pockets_m]
            .map(|v| v.len() as u64)
            .iter()
            .product()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// One shot of a survey.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// As asked for, rad.
    pub cut_rad: f64,
    /// As asked for, m.
    pub apart_m: f64,
    /// As asked for, m.
    pub to_pocket_m: f64,
    /// Its window, or why there is none.
    pub window: Result<AimWindow, NoWindow>,
    /// Direct window over that of the straight shot at the same distances.
    pub share_of_straight: Option<f64>,
    /// Whether it can be set up on this table at all.
    pub on_table: bool,
    /// The player's chance, where there is a player and a window.
    pub chance: Option<f64>,
    /// The straight shot that is as hard.
    pub equal_straight: Option<EqualStraight>,
}

impl Row {
    /// Whether somebody can set it up and play it.
    #[must_use]
    pub fn is_playable(&self) -> bool {
        self.status() == "ok"
    }

    /// Whether somebody can play it wherever there is a table long enough for it.
    #[must_use]
    pub fn is_within_reach(&self) -> bool {
        let never =
            |w: &AimWindow| w.flags.has(Flags::OUT_OF_REACH) || w.flags.has(Flags::TOO_FAST);
        self.window.as_ref().is_ok_and(|w| !never(w))
    }

    /// `ok`, `off-table`, `too-fast`, `out-of-reach`, `too-close`, `no-drop` or `in-the-jaws`.
    #[must_use]
    pub fn status(&self) -> &'static str {
        match &self.window {
            Ok(_) if !self.on_table => "off-table",
            Ok(w) if w.flags.has(Flags::OUT_OF_REACH) => NoWindow::OutOfReach.name(),
            Ok(w) if w.flags.has(Flags::TOO_FAST) => "too-fast",
            Ok(_) => "ok",
            Err(no) => no.name(),
        }
    }
}

/// Rows solved at once; what is held in memory is this many times the number of cuts.
const PAIRS_AT_ONCE: usize = 256;
/// Below this many windows threads cost more than they save (about 100 µs of work).
const WORTH_THREADS: usize = 64;

/// Solves the grid and hands the rows to `sink` in order: distance to the pocket, then distance
/// between the balls, then cut.
///
/// # Errors
/// [`ShotError`] for a value no shot can have, before any row is handed out; whatever `sink` returns.
pub fn survey<E: From<ShotError>>(
    gear: &Gear,
    grid: &Grid,
    mut sink: impl FnMut(&Row) -> Result<(), E>,
) -> Result<(), E> {
    check(gear, grid)?;
    let acceptances = acceptances(gear, grid).map_err(ShotError::from)?;
    let straights = grid
        .player
        .map(|player| Straights::new(gear, &player, &grid.stroke).prepared(STRAIGHTS_AHEAD));
    let far = grid.aparts_m.len();
    let pairs = grid.to_pockets_m.len() * far;
    for first in (0..pairs).step_by(PAIRS_AT_ONCE) {
        let chunk = first..pairs.min(first + PAIRS_AT_ONCE);
        let solve = |pair: usize| {
            let (p, a) = (pair / far, pair % far);
            let ahead = Ahead {
                accepted: &acceptances[p],
                straights: straights.as_ref(),
            };
            column(gear, grid, ahead, p, a)
        };
        let columns: Vec<Vec<Row>> = if chunk.len() * grid.cuts_rad.len() < WORTH_THREADS {
            chunk.map(solve).collect()
        } else {
            chunk.into_par_iter().map(solve).collect()
        };
        for row in columns.iter().flatten() {
            sink(row)?;
        }
    }
    Ok(())
}

/// Straight shots worked out ahead for `equal_straight`.
const STRAIGHTS_AHEAD: u32 = 96;

type Accepted = Result<Acceptance, NoAcceptance>;

fn acceptances(gear: &Gear, grid: &Grid) -> Result<Vec<Accepted>, AcceptanceError> {
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, grid.kind, &body);
    let travel = Vec2::from_angle(grid.approach_rad);
    grid.to_pockets_m
        .par_iter()
        .map(|&far| {
            let object = Point::ORIGIN - travel * far;
            accept(&shape, &gear.cloth, &body, object, grid.stroke.pace_m_s)
        })
        .collect()
}

/// What a pair of distances shares with others.
#[derive(Clone, Copy)]
struct Ahead<'a> {
    accepted: &'a Accepted,
    straights: Option<&'a Straights>,
}

/// All cuts at one pair of distances.
fn column(gear: &Gear, grid: &Grid, ahead: Ahead<'_>, p: usize, a: usize) -> Vec<Row> {
    let Ahead {
        accepted,
        straights,
    } = ahead;
    let windows = windows(gear, grid, accepted, p, a);
    let direct = |w: &Result<AimWindow, NoWindow>| {
        w.as_ref()
            .ok()
            .and_then(|w| w.direct)
            .map(|d| d.total_rad())
    };
    let (straight, windows) = windows
        .split_first()
        .map_or((None, &[][..]), |(first, rest)| (direct(first), rest));
    grid.cuts_rad
        .iter()
        .zip(windows)
        .map(|(&cut_rad, window)| {
            let window = *window;
            let share_of_straight = match (direct(&window), straight) {
                (Some(d), Some(s)) if s > 0.0 => Some(d / s),
                _ => None,
            };
            let chance = match (grid.player, accepted, &window) {
                (Some(player), Ok(acceptance), Ok(w)) => {
                    abstract_shot(gear, grid, cut_rad, p, a).ok().map(|shot| {
                        let aimed = Aimed {
                            acceptance: Some(acceptance),
                            ..Aimed::new(gear, &shot, w)
                        };
                        aimed.chance(&player).chance
                    })
                }
                _ => None,
            };
            Row {
                on_table: abstract_shot(gear, grid, cut_rad, p, a)
                    .is_ok_and(|shot| shot.fits_table(gear)),
                chance,
                equal_straight: chance.zip(straights).map(|(p, s)| s.equal(p)),
                cut_rad,
                apart_m: grid.aparts_m[a],
                to_pocket_m: grid.to_pockets_m[p],
                window,
                share_of_straight,
            }
        })
        .collect()
}

/// The windows of the straight shot and of every cut at one pair of distances, side by side.
fn windows(
    gear: &Gear,
    grid: &Grid,
    accepted: &Accepted,
    p: usize,
    a: usize,
) -> Vec<Result<AimWindow, NoWindow>> {
    let cuts = std::iter::once(0.0).chain(grid.cuts_rad.iter().copied());
    let acceptance = match accepted {
        Ok(acceptance) => acceptance,
        Err(no) => return cuts.map(|_| Err(NoWindow::from(*no))).collect(),
    };
    let shots: Vec<Option<Shot>> = cuts
        .map(|cut_rad| abstract_shot(gear, grid, cut_rad, p, a).ok())
        .collect();
    let cues: Vec<Point> = shots.iter().flatten().map(|s| s.cue).collect();
    // Every shot of a grid counts a straight one as cut to the same side.
    let stroke = shots
        .iter()
        .flatten()
        .next()
        .map_or(grid.stroke, |s| s.stroke);
    let mut solved = solve_many(gear, acceptance, &cues, &stroke).into_iter();
    shots
        .iter()
        .map(|shot| {
            let window = shot.and_then(|_| solved.next());
            window.unwrap_or(Err(NoWindow::OutOfReach))
        })
        .collect()
}

fn abstract_shot(
    gear: &Gear,
    grid: &Grid,
    cut_rad: f64,
    p: usize,
    a: usize,
) -> Result<Shot, ShotError> {
    let shot = AbstractShot {
        kind: grid.kind,
        cut_rad,
        cut_side: grid.stroke.straight_side,
        apart_m: grid.aparts_m[a],
        to_pocket_m: grid.to_pockets_m[p],
        approach_rad: grid.approach_rad,
    };
    Shot::from_angles(gear, &shot, grid.stroke)
}

/// Every value of every axis once, so that errors come before output.
///
/// # Errors
/// [`ShotError`] for a value no shot can have.
pub fn check(gear: &Gear, grid: &Grid) -> Result<(), ShotError> {
    let at = |c: f64, a: f64, p: f64| {
        let one = Grid {
            cuts_rad: vec![c],
            aparts_m: vec![a],
            to_pockets_m: vec![p],
            ..grid.clone()
        };
        abstract_shot(gear, &one, c, 0, 0).map(|_| ())
    };
    let (Some(&c), Some(&a), Some(&p)) = (
        grid.cuts_rad.first(),
        grid.aparts_m.first(),
        grid.to_pockets_m.first(),
    ) else {
        return Ok(());
    };
    grid.cuts_rad.iter().try_for_each(|&c| at(c, a, p))?;
    grid.aparts_m.iter().try_for_each(|&a| at(c, a, p))?;
    grid.to_pockets_m.iter().try_for_each(|&p| at(c, a, p))
}
