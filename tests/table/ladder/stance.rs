//! How the player stands: hand, reach, seated.

use approx::assert_relative_eq;
use thincut::gear::Gear;
use thincut::ladder::{LadderError, Scored, Wishes, ladder, mirrored};
use thincut::layout::{
    Ball, Layout, Plays, Reach, ReachRequest, Stance, Table, chance_over_speeds, direct, stance,
};
use thincut::player::{AimError, Level};
use thincut::units::Hand;
use thincut::window::Stroke;

use super::{SAME, gear};

/// Stance and chance by the layout solver.
fn by_layout(gear: &Gear, shot: &Scored, reach: Reach, player: &AimError) -> (Stance, f64) {
    let at = |place, rho| gear.bed.locate(place, rho).unwrap();
    let layout = Layout {
        cue: at(shot.cue, gear.cue_contact_radius_m()),
        balls: vec![Ball {
            label: String::new(),
            at: at(shot.object, gear.object_contact_radius_m()),
        }],
    };
    let table = Table::new(gear, &layout);
    let set = table.drop_set(0, shot.pocket, 1.0).unwrap().unwrap();
    let played = direct(&table, Ok(&set), &Stroke::centre_ball()).unwrap();
    let stands = stance(&table, played.aim_rad, reach);
    let chance = chance_over_speeds(
        &table,
        &played,
        &Plays {
            aims: player,
            arm_factor: stands.arm_factor(),
        },
    );
    (stands, chance)
}

fn wishes(reach: Reach) -> Wishes {
    Wishes {
        rungs: 6,
        reach: Some(reach),
        ..Wishes::new(Level::Club.aim_error())
    }
}

#[test]
fn no_rung_needs_the_rest_and_a_raised_cue_is_counted() {
    let gear = gear();
    let player = Level::Club.aim_error();
    for reach in [
        Reach::standing(Hand::Right),
        Reach::seated(Hand::Left),
        Reach {
            hand: Hand::Left,
            reach_m: 0.5,
        },
    ] {
        let found = ladder(&gear, &wishes(reach)).unwrap();
        for rung in &found.rungs {
            let (stands, chance) = by_layout(&gear, &rung.shot, reach, &player);
            assert!(!stands.needs_rest, "{reach:?} {:?}", rung.shot);
            assert_eq!(stands.over_rail, rung.shot.over_rail);
            assert_eq!(stands.over_ball.is_some(), rung.shot.over_ball);
            assert_relative_eq!(chance, rung.shot.chance, epsilon = 1e-6);
            assert_eq!(
                rung.shot.stance_factor > 1.0 + SAME,
                stands.arm_factor() > 1.0
            );
        }
    }
}

#[test]
fn the_other_hand_mirrored_plays_the_same_ladder() {
    let gear = gear();
    let right = wishes(Reach::seated(Hand::Right));
    let left = Wishes {
        reach: Some(Reach::seated(Hand::Left)),
        mirrored: true,
        ..right.clone()
    };
    let right = ladder(&gear, &right).unwrap();
    let left = ladder(&gear, &left).unwrap();
    let player = Level::Club.aim_error();
    for (one, other) in right.rungs.iter().zip(&left.rungs) {
        assert_eq!(mirrored(one.shot.cue, &gear.bed), other.shot.cue);
        assert_eq!(mirrored(one.shot.object, &gear.bed), other.shot.object);
        assert_relative_eq!(one.shot.chance, other.shot.chance, epsilon = SAME);
        let reach = Reach::seated(Hand::Left);
        let (stands, chance) = by_layout(&gear, &other.shot, reach, &player);
        assert!(!stands.needs_rest);
        assert_relative_eq!(chance, other.shot.chance, epsilon = 1e-6);
    }
}

#[test]
fn what_is_not_said_is_as_known_or_usual() {
    let ask = |hand: Option<&str>, reach: Option<&str>, seated| {
        let text = |t: Option<&str>| t.map(str::to_owned);
        ReachRequest {
            hand: text(hand),
            reach: text(reach),
            seated,
        }
    };
    let known = Reach {
        hand: Hand::Left,
        reach_m: 0.8,
    };
    let read = |r: &ReachRequest, known| r.reach_or(known).unwrap();
    assert_eq!(read(&ask(None, None, false), None), None);
    assert_eq!(read(&ask(None, None, false), Some(known)), Some(known));
    assert_eq!(
        read(&ask(None, Some("700mm"), false), None),
        Some(Reach {
            hand: Hand::Right,
            reach_m: 0.7
        })
    );
    assert_eq!(
        read(&ask(Some("right"), None, false), Some(known)),
        Some(Reach {
            hand: Hand::Right,
            ..known
        })
    );
    assert_eq!(
        read(&ask(None, None, true), Some(known)),
        Some(Reach::seated(Hand::Left))
    );
    for (bad, says) in [
        (ask(Some("both"), None, false), "hand: `both`"),
        (ask(None, Some("0mm"), false), "reach: "),
        (ask(None, Some("far"), false), "reach: "),
    ] {
        let fault = bad.reach_or(None).unwrap_err().to_string();
        assert!(fault.contains(says), "{fault}");
    }
}

#[test]
fn nobody_reaches_from_nowhere() {
    let reach = Reach {
        hand: Hand::Right,
        reach_m: 0.01,
    };
    let fault = ladder(&gear(), &wishes(reach)).unwrap_err();
    assert!(matches!(fault, LadderError::NoShot { .. }));
    assert!(fault.to_string().contains("reach 1cm"), "{fault}");
}
