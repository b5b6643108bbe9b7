//! The table from above is to scale.

use approx::assert_abs_diff_eq;
use kurbo::{Point, Rect};
use thincut::charts::view::{BallLook, Lie, PocketOutline, View, ball, furniture};
use thincut::draw::canvas::{Canvas, Unit};
use thincut::gear::Gear;
use thincut::pocket::{PocketKind, PocketName};

use super::svg::{groups, number, numbers, parse, path_points};

/// Exact geometry, up to rounding of floats.
const EXACT_M: f64 = 1e-12;
/// Coordinates are written with three decimals.
const WRITTEN: f64 = 0.000_51;

fn gear() -> Gear {
    Gear::preset("pool-9ft").expect("preset")
}

#[test]
fn jaw_points_lie_where_the_mouth_puts_them() {
    let gear = gear();
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    // Corner: mouth/sqrt(2) along each rail from the corner; side: half a mouth from the middle.
    let along = gear.corner.mouth_m / 2f64.sqrt();
    let half = 0.5 * gear.side.mouth_m;
    let cases = [
        (
            PocketName::FootLeft,
            Point::new(l - along, w),
            Point::new(l, w - along),
        ),
        (
            PocketName::HeadRight,
            Point::new(along, 0.0),
            Point::new(0.0, along),
        ),
        (
            PocketName::SideLeft,
            Point::new(0.5 * l - half, w),
            Point::new(0.5 * l + half, w),
        ),
    ];
    for (name, left, right) in cases {
        let (frame, shape) = (name.frame(&gear), PocketOutline::new(&gear, name.kind()));
        for (jaw, want) in [(shape.left[0], left), (shape.right[0], right)] {
            assert!(
                frame.to_plan(jaw).distance(want) < EXACT_M,
                "{name}: {jaw:?} {want:?}"
            );
        }
    }
}

#[test]
fn facings_close_in_by_the_stated_angle_and_end_at_the_slate_cut() {
    let gear = gear();
    // Facing angle less 135 or 90 degrees.
    for (kind, closing_deg) in [(PocketKind::Corner, 7.0), (PocketKind::Side, 14.0)] {
        let shape = PocketOutline::new(&gear, kind);
        let (jaw, end) = (shape.left[0], shape.left[1]);
        let angle = (jaw.y - end.y).atan2(end.x - jaw.x).to_degrees();
        assert_abs_diff_eq!(angle, closing_deg, epsilon = 1e-9);
        assert_abs_diff_eq!(
            end.distance(shape.cutout_centre),
            shape.cutout_radius_m,
            epsilon = EXACT_M
        );
        let spec = kind.spec(&gear);
        assert_abs_diff_eq!(
            shape.cutout_centre.x - shape.cutout_radius_m,
            spec.shelf_m,
            epsilon = EXACT_M
        );
    }
}

#[test]
fn a_rounded_jaw_touches_rail_and_facing_smoothly() {
    let gear = gear()
        .with_overrides(&["pocket.corner.jaw_radius=10mm".to_owned()])
        .expect("a radius");
    let (sharp, round) = (
        PocketOutline::new(&self::gear(), PocketKind::Corner),
        PocketOutline::new(&gear, PocketKind::Corner),
    );
    let n = round.left.len();
    assert!(n > 4);
    // Seen from the sharp point both ends of the rounding are a tangent's length away, the middle
    // of the rounding nearer, and the facing still runs on the same line to the same end.
    let back = gear.corner.jaw_tangent_m();
    assert_abs_diff_eq!(round.left[0].distance(sharp.left[0]), back, epsilon = 1e-9);
    assert_abs_diff_eq!(
        round.left[n - 2].distance(sharp.left[0]),
        back,
        epsilon = 1e-9
    );
    assert!(round.left[(n - 1) / 2].distance(sharp.left[0]) < back);
    assert!(round.left[n - 1].distance(sharp.left[1]) < EXACT_M);
    // 38 degrees of a circle of 10 mm, in steps no longer than 0.9 mm.
    for pair in round.left[..n - 1].windows(2) {
        assert!(pair[0].distance(pair[1]) < 0.000_9, "{pair:?}");
    }
}

#[test]
fn a_view_maps_to_scale_and_back() {
    let gear = gear();
    for lie in [Lie::Wide, Lie::Upright] {
        let view = View::whole(&gear, Rect::new(10.0, 20.0, 1000.0, 900.0), lie);
        let (a, b) = (Point::new(0.3, 0.2), Point::new(1.9, 1.1));
        assert_abs_diff_eq!(
            view.map(a).distance(view.map(b)),
            view.scale * a.distance(b),
            epsilon = 1e-9
        );
        assert!(view.unmap(view.map(b)).distance(b) < EXACT_M);
    }
    let view = View::whole(&gear, Rect::new(0.0, 0.0, 500.0, 900.0), Lie::Upright);
    let (head, foot, left) = (
        Point::new(0.0, 0.6),
        Point::new(2.54, 0.6),
        Point::new(1.0, 1.2),
    );
    assert!(
        view.map(foot).y < view.map(head).y,
        "foot above, head below"
    );
    assert!(view.map(left).x < view.map(foot).x, "left rail on the left");
}

#[test]
fn the_drawn_table_carries_its_measures() {
    let gear = gear();
    let mut canvas = Canvas::new(1000.0, 600.0, Unit::Px);
    let view = View::whole(&gear, canvas.area(), Lie::Wide);
    furniture(&mut canvas, &gear, &view, 1.0);
    let spot = Point::new(1.905, 0.635);
    ball(
        &mut canvas,
        &view,
        spot,
        gear.object_radius_m(),
        BallLook::Object,
    );
    let svg = canvas.finish("t", "d");
    let doc = parse(&svg);
    let table = groups(&doc, "table")[0];
    assert_eq!(numbers(table, "data-bed-m"), [2.54, 1.27]);
    let scale = numbers(table, "data-scale")[0];
    // The head rail's nose between two corner jaws is drawn to scale among the cushions' points.
    let jaw = |x: f64, y: f64| view.map(Point::new(x, y));
    let along = gear.corner.mouth_m / 2f64.sqrt();
    let points = path_points(table);
    for want in [
        jaw(0.0, along),
        jaw(0.0, 1.27 - along),
        jaw(along, 0.0),
        jaw(2.54 - along, 1.27),
    ] {
        assert!(
            points.iter().any(|p| p.distance(want) < 2.0 * WRITTEN),
            "{want:?}"
        );
    }
    let ball = groups(&doc, "object ball")[0];
    let disc = ball.first_element_child().expect("a disc");
    assert_abs_diff_eq!(number(disc, "r"), 0.5 * 0.05715 * scale, epsilon = WRITTEN);
    let pockets = table
        .children()
        .filter(|n| n.has_tag_name("circle"))
        .count();
    assert_eq!(pockets, 6);
    // Six cushions, six throats, wood, cloth and eighteen diamonds.
    let paths = table.children().filter(|n| n.has_tag_name("path")).count();
    assert_eq!(paths, 6 + 6 + 2 + 18);
}
