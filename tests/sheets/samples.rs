//! One of every sheet.

use std::sync::OnceLock;

use thincut::charts::render::Paper;
use thincut::gear::Gear;
use thincut::ladder::{
    LadderAnswer, Lesson, MarksAnswer, MarksWishes, Topic, Wishes, ladder, lesson, marks, rotation,
    students,
};
use thincut::player::{Level, Player};
use thincut::sheets::booklet::{Booklet, ladder_sheet};
use thincut::sheets::card::{Card, card_sheet};
use thincut::sheets::lesson::lesson_sheet;
use thincut::sheets::marks::marks_sheet;
use thincut::sheets::pocket::pocket_sheet;
use thincut::sheets::rose::{Rose, rose_sheet};
use thincut::sheets::scale::scale_sheet;
use thincut::sheets::{Sheet, Style};
use thincut::units::UnitSystem;
use thincut::window::Stroke;

pub(crate) fn gear() -> Gear {
    Gear::preset("pool-9ft").unwrap()
}

pub(crate) fn club() -> Player {
    Player {
        error: Level::Club.aim_error(),
        who: Level::Club.spoken(),
        assumed: true,
    }
}

/// Both papers, full and plain.
pub(crate) fn styles() -> impl Iterator<Item = Style> {
    styles_in(UnitSystem::Metric)
}

pub(crate) fn styles_in(units: UnitSystem) -> impl Iterator<Item = Style> {
    [Paper::A4, Paper::Letter]
        .into_iter()
        .flat_map(move |paper| {
            [false, true].map(|plain| Style {
                paper,
                plain,
                units,
            })
        })
}

pub(crate) fn ladder_answer() -> LadderAnswer {
    static ONE: OnceLock<LadderAnswer> = OnceLock::new();
    let draw = || {
        let wishes = Wishes::new(Level::Club.aim_error());
        let ladder = ladder(&gear(), &wishes).unwrap();
        LadderAnswer::new(&gear(), &ladder, &club(), UnitSystem::Metric)
    };
    ONE.get_or_init(draw).clone()
}

pub(crate) fn booklet() -> Booklet {
    Booklet::new(&ladder_answer(), Some("K7Q2".to_owned()))
}

/// A lesson for a group on a preset.
pub(crate) fn lesson_for(gear: &str, group: &str, topic: Topic) -> Lesson {
    let group = students(&[group.to_owned()], &|_| Err("unknown".to_owned())).unwrap();
    lesson(&Gear::preset(gear).unwrap(), gear, &group, topic, 60).unwrap()
}

pub(crate) fn marks_answer() -> MarksAnswer {
    let group = students(
        &["A=first-evening,B=starting,C=club,D=club".to_owned()],
        &|_| Err("unknown".to_owned()),
    )
    .unwrap();
    let labels: Vec<String> = group.iter().map(|s| s.label.clone()).collect();
    let wishes = MarksWishes {
        chance: 0.7,
        object: None,
        pocket: None,
        stroke: Stroke::default(),
    };
    let turns = rotation(&labels, 2, 30).unwrap();
    MarksAnswer::new(
        &gear(),
        &marks(&gear(), &group, &wishes).unwrap(),
        &group,
        turns,
    )
}

/// One student's lesson, drawn up once.
pub(crate) fn thin_cuts() -> &'static Lesson {
    static ONE: OnceLock<Lesson> = OnceLock::new();
    ONE.get_or_init(|| lesson_for("pool-9ft", "A=starting", Topic::ThinCuts))
}

/// All sheets in a style, with the number of pages each must have.
pub(crate) fn sheets(style: &Style) -> Vec<(&'static str, Sheet, usize)> {
    let (gear, card) = (
        gear(),
        Card {
            player: Some(club()),
            ..Card::default()
        },
    );
    vec![
        ("pocket", pocket_sheet(&gear, style).unwrap(), 2),
        (
            "rose",
            rose_sheet(&gear, &Rose::default(), style).unwrap(),
            1,
        ),
        ("scale", scale_sheet(&gear, 1.0, style).unwrap(), 1),
        (
            "room",
            card_sheet(&gear, &Card::default(), style).unwrap(),
            1,
        ),
        ("card", card_sheet(&gear, &card, style).unwrap(), 1),
        (
            "ladder",
            ladder_sheet(&gear, &booklet(), style).unwrap(),
            if style.plain { 4 } else { 3 },
        ),
        (
            "lesson",
            lesson_sheet(&gear, thin_cuts(), Some("M9U"), style).unwrap(),
            if style.plain { 11 } else { 10 },
        ),
        (
            "marks",
            marks_sheet(&gear, &marks_answer(), Some("M4T9"), style).unwrap(),
            1,
        ),
    ]
}

