//! Ways over cuts and distances, for a player, and what moves the aim.

use super::*;
use thincut::units::Side;

// ---- over cuts and distances ----

/// Where a way stops, the object ball leaves along an edge of what drops.
#[test]
fn a_way_stops_where_the_object_ball_meets_the_edge() {
    let gear = no_throw();
    let bench = |apart| {
        Bench::new(&gear, at(0.0, apart), Stroke::default())
            .unwrap()
            .unwrap()
    };
    let mut last = f64::INFINITY;
    for apart in APARTS {
        let reach = reach(&bench(apart), &ContactPoint);
        let end = reach.good_to_deg().unwrap();
        let clean = reach.clean_to_deg().unwrap();
        assert!(clean <= end && end > 0.0 && end < 30.0, "{apart}: {end}");
        // nearer balls hide more of the error
        assert!(end < last);
        last = end;
        let s = Solved::new(&gear, &at(end, apart), Stroke::default());
        let bias = s.judge(&ContactPoint).bias_rad;
        let theta = s.window.object_direction_rad(bias).unwrap();
        let nearest = s
            .acceptance
            .pieces
            .spans()
            .iter()
            .flat_map(|p| [p.from_rad, p.to_rad])
            .map(|edge| (edge - theta).abs())
            .fold(f64::INFINITY, f64::min);
        assert!(nearest.to_degrees() < 2e-3, "{apart}: {nearest}");
        let too_full_mm = reach.past_end_mm.unwrap();
        assert!(too_full_mm > 0.0);
        let said = reach_sentence(&reach, UnitSystem::Metric);
        assert!(
            said.starts_with("good to ") && said.contains(" thinner, "),
            "{said}"
        );
    }
    let exact = reach(&bench(0.9), &GHOST);
    assert!((exact.good_to_deg().unwrap() - 80.0).abs() < 1e-9);
    assert!(exact.worst_mm.unwrap().abs() < 1e-4);
    let said = reach_sentence(&exact, UnitSystem::Metric);
    assert_eq!(said, "good at every cut to 80°");
}

#[test]
fn map_and_bias_agree_with_single_shots() {
    let gear = gear(&[]);
    let stroke = Stroke::default();
    let bench = Bench::new(&gear, at(0.0, 0.9), stroke).unwrap().unwrap();
    let cuts: Vec<f64> = CUTS.iter().map(|c| c.to_radians()).collect();
    let way = Fractions::even("eighths", 8).unwrap();
    let cells = works_map(&bench, &way, &cuts, &APARTS).unwrap();
    assert_eq!(cells.len(), CUTS.len() * APARTS.len());
    for cell in &cells {
        let shot = at(cell.cut_deg, cell.apart_mm / 1e3);
        let verdict = Solved::new(&gear, &shot, stroke).judge(&way);
        assert_eq!(cell.status, verdict.drops.name());
        assert!((cell.too_full_mm.unwrap() - verdict.too_full_m * 1e3).abs() < 1e-6);
    }
    for point in bias_by_cut(&bench, &way, &cuts) {
        let s = Solved::new(&gear, &at(point.cut_deg, 0.9), stroke);
        let verdict = s.judge(&way);
        assert!((point.too_full_deg.unwrap().to_radians() - verdict.too_full_rad).abs() < 1e-9);
        let clean = s.window.clean.unwrap();
        assert!((point.clean_full_deg.unwrap().to_radians() - clean.thick_rad).abs() < 1e-9);
        // the line is inside the clean window exactly when the ball goes in untouched
        let inside =
            verdict.too_full_rad < clean.thick_rad && -verdict.too_full_rad < clean.thin_rad;
        assert_eq!(inside, verdict.drops == Drops::Clean);
        let room = verdict.room.unwrap();
        assert_eq!(inside, room.full_rad > 0.0 && room.thin_rad > 0.0);
    }
    assert!(works_map(&bench, &way, &cuts, &[0.01]).is_err());
}

// ---- the player ----

/// One Normal interval: P = Φ((hi − b)/σ) − Φ((lo − b)/σ); the way's bias b is the only change.
#[test]
fn a_player_loses_by_the_ways_bias() {
    let gear = gear(&[]);
    let player = AimError::plain(0.1f64.to_radians()).unwrap();
    let s = Solved::new(&gear, &at(20.0, 0.9), Stroke::default());
    let chances = |way: &dyn Way| {
        let verdict = judge(way, &s.scene(), &s.acceptance, Some(&player)).unwrap();
        (verdict, verdict.chance.unwrap())
    };
    let (exact, same) = chances(&GhostBall {
        allowance: Allowance::Exact,
    });
    assert!(exact.bias_rad.abs() < ROUNDING_RAD);
    assert!((same.by_way - same.right).abs() < 1e-9 && same.right > 0.3);
    let (off, worse) = chances(&ContactPoint);
    assert!(worse.by_way < 0.5 * same.right);
    assert!((worse.right - same.right).abs() < 1e-12);
    // A player whose own bias undoes the way's makes as many as one who aims right.
    let against = player.with_bias(-off.bias_rad).unwrap();
    let verdict = judge(&ContactPoint, &s.scene(), &s.acceptance, Some(&against)).unwrap();
    assert!((verdict.chance.unwrap().by_way - same.right).abs() < 1e-9);
}

// ---- what moves the aim ----

#[test]
fn without_friction_only_size_moves_the_aim() {
    let gear = no_throw();
    let shot = Shot::from_angles(&gear, &at(30.0, 0.9), Stroke::default()).unwrap();
    let rows = moves(&gear, &shot, &GHOST, Stick::default()).unwrap();
    for row in rows
        .iter()
        .filter(|r| r.what != "size" && r.what != "balls")
    {
        assert!(row.ball_thinner_deg.unwrap().abs() < 1e-6, "{row:?}");
    }
    let by = |setting: &str| {
        let row = rows.iter().find(|r| r.setting == setting).unwrap();
        row.ball_thinner_mm.unwrap()
    };
    assert!(by("equal balls").abs() < 1e-6);
    // a smaller cue ball has to pass nearer the object ball's centre: a fuller line
    assert!(by("smaller cue ball") < 0.0 && by("larger cue ball") > 0.0);
}

#[test]
fn friction_moves_the_aim_the_way_it_is_taught() {
    let gear = gear(&[]);
    let shot = Shot::from_angles(&gear, &at(30.0, 0.9), Stroke::default()).unwrap();
    let rows = moves(&gear, &shot, &GHOST, Stick::default()).unwrap();
    let row = |setting: &str| rows.iter().find(|r| r.setting == setting).unwrap();
    let throw = |setting: &str| row(setting).throw_deg.unwrap();
    // stun throws more than roll, dirty balls more than polished, soft more than hard
    assert!(throw("stun") > throw("natural roll"));
    assert!(throw("dirty (friction × 1.3)") > throw("polished (friction × 0.5)"));
    assert!(throw("0.5m/s at the pocket") > throw("3m/s at the pocket"));
    // inside english throws more than none, outside near gearing (sin 30° = 0.5) not at all
    assert!(throw("0.5 inside").abs() > 0.0);
    assert!(
        throw("0.5 outside").abs() < 0.05,
        "{}",
        throw("0.5 outside")
    );
    assert!(row("0.5 outside").ball_thinner_deg.unwrap() < 0.0);
    for r in &rows {
        // more throw asks for as much thinner a line; the ghost ball is too full by it
        let diff = r.throw_deg.unwrap() * r.too_full_deg.unwrap();
        assert!(diff >= -1e-9, "{r:?}");
        let stick = r.stick_thinner_deg.unwrap() - r.ball_thinner_deg.unwrap();
        if r.what != "side" || r.setting == "none" {
            assert!(stick.abs() < 1e-12);
        }
    }
}

/// Pivot length: a stick turned about the pivot by the squirt sends the ball along the first line;
/// at ratio 0.5 the tip is 0.2 R = 5.715 mm out, and 5.715/300 is 1.0915°.
#[test]
fn the_stick_points_against_the_squirt() {
    let gear = gear(&[]);
    let stick = Stick::default();
    let squirt = stick.squirt_rad(&gear, 0.5);
    assert!((squirt - 0.005715 / 0.3).abs() < 1e-15 && squirt > 0.0);
    let same = Stick::with_squirt(&gear, 2.0 * squirt).unwrap();
    assert!((same.pivot_m() - 0.3).abs() < 1e-12);
    // Left cut, outside english is right english: the ball squirts left (fuller), so the stick goes
    // right (thinner) of the ball's line. The mirror image does the same.
    for cut_side in Side::BOTH {
        let shot = AbstractShot {
            cut_side,
            ..at(30.0, 0.9)
        };
        let shot = Shot::from_angles(&gear, &shot, Stroke::default()).unwrap();
        let rows = moves(&gear, &shot, &GHOST, stick).unwrap();
        for (setting, sign) in [("0.5 outside", 1.0), ("0.5 inside", -1.0)] {
            let r = rows.iter().find(|r| r.setting == setting).unwrap();
            let turn = r.stick_thinner_deg.unwrap() - r.ball_thinner_deg.unwrap();
            assert!((turn - sign * squirt.to_degrees()).abs() < 1e-9, "{turn}");
        }
    }
    for bad in [0.0, -0.01] {
        let text = Stick::with_squirt(&gear, bad).unwrap_err().to_string();
        assert!(text.contains("squirt"), "{text}");
    }
    assert!(Stick::with_pivot(0.0).is_err());
}

/// No way is mended to one that makes less, and the chance aimed at the middle is the one that `shot`
/// speaks of: over random shots, for every level.
#[test]
fn what_is_suggested_never_makes_less_than_what_is_said() {
    use rand::{Rng, SeedableRng};
    use thincut::player::{Aimed, Level, Straights, chance_of_solution, shot_chance};
    use thincut::window::solve;

    const SHOTS: u32 = 40;
    let gear = gear(&[]);
    let mut rng = rand_pcg::Pcg64::seed_from_u64(11);
    let (mut mended, mut left, mut better) = (0, 0, 0);
    for k in 0..SHOTS {
        let mut shot = at(75.0 * rng.random::<f64>(), 0.3 + 1.5 * rng.random::<f64>());
        shot.to_pocket_m = 0.3 + 1.2 * rng.random::<f64>();
        shot.approach_rad = 0.6 * (rng.random::<f64>() - 0.5);
        shot.cut_side = if k % 2 == 0 { Side::Left } else { Side::Right };
        let level = Level::ALL[rng.random_range(0..Level::ALL.len())];
        let lean_rad = 0.004 * (rng.random::<f64>() - 0.5);
        let player = level.aim_error().with_bias(lean_rad).unwrap();
        let placed = Shot::from_angles(&gear, &shot, Stroke::centre_ball()).unwrap();
        let solution = solve(&gear, &placed).unwrap();
        let Ok(found) = solution.solved() else {
            continue;
        };
        let whole = chance_of_solution(&gear, &placed, &solution, &player);
        let aimed = Aimed::of(&gear, &placed, &solution).unwrap();
        let straights = Straights::new(&gear, &player, &placed.stroke);
        let said = shot_chance(&aimed, &player, &straights, false);
        assert!((said.chance - whole).abs() < 1e-12);
        if let Some(best) = said.best {
            assert!(best.chance >= said.chance && best.gain >= 0.0, "{best:?}");
            better += u32::from(best.gain > 0.0);
        }
        let scene = Scene {
            gear: &gear,
            shot: &placed,
            window: found.window,
        };
        let ways = WaysRequest::default().ways(&gear, None, None).unwrap();
        for way in &ways {
            let Ok(verdict) = judge(&**way, &scene, found.acceptance, Some(&player)) else {
                continue;
            };
            let chances = verdict.chance.unwrap();
            assert!(
                (chances.right - whole).abs() < 1e-9,
                "{} {whole}",
                chances.right
            );
            // Aimed so, it is the same shot turned.
            if verdict.drops != Drops::No {
                let turned = Aimed {
                    turn_rad: verdict.bias_rad,
                    ..aimed
                };
                let by = turned.chance(&player);
                let less_short = (by.dies_short - said.dies_short).abs();
                // The speeds looked at lie elsewhere where another stroke is the slowest that drops.
                let apart = (by.chance - chances.by_way).abs();
                let allowed = less_short + if less_short > 0.0 { 5e-3 } else { 1e-9 };
                assert!(apart <= allowed, "{apart} {less_short}");
            }
            let sentence = verdict_sentence(&verdict, UnitSystem::Metric);
            let corrects = sentence.contains("; aim ");
            assert!(
                !corrects || chances.right >= chances.by_way,
                "{sentence}: {chances:?}"
            );
            assert_eq!(
                sentence.contains("leave it:"),
                chances.by_way > chances.right && !sentence.starts_with("exactly right"),
                "{sentence}: {chances:?}"
            );
            mended += u32::from(corrects);
            left += u32::from(sentence.contains("leave it:"));
        }
    }
    // All three happen.
    assert!(
        mended > 50 && left > 5 && better > 5,
        "{mended} {left} {better}"
    );
}
