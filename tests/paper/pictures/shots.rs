//! Charts of one shot, for a corner, a side and a thin long one: their data are the solver's.

use kurbo::Point;
use thincut::charts::places::{chances, rooms};
use thincut::charts::{self, ChartError, Request};
use thincut::gear::Gear;
use thincut::player::{Aimed, Level};
use thincut::request::{PlacesRequest, ShotRequest};
use thincut::window::{Shot, solve, why};

use super::svg::{axis, groups, numbers, parse};

/// Data are written with all their digits; only degrees and radians are converted in between.
const SAME: f64 = 1e-9;
const SHOTS: [[&str; 3]; 3] = [
    ["3,1", "5,2.4", "foot-left"],
    ["2.2,1", "4.4,3", "side-left"],
    ["0.5,3.3", "6.8,2.2", "foot-left"],
];

fn gear() -> Gear {
    Gear::preset("pool-9ft").expect("preset")
}

fn shot([cue, object, pocket]: [&str; 3]) -> Shot {
    let places = PlacesRequest {
        cue: Some(cue.to_owned()),
        object: Some(object.to_owned()),
        pocket: Some(pocket.to_owned()),
        ..PlacesRequest::default()
    };
    ShotRequest {
        places,
        ..ShotRequest::default()
    }
    .shot(&gear())
    .expect("a shot")
}

fn draw(name: &str, shot: Shot, size: &str) -> String {
    let mut request = Request::new(gear(), size.parse().expect("size"));
    request.shot = Some(shot);
    let chart = charts::find(name).expect("registered");
    chart.draw(&request).expect("drawn").svg
}

#[test]
fn the_wedge_is_the_window() {
    for places in SHOTS {
        let shot = shot(places);
        let svg = draw("shot", shot, "1200x800");
        let doc = parse(&svg);
        let window = solve(&gear(), &shot).expect("solved").window.expect("ok");
        let (low, high) = window.clean.expect("untouched").interval_rad();
        let drawn = numbers(groups(&doc, "shot")[0], "data-window-rad");
        assert!((drawn[0] - low).abs() < SAME && (drawn[1] - high).abs() < SAME);
        // Table and two glasses show the two ghost balls of the edges.
        assert_eq!(groups(&doc, "ghost ball").len(), 6);
    }
}

#[test]
fn pace_lines_are_the_solver_s() {
    let shot = shot(SHOTS[0]);
    let svg = draw("pace", shot, "1200x800");
    let doc = parse(&svg);
    let series = groups(&doc, "series");
    assert_eq!(series.len(), 4);
    assert_eq!(
        axis(groups(&doc, "frame")[0], "data-x-axis"),
        (0.2, 5.0, true)
    );
    let (paces, rooms) = (numbers(series[0], "data-x"), numbers(series[0], "data-y"));
    for k in [0, 20, 60] {
        let mut at = shot;
        at.stroke.pace_m_s = paces[k];
        let window = solve(&gear(), &at).expect("solved").window.expect("ok");
        let each = 0.5 * window.clean.expect("untouched").total_rad().to_degrees();
        assert!((rooms[k] - each).abs() < SAME, "{} {each}", rooms[k]);
    }
}

#[test]
fn the_last_bar_is_the_first_order_window() {
    for places in SHOTS {
        let shot = shot(places);
        let svg = draw("why", shot, "1200x800");
        let doc = parse(&svg);
        let bars = groups(&doc, "bar");
        assert_eq!(bars.len(), 4);
        let window = solve(&gear(), &shot).expect("solved").window.expect("ok");
        let first_order = why(&window).expect("factors").first_order_rad();
        let last = numbers(bars[3], "data-values")[0];
        assert!((last - first_order.to_degrees()).abs() < SAME);
    }
}

#[test]
fn places_hold_what_the_shot_from_there_holds() {
    let gear = gear();
    let shot = shot(SHOTS[1]);
    let grid = rooms(&gear, &shot.frame, &shot).expect("solved");
    let (xs, ys) = (grid.xs(), grid.ys());
    assert_eq!((xs.len(), ys.len()), (200, 100));
    for (i, j) in [(100, 10), (60, 20), (150, 40)] {
        let mut from_there = shot;
        from_there.cue = shot.frame.to_pocket(Point::new(xs[i], ys[j]));
        let window = solve(&gear, &from_there)
            .expect("solved")
            .window
            .expect("ok");
        let each = 0.5 * window.direct.expect("goes in").total_rad().to_degrees();
        let held = grid.value(i, j);
        assert!((held - each).abs() < SAME, "{held} {each}");
    }
}

#[test]
fn places_by_chance_hold_the_chance_from_there() {
    let (gear, player) = (gear(), Level::Club.aim_error());
    let shot = shot(SHOTS[0]);
    let grid = chances(&gear, &shot.frame, &shot, &player).expect("solved");
    for (i, j) in [(20, 10), (60, 40), (90, 30)] {
        let mut from_there = shot;
        from_there.cue = shot.frame.to_pocket(Point::new(grid.xs()[i], grid.ys()[j]));
        let solution = solve(&gear, &from_there).expect("solved");
        let want = 10.0
            * Aimed::of(&gear, &from_there, &solution)
                .unwrap()
                .quick(&player);
        assert!(want > 0.0 && (grid.value(i, j) - want).abs() < SAME);
    }
}

#[test]
fn a_chart_of_a_shot_asks_for_one() {
    for name in ["shot", "places", "pace", "why"] {
        let request = Request::new(gear(), "1200x800".parse().expect("size"));
        let chart = charts::find(name).expect("registered");
        assert!(matches!(
            chart.draw(&request),
            Err(ChartError::NeedsShot { .. })
        ));
    }
}
