//! Ladders, marks, the pass rule, turns, races and lessons.

use approx::assert_relative_eq;
use thincut::gear::Gear;
use thincut::ladder::{
    Balance, Ladder, LadderError, LadderRequest, Lesson, MarksWishes, Next, PassRule, RungResult,
    SET_OFF_M, Standing, Student, Topic, Wishes, at_least, ladder, lesson, marks, mirrored,
    rotation, spot, students, wins,
};
use thincut::player::{AimError, Level, chance_of_solution};
use thincut::pocket::PocketName;
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};
use thincut::window::{BedShot, Shot, Stroke, solve};

/// The same numbers by another way of calling the same solver.
const SAME: f64 = 1e-9;
/// Even spacing: half a make in ten.
const HALF_A_MAKE: f64 = 0.05;
/// Students of the Tuesday beginners' evening at Millpond Hall (invented).
const GROUP: &str = "A=first-evening,B=first-evening,C=0.8deg/5mm,D=starting,E=starting,F=0.4deg/3mm,G=0.35deg/3mm,H=club";

fn gear() -> Gear {
    Gear::preset("pool-9ft").expect("a preset")
}

fn group(text: &str) -> Result<Vec<Student>, LadderError> {
    students(&[text.to_owned()], &|_| Err("nothing is known".to_owned()))
}

/// The chance as `thincut shot` works it out, from the texts of the rung.
fn chance_by_request(gear: &Gear, cue: &str, object: &str, pocket: &str, player: &AimError) -> f64 {
    let request = ShotRequest {
        places: PlacesRequest {
            cue: Some(cue.to_owned()),
            object: Some(object.to_owned()),
            pocket: Some(pocket.to_owned()),
            ..PlacesRequest::default()
        },
        ..ShotRequest::default()
    };
    let shot = request.shot(gear).expect("a shot");
    chance_of_solution(&solve(gear, &shot).expect("it solves"), player)
}

fn recomputed(gear: &Gear, ladder: &Ladder, player: &AimError) {
    for rung in &ladder.rungs {
        let s = &rung.shot;
        let (cue, object) = (s.cue.to_string(), s.object.to_string());
        let again = chance_by_request(gear, &cue, &object, s.pocket.name(), player);
        assert_relative_eq!(s.chance, again, epsilon = SAME);
    }
}

#[test]
fn ladders_of_students_a_to_h_step_down_evenly() {
    let gear = gear();
    for student in group(GROUP).unwrap() {
        let wishes = Wishes::new(student.error);
        let ladder = ladder(&gear, &wishes).unwrap();
        assert_eq!(ladder.rungs.len(), 10);
        recomputed(&gear, &ladder, &student.error);
        let step = 0.6 / 9.0;
        for (k, pair) in ladder.rungs.windows(2).enumerate() {
            let drop = pair[0].shot.chance - pair[1].shot.chance;
            assert!(pair[1].met, "{} rung {}", student.label, k + 2);
            assert!((drop - step).abs() <= HALF_A_MAKE && drop > 0.0, "{drop}");
            assert!(!pair[1].harder.is_empty());
        }
        let sides: i32 = ladder
            .rungs
            .iter()
            .map(|r| r.shot.cut_rad.to_degrees())
            .filter(|deg| deg.abs() > 2.0)
            .map(|deg| if deg > 0.0 { 1 } else { -1 })
            .sum();
        assert!(sides.abs() <= 1, "{}: {sides}", student.label);
        for (k, a) in ladder.rungs.iter().enumerate() {
            assert!(ladder.rungs[..k].iter().all(|b| {
                (a.shot.cue, a.shot.object, a.shot.pocket)
                    != (b.shot.cue, b.shot.object, b.shot.pocket)
            }));
        }
    }
}

/// Setting either ball or both a quarter of an inch off, solved from scratch, stays within what
/// the rung says, and within the rung where it says so.
#[test]
fn setting_balls_off_stays_within_what_the_rung_says() {
    let gear = gear();
    let player = Level::Club.aim_error();
    let wishes = Wishes {
        rungs: 4,
        ..Wishes::new(player)
    };
    let ladder = ladder(&gear, &wishes).unwrap();
    let shove = |k: i32| {
        if k == 8 {
            kurbo::Vec2::ZERO
        } else {
            kurbo::Vec2::from_angle(f64::from(k) * std::f64::consts::FRAC_PI_4) * SET_OFF_M
        }
    };
    for rung in &ladder.rungs {
        let s = &rung.shot;
        let at = |place, rho| gear.bed.locate(place, rho).unwrap();
        let cue = at(s.cue, gear.cue_contact_radius_m());
        let object = at(s.object, gear.object_contact_radius_m());
        let (mut low, mut high) = (1.0_f64, 0.0_f64);
        for k in 0..81 {
            let shot = BedShot {
                cue: cue + shove(k % 9),
                object: object + shove(k / 9),
                pocket: s.pocket,
            };
            let shot = Shot::on_bed(&gear, &shot, Stroke::default()).unwrap();
            let p = chance_of_solution(&solve(&gear, &shot).unwrap(), &player);
            (low, high) = (low.min(p), high.max(p));
        }
        assert_relative_eq!(rung.set_off.0, low, epsilon = SAME);
        assert_relative_eq!(rung.set_off.1, high, epsilon = SAME);
        let half = 0.5 * wishes.step();
        let stays = (low - rung.target).abs() <= half && (high - rung.target).abs() <= half;
        assert_eq!(rung.steady, stays);
    }
}

#[test]
fn the_same_seed_gives_the_same_ladder_and_another_gives_another() {
    let gear = gear();
    let one = Wishes {
        rungs: 4,
        ..Wishes::new(Level::Club.aim_error())
    };
    let a = ladder(&gear, &one).unwrap();
    assert_eq!(a, ladder(&gear, &one).unwrap());
    let b = ladder(&gear, &Wishes { seed: 2, ..one }).unwrap();
    assert_ne!(a.rungs[0].shot.cue, b.rungs[0].shot.cue);
}

#[test]
fn mirrored_for_the_other_hand_keeps_the_chances() {
    let gear = gear();
    let player = Level::Club.aim_error();
    let wishes = Wishes {
        rungs: 5,
        balance: Balance::Left,
        pockets: vec![PocketName::FootLeft, PocketName::SideRight],
        ..Wishes::new(player)
    };
    let image = Wishes {
        balance: Balance::Right,
        pockets: vec![PocketName::FootRight, PocketName::SideLeft],
        mirrored: true,
        ..wishes.clone()
    };
    let plain = ladder(&gear, &wishes).unwrap();
    let image = ladder(&gear, &image).unwrap();
    recomputed(&gear, &image, &player);
    for (a, b) in plain.rungs.iter().zip(&image.rungs) {
        assert_eq!(mirrored(a.shot.cue, &gear.bed), b.shot.cue);
        assert_relative_eq!(a.shot.chance, b.shot.chance, epsilon = SAME);
        assert_relative_eq!(a.shot.cut_rad, -b.shot.cut_rad, epsilon = SAME);
    }
    // with a lean to the left the mirrored ladder is for that very player
    let leaning = player.with_bias(0.002).unwrap();
    let wishes = Wishes {
        player: leaning,
        mirrored: true,
        ..wishes
    };
    recomputed(&gear, &ladder(&gear, &wishes).unwrap(), &leaning);
}

#[test]
fn topics_and_cut_ranges_are_kept_and_a_rung_that_cannot_be_says_so() {
    let gear = gear();
    let request = LadderRequest {
        rungs: Some("5".to_owned()),
        practise: Some("thin-cuts".to_owned()),
        cuts: Some("45deg..60deg".to_owned()),
        object: Some("foot-spot".to_owned()),
        ..LadderRequest::default()
    };
    let player = Level::FirstEvening.aim_error();
    let wishes = request
        .wishes(&gear, player, &StrokeRequest::default())
        .unwrap();
    let ladder = ladder(&gear, &wishes).unwrap();
    for rung in &ladder.rungs {
        let cut = rung.shot.cut_rad.abs().to_degrees();
        assert!((45.0..=60.0).contains(&cut), "{cut}");
        assert_eq!(rung.shot.object.to_string(), "foot-spot");
    }
    // nobody on a first evening makes a thin cut from the foot spot nine times in ten
    assert!(!ladder.rungs[0].met && ladder.rungs[0].shot.chance < 0.88);
}

#[test]
fn impossible_wishes_name_what_is_wrong() {
    let gear = gear();
    let player = Level::Club.aim_error();
    let fault = |request: LadderRequest| {
        let stroke = StrokeRequest::default();
        request
            .wishes(&gear, player, &stroke)
            .unwrap_err()
            .to_string()
    };
    let up = LadderRequest {
        from: Some("3".to_owned()),
        to: Some("9".to_owned()),
        ..LadderRequest::default()
    };
    assert!(fault(up).contains("--from"));
    let pockets = LadderRequest {
        practise: Some("side-pocket".to_owned()),
        pockets: Some("foot-left".to_owned()),
        ..LadderRequest::default()
    };
    assert!(fault(pockets).contains("side-pocket"));
    for rungs in ["0", "41", "-1", "many"] {
        let request = LadderRequest {
            rungs: Some(rungs.to_owned()),
            ..LadderRequest::default()
        };
        assert!(fault(request).contains(rungs));
    }
    // no place on the grid has a cut of one radian exactly
    let none = Wishes {
        cuts_rad: (1.0, 1.0),
        ..Wishes::new(player)
    };
    assert!(matches!(
        ladder(&gear, &none),
        Err(LadderError::NoShot { .. })
    ));
}

/// Upper tails. n = 10 and p = ½: exact, 56/1024 and 176/1024. The others: 1 − P(X ≤ k−1) from the
/// cumulative binomial table found in most statistics textbooks, four decimals, recalled from
/// memory and confirmed by exact rational arithmetic.
const TAILS: [(u32, u32, f64, f64, f64); 4] = [
    (8, 10, 0.5, 56.0 / 1024.0, 1e-13),
    (7, 10, 0.5, 176.0 / 1024.0, 1e-13),
    (9, 20, 0.3, 1.0 - 0.8867, 5e-5),
    (10, 15, 0.7, 1.0 - 0.2784, 5e-5),
];

#[test]
fn the_pass_rule_follows_the_exact_binomial() {
    for (k, n, p, tail, tolerance) in TAILS {
        assert_relative_eq!(at_least(k, n, p), tail, epsilon = tolerance);
    }
    let rule = PassRule::default();
    for tenth in 1..10 {
        let p = 0.1 * f64::from(tenth);
        let pass = rule.pass(p).unwrap();
        let p0 = rule.ruled_out(p);
        assert!(at_least(pass.makes, 10, p0) <= 0.2 + 1e-9);
        assert!(at_least(pass.makes - 1, 10, p0) > 0.2);
    }
    let strict = PassRule::new(2, 0.95, 0.2).unwrap();
    assert!(matches!(
        strict.pass(0.9),
        Err(LadderError::TooFewTries { need: 9, .. })
    ));
}

#[test]
fn what_to_try_next_follows_the_results() {
    let rule = PassRule::default();
    let at = |chance, made, tries| RungResult {
        chance,
        made,
        tries,
    };
    let untried = at(0.4, 0, 0);
    assert_eq!(rule.next(&[untried]), Next::Up(0));
    assert_eq!(rule.standing(&at(0.9, 9, 10)), Standing::Passed);
    assert_eq!(rule.next(&[at(0.9, 9, 10), untried]), Next::Up(1));
    assert_eq!(rule.next(&[at(0.9, 9, 10), at(0.6, 5, 10)]), Next::Again(1));
    assert_eq!(rule.next(&[at(0.9, 9, 10), at(0.6, 1, 10)]), Next::Down(0));
    assert_eq!(rule.next(&[at(0.9, 10, 10)]), Next::Done);
}

#[test]
fn marks_are_equally_hard_for_everybody() {
    let gear = gear();
    let students = group(GROUP).unwrap();
    let wishes = MarksWishes {
        chance: 0.7,
        object: None,
        pocket: None,
        stroke: Stroke::default(),
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
        group("A=club,A=club"),
        Err(LadderError::Twice { .. })
    ));
    assert!(group("A").unwrap_err().to_string().contains("A=club"));
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
    assert_relative_eq!(wins((0.4, 5), (0.4, 5)), 0.5, epsilon = 1e-8);
    // race to one: p(1 − q/2)/(1 − (1−p)(1−q))
    let (p, q) = (0.3, 0.6);
    let exact = p * (1.0 - 0.5 * q) / (1.0 - (1.0 - p) * (1.0 - q));
    assert_relative_eq!(wins((p, 1), (q, 1)), exact, epsilon = 1e-8);
    let fair = spot(0.3, 0.6, 5).unwrap();
    assert!(fair.start > 0 && (fair.weaker_wins - 0.5).abs() < (fair.level_wins - 0.5).abs());
    assert_relative_eq!(
        wins((0.3, 5 - fair.start), (0.6, 5)) + wins((0.6, 5), (0.3, 5 - fair.start)),
        1.0,
        epsilon = 1e-7
    );
}

#[test]
fn a_lesson_is_good_and_a_spoilt_one_names_the_place() {
    let gear = gear();
    let students = group("A=starting,B=club,C=first-evening").unwrap();
    let made = lesson(&gear, "pool-9ft", &students, Topic::ThinCuts, 60).unwrap();
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
    let short = lesson(&gear, "pool-9ft", &students, Topic::Mixed, 5);
    assert!(short.unwrap_err().to_string().contains("5 minutes"));
    assert!(lesson(&gear, "pool-9ft", &[], Topic::Mixed, 60).is_err());
}
