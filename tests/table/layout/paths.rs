//! The balls' ways in a shot: tangent line, natural angle, mirror law, energy along the way.

use kurbo::Vec2;
use thincut::pocket::PocketName;

use super::*;

/// Closed forms through a whole shot: aim and throw-free cut are solved to 1e-12 rad, paths to 1e-9.
const ANGLE: f64 = 1e-6;

/// Balls without loss and friction between them.
fn ideal(more: &[&str]) -> Gear {
    let mut set = vec![
        "ball.contact.restitution=1".to_owned(),
        "ball.contact.friction_scale=0".to_owned(),
    ];
    set.extend(more.iter().map(|s| (*s).to_owned()));
    nine_foot().with_overrides(&set).unwrap()
}

/// A cut to the right into the foot-left pocket.
fn cut(gear: &Gear, roll: f64) -> (Layout, Stroke) {
    let placed = layout(gear, (5.0, 2.4), &[("1", 6.2, 2.6)]);
    let stroke = Stroke {
        roll,
        ..Stroke::default()
    };
    (placed, stroke)
}

fn solved(table: &Table<'_>, stroke: &Stroke) -> Candidate {
    let set = table
        .drop_set(0, PocketName::FootLeft, 1.0)
        .unwrap()
        .unwrap();
    direct(table, Ok(&set), stroke).unwrap()
}

/// First and last direction of the cue ball before it meets a rail, and the object ball's.
fn leaves(table: &Table<'_>, shot: &Candidate) -> (Vec2, Vec2, Vec2) {
    let paths = Forward::new(table, shot).paths(0.0);
    let object = &paths.objects[0].1;
    let cue = &paths.cue_after.path;
    let bed = &table.cue_bed.body;
    let (l, w) = (table.gear.bed.length_m, table.gear.bed.width_m);
    let edge = bed.plan_radius_m + 1e-6;
    let on_bed = |p: &Point| p.x > edge && p.x < l - edge && p.y > edge && p.y < w - edge;
    // the leg that ends at the rail belongs to it
    let n = cue.iter().take_while(|p| on_bed(p)).count();
    (cue[1] - cue[0], cue[n] - cue[n - 1], object[1] - object[0])
}

/// 90° rule (Alciatore, Colorado State): stun leaves along the tangent line; exact without loss.
#[test]
fn stun_leaves_along_the_tangent_line() {
    let gear = ideal(&[]);
    let (placed, stroke) = cut(&gear, 0.0);
    let table = Table::new(&gear, &placed);
    let shot = solved(&table, &stroke);
    let (first, _, object) = leaves(&table, &shot);
    let between = first.normalize().dot(object.normalize());
    assert!(between.abs() < ANGLE, "{between}");
}

/// tan = sin φ cos φ/(sin² φ + 2/5), derived: the cue ball's direction once it rolls again.
#[test]
fn a_rolling_cue_ball_takes_the_natural_angle() {
    // a cloth that grips at once, so that it rolls before it meets a rail
    let gear = ideal(&["cloth.sliding_friction=0.4"]);
    let (placed, stroke) = cut(&gear, 1.0);
    let table = Table::new(&gear, &placed);
    let shot = solved(&table, &stroke);
    let (_, last, _) = leaves(&table, &shot);
    let (s, c) = shot.cut_rad.abs().sin_cos();
    let exact = (s * c / (s * s + 0.4)).atan();
    let aim = Vec2::from_angle(shot.aim_rad);
    let turned = aim.cross(last).atan2(aim.dot(last)).abs();
    assert!((turned - exact).abs() < ANGLE, "{turned} {exact}");
}

/// Cushion without loss and friction, cloth without sliding friction: a kick leaves the rail as it
/// came to it, and so does a bank.
#[test]
fn kicks_and_banks_follow_the_mirror_law() {
    let gear = ideal(&[
        "cushion.restitution=1",
        "cushion.friction=0",
        "cloth.sliding_friction=0",
    ]);
    let placed = layout(&gear, (2.0, 1.0), &[("1", 5.5, 2.4)]);
    let table = Table::new(&gear, &placed);
    let stroke = Stroke::default();
    let sets: Vec<DropSet> = PocketName::ALL
        .into_iter()
        .filter_map(|p| table.drop_set(0, p, 1.0).unwrap().ok())
        .collect();
    let sets: Vec<&DropSet> = sets.iter().collect();
    let found = kicks(&table, &sets, KICK_SPEED_M_S, &|| {})
        .into_iter()
        .chain(banks(&table, &[0], &stroke, None, &|| {}));
    let mut seen = (0, 0);
    for shot in found {
        let paths = Forward::new(&table, &shot).paths(0.0);
        let (way, count) = match shot.family {
            Family::Kick { .. } => (&paths.cue_before, &mut seen.0),
            _ => (&paths.objects[0].1, &mut seen.1),
        };
        // repeated points (ends of phases) do not count as turns
        let mut points = way.clone();
        points.dedup_by(|a, b| a.distance(*b) < 1e-9);
        let legs: Vec<Vec2> = points
            .windows(2)
            .map(|p| (p[1] - p[0]).normalize())
            .collect();
        let turns: Vec<(Vec2, Vec2)> = legs
            .windows(2)
            .map(|l| (l[0], l[1]))
            .filter(|(a, b)| (*a - *b).hypot() > 1e-6)
            .collect();
        let (before, after) = turns[0];
        let mirrored = (before.x + after.x).abs() < ANGLE || (before.y + after.y).abs() < ANGLE;
        assert!(mirrored, "{:?} {before:?} {after:?}", shot.family);
        *count += 1;
    }
    assert!(seen.0 >= 3 && seen.1 >= 3, "{seen:?}");
}

/// What the balls carry after a contact never exceeds what the cue ball brought; a path never leaves
/// the table.
#[test]
fn paths_stay_on_the_table_and_end_where_they_say() {
    let gear = nine_foot();
    let placed = read("crowded", &gear);
    let table = Table::new(&gear, &placed);
    let choice = all(&table, &options(Level::Club));
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    assert!(choice.shots.len() > 50);
    for ranked in &choice.shots {
        let forward = Forward::new(&table, &ranked.shot);
        let paths = forward.paths(0.0);
        assert_eq!(paths.cue_before[0], placed.cue);
        let run = &paths.cue_after;
        assert_eq!((run.end, run.at), (ranked.cue.end, ranked.cue.at));
        // beyond the noses only in a pocket, no deeper than its hole
        let deepest = 0.25;
        let all = paths
            .objects
            .iter()
            .flat_map(|(_, way)| way)
            .chain(&run.path);
        for p in all {
            let inside = p.x > -deepest && p.x < l + deepest && p.y > -deepest && p.y < w + deepest;
            assert!(inside, "{p:?}");
        }
    }
}
