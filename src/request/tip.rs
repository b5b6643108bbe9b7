//! Where the tip strikes, as people say it: `centre`, `a tip high`, `half a tip right`, `6mm low`.

use super::error::RequestError;
use crate::field::Field;
use crate::gear::Gear;
use crate::shown::quoted;
use crate::units::Length;
use crate::window::Tip;

/// Width of a tip, m: 13 mm in pool, 9.5 mm in snooker and English pool (common practice).
const POOL_TIP_M: f64 = 13e-3;
const SNOOKER_TIP_M: f64 = 9.5e-3;
/// Cue balls smaller than this are struck with the narrower tip, m (between 52.5 and 57.15 mm).
const SMALLER_BALL_M: f64 = 55e-3;

/// Width of the tip that a table's cue ball is struck with, m.
pub(crate) fn tip_width_m(gear: &Gear) -> f64 {
    if gear.balls.cue_diameter_m < SMALLER_BALL_M {
        SNOOKER_TIP_M
    } else {
        POOL_TIP_M
    }
}

/// Reads where the tip strikes on a table's cue ball.
///
/// # Errors
/// [`RequestError::Word`].
pub fn tip_place(gear: &Gear, text: &str) -> Result<Tip, RequestError> {
    let word = || RequestError::Word {
        option: Field::Tip,
        value: quoted(text),
        choices: "centre, or how far off the middle and where: \"a tip high\", \"half a tip right\", \"6mm low\", or a height and a side with \"and\" between them",
    };
    let width_m = tip_width_m(gear);
    // A hyphen joins words; in front of a number it is a sign, and the other side has a word of its own.
    if text.split([' ', ',']).any(|word| word.starts_with('-')) {
        return Err(word());
    }
    let plain = text.trim().to_lowercase().replace('-', " ");
    let mut tip = Tip::centre_on(gear);
    if matches!(
        plain.as_str(),
        "centre" | "center" | "middle" | "in the middle" | "centre ball" | "center ball"
    ) {
        return Ok(tip);
    }
    let (mut upright, mut across) = (false, false);
    for part in plain.replace(',', " and ").split(" and ") {
        let (amount, place) = part.trim().rsplit_once(' ').ok_or_else(word)?;
        let off_m = off_m(amount.trim(), width_m).ok_or_else(word)?;
        let (said, to, sign) = match place {
            "high" | "above" => (&mut upright, &mut tip.height_m, 1.0),
            "low" | "below" => (&mut upright, &mut tip.height_m, -1.0),
            "right" => (&mut across, &mut tip.across_m, 1.0),
            "left" => (&mut across, &mut tip.across_m, -1.0),
            _ => return Err(word()),
        };
        // A height twice, or a side twice, is a slip.
        if std::mem::replace(said, true) {
            return Err(word());
        }
        *to = sign * off_m;
    }
    Ok(tip)
}

/// `a tip`, `half a tip`, `1.5 tips`, `6mm`.
fn off_m(amount: &str, width_m: f64) -> Option<f64> {
    let tips = amount
        .strip_suffix("tips")
        .or_else(|| amount.strip_suffix("tip"))
        .map(|count| count.trim().trim_end_matches(" a").trim());
    let off_m = match tips {
        Some("a" | "one" | "") => width_m,
        Some("half" | "1/2" | "½") => 0.5 * width_m,
        Some("quarter" | "a quarter" | "1/4" | "¼") => 0.25 * width_m,
        Some("three quarters" | "3/4" | "¾") => 0.75 * width_m,
        Some(count) => width_m * count.parse::<f64>().ok()?,
        None => amount.parse::<Length>().ok()?.m(),
    };
    (off_m.is_finite() && off_m >= 0.0).then_some(off_m)
}
