//! How uncertain a result is, and which input is to blame: linear propagation.
//!
//! JCGM 100:2008 (GUM), §5: with sensitivities `c_i = ∂f/∂x_i`,
//! `u²(y) = Σ_i Σ_j c_i c_j u_i u_j r_ij`. It is first order: at a stationary point of `f` it
//! says 0, which is why [`super::monte_carlo`] stands beside it.

use serde::Serialize;

use crate::player::fault::PlayerError;

/// Shape of an input's distribution; only the Monte Carlo side needs it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// Normal.
    Normal,
    /// Rectangular, half-width √3 standard uncertainties: all that is known is a range.
    Rectangular,
}

/// One input quantity, in whatever unit the function takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Input {
    /// What it is called in a report.
    pub name: String,
    /// Best estimate.
    pub value: f64,
    /// Standard uncertainty, 0 or more, in the unit of the value.
    pub standard_uncertainty: f64,
    /// Shape of its distribution.
    pub shape: Shape,
}

impl Input {
    /// A Normal input.
    #[must_use]
    pub fn normal(name: &str, value: f64, standard_uncertainty: f64) -> Self {
        Self {
            name: name.to_owned(),
            value,
            standard_uncertainty,
            shape: Shape::Normal,
        }
    }

    /// An input known to lie within `value ± half_width`, anywhere alike (u = half-width/√3).
    #[must_use]
    pub fn rectangular(name: &str, value: f64, half_width: f64) -> Self {
        let standard_uncertainty = half_width / 3.0_f64.sqrt();
        Self {
            name: name.to_owned(),
            value,
            standard_uncertainty,
            shape: Shape::Rectangular,
        }
    }
}

/// A checked set of inputs with their correlations.
#[derive(Debug, Clone, PartialEq)]
pub struct Inputs {
    items: Vec<Input>,
    correlation: Option<Vec<Vec<f64>>>,
    cholesky: Option<Vec<Vec<f64>>>,
}

impl Inputs {
    /// Independent inputs.
    ///
    /// # Errors
    /// [`PlayerError::BadInputs`] when there are none, or one is not finite or has a negative
    /// uncertainty.
    pub fn new(items: Vec<Input>) -> Result<Self, PlayerError> {
        if items.is_empty() {
            return Err(PlayerError::BadInputs(
                "no inputs to propagate: at least one is needed".to_owned(),
            ));
        }
        for input in &items {
            if !input.value.is_finite() {
                return Err(bad(input, "value", input.value, "a finite number"));
            }
            if !input.standard_uncertainty.is_finite() || input.standard_uncertainty < 0.0 {
                return Err(bad(
                    input,
                    "standard uncertainty",
                    input.standard_uncertainty,
                    "0 or more",
                ));
            }
        }
        Ok(Self {
            items,
            correlation: None,
            cholesky: None,
        })
    }

    /// Correlated Normal inputs; `correlation` is the full symmetric matrix with ones on its
    /// diagonal.
    ///
    /// # Errors
    /// [`PlayerError::BadInputs`] as for [`Inputs::new`], and when the matrix has the wrong
    /// size, is not a positive definite correlation matrix, or an input is not Normal.
    pub fn correlated(items: Vec<Input>, correlation: Vec<Vec<f64>>) -> Result<Self, PlayerError> {
        let plain = Self::new(items)?;
        let n = plain.items.len();
        if correlation.len() != n || correlation.iter().any(|row| row.len() != n) {
            return Err(PlayerError::BadInputs(format!(
                "the correlation matrix must be {n} by {n}, as there are {n} inputs"
            )));
        }
        if let Some(input) = plain
            .items
            .iter()
            .find(|input| input.shape != Shape::Normal)
        {
            return Err(PlayerError::BadInputs(format!(
                "'{}' is rectangular: only Normal inputs can be correlated",
                input.name
            )));
        }
        for (i, row) in correlation.iter().enumerate() {
            for (j, r) in row.iter().enumerate() {
                let fits = if i == j {
                    (r - 1.0).abs() < f64::EPSILON
                } else {
                    (r - correlation[j][i]).abs() < f64::EPSILON
                };
                if !fits {
                    return Err(PlayerError::BadInputs(format!(
                        "correlation ({}, {}) is {r}: the matrix must be symmetric with 1 on its diagonal",
                        i + 1,
                        j + 1
                    )));
                }
            }
        }
        let cholesky = cholesky(&correlation).ok_or_else(|| {
            PlayerError::BadInputs(
                "the correlations contradict each other: the matrix must be positive definite"
                    .to_owned(),
            )
        })?;
        Ok(Self {
            items: plain.items,
            correlation: Some(correlation),
            cholesky: Some(cholesky),
        })
    }

    /// The inputs.
    #[must_use]
    pub fn items(&self) -> &[Input] {
        &self.items
    }

    /// Best estimates, in order.
    #[must_use]
    pub fn values(&self) -> Vec<f64> {
        self.items.iter().map(|input| input.value).collect()
    }

    /// Lower Cholesky factor of the correlations, if there are any.
    pub(crate) fn cholesky(&self) -> Option<&[Vec<f64>]> {
        self.cholesky.as_deref()
    }

    fn r(&self, i: usize, j: usize) -> f64 {
        match &self.correlation {
            Some(matrix) => matrix[i][j],
            None if i == j => 1.0,
            None => 0.0,
        }
    }
}

fn bad(input: &Input, what: &str, value: f64, range: &str) -> PlayerError {
    PlayerError::BadInputs(format!(
        "the {what} of '{}' is {value}: it must be {range}",
        input.name
    ))
}

/// Lower factor L with L·Lᵀ = `matrix`; none unless it is positive definite.
fn cholesky(matrix: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let n = matrix.len();
    let mut lower = vec![vec![0.0; n]; n];
    for i in 0..n {
        for j in 0..=i {
            let dot: f64 = (0..j).map(|k| lower[i][k] * lower[j][k]).sum();
            let rest = matrix[i][j] - dot;
            if i == j {
                if rest <= 0.0 {
                    return None;
                }
                lower[i][i] = rest.sqrt();
            } else {
                lower[i][j] = rest / lower[j][j];
            }
        }
    }
    Some(lower)
}

/// What one input adds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Contribution {
    /// Name of the input.
    pub name: String,
    /// ∂f/∂x, in units of the result per unit of the input.
    pub sensitivity: f64,
    /// |∂f/∂x|·u, in the unit of the result.
    pub contribution: f64,
    /// Share of the variance, summing to 1; may be negative under correlation. 0 when there
    /// is no variance at all.
    pub share: f64,
}

/// Result of linear propagation.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Linear {
    /// f at the best estimates.
    pub value: f64,
    /// Combined standard uncertainty.
    pub standard_uncertainty: f64,
    /// Each input's part, in the order of the inputs.
    pub contributions: Vec<Contribution>,
}

impl Linear {
    /// The contribution with the largest share: what to practise first.
    #[must_use]
    pub fn largest(&self) -> Option<&Contribution> {
        self.contributions
            .iter()
            .max_by(|a, b| a.share.total_cmp(&b.share))
    }

    /// Standard uncertainty left if one input had none (independent inputs only).
    #[must_use]
    pub fn without(&self, name: &str) -> f64 {
        self.contributions
            .iter()
            .filter(|part| part.name != name)
            .map(|part| part.contribution.powi(2))
            .sum::<f64>()
            .sqrt()
    }
}

/// Linear propagation with sensitivities by central differences over one standard
/// uncertainty to each side (GUM 5.1.3, note 2), which is robust against kinks in `f`.
pub fn linear(inputs: &Inputs, mut f: impl FnMut(&[f64]) -> f64) -> Linear {
    let at = inputs.values();
    let sensitivities: Vec<f64> = inputs
        .items
        .iter()
        .enumerate()
        .map(|(i, input)| {
            let step = if input.standard_uncertainty > 0.0 {
                input.standard_uncertainty
            } else {
                // Nothing to spread: any small step gives the slope for the report.
                f64::EPSILON.cbrt() * input.value.abs().max(1.0)
            };
            let mut moved = at.clone();
            moved[i] = input.value + step;
            let above = f(&moved);
            moved[i] = input.value - step;
            (above - f(&moved)) / (2.0 * step)
        })
        .collect();
    linear_with(inputs, f(&at), &sensitivities)
}

/// Linear propagation with given sensitivities, one an input; missing ones count as 0.
#[must_use]
pub fn linear_with(inputs: &Inputs, value: f64, sensitivities: &[f64]) -> Linear {
    let signed: Vec<f64> = inputs
        .items
        .iter()
        .enumerate()
        .map(|(i, input)| sensitivities.get(i).copied().unwrap_or(0.0) * input.standard_uncertainty)
        .collect();
    // u² = Σ_i c_i u_i Σ_j r_ij c_j u_j; the inner sum is input i's part of the variance.
    let parts: Vec<f64> = (0..signed.len())
        .map(|i| {
            signed[i]
                * (0..signed.len())
                    .map(|j| inputs.r(i, j) * signed[j])
                    .sum::<f64>()
        })
        .collect();
    let variance = parts.iter().sum::<f64>().max(0.0);
    let contributions = inputs
        .items
        .iter()
        .enumerate()
        .map(|(i, input)| Contribution {
            name: input.name.clone(),
            sensitivity: sensitivities.get(i).copied().unwrap_or(0.0),
            contribution: signed[i].abs(),
            share: if variance > 0.0 {
                parts[i] / variance
            } else {
                0.0
            },
        })
        .collect();
    Linear {
        value,
        standard_uncertainty: variance.sqrt(),
        contributions,
    }
}

/// Covariance of two results that depend on the same inputs (GUM, H.2.3).
#[must_use]
pub fn covariance(inputs: &Inputs, a: &Linear, b: &Linear) -> f64 {
    let weight = |of: &Linear, i: usize| {
        let c = of.contributions.get(i).map_or(0.0, |part| part.sensitivity);
        c * inputs.items[i].standard_uncertainty
    };
    let n = inputs.items.len();
    (0..n)
        .map(|i| {
            (0..n)
                .map(|j| weight(a, i) * inputs.r(i, j) * weight(b, j))
                .sum::<f64>()
        })
        .sum()
}
