//! Pictures of a layout, of shots on it and of a leave.

use thincut::charts::ChartError;
use thincut::charts::layout::{Pictured, draw_layout};
use thincut::charts::leave::{LeaveScene, draw_leave};
use thincut::draw::{DrawError, Size, png};

use super::*;

fn count(svg: &str, part: &str) -> usize {
    svg.matches(part).count()
}

#[test]
fn every_ball_is_drawn_to_scale_with_its_label() {
    let gear = nine_foot();
    for name in ["five-left", "last-three", "crowded"] {
        let placed = read(name, &gear);
        let table = Table::new(&gear, &placed);
        let picture = draw_layout(&table, &[], "nobody", Size::default()).unwrap();
        assert_eq!(
            count(&picture.svg, "class=\"other ball\""),
            placed.balls.len()
        );
        assert_eq!(count(&picture.svg, "class=\"cue ball\""), 1);
        for ball in &placed.balls {
            let place = format!("data-place-m=\"{} {}\"", ball.at.x, ball.at.y);
            assert_eq!(count(&picture.svg, &place), 1, "{name} {}", ball.label);
            let label = format!(">{}<", ball.label);
            assert!(count(&picture.svg, &label) >= 1, "{name} {}", ball.label);
        }
        assert!(png(&picture.svg, 1.0).is_ok());
    }
}

#[test]
fn a_shot_is_drawn_with_wedge_closed_sectors_and_both_ways() {
    let gear = nine_foot();
    let placed = read("crowded", &gear);
    let table = Table::new(&gear, &placed);
    let choice = all(&table, &options(Level::Club));
    let part_closed = choice
        .shots
        .iter()
        .find(|s| s.shot.family == Family::Direct && s.shot.blocked_share > 0.05)
        .unwrap();
    let title = "the shot".to_owned();
    let pictured = Pictured::on(part_closed, title.clone());
    let picture = draw_layout(&table, &[pictured], "a player", Size::default()).unwrap();
    assert_eq!(picture.title, title);
    let drawn = sectors_of_shot(&table, &part_closed.shot).len();
    assert!(drawn > 0);
    // once on the table, once in the glass
    assert_eq!(count(&picture.svg, "class=\"closed\""), 2 * drawn);
    assert_eq!(count(&picture.svg, "class=\"shot\""), 2);
    // one that is not on, and why
    let (ball, _, why) = choice
        .refused
        .iter()
        .find(|(_, _, why)| matches!(why, Refusal::CueBlocked(by) if !by.is_empty()))
        .unwrap();
    let not_on = Pictured::not_on(*ball, why, "not on".to_owned());
    let picture = draw_layout(&table, &[not_on], "a player", Size::default()).unwrap();
    assert!(count(&picture.svg, "class=\"closed\"") > 0);
    assert_eq!(count(&picture.svg, "class=\"shot\""), 0);
    let many: Vec<Pictured<'_>> = choice.shots[..4]
        .iter()
        .map(|s| Pictured::on(s, title.clone()))
        .collect();
    assert_eq!(
        draw_layout(&table, &many, "a player", Size::default()),
        Err(ChartError::Draw(DrawError::TooManyLines { count: 4 }))
    );
}

#[test]
fn a_leave_shows_every_way_of_hitting() {
    let gear = nine_foot();
    let placed = read("five-left", &gear);
    let table = Table::new(&gear, &placed);
    let nine = placed.index_of("9").unwrap();
    let seven = placed.index_of("7").unwrap();
    let set = table
        .drop_set(nine, PocketName::FootRight, 1.0)
        .unwrap()
        .unwrap();
    let shot = direct(&table, Ok(&set), &Stroke::default()).unwrap();
    let next = NextBall {
        ball: seven,
        pocket: PocketName::FootRight,
    };
    let map = leave_map(&table, &shot, next, &options(Level::Club), 32)
        .unwrap()
        .unwrap();
    let scene = LeaveScene {
        table: &table,
        shot: &shot,
        map: &map,
        who: "a club player",
    };
    let picture = draw_leave(&scene, Size::default()).unwrap();
    assert_eq!(count(&picture.svg, "class=\"resting\""), map.resting.len());
    for area in &map.resting {
        assert!(
            picture
                .svg
                .contains(&format!("data-hit=\"{}\"", area.hit.name()))
        );
        assert!(picture.title.to_lowercase().contains(area.hit.name()));
    }
    assert!(picture.title.contains("leaves you"), "{}", picture.title);
}
