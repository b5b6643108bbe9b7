//! Charts of one shot, for a corner, a side and a thin long one: their data are the solver's.

use kurbo::Point;
use thincut::answer::{Beside, ShotAnswer, not_playable_words, shot_lines};
use thincut::charts::places::{chances, rooms};
use thincut::charts::{self, ChartError, Request};
use thincut::gear::Gear;
use thincut::player::{Aimed, Level, Player};
use thincut::request::{PlacesRequest, ShotRequest};
use thincut::speech::Speech;
use thincut::units::UnitSystem;
use thincut::window::{Shot, solve};

use super::svg::{axis, groups, labels, numbers, parse, path_points};

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

/// The corridor's margins are the window's, so many times as wide as the key says, and what is seen of them
/// is as wide as a finger: no ball is outlined where none lies.
#[test]
fn the_corridor_is_the_window_widened_as_it_says() {
    for places in SHOTS {
        let shot = shot(places);
        let svg = draw("shot", shot, "1200x800");
        let doc = parse(&svg);
        let window = solve(&gear(), &shot).expect("solved").window.expect("ok");
        let (low, high) = window.clean.expect("clean").interval_rad();
        let drawn = numbers(groups(&doc, "shot")[0], "data-window-rad");
        assert!((drawn[0] - low).abs() < SAME && (drawn[1] - high).abs() < SAME);
        // Table and two glasses.
        let corridors = groups(&doc, "corridor");
        assert_eq!(corridors.len(), 3);
        assert!(groups(&doc, "ghost ball").is_empty());
        let one = |node, name| numbers(node, name)[0];
        let times = one(corridors[0], "data-times");
        let said = format!("{times} times as wide");
        assert!(
            labels(&doc).iter().any(|l| l.content.ends_with(&said)),
            "{said}"
        );
        let ends = numbers(corridors[0], "data-ends-rad");
        let parts = [window.drop, window.direct, window.clean];
        let want: Vec<f64> = parts
            .into_iter()
            .flat_map(|part| {
                let (low, high) = part.expect("goes in").interval_rad();
                [low, high]
            })
            .collect();
        assert_eq!(ends.len(), want.len());
        assert!(ends.iter().zip(&want).all(|(a, b)| (a - b).abs() < SAME));
        // The widest margin fills most of a ball's radius and no more.
        let reach = one(corridors[0], "data-reach-m");
        assert!((reach - window.aim.travel_m).abs() < SAME);
        let widest = ends
            .iter()
            .map(|rad| (reach * rad.tan()).abs())
            .fold(0.0, f64::max);
        let share = times * widest / gear().cue_radius_m();
        assert!((0.2..=0.9).contains(&share), "{share}");
        // The band is a ball wide: its first two points are the ball's sides.
        let polygons: Vec<_> = corridors[0]
            .children()
            .filter(|n| n.has_tag_name("path"))
            .collect();
        assert_eq!(polygons.len(), 7);
        let scale = one(groups(&doc, "table")[0], "data-scale");
        for lane in polygons {
            let sides = path_points(lane);
            let wide = sides[0].distance(sides[1]) / scale;
            assert!((wide - 2.0 * gear().cue_radius_m()).abs() < 1e-4, "{wide}");
        }
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
        let each = 0.5 * window.clean.expect("clean").total_rad().to_degrees();
        assert!((rooms[k] - each).abs() < SAME, "{} {each}", rooms[k]);
    }
}

/// Bar after bar the verdict's factors multiply from the plain shot to this one, the reasons are marked,
/// and the title is the sentence.
#[test]
fn why_goes_step_by_step_to_what_the_sentence_says() {
    let straight = |apart: &str, to: &str| PlacesRequest {
        cut: Some("0deg".to_owned()),
        apart: Some(apart.to_owned()),
        to_pocket: Some(to.to_owned()),
        ..PlacesRequest::default()
    };
    let angles = [
        straight("8in", "8ft"),
        straight("8ft", "2ft"),
        PlacesRequest {
            cut: Some("75deg".to_owned()),
            ..straight("2ft", "2ft")
        },
        PlacesRequest {
            kind: Some("side".to_owned()),
            approach: Some("55deg".to_owned()),
            cut: Some("30deg".to_owned()),
            ..straight("2ft", "1ft")
        },
    ];
    let angles = angles.map(|places| {
        let asked = ShotRequest {
            places,
            ..ShotRequest::default()
        };
        asked.shot(&gear()).expect("a shot")
    });
    let player = Player {
        error: Level::Club.aim_error(),
        who: Level::Club.spoken(),
        assumed: true,
    };
    for shot in SHOTS.map(shot).into_iter().chain(angles) {
        for player in [None, Some(player.clone())] {
            let mut request = Request::new(gear(), "1200x800".parse().expect("size"));
            request.shot = Some(shot);
            request.player.clone_from(&player);
            let chart = charts::find("why").expect("registered");
            let svg = chart.draw(&request).expect("drawn").svg;
            let solution = solve(&gear(), &shot).expect("solved");
            let mut answer = ShotAnswer::new(&gear(), &shot, &solution, None);
            if let Some(player) = &player {
                answer = answer.with_player(&gear(), &shot, &solution, player);
            }
            let why = answer.why.as_ref().expect("a verdict");
            let doc = parse(&svg);
            let title = doc.descendants().find(|n| n.has_tag_name("title"));
            let title = title.and_then(|n| n.text()).expect("a title");
            let lines = shot_lines(&answer, &Beside::default(), Speech::default());
            assert!(
                lines.iter().any(|l| l.contains(title)),
                "{title}: {lines:?}"
            );
            let bars = groups(&doc, "bar");
            let mut left = 100.0;
            for bar in &bars[1..] {
                let before = numbers(*bar, "data-before")[0];
                assert!((before / left - 1.0).abs() < 0.04, "{before} {left}");
                left = numbers(*bar, "data-values")[0];
            }
            assert!((left / (100.0 * why.product) - 1.0).abs() < 0.04, "{left}");
            let marked = labels(&doc)
                .iter()
                .filter(|l| l.content.ends_with('◄'))
                .count();
            // What cannot be set up or played has that for its title, and no reason.
            let never = not_playable_words(&answer, UnitSystem::Metric).is_some();
            assert_eq!(marked, if never { 0 } else { why.main.len() });
        }
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
