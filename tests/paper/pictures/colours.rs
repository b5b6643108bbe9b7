//! The palette, by the published formulas.

use approx::assert_abs_diff_eq;
use thincut::draw::colour::{
    BLUE, Deficiency, INK, LINE_COLOURS, Rgb, SOFT_INK, cividis, part_fill,
};
use thincut::draw::theme::{DASHES, MARKERS};

/// WCAG 2.2, 1.4.11 and 1.4.3.
const GRAPHIC: f64 = 3.0;
const READING: f64 = 4.5;

#[test]
fn formulas_match_published_values() {
    // WCAG 2.2: black on white is 21:1; #777777 on white is the well-known 4.48:1.
    assert_abs_diff_eq!(Rgb::BLACK.contrast(Rgb::WHITE), 21.0, epsilon = 1e-9);
    assert_abs_diff_eq!(
        Rgb(0x77, 0x77, 0x77).contrast(Rgb::WHITE),
        4.48,
        epsilon = 0.005
    );
    // CIE: mid grey #777777 has L* 50.0 (49.96).
    assert_abs_diff_eq!(Rgb(0x77, 0x77, 0x77).lightness(), 50.0, epsilon = 0.1);
    for d in [Deficiency::Protanopia, Deficiency::Deuteranopia] {
        for row in d.matrix() {
            assert_abs_diff_eq!(row.iter().sum::<f64>(), 1.0, epsilon = 2e-6);
        }
        assert_eq!(
            Rgb(90, 90, 90).simulated(d),
            Rgb(90, 90, 90),
            "grey stays grey"
        );
    }
}

#[test]
fn lines_and_words_stand_out_from_paper() {
    for c in LINE_COLOURS {
        assert!(
            c.contrast(Rgb::WHITE) >= GRAPHIC,
            "{c}: {}",
            c.contrast(Rgb::WHITE)
        );
    }
    for c in [INK, SOFT_INK] {
        assert!(c.contrast(Rgb::WHITE) >= READING, "{c}");
    }
}

/// Distance in L*a*b* would need another space; in linear luminance and in plain RGB the least
/// distance wanted here is what 8 L* or 40 steps of 255 make (assumptions).
fn differ(a: Rgb, b: Rgb) -> bool {
    let d = |x: u8, y: u8| (f64::from(x) - f64::from(y)).powi(2);
    let rgb = (d(a.0, b.0) + d(a.1, b.1) + d(a.2, b.2)).sqrt();
    rgb >= 40.0 || (a.lightness() - b.lightness()).abs() >= 8.0
}

#[test]
fn lines_differ_without_red_and_green_and_without_colour_at_all() {
    for i in 0..5 {
        for j in 0..i {
            assert_ne!(DASHES[i], DASHES[j]);
            assert_ne!(MARKERS[i], MARKERS[j]);
            for d in [Deficiency::Protanopia, Deficiency::Deuteranopia] {
                let (a, b) = (LINE_COLOURS[i].simulated(d), LINE_COLOURS[j].simulated(d));
                assert!(differ(a, b), "{a} {b} under {d:?}");
            }
        }
    }
}

#[test]
fn parts_of_a_stack_differ_in_grey_print() {
    for i in 0..3 {
        let (a, b) = (part_fill(i).area, part_fill(i + 1).area);
        let step = b.lightness() - a.lightness();
        // 7 L* between neighbours is a clear step in grey print (assumption).
        assert!(step >= 7.0, "{a} {b}: {step}");
        assert!(part_fill(i).edge.contrast(Rgb::WHITE) >= GRAPHIC);
    }
    assert_eq!(part_fill(0).area, BLUE);
}

#[test]
fn the_map_rises_in_lightness_for_everyone() {
    let shades: Vec<Rgb> = (0..=8).map(|i| cividis(f64::from(i) / 8.0)).collect();
    assert_eq!(
        (shades[0], shades[8]),
        (Rgb(0x00, 0x22, 0x4E), Rgb(0xFE, 0xE8, 0x38))
    );
    for w in shades.windows(2) {
        let see: [fn(Rgb) -> Rgb; 3] = [
            |c| c,
            |c| c.simulated(Deficiency::Protanopia),
            |c| c.simulated(Deficiency::Deuteranopia),
        ];
        for view in see {
            let step = view(w[1]).lightness() - view(w[0]).lightness();
            assert!(step >= 7.0, "{} to {}: {step}", w[0], w[1]);
        }
    }
    assert_eq!(cividis(-3.0), cividis(0.0));
    assert_eq!(cividis(9.0), cividis(1.0));
}
