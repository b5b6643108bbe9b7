//! Maximum likelihood for models with one to five parameters.
//!
//! A model gives ln L, its gradient and the expected (Fisher) information; the maximum is found
//! by Fisher scoring with step halving, which only ever climbs, inside box bounds. Standard
//! errors come from the observed information (the gradient differenced at the maximum).
//! A search that does not settle, or data that say nothing, is a typed fault.

use crate::player::fault::PlayerError;

/// Most parameters a model may have.
pub const MAX_PARAMETERS: usize = 5;

/// Parameter values; entries past the model's count are unused.
pub type Theta = [f64; MAX_PARAMETERS];

/// A symmetric matrix over the parameters.
pub type Matrix = [[f64; MAX_PARAMETERS]; MAX_PARAMETERS];

/// Smallest chance a likelihood works with: keeps ln finite where a search strays. Assumption.
pub(super) const SMALLEST_CHANCE: f64 = 1e-300;

/// A search has settled when the next step would raise ln L by less than this: a distance of
/// about 1e-6 standard errors from the maximum. Assumption.
pub(crate) const SETTLED: f64 = 1e-12;

/// Most steps of a search; ordinary data take under ten. Assumption.
const MAX_STEPS: usize = 200;

/// Steps of scoring before Newton steps are tried. Assumption.
const SCORING_STEPS: usize = 20;

/// Most halvings of one step: 2⁻⁴⁰ is past rounding. Assumption.
const MAX_HALVINGS: usize = 40;

/// Step of the gradient's differences, in standard errors. Truncation then is about 1e-6 of
/// the information and rounding less. Assumption.
const DIFFERENCE_STEP: f64 = 1e-3;

/// ln L and its derivatives at one point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evaluation {
    /// Log-likelihood, without the binomial coefficients.
    pub ln_likelihood: f64,
    /// ∂ ln L / ∂θ.
    pub gradient: Theta,
    /// Expected information.
    pub information: Matrix,
}

impl Evaluation {
    /// Nothing seen yet.
    #[must_use]
    pub fn empty() -> Self {
        Self {
            ln_likelihood: 0.0,
            gradient: [0.0; MAX_PARAMETERS],
            information: [[0.0; MAX_PARAMETERS]; MAX_PARAMETERS],
        }
    }

    /// Adds `count` tries that ended in an outcome of the given chance.
    pub fn add_count(&mut self, count: f64, chance: f64, slope: &Theta) {
        if count > 0.0 {
            let safe = chance.max(SMALLEST_CHANCE);
            self.ln_likelihood += count * safe.ln();
            for (g, s) in self.gradient.iter_mut().zip(slope) {
                *g += count * s / safe;
            }
        }
    }

    /// Adds what `tries` tries say on average through an outcome of the given chance.
    pub fn add_information(&mut self, tries: f64, chance: f64, slope: &Theta) {
        let safe = chance.max(SMALLEST_CHANCE);
        for i in 0..MAX_PARAMETERS {
            for j in 0..MAX_PARAMETERS {
                self.information[i][j] += tries * slope[i] * slope[j] / safe;
            }
        }
    }

    /// Adds what other tries say.
    pub fn add(&mut self, other: &Self) {
        self.ln_likelihood += other.ln_likelihood;
        for i in 0..MAX_PARAMETERS {
            self.gradient[i] += other.gradient[i];
            for j in 0..MAX_PARAMETERS {
                self.information[i][j] += other.information[i][j];
            }
        }
    }

    /// Adds one row of a binomial model: `made` of `tries`.
    pub fn add_binomial(&mut self, made: f64, tries: f64, chances: BothChances, slope: &Theta) {
        let against = slope.map(|s| -s);
        self.add_count(made, chances.makes, slope);
        self.add_count(tries - made, chances.misses, &against);
        self.add_information(tries, chances.makes, slope);
        self.add_information(tries, chances.misses, &against);
    }
}

/// The chance of a make and its complement, each to all its digits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BothChances {
    /// Of a make.
    pub makes: f64,
    /// Of a miss.
    pub misses: f64,
}

/// A family of likelihoods.
pub trait Likelihood {
    /// Number of parameters, 1 to [`MAX_PARAMETERS`].
    fn parameters(&self) -> usize;

    /// Name of a parameter, for faults.
    fn name(&self, parameter: usize) -> String;

    /// A sensible place to start.
    fn start(&self) -> Theta;

    /// Range a parameter may take.
    fn bounds(&self, _parameter: usize) -> (f64, f64) {
        (f64::NEG_INFINITY, f64::INFINITY)
    }

    /// ln L with derivatives at `theta`.
    fn evaluate(&self, theta: &Theta) -> Evaluation;
}

/// The top of a likelihood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Maximum {
    /// Where it is.
    pub theta: Theta,
    /// ln L there.
    pub ln_likelihood: f64,
    /// Parameters that ended on their lower or upper bound with ln L still rising outward.
    pub on_bound: [bool; MAX_PARAMETERS],
    /// Expected information there.
    pub expected: Matrix,
}

/// The largest likelihood, from the model's own start.
///
/// # Errors
/// [`PlayerError::Flat`] when a parameter changes nothing; [`PlayerError::NoMaximum`] when the
/// search does not settle.
pub fn maximise(model: &impl Likelihood) -> Result<Maximum, PlayerError> {
    climb(model, model.start(), None, SETTLED)
}

/// The largest likelihood from `start`, with one parameter held if asked.
pub(crate) fn climb(
    model: &impl Likelihood,
    start: Theta,
    held: Option<usize>,
    settled: f64,
) -> Result<Maximum, PlayerError> {
    let n = model.parameters();
    let mut theta = start;
    let mut here = model.evaluate(&theta);
    for step_number in 0..MAX_STEPS {
        let on_bound: [bool; MAX_PARAMETERS] =
            std::array::from_fn(|i| i < n && pushes_out(model, i, &theta, &here));
        let free: Vec<usize> = (0..n)
            .filter(|&i| Some(i) != held && !on_bound[i])
            .collect();
        let top = Maximum {
            theta,
            ln_likelihood: here.ln_likelihood,
            on_bound,
            expected: here.information,
        };
        if free.is_empty() {
            return Ok(top);
        }
        let step = next_step(model, &theta, &here, &free, step_number)?;
        let rise: f64 = 0.5
            * free
                .iter()
                .map(|&i| step[i] * here.gradient[i])
                .sum::<f64>();
        if rise <= settled {
            return Ok(top);
        }
        match uphill(model, &theta, &here, &step) {
            Some((next, evaluation)) => (theta, here) = (next, evaluation),
            // No step however small climbs: rounding has been reached.
            None => return Ok(top),
        }
    }
    Err(PlayerError::NoMaximum {
        iterations: MAX_STEPS,
        ln_likelihood: here.ln_likelihood,
    })
}

/// A scoring step, or, once scoring has proved slow, a Newton step where the likelihood curves
/// the right way: scoring crawls where a log is far from what the model expects.
fn next_step(
    model: &impl Likelihood,
    theta: &Theta,
    here: &Evaluation,
    free: &[usize],
    step_number: usize,
) -> Result<Theta, PlayerError> {
    let scoring =
        solve(&here.information, &here.gradient, free).map_err(|i| PlayerError::Flat {
            parameter: model.name(i),
        })?;
    if step_number < SCORING_STEPS {
        return Ok(scoring);
    }
    let observed = observed_information(model, theta, &here.information, free);
    Ok(solve(&observed, &here.gradient, free).unwrap_or(scoring))
}

fn pushes_out(model: &impl Likelihood, i: usize, theta: &Theta, here: &Evaluation) -> bool {
    let (lo, hi) = model.bounds(i);
    (theta[i] <= lo && here.gradient[i] <= 0.0) || (theta[i] >= hi && here.gradient[i] >= 0.0)
}

/// The first of step, step/2, step/4 … that climbs.
fn uphill(
    model: &impl Likelihood,
    theta: &Theta,
    here: &Evaluation,
    step: &Theta,
) -> Option<(Theta, Evaluation)> {
    let mut share = 1.0;
    for _ in 0..MAX_HALVINGS {
        let next: Theta = std::array::from_fn(|i| {
            if i < model.parameters() {
                let (lo, hi) = model.bounds(i);
                (theta[i] + share * step[i]).clamp(lo, hi)
            } else {
                0.0
            }
        });
        let evaluation = model.evaluate(&next);
        if evaluation.ln_likelihood > here.ln_likelihood {
            return Some((next, evaluation));
        }
        share *= 0.5;
    }
    None
}

/// Solves `matrix · x = rhs` over the `free` parameters; `Err(i)` names one the matrix does
/// not depend on.
pub(crate) fn solve(matrix: &Matrix, rhs: &Theta, free: &[usize]) -> Result<Theta, usize> {
    // Scaling to a unit diagonal makes the pivots comparable whatever the units.
    let scale: Theta = std::array::from_fn(|i| matrix[i][i].max(0.0).sqrt());
    if let Some(&flat) = free
        .iter()
        .find(|&&i| scale[i] <= 0.0 || !scale[i].is_finite())
    {
        return Err(flat);
    }
    let mut lower = [[0.0; MAX_PARAMETERS]; MAX_PARAMETERS];
    let mut x = [0.0; MAX_PARAMETERS];
    for (a, &i) in free.iter().enumerate() {
        for (b, &j) in free.iter().enumerate().take(a + 1) {
            let dot: f64 = (0..b).map(|k| lower[a][k] * lower[b][k]).sum();
            let rest = matrix[i][j] / (scale[i] * scale[j]) - dot;
            if a == b {
                // Two parameters that do the same leave a pivot of rounding size.
                if rest <= 1e-13 {
                    return Err(i);
                }
                lower[a][a] = rest.sqrt();
            } else {
                lower[a][b] = rest / lower[b][b];
            }
        }
        let dot: f64 = (0..a).map(|k| lower[a][k] * x[k]).sum();
        x[a] = (rhs[i] / scale[i] - dot) / lower[a][a];
    }
    let mut out = [0.0; MAX_PARAMETERS];
    for a in (0..free.len()).rev() {
        let dot: f64 = (a + 1..free.len()).map(|k| lower[k][a] * x[k]).sum();
        x[a] = (x[a] - dot) / lower[a][a];
        out[free[a]] = x[a] / scale[free[a]];
    }
    Ok(out)
}

/// Inverse of the information over the `free` parameters: their covariance.
///
/// # Errors
/// The index of a parameter the information does not depend on.
pub(crate) fn inverse(matrix: &Matrix, free: &[usize]) -> Result<Matrix, usize> {
    let mut out = [[0.0; MAX_PARAMETERS]; MAX_PARAMETERS];
    for &j in free {
        let mut unit = [0.0; MAX_PARAMETERS];
        unit[j] = 1.0;
        let column = solve(matrix, &unit, free)?;
        for &i in free {
            out[i][j] = column[i];
        }
    }
    Ok(out)
}

/// The parameters that are not on a bound.
pub(crate) fn free(model: &impl Likelihood, top: &Maximum) -> Vec<usize> {
    (0..model.parameters())
        .filter(|&i| !top.on_bound[i])
        .collect()
}

/// Observed information (minus the second derivatives of ln L) over the `free` parameters, by
/// central differences of the gradient.
fn observed_information(
    model: &impl Likelihood,
    theta: &Theta,
    expected: &Matrix,
    free: &[usize],
) -> Matrix {
    let mut observed = [[0.0; MAX_PARAMETERS]; MAX_PARAMETERS];
    for &i in free {
        let step = DIFFERENCE_STEP / expected[i][i].sqrt();
        let at = |by: f64| {
            let mut moved = *theta;
            moved[i] += by;
            model.evaluate(&moved).gradient
        };
        let (above, below) = (at(step), at(-step));
        for &j in free {
            observed[i][j] = (below[j] - above[j]) / (2.0 * step);
        }
    }
    // The differences are symmetric only up to rounding.
    std::array::from_fn(|i| std::array::from_fn(|j| 0.5 * (observed[i][j] + observed[j][i])))
}

/// Covariance of the estimates from the observed information; zero rows for parameters on a
/// bound.
///
/// # Errors
/// [`PlayerError::Flat`] when the likelihood has no curvature along a parameter.
pub fn observed_covariance(model: &impl Likelihood, top: &Maximum) -> Result<Matrix, PlayerError> {
    let free = free(model, top);
    let observed = observed_information(model, &top.theta, &top.expected, &free);
    inverse(&observed, &free).map_err(|i| PlayerError::Flat {
        parameter: model.name(i),
    })
}
