//! A number with no more decimals than it needs.

/// At most so many decimals, without trailing zeros, and never `-0`.
///
/// ```
/// use thincut::units::decimals;
///
/// assert_eq!(decimals(1.50, 3), "1.5");
/// assert_eq!(decimals(-0.0004, 3), "0");
/// ```
#[must_use]
pub fn decimals(value: f64, most: usize) -> String {
    let mut text = format!("{value:.most$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" {
        text.remove(0);
    }
    text
}
