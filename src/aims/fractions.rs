//! Fractions of a ball: aim so that the cue ball covers a fraction `f` of the object ball,
//! `sin φ = 1 − f`. Without throw exact at the fractions' own cuts: ¾ 14.478°, ½ 30°, ¼ 48.590°.

use super::{AimsError, CannotAim, Scene, Way};
use crate::field::Field;
use crate::units::decimals;

/// The fraction of a list that comes nearest to the overlap wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Fractions {
    name: String,
    list: Vec<f64>,
}

impl Fractions {
    /// A list of fractions (one alone is "as chosen").
    ///
    /// # Errors
    /// [`AimsError::Fraction`] outside 0 to 1, [`AimsError::Empty`].
    pub fn new(name: &str, list: Vec<f64>) -> Result<Self, AimsError> {
        if list.is_empty() {
            return Err(AimsError::Empty {
                what: Field::Fractions,
                example: "1/2,1/4",
            });
        }
        if let Some(bad) = list.iter().find(|f| !(**f > 0.0 && **f <= 1.0)) {
            return Err(AimsError::Fraction {
                value: bad.to_string(),
            });
        }
        Ok(Self {
            name: name.into(),
            list,
        })
    }

    /// All multiples of 1/`parts` up to a full ball.
    ///
    /// # Errors
    /// [`AimsError::Empty`] for 0 parts.
    pub fn even(name: &str, parts: u32) -> Result<Self, AimsError> {
        let step = 1.0 / f64::from(parts.max(1));
        Self::new(name, (1..=parts).map(|k| f64::from(k) * step).collect())
    }

    /// The fraction used for a shot: nearest in overlap to `1 − |sin φ|`.
    #[must_use]
    pub fn nearest(&self, scene: &Scene<'_>) -> f64 {
        let wanted = 1.0 - scene.ghost().sin_cut.abs();
        self.list
            .iter()
            .copied()
            .min_by(|a, b| (a - wanted).abs().total_cmp(&(b - wanted).abs()))
            .unwrap_or(1.0)
    }
}

impl Way for Fractions {
    fn name(&self) -> String {
        self.name.clone()
    }

    fn rule(&self) -> String {
        let list: Vec<String> = self.list.iter().copied().map(spoken).collect();
        format!(
            "cover the nearest of these fractions of the object ball: {}",
            list.join(", ")
        )
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        Ok(scene.aim_for_cut_rad(1.0 - self.nearest(scene)))
    }
}

/// Reads `1/2` or `0.5`.
///
/// # Errors
/// [`AimsError::Fraction`] when it is no fraction of a ball.
pub fn parse_fraction(text: &str) -> Result<f64, AimsError> {
    let bad = || AimsError::Fraction {
        value: text.trim().to_owned(),
    };
    let number = |t: &str| t.trim().parse::<f64>().map_err(|_| bad());
    let value = match text.split_once('/') {
        Some((top, bottom)) => number(top)? / number(bottom)?,
        None => number(text)?,
    };
    if value > 0.0 && value <= 1.0 {
        Ok(value)
    } else {
        Err(bad())
    }
}

/// A fraction as people say it, "1/3"; others as decimals.
fn spoken(fraction: f64) -> String {
    if (fraction - 1.0).abs() < 1e-9 {
        return "all of it".to_owned();
    }
    let shared = [2, 3, 4, 8].into_iter().find_map(|parts| {
        let count = fraction * f64::from(parts);
        ((count - count.round()).abs() < 1e-9).then(|| format!("{}/{parts}", count.round()))
    });
    shared.unwrap_or_else(|| decimals(fraction, 4))
}
