//! Words for small widths, makes and a tape.

use thincut::inside::paper::{of_ten, small, tape};
use thincut::sheets::Style;
use thincut::units::UnitSystem;

fn style(plain: bool, units: UnitSystem) -> Style {
    Style {
        plain,
        units,
        ..Style::default()
    }
}

/// No width is said to be more than it is.
#[test]
fn small_widths_stay_true() {
    let said = |plain, units, mm: f64| {
        let words = small(&style(plain, units), 1e-3 * mm);
        words.replace('\u{a0}', " ")
    };
    for (mm, words) in [
        (0.6, "less than 1 mm"),
        (0.97, "1 mm"),
        (1.6, "not quite 2 mm"),
        (2.02, "2 mm"),
        (3.3, "a little over 3 mm"),
    ] {
        assert_eq!(said(true, UnitSystem::Metric, mm), words);
    }
    for (mm, words) in [
        (0.6, "less than 1/16 in"),
        (2.0, "a little over 1/16 in"),
        (3.0, "not quite 1/8 in"),
        (25.4, "1 in"),
    ] {
        assert_eq!(said(true, UnitSystem::Inches, mm), words);
    }
    assert_eq!(said(false, UnitSystem::Metric, 0.617), "0.62 mm");
    assert_eq!(said(false, UnitSystem::Inches, 0.617), "0.024 in");
}

#[test]
fn makes_of_ten_round_what_is_said() {
    for (chance, made) in [
        (0.6499, 7.0),
        (0.65, 7.0),
        (0.6449, 6.0),
        (0.0, 0.0),
        (1.0, 10.0),
    ] {
        let off: f64 = of_ten(chance) - made;
        assert!(off.abs() < 1e-9, "{chance}");
    }
    // An average of makes, whatever order it was summed in.
    let mean = (7.1 + 5.9 + 6.5) / 3.0;
    assert!((of_ten(0.1 * mean) - 7.0).abs() < 1e-9);
}

#[test]
fn a_tape_shows_quarters_of_an_inch() {
    let said = |units, cm: f64| {
        let words = tape(&style(false, units), 0.01 * cm);
        words.replace('\u{a0}', " ")
    };
    assert_eq!(said(UnitSystem::Inches, 52.5), "20¾ in");
    assert_eq!(said(UnitSystem::Inches, 0.8), "¼ in");
    assert_eq!(said(UnitSystem::Inches, 50.8), "20 in");
    assert_eq!(said(UnitSystem::Metric, 52.5), "52.5 cm");
}
