//! What is cut out or handed out says by itself what it is.

use thincut::draw::pdf::Stamp;
use thincut::ladder::LadderAnswer;
use thincut::sheets::Style;
use thincut::sheets::booklet::{Booklet, ladder_sheet};
use thincut::sheets::card::{CARD_MM, Card, card_sheet};
use thincut::sheets::lesson::lesson_sheet;
use thincut::sheets::marks::marks_sheet;
use thincut::sheets::pocket::pocket_sheet;
use thincut::sheets::scale::scale_sheet;
use thincut::units::UnitSystem;

use super::page::{numbers_after, run};
use super::samples::{
    aloud, booklet, club, gear, ladder_answer, marks_of_eight, styles, styles_in, thin_cuts,
};
use super::words::texts;

/// The words inside the cut line of a card, in order.
fn inside(svg: &str, sides: f64) -> Vec<String> {
    let size = format!("width=\"{}\" height=\"{}\"", CARD_MM.0, sides * CARD_MM.1);
    let rect = svg
        .split("<rect ")
        .find(|r| r.contains(&size))
        .expect("the card");
    let rect = format!("<rect {rect}");
    let one = |name| numbers_after(&rect, "<rect", name)[0];
    let (left, top) = (one("x"), one("y"));
    let texts = svg.split("<text ").skip(1);
    let own = texts.filter(|t| {
        let t = format!("<text {t}");
        let at = |name| numbers_after(&t, "<text", name)[0];
        (left..left + CARD_MM.0).contains(&at("x"))
            && (top..top + sides * CARD_MM.1).contains(&at("y"))
    });
    own.map(|t| super::words::texts(&format!("<text {t}")).remove(0))
        .collect()
}

#[test]
fn a_card_cut_out_says_what_it_is() {
    for style in styles().chain(styles_in(UnitSystem::Inches)) {
        for player in [None, Some(club())] {
            let card = Card {
                player,
                ..Card::default()
            };
            let sides = if style.plain && card.player.is_some() {
                3.0
            } else {
                2.0
            };
            let sheet = card_sheet(&gear(), &card, &style).unwrap();
            assert_eq!(sheet.page_count(), 1);
            let words = inside(&sheet.svgs().unwrap()[0], sides).join(" ");
            let words = words.replace('\u{a0}', " ");
            assert!(words.contains("9-foot pool table"), "{style:?}: {words}");
            let meaning = match (style.plain, card.player.is_some()) {
                (true, true) => ["Of ten, so many go in", "club player"],
                (true, false) => ["You may be off", "to the pocket"],
                (false, true) => ["Makes in ten", "club player"],
                (false, false) => ["Margin either side", "Clean"],
            };
            for m in meaning {
                assert!(words.contains(m), "{style:?}: no {m} in {words}");
            }
            // Distances over bank cards have their unit with them.
            if style.plain && card.player.is_none() {
                let words = words.replace('\u{a0}', " ");
                let heads = match style.units {
                    UnitSystem::Metric => "Off by how many mm? 50 cm 120 cm",
                    UnitSystem::Inches => "Off by how many cards? 20 in 47 in",
                };
                assert!(words.contains(heads), "{words}");
            }
        }
    }
}

/// Room in millimetres does not change with the distance between the balls: one column of it, and of
/// the degrees that do no two columns alike.
#[test]
fn no_two_columns_of_room_are_alike() {
    let sheet = card_sheet(&gear(), &Card::default(), &Style::default()).unwrap();
    let words = inside(&sheet.svgs().unwrap()[0], 2.0);
    let degrees: Vec<f64> = words
        .iter()
        .filter(|w| w.contains('.') && w.ends_with('°'))
        .map(|w| w.trim_end_matches('°').parse().unwrap())
        .collect();
    // Two sides of six cuts at four distances.
    assert_eq!(degrees.len(), 48);
    for row in degrees.chunks(4) {
        assert!(row.windows(2).all(|w| w[0] > w[1]), "{row:?}");
        // Half a metre against two: a quarter of the angle, but for the ball's width.
        assert!(row[0] / row[3] > 3.5, "{row:?}");
    }
    assert_eq!(words.iter().filter(|w| *w == "mm").count(), 2);
}

#[test]
fn pages_of_pockets_stand_alone() {
    for style in styles() {
        for svg in pocket_sheet(&gear(), &style).unwrap().svgs().unwrap() {
            let words = texts(&svg).join(" ");
            assert!(
                words.to_lowercase().contains("scissors cut fingers"),
                "{words}"
            );
            for row in ["mouth", "throat", "shelf"] {
                // In the drawing and in the table below it.
                assert!(words.matches(row).count() >= 2, "{row}: {words}");
            }
        }
    }
}

#[test]
fn readings_have_a_place_of_their_own() {
    for style in styles().chain(styles_in(UnitSystem::Inches)) {
        let sheet = scale_sheet(&gear(), 1.0, &style).unwrap();
        assert_eq!(sheet.page_count(), 1, "{style:?}");
        let words = texts(&sheet.svgs().unwrap()[0]).join(" ");
        let heading = if style.plain {
            "Write the ten numbers here L or R first."
        } else {
            "The ten readings, in mm"
        };
        assert!(words.contains(heading), "{words}");
        if style.units == UnitSystem::Inches {
            assert!(!words.contains(" mm either side"), "{words}");
        }
    }
}

/// The scale is read from above where the ball touches the nose: its marks stand on the edge nearer to
/// the shooter, left of 0 is plus, and plain sheets say which letter takes which sign.
#[test]
fn a_scale_says_how_it_is_read() {
    for style in styles().chain(styles_in(UnitSystem::Inches)) {
        let svg = aloud(|| scale_sheet(&gear(), 0.9144, &style))
            .unwrap()
            .svgs()
            .unwrap();
        let svg = &svg[0];
        let words = texts(svg).join(" ").replace('\u{a0}', " ");
        for said in ["nose", "from above", "its front", "in front of"] {
            let said = if style.plain {
                said.replace("its front", "Front of the cue ball")
                    .replace("in front of", "away set two balls")
            } else {
                said.to_owned()
            };
            assert!(words.contains(&said), "{style:?}: no \"{said}\" in {words}");
        }
        let (left, right) = if style.plain {
            ("L60", "R60")
        } else {
            ("+80", "−80")
        };
        let x = |label: &str| {
            let text = svg
                .split("<text ")
                .find(|t| t.contains(&format!(">{label}<")));
            numbers_after(&format!("<text {}", text.expect(label)), "<text", "x")[0]
        };
        assert!(x(left) < x(right), "{style:?}");
        if style.plain {
            assert!(words.contains("L is plus, R is minus"), "{words}");
        } else {
            let distance = match style.units {
                UnitSystem::Metric => "over 0.914m.",
                UnitSystem::Inches => "over 3ft.",
            };
            assert!(words.contains(distance), "{words}");
        }
    }
}

#[test]
fn every_page_of_a_ladder_has_its_code_and_two_rungs() {
    for style in styles() {
        let svgs = ladder_sheet(&gear(), &booklet(), &style)
            .unwrap()
            .svgs()
            .unwrap();
        for svg in &svgs {
            let all = texts(svg);
            let known = "Ladder: mixed, code K7Q2";
            assert!(all.iter().any(|t| t == known), "{all:?}");
            let rungs = all.iter().filter(|t| t.starts_with("Rung ")).count();
            assert!(rungs >= 2, "{style:?}: {all:?}");
        }
    }
}

#[test]
fn a_booklet_names_hand_and_reach() {
    let answer = LadderAnswer {
        hand: Some("left".to_owned()),
        reach_mm: Some(700.0),
        ..ladder_answer()
    };
    for style in styles() {
        let sheet = ladder_sheet(&gear(), &Booklet::new(&answer), &style).unwrap();
        let words = texts(&sheet.svgs().unwrap()[0])
            .join(" ")
            .replace('\u{a0}', " ");
        assert!(words.contains("For a left-handed player"), "{words}");
        assert_eq!(words.contains("reaches 70 cm over the table"), !style.plain);
    }
}

/// Eight students at one table: each has a letter in the diagram, nobody's turn is on another page, and
/// circles that would lie on each other are strokes.
#[test]
fn an_evening_of_eight_is_told_apart() {
    let folder = tempfile::tempdir().unwrap();
    let marks = marks_of_eight();
    for style in styles() {
        let sheet = || marks_sheet(&gear(), &marks, &style).unwrap();
        let svgs = sheet().svgs().unwrap();
        let with_turns = svgs.iter().filter(|s| {
            let all = texts(s);
            all.iter().any(|t| t.contains(" min: table 1"))
        });
        assert_eq!(with_turns.count(), 1, "{style:?}: turns over two pages");
        let all = texts(&svgs[0]);
        for mark in &marks.marks {
            let key = |t: &String| t.split(", ").any(|k| k == mark.student);
            assert!(
                all.iter().any(key),
                "{style:?}: no letter for {}",
                mark.student
            );
            let line = format!("{}: ", mark.student);
            let boxed = svgs
                .iter()
                .any(|s| texts(s).iter().any(|t| t.starts_with(&line)));
            assert!(boxed, "{style:?}: no line for {}", mark.student);
        }
        std::fs::write(
            folder.path().join("m.pdf"),
            sheet().pdf(Stamp::default()).unwrap(),
        )
        .unwrap();
        let boxes = run("pdftotext", &["-bbox", "m.pdf", "-"], folder.path());
        super::words::words_lie_well(&boxes, &style, "evening");
    }
}

/// Nobody is left to guess which way round a picture lies, or what a diamond is.
#[test]
fn every_booklet_says_how_to_find_a_place() {
    for style in styles() {
        let sheets = [
            marks_sheet(&gear(), &marks_of_eight(), &style).unwrap(),
            ladder_sheet(&gear(), &booklet(), &style).unwrap(),
            lesson_sheet(&gear(), thin_cuts(), None, &style).unwrap(),
        ];
        for sheet in sheets {
            let all = sheet.svgs().unwrap();
            let words = all.iter().flat_map(|svg| texts(svg)).collect::<Vec<_>>();
            let words = words.join(" ");
            let (head, diamonds) = if style.plain {
                (
                    "the head of the table is on the left",
                    "Diamonds are the marks on the rails",
                )
            } else {
                ("is left", "laces count diamonds from the head rail")
            };
            assert!(words.contains(head), "{words}");
            assert!(words.contains(diamonds), "{words}");
        }
    }
}
