//! Chances between the frictions of balls.

use thincut::inside::FRICTIONS;

#[test]
fn the_rule_has_the_moments_of_the_normal() {
    for (power, moment) in [(0, 1.0), (1, 0.0), (2, 1.0), (3, 0.0), (4, 3.0), (5, 0.0)] {
        let sum: f64 = FRICTIONS.iter().map(|(z, w)| w * z.powi(power)).sum();
        assert!((sum - moment).abs() < 1e-12, "{power}: {sum}");
    }
}
