//! A number with no more decimals than it needs.

/// At most so many decimals, without trailing zeros, and never `-0`.
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

#[cfg(test)]
mod tests {
    use super::decimals;

    #[test]
    fn no_more_decimals_than_it_takes() {
        for (value, most, said) in [
            (1.5, 3, "1.5"),
            (2.0, 3, "2"),
            (100.0, 0, "100"),
            (-0.0004, 3, "0"),
            (-0.5, 1, "-0.5"),
        ] {
            assert_eq!(decimals(value, most), said);
        }
    }
}
