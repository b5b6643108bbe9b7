//! A group: marks, turns, races, lessons.

use approx::assert_relative_eq;
use thincut::ladder::{
    LadderError, MarksWishes, Racer, Student, Topic, marks, rotation, spot, wins,
};
use thincut::lesson::{Lesson, LessonWishes, PartKind, lesson};
use thincut::units::UnitSystem;
use thincut::window::Stroke;

use super::{GROUP, about, chance_by_request, gear, group};

fn racer(chance: f64, needs: u32) -> Racer {
    Racer { chance, needs }
}

#[test]
fn marks_are_equally_hard_for_everybody() {
    let gear = gear();
    let students = group(GROUP).unwrap();
    let wishes = MarksWishes {
        chance: 0.7,
        object: None,
        pocket: None,
        stroke: Stroke::centre_ball(),
    };
    let sheet = marks(&gear, &students, &wishes).unwrap();
    assert_eq!(sheet.marks.len(), 8);
    for (mark, student) in sheet.marks.iter().zip(&students) {
        assert_eq!(mark.label, student.label);
        assert_relative_eq!(mark.exact_chance, 0.7, epsilon = 1e-4);
        let cue = format!("{:.6}m,{:.6}m", mark.at.x, mark.at.y);
        let object = sheet.object.to_string();
        let again = chance_by_request(&gear, &cue, &object, sheet.pocket.name(), &student.error);
        // what 5 mm of tape make is far below a tenth of a make
        assert!((again - 0.7).abs() < 0.01, "{} {again}", mark.label);
        assert_relative_eq!(again, mark.chance, epsilon = 1e-5);
    }
    assert!(matches!(
        marks(&gear, &[], &wishes),
        Err(LadderError::EmptyGroup)
    ));
    assert!(matches!(group(" , "), Err(LadderError::EmptyGroup)));
    assert!(matches!(
        group("K=club,K=club"),
        Err(LadderError::Twice { .. })
    ));
    assert!(group("K").unwrap_err().to_string().contains("K=club"));
}

#[test]
fn everybody_shoots_equally_often() {
    for (n, tables, minutes) in [
        (8_usize, 2, 60),
        (5, 2, 45),
        (3, 5, 20),
        (1, 1, 10),
        (7, 3, 60),
    ] {
        let labels: Vec<String> = ('A'..).take(n).map(String::from).collect();
        let turns = rotation(&labels, tables, minutes).unwrap();
        let count = |l: &String| turns.iter().filter(|t| t.shoots.contains(l)).count();
        assert!(
            labels
                .iter()
                .all(|l| count(l) == count(&labels[0]) && count(l) > 0)
        );
        for t in &turns {
            let all = t.shoots.len() + t.sets.len() + t.rests.len();
            assert_eq!(all, n);
        }
        let end = turns.last().unwrap().to_min;
        assert_relative_eq!(end, f64::from(minutes), epsilon = 1e-9);
    }
    let eight: Vec<String> = ('A'..='H').map(String::from).collect();
    assert!(matches!(
        rotation(&eight, 1, 5),
        Err(LadderError::TooShort { .. })
    ));
}

#[test]
fn a_start_makes_a_race_fair() {
    // equal players: half each, by symmetry
    assert_relative_eq!(wins(racer(0.4, 5), racer(0.4, 5)), 0.5, epsilon = 1e-8);
    // race to one: p(1 − q/2)/(1 − (1−p)(1−q))
    let (p, q) = (0.3, 0.6);
    let exact = p * (1.0 - 0.5 * q) / (1.0 - (1.0 - p) * (1.0 - q));
    assert_relative_eq!(wins(racer(p, 1), racer(q, 1)), exact, epsilon = 1e-8);
    let fair = spot(0.3, 0.6, 5).unwrap();
    assert!(fair.start > 0 && (fair.weaker_wins - 0.5).abs() < (fair.level_wins - 0.5).abs());
    assert_relative_eq!(
        wins(racer(0.3, 5 - fair.start), racer(0.6, 5))
            + wins(racer(0.6, 5), racer(0.3, 5 - fair.start)),
        1.0,
        epsilon = 1e-7
    );
}

#[test]
fn a_lesson_is_good_and_a_spoilt_one_names_the_place() {
    let gear = gear();
    let students = group("K=starting,L=club,M=first-evening").unwrap();
    let made = lesson(&gear, "pool-9ft", &students, &about(Topic::ThinCuts, 60)).unwrap();
    let text = made.to_toml().unwrap();
    let read = Lesson::read(&text).unwrap();
    assert_eq!(read, made);
    read.check(&gear).unwrap();
    assert_eq!(read.minutes_of_parts(), 60);
    let spoilt = |change: &dyn Fn(&mut Lesson)| {
        let mut lesson = made.clone();
        change(&mut lesson);
        lesson.check(&gear).unwrap_err().to_string()
    };
    assert!(spoilt(&|l| l.minutes = 50).contains("shorten a part by 10"));
    assert!(spoilt(&|l| l.students.clear()).contains("students"));
    assert!(spoilt(&|l| l.parts[1].shots[0].cue = "9,1".to_owned()).contains("part 2, shot 1"));
    assert!(spoilt(&|l| l.parts[0].shots[1].tries = 500).contains("part 1"));
    assert!(spoilt(&|l| l.parts[2].shots[0].makes_in_ten = 1.0).contains("makes_in_ten"));
    assert!(Lesson::read(&text.replace("balls", "bals")).is_err());
    assert!(Lesson::read(&text.replace("lesson-1", "lesson-9")).is_err());
    let short = lesson(&gear, "pool-9ft", &students, &about(Topic::Mixed, 5));
    assert!(short.unwrap_err().to_string().contains("5 minutes"));
    assert!(lesson(&gear, "pool-9ft", &[], &about(Topic::Mixed, 60)).is_err());
}

/// Everybody shoots from an own mark, in turns, and every mark is checked for its own student.
#[test]
fn a_group_gets_a_fair_game() {
    let gear = gear();
    let students = group(GROUP).unwrap();
    let wishes = LessonWishes {
        tables: 2,
        ..about(Topic::Mixed, 90)
    };
    let made = lesson(&gear, "pool-9ft", &students, &wishes).unwrap();
    let text = made.to_toml().unwrap();
    let read = Lesson::read(&text).unwrap();
    read.check(&gear).unwrap();
    assert_eq!((read.minutes_of_parts(), read.skills.len()), (90, 8));
    // Nobody is asked for all of them who would seldom make them all.
    for part in &read.parts {
        for shot in &part.shots {
            let people = if part.kind == PartKind::Homework {
                1
            } else {
                8
            };
            let each = shot.tries / people;
            let all = (0.1 * shot.makes_in_ten).powi(i32::try_from(each).unwrap());
            assert!(
                shot.pass.is_none_or(|pass| pass < each || all > 0.49),
                "{shot:?}"
            );
        }
    }
    let game = read.parts.iter().find(|p| p.kind == PartKind::Marks);
    let game = game.expect("a game");
    assert_eq!(game.shots.len(), 8);
    assert!(!game.turns.is_empty());
    let makes: Vec<f64> = game.shots.iter().map(|s| s.makes_in_ten).collect();
    assert!(
        makes.iter().all(|m| (m - makes[0]).abs() < 0.2),
        "{makes:?}"
    );
    let spoilt = |change: &dyn Fn(&mut Lesson)| {
        let mut lesson = made.clone();
        change(&mut lesson);
        lesson.check(&gear).unwrap_err().to_string()
    };
    assert!(spoilt(&|l| l.skills[0].arm_deg = 5.0).contains("makes_in_ten"));
    assert!(spoilt(&|l| drop(l.skills.remove(0))).contains("[[skill]]"));
    assert!(spoilt(&|l| l.students.truncate(7)).contains("skill of S"));
    assert!(spoilt(&|l| l.tables = 1).contains("fewer tries or more minutes"));
    assert!(spoilt(&|l| l.tables = 0).contains("tables"));
    let moved = |l: &mut Lesson| {
        let game = l.parts.iter_mut().find(|p| p.kind == PartKind::Marks);
        game.unwrap().shots[0].along = Some("3ft".to_owned());
    };
    let said = spoilt(&moved);
    assert!(said.contains("along = \"3ft\"; the cue ball is"), "{said}");
}

/// Lengths stand in the coach's units, and nowhere else.
#[test]
fn a_lesson_in_inches_has_a_tape_in_inches() {
    let gear = gear();
    let students = group(GROUP).unwrap();
    for (units, unit) in [(UnitSystem::Metric, "cm"), (UnitSystem::Inches, "in")] {
        let wishes = LessonWishes {
            tables: 2,
            units,
            ..about(Topic::Mixed, 90)
        };
        let made = lesson(&gear, "pool-9ft", &students, &wishes).unwrap();
        made.check(&gear).unwrap();
        let game = made.parts.iter().find(|p| p.kind == PartKind::Marks);
        for shot in &game.unwrap().shots {
            let along = shot.along.as_ref().expect("a length");
            assert!(along.ends_with(unit), "{along}");
        }
        for part in &made.parts {
            let metric = part.say.contains(" cm") || part.say.contains(" mm");
            assert!(!metric, "{}", part.say);
        }
    }
}

/// Where tries are too few for a pass score, nobody is told to pass.
#[test]
fn a_drill_without_pass_scores_says_so() {
    let gear = gear();
    let ten: Vec<String> = ('A'..='J').map(|label| format!("{label}=club")).collect();
    let ten = group(&ten.join(",")).unwrap();
    let one = group("K=club").unwrap();
    for (students, passes) in [(ten, false), (one, true)] {
        let made = lesson(&gear, "pool-9ft", &students, &about(Topic::ThinCuts, 60)).unwrap();
        let drill = made.parts.iter().find(|p| p.kind == PartKind::Drill);
        let drill = drill.unwrap();
        assert_eq!(drill.shots.iter().all(|s| s.pass.is_some()), passes);
        assert_eq!(drill.say.contains("pass a shot and go on"), passes);
    }
}

/// A lean is kept with the student, and the shots are drawn up with it.
#[test]
fn a_lesson_knows_its_students_lean() {
    let gear = gear();
    let mut students = group("Q=0.25deg/2.5mm").unwrap();
    let lean = |deg: f64| students[0].error.with_bias(deg.to_radians()).unwrap();
    let (left, right) = (lean(0.25), lean(-0.25));
    students[0] = Student {
        error: left,
        right: Some(right),
        ..students[0].clone()
    };
    let made = lesson(&gear, "pool-9ft", &students, &about(Topic::Mixed, 45)).unwrap();
    assert_eq!(made.lean_deg, Some([0.25, -0.25]));
    made.check(&gear).unwrap();
    let straight = Lesson {
        lean_deg: None,
        ..made
    };
    let fault = straight.check(&gear).unwrap_err().to_string();
    assert!(fault.contains("makes_in_ten"), "{fault}");
}
