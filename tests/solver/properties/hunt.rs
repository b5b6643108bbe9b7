//! Hunting for directions that drop and are in no accepted piece (or the other way round).

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use thincut::motion::start_speed_for_pace_m_s;
use thincut::pocket::{How, NoAcceptance};

use super::cases::{Ball, how_it_drops};

/// No interval wider than this at the mouth may be missed, m: the promise of the solver.
const PROMISED_M: f64 = 0.001;
/// A disagreement is followed in so many steps a promise, and a little farther.
const STEPS: i32 = 50;

/// A run of directions on which tracing and acceptance disagree.
#[derive(Debug)]
#[expect(dead_code, reason = "printed when a test fails")]
pub(crate) struct Miss {
    pub(crate) from_deg: f64,
    pub(crate) to_deg: f64,
    pub(crate) width_mm: f64,
    pub(crate) traced: Option<How>,
    pub(crate) accepted: Option<How>,
}

/// Samples directions at random, half of them near the pocket, and returns the disagreements wider
/// than promised. Nothing where no ball can lie.
pub(crate) fn hunt(ball: &Ball, samples: u32, seed: u64) -> Vec<Miss> {
    let pieces = match ball.accept() {
        None | Some(Err(NoAcceptance::InTheJaws)) => return Vec::new(),
        Some(Err(NoAcceptance::NoDrop)) => thincut::directions::Directions::new(),
        Some(Ok(acceptance)) => acceptance.pieces,
    };
    let shape = ball.shape();
    let far_m = ball.object.to_vec2().hypot();
    let approach = (-ball.object.y).atan2(-ball.object.x);
    let speed = start_speed_for_pace_m_s(&ball.gear.cloth, ball.pace_m_s, far_m);
    let traced = |theta: f64| how_it_drops(ball, &shape, speed, approach + theta);
    let right = std::f64::consts::FRAC_PI_2;
    let near = (2.0 * shape.mouth_m / far_m).min(right);
    let step = PROMISED_M / far_m / f64::from(STEPS);
    let mut random = Pcg64::seed_from_u64(seed);
    let mut misses: Vec<Miss> = Vec::new();
    for k in 0..samples {
        let reach = if k % 2 == 0 { near } else { right };
        let theta = random.random_range(-reach..reach);
        let (got, want) = (pieces.tag_at(theta), traced(theta));
        if got == want {
            continue;
        }
        let same = |t: f64| t.abs() < right && pieces.tag_at(t) == got && traced(t) == want;
        let run = |sign: f64| {
            (1..=STEPS + 2)
                .take_while(|&n| same(theta + sign * f64::from(n) * step))
                .last()
                .map_or(theta, |n| theta + sign * f64::from(n) * step)
        };
        let (from, to) = (run(-1.0), run(1.0));
        if (to - from) * far_m > PROMISED_M {
            misses.push(Miss {
                from_deg: from.to_degrees(),
                to_deg: to.to_degrees(),
                width_mm: (to - from) * far_m * 1e3,
                traced: want,
                accepted: got,
            });
        }
    }
    misses
}
