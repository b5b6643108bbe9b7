//! What cannot be printed is said.

use thincut::gear::Gear;
use thincut::ladder::PassRule;
use thincut::log::{Sheet as Kept, SheetKind, ShotEntered};
use thincut::player::Player;
use thincut::request::{PlacesRequest, ShotRequest};
use thincut::sheets::BookletError;
use thincut::sheets::ShotSheetError;
use thincut::sheets::booklet::{Booklet, ladder_sheet};
use thincut::sheets::card::{Card, card_sheet};
use thincut::sheets::kept::{Climbs, kept_ladder, kept_marks};
use thincut::sheets::lesson::lesson_sheet;
use thincut::sheets::pocket::pocket_sheet;
use thincut::sheets::scale::scale_sheet;
use thincut::sheets::{SheetError, Style};

use super::samples::{booklet, club, gear, thin_cuts};

#[test]
fn what_cannot_be_printed_is_said() {
    let (gear, style) = (gear(), Style::default());
    let far = scale_sheet(&gear, 50.0, &style).unwrap_err();
    assert_eq!(
        far.to_string(),
        "distance is 50 m; it must be from 20cm to 5m"
    );
    let long = Card {
        player: Some(Player {
            who: "x".repeat(60),
            ..club()
        }),
        ..Card::default()
    };
    let error = card_sheet(&gear, &long, &style).unwrap_err();
    assert!(
        matches!(
            error,
            ShotSheetError::Sheet(SheetError::TooLong { most: 34, .. })
        ),
        "{error}"
    );
    let empty = Booklet {
        rungs: Vec::new(),
        ..booklet()
    };
    let error = ladder_sheet(&gear, &empty, &style).unwrap_err();
    assert!(error.to_string().contains("no pages"), "{error}");
    let other = Gear::preset("snooker-12ft").unwrap();
    let error = ladder_sheet(&other, &booklet(), &style).unwrap_err();
    assert!(matches!(error, BookletError::Gear { .. }), "{error}");
    let mut wide = gear.clone();
    wide.corner.mouth_m = 0.3;
    let error = pocket_sheet(&wide, &style).unwrap_err();
    assert!(matches!(error, SheetError::TooLarge { .. }), "{error}");
}

#[test]
fn lessons_with_nothing_to_print_or_too_much_are_said() {
    let (gear, style) = (gear(), Style::default());
    let error = |change: &dyn Fn(&mut thincut::lesson::Lesson)| {
        let mut lesson = thin_cuts().clone();
        change(&mut lesson);
        let refused = lesson_sheet(&gear, &lesson, None, &style);
        refused.map(|_| ()).unwrap_err().to_string()
    };
    let empty = error(&|l| l.parts.clear());
    assert!(empty.contains("no part has a shot"), "{empty}");
    let bare = error(&|l| l.parts.iter_mut().for_each(|p| p.shots.clear()));
    assert!(bare.contains("[[part.shot]]"), "{bare}");
    let nobody = error(&|l| l.students.clear());
    assert!(nobody.contains("name at least one"), "{nobody}");
    let label = error(&|l| l.students[0] = "x".repeat(40));
    assert!(label.contains("use at most 24 letters"), "{label}");
    let parts = error(&|l| {
        let mut one = l.parts[0].clone();
        (one.minutes, one.shots) = (0, Vec::new());
        l.parts.extend(std::iter::repeat_n(one, 20));
    });
    assert!(parts.contains("at most 12"), "{parts}");
    let wrong = error(&|l| l.parts[1].shots[0].makes_in_ten = 1.0);
    assert!(wrong.contains("part 2, shot 1: makes_in_ten"), "{wrong}");
    let many = error(&|l| l.parts[0].shots[0].tries = 5000);
    assert!(many.contains("fewer tries or more minutes"), "{many}");
}

#[test]
fn a_marks_sheet_is_no_ladder() {
    let kept = Kept {
        kind: SheetKind::Marks,
        title: "marks at 7.0 in 10".to_owned(),
        rungs: Vec::new(),
        gone: Vec::new(),
    };
    let rule = PassRule::new(10, 0.8, 0.2).unwrap();
    let player = club();
    let climbs = Climbs {
        player: &player,
        right: None,
    };
    let error = kept_ladder(&gear(), "M4T9", &kept, &climbs, &rule).unwrap_err();
    assert!(
        error.to_string().contains("M4T9 is a marks sheet"),
        "{error}"
    );
}

/// Marks whose balls were moved are not those of one string.
#[test]
fn kept_marks_off_their_string_are_said() {
    let shot = |cue: &str, object: &str| ShotEntered {
        request: ShotRequest {
            places: PlacesRequest {
                cue: Some(cue.to_owned()),
                object: Some(object.to_owned()),
                pocket: Some("foot-left".to_owned()),
                ..PlacesRequest::default()
            },
            ..ShotRequest::default()
        },
        gear: "pool-9ft".to_owned(),
        set: Vec::new(),
    };
    for (second, object) in [("2,1.5", "6,3"), ("4,2", "6,2.5")] {
        let shots = vec![
            (Some("K".to_owned()), shot("4,2", "6,3")),
            (Some("L".to_owned()), shot(second, object)),
        ];
        let kept = Kept::of_shots(SheetKind::Marks, "marks at 7.0 in 10".to_owned(), shots);
        let error = kept_marks(&gear(), "M4T9", &kept.unwrap(), &Style::default()).unwrap_err();
        assert!(matches!(error, BookletError::Marks { .. }), "{error}");
    }
}
