//! Speed of paper: a booklet of ten rungs and the pack of a lesson, drawn and written as PDF.
//!
//! Run with `cargo bench --bench sheets`.

use divan::Bencher;
use thincut::draw::pdf::Stamp;
use thincut::gear::Gear;
use thincut::ladder::{LadderAnswer, Topic, Wishes, ladder, students};
use thincut::lesson::{LessonWishes, lesson};
use thincut::player::{Level, Player};
use thincut::sheets::Style;
use thincut::sheets::booklet::{Booklet, ladder_sheet};
use thincut::sheets::lesson::lesson_sheet;
use thincut::units::UnitSystem;

fn main() {
    divan::main();
}

fn gear() -> Gear {
    Gear::preset("pool-9ft").expect("the default preset is embedded")
}

/// A booklet of ten rungs, the ladder given (target 2 s with it).
#[divan::bench(sample_count = 10)]
fn ten_rungs(bencher: Bencher) {
    let (gear, style) = (gear(), Style::default());
    let player = Player {
        error: Level::Club.aim_error(),
        who: Level::Club.spoken(),
        assumed: true,
    };
    let rungs = ladder(&gear, &Wishes::new(player.error)).expect("a ladder");
    let booklet = Booklet::new(&LadderAnswer::new(
        &gear,
        &rungs,
        &player,
        UnitSystem::Metric,
    ));
    bencher.bench_local(|| {
        let sheet = ladder_sheet(&gear, &booklet, &style).expect("a booklet");
        sheet.pdf(Stamp::default()).expect("a file")
    });
}

/// The pack of a lesson (target 2 s).
#[divan::bench(sample_count = 10)]
fn lesson_pack(bencher: Bencher) {
    let (gear, style) = (gear(), Style::default());
    let group = students(&["K=starting".to_owned()], &|_| Err(String::new())).expect("a student");
    let wishes = LessonWishes {
        pocket: None,
        topic: Topic::ThinCuts,
        because: None,
        minutes: 60,
        tables: 1,
        units: thincut::units::UnitSystem::Metric,
    };
    let lesson = lesson(&gear, "pool-9ft", &group, &wishes).expect("a lesson");
    bencher.bench_local(|| {
        let sheet = lesson_sheet(&gear, &lesson, None, &style).expect("a pack");
        sheet.pdf(Stamp::default()).expect("a file")
    });
}
