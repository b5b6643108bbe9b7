//! A shot tried many times over: the player's aim and speed as a sequence that fills both evenly, so that five
//! hundred tries tell what thousands of drawn ones would to about one in a hundred.
//!
//! Aim errors come in pairs of either sign, so that a layout and its mirror image have one answer.

use crate::layout::Candidate;
use crate::layout::{CueEnd, Forward, Plays, Table};
use crate::player::{normal, side_spread_rad};

/// Pairs tried.
const PAIRS: u32 = 240;
/// Steps of the sequence: 1/g and 1/g², g³ = g + 1 (M. Roberts, "The unreasonable effectiveness of
/// quasirandom sequences", 2018).
const STEP_AIM: f64 = 0.754_877_666_246_692_7;
const STEP_SPEED: f64 = 0.569_840_290_998_053_3;
/// Slower strokes are not played, as a share of the intended one.
const SLOWEST: f64 = 0.05;

/// One try: the stroke's speed as a share of the intended one, and the aim's error, rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Try {
    pub(super) share: f64,
    pub(super) delta_rad: f64,
}

/// What became of the tries.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Tries {
    /// Scratched, made or not, as a share of all.
    pub(super) scratched: f64,
    /// Of the makes, the share that keeps the cue ball.
    pub(super) kept: f64,
    /// Of those, the share after which it touches another ball.
    pub(super) touched: f64,
    /// Makes that keep it: the intended one first, where it is one.
    pub(super) makes: Vec<Try>,
}

/// The tries of a player, the intended one first, then in pairs.
pub(super) fn tries(table: &Table<'_>, shot: &Candidate, plays: &Plays<'_>) -> Vec<Try> {
    let aims = plays.aims;
    let side_rad = shot
        .window()
        .map_or(0.0, |w| side_spread_rad(table.gear, w, &aims.scatter));
    let place = |k: u32, step: f64| (0.5 + step * f64::from(k)).fract();
    let mut all = Vec::with_capacity(2 * PAIRS as usize + 1);
    all.push(Try {
        share: 1.0,
        delta_rad: aims.bias_rad,
    });
    for k in 1..=PAIRS {
        let share = 1.0 + aims.scatter.speed_share * normal::quantile(place(k, STEP_SPEED));
        let share = share.max(SLOWEST);
        let speed_m_s = share * shot.cue_speed_m_s;
        let sigma_rad = shot
            .sigma_at_rad(aims, plays.arm_factor, speed_m_s)
            .hypot(side_rad);
        let off_rad = sigma_rad * normal::quantile(0.5 + 0.5 * place(k, STEP_AIM));
        all.extend([off_rad, -off_rad].map(|off| Try {
            share,
            delta_rad: aims.bias_rad + off,
        }));
    }
    all
}

/// Plays them. The intended one counts only as one to be followed.
pub(super) fn tried(table: &Table<'_>, shot: &Candidate, plays: &Plays<'_>) -> Tries {
    let mut forward = Forward::new(table, shot);
    let (mut made, mut kept, mut touched, mut scratched) = (0_u32, 0_u32, 0_u32, 0_u32);
    let mut makes = Vec::new();
    for (k, one) in tries(table, shot, plays).into_iter().enumerate() {
        if !forward.strike(one.share) {
            continue;
        }
        let outcome = forward.outcome(one.delta_rad, false);
        let is_made = forward.made(&outcome);
        let drops = matches!(outcome.cue.end, CueEnd::Scratch(_));
        if is_made && !drops {
            makes.push(one);
        }
        if k == 0 {
            continue;
        }
        made += u32::from(is_made);
        scratched += u32::from(drops);
        kept += u32::from(is_made && !drops);
        touched += u32::from(is_made && matches!(outcome.cue.end, CueEnd::Ball(_)));
    }
    let share = |part: u32, of: u32| f64::from(part) / f64::from(of.max(1));
    Tries {
        scratched: share(scratched, 2 * PAIRS),
        kept: if made == 0 { 1.0 } else { share(kept, made) },
        touched: share(touched, kept),
        makes,
    }
}
