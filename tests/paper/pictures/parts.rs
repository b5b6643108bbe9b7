//! The charts, read back.

use approx::assert_abs_diff_eq;
use thincut::charts::{self, ChartError};
use thincut::draw::DrawError;
use thincut::draw::contour::{Grid, lines as contour_lines, region};
use thincut::draw::labels::spread;

use super::samples;
use super::svg::{assert_texts_are_clear, axis, groups, numbers, parse, path_points, place};

/// Coordinates are written with three decimals.
const WRITTEN: f64 = 0.000_51;

#[test]
fn no_text_is_clipped_or_covered_at_any_size() {
    for size in [
        "1200x800",
        "640x480",
        "800x1200",
        "2400x1600",
        "480x360",
        "360x270",
    ] {
        for (name, picture) in samples::all(size) {
            println!("{name} at {size}");
            if let Some(folder) = std::env::var_os("PICTURES_OUT") {
                let file = std::path::Path::new(&folder).join(format!("{name}-{size}.png"));
                let bytes = thincut::draw::png(&picture.svg, 1.0).expect("png");
                std::fs::write(file, bytes).expect("kept");
            }
            assert_texts_are_clear(&picture.svg);
        }
    }
}

#[test]
fn every_picture_says_what_it_is() {
    for (name, picture) in samples::all("1200x800") {
        let doc = parse(&picture.svg);
        let root = doc.root_element();
        assert_eq!(root.attribute("role"), Some("img"), "{name}");
        let child = |tag: &str| {
            root.children()
                .find(|n| n.has_tag_name(tag))
                .and_then(|n| n.text())
                .map(str::to_owned)
        };
        assert_eq!(
            child("title").as_deref(),
            Some(picture.title.as_str()),
            "{name}"
        );
        assert_eq!(
            child("desc").as_deref(),
            Some(picture.desc.as_str()),
            "{name}"
        );
    }
}

#[test]
fn lines_stand_in_the_file_and_on_the_canvas_where_the_numbers_say() {
    for log in [false, true] {
        let chart = samples::lines(log);
        let picture = chart.draw(samples::size("1200x800")).expect("drawn");
        let doc = parse(&picture.svg);
        let frame = groups(&doc, "frame")[0];
        assert_eq!(axis(frame, "data-x-axis"), (0.0, 80.0, false));
        assert_eq!(axis(frame, "data-y-axis").2, log);
        let series = groups(&doc, "series");
        assert_eq!(series.len(), 5);
        for (node, line) in series.into_iter().zip(&chart.lines) {
            assert_eq!(node.attribute("data-name"), Some(line.name.as_str()));
            let (xs, ys) = (numbers(node, "data-x"), numbers(node, "data-y"));
            let back: Vec<(f64, f64)> = xs.into_iter().zip(ys).collect();
            assert_eq!(back, line.points, "data must survive exactly");
            let drawn = path_points(node);
            assert_eq!(drawn.len(), line.points.len());
            for (p, (x, y)) in drawn.iter().zip(&line.points) {
                let want = place(frame, *x, *y);
                assert_abs_diff_eq!(p.x, want.x, epsilon = WRITTEN);
                assert_abs_diff_eq!(p.y, want.y, epsilon = WRITTEN);
            }
        }
    }
}

#[test]
fn a_line_that_leaves_the_frame_is_cut_at_its_edge() {
    let mut chart = samples::lines(false);
    chart.y.to = 1.0;
    let picture = chart.draw(samples::size("1200x800")).expect("drawn");
    let doc = parse(&picture.svg);
    let frame = groups(&doc, "frame")[0];
    let plot = numbers(frame, "data-plot");
    let first = path_points(groups(&doc, "series")[0]);
    assert!(!first.is_empty() && first.len() < 81);
    assert_abs_diff_eq!(first[0].y, plot[1], epsilon = WRITTEN);
    assert!(
        first
            .iter()
            .all(|p| p.y >= plot[1] - WRITTEN && p.y <= plot[3] + WRITTEN)
    );
}

#[test]
fn what_cannot_be_drawn_is_refused_by_name() {
    let size = samples::size("1200x800");
    let mut six = samples::lines(false);
    six.lines.push(six.lines[0].clone());
    assert_eq!(six.draw(size), Err(DrawError::TooManyLines { count: 6 }));
    let mut zero = samples::lines(true);
    zero.lines[1].points[3].1 = 0.0;
    let said = zero.draw(size).expect_err("no logarithm of 0").to_string();
    assert!(
        said.contains("2 ft apart") && said.contains("logarithmic"),
        "{said}"
    );
    let mut none = samples::lines(false);
    none.lines.clear();
    assert!(matches!(none.draw(size), Err(DrawError::Empty { .. })));
    let mut back = samples::lines(false);
    back.x.to = -1.0;
    assert!(matches!(back.draw(size), Err(DrawError::Axis { .. })));
    let mut off = samples::stacks();
    off.axis.to = 50.0;
    assert!(matches!(off.draw(size), Err(DrawError::Value { .. })));
    assert_eq!(
        charts::find("tabel").err().map(|e| e.to_string()),
        Some("no chart is called `tabel`; did you mean `table`?".to_owned())
    );
    assert!(matches!(
        charts::find("zzz"),
        Err(ChartError::Unknown { nearest: None, .. })
    ));
}

#[test]
fn bars_and_dots_carry_their_values() {
    let size = samples::size("1200x800");
    let picture = samples::stacks().draw(size).expect("drawn");
    let doc = parse(&picture.svg);
    let bars = groups(&doc, "bar");
    assert_eq!(numbers(bars[1], "data-values"), [55.0, 80.0, 96.0]);
    let frame = groups(&doc, "frame")[0];
    // The first part of the second bar ends where the axis says.
    let rect = bars[1]
        .children()
        .find(|n| n.has_tag_name("rect"))
        .expect("a part");
    let side = |name: &str| {
        rect.attribute(name)
            .and_then(|v| v.parse::<f64>().ok())
            .expect("number")
    };
    let want = place(frame, 55.0, 0.0).x;
    assert_abs_diff_eq!(side("x") + side("width"), want, epsilon = 2.0 * WRITTEN);
    let picture = samples::calibration().draw(size).expect("drawn");
    let doc = parse(&picture.svg);
    assert_eq!(
        numbers(groups(&doc, "dot")[1], "data-values"),
        [0.35, 0.3, 0.18, 0.42]
    );
}

#[test]
fn contours_lie_where_the_value_is() {
    // f = x² + y² on a fine grid: the contour at 1 is the unit circle; the linear crossing errs by
    // at most h²/8 · f″/|f′| = h²/8 for spacing h = 0.05.
    let axis: Vec<f64> = (-40..=40).map(|i| f64::from(i) / 20.0).collect();
    let values = axis
        .iter()
        .flat_map(|y| axis.iter().map(move |x| -(x * x + y * y)))
        .collect();
    let grid = Grid::new(axis.clone(), axis, values).expect("grid");
    let rings = region(&grid, -1.0);
    assert_eq!(rings.len(), 1);
    let line = &contour_lines(&rings)[0];
    assert!(line.len() > 100);
    assert_eq!(line.first(), line.last(), "closed");
    for p in line {
        assert_abs_diff_eq!(p.to_vec2().hypot(), 1.0, epsilon = 0.05 * 0.05 / 8.0 * 1.01);
    }
    let area: f64 = line
        .windows(2)
        .map(|w| 0.5 * w[0].to_vec2().cross(w[1].to_vec2()))
        .sum();
    // Inside on the left: counter-clockwise, so positive.
    assert_abs_diff_eq!(area, std::f64::consts::PI, epsilon = 0.01);
    // Cut by the border: below level -6 the region is the square without its corners.
    let cut = contour_lines(&region(&grid, -6.0));
    assert_eq!(cut.len(), 4, "four corner pieces");
}

#[test]
fn blanks_stay_blank_and_rings_close() {
    let grid = samples::grid();
    let all = region(&grid, f64::NEG_INFINITY);
    assert_eq!(all.len(), 2, "the border and the hole");
    assert!(contour_lines(&all).is_empty(), "neither is a contour");
    assert!(Grid::new(vec![0.0, 0.0], vec![0.0, 1.0], vec![0.0; 4]).is_err());
    assert!(Grid::new(vec![0.0, 1.0], vec![0.0, 1.0], vec![0.0; 3]).is_err());
}

#[test]
fn labels_are_pushed_apart_no_further_than_needed() {
    assert_eq!(spread(&[10.0, 50.0], 5.0, 0.0, 100.0), [10.0, 50.0]);
    assert_eq!(
        spread(&[50.0, 50.0, 50.0], 10.0, 0.0, 100.0),
        [40.0, 50.0, 60.0]
    );
    assert_eq!(spread(&[1.0, 2.0], 10.0, 0.0, 100.0), [0.0, 10.0]);
    assert_eq!(spread(&[99.0, 98.0], 10.0, 0.0, 100.0), [100.0, 90.0]);
    assert_eq!(spread(&[5.0, 5.0, 5.0], 10.0, 0.0, 10.0), [0.0, 5.0, 10.0]);
    assert!(spread(&[], 1.0, 0.0, 1.0).is_empty());
}
