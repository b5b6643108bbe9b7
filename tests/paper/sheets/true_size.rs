//! Check bars, pockets, scale and card, measured.

use kurbo::{Point, Vec2};
use thincut::draw::pdf::Stamp;
use thincut::gear::Gear;
use thincut::pocket::PocketKind;
use thincut::sheets::card::{CARD_MM, Card, card_sheet};
use thincut::sheets::pocket::pocket_sheet;
use thincut::sheets::scale::{ROOM_MM, scale_sheet};

use super::page::{Page, TRUE_MM, numbers_after};
use super::samples::{gear, sheets, styles};
use super::words::texts;

/// More pages than before are a layout that no longer closes up.
#[test]
fn sheets_have_their_pages() {
    let off: Vec<String> = styles()
        .flat_map(|style| {
            sheets(&style).into_iter().map(move |(name, sheet, count)| {
                (format!("{name} {style:?}"), sheet.page_count(), count)
            })
        })
        .filter(|(_, pages, count)| pages != count)
        .map(|(name, pages, count)| format!("{name}: {pages} pages, {count} before"))
        .collect();
    assert!(off.is_empty(), "{off:#?}");
}

/// Thickness of the lines at the ends of a bar, mm.
const END_MM: f64 = 0.4;

/// Bars stand where size matters, true from the middle of one end line to the middle of the other, and nowhere
/// else.
#[test]
fn check_bars_are_true_where_size_matters() {
    let folder = tempfile::tempdir().unwrap();
    for style in styles() {
        let height = style.paper.size_mm().1;
        for ((name, sheet, count), (_, again, _)) in sheets(&style).into_iter().zip(sheets(&style))
        {
            let sized = sheet.sized_pages();
            match name {
                "ladder" | "marks" | "evening" => assert!(sized.is_empty(), "{name}: {sized:?}"),
                "lesson" | "group" => assert!(sized.iter().all(|page| *page < 3), "{sized:?}"),
                _ => assert_eq!(sized.len(), count, "{name}"),
            }
            for (k, svg) in again.svgs().unwrap().iter().enumerate() {
                let says = texts(svg).iter().any(|t| t.contains("middle to middle"));
                assert_eq!(
                    says,
                    sized.contains(&(k + 1)),
                    "{name} {style:?} page {}",
                    k + 1
                );
            }
            let Some(last) = sized.last() else {
                continue;
            };
            let pdf = sheet.pdf(Stamp::default()).unwrap();
            // The bars lie 6.5 and 11.5 mm below the strip's top, 31.5 mm above the paper's end.
            for (y, length) in [(height - 25.0, 100.0), (height - 20.0, 101.6)] {
                let page = Page::strip(&pdf, *last, folder.path(), (y - 2.5, y + 2.5));
                let run = page.longest_run_mm(y - 1.0, y + 1.0) - END_MM;
                assert!((run - length).abs() < TRUE_MM, "{name} {style:?}: {run} mm");
                // Above the bar's own line, so that nothing but its ends is seen.
                for x in [15.0, 15.0 + length] {
                    let off = page.line_at(Point::new(x, y - 1.0), Vec2::new(1.0, 0.0), 0.6);
                    assert!(off.abs() < TRUE_MM, "{name} {style:?} {x}: {off} mm");
                }
            }
        }
    }
}

#[test]
fn pocket_outlines_are_true() {
    let folder = tempfile::tempdir().unwrap();
    let gear = gear();
    for style in styles() {
        let svgs = pocket_sheet(&gear, &style).unwrap().svgs().unwrap();
        let pdf = pocket_sheet(&gear, &style)
            .unwrap()
            .pdf(Stamp::default())
            .unwrap();
        for (k, kind) in [PocketKind::Corner, PocketKind::Side]
            .into_iter()
            .enumerate()
        {
            let flat = numbers_after(&svgs[k], "class=\"pocket\"", "d");
            let points: Vec<Point> = flat.chunks(2).map(|p| Point::new(p[0], p[1])).collect();
            same_as_gear(&gear, kind, &points);
            let page = Page::new(&pdf, k + 1, folder.path());
            for pair in points.windows(2) {
                let along = pair[1] - pair[0];
                // At the middle of an edge, off the ends of arrows.
                let at = pair[0].midpoint(pair[1]);
                let across = Vec2::new(-along.y, along.x).normalize();
                let jaws = [2, 3, points.len() - 4, points.len() - 3];
                let corners = jaws.map(|i| at.distance(points[i]));
                let alone = corners.iter().all(|d| *d > 6.0);
                // There the shelf's arrow and the throat's touch the slate's edge.
                let shelf = (at.x - 0.5 * style.paper.size_mm().0).abs() < 14.0;
                if alone && !shelf && along.hypot() > 0.5 {
                    let off = page.line_at(at, across, 0.6);
                    assert!(off.abs() < TRUE_MM, "{style:?} {kind} {at:?}: {off}");
                }
            }
        }
    }
}

/// The outline against the gear's own numbers: mouth, facing angle, shelf, cut-out.
fn same_as_gear(gear: &Gear, kind: PocketKind, points: &[Point]) {
    let spec = kind.spec(gear);
    // Front corner, rail's end, jaw point, facing's end, arc …, facing's end, jaw, rail, corner.
    let n = points.len();
    let (rail, jaw, facing) = (points[1], points[2], points[3]);
    let mouth = jaw.distance(points[n - 3]);
    assert!(
        (mouth - 1e3 * spec.mouth_m).abs() < 5e-3,
        "{kind} mouth {mouth}"
    );
    let (a, b) = (rail - jaw, facing - jaw);
    let angle = (a.dot(b) / (a.hypot() * b.hypot())).acos();
    // Coordinates carry three decimals: 1 µm at 40 mm is 25 µrad.
    let off = (angle - spec.facing_angle_rad).abs();
    assert!(off < 1e-4, "{kind}: {} degrees", angle.to_degrees());
    let middle = jaw.midpoint(points[n - 3]);
    let centre = middle - Vec2::new(0.0, 1e3 * (spec.shelf_m + spec.cutout_radius_m));
    for p in &points[3..n - 3] {
        let radius = p.distance(centre);
        assert!(
            (radius - 1e3 * spec.cutout_radius_m).abs() < 0.01,
            "{kind} cut-out {radius}"
        );
    }
    let deepest = points[4..n - 4].iter().map(|p| p.y).fold(0.0, f64::max);
    let shelf = middle.y - deepest;
    assert!(
        (shelf - 1e3 * spec.shelf_m).abs() < 0.02,
        "{kind} shelf {shelf}"
    );
}

#[test]
fn scale_spacers_and_card_are_true() {
    let folder = tempfile::tempdir().unwrap();
    for style in styles() {
        let scale = || scale_sheet(&gear(), 1.0, &style).unwrap();
        let svg = scale().svgs().unwrap().swap_remove(0);
        let page = Page::new(&scale().pdf(Stamp::default()).unwrap(), 1, folder.path());
        let start = numbers_after(&svg, "class=\"scale\"", "d");
        // The first mark is −80 on the right; the last +80: long marks every ten.
        // All stand on the edge that goes to the nose.
        let (right, y) = (start[0], start[1] - 8.0);
        for tens in 0..=16 {
            let at = Point::new(right - 10.0 * f64::from(tens), y);
            let off = page.line_at(at, Vec2::new(1.0, 0.0), 0.4);
            assert!(off.abs() < TRUE_MM, "{style:?} {tens}: {off}");
        }
        let mut rest = svg.as_str();
        for room in ROOM_MM {
            let from = rest.find("class=\"spacer\"").unwrap();
            rest = &rest[from..];
            let width = numbers_after(rest, "class=\"spacer\"", "width")[0];
            assert!((width - (57.15 + 2.0 * room)).abs() < 1e-3);
            let left = numbers_after(rest, "class=\"spacer\"", "x")[0];
            let top = numbers_after(rest, "class=\"spacer\"", "y")[0] + 2.0;
            for x in [left, left + width] {
                let off = page.line_at(Point::new(x, top), Vec2::new(1.0, 0.0), 0.5);
                assert!(off.abs() < TRUE_MM, "{style:?} {room}: {off}");
            }
            rest = &rest[10..];
        }
        let svg = card_sheet(&gear(), &Card::default(), &style)
            .unwrap()
            .svgs()
            .unwrap();
        // Two sides, chances on plain cards three.
        let size = format!("width=\"{}\" height=\"{}\"", CARD_MM.0, 2.0 * CARD_MM.1);
        assert!(svg[0].contains(&size), "{size}");
    }
}
