//! A player's chance on a solved shot.

use kurbo::{Point, Vec2};

use super::aim_error::AimError;
use super::caught::{BestAim, EqualStraight, LN_X, best_aim, equal_between, equal_straight};
use super::paced::{Aimed, Paced, Spread, Takes};
use super::range::{Ranged, ranged_about};
use crate::directions::Sample;
use crate::gear::Gear;
use crate::motion::BallBody;
use crate::pocket::{PocketFrame, PocketKind, PocketShape, accept};
use crate::window::{Shot, Solution, Solved, Stroke, Tip, solve_with};

/// What a player makes of a shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShotChance {
    /// Spread of the cue ball's direction on this shot.
    pub spread: Spread,
    /// Chance to make it, aiming at the middle of the untouched part.
    pub chance: f64,
    /// What it is over the assumed bounce of jaws and rails, where that was asked for.
    pub range: Option<Ranged>,
    /// How often the stroke is too soft, 0 to 1.
    pub dies_short: f64,
    /// Best aim within the untouched part, and what it gains; `None` without an untouched part.
    pub best: Option<BestAim>,
    /// The straight shot that is as hard.
    pub equal: EqualStraight,
}

/// Cue-ball directions that make the shot, relative to the aim, rad, sorted: one interval a
/// connected set of accepted directions, cut where the object ball can no longer be hit.
#[must_use]
pub fn makes(solved: Solved<'_>) -> Vec<(f64, f64)> {
    let Solved { acceptance, window } = solved;
    let mut out: Vec<(f64, f64)> = Vec::with_capacity(1);
    let mut push = |a: f64, b: f64| out.push((a.min(b), a.max(b)));
    let spans = acceptance.pieces.spans();
    let mut k = 0;
    while k < spans.len() {
        let from = spans[k].from_rad;
        let mut to = spans[k].to_rad;
        // Touching pieces are one interval; edges agree to the accuracy they are found with.
        while k + 1 < spans.len() && spans[k + 1].from_rad - to <= TOUCHING_RAD {
            k += 1;
            to = spans[k].to_rad;
        }
        k += 1;
        let is_drop = (from - acceptance.drop.from_rad).abs() <= TOUCHING_RAD;
        match (is_drop, window.drop) {
            (true, Some(drop)) => push(drop.aim_from_rad, drop.aim_to_rad),
            (true, None) => {}
            (false, _) => {
                if let Some((a, b)) = window.turn_for_rad(from, to) {
                    push(a, b);
                }
            }
        }
    }
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out
}

/// Pieces closer than this touch, rad.
const TOUCHING_RAD: f64 = 2e-10;
/// Nearest straight shot compared with, m (assumption: balls nearer than this are another game).
const SHORTEST_STRAIGHT_M: f64 = 0.08;

/// The chance and what goes with it, with its range where that is asked for.
#[must_use]
pub fn shot_chance(
    aimed: &Aimed<'_>,
    player: &AimError,
    straights: &Straights,
    with_range: bool,
) -> ShotChance {
    let takes = Takes::new(aimed.gear, aimed.shot);
    let paced = aimed.chance_in(&takes, player);
    let range = || with_range.then(|| ranged_about(&paced, aimed, player));
    let best = || better_aim(aimed, &takes, player, &paced);
    let equal = || straights.equal(paced.chance);
    let beside = || (best(), equal());
    // The other cases and the rest do not need each other.
    let (range, (best, equal)) = if with_range {
        rayon::join(range, beside)
    } else {
        (None, beside())
    };
    ShotChance {
        spread: paced.spread,
        chance: paced.chance,
        range,
        dies_short: paced.dies_short,
        best,
        equal,
    }
}

/// The best aim within the untouched part for the stroke as intended, as far as it holds over the
/// speeds of the stroke: else the aim as it is.
fn better_aim(aimed: &Aimed<'_>, takes: &Takes, player: &AimError, now: &Paced) -> Option<BestAim> {
    let clean = aimed.window.clean?.interval_rad();
    let clean = clean.0 - aimed.turn_rad..clean.1 - aimed.turn_rad;
    let intervals = aimed.as_intended_rad();
    let best = best_aim(clean, &intervals, now.spread.total_rad(), player.bias_rad);
    let stay = BestAim {
        shift_rad: 0.0,
        chance: now.chance,
        gain: 0.0,
    };
    if best.gain <= 0.0 {
        return Some(stay);
    }
    let turned = Aimed {
        turn_rad: aimed.turn_rad + best.shift_rad,
        ..*aimed
    };
    let then = turned.chance_in(takes, player).chance;
    Some(if then > now.chance {
        BestAim {
            shift_rad: best.shift_rad,
            chance: then,
            gain: then - now.chance,
        }
    } else {
        stay
    })
}

/// The chance of a solved shot, 0 where there is no window.
#[must_use]
pub fn chance_of_solution(gear: &Gear, shot: &Shot, solution: &Solution, player: &AimError) -> f64 {
    Aimed::of(gear, shot, solution).map_or(0.0, |aimed| aimed.chance(player).chance)
}

/// Straight shots square to a corner with X between the balls and X to the pocket: same gear,
/// pace and player, no bias, no side.
#[derive(Debug, Clone)]
pub struct Straights {
    gear: Gear,
    shape: PocketShape,
    player: AimError,
    stroke: Stroke,
    longest_m: f64,
    /// Chances at some X from near to far, for brackets.
    known: Vec<Sample<f64>>,
    /// Of ln X, where it is enough to seek between two that are known.
    enough: Option<f64>,
}

impl Straights {
    /// The family, up to half the table's diagonal.
    #[must_use]
    pub fn new(gear: &Gear, player: &AimError, stroke: &Stroke) -> Self {
        let body = BallBody::object(gear);
        Self {
            gear: gear.clone(),
            shape: PocketShape::new(gear, PocketKind::Corner, &body),
            player: AimError {
                bias_rad: 0.0,
                ..*player
            },
            stroke: Stroke {
                side: 0.0,
                tip: stroke.tip.map(|tip| Tip {
                    across_m: 0.0,
                    ..tip
                }),
                ..*stroke
            },
            longest_m: 0.5 * gear.bed.length_m.hypot(gear.bed.width_m),
            known: Vec::new(),
            enough: None,
        }
    }

    /// With chances at `count` distances worked out ahead, which pays for many shots.
    #[must_use]
    pub fn prepared(mut self, count: u32) -> Self {
        let ratio = self.longest_m / SHORTEST_STRAIGHT_M;
        self.known = (0..=count)
            .map(|k| {
                let x = SHORTEST_STRAIGHT_M * ratio.powf(f64::from(k) / f64::from(count.max(1)));
                self.sample(x)
            })
            .collect();
        self
    }

    /// Seeks between two that were worked out ahead, to this share of the distance: for answers
    /// that are shown while somebody drags.
    #[must_use]
    pub fn to_within(mut self, share: f64) -> Self {
        self.enough = Some(share);
        self
    }

    fn sample(&self, x_m: f64) -> Sample<f64> {
        Sample {
            at: x_m,
            found: self.chance(x_m),
        }
    }

    /// Chance at one distance.
    #[must_use]
    pub fn chance(&self, x_m: f64) -> f64 {
        let body = BallBody::object(&self.gear);
        let object = Point::new(-x_m, 0.0);
        let accepted = accept(
            &self.shape,
            &self.gear.cloth,
            &body,
            object,
            self.stroke.pace_m_s,
        );
        let Ok(Ok(acceptance)) = accepted else {
            return 1.0;
        };
        let shot = Shot {
            frame: PocketFrame::alone(PocketKind::Corner),
            cue: object - Vec2::new(x_m, 0.0),
            object,
            stroke: self.stroke,
        };
        let Ok(window) = solve_with(&self.gear, &acceptance, shot.cue, &self.stroke) else {
            return 1.0;
        };
        let aimed = Aimed {
            acceptance: Some(&acceptance),
            ..Aimed::new(&self.gear, &shot, &window)
        };
        aimed.chance(&self.player).chance
    }

    /// The distance at which such a shot is as hard.
    #[must_use]
    pub fn equal(&self, chance: f64) -> EqualStraight {
        let harder = self
            .known
            .partition_point(|straight| straight.found > chance);
        if let (Some(enough), [first, .., last]) = (self.enough, self.known.as_slice()) {
            let (low, high) = match harder {
                0 => (first, last),
                k => (&self.known[k - 1], self.known.get(k).unwrap_or(last)),
            };
            return equal_between(chance, *low, *high, enough, |x| self.chance(x));
        }
        if harder == 0 || harder >= self.known.len() {
            let (shortest, longest) = (SHORTEST_STRAIGHT_M, self.longest_m);
            return equal_straight(chance, shortest, longest, |x| self.chance(x));
        }
        let [low, high] = [harder - 1, harder].map(|k| self.sample(self.known[k].at));
        equal_between(chance, low, high, LN_X, |x| self.chance(x))
    }
}
