//! Reads pictures back: texts with measured boxes, data carried by groups, path points.

#![allow(dead_code, reason = "each test binary uses its own part")]

use kurbo::{Point, Rect};
use roxmltree::{Document, Node};
use thincut::draw::text::{self, Weight};

/// A text of a picture.
#[derive(Debug, Clone)]
pub(crate) struct Label {
    pub(crate) content: String,
    pub(crate) bounds: Rect,
    pub(crate) size: f64,
}

pub(crate) fn parse(svg: &str) -> Document<'_> {
    Document::parse(svg).expect("the picture is well-formed XML")
}

pub(crate) fn number(node: Node<'_, '_>, name: &str) -> f64 {
    let value = node
        .attribute(name)
        .unwrap_or_else(|| panic!("<{}> lacks {name}", node.tag_name().name()));
    value
        .trim_end_matches("mm")
        .parse()
        .unwrap_or_else(|_| panic!("{name}={value} is not a number"))
}

/// Width and height in user units.
pub(crate) fn canvas(doc: &Document<'_>) -> Rect {
    let root = doc.root_element();
    Rect::new(0.0, 0.0, number(root, "width"), number(root, "height"))
}

/// All texts with the box around their letters, turned ones included.
pub(crate) fn labels(doc: &Document<'_>) -> Vec<Label> {
    doc.descendants()
        .filter(|n| n.has_tag_name("text"))
        .map(label)
        .collect()
}

fn label(node: Node<'_, '_>) -> Label {
    let content = node.text().unwrap_or_default().to_owned();
    let (x, y, size) = (
        number(node, "x"),
        number(node, "y"),
        number(node, "font-size"),
    );
    let weight = match node.attribute("font-weight") {
        Some("bold") => Weight::Bold,
        _ => Weight::Regular,
    };
    let w = text::width(&content, size, weight);
    let left = match node.attribute("text-anchor") {
        Some("middle") => x - 0.5 * w,
        Some("end") => x - w,
        _ => x,
    };
    let flat = Rect::new(
        left,
        y - text::CAP_EM * size,
        left + w,
        y + text::DESCENT_EM * size,
    );
    let angle = node.attribute("transform").map_or(0.0, |t| {
        let inner = t.trim_start_matches("rotate(");
        inner
            .split(' ')
            .next()
            .and_then(|a| a.parse::<f64>().ok())
            .expect("rotate(angle x y)")
    });
    let (s, c) = angle.to_radians().sin_cos();
    let turn = |p: Point| {
        Point::new(
            x + c * (p.x - x) - s * (p.y - y),
            y + s * (p.x - x) + c * (p.y - y),
        )
    };
    let corners = [
        Point::new(flat.x0, flat.y0),
        Point::new(flat.x1, flat.y0),
        Point::new(flat.x1, flat.y1),
        Point::new(flat.x0, flat.y1),
    ]
    .map(turn);
    let bounds = corners
        .iter()
        .fold(Rect::from_points(corners[0], corners[0]), |r, p| {
            r.union_pt(*p)
        });
    Label {
        content,
        bounds,
        size,
    }
}

/// No text leaves the canvas, none overlaps another, every character has a glyph.
pub(crate) fn assert_texts_are_clear(svg: &str) {
    let doc = parse(svg);
    let area = canvas(&doc);
    let all = labels(&doc);
    assert!(!all.is_empty(), "a picture without words");
    for (i, a) in all.iter().enumerate() {
        assert!(
            area.contains_rect(a.bounds),
            "{:?} {:?} leaves {area:?}",
            a.content,
            a.bounds
        );
        assert!(
            text::covers(&a.content),
            "no glyph for part of {:?}",
            a.content
        );
        for b in &all[i + 1..] {
            let o = a.bounds.intersect(b.bounds);
            // A twentieth of the letters' height may touch: boxes include room for descenders.
            let slack = 0.05 * a.size.min(b.size);
            assert!(
                o.width() <= slack || o.height() <= slack,
                "{:?} and {:?} overlap: {:?} {:?}",
                a.content,
                b.content,
                a.bounds,
                b.bounds
            );
        }
    }
}

/// Groups of a class.
pub(crate) fn groups<'a>(doc: &'a Document<'a>, class: &str) -> Vec<Node<'a, 'a>> {
    doc.descendants()
        .filter(|n| n.has_tag_name("g") && n.attribute("class") == Some(class))
        .collect()
}

/// A list of numbers carried by a group.
pub(crate) fn numbers(node: Node<'_, '_>, name: &str) -> Vec<f64> {
    node.attribute(name)
        .unwrap_or_else(|| panic!("group lacks {name}"))
        .split_whitespace()
        .map(|v| v.parse().unwrap_or_else(|_| panic!("{name}: {v}")))
        .collect()
}

/// The points of all open paths within a node.
pub(crate) fn path_points(node: Node<'_, '_>) -> Vec<Point> {
    node.descendants()
        .filter(|n| n.has_tag_name("path"))
        .filter_map(|n| n.attribute("d"))
        .flat_map(|d| {
            d.split(['M', 'L', 'Z'])
                .filter(|s| !s.is_empty())
                .map(|s| {
                    let (x, y) = s.split_once(' ').expect("x y");
                    Point::new(x.parse().expect("x"), y.parse().expect("y"))
                })
                .collect::<Vec<_>>()
        })
        .collect()
}

/// How an axis of the frame maps: from, to, logarithmic.
pub(crate) fn axis(frame: Node<'_, '_>, name: &str) -> (f64, f64, bool) {
    let text = frame.attribute(name).expect("axis data");
    let words: Vec<&str> = text.split(' ').collect();
    (
        words[0].parse().expect("from"),
        words[1].parse().expect("to"),
        words[2] == "log",
    )
}

/// Where a pair of values must lie on the canvas according to the frame's data.
pub(crate) fn place(frame: Node<'_, '_>, x: f64, y: f64) -> Point {
    let plot = numbers(frame, "data-plot");
    let share = |(from, to, log): (f64, f64, bool), v: f64| {
        if log {
            (v / from).ln() / (to / from).ln()
        } else {
            (v - from) / (to - from)
        }
    };
    let (sx, sy) = (
        share(axis(frame, "data-x-axis"), x),
        share(axis(frame, "data-y-axis"), y),
    );
    Point::new(
        plot[0] + sx * (plot[2] - plot[0]),
        plot[3] - sy * (plot[3] - plot[1]),
    )
}

/// No line, shape or circle leaves the canvas, but for what a clip hides.
pub(crate) fn assert_shapes_stay_inside(svg: &str) {
    let doc = parse(svg);
    // Half of the widest line drawn along an edge.
    let area = canvas(&doc).inflate(4.0, 4.0);
    let hidden = |n: Node<'_, '_>| {
        n.ancestors()
            .any(|a| a.attribute("clip-path").is_some() || a.has_tag_name("clipPath"))
    };
    for node in doc.descendants().filter(|n| n.is_element() && !hidden(*n)) {
        let boxed = match node.tag_name().name() {
            "rect" => {
                let at = |name| number(node, name);
                Rect::from_origin_size((at("x"), at("y")), (at("width"), at("height")))
            }
            "circle" => {
                let middle = Point::new(number(node, "cx"), number(node, "cy"));
                let across = 2.0 * number(node, "r");
                Rect::from_center_size(middle, (across, across))
            }
            "path" => {
                let points = path_points(node);
                let Some(first) = points.first() else {
                    continue;
                };
                points
                    .iter()
                    .fold(Rect::from_points(*first, *first), |r, p| r.union_pt(*p))
            }
            _ => continue,
        };
        assert!(area.contains_rect(boxed), "{boxed:?} leaves {area:?}");
    }
}
