//! The poster: its gaps at true size on every paper, as the solver has them.

use kurbo::{Point, Vec2};
use thincut::charts::margins::{Asked, Cell, HITS, Halves, MarginTable};
use thincut::draw::Paper;
use thincut::draw::pdf::Stamp;
use thincut::gear::Gear;
use thincut::pocket::PocketKind;
use thincut::sheets::Style;
use thincut::sheets::why_thin::why_thin_sheet;
use thincut::units::{Angle, Side, UnitSystem};
use thincut::window::{AbstractShot, Shot, Stroke, solve};

use super::page::{Page, TRUE_MM, gaps, white_mm};
use super::samples::gear;

fn asked(units: UnitSystem) -> Asked {
    Asked {
        kind: PocketKind::Corner,
        to_pocket_m: None,
        approach_rad: 0.0,
        stroke: Stroke::centre_ball(),
        player: None,
        units,
    }
}

/// From too full to too thin over the bridge, mm, of a shot solved by itself.
fn gap_mm(gear: &Gear, hit: f64, apart_m: f64, to_pocket_m: f64) -> f64 {
    let shot = AbstractShot {
        kind: PocketKind::Corner,
        cut_rad: Angle::from_ball_fraction(hit).rad(),
        cut_side: Side::Left,
        apart_m,
        to_pocket_m,
        approach_rad: 0.0,
    };
    let shot = Shot::from_angles(gear, &shot, Stroke::centre_ball()).unwrap();
    let window = solve(gear, &shot).unwrap().window.unwrap();
    let (low, high) = window.clean.unwrap().interval_rad();
    254.0 * (high.tan() - low.tan())
}

#[test]
fn every_gap_is_true_on_every_paper() {
    let folder = tempfile::tempdir().unwrap();
    let gear = gear();
    for (paper, units, plain) in [
        (Paper::A4, UnitSystem::Metric, false),
        (Paper::Letter, UnitSystem::Inches, false),
        (Paper::A3, UnitSystem::Metric, false),
        (Paper::A4, UnitSystem::Inches, true),
    ] {
        let style = Style {
            paper,
            plain,
            units,
            words: None,
        };
        let sheet = || why_thin_sheet(&gear, &asked(units), &style).unwrap();
        assert_eq!(sheet().page_count(), 1, "{style:?}");
        let svg = sheet().svgs().unwrap().swap_remove(0);
        let page = Page::new(&sheet().pdf(Stamp::default()).unwrap(), 1, folder.path());
        let table = MarginTable::new(&gear, &asked(units)).unwrap();
        let drawn = gaps(&svg);
        let cells = table.aparts_m.iter().zip(&table.cells);
        let mut all = drawn.iter();
        for (apart_m, cells) in cells {
            for (hit, cell) in HITS.iter().zip(cells) {
                let Cell::Gap { .. } = cell else { continue };
                let (said, left, right) = all.next().unwrap();
                let want = gap_mm(&gear, *hit, *apart_m, table.to_pocket_m);
                assert!((said - want).abs() < 1e-6, "{hit} {apart_m}: {said} {want}");
                assert!((right.x0 - left.x1 - want).abs() < 2e-3);
                let white = white_mm(&page, *left, *right);
                assert!(
                    (white - want).abs() < TRUE_MM,
                    "{style:?} {hit} {apart_m}: {white} mm, {want}"
                );
                // Both edges lie where the file has them.
                for (x, out) in [(left.x1, -1.0), (right.x0, 1.0)] {
                    let dark = page.dark(Point::new(x, left.center().y) + Vec2::new(out, 0.0));
                    assert!(dark > 0.5, "{hit} {apart_m}");
                }
            }
        }
        assert!(all.next().is_none());
        assert!(drawn.len() >= 18, "{style:?}: {}", drawn.len());
    }
}

/// What it says halves the gap does, and what the table is too short for has no gap.
#[test]
fn what_halves_the_gap_does_and_nothing_impossible_has_one() {
    for name in Gear::preset_names() {
        let gear = Gear::preset(name).unwrap();
        let table = MarginTable::new(&gear, &asked(UnitSystem::Inches)).unwrap();
        let second = table.aparts_m[1];
        let own = gap_mm(&gear, 0.5, second, table.to_pocket_m);
        let half = |less: f64, more: f64| (0.42..=0.58).contains(&(less / more));
        let twice_apart = gap_mm(&gear, 0.5, 2.0 * second, table.to_pocket_m);
        let twice_far = gap_mm(&gear, 0.5, second, 2.0 * table.to_pocket_m);
        let thin = gap_mm(&gear, 0.125, second, table.to_pocket_m);
        let full = gap_mm(&gear, 1.0, second, table.to_pocket_m);
        for (what, is) in [
            (Halves::TwiceApart, half(twice_apart, own)),
            (Halves::TwiceToPocket, half(twice_far, own)),
            (Halves::FullToEighth, half(thin, full)),
        ] {
            assert_eq!(table.halves.contains(&what), is, "{name} {what:?}");
        }
        assert!(table.halves.len() >= 2, "{name}: {:?}", table.halves);
        // Nothing lies farther from the mouth than the far corner of the bed.
        let far_m = gear.bed.length_m.hypot(gear.bed.width_m);
        for (apart_m, cells) in table.aparts_m.iter().zip(&table.cells) {
            for (hit, cell) in HITS.iter().zip(cells) {
                let cut = Angle::from_ball_fraction(*hit).rad();
                let (own, cos) = (table.to_pocket_m, cut.cos());
                let away_m = (own * own + apart_m * apart_m + 2.0 * own * apart_m * cos).sqrt();
                if away_m > far_m {
                    assert_eq!(*cell, Cell::OffTable, "{name} {hit} {apart_m}");
                }
            }
        }
    }
    // Eight feet from a ball a foot from the pocket are more than an eight-foot bed has.
    let eight = Gear::preset("pool-8ft").unwrap();
    let table = MarginTable::new(&eight, &asked(UnitSystem::Inches)).unwrap();
    assert!(table.cells[3].iter().all(|c| *c == Cell::OffTable));
    let (most, least) = table.ends_m().unwrap();
    assert!(table.cells[..3].iter().flatten().all(|c| {
        let gap = c.gap_m().unwrap();
        (least..=most).contains(&gap)
    }));
}
