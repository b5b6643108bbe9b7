//! The outcomes of a try at one shot, and tries at the same shot added up.

use std::collections::HashMap;

use super::likelihood::SMALLEST_CHANCE;
use super::observation::Observation;
use crate::player::chance::caught::joined;
use crate::player::chance::normal::{between, cdf, density, upper_tail};
use crate::player::fault::PlayerError;
use crate::units::Side;

#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Counts {
    pub(super) made: f64,
    pub(super) above: f64,
    pub(super) below: f64,
    pub(super) unsided: f64,
}

/// One shot with its window joined and its tries added up.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    pub(super) intervals_rad: Vec<(f64, f64)>,
    /// Index of the interval aimed into.
    pub(super) main: usize,
    pub(super) cue_travel_m: f64,
    pub(super) cue_speed_m_s: f64,
    pub(super) cut: Side,
    pub(super) cut_told: bool,
    pub(super) sided: bool,
    pub(super) counts: Counts,
}

/// Chances of the outcomes with their slopes along (ln σ, bias).
#[derive(Debug, Clone, Copy)]
pub(super) struct Cells {
    pub(super) made: f64,
    pub(super) below: f64,
    pub(super) above: f64,
    pub(super) below_slope: [f64; 2],
    pub(super) above_slope: [f64; 2],
}

/// Along what a row's ln L is known: ln σ, bias, share of wild strokes.
pub(super) const ALONG: usize = 3;

/// ln L of a row with its derivatives along (ln σ, bias, share of wild strokes).
#[derive(Debug, Clone, Copy)]
pub(super) struct Score {
    pub(super) ln_likelihood: f64,
    pub(super) gradient: [f64; ALONG],
    /// Expected information, each with each.
    pub(super) information: [[f64; ALONG]; ALONG],
}

impl Score {
    /// Adds an outcome seen `count` times, and `tries` tries' expectation of it if it is told
    /// apart from the others.
    fn add(&mut self, count: f64, tries: f64, chance: f64, slope: [f64; ALONG]) {
        let safe = chance.max(SMALLEST_CHANCE);
        let shares = slope.map(|s| s / safe);
        if count > 0.0 {
            self.ln_likelihood += count * safe.ln();
            for (sum, share) in self.gradient.iter_mut().zip(shares) {
                *sum += count * share;
            }
        }
        for (row, share) in self.information.iter_mut().zip(shares) {
            for (sum, slope) in row.iter_mut().zip(slope) {
                *sum += tries * share * slope;
            }
        }
    }
}

impl Row {
    /// ln L at a spread, a bias and a share of wild strokes, with the information of `weight_tries` tries.
    ///
    /// A wild stroke misses, as often on the one side as on the other:
    /// `P(made) = (1 − w) p`, `P(below) = (1 − w) p₋ + w/2`, `P(above) = (1 − w) p₊ + w/2`.
    pub(super) fn score(
        &self,
        sigma_rad: f64,
        bias_rad: f64,
        wild_share: f64,
        weight_tries: f64,
    ) -> Score {
        let cells = self.cells(sigma_rad, bias_rad);
        let aimed = 1.0 - wild_share;
        let side = |[s, b]: [f64; 2], chance: f64| [aimed * s, aimed * b, 0.5 - chance];
        let below = side(cells.below_slope, cells.below);
        let above = side(cells.above_slope, cells.above);
        let missed: [f64; ALONG] = std::array::from_fn(|i| below[i] + above[i]);
        let mut score = Score {
            ln_likelihood: 0.0,
            gradient: [0.0; ALONG],
            information: [[0.0; ALONG]; ALONG],
        };
        score.add(
            self.counts.made,
            weight_tries,
            aimed * cells.made,
            missed.map(|s| -s),
        );
        let wild = 0.5 * wild_share;
        // Which outcomes are told apart depends on whether sides were noted.
        let (sided, unsided) = if self.sided {
            (weight_tries, 0.0)
        } else {
            (0.0, weight_tries)
        };
        if self.sided {
            score.add(self.counts.below, sided, aimed * cells.below + wild, below);
            score.add(self.counts.above, sided, aimed * cells.above + wild, above);
        }
        if self.counts.unsided > 0.0 || !self.sided {
            score.add(
                self.counts.unsided,
                unsided,
                aimed * (cells.below + cells.above) + wild_share,
                missed,
            );
        }
        score
    }

    pub(super) fn tries(&self) -> f64 {
        self.counts.made + self.counts.above + self.counts.below + self.counts.unsided
    }

    pub(super) fn cells(&self, sigma_rad: f64, bias_rad: f64) -> Cells {
        let z = |edge: f64| (edge - bias_rad) / sigma_rad;
        // dΦ(z)/d ln σ = −z φ(z), dΦ(z)/d bias = −φ(z)/σ
        let slope = |z: f64| {
            let phi = density(z);
            [-z * phi, -phi / sigma_rad]
        };
        let add = |to: &mut [f64; 2], by: [f64; 2], sign: f64| {
            to[0] += sign * by[0];
            to[1] += sign * by[1];
        };
        let (mut below, mut above) = (0.0, 0.0);
        let (mut below_slope, mut above_slope) = ([0.0; 2], [0.0; 2]);
        let mut previous: Option<f64> = None;
        for (i, &(lo, hi)) in self.intervals_rad.iter().enumerate() {
            let lower = z(lo);
            // The gap before interval i lies below the main interval as long as i ≤ main.
            let (mass, at) = if i <= self.main {
                (&mut below, &mut below_slope)
            } else {
                (&mut above, &mut above_slope)
            };
            *mass += previous.map_or_else(|| cdf(lower), |end| between(end, lower));
            add(at, slope(lower), 1.0);
            if let Some(end) = previous {
                add(at, slope(end), -1.0);
            }
            previous = Some(z(hi));
        }
        if let Some(end) = previous {
            above += upper_tail(end);
            add(&mut above_slope, slope(end), -1.0);
        }
        let missed = below + above;
        let made = if missed < 0.5 {
            1.0 - missed
        } else {
            self.intervals_rad
                .iter()
                .map(|&(lo, hi)| between(z(lo), z(hi)))
                .sum()
        };
        Cells {
            made,
            below,
            above,
            below_slope,
            above_slope,
        }
    }
}

/// Checks observations and adds up those at the same shot, in the order they first appear.
pub(super) fn add_up(observations: &[Observation]) -> Result<Vec<Row>, PlayerError> {
    let mut rows: Vec<Row> = Vec::new();
    let mut known: HashMap<Vec<u64>, usize> = HashMap::with_capacity(observations.len());
    for (i, observation) in observations.iter().enumerate() {
        observation.check(i + 1)?;
        let index = *known.entry(identity(observation)).or_insert_with(|| {
            rows.push(row_of(observation));
            rows.len() - 1
        });
        add_counts(&mut rows[index].counts, observation);
    }
    Ok(rows)
}

/// What makes two observations the same shot.
fn identity(observation: &Observation) -> Vec<u64> {
    let side = match observation.cut {
        Side::Left => 0,
        Side::Right => 1,
    };
    let head = [
        observation.cue_travel_m.to_bits(),
        observation.cue_speed_m_s.to_bits(),
        side + 2 * u64::from(observation.sides.is_some()) + 4 * u64::from(observation.cut_told),
    ];
    head.into_iter()
        .chain(
            observation
                .intervals_rad
                .iter()
                .flat_map(|(lo, hi)| [lo.to_bits(), hi.to_bits()]),
        )
        .collect()
}

fn row_of(observation: &Observation) -> Row {
    let intervals_rad: Vec<(f64, f64)> = joined(&observation.intervals_rad).collect();
    // The interval aimed into, or the nearest one when the aim itself is in a gap.
    let distance = |&(lo, hi): &(f64, f64)| lo.max(-hi).max(0.0);
    let main = intervals_rad
        .iter()
        .enumerate()
        .min_by(|a, b| distance(a.1).total_cmp(&distance(b.1)))
        .map_or(0, |(i, _)| i);
    Row {
        intervals_rad,
        main,
        cue_travel_m: observation.cue_travel_m,
        cue_speed_m_s: observation.cue_speed_m_s,
        cut: observation.cut,
        cut_told: observation.cut_told,
        sided: observation.sides.is_some(),
        counts: Counts::default(),
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
fn add_counts(counts: &mut Counts, observation: &Observation) {
    counts.made += observation.made as f64;
    match observation.sides {
        None => counts.unsided += (observation.tries - observation.made) as f64,
        Some(sides) => {
            let (above, below) = match observation.cut {
                Side::Left => (sides.full, sides.thin),
                Side::Right => (sides.thin, sides.full),
            };
            counts.above += above as f64;
            counts.below += below as f64;
            counts.unsided += sides.other as f64;
        }
    }
}
