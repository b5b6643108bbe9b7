//! Distances as they are typed.

use thincut::inside::paper::typed;
use thincut::units::{Length, UnitSystem};

#[test]
fn distances_are_typed_in_the_units_of_the_sheet() {
    for (m, units, words) in [
        (1.5, UnitSystem::Metric, "1.5m"),
        (0.9144, UnitSystem::Inches, "3ft"),
        (1.0668, UnitSystem::Inches, "3.5ft"),
        (1.0, UnitSystem::Inches, "39.37in"),
    ] {
        let said = typed(m, units);
        assert_eq!(said, words);
        let read: Length = said.parse().expect("a length");
        assert!((read.m() - m).abs() < 1e-4, "{said}");
    }
}
