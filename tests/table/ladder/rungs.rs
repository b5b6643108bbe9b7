//! The rungs: chances, spacing, placing, seeds, mirror images, wishes.

use approx::assert_relative_eq;
use thincut::ladder::{
    Balance, LadderError, LadderRequest, SET_OFF_M, Topic, Wishes, ladder, mirrored,
};
use thincut::player::{AimError, Aimed, Level, chance_of_solution};
use thincut::pocket::PocketName;
use thincut::request::StrokeRequest;
use thincut::units::Position;
use thincut::window::{BedShot, Shot, Stroke, pace_for_stroke, solve};

use super::{GROUP, HALF_A_MAKE, SAME, chance_by_request, gear, group, recomputed};

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
        let (mut low, mut high, mut by) = (1.0_f64, 0.0_f64, 0.0);
        for k in 0..81 {
            let shot = BedShot {
                cue: cue + shove(k % 9),
                object: object + shove(k / 9),
                pocket: s.pocket,
            };
            let shot = Shot::on_bed(&gear, &shot, Stroke::centre_ball()).unwrap();
            // Set off they are looked at with the speed as intended, from the whole chance on.
            let solution = solve(&gear, &shot).unwrap();
            let p = Aimed::of(&gear, &shot, &solution).map_or(0.0, |aimed| aimed.quick(&player));
            // Neither ball is off.
            if k == 80 {
                by = s.chance - p;
            }
            (low, high) = (low.min(p), high.max(p));
        }
        (low, high) = ((low + by).max(0.0), (high + by).min(1.0));
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
    assert!(fault(up).contains("from 3 to 9"));
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

fn wishes(request: &LadderRequest, player: AimError) -> Wishes {
    request
        .wishes(&gear(), player, &StrokeRequest::default())
        .unwrap()
}

/// Each topic as its own words define it, from places alone.
#[test]
fn every_topic_is_kept_by_every_rung() {
    let gear = gear();
    let player = Level::Starting.aim_error();
    for topic in Topic::ALL {
        let request = LadderRequest {
            rungs: Some("5".to_owned()),
            from: Some("8".to_owned()),
            to: Some("4".to_owned()),
            practise: Some(topic.name().to_owned()),
            ..LadderRequest::default()
        };
        let found = ladder(&gear, &wishes(&request, player)).unwrap();
        recomputed(&gear, &found, &player);
        for rung in &found.rungs {
            let s = &rung.shot;
            let cut = s.cut_rad.abs().to_degrees();
            let side = s.pocket.name().starts_with("side");
            let way = (s.travel_m + s.to_pocket_m) / (gear.bed.length_m / 8.0);
            let kept = match topic {
                Topic::ThinCuts => cut >= 40.0,
                Topic::LongStraight => cut <= 8.0 && way >= 3.0 && !side,
                Topic::SidePocket => side,
                Topic::AlongTheRail => {
                    let place = s.object.to_string();
                    let (x, y) = place.split_once(',').expect("two numbers");
                    let [x, y] = [x, y].map(|t| t.parse::<f64>().expect("diamonds"));
                    let gap = x.min(8.0 - x).min(y).min(4.0 - y);
                    gap <= 0.25 && s.off_square_rad.to_degrees() > 33.0 && !side
                }
                Topic::Mixed => true,
            };
            assert!(kept && rung.met, "{topic:?} {s:?}");
        }
    }
}

#[test]
fn pockets_sides_and_gear_are_kept() {
    let tight =
        thincut::gear::LoadedGear::load("pool-9ft", &["pocket.corner.mouth=4.125in".to_owned()])
            .unwrap()
            .gear;
    let player = Level::Club.aim_error();
    for (balance, sign) in [("left", 1.0), ("right", -1.0)] {
        let request = LadderRequest {
            rungs: Some("4".to_owned()),
            pockets: Some("foot-left,head-right".to_owned()),
            cuts: Some("15deg..50deg".to_owned()),
            cuts_to: Some(balance.to_owned()),
            ..LadderRequest::default()
        };
        let wishes = request
            .wishes(&tight, player, &StrokeRequest::default())
            .unwrap();
        let found = ladder(&tight, &wishes).unwrap();
        recomputed(&tight, &found, &player);
        for rung in &found.rungs {
            let s = &rung.shot;
            assert!([PocketName::FootLeft, PocketName::HeadRight].contains(&s.pocket));
            assert!(sign * s.cut_rad > 0.0, "{balance} {}", s.cut_rad);
        }
    }
}

/// The pace of every rung is the one that its stroke gives by halving, and the chance follows.
#[test]
fn a_stroke_in_lengths_gives_every_rung_its_own_pace() {
    let gear = gear();
    let player = Level::Club.aim_error();
    let stroke = StrokeRequest {
        stroke: Some("2lengths".to_owned()),
        ..StrokeRequest::default()
    };
    let request = LadderRequest {
        rungs: Some("4".to_owned()),
        ..LadderRequest::default()
    };
    let wishes = request.wishes(&gear, player, &stroke).unwrap();
    let found = ladder(&gear, &wishes).unwrap();
    for rung in &found.rungs {
        let s = &rung.shot;
        let at = |place: Position, rho| gear.bed.locate(place, rho).unwrap();
        let shot = BedShot {
            cue: at(s.cue, gear.cue_contact_radius_m()),
            object: at(s.object, gear.object_contact_radius_m()),
            pocket: s.pocket,
        };
        let shot = Shot::on_bed(&gear, &shot, Stroke::centre_ball()).unwrap();
        let pace = pace_for_stroke(&gear, &shot, 2.0).unwrap();
        // pace_for_stroke promises 1e-4 m/s
        assert_relative_eq!(pace, s.pace_m_s, epsilon = 2e-4);
        let mut paced = shot;
        paced.stroke.pace_m_s = s.pace_m_s;
        let solution = solve(&gear, &paced).unwrap();
        let again = chance_of_solution(&gear, &paced, &solution, &player);
        assert_relative_eq!(again, s.chance, epsilon = SAME);
        assert!(rung.met);
    }
    let both = StrokeRequest {
        pace: Some("firm".to_owned()),
        ..stroke
    };
    let fault = request.wishes(&gear, player, &both).unwrap_err();
    assert!(fault.to_string().contains("pace and lengths"), "{fault}");
}

/// Somebody who leans one way on left cuts and the other on right ones.
#[test]
fn a_lean_that_changes_with_the_cut_is_counted_on_its_side() {
    let gear = gear();
    let left = Level::Club.aim_error().with_bias(0.003).unwrap();
    let right = Level::Club.aim_error().with_bias(-0.003).unwrap();
    let plain = Wishes {
        rungs: 5,
        right: Some(right),
        ..Wishes::new(left)
    };
    for wishes in [
        plain.clone(),
        Wishes {
            mirrored: true,
            ..plain
        },
    ] {
        let found = ladder(&gear, &wishes).unwrap();
        let mut sides = [0, 0];
        for rung in &found.rungs {
            let s = &rung.shot;
            let is_right = s.cut_rad < 0.0;
            sides[usize::from(is_right)] += 1;
            let again = chance_by_request(
                &gear,
                &s.cue.to_string(),
                &s.object.to_string(),
                s.pocket.name(),
                if is_right { &right } else { &left },
            );
            assert_relative_eq!(again, s.chance, epsilon = SAME);
        }
        assert!(sides[0] > 0 && sides[1] > 0, "{sides:?}");
    }
}

#[test]
fn tenths_are_said_without_dust() {
    let up = LadderRequest {
        from: Some("3".to_owned()),
        to: Some("3".to_owned()),
        ..LadderRequest::default()
    };
    let player = Level::Club.aim_error();
    let fault = up.wishes(&gear(), player, &StrokeRequest::default());
    let fault = fault.unwrap_err().to_string();
    assert!(fault.starts_with("from 3 to 3:"), "{fault}");
    for tenth in 1_u32..100 {
        let makes = 0.1 * f64::from(tenth);
        let text = thincut::ladder::makes_in_ten(makes / 10.0).to_string();
        assert!(text.len() <= 3, "{text}");
    }
}
