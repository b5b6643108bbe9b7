//! The rose: its ball and rings at true size, its petals against mirrored shots and against paper.

use kurbo::{Point, Vec2};
use thincut::draw::pdf::Stamp;
use thincut::sheets::rose::{RINGS_MM, Rose, rose_sheet};

use super::page::{Page, TRUE_MM, circle_after};
use super::samples::{gear, styles};

#[test]
fn ball_and_rings_of_the_rose_are_true() {
    let folder = tempfile::tempdir().unwrap();
    for style in styles() {
        let rose = || rose_sheet(&gear(), &Rose::default(), &style).unwrap();
        let svg = rose().svgs().unwrap().swap_remove(0);
        let page = Page::new(&rose().pdf(Stamp::default()).unwrap(), 1, folder.path());
        let (object, radius) = circle_after(&svg, "class=\"object ball\"");
        assert!((2.0 * radius - 57.15).abs() < 1e-3, "{radius}");
        let ghost = circle_after(&svg, "class=\"ghost ball\"").0;
        assert!((object.distance(ghost) - 57.15).abs() < 2e-3);
        let mut diameter = 2.0 * radius;
        for deg in [0.0_f64, 180.0] {
            let out = Vec2::from_angle(deg.to_radians());
            // Grey inside: the steepest place outwards is the rim, whose middle is the radius.
            diameter += rim(&page, object, out, radius) - radius;
        }
        assert!((diameter - 57.15).abs() < TRUE_MM, "{style:?}: {diameter}");
        // Between the outermost petal and the rings' ends, where only rings are.
        for ring in RINGS_MM {
            for side in [-1.0, 1.0] {
                let out = Vec2::from_angle((90.0 + side * 82.0_f64).to_radians());
                let off = page.line_at(ghost + out * ring, out, 0.8);
                assert!(
                    off.abs() < TRUE_MM,
                    "{style:?}: ring {ring} is off by {off}"
                );
            }
        }
    }
}

/// Middle of the rim: halfway between where darkness passes half on both sides, mm from the middle.
fn rim(page: &Page, middle: Point, out: Vec2, radius: f64) -> f64 {
    let dark = |i: i32| page.dark(middle + out * (radius - 1.0 + 0.005 * f64::from(i)));
    let hits: Vec<i32> = (0..400).filter(|i| dark(*i) > 0.5).collect();
    let (first, last) = (hits[0], hits[hits.len() - 1]);
    radius - 1.0 + 0.0025 * f64::from(first + last)
}

#[test]
fn petals_are_as_wide_as_the_room() {
    let petals = Rose::default().petals(&gear(), false).unwrap();
    assert_eq!(petals.len(), 11);
    for (left, right) in petals.iter().zip(petals.iter().rev()) {
        assert!((left.cut_rad + right.cut_rad).abs() < 1e-12);
        for (l, r) in left.room_m.iter().zip(right.room_m) {
            // Mirrored shots: the room changes sides.
            let ((a, b), (c, d)) = (l.unwrap(), r.unwrap());
            assert!(
                (a - d).abs() < 1e-7 && (b - c).abs() < 1e-7,
                "{left:?} {right:?}"
            );
        }
        for (near, far) in left.room_m.iter().zip(&left.room_m[1..]) {
            assert!(
                near.unwrap().0 > far.unwrap().0,
                "farther is narrower: {left:?}"
            );
        }
    }
}

/// A full hit worked out on paper. The ball leaves the slate at (x, y) in the pocket's frame, where
/// y = (0.4 m + x) tan δ and (x_c − x)² + y² = r²; it is untouched while the facing, which closes by
/// c, stays ρ away: (m/2 − x tan c − y) cos c = ρ. A direction δ asks for D sin δ at the ghost ball.
#[test]
fn the_full_hit_has_the_room_worked_out_on_paper() {
    // Throw is left out on paper, so here too.
    let mut gear = gear();
    gear.contact.friction_scale = 0.0;
    let spec = &gear.corner;
    let closing = spec.facing_angle_rad - 0.75 * std::f64::consts::PI;
    let middle = spec.shelf_m + spec.cutout_radius_m;
    let mut x = spec.shelf_m;
    let mut y = 0.0;
    for _ in 0..50 {
        y = 0.5 * spec.mouth_m - x * closing.tan() - gear.object_contact_radius_m() / closing.cos();
        x = middle - (spec.cutout_radius_m.powi(2) - y * y).sqrt();
    }
    let expected = gear.contact_distance_m() * (y / (0.4 + x)).atan().sin();
    let petals = Rose::default().petals(&gear, false).unwrap();
    let (left, right) = petals[5].room_m[0].unwrap();
    // The window is an angle times the way of the cue ball: tan θ ≈ θ to 1 in 10⁵ here.
    assert!((left - right).abs() < 1e-7);
    assert!(
        (left / expected - 1.0).abs() < 1e-3,
        "{left} against {expected}"
    );
}
