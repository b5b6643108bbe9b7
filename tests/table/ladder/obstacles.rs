//! A ball in the way.

use approx::assert_relative_eq;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use thincut::gear::Gear;
use thincut::ladder::{LadderRequest, Wishes, ladder, left_open};
use thincut::layout::{Ball, Candidate, Layout, Table, chance_over_speeds, direct, risk};
use thincut::player::{AimError, Level};
use thincut::pocket::PocketName;
use thincut::request::StrokeRequest;
use thincut::units::Position;
use thincut::window::Stroke;

use super::gear;

/// Simulated tries of a rung.
const TRIES: u32 = 20_000;
/// What three speeds may differ from all of them where a ball arrives sliding, from close by: seen up to 0.016,
/// three times what the model expects of them.
const SPEEDS: f64 = 0.01;

/// The layout as a player finds it, from the places a rung prints.
fn layout(gear: &Gear, cue: &str, object: &str, obstacle: &str) -> Layout {
    let at = |text: &str, rho| {
        let place: Position = text.parse().unwrap();
        gear.bed.locate(place, rho).unwrap()
    };
    let ball = |text| Ball {
        label: String::new(),
        at: at(text, gear.object_contact_radius_m()),
    };
    Layout {
        cue: at(cue, gear.cue_contact_radius_m()),
        balls: vec![ball(object), ball(obstacle)],
    }
}

fn direct_shot(table: &Table<'_>, pocket: PocketName) -> Candidate {
    let set = table.drop_set(0, pocket, 1.0).unwrap().unwrap();
    direct(table, Ok(&set), &Stroke::centre_ball()).unwrap()
}

fn request(obstacle: &str) -> LadderRequest {
    LadderRequest {
        rungs: Some("6".to_owned()),
        obstacle: vec![obstacle.to_owned()],
        ..LadderRequest::default()
    }
}

fn wishes(gear: &Gear, obstacle: &str, player: AimError) -> Wishes {
    let stroke = StrokeRequest::default();
    request(obstacle).wishes(gear, player, &stroke).unwrap()
}

/// Chances are those of the layout solver on the whole table, and those of balls followed forward.
#[test]
fn every_rung_counts_the_ball_in_the_way() {
    let gear = gear();
    let player = Level::Club.aim_error();
    let wishes = wishes(&gear, "4.5,2.25", player);
    let found = ladder(&gear, &wishes).unwrap();
    let mut rng = Pcg64::seed_from_u64(4);
    let mut near = 0;
    for rung in &found.rungs {
        let s = &rung.shot;
        let (cue, object) = (s.cue.to_string(), s.object.to_string());
        let layout = layout(&gear, &cue, &object, "4.5,2.25");
        let table = Table::new(&gear, &layout);
        let shot = direct_shot(&table, s.pocket);
        let chance = chance_over_speeds(&table, &shot, (&player, 1.0));
        assert_relative_eq!(chance, s.chance, epsilon = 1e-6);
        assert_relative_eq!(shot.blocked_share, s.blocked_share, epsilon = 1e-6);
        let tried = risk(&table, &shot, (&player, 1.0), TRIES, &mut rng);
        let luck = (s.chance * (1.0 - s.chance) / f64::from(TRIES)).sqrt();
        let off = (tried.make - s.chance).abs();
        assert!(off < 4.5 * luck + SPEEDS, "{} {s:?}", tried.make);
        near += u32::from(s.gap_m < 0.114);
        let open = left_open(&gear, &wishes, s).unwrap().unwrap();
        let chance = chance_over_speeds(&table, &open, (&player, 1.0));
        assert_relative_eq!(chance, s.chance, epsilon = 1e-6);
        assert!(rung.met);
    }
    // a ball that nobody has to pass would be no ball in the way
    assert!(near >= 4, "{near}");
}

/// A ball right on the way to one pocket closes it; without a ball nothing is taken.
#[test]
fn a_closed_pocket_is_left_out() {
    let gear = gear();
    let player = Level::Starting.aim_error();
    let fixed = |request: LadderRequest| {
        let request = LadderRequest {
            object: Some("6,2".to_owned()),
            pockets: Some("foot-left,foot-right".to_owned()),
            ..request
        };
        let stroke = StrokeRequest::default();
        let wishes = request.wishes(&gear, player, &stroke).unwrap();
        let found = ladder(&gear, &wishes).unwrap();
        let first = &found.rungs[0].shot;
        let open = left_open(&gear, &wishes, first).unwrap();
        let left = |p: PocketName| p == PocketName::FootLeft;
        let count = found.rungs.iter().filter(|r| left(r.shot.pocket)).count();
        (count, open.is_some())
    };
    let (count, open) = fixed(LadderRequest::default());
    assert!(count > 0 && !open);
    assert_eq!(fixed(request("7,3")), (0, true));
}

#[test]
fn a_ball_in_the_way_must_be_able_to_stand_there() {
    let gear = gear();
    let player = Level::Club.aim_error();
    let fault = |request: LadderRequest| {
        let stroke = StrokeRequest::default();
        request
            .wishes(&gear, player, &stroke)
            .unwrap_err()
            .to_string()
    };
    for (bad, says) in [
        ("9,2", "obstacle: "),
        ("4,0.05", "clear of the cushions"),
        ("here", "obstacle: "),
    ] {
        let text = fault(request(bad));
        assert!(text.contains(says), "{text}");
    }
    let on_top = LadderRequest {
        object: Some("4,2".to_owned()),
        ..request("4.1,2")
    };
    let text = fault(on_top);
    assert!(text.contains("a ball's width"), "{text}");
}
