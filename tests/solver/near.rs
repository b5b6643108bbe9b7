//! Series for small angles.

use thincut::inside::{small_atan, small_sin_cos};

/// A few units in the last place of numbers near 1.
const ROUNDING: f64 = 4e-16;

#[test]
fn series_agree_with_the_library() {
    for k in -200..=200 {
        let x = f64::from(k) * 1e-3;
        let (s, c) = small_sin_cos(x);
        assert!(
            (s - x.sin()).abs() <= ROUNDING && (c - x.cos()).abs() <= ROUNDING,
            "{x}"
        );
        assert!((small_atan(x) - x.atan()).abs() <= ROUNDING, "{x}");
    }
}
