//! Combinations: the cue ball sends one ball into another, which drops. The pull-back twice.

use super::candidate::{Candidate, Family, Refusal, Unseen};
use super::cueball::{arrives, followed};
use super::direct::pull_back;
use super::force::{Tip, agreed};
use super::obstruct::{EDGE_RAD, restrict, sector, spans_of, turn_rad};
use super::table::{DropSet, Table, ends, set_as_acceptance};
use crate::contact::ThrowLaw;
use crate::directions::Directions;
use crate::gear::Gear;
use crate::motion::{start_speed_for_pace_m_s, straight_hit};
use crate::player::aim_error::COMBINATION_SHARE;
use crate::pocket::How;
use crate::window::{AimWindow, Flags, Stroke, solve_with};

/// Rounds that bring the roll of the middle ball and its speed into agreement; each shrinks the
/// difference tenfold, and a dozen are usual.
const ROUNDS: u32 = 40;
/// Agreement of the roll: edges move by less than 1e-9 degrees.
const ROLL_AGREED: f64 = 1e-11;
/// Looks per span for balls in the way of the middle ball.
const STATIONS: u32 = 8;
/// Cuts of the second contact beyond this are not offered, rad: 75° (common practice).
const THINNEST_RAD: f64 = 1.309;

/// Balls nearer than this touch, m: a hundredth of a millimetre.
const FROZEN_M: f64 = 1e-5;
/// Cuts of a frozen pair beyond this are not offered, rad: 60°, where half the speed is left (common
/// practice).
const FROZEN_THINNEST_RAD: f64 = std::f64::consts::FRAC_PI_3;
/// Looks over them: single degrees.
const FROZEN_STEPS: u32 = 120;
/// Narrower combinations are not offered, rad (assumption: nobody hits a hundredth of a degree).
const NARROWEST_RAD: f64 = 1e-4;

/// All combinations through one other ball that the cue ball can play: at the pace of the sets, or at
/// what a stroke off the tip gives. `done` is told of each set looked at.
#[must_use]
pub fn combinations(
    table: &Table<'_>,
    sets: &[&DropSet],
    stroke: &Stroke,
    tip: Option<&Tip>,
    done: &(dyn Fn() + Sync),
) -> Vec<Candidate> {
    use rayon::prelude::*;
    let alike = object_balls_only(table.gear);
    sets.par_iter()
        .flat_map_iter(|set| {
            let others = table.others(Some(set.ball));
            let found: Vec<Candidate> = others
                .take_while(|_| !table.stop.asked())
                .filter_map(|(through, _)| {
                    let shot = one(table, &alike, set, through, stroke).ok()?;
                    match tip {
                        None => Some(shot),
                        Some(tip) => stroked(table, &alike, &shot, stroke, tip),
                    }
                })
                .collect();
            done();
            found
        })
        .collect()
}

/// The combination again at the pace that a stroke gives it.
fn stroked(
    table: &Table<'_>,
    alike: &Gear,
    shot: &Candidate,
    stroke: &Stroke,
    tip: &Tip,
) -> Option<Candidate> {
    let at = |pace_m_s: f64| {
        let set = table
            .drop_set(shot.ball, shot.pocket, pace_m_s)
            .ok()?
            .ok()?;
        one(table, alike, &set, shot.first, stroke).ok()
    };
    let needs =
        |pace_m_s: f64| Ok(at(pace_m_s).map(|c| (c.cue_speed_m_s, stroke.roll, c.cue_travel_m)));
    let pace_m_s = agreed(table, tip, shot.pace_m_s?, needs).ok()??;
    at(pace_m_s)
}

/// The gear as two object balls see it.
fn object_balls_only(gear: &Gear) -> Gear {
    let mut alike = gear.clone();
    alike.balls.cue_diameter_m = gear.balls.object_diameter_m;
    alike.balls.cue_mass_kg = gear.balls.object_mass_kg;
    alike
}

fn one(
    table: &Table<'_>,
    alike: &Gear,
    set: &DropSet,
    through: usize,
    stroke: &Stroke,
) -> Result<Candidate, Refusal> {
    if set.open.is_empty() {
        return Err(Refusal::ObjectBlocked(set.blockers.clone()));
    }
    let (from, object) = (table.at(through), table.at(set.ball));
    let base = (object - from).atan2();
    let target = set.acceptance.approach_rad + set.acceptance.drop.middle_rad();
    if turn_rad(base, target).abs() > THINNEST_RAD {
        return Err(Refusal::OutOfReach);
    }
    if let Some((middle_ball, start_m_s)) = frozen(alike, set, from) {
        let acceptance = set_as_acceptance(
            from,
            base,
            start_m_s,
            table.object_object_m,
            middle_ball.clone(),
        );
        let found = pull_back(table, through, &acceptance, &middle_ball, stroke)?;
        return offered(table, set, found, f64::INFINITY);
    }
    let (window, start_m_s) = second_contact(table, alike, set, through)?;
    let middle_ball = past_others(table, set.ball, through, &window, &set.open);
    if middle_ball.is_empty() {
        return Err(Refusal::ObjectBlocked(Vec::new()));
    }
    let acceptance = set_as_acceptance(
        from,
        window.aim_in_pocket_frame_rad(),
        start_m_s,
        window.approach.apart_m,
        middle_ball.clone(),
    );
    let found = pull_back(table, through, &acceptance, &middle_ball, stroke)?;
    let way_m = window.aim.travel_m;
    offered(table, set, found, way_m)
}

/// The middle ball's shot as a combination, if anyone would try it; `way_m` from the middle ball to the
/// next, infinite where they touch and their line is plain to see.
fn offered(
    table: &Table<'_>,
    set: &DropSet,
    found: Candidate,
    way_m: f64,
) -> Result<Candidate, Refusal> {
    let too_fast = found.window().is_some_and(|w| w.flags.has(Flags::TOO_FAST));
    if too_fast || found.directions.measure_rad() < NARROWEST_RAD {
        return Err(Refusal::OutOfReach);
    }
    let shot = Candidate {
        family: Family::Combination {
            through: found.first,
        },
        ball: set.ball,
        pocket: set.pocket,
        pace_m_s: Some(set.acceptance.pace_m_s),
        unseen: Unseen::judged(COMBINATION_SHARE, way_m, found.lever()),
        ..found
    };
    let directions = followed(table, &shot);
    if directions.measure_rad() < NARROWEST_RAD {
        return Err(Refusal::OutOfReach);
    }
    Ok(Candidate { directions, ..shot })
}

/// Two frozen balls: the second leaves along the line of centres, turned by throw, however the first
/// is hit. Directions of the first, relative to that line, that send the second in, and the speed it
/// takes; `None` when the balls do not touch.
fn frozen(alike: &Gear, set: &DropSet, from: kurbo::Point) -> Option<(Directions<How>, f64)> {
    let line = set.acceptance.object - from;
    if line.hypot() - alike.balls.object_diameter_m > FROZEN_M {
        return None;
    }
    // v_o = (1 + e_b)/2 · v along the line of centres
    let start_m_s = 2.0 * set.acceptance.object_speed_m_s / (1.0 + alike.contact.restitution);
    let law = ThrowLaw {
        contact: alike.contact,
        speed_m_s: start_m_s,
        roll: 0.0,
        side_right: 0.0,
    };
    let (steps, widest) = (f64::from(FROZEN_STEPS), FROZEN_THINNEST_RAD);
    let stations: Vec<f64> = (0..=FROZEN_STEPS)
        .map(|k| widest * (2.0 * f64::from(k) / steps - 1.0))
        .collect();
    // sent right of the line of centres (negative), the first ball has the second on its left
    let spans = spans_of(&stations, EDGE_RAD, &|turn: f64| {
        let throw = law.throw(-turn.sin(), turn.cos());
        let leaves = line.atan2() - throw.angle_rad;
        set.open
            .tag_at(turn_rad(set.acceptance.approach_rad, leaves))
    });
    Some((Directions::from_spans(spans), start_m_s)).filter(|(set, _)| !set.is_empty())
}

/// The contact of the two object balls, with the roll that the middle ball has by then.
fn second_contact(
    table: &Table<'_>,
    alike: &Gear,
    set: &DropSet,
    through: usize,
) -> Result<(AimWindow, f64), Refusal> {
    let cloth = &table.gear.cloth;
    let mut stroke = Stroke {
        side: 0.0,
        ..Stroke::default()
    };
    let mut solved = None;
    for _ in 0..ROUNDS {
        let window = solve_with(alike, &set.acceptance, table.at(through), &stroke)
            .map_err(|_| Refusal::TooClose)?;
        let travel_m = window.aim.travel_m;
        let start_m_s = start_speed_for_pace_m_s(cloth, window.cue_speed_m_s, travel_m);
        let (_, roll) = arrives(cloth, start_m_s, travel_m).ok_or(Refusal::NoDrop)?;
        let agreed = (roll - stroke.roll).abs() < ROLL_AGREED;
        stroke.roll = roll;
        solved = Some((window, start_m_s));
        if agreed {
            break;
        }
    }
    solved.ok_or(Refusal::NoDrop)
}

/// Directions of the middle ball, relative to its aim, in which nothing stands before the second.
fn past_others(
    table: &Table<'_>,
    ball: usize,
    through: usize,
    window: &AimWindow,
    open: &Directions<How>,
) -> Directions<How> {
    let all = window.cue_directions(open);
    let (from, aim_rad) = (table.at(through), window.aim_in_pocket_frame_rad());
    let (low, high) = ends(&all);
    let mut edges = Vec::new();
    for (i, at) in table.others(Some(through)) {
        let (middle, half, _) = sector(from, at, table.object_object_m);
        let turn = turn_rad(aim_rad, middle);
        if i != ball && turn + half > low && turn - half < high {
            edges.extend([turn - half, turn + half]);
        }
    }
    let features = table.object_features(through);
    restrict(&all, &edges, STATIONS, &|delta| {
        straight_hit(&features, from, kurbo::Vec2::from_angle(aim_rad + delta))
            .and_then(|(_, i)| Table::ball_of(&table.object_bed, i, Some(through)))
            == Some(ball)
    })
}
