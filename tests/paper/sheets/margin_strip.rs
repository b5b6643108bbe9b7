//! The margin strip: its gaps at true size, against single shots and against paper.

use thincut::charts::margins::{HITS, Strip};
use thincut::draw::pdf::Stamp;
use thincut::pocket::PocketKind;
use thincut::sheets::margin_strip::margin_strip_sheet;
use thincut::units::{Angle, Side};
use thincut::window::{AbstractShot, Shot, solve};

use super::page::{Page, TRUE_MM, gaps, white_mm};
use super::samples::{gear, styles};

#[test]
fn every_gap_of_the_strip_is_true_and_a_shot_s() {
    let folder = tempfile::tempdir().unwrap();
    let (gear, strip) = (gear(), Strip::default());
    for style in styles() {
        let sheet = || margin_strip_sheet(&gear, &strip, &style).unwrap();
        assert_eq!(sheet().page_count(), 1, "{style:?}");
        let svg = sheet().svgs().unwrap().swap_remove(0);
        // Nothing to lay under a ball: no ball at true size, no arrow to the pocket.
        assert!(!svg.contains("ghost ball\""), "{style:?}");
        let page = Page::new(&sheet().pdf(Stamp::default()).unwrap(), 1, folder.path());
        let drawn = gaps(&svg);
        assert_eq!(drawn.len(), 15);
        let mut all = drawn.iter();
        for to_pocket_m in strip.to_pocket_m {
            for hit in HITS {
                let shot = AbstractShot {
                    kind: PocketKind::Corner,
                    cut_rad: Angle::from_ball_fraction(hit).rad(),
                    cut_side: Side::Left,
                    apart_m: strip.apart_m,
                    to_pocket_m,
                    approach_rad: 0.0,
                };
                let shot = Shot::from_angles(&gear, &shot, strip.stroke).unwrap();
                let window = solve(&gear, &shot).unwrap().window.unwrap();
                let (low, high) = window.clean.unwrap().interval_rad();
                let want = 1e3 * window.aim.travel_m * (high.tan() - low.tan());
                let (said, left, right) = all.next().unwrap();
                assert!((said - want).abs() < 1e-6, "{hit}: {said} {want}");
                let white = white_mm(&page, *left, *right);
                assert!(
                    (white - want).abs() < TRUE_MM,
                    "{style:?} {hit}: {white} {want}"
                );
            }
        }
    }
}

/// A full hit worked out on paper. The ball leaves the slate at (x, y) in the pocket's frame, where
/// y = (0.4 m + x) tan δ and (x_c − x)² + y² = r²; it is untouched while the facing, which closes by
/// c, stays ρ away: (m/2 − x tan c − y) cos c = ρ. A direction δ asks for D sin δ at the ghost ball, to
/// either side.
#[test]
fn the_full_hit_has_the_margin_worked_out_on_paper() {
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
    let either = gear.contact_distance_m() * (y / (0.4 + x)).atan().sin();
    let full = Strip::default().cells(&gear).unwrap()[0][0]
        .gap_m()
        .unwrap();
    assert!(
        (full / (2.0 * either) - 1.0).abs() < 1e-3,
        "{full} against {either} to either side"
    );
}
