//! Several values in one option: a list or a range.

use super::error::RequestError;
use crate::error::UnitError;
use crate::field::Field;
use crate::shown::quoted;
use crate::units::{Angle, Length, parse_cut};

/// Most values a range may have.
const MOST_IN_A_RANGE: f64 = 1e6;

/// Reads a list `a,b,c` or a range `a..b/step` of values that `read` understands.
fn list(
    option: Field,
    text: &str,
    read: impl Fn(&str) -> Result<f64, UnitError>,
) -> Result<Vec<f64>, RequestError> {
    let one = |t: &str| read(t).map_err(|source| RequestError::Unit { option, source });
    let Some((from, rest)) = text.split_once("..") else {
        return text.split(',').map(|t| one(t.trim())).collect();
    };
    let word = || RequestError::Word {
        option,
        value: quoted(text),
        choices: "a list such as 0deg,30deg or a range such as 0deg..80deg/5deg, with a step above 0 that leads from the first to the last value",
    };
    let (to, step) = rest.split_once('/').ok_or_else(word)?;
    let (from, to, step) = (one(from.trim())?, one(to.trim())?, one(step.trim())?);
    let count = ((to - from) / step + 1e-9).floor();
    if !(step > 0.0 && (0.0..=MOST_IN_A_RANGE).contains(&count)) {
        return Err(word());
    }
    let mut values = Vec::new();
    let mut k = 0.0;
    while k <= count {
        values.push(from + k * step);
        k += 1.0;
    }
    Ok(values)
}

/// Reads a list or range of angles.
///
/// # Errors
/// [`RequestError`] naming the option.
pub fn angles(option: Field, text: &str) -> Result<Vec<Angle>, RequestError> {
    let read = |t: &str| t.parse::<Angle>().map(Angle::deg);
    Ok(list(option, text, read)?
        .into_iter()
        .map(Angle::from_deg)
        .collect())
}

/// Reads a list or range of cuts, hits such as `half-ball` included.
///
/// # Errors
/// [`RequestError`] naming the option.
pub fn cuts(option: Field, text: &str) -> Result<Vec<Angle>, RequestError> {
    let read = |t: &str| parse_cut(t).map(Angle::deg);
    Ok(list(option, text, read)?
        .into_iter()
        .map(Angle::from_deg)
        .collect())
}

/// Reads a list or range of lengths.
///
/// # Errors
/// [`RequestError`] naming the option.
pub fn lengths(option: Field, text: &str) -> Result<Vec<Length>, RequestError> {
    let read = |t: &str| t.parse::<Length>().map(Length::m);
    Ok(list(option, text, read)?
        .into_iter()
        .map(Length::from_m)
        .collect())
}
