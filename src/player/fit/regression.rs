//! Binomial models with published answers: logit and probit regression, and golf putting.
//!
//! They share the engine with the aim model, so that its maxima, standard errors, intervals
//! and statistics can be checked against the literature.

use super::goodness::FittedRow;
use super::likelihood::{BothChances, Evaluation, Likelihood, MAX_PARAMETERS, Maximum, Theta};
use crate::player::chance::normal::{cdf, density, upper_tail};
use crate::player::fault::PlayerError;

/// Tries and makes at one setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    /// Tries.
    pub tries: u64,
    /// Makes.
    pub made: u64,
}

/// How the linear predictor becomes a chance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Link {
    /// `p = 1/(1 + e^−η)`.
    Logit,
    /// `p = Φ(η)`.
    Probit,
}

impl Link {
    /// Chance, its complement, and the chance's slope at `eta`.
    fn chance(self, eta: f64) -> (f64, f64, f64) {
        match self {
            Self::Logit => {
                let (p, q) = (1.0 / (1.0 + (-eta).exp()), 1.0 / (1.0 + eta.exp()));
                (p, q, p * q)
            }
            Self::Probit => (cdf(eta), upper_tail(eta), density(eta)),
        }
    }
}

/// Regression of a chance on up to four covariates (the constant counts as one).
#[derive(Debug, Clone, PartialEq)]
pub struct Regression {
    link: Link,
    covariates: usize,
    rows: Vec<(Theta, Count)>,
}

impl Regression {
    /// Rows of covariates with their counts.
    ///
    /// # Errors
    /// [`PlayerError::BadObservation`] when a row has another number of covariates than the
    /// first, more than four, or more makes than tries.
    pub fn new(link: Link, rows: &[(Vec<f64>, Count)]) -> Result<Self, PlayerError> {
        let covariates = rows.first().map_or(0, |(x, _)| x.len());
        let mut checked = Vec::with_capacity(rows.len());
        for (i, (x, count)) in rows.iter().enumerate() {
            if x.len() != covariates || covariates == 0 || covariates > MAX_PARAMETERS {
                return Err(PlayerError::BadObservation {
                    row: i + 1,
                    problem: format!(
                        "{} covariates: every row needs the same number, 1 to {MAX_PARAMETERS}",
                        x.len()
                    ),
                });
            }
            if count.made > count.tries {
                return Err(PlayerError::BadObservation {
                    row: i + 1,
                    problem: format!(
                        "{} made of {} tries: at most as many as tries",
                        count.made, count.tries
                    ),
                });
            }
            let mut theta = [0.0; MAX_PARAMETERS];
            theta[..covariates].copy_from_slice(x);
            checked.push((theta, *count));
        }
        Ok(Self {
            link,
            covariates,
            rows: checked,
        })
    }

    /// Fitted rows, for the statistics.
    #[must_use]
    pub fn fitted(&self, top: &Maximum) -> Vec<FittedRow> {
        self.rows
            .iter()
            .map(|(x, count)| {
                let (chance, miss_chance, _) = self.link.chance(dot(x, &top.theta));
                FittedRow {
                    tries: count.tries,
                    made: count.made,
                    chance,
                    miss_chance,
                }
            })
            .collect()
    }
}

fn dot(a: &Theta, b: &Theta) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

impl Likelihood for Regression {
    fn parameters(&self) -> usize {
        self.covariates
    }

    fn name(&self, parameter: usize) -> String {
        format!("coefficient {}", parameter + 1)
    }

    fn start(&self) -> Theta {
        [0.0; MAX_PARAMETERS]
    }

    #[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
    fn evaluate(&self, theta: &Theta) -> Evaluation {
        let mut sum = Evaluation::empty();
        for (x, count) in &self.rows {
            let (p, q, slope) = self.link.chance(dot(x, theta));
            sum.add_binomial(
                count.made as f64,
                count.tries as f64,
                BothChances {
                    makes: p,
                    misses: q,
                },
                &x.map(|v| v * slope),
            );
        }
        sum
    }
}

/// Golf putting: a ball of radius r rolls straight into a hole of radius R from distance x
/// when its direction is within asin((R − r)/x); `p = 2Φ(asin((R − r)/x)/σ) − 1`.
///
/// Gelman & Nolan 2002, *Teaching Statistics*. The parameter is ln σ, σ in radians.
#[derive(Debug, Clone, PartialEq)]
pub struct Putting {
    rows: Vec<(f64, Count)>,
}

impl Putting {
    /// Hole and ball radii and the distances, all in metres, with counts.
    ///
    /// # Errors
    /// [`PlayerError::BadObservation`] when a putt starts inside the hole or has more makes
    /// than tries.
    pub fn new(
        hole_radius_m: f64,
        ball_radius_m: f64,
        putts: &[(f64, Count)],
    ) -> Result<Self, PlayerError> {
        let rows = putts
            .iter()
            .enumerate()
            .map(|(i, &(distance_m, count))| {
                let half_width_rad = ((hole_radius_m - ball_radius_m) / distance_m).asin();
                if half_width_rad > 0.0 && count.made <= count.tries {
                    Ok((half_width_rad, count))
                } else {
                    Err(PlayerError::BadObservation {
                        row: i + 1,
                        problem: format!(
                            "{} of {} from {distance_m} m: start outside the hole, with at most as many makes as tries",
                            count.made, count.tries
                        ),
                    })
                }
            })
            .collect::<Result<_, _>>()?;
        Ok(Self { rows })
    }

    /// Fitted rows, for the statistics.
    #[must_use]
    pub fn fitted(&self, top: &Maximum) -> Vec<FittedRow> {
        let sigma_rad = top.theta[0].exp();
        self.rows
            .iter()
            .map(|&(half, count)| {
                let miss_chance = 2.0 * upper_tail(half / sigma_rad);
                FittedRow {
                    tries: count.tries,
                    made: count.made,
                    chance: 1.0 - miss_chance,
                    miss_chance,
                }
            })
            .collect()
    }
}

impl Likelihood for Putting {
    fn parameters(&self) -> usize {
        1
    }

    fn name(&self, _parameter: usize) -> String {
        "sigma".to_owned()
    }

    fn start(&self) -> Theta {
        // A spread as wide as the middle putt's window: about two in three.
        let half = self.rows.get(self.rows.len() / 2).map_or(1.0, |row| row.0);
        let mut theta = [0.0; MAX_PARAMETERS];
        theta[0] = half.ln();
        theta
    }

    #[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
    fn evaluate(&self, theta: &Theta) -> Evaluation {
        let sigma_rad = theta[0].exp();
        let mut sum = Evaluation::empty();
        for &(half, count) in &self.rows {
            let z = half / sigma_rad;
            let miss = 2.0 * upper_tail(z);
            // dp/d ln σ = −2 z φ(z)
            let mut slope = [0.0; MAX_PARAMETERS];
            slope[0] = -2.0 * z * density(z);
            sum.add_binomial(
                count.made as f64,
                count.tries as f64,
                BothChances {
                    makes: 1.0 - miss,
                    misses: miss,
                },
                &slope,
            );
        }
        sum
    }
}
