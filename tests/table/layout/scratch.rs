//! Errors that are as likely as each other.

use thincut::inside::evenly_likely;
use thincut::layout::AimSpread;

const SPREAD: AimSpread = AimSpread {
    sigma_rad: 1.0,
    bias_rad: 0.0,
};

#[test]
fn evenly_likely_errors_halve_and_stay_inside() {
    let set = [(-2.0, -1.0), (0.0, 3.0)];
    let drawn = evenly_likely(&set, SPREAD, 101);
    assert_eq!(drawn.len(), 101);
    assert!(
        drawn
            .iter()
            .all(|d| set.iter().any(|(a, b)| a <= d && d <= b))
    );
    // Φ(−1) − Φ(−2) = 0.1359, Φ(3) − Φ(0) = 0.4987 (tables of the Normal): 21 in 100 left
    let left = drawn.iter().filter(|d| **d < 0.0).count();
    assert_eq!(left, 22);
    assert!(evenly_likely(&[(40.0, 41.0)], SPREAD, 5).is_empty());
}
