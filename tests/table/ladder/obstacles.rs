//! A ball in the way.

use approx::assert_relative_eq;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use statrs::distribution::{ContinuousCDF as _, Normal};
use thincut::gear::Gear;
use thincut::ladder::{LadderRequest, Wishes, ladder, left_open};
use thincut::layout::{
    Ball, Candidate, Forward, Layout, Plays, Table, chance_over_speeds, direct, risk,
};
use thincut::player::{AimError, Aimed, Level, chance as caught};
use thincut::pocket::PocketName;
use thincut::request::StrokeRequest;
use thincut::units::Position;
use thincut::window::{BedShot, Shot, Stroke, solve};

use super::gear;

/// Simulated tries of a rung.
const TRIES: u32 = 20_000;
/// Speeds that stand for all, in the middles of as many equally likely parts.
const ALL_SPEEDS: u32 = 41;
/// What a few speeds may differ from all of them: seen up to 0.009, where only the hardest are turned away.
const FEW_SPEEDS: f64 = 0.01;

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

/// The chance of an open shot over so many speeds, each with what arrives then: speed, roll, way.
fn over_all_speeds(
    gear: &Gear,
    (table, shot): (&Table<'_>, &Candidate),
    player: &AimError,
    count: u32,
) -> f64 {
    let places = BedShot {
        cue: table.layout.cue,
        object: table.layout.balls[0].at,
        pocket: shot.pocket,
    };
    let placed = Shot::on_bed(gear, &places, Stroke::centre_ball()).unwrap();
    let solution = solve(gear, &placed).unwrap();
    let aimed = Aimed::of(gear, &placed, &solution).unwrap();
    let one = |share: f64| {
        let arrives = Forward::struck(table, shot, share)?;
        let sigma_rad = player.sigma_rad(shot.cue_travel_m, arrives.cue_speed_m_s());
        Some(caught(&aimed.intervals_rad(share), sigma_rad, 0.0))
    };
    let speeds = shares(player, count).filter_map(one);
    speeds.sum::<f64>() / f64::from(count)
}

/// The same past whatever stands in the way: in the middles of so many equally likely speeds and so many
/// equally likely directions the balls are followed.
fn followed(
    (table, shot): (&Table<'_>, &Candidate),
    player: &AimError,
    speeds: u32,
    directions: u32,
) -> f64 {
    let aside = Normal::new(0.0, 1.0).unwrap();
    let errors: Vec<f64> = (0..directions)
        .map(|k| aside.inverse_cdf((f64::from(k) + 0.5) / f64::from(directions)))
        .collect();
    let made = |share: f64| {
        let forward = Forward::struck(table, shot, share)?;
        let sigma_rad = player.sigma_rad(shot.cue_travel_m, forward.cue_speed_m_s());
        let made = errors
            .iter()
            .filter(|e| forward.made(&forward.outcome(*e * sigma_rad, false)));
        u32::try_from(made.count()).ok()
    };
    let made: u32 = shares(player, speeds).filter_map(made).sum();
    f64::from(made) / (f64::from(speeds) * f64::from(directions))
}

/// Shares of the intended speed in the middles of so many equally likely parts.
fn shares(player: &AimError, count: u32) -> impl Iterator<Item = f64> {
    let spread = Normal::new(1.0, player.scatter.speed_share).unwrap();
    (0..count).map(move |k| spread.inverse_cdf((f64::from(k) + 0.5) / f64::from(count)))
}

/// The cue ball 29 cm from the object ball arrives with 0.42 of natural roll. Three speeds would make 0.891 of
/// it where 201 make 0.879, so more are looked at; directions pulled back, balls followed and tries agree.
#[test]
fn from_close_by_more_speeds_are_looked_at() {
    let gear = gear();
    let player = Level::Club.aim_error();
    let layout = layout(&gear, "4.75,2.25", "5.5,3", "4.5,2.25");
    let table = Table::new(&gear, &layout);
    let shot = direct_shot(&table, PocketName::FootLeft);
    let few = chance_over_speeds(&table, &shot, &Plays::at_ease(&player));
    let all = over_all_speeds(&gear, (&table, &shot), &player, 201);
    let followed = followed((&table, &shot), &player, 201, 99);
    // A fifth of one direction's part.
    assert!((all - followed).abs() < 2e-3, "{all} {followed}");
    assert!((few - all).abs() < FEW_SPEEDS, "{few} {all}");
    let mut rng = Pcg64::seed_from_u64(4);
    let tried = risk(&table, &shot, &Plays::at_ease(&player), TRIES, &mut rng);
    let luck = (all * (1.0 - all) / f64::from(TRIES)).sqrt();
    assert!(
        (tried.make - all).abs() < 4.5 * luck,
        "{} {all}",
        tried.make
    );
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
        let chance = chance_over_speeds(&table, &shot, &Plays::at_ease(&player));
        assert_relative_eq!(chance, s.chance, epsilon = 1e-6);
        assert_relative_eq!(shot.blocked_share, s.blocked_share, epsilon = 1e-6);
        let tried = risk(&table, &shot, &Plays::at_ease(&player), TRIES, &mut rng);
        let luck = (s.chance * (1.0 - s.chance) / f64::from(TRIES)).sqrt();
        let all = if shot.blockers.is_empty() {
            over_all_speeds(&gear, (&table, &shot), &player, ALL_SPEEDS)
        } else {
            followed((&table, &shot), &player, ALL_SPEEDS, 399)
        };
        assert!(
            (tried.make - all).abs() < 4.5 * luck,
            "{} {all} {s:?}",
            tried.make
        );
        assert!((s.chance - all).abs() < FEW_SPEEDS, "{all} {s:?}");
        near += u32::from(s.gap_m < 0.114);
        let open = left_open(&gear, &wishes, s).unwrap().unwrap();
        let chance = chance_over_speeds(&table, &open, &Plays::at_ease(&player));
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
