//! The pack of a lesson: every topic, groups, other tables, inches.

use thincut::charts::pdf::Stamp;
use thincut::charts::render::Paper;
use thincut::gear::Gear;
use thincut::ladder::{CAUTION, PartKind, Topic};
use thincut::sheets::Style;
use thincut::sheets::card::{Card, card_sheet};
use thincut::sheets::lesson::lesson_sheet;
use thincut::sheets::pocket::pocket_sheet;
use thincut::sheets::rose::{Rose, rose_sheet};
use thincut::sheets::scale::scale_sheet;
use thincut::units::UnitSystem;

use crate::page::run;
use crate::samples::{gear, lesson_for, styles_in, thin_cuts};
use crate::words::words_lie_well;

/// The words of a sheet in reading order, line ends as spaces.
fn said(sheet: thincut::sheets::Sheet, style: &Style, name: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let pdf = sheet.pdf(Stamp::default()).unwrap();
    std::fs::write(folder.path().join("a.pdf"), pdf).unwrap();
    let boxes = run("pdftotext", &["-bbox", "a.pdf", "-"], folder.path());
    words_lie_well(&boxes, style, name);
    let text = run("pdftotext", &["-raw", "a.pdf", "-"], folder.path());
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_topic_has_its_pack() {
    for (topic, question) in [
        (Topic::ThinCuts, "Why do thin cuts miss?"),
        (Topic::LongStraight, "Why do long straight shots miss?"),
        (Topic::SidePocket, "When does a side pocket take the ball?"),
        (Topic::AlongTheRail, "Why do balls along the rail stay out?"),
        (Topic::Mixed, "What makes a shot hard?"),
    ] {
        let lesson = lesson_for("pool-9ft", &["A"], topic);
        let style = Style::default();
        let sheet = lesson_sheet(&gear(), &lesson, Some("M9U"), &style).unwrap();
        let text = said(sheet, &style, question);
        let shots: usize = lesson.parts.iter().map(|p| p.shots.len()).sum();
        let room = if topic == Topic::LongStraight {
            "How far off may the aim be?"
        } else {
            "How much room does the ghost ball have?"
        };
        let wanted = [
            question,
            "This topic because: most misses",
            "How often does it go in?",
            room,
            "How hard are the parts of this lesson?",
            "on the table",
            "Its room at true size",
            "Homework: 20 minutes",
            "To take home",
            "thincut log enter M9U",
            &format!("Shot {shots}"),
            CAUTION,
        ];
        for words in wanted {
            assert!(text.contains(words), "{topic:?}: no \"{words}\" in {text}");
        }
        assert!(!text.contains(&format!("Shot {}", shots + 1)), "{text}");
        for part in &lesson.parts {
            assert!(text.contains(&part.say), "{topic:?}: no \"{}\"", part.say);
        }
    }
}

#[test]
fn a_group_shares_the_tries() {
    let lesson = lesson_for("pool-9ft", &["A", "B", "C", "D"], Topic::ThinCuts);
    let shot = &lesson
        .parts
        .iter()
        .find(|p| p.kind == PartKind::Test)
        .unwrap()
        .shots[0];
    let style = Style::default();
    let sheet = || lesson_sheet(&gear(), &lesson, None, &style).unwrap();
    let boxes = |svg: &String| svg.matches("width=\"6.5\" height=\"6.5\"").count();
    let drawn: usize = sheet().svgs().unwrap().iter().map(boxes).sum();
    let tries: u32 = lesson
        .parts
        .iter()
        .flat_map(|p| &p.shots)
        .map(|s| s.tries)
        .sum();
    assert_eq!(drawn, tries as usize);
    let text = said(sheet(), &style, "group");
    let pass = format!("{} of {} each pass", shot.pass.unwrap(), shot.tries / 4);
    assert!(text.contains(&pass), "no \"{pass}\" in {text}");
    assert!(text.contains("For A, B, C and D: 60 minutes"), "{text}");
    assert!(!text.contains("thincut log"), "{text}");
}

#[test]
fn what_a_coach_writes_wraps() {
    let mut lesson = thin_cuts().clone();
    lesson.title = "A long evening ".repeat(20);
    lesson.parts[0].say = "Stroke slowly and watch the cue ball. ".repeat(60);
    lesson.caution = "Thenextwordistoolongforanyline".repeat(12);
    for style in styles_in(UnitSystem::Metric) {
        let sheet = lesson_sheet(&gear(), &lesson, None, &style).unwrap();
        let text = said(sheet, &style, "long");
        assert!(text.contains("A long evening A long evening"), "{text}");
        let slow = text
            .matches("Stroke slowly and watch the cue ball.")
            .count();
        assert_eq!(slow, if style.plain { 0 } else { 60 });
    }
}

/// Other equipment, in inches: nothing overlaps, nothing leaves the page, no millimetre is left over.
#[test]
fn sheets_of_all_tables_in_inches() {
    for name in Gear::preset_names() {
        let gear = Gear::preset(name).unwrap();
        let lesson = lesson_for(name, &["A", "B"], Topic::Mixed);
        // Inches go with Letter paper.
        let letter = |s: &Style| s.paper == Paper::Letter;
        for style in styles_in(UnitSystem::Inches).filter(letter) {
            let all = [
                ("pocket", pocket_sheet(&gear, &style).unwrap()),
                ("rose", rose_sheet(&gear, &Rose::default(), &style).unwrap()),
                ("scale", scale_sheet(&gear, 1.0, &style).unwrap()),
                ("card", card_sheet(&gear, &Card::default(), &style).unwrap()),
                (
                    "lesson",
                    lesson_sheet(&gear, &lesson, None, &style).unwrap(),
                ),
            ];
            for (what, sheet) in all {
                let text = said(sheet, &style, &format!("{name} {what}"));
                // The check bar and the scale are metric: the stroke test reads millimetres.
                let rest = text.replace("100 mm", "");
                if what != "scale" && what != "lesson" {
                    assert!(
                        !rest.contains(" mm") && !rest.contains(" cm"),
                        "{name} {what}: {text}"
                    );
                }
            }
        }
    }
}
