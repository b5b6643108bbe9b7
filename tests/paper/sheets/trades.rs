//! Sheets of snooker and English tables have the words of their trade, those of pool theirs.

use thincut::charts::margins::Strip;
use thincut::gear::Gear;
use thincut::ladder::{
    LadderAnswer, MarksAnswer, MarksWishes, Topic, Wishes, ladder, marks, rotation, students,
};
use thincut::player::Level;
use thincut::sheets::booklet::{Booklet, ladder_sheet};
use thincut::sheets::card::{Card, card_sheet};
use thincut::sheets::lesson::lesson_sheet;
use thincut::sheets::margin_strip::margin_strip_sheet;
use thincut::sheets::marks::marks_sheet;
use thincut::sheets::pocket::pocket_sheet;
use thincut::sheets::scale::scale_sheet;
use thincut::sheets::{Sheet, Style};
use thincut::speech::Speech;
use thincut::window::Stroke;

use super::samples::{aloud, club, lesson_for};
use super::words::texts;
use crate::trades::{UK, US, none_of};

/// What is printed of a table.
struct Printed {
    name: &'static str,
    gear: Gear,
    ladder: LadderAnswer,
    marks: MarksAnswer,
}

impl Printed {
    fn of(name: &'static str) -> Self {
        let gear = Gear::preset(name).unwrap();
        let speech = Speech::of(&gear.bed);
        let wishes = Wishes {
            rungs: 3,
            ..Wishes::new(Level::Club.aim_error())
        };
        let climbed = ladder(&gear, &wishes).unwrap();
        let group = students(&["K=club,L=strong".to_owned()], &|_| {
            Err("unknown".to_owned())
        })
        .unwrap();
        let asked = MarksWishes {
            chance: 0.7,
            object: Some("6,2".parse().unwrap()),
            pocket: Some("foot-left".parse().unwrap()),
            stroke: Stroke::centre_ball(),
        };
        let marked = marks(&gear, &group, &asked).unwrap();
        let turns = rotation(&["K".to_owned(), "L".to_owned()], 1, 20).unwrap();
        Self {
            name,
            ladder: LadderAnswer::new(&gear, &climbed, &club(), speech),
            marks: MarksAnswer::new(&gear, &marked, &group, turns, speech),
            gear,
        }
    }

    /// One of every sheet.
    fn sheets(&self, style: &Style) -> Vec<(&'static str, Sheet)> {
        let gear = &self.gear;
        let card = Card {
            player: Some(club()),
            ..Card::default()
        };
        let lesson = |topic| {
            let lesson = lesson_for(self.name, &["K"], topic);
            lesson_sheet(gear, &lesson, Some("M9U"), style).unwrap()
        };
        aloud(|| {
            vec![
                ("pocket", pocket_sheet(gear, style).unwrap()),
                (
                    "strip",
                    margin_strip_sheet(gear, &Strip::default(), style).unwrap(),
                ),
                ("scale", scale_sheet(gear, 1.0, style).unwrap()),
                ("room", card_sheet(gear, &Card::default(), style).unwrap()),
                ("card", card_sheet(gear, &card, style).unwrap()),
                (
                    "ladder",
                    ladder_sheet(gear, &Booklet::new(&self.ladder), style).unwrap(),
                ),
                ("marks", marks_sheet(gear, &self.marks, style).unwrap()),
                ("thin cuts", lesson(Topic::ThinCuts)),
                ("along the rail", lesson(Topic::AlongTheRail)),
            ]
        })
    }
}

#[test]
fn no_word_of_the_other_trade_on_paper() {
    for (name, foreign) in [
        ("snooker-12ft", US.as_slice()),
        ("smallball-7ft", US.as_slice()),
        ("pool-9ft", UK.as_slice()),
    ] {
        let printed = Printed::of(name);
        for plain in [false, true] {
            let style = Style {
                plain,
                ..Style::default()
            };
            for (what, sheet) in printed.sheets(&style) {
                for svg in sheet.svgs().unwrap() {
                    // A phrase may go on over the end of a line.
                    let said = texts(&svg).join(" ").replace('\u{a0}', " ");
                    none_of(foreign, &said, &format!("{name}, {what}, plain {plain}"));
                }
            }
        }
    }
}
