//! Sets of directions.

use thincut::directions::{Directions, Span, spans_of};

fn set(spans: &[(f64, f64, u8)]) -> Directions<u8> {
    let span = |&(from_rad, to_rad, tag)| Span {
        from_rad,
        to_rad,
        tag,
    };
    Directions::from_spans(spans.iter().map(span).collect())
}

#[test]
fn touching_spans_with_one_tag_are_one() {
    assert_eq!(set(&[(1.0, 2.0, 7), (0.0, 1.0, 7)]), set(&[(0.0, 2.0, 7)]));
    assert_eq!(set(&[(0.0, 1.0, 7), (1.0, 2.0, 8)]).spans().len(), 2);
}

#[test]
fn a_union_keeps_the_first_ones_tags() {
    let both = set(&[(0.0, 2.0, 1)]).union(&set(&[(1.0, 3.0, 2)]));
    assert_eq!(both, set(&[(0.0, 2.0, 1), (2.0, 3.0, 2)]));
}

#[test]
fn what_is_taken_out_splits() {
    let left = set(&[(0.0, 4.0, 1)]).subtract(&[(1.0, 2.0), (3.5, 9.0)]);
    assert_eq!(left, set(&[(0.0, 1.0, 1), (2.0, 3.5, 1)]));
    assert!((left.measure_rad() - 2.5).abs() < 1e-15);
}

#[test]
fn a_falling_map_turns_the_order_round() {
    let turned = set(&[(0.0, 1.0, 1), (2.0, 3.0, 2)]).map_monotone(|x| -x);
    assert_eq!(turned, set(&[(-3.0, -2.0, 2), (-1.0, 0.0, 1)]));
}

#[test]
fn spans_between_stations_are_halved_to_the_edge() {
    let spans = spans_of(&[0.0, 1.0, 2.0], 1e-9, &|x: f64| {
        (x > 0.3 && x < 1.7).then_some(())
    });
    assert_eq!(spans.len(), 1);
    assert!((spans[0].from_rad - 0.3).abs() < 1e-9 && (spans[0].to_rad - 1.7).abs() < 1e-9);
}
