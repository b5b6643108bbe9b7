//! Direct shots, and the pull-back that all but kicks rest on: directions of a ball that drops, pulled
//! back to the cue ball past the others.

use kurbo::{Point, Vec2};

use super::candidate::{Candidate, Family, Refusal, Unseen, Way};
use super::obstruct::{restrict, sector, turn_rad};
use super::table::{DropSet, Table, ends};
use crate::directions::{Directions, Span};
use crate::motion::{Feature, straight_hit};
use crate::pocket::{Acceptance, How, NoAcceptance, PocketName};
use crate::window::{AimWindow, NoWindow, Placed, Stroke, near_cushion, solve_many, solve_with};

/// Looks per span when something may stand in the cue ball's way.
const STATIONS: u32 = 12;
/// Times the aim is taken anew when others block the cue ball; the throw changes by thousandths of
/// itself from one to the next.
const AIM_ROUNDS: u32 = 2;

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

/// The windows of a shot from many places of the cue ball as if no other ball were there, for
/// [`direct_from`].
pub(super) fn windows(
    table: &Table<'_>,
    set: &DropSet,
    stroke: &Stroke,
    cues: &[Point],
) -> Vec<Result<AimWindow, NoWindow>> {
    solve_many(table.gear, &set.acceptance, cues, stroke)
}

/// The same with what it is aimed by, see [`pulled`].
pub(crate) fn direct_played(
    table: &Table<'_>,
    set: &DropSet,
    stroke: &Stroke,
) -> Result<(Candidate, Option<Acceptance>), Refusal> {
    let window = solve_with(table.gear, &set.acceptance, table.layout.cue, stroke);
    direct_from(table, set, stroke, window)
}

/// The same where the window without the other balls is known.
pub(super) fn direct_from(
    table: &Table<'_>,
    set: &DropSet,
    stroke: &Stroke,
    window: Result<AimWindow, NoWindow>,
) -> Result<(Candidate, Option<Acceptance>), Refusal> {
    if set.open.is_empty() {
        return Err(Refusal::ObjectBlocked(set.blockers.clone()));
    }
    let (mut found, played) = match beside_cushion(table, set, stroke, &window) {
        Some(found) => found,
        None => {
            let alone = Alone {
                acceptance: &set.acceptance,
                window,
            };
            pulled_from(table, set.ball, alone, &set.open, stroke)?
        }
    };
    found.pocket = set.pocket;
    found.pace_m_s = Some(set.acceptance.pace_m_s);
    found.blocked_share = 1.0 - (1.0 - found.blocked_share) * (1.0 - set.blocked_share);
    found.blockers.extend(&set.blockers);
    found.blockers.sort_unstable();
    found.blockers.dedup();
    Ok((found, played))
}

/// A shot whose ball lies so near a cushion that the cue ball may meet it first: found forwards, with
/// the acceptance that the aim goes by. `None` where no cushion plays a part, or nothing is left.
fn beside_cushion(
    table: &Table<'_>,
    set: &DropSet,
    stroke: &Stroke,
    window: &Result<AimWindow, NoWindow>,
) -> Option<(Candidate, Option<Acceptance>)> {
    let (gear, object, cue) = (table.gear, table.at(set.ball), table.layout.cue);
    if !near_cushion(gear, object) {
        return None;
    }
    let acceptance = Acceptance {
        pieces: set.open.clone(),
        ..set.acceptance.clone()
    };
    let window = window.as_ref().ok()?;
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
        placed.beside(&acceptance, window, cue, stroke)
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
    let window = solve_with(table.gear, acceptance, table.layout.cue, stroke);
    pulled_from(table, first, Alone { acceptance, window }, open, stroke)
}

/// A shot as if no other ball were in the cue ball's way.
struct Alone<'a> {
    acceptance: &'a Acceptance,
    window: Result<AimWindow, NoWindow>,
}

/// The same where the window of the acceptance is known.
fn pulled_from(
    table: &Table<'_>,
    first: usize,
    alone: Alone<'_>,
    open: &Directions<How>,
    stroke: &Stroke,
) -> Result<(Candidate, Option<Acceptance>), Refusal> {
    let Alone { acceptance, window } = alone;
    let aimed = |window: Result<AimWindow, NoWindow>| {
        let window = window.map_err(refusal)?;
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
    let (mut window, mut all, mut directions, mut blockers) = aimed(window)?;
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
        let again = solve_with(table.gear, &part, table.layout.cue, stroke);
        (window, all, directions, blockers) = aimed(again)?;
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
    let (from, to) = ends(all);
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
