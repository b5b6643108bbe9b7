//! The best next shot on a table where some balls have moved, found without solving every shot: what a
//! pocket can give at most is known in closed form, and shots are solved from the most promising down.

use kurbo::{Point, Vec2};

use super::follow::is_up;
use super::legal::Legal;
use crate::layout::{ChooseOptions, DropSet, Layout, Table, direct, stance};
use crate::player::chance;
use crate::pocket::{PocketKind, PocketName};

/// A pocket takes this much more than a gate between its points would, off jaws and rails, at most
/// straight in; and this much more again from the side (read off acceptances at 1 m/s on every preset;
/// only the order of looking rests on it).
const JAWS: f64 = 1.35;
const FROM_THE_SIDE: f64 = 0.9;
/// A bound this near to what was found is not looked into.
const MARGIN: f64 = 1.1;
/// Shots solved for one place at most.
const SOLVED: usize = 10;
/// Below this a next shot is none.
const NOTHING: f64 = 0.01;
/// What a way that another ball touches is taken to be worth in a rough look.
const PART_BLOCKED: f64 = 0.2;

/// The next shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct NextShot {
    pub(crate) ball: usize,
    pub(crate) pocket: PocketName,
    /// Chance to make it.
    pub(crate) chance: f64,
    /// What it scores.
    pub(crate) worth: f64,
}

/// One pocket as it is seen from afar.
#[derive(Debug, Clone, Copy)]
struct Mouth {
    name: PocketName,
    middle: Point,
    axis: Vec2,
    /// Between the points, less a ball.
    gate_m: f64,
    corner: bool,
}

/// Finds next shots for one player on one bed.
#[derive(Debug)]
pub(crate) struct Finder<'a> {
    table: &'a Table<'a>,
    options: &'a ChooseOptions,
    mouths: [Mouth; 6],
}

/// Drop sets that still hold, by ball and pocket.
#[derive(Debug, Default)]
pub(crate) struct Known<'a> {
    sets: Vec<&'a DropSet>,
}

impl<'a> Known<'a> {
    /// Those that the balls that moved or went had no part in.
    pub(crate) fn without(sets: &[&'a DropSet], moved: &[usize]) -> Self {
        let still = |set: &&DropSet| {
            !moved.contains(&set.ball) && !set.blockers.iter().any(|b| moved.contains(b))
        };
        Self {
            sets: sets.iter().copied().filter(still).collect(),
        }
    }

    fn get(&self, ball: usize, pocket: PocketName) -> Option<&'a DropSet> {
        let same = |set: &&&DropSet| set.ball == ball && set.pocket == pocket;
        self.sets.iter().find(same).copied()
    }
}

impl<'a> Finder<'a> {
    pub(crate) fn new(table: &'a Table<'a>, options: &'a ChooseOptions) -> Self {
        let ball_m = 2.0 * table.object_bed.body.plan_radius_m;
        let mouths = PocketName::ALL.map(|name| {
            let frame = name.frame(table.gear);
            let middle = frame.to_plan(Point::ORIGIN);
            let spec = frame.kind.spec(table.gear);
            Mouth {
                name,
                middle,
                axis: Vec2::from_angle(frame.axis_rad),
                gate_m: (spec.mouth_m - ball_m).max(0.005),
                corner: name.kind() == PocketKind::Corner,
            }
        });
        Self {
            table,
            options,
            mouths,
        }
    }

    /// The best shot among the balls that are on. `known` are drop sets that still hold.
    pub(crate) fn best(
        &self,
        layout: &Layout,
        legal: &dyn Legal,
        known: &Known<'_>,
    ) -> Option<NextShot> {
        let table = self.table.with_layout(layout);
        let mut looks = self.looks(layout, legal);
        looks.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut best: Option<NextShot> = None;
        for &(bound, ball, mouth) in looks.iter().take(SOLVED) {
            let worth = legal.worth(ball, ball);
            if best.is_some_and(|b| MARGIN * bound < b.chance * b.worth) {
                break;
            }
            let pocket = mouth.name;
            let fresh;
            let set = match known.get(ball, pocket) {
                Some(set) => set,
                None => match table.drop_set(ball, pocket, self.options.stroke.pace_m_s) {
                    Ok(Ok(set)) => {
                        fresh = set;
                        &fresh
                    }
                    _ => continue,
                },
            };
            let Ok(shot) = direct(&table, Ok(set), &self.options.stroke) else {
                continue;
            };
            let arm_factor = stance(&table, shot.aim_rad, self.options.reach).arm_factor();
            let chance = shot.chance(self.options.aims(&shot), arm_factor);
            if chance > NOTHING && best.is_none_or(|b| chance * worth > b.chance * b.worth) {
                best = Some(NextShot {
                    ball,
                    pocket,
                    chance,
                    worth,
                });
            }
        }
        best
    }

    /// Whether a cue ball on its way from one place to another passes a ball.
    pub(crate) fn misses_line(&self, ball: Point, from: Point, to: Point) -> bool {
        off_line_m(ball, from, to) >= self.table.cue_object_m
    }

    /// Length of the table.
    pub(crate) fn length_m(&self) -> f64 {
        self.table.gear.bed.length_m
    }

    /// About what the best shot is worth, without solving any.
    pub(crate) fn rough(&self, layout: &Layout, legal: &dyn Legal) -> f64 {
        let (cue_m, object_m) = (self.table.cue_object_m, self.table.object_object_m);
        let clear = |from: Point, to: Point, but: usize, contact_m: f64| {
            let others = layout.balls.iter().enumerate();
            others
                .filter(|(i, b)| *i != but && is_up(b.at))
                .all(|(_, b)| off_line_m(b.at, from, to) >= contact_m)
        };
        let mut looks = self.looks(layout, legal);
        looks.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut best = 0.0_f64;
        for (bound, ball, mouth) in looks {
            if bound <= best {
                break;
            }
            let at = layout.balls[ball].at;
            let ghost = at - (mouth.middle - at).normalize() * cue_m;
            let free =
                clear(at, mouth.middle, ball, object_m) && clear(layout.cue, ghost, ball, cue_m);
            best = best.max(if free { bound } else { PART_BLOCKED * bound });
        }
        best
    }

    /// What every ball that is on may be worth in every pocket, at most.
    fn looks(&self, layout: &Layout, legal: &dyn Legal) -> Vec<(f64, usize, Mouth)> {
        let mut looks = Vec::with_capacity(6 * layout.balls.len());
        for (ball, at) in layout.balls.iter().map(|b| b.at).enumerate() {
            if !is_up(at) || !legal.on(ball) {
                continue;
            }
            let worth = legal.worth(ball, ball);
            if worth <= 0.0 {
                continue;
            }
            for mouth in self.mouths {
                let bound = worth * self.at_most(layout.cue, at, mouth);
                if bound > NOTHING {
                    looks.push((bound, ball, mouth));
                }
            }
        }
        looks
    }

    /// `P ≤ 2Φ(w/2σ) − 1` with `w = A·D cos φ/t_c`, A being what the pocket takes at most.
    fn at_most(&self, cue: Point, object: Point, mouth: Mouth) -> f64 {
        let line = mouth.middle - object;
        let far_m = line.hypot().max(0.02);
        let along = line / line.hypot().max(1e-9);
        let off = along.dot(mouth.axis).clamp(-1.0, 1.0).acos();
        let wide_m = if mouth.corner {
            mouth.gate_m * JAWS * (1.0 + FROM_THE_SIDE * (off / 0.7).min(1.0))
        } else if off > 1.25 {
            return 0.0;
        } else {
            mouth.gate_m * JAWS
        };
        let ghost = object - along * self.table.cue_object_m;
        let way = ghost - cue;
        let travel_m = way.hypot().max(0.02);
        let cos_cut = way.dot(along) / travel_m;
        // The edge of the pocket may be in reach where its middle is not.
        let room = wide_m / far_m;
        let cos_cut = (cos_cut + 0.5 * room).min(1.0);
        if cos_cut <= 0.0 {
            return 0.0;
        }
        let width = room * self.table.cue_object_m * cos_cut / travel_m;
        let sigma = self.options.player.sigma_rad(travel_m, 1.0);
        chance(&[(-0.5 * width, 0.5 * width)], sigma, 0.0)
    }
}

/// How far a place is off the line between two others, m; beyond its ends, off the nearer one.
fn off_line_m(at: Point, from: Point, to: Point) -> f64 {
    let along = to - from;
    let share = (at - from).dot(along) / along.hypot2().max(1e-12);
    (at - (from + along * share.clamp(0.0, 1.0))).hypot()
}
