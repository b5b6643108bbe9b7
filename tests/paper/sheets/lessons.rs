//! The pack of a lesson: every topic, groups, other tables, inches.

use thincut::charts::margins::Strip;
use thincut::draw::Paper;
use thincut::draw::pdf::Stamp;
use thincut::gear::Gear;
use thincut::ladder::Topic;
use thincut::lesson::{CAUTION, Lesson, PartKind};
use thincut::sheets::Style;
use thincut::sheets::card::{Card, card_sheet};
use thincut::sheets::lesson::lesson_sheet;
use thincut::sheets::margin_strip::margin_strip_sheet;
use thincut::sheets::pocket::pocket_sheet;
use thincut::sheets::scale::scale_sheet;
use thincut::speech::{Speech, WordSet};
use thincut::units::UnitSystem;

use super::page::run;
use super::samples::{aloud, gear, group_lesson, lesson_for, styles, styles_in, thin_cuts};
use super::words::{texts, words_lie_well};

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
        let lesson = lesson_for("pool-9ft", &["K"], topic);
        let style = Style::default();
        let sheet = aloud(|| lesson_sheet(&gear(), &lesson, Some("M9U"), &style)).unwrap();
        let text = said(sheet, &style, question);
        let shots: usize = lesson.parts.iter().map(|p| p.shots.len()).sum();
        // A lesson on thin cuts opens with the gaps at true size.
        let picture = if topic == Topic::ThinCuts {
            "how far your tip may be off"
        } else {
            "How often does it go in?"
        };
        let wanted = [
            question,
            "Why this topic: most misses",
            picture,
            "3 to 5: ",
            ": its margin at true size",
            "Homework: 20 min, later",
            "To take home",
            "Out of ten, about this many go in",
            "type the code M9U",
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
    let lesson = lesson_for("pool-9ft", &["K", "L", "M", "N"], Topic::ThinCuts);
    let shot = &lesson
        .parts
        .iter()
        .find(|p| p.kind == PartKind::Test)
        .unwrap()
        .shots[0];
    let style = Style::default();
    let sheet = || lesson_sheet(&gear(), &lesson, None, &style).unwrap();
    // Several students' boxes are small.
    let boxes = |svg: &String| svg.matches("width=\"4.8\" height=\"4.8\"").count();
    let drawn: usize = sheet().svgs().unwrap().iter().map(boxes).sum();
    // Nobody counts the warm-up, and homework is written into a grid.
    let tries: u32 = lesson
        .parts
        .iter()
        .filter(|p| p.kind != PartKind::WarmUp && p.kind != PartKind::Homework)
        .flat_map(|p| &p.shots)
        .map(|s| s.tries)
        .sum();
    assert_eq!(drawn, tries as usize);
    let text = said(sheet(), &style, "group");
    let pass = format!(
        "pass mark {} of {} each",
        shot.pass.unwrap(),
        shot.tries / 4
    );
    assert!(text.contains(&pass), "no \"{pass}\" in {text}");
    assert!(text.contains("For K, L, M and N: 60 minutes"), "{text}");
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
        let lesson = lesson_for(name, &["K", "L"], Topic::Mixed);
        // Inches go with Letter paper.
        let letter = |s: &Style| s.paper == Paper::Letter;
        for style in styles_in(UnitSystem::Inches).filter(letter) {
            let all = [
                ("pocket", pocket_sheet(&gear, &style).unwrap()),
                (
                    "strip",
                    margin_strip_sheet(&gear, &Strip::default(), &style).unwrap(),
                ),
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
                if what != "scale" {
                    let metric = [" mm", " cm", " m ", "m/s"].map(|unit| rest.contains(unit));
                    assert_eq!(metric, [false; 4], "{name} {what}: {text}");
                }
            }
        }
    }
}

/// Lessons of every topic follow the units, speeds too.
#[test]
fn lessons_of_every_topic_follow_the_units() {
    for topic in Topic::ALL {
        let lesson = lesson_for("pool-9ft", &["K"], topic);
        for plain in [false, true] {
            let style = Style {
                paper: Paper::Letter,
                plain,
                units: UnitSystem::Inches,
                words: None,
            };
            let sheet = lesson_sheet(&gear(), &lesson, None, &style).unwrap();
            let text = said(sheet, &style, "inches").replace("100 mm", "");
            for unit in [" mm", " cm", " m ", " m)", "(m)", "m/s"] {
                assert!(!text.contains(unit), "{topic:?} {plain}: {unit} in {text}");
            }
        }
    }
}

/// The game of a group can be set up from its page alone: string, places, distances.
#[test]
fn marks_of_a_lesson_say_string_and_distances() {
    let lesson = group_lesson();
    for style in styles() {
        let sheet = lesson_sheet(&gear(), &lesson, None, &style).unwrap();
        let text = said(sheet, &style, "group");
        for words in [
            "Marks: 14 minutes",
            "On the string, from the middle of ",
            "Turns: who sets the balls also counts",
            "Shot 9, K:",
            "Shot 12, N:",
        ] {
            assert!(text.contains(words), "no \"{words}\" in {text}");
        }
        assert_eq!(
            text.contains("Stretch a string from its middle to"),
            style.plain
        );
        let raw = text
            .split("mm,")
            .any(|t| t.ends_with(|c: char| c.is_ascii_digit()));
        assert!(!raw, "raw places: {text}");
    }
}

/// What the pages say: their texts in order.
fn pages(lesson: &thincut::lesson::Lesson, style: &Style) -> Vec<Vec<String>> {
    let sheet = lesson_sheet(&gear(), lesson, Some("M9U"), style).unwrap();
    sheet.svgs().unwrap().iter().map(|svg| texts(svg)).collect()
}

/// A part stands in one column with all its shots, diagrams in two columns on two pages; more shots than that take
/// more pages and say that they go on.
#[test]
fn parts_are_not_split() {
    let lessons = [
        lesson_for("pool-9ft", &["K"], Topic::Mixed),
        lesson_for("snooker-12ft", &["K", "L"], Topic::Mixed),
        group_lesson(),
    ];
    for (lesson, style) in lessons.iter().flat_map(|l| styles().map(move |s| (l, s))) {
        let gear = Gear::preset(&lesson.gear).unwrap();
        let pages: Vec<Vec<String>> = lesson_sheet(&gear, lesson, Some("M9U"), &style)
            .unwrap()
            .svgs()
            .unwrap()
            .iter()
            .map(|svg| texts(svg))
            .collect();
        let mut first = 1;
        for part in &lesson.parts {
            let own = first..first + part.shots.len();
            first = own.end;
            if part.kind == PartKind::Homework || part.kind == PartKind::Marks {
                continue;
            }
            let heading = format!(": {} minutes", part.minutes);
            let page = pages
                .iter()
                .find(|page| page.iter().any(|t| t.ends_with(&heading)));
            let page = page.unwrap_or_else(|| panic!("{style:?}: no {heading} in {pages:?}"));
            for number in own {
                let shot = format!("Shot {number}: ");
                assert!(
                    page.iter()
                        .any(|t| t.starts_with(&shot) || *t == format!("Shot {number}")),
                    "{style:?}: {shot} is not with {heading}: {page:?}"
                );
            }
        }
    }
    let mut long = lesson_for("pool-9ft", &["K"], Topic::Mixed);
    let topic = &mut long.parts[2];
    topic.minutes = 60;
    topic.shots = topic.shots.iter().cycle().take(11).cloned().collect();
    long.minutes = 120;
    for style in styles() {
        let sheet = lesson_sheet(&gear(), &long, None, &style).unwrap();
        assert!(
            (5..=7).contains(&sheet.page_count()),
            "{}",
            sheet.page_count()
        );
        let text = said(sheet, &style, "long");
        assert!(text.contains("Topic: 60 minutes, continued"), "{text}");
        assert!(text.contains("Shot 22"), "{text}");
    }
}

/// Balls are seen from a step away, on every table and in every diagram of a lesson, and stand clear of each other.
#[test]
fn balls_are_large() {
    for name in ["pool-9ft", "snooker-12ft"] {
        let gear = Gear::preset(name).unwrap();
        let lesson = lesson_for(name, &["K"], Topic::Mixed);
        for style in styles() {
            let sheet = lesson_sheet(&gear, &lesson, None, &style).unwrap();
            let mut seen = 0;
            for svg in sheet.svgs().unwrap() {
                for ball in svg.split("class=\"cue ball\"").skip(1) {
                    let radius = ball.split(" r=\"").nth(1).unwrap();
                    let radius: f64 = radius.split('"').next().unwrap().parse().unwrap();
                    assert!(radius >= 1.999, "{name} {style:?}: {radius} mm");
                    seen += 1;
                }
            }
            assert_eq!(seen, 14, "{name} {style:?}");
        }
    }
}

/// Every page is known by itself: its code and title, not cut short for ten students.
#[test]
fn every_page_says_what_it_belongs_to() {
    let labels = ["K", "L", "M", "N", "P", "Q", "R", "S", "T", "U"];
    let lesson = lesson_for("pool-9ft", &labels, Topic::AlongTheRail);
    for style in styles() {
        for page in pages(&lesson, &style) {
            let all = page.join(" ");
            assert!(all.contains("M9U"), "{all}");
            assert!(all.contains("for K, L, M, N, P, Q, R, S, T, U"), "{all}");
        }
    }
}

/// Nobody counts the warm-up, so it has no boxes, and says how often to play.
#[test]
fn a_warm_up_has_no_boxes() {
    let mut lesson = thin_cuts().clone();
    lesson.parts.retain(|p| p.kind == PartKind::WarmUp);
    let sheet = || lesson_sheet(&gear(), &lesson, None, &Style::default()).unwrap();
    let boxes = |svg: &String| svg.matches("width=\"6.5\" height=\"6.5\"").count();
    assert_eq!(sheet().svgs().unwrap().iter().map(boxes).sum::<usize>(), 0);
    let text = said(sheet(), &Style::default(), "warm-up");
    assert_eq!(text.matches(": 6 tries ").count(), 2, "{text}");
}

/// One number is said one way: the aim on the first page and below the chart.
#[test]
fn the_aim_is_rounded_alike_everywhere() {
    let mut lesson = lesson_for("pool-9ft", &["K"], Topic::Mixed);
    lesson.arm_deg = 0.274;
    lesson.parts.retain(|p| p.kind == PartKind::WarmUp);
    for shot in lesson.parts.iter_mut().flat_map(|p| &mut p.shots) {
        let solved = super::samples::chance_in_ten(shot, 0.274, lesson.picture_mm);
        shot.makes_in_ten = solved;
    }
    let sheet = lesson_sheet(&gear(), &lesson, None, &Style::default()).unwrap();
    let text = said(sheet, &Style::default(), "aim");
    assert!(!text.contains("0.274"), "{text}");
    assert_eq!(
        text.matches("stroke ±0.27°, sighting ±").count(),
        2,
        "{text}"
    );
}

/// The minutes of the parts add up to the lesson's and the homework's, and homework has room for days: a grid to
/// take home, and one for each of a group.
#[test]
fn homework_is_outside_the_lesson() {
    let lesson = group_lesson();
    for style in styles() {
        let sheet = || lesson_sheet(&gear(), &lesson, None, &style).unwrap();
        let text = said(sheet(), &style, "group");
        let minutes = if style.plain {
            "74 minutes, and 20 minutes of homework."
        } else {
            "74 minutes at the table and 20 minutes of homework on other days"
        };
        for words in [minutes, "20 min, later", "Everybody's homework"] {
            assert!(text.contains(words), "no \"{words}\" in {text}");
        }
        let pages = sheet().svgs().unwrap();
        let heads: Vec<Vec<String>> = pages
            .iter()
            .map(|svg| texts(svg).into_iter().take(4).collect())
            .collect();
        let large = style.plain && style.paper == Paper::Letter;
        assert_eq!(
            pages.len(),
            if large { 7 } else { 6 },
            "{style:?}: {heads:?}"
        );
        let all = texts(&pages[pages.len() - 1]);
        for label in ["K", "L", "M", "N"] {
            assert_eq!(
                all.iter().filter(|t| *t == label).count(),
                1,
                "{label}: {all:?}"
            );
        }
        let home: Vec<String> = pages[4..].iter().flat_map(|svg| texts(svg)).collect();
        for words in ["To take home", "Homework", "Day"] {
            assert!(home.iter().any(|t| t == words), "{words}: {home:?}");
        }
    }
}

/// Distances are said with the pictures, and plain pages leave nothing out that is needed to play.
#[test]
fn plain_lessons_say_how_far_and_what_to_do() {
    for topic in [Topic::ThinCuts, Topic::LongStraight, Topic::SidePocket] {
        let mut lesson = lesson_for("pool-9ft", &["K"], topic);
        let drill = |p: &&mut thincut::lesson::Part| p.kind == PartKind::Drill;
        let drill = lesson.parts.iter_mut().find(drill).unwrap();
        drill.shots.iter_mut().for_each(|s| s.pass = Some(4));
        let style = Style {
            plain: true,
            ..Style::default()
        };
        let text = said(
            lesson_sheet(&gear(), &lesson, None, &style).unwrap(),
            &style,
            "plain",
        );
        for words in [" cm away.", "Not enough? Go back one.", "Ball 1: 6 and 3."] {
            assert!(text.contains(words), "{topic:?}: no \"{words}\" in {text}");
        }
    }
    let style = Style {
        plain: true,
        ..Style::default()
    };
    let text = said(
        lesson_sheet(&gear(), &group_lesson(), None, &style).unwrap(),
        &style,
        "game",
    );
    let needs = "You need a string, a tape and chalk. 5 tries each.";
    assert!(text.contains(needs), "{text}");
}

/// Distances that are ours to choose are round in the units of the sheet, and all of them are said.
#[test]
fn answers_say_both_distances_in_round_numbers() {
    let lesson = thin_cuts();
    for (units, places) in [
        (
            UnitSystem::Metric,
            "1 m apart, 60 cm to the pocket: cut 0°:",
        ),
        (
            UnitSystem::Inches,
            "3 ft apart, 2 ft to the pocket: cut 0°:",
        ),
    ] {
        let style = Style {
            units,
            ..Style::default()
        };
        let text = said(
            lesson_sheet(&gear(), lesson, None, &style).unwrap(),
            &style,
            "round",
        );
        assert!(text.contains(places), "no \"{places}\" in {text}");
    }
}

/// What a coach edits is what is printed: a lesson's sentences are in the words of its table, and what a
/// program reads of it stays.
#[test]
fn a_lessons_file_speaks_as_its_table_does() {
    let mut lesson = lesson_for("pool-9ft", &["K"], Topic::AlongTheRail);
    lesson.title = "Shots along the rail for K".to_owned();
    lesson.parts[1].say = "Was a miss too full, or frozen to the foot rail?".to_owned();
    lesson.parts[1].turns = vec!["table 1: K from the side rail".to_owned()];
    let uk = lesson
        .clone()
        .said(Speech::new(WordSet::Uk, UnitSystem::Metric));
    assert_eq!(uk.title, "Shots along the cushion for K");
    assert_eq!(
        uk.parts[1].say,
        "Was a miss too thick, or tight on the top cushion?"
    );
    assert_eq!(uk.parts[1].turns, ["table 1: K from the side cushion"]);
    assert_eq!(uk.parts[1].shots, lesson.parts[1].shots);
    assert_eq!(Lesson::read(&uk.to_toml().unwrap()).unwrap(), uk);
    let us = Speech::new(WordSet::Us, UnitSystem::Metric);
    assert_eq!(lesson.clone().said(us), lesson);
}
