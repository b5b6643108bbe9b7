//! Labels beside a ladder of chances.

use thincut::inside::paper::apart;

#[test]
fn labels_that_touch_move_apart_about_their_middle() {
    let moved = apart(&[(0.0, 2.0), (1.0, 2.0), (2.0, 2.0), (20.0, 4.0)], 1.0);
    assert_eq!(moved, [-2.0, 1.0, 4.0, 20.0]);
    let all: Vec<(f64, f64)> = (0..8).map(|_| (5.0, 3.0)).collect();
    let moved = apart(&all, 0.5);
    assert!(moved.windows(2).all(|w| w[1] - w[0] > 3.4), "{moved:?}");
    let middle: f64 = moved.iter().sum::<f64>() / 8.0;
    assert!((middle - 5.0).abs() < 1e-9, "{middle}");
}
