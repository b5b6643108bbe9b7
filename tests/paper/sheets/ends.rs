//! Both ends of a chance, in words.

use thincut::inside::paper::spread;

#[test]
fn equal_ends_are_said_once() {
    assert_eq!(spread(5.13, 7.0, 3), "7.0 to 5.1 in 10");
    assert_eq!(spread(5.98, 6.02, 4), "6.0 in 10 each");
    assert_eq!(spread(6.0, 6.0, 1), "6.0 in 10");
}
