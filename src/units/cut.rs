//! A cut, as an angle or as a fraction of a ball.

use super::parse::{normalised, parse_number};
use super::quantity::Angle;
use crate::error::UnitError;
use crate::shown::quoted;

/// Reads a cut: an angle, or a fraction of a ball such as `half-ball`, `3/4-ball`, `quarter-ball`
/// (sin φ = 1 − fraction). The sign of an angle is kept; a fraction gives 0° to 90°.
///
/// ```
/// use thincut::units::parse_cut;
///
/// assert_eq!(parse_cut("half-ball")?, parse_cut("1/2-ball")?);
/// assert!(parse_cut("2-ball").is_err());
/// # Ok::<(), thincut::UnitError>(())
/// ```
///
/// # Errors
/// [`UnitError::NotACut`] for a fraction outside (0, 1] or unknown words, else the angle's error.
pub fn parse_cut(text: &str) -> Result<Angle, UnitError> {
    // Nearly every cut of a table is one in degrees.
    if text.ends_with("deg") {
        return angle(text);
    }
    let plain = normalised(text).to_lowercase();
    let plain = plain
        .strip_suffix("hit")
        .unwrap_or(&plain)
        .trim_end_matches(['-', ' ']);
    let Some(amount) = plain.strip_suffix("ball") else {
        return angle(text);
    };
    let fraction = match amount.trim_end_matches(['-', ' ']) {
        "full" => Some(1.0),
        "three-quarter" | "three-quarters" => Some(0.75),
        "half" => Some(0.5),
        "quarter" | "one-quarter" => Some(0.25),
        "eighth" | "one-eighth" => Some(0.125),
        digits => parse_number(digits).ok(),
    };
    match fraction {
        Some(f) if f > 0.0 && f <= 1.0 => Ok(Angle::from_ball_fraction(f)),
        _ => Err(UnitError::NotACut {
            value: quoted(text),
        }),
    }
}

fn angle(text: &str) -> Result<Angle, UnitError> {
    text.parse().map_err(|error| match error {
        UnitError::NotAQuantity { .. } => UnitError::NotACut {
            value: quoted(text),
        },
        other => other,
    })
}
