//! Your own table on paper: the strip of marks of the ramp test and the gauges at true size, and words that
//! say what to do with what was written.

use kurbo::{Point, Vec2};
use thincut::draw::pdf::Stamp;
use thincut::gear::Gear;
use thincut::measure::{Plan, Ramp};
use thincut::pocket::PocketKind;
use thincut::sheets::jaws::jaws_sheet;
use thincut::sheets::readings::readings_sheet;

use super::page::{Page, TRUE_MM, numbers_after};
use super::samples::{aloud, gear, styles};
use super::words::texts;

/// The page that holds a group, counted from 1.
fn page_with(svgs: &[String], class: &str) -> usize {
    1 + svgs
        .iter()
        .position(|svg| svg.contains(class))
        .expect("a page")
}

#[test]
fn marks_are_where_their_names_say() {
    let folder = tempfile::tempdir().unwrap();
    for kind in [PocketKind::Corner, PocketKind::Side] {
        let plan = Plan::new(&gear(), Ramp::usual(kind));
        for style in styles() {
            let sheet = || jaws_sheet(&gear(), kind, &style).unwrap();
            let svgs = sheet().svgs().unwrap();
            let class = "class=\"marks\"";
            let number = page_with(&svgs, class);
            let page = Page::new(
                &sheet().pdf(Stamp::default()).unwrap(),
                number,
                folder.path(),
            );
            // The first line is that of 0; left is left.
            let zero = numbers_after(&svgs[number - 1], class, "d");
            let (middle, y) = (zero[0], zero[1] - 2.0);
            // Large letters leave room for every other mark.
            let step = if style.plain { 2 } else { 1 };
            let left = plan.left_mm.iter().step_by(step).copied();
            let right = plan.right_mm.iter().step_by(step).map(|mm| -mm);
            for mm in left.chain(right).chain([0.0]) {
                let at = Point::new(middle - mm, y);
                let off = page.line_at(at, Vec2::new(1.0, 0.0), 0.4);
                assert!(off.abs() < TRUE_MM, "{kind} {style:?} {mm}: {off}");
            }
        }
    }
}

#[test]
fn gauges_are_hollow_by_their_radius() {
    let folder = tempfile::tempdir().unwrap();
    let snooker = Gear::preset("snooker-12ft").unwrap();
    for style in styles() {
        let sheet = || readings_sheet(&snooker, &style).unwrap();
        let svgs = sheet().svgs().unwrap();
        let class = "class=\"gauge\"";
        let number = page_with(&svgs, class);
        let page = Page::new(
            &sheet().pdf(Stamp::default()).unwrap(),
            number,
            folder.path(),
        );
        let mut rest = svgs[number - 1].as_str();
        let mut found = Vec::new();
        while let Some(at) = rest.find(class) {
            rest = &rest[at..];
            let flat = numbers_after(rest, class, "d");
            let points: Vec<Point> = flat.chunks(2).map(|p| Point::new(p[0], p[1])).collect();
            // Two upper corners, then the arc from right to left.
            let arc = &points[2..];
            let (first, last) = (arc[0], arc[arc.len() - 1]);
            let half = 0.5 * first.distance(last);
            let top = arc[arc.len() / 2];
            let sag = first.midpoint(last).y - top.y;
            let radius = 0.5 * (half * half / sag + sag);
            found.push(radius);
            let off = page.line_at(top, Vec2::new(0.0, 1.0), 0.5);
            assert!(off.abs() < TRUE_MM, "{style:?} {radius}: {off}");
            rest = &rest[class.len()..];
        }
        // Half to half as much again of 20 mm and 80 mm.
        for want in [10.0, 20.0, 30.0, 40.0, 80.0, 120.0] {
            let has = found.iter().any(|r| (r - want).abs() < 0.1);
            assert!(has, "{want} missing in {found:?}");
        }
    }
}

#[test]
fn they_say_what_to_do_with_the_numbers() {
    for style in styles().filter(|s| !s.plain) {
        let say = |svgs: Vec<String>| {
            let all: Vec<String> = svgs.iter().flat_map(|svg| texts(svg)).collect();
            all.join(" ").replace('\u{a0}', " ")
        };
        let jaws = aloud(|| {
            jaws_sheet(&gear(), PocketKind::Corner, &style)
                .unwrap()
                .svgs()
                .unwrap()
        });
        let text = say(jaws);
        for words in [
            "For the jaws of pool-9ft: type what dropped at a corner, L",
            "write down how far it ran",
            "R3",
        ] {
            assert!(text.contains(words), "{words} missing in {text}");
        }
        let form = aloud(|| readings_sheet(&gear(), &style).unwrap().svgs().unwrap());
        let text = say(form);
        for words in [
            "For a table of your own: type these readings.",
            "1 mouth",
            "2 gap",
            "3 throat",
            "4 shelf",
            "head-left",
            "side-right",
            "roll-out: distance and time",
            "1 straight: back from the nose",
        ] {
            assert!(text.contains(words), "{words} missing in {text}");
        }
        assert!(!text.contains("Gauges"), "{text}");
    }
}
