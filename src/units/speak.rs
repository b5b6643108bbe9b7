//! Quantities in words and marks for people. Rounded: never to be read back.

use super::{Angle, Length, Speed, UnitSystem};

/// Cuts within this of a named hit are called by it, in degrees (assumption: half a degree is far
/// below what anyone sees, and rounds as the printed angle does).
const NAMED_WITHIN_DEG: f64 = 0.5;

/// Fractions of a ball that have a name, fullest first.
const HITS: [(f64, &str); 5] = [
    (1.0, "a full-ball"),
    (0.75, "a three-quarter-ball"),
    (0.5, "a half-ball"),
    (0.25, "a quarter-ball"),
    (0.125, "an eighth-ball"),
];

/// The hit of a cut: `a half-ball hit`, `between a half-ball and a quarter-ball hit`.
#[must_use]
pub fn hit(cut: Angle) -> String {
    let deg = cut.deg().abs();
    let named_deg = |fraction: f64| Angle::from_ball_fraction(fraction).deg();
    if let Some((_, name)) = HITS
        .iter()
        .find(|(fraction, _)| (named_deg(*fraction) - deg).abs() <= NAMED_WITHIN_DEG)
    {
        return format!("{name} hit");
    }
    for pair in HITS.windows(2) {
        if let [(_, fuller), (thin_fraction, thinner)] = pair
            && deg < named_deg(*thin_fraction)
        {
            return format!("between {fuller} and {thinner} hit");
        }
    }
    "thinner than an eighth-ball hit".to_owned()
}

/// A cut with its hit: `30°, a half-ball hit`. The sign is dropped: sides are words.
#[must_use]
pub fn cut(angle: Angle) -> String {
    format!("{}, {}", degrees(angle.abs()), hit(angle))
}

/// An angle in degrees: two decimals below 1°, one below 10°, else none.
#[must_use]
pub fn degrees(angle: Angle) -> String {
    format!(
        "{}°",
        rounded(angle.deg(), &[(1.0, 2), (10.0, 1), (f64::INFINITY, 0)])
    )
}

/// Room in degrees: as [`degrees`], but some room never reads as none.
#[must_use]
pub fn room_degrees(angle: Angle) -> String {
    if angle.deg() > 0.0 && angle.deg() < 0.005 {
        "less than 0.01°".to_owned()
    } else {
        degrees(angle)
    }
}

/// A short length, as at the ghost ball: `0.62 mm`, `2.4 mm`, `12 mm`; `0.024 in`, `0.47 in`.
#[must_use]
pub fn small_length(length: Length, system: impl Into<UnitSystem>) -> String {
    match system.into() {
        UnitSystem::Metric => format!(
            "{} mm",
            rounded(length.mm(), &[(1.0, 2), (10.0, 1), (f64::INFINITY, 0)])
        ),
        UnitSystem::Inches => format!(
            "{} in",
            rounded(length.inches(), &[(0.1, 3), (10.0, 2), (f64::INFINITY, 1)])
        ),
    }
}

/// A distance on the table: `85 cm`, `1.22 m`; `8 in`, `3 ft`, `3½ ft`, `3 ft 4 in`.
#[must_use]
pub fn distance(length: Length, system: impl Into<UnitSystem>) -> String {
    match system.into() {
        UnitSystem::Metric if (length.mm() / 10.0).round().abs() < 100.0 => {
            format!("{} cm", (length.mm() / 10.0).round())
        }
        UnitSystem::Metric => format!("{} m", rounded(length.m(), &[(f64::INFINITY, 2)])),
        UnitSystem::Inches => feet(length),
    }
}

/// A speed, rounded: `1 m/s`, `3.3 ft/s`.
#[must_use]
pub fn speed(speed: Speed, system: impl Into<UnitSystem>) -> String {
    match system.into() {
        UnitSystem::Metric => format!("{} m/s", rounded(speed.m_s(), &[(f64::INFINITY, 2)])),
        UnitSystem::Inches => {
            let ft_s = Length::from_m(speed.m_s()).feet();
            format!("{} ft/s", rounded(ft_s, &[(f64::INFINITY, 1)]))
        }
    }
}

/// Feet and whole inches, with ½ for six of them: `3 ft`, `3½ ft`, `3 ft 4 in`, `8 in`.
#[must_use]
pub fn feet(length: Length) -> String {
    let total_in = length.inches().abs().round();
    let sign = if length.m() < 0.0 && total_in > 0.0 {
        "−"
    } else {
        ""
    };
    let feet = (total_in / 12.0).floor();
    let over = total_in - 12.0 * feet;
    let whole = |a: f64, b: f64| (a - b).abs() < 0.5;
    if whole(feet, 0.0) {
        format!("{sign}{over} in")
    } else if whole(over, 0.0) {
        format!("{sign}{feet} ft")
    } else if whole(over, 6.0) {
        format!("{sign}{feet}½ ft")
    } else {
        format!("{sign}{feet} ft {over} in")
    }
}

/// Within this much of a quarter of a diamond (about 6 mm on a 9-foot table) the fraction is what a
/// person sees.
const SEEN_AS_QUARTER: f64 = 0.02;

/// A number of diamonds, or of anything told in quarters: quarters as fractions (`1½`, `¼`), others with one decimal (`1.3`).
#[must_use]
pub fn diamonds(count: f64) -> String {
    let quarters = (count.abs() * 4.0).round();
    if (count.abs() - quarters / 4.0).abs() > SEEN_AS_QUARTER {
        return rounded(count, &[(f64::INFINITY, 1)]);
    }
    let whole = (quarters / 4.0).floor();
    let sign = if count < 0.0 && quarters > 0.0 {
        "−"
    } else {
        ""
    };
    let mark = match quarters - 4.0 * whole {
        rest if rest < 0.5 => "",
        rest if rest < 1.5 => "¼",
        rest if rest < 2.5 => "½",
        _ => "¾",
    };
    if whole < 0.5 && !mark.is_empty() {
        return format!("{sign}{mark}");
    }
    format!("{sign}{whole}{mark}")
}

/// A number of diamonds without decimals: a quarter as a fraction, anything else as nearly one or a
/// little over one: `1½`, `nearly 3`, `a little over 2¾`, `less than ¼`.
#[must_use]
pub fn plain_diamonds(count: f64) -> String {
    let quarter = 0.25 * (4.0 * count.abs()).round();
    let off = count.abs() - quarter;
    match (diamonds(quarter), off) {
        (near, off) if off.abs() <= SEEN_AS_QUARTER => near,
        (_, _) if quarter < 0.125 => "less than ¼".to_owned(),
        (near, off) if off < 0.0 => format!("nearly {near}"),
        (near, _) => format!("a little over {near}"),
    }
}

/// `value` with the decimals of the first step whose bound exceeds its size, zeros trimmed.
fn rounded(value: f64, steps: &[(f64, usize)]) -> String {
    let decimals = steps
        .iter()
        .find(|(below, _)| value.abs() < *below)
        .map_or(0, |(_, decimals)| *decimals);
    super::decimals(value, decimals).replace('-', "−")
}
