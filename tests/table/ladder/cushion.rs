//! Object balls beside a cushion: what ladders, marks and maps say of them is what a single shot says,
//! rail and ball together.

use approx::assert_relative_eq;
use kurbo::Point;
use rand::{Rng as _, SeedableRng as _};
use rand_pcg::Pcg64;
use thincut::gear::Gear;
use thincut::ladder::{LadderError, LadderRequest, MarksWishes, ladder, marks};
use thincut::layout::{Ball, FromPlaces, Layout, Table};
use thincut::player::{Aimed, Level};
use thincut::pocket::PocketName;
use thincut::request::StrokeRequest;
use thincut::units::Position;
use thincut::window::{BedShot, Flags, Shot, Stroke, Tip, solve};

use super::{SAME, chance_by_request, gear, group};

/// A place within 5 cm of a rail, every third frozen to it, with a pocket at one of the rail's ends.
fn beside(rng: &mut Pcg64, k: u32) -> (String, PocketName) {
    let rail = k % 4;
    let on_long = rail < 2;
    let along = if on_long {
        rng.random_range(1.0..7.0)
    } else {
        rng.random_range(0.8..3.2)
    };
    // Ball and nose: 29 mm and more from its middle.
    let off_mm = rng.random_range(29.0..78.0);
    let across = |frozen: &str, size_mm: f64| match (k % 3, rail % 2) {
        (0, _) => format!("frozen-{frozen}"),
        (_, 0) => format!("{off_mm:.1}mm"),
        _ => format!("{:.1}mm", size_mm - off_mm),
    };
    let upper = along > if on_long { 4.0 } else { 2.0 };
    match rail {
        0 => (
            format!("{along:.2},{}", across("right", 1270.0)),
            if upper {
                PocketName::FootRight
            } else {
                PocketName::HeadRight
            },
        ),
        1 => (
            format!("{along:.2},{}", across("left", 1270.0)),
            if upper {
                PocketName::FootLeft
            } else {
                PocketName::HeadLeft
            },
        ),
        2 => (
            format!("{},{along:.2}", across("head", 2540.0)),
            if upper {
                PocketName::HeadLeft
            } else {
                PocketName::HeadRight
            },
        ),
        _ => (
            format!("{},{along:.2}", across("foot", 2540.0)),
            if upper {
                PocketName::FootLeft
            } else {
                PocketName::FootRight
            },
        ),
    }
}

#[test]
fn rungs_beside_a_cushion_are_single_shots() {
    let gear = gear();
    let mut rng = Pcg64::seed_from_u64(31);
    let (mut kept, mut met, mut off_rail) = (0, 0, 0);
    for k in 0..9 {
        let (object, pocket) = beside(&mut rng, k);
        let level = Level::ALL[(k as usize + 1) % 6];
        let request = LadderRequest {
            rungs: Some("3".to_owned()),
            from: Some("8".to_owned()),
            to: Some("4".to_owned()),
            object: Some(object.clone()),
            pockets: Some(pocket.name().to_owned()),
            ..LadderRequest::default()
        };
        let player = level.aim_error();
        let wishes = request
            .wishes(&gear, player, &StrokeRequest::default())
            .unwrap();
        let found = match ladder(&gear, &wishes) {
            Ok(found) => found,
            Err(LadderError::NoShot { .. }) => continue,
            Err(fault) => panic!("{object} {pocket}: {fault}"),
        };
        for rung in &found.rungs {
            let s = &rung.shot;
            let (cue, at) = (s.cue.to_string(), s.object.to_string());
            let again = chance_by_request(&gear, &cue, &at, s.pocket.name(), &player);
            assert_relative_eq!(s.chance, again, epsilon = SAME);
            let shot = placed(&gear, &cue, &at, s.pocket);
            let window = solve(&gear, &shot).unwrap().window.unwrap();
            assert_relative_eq!(s.cut_rad, window.cut_rad, epsilon = SAME);
            assert!(rung.set_off.0 <= s.chance && s.chance <= rung.set_off.1);
            kept += 1;
            met += u32::from(rung.met);
            off_rail += u32::from(window.flags.has(Flags::CUSHION_NEAR));
        }
    }
    println!("{kept} kept, {met} met, {off_rail} with a cushion");
    assert!(
        kept >= 18 && met >= 9 && off_rail >= 6,
        "{kept} {met} {off_rail}"
    );
}

fn placed(gear: &Gear, cue: &str, object: &str, pocket: PocketName) -> Shot {
    let at = |text: &str, rho| {
        gear.bed
            .locate(text.parse::<Position>().unwrap(), rho)
            .unwrap()
    };
    let places = BedShot {
        cue: at(cue, gear.cue_contact_radius_m()),
        object: at(object, gear.object_contact_radius_m()),
        pocket,
    };
    Shot::on_bed(gear, &places, Stroke::centre_ball()).unwrap()
}

#[test]
fn marks_beside_a_cushion_are_single_shots() {
    let gear = gear();
    let students = group("K=starting,L=club").unwrap();
    for (object, pocket, chance) in [
        ("6,frozen-right", PocketName::FootRight, 0.5),
        ("6.8,1215mm", PocketName::FootLeft, 0.6),
    ] {
        let wishes = MarksWishes {
            chance,
            object: Some(object.parse().unwrap()),
            pocket: Some(pocket),
            stroke: Stroke::centre_ball(),
        };
        let sheet = marks(&gear, &students, &wishes).unwrap();
        for (mark, student) in sheet.marks.iter().zip(&students) {
            assert_relative_eq!(mark.exact_chance, chance, epsilon = 1e-4);
            let cue = format!("{:.6}m,{:.6}m", mark.at.x, mark.at.y);
            let again = chance_by_request(&gear, &cue, object, pocket.name(), &student.error);
            assert_relative_eq!(again, mark.chance, epsilon = 1e-5);
        }
    }
}

/// A map's places are those of a single shot with the speed as intended, side and its cost included.
#[test]
fn places_of_a_map_beside_a_cushion_are_single_shots() {
    let gear = gear();
    let mut rng = Pcg64::seed_from_u64(33);
    let player = Level::League.aim_error();
    let (mut all, mut off_rail) = (0, 0);
    for k in 0..12 {
        let (object, pocket) = beside(&mut rng, k);
        let at: Position = object.parse().unwrap();
        let at = gear.bed.locate(at, gear.object_contact_radius_m()).unwrap();
        let across_m = [0.0, 6e-3, -6e-3][k as usize % 3];
        let stroke = Stroke {
            tip: Some(Tip {
                across_m,
                ..Tip::CENTRE
            }),
            ..Stroke::default()
        };
        let layout = Layout {
            cue: at,
            balls: vec![Ball {
                label: "1".to_owned(),
                at,
            }],
        };
        let table = Table::new(&gear, &layout);
        let Ok(set) = table.drop_set(0, pocket, stroke.pace_m_s).unwrap() else {
            continue;
        };
        let map = FromPlaces {
            table: &table,
            set: &set,
            stroke: &stroke,
            player: Some(&player),
            reach: None,
        };
        let cues: Vec<Point> = (0..12)
            .map(|_| Point::new(rng.random_range(0.05..2.49), rng.random_range(0.05..1.22)))
            .collect();
        for (cue, place) in cues.iter().zip(map.along(cues.iter().copied())) {
            let places = BedShot {
                cue: *cue,
                object: at,
                pocket,
            };
            let Ok(shot) = Shot::on_bed(&gear, &places, stroke) else {
                continue;
            };
            let solution = solve(&gear, &shot).unwrap();
            let single = Aimed::of(&gear, &shot, &solution).map(|aimed| aimed.quick(&player));
            let said = place.and_then(|p| p.chance);
            assert_eq!(said.is_some(), single.is_some(), "{object} {pocket} {cue}");
            let (Some(said), Some(single)) = (said, single) else {
                continue;
            };
            assert_relative_eq!(said, single, epsilon = 1e-5);
            all += 1;
            let window = solution.window.unwrap();
            off_rail += u32::from(window.flags.has(Flags::CUSHION_NEAR));
        }
    }
    println!("{all} places, {off_rail} with a cushion");
    assert!(all >= 40 && off_rail >= 10, "{all} {off_rail}");
}
