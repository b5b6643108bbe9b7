//! Combinations against paths followed forwards.

use kurbo::Point;

use thincut::gear::Gear;
use thincut::layout::{Ball, Forward, Layout, Table, combinations};
use thincut::pocket::PocketName;
use thincut::window::Stroke;

/// Edges are where a forward path stops making it, to 1e-6 degrees.
#[test]
fn edges_of_combinations_are_those_of_paths() {
    const WITHIN_RAD: f64 = 1.7e-8;
    let gear = Gear::preset("pool-9ft").unwrap();
    let ball = |x: f64, y: f64| Ball {
        label: String::new(),
        at: Point::new(x, y),
    };
    let mut edges = 0;
    for (through, dropped) in [
        (ball(1.6, 0.8), ball(1.9, 0.95)),
        (ball(1.9, 0.4), ball(2.2, 0.25)),
        (ball(0.9, 0.9), ball(1.1, 1.1)),
    ] {
        let layout = Layout {
            cue: Point::new(0.9, 0.5),
            balls: vec![through, dropped],
        };
        let table = Table::new(&gear, &layout);
        let sets: Vec<_> = PocketName::ALL
            .into_iter()
            .filter_map(|pocket| table.drop_set(1, pocket, 1.0).ok()?.ok())
            .collect();
        let sets: Vec<_> = sets.iter().collect();
        for shot in combinations(&table, &sets, &Stroke::default(), None, &|| {}) {
            let forward = Forward::new(&table, &shot);
            let made = |delta: f64| forward.made(&forward.outcome(delta, false));
            for (lo, hi) in shot.intervals_rad() {
                assert!(made(lo + WITHIN_RAD) && made(hi - WITHIN_RAD), "{shot:?}");
                edges += 2;
            }
            let spans = shot.intervals_rad();
            let (first, last) = (spans[0].0, spans[spans.len() - 1].1);
            assert!(
                !made(first - WITHIN_RAD) && !made(last + WITHIN_RAD),
                "{shot:?}"
            );
        }
    }
    assert!(edges >= 4, "{edges}");
}
