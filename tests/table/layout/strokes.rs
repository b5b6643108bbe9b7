//! One stroke for all shots, in table lengths.

use thincut::window::{StrokeError, stroke_lengths};

use super::*;

/// Other balls shift the middle of what is left of a pocket, and with it the cut and the speed.
const BLOCKED: f64 = 0.15;
/// A combination's and a hanging ball's pace is found to a hundredth of the speed, 2 % of the length.
const FOUND: f64 = 0.05;

#[test]
fn every_shot_takes_the_stroke_that_is_given() {
    let gear = nine_foot();
    let lengths = 2.0;
    let mut seen = [0; 4];
    for name in ["five-left", "crowded", "last-three"] {
        let placed = read(name, &gear);
        let table = Table::new(&gear, &placed);
        let asked = ChooseOptions {
            tip: Some(Tip::new(&gear, lengths).unwrap()),
            ..options(Level::Club)
        };
        let choice = all(&table, &asked);
        for ranked in &choice.shots {
            let shot = &ranked.shot;
            let said = shot.stroke_lengths(&gear).unwrap();
            let (kind, allowed) = match shot.family {
                Family::Direct if shot.blocked_share > 0.0 => (0, BLOCKED),
                Family::Direct => (0, FOUND),
                Family::Bank { .. } => (1, FOUND),
                Family::Combination { .. } => (2, FOUND),
                Family::Kick { .. } => (3, 1e-4),
            };
            seen[kind] += 1;
            assert!(
                (said - lengths).abs() < allowed,
                "{name} {:?} {}: {said}",
                shot.family,
                placed.balls[shot.ball].label
            );
        }
    }
    assert!(seen.iter().all(|n| *n > 0), "{seen:?}");
}

#[test]
fn a_soft_stroke_leaves_far_balls_where_they_are() {
    let gear = nine_foot();
    let placed = read("five-left", &gear);
    let table = Table::new(&gear, &placed);
    let count = |lengths| {
        let asked = ChooseOptions {
            tip: Some(Tip::new(&gear, lengths).unwrap()),
            banks: false,
            combinations: false,
            kicks: false,
            ..options(Level::Club)
        };
        let choice = all(&table, &asked);
        let soft = choice
            .refused
            .iter()
            .filter(|(_, _, why)| *why == Refusal::NoDrop)
            .count();
        (choice.shots.len(), soft)
    };
    let ((soft, refused), (usual, _)) = (count(0.5), count(2.0));
    assert!(soft < usual && refused > 0, "{soft} {usual} {refused}");
    assert!(matches!(
        Tip::new(&gear, 60.0),
        Err(StrokeError::Lengths { .. })
    ));
}

/// A pace said in lengths is what the solver's own shot says.
#[test]
fn both_ways_of_saying_a_stroke_agree() {
    let gear = nine_foot();
    let placed = layout(&gear, (3.0, 1.0), &[("1", 6.0, 2.6)]);
    let table = Table::new(&gear, &placed);
    let choice = all(&table, &options(Level::Club));
    let straight = choice
        .shots
        .iter()
        .filter(|s| s.shot.family == Family::Direct);
    let mut seen = 0;
    for ranked in straight {
        let shot = &ranked.shot;
        let by_hand = stroke_lengths(&gear, shot.cue_speed_m_s, 1.0, shot.cue_travel_m).unwrap();
        assert!((shot.stroke_lengths(&gear).unwrap() - by_hand).abs() < 1e-9);
        assert!((shot.pace_m_s.unwrap() - 1.0).abs() < 1e-12);
        seen += 1;
    }
    assert!(seen > 0);
}
