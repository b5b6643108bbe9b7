//! The poster as a chart, and hatching.

use kurbo::{Point, Rect};
use thincut::charts::{self, Request};
use thincut::draw::canvas::{Canvas, Stroke, Unit};
use thincut::draw::colour::INK;
use thincut::draw::hatch::hatch;
use thincut::gear::Gear;
use thincut::units::UnitSystem;

use super::svg::{assert_shapes_stay_inside, assert_texts_are_clear, groups, numbers, parse};

#[test]
fn the_poster_is_clear_at_every_size_and_its_gaps_are_life_size() {
    for name in ["pool-9ft", "pool-7ft", "snooker-12ft"] {
        for (size, units) in [
            ("1200x800", UnitSystem::Metric),
            ("800x1200", UnitSystem::Inches),
            ("640x480", UnitSystem::Inches),
            ("336x437", UnitSystem::Metric),
        ] {
            let gear = Gear::preset(name).expect("preset");
            let mut request = Request::new(gear, size.parse().expect("size"));
            request.units = units;
            let chart = charts::find("why-thin").expect("registered");
            let svg = chart.draw(&request).expect("drawn").svg;
            assert_texts_are_clear(&svg);
            assert_shapes_stay_inside(&svg);
            let doc = parse(&svg);
            assert_eq!(groups(&doc, "hit").len(), 5);
            let (gaps, closed) = (groups(&doc, "gap"), groups(&doc, "closed"));
            assert_eq!(gaps.len() + closed.len(), 20, "{name} {size}");
            for gap in &gaps {
                let mm = numbers(*gap, "data-gap-mm")[0];
                let rects: Vec<_> = gap.children().filter(|n| n.has_tag_name("rect")).collect();
                let of = |k: usize, name: &str| -> f64 {
                    rects[k].attribute(name).expect(name).parse().expect(name)
                };
                let drawn = of(1, "x") - of(0, "x") - of(0, "width");
                assert!(
                    (drawn - mm * 96.0 / 25.4).abs() < 0.01,
                    "{name} {size}: {mm}"
                );
            }
        }
    }
}

#[test]
fn every_line_of_a_hatching_ends_on_the_edge() {
    let area = Rect::new(10.0, 20.0, 50.0, 35.0);
    let mut canvas = Canvas::new(100.0, 100.0, Unit::Mm);
    hatch(&mut canvas, area, 4.0, &Stroke::new(INK, 0.2));
    let svg = canvas.finish("", "");
    let mut lines = 0;
    for path in svg.split("<path d=\"M").skip(1) {
        let path = path.split('"').next().expect("a path");
        let numbers: Vec<f64> = path
            .split(['L', ' '])
            .map(|n| n.parse().expect("a number"))
            .collect();
        for p in numbers.chunks(2) {
            let on_x = (p[0] - area.x0).abs() < 1e-3 || (p[0] - area.x1).abs() < 1e-3;
            let on_y = (p[1] - area.y0).abs() < 1e-3 || (p[1] - area.y1).abs() < 1e-3;
            assert!(on_x || on_y, "{p:?}");
            let inside = area.inflate(1e-3, 1e-3);
            assert!(inside.contains(Point::new(p[0], p[1])), "{p:?}");
        }
        lines += 1;
    }
    // 55 mm from corner to corner along x + y, a line every 4√2.
    assert_eq!(lines, 9);
}
