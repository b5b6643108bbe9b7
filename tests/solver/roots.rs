//! First roots of quartics.

use thincut::inside::first_fall_below_zero;

/// Roots of small polynomials in doubles, a few ulps.
const TOLERANCE: f64 = 1e-12;

#[test]
fn finds_the_first_of_four_roots() {
    // (1−t)(2−t)(3−t)(4−t) = 24 − 50t + 35t² − 10t³ + t⁴
    let t = first_fall_below_zero([24.0, -50.0, 35.0, -10.0, 1.0], 5.0).unwrap();
    assert!((t - 1.0).abs() < TOLERANCE);
}

#[test]
fn starts_on_zero_and_rises() {
    // t(1−t)
    let t = first_fall_below_zero([0.0, 1.0, -1.0, 0.0, 0.0], 3.0).unwrap();
    assert!((t - 1.0).abs() < TOLERANCE);
}

#[test]
fn a_touch_is_no_contact() {
    // (t−1)² has no negative value
    assert_eq!(first_fall_below_zero([1.0, -2.0, 1.0, 0.0, 0.0], 3.0), None);
    assert_eq!(first_fall_below_zero([1.0, 0.0, 0.0, 0.0, 0.0], 3.0), None);
}

#[test]
fn what_is_no_number_has_no_root() {
    // Halved on and on it would take 2⁵² steps.
    for bad in [f64::NAN, f64::INFINITY] {
        let c = [1.0, bad, -bad, bad, bad];
        assert_eq!(first_fall_below_zero(c, 1.0), None);
        assert_eq!(first_fall_below_zero([1.0, 0.0, 0.0, 0.0, -2.0], bad), None);
    }
}
