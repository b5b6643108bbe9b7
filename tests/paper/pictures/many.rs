//! Charts of many shots, gears and pockets: read back, their numbers are the solver's.

use kurbo::Point;
use thincut::charts::{self, Over, RoomUnit};
use thincut::gear::Gear;
use thincut::pocket::PocketKind;
use thincut::survey::Grid;
use thincut::units::{Length, Speed, UnitSystem, speak};
use thincut::window::{AbstractShot, AimWindow, Flags, Shot, solve};

use super::eight::{SHOTS, gear, gears, request};
use super::svg::{axis, groups, labels, numbers, parse, path_points, place};

/// Data are written with all their digits; only degrees and radians are converted in between.
const SAME: f64 = 1e-9;
/// Coordinates are written with three decimals.
const WRITTEN: f64 = 0.001;
/// A foot (exact), m.
const FOOT_M: f64 = 0.3048;

fn shot(gear: &Gear, kind: PocketKind, cut_deg: f64, apart_ft: f64, to_ft: f64) -> Shot {
    let grid = Grid::default();
    let shot = AbstractShot {
        kind,
        cut_rad: cut_deg.to_radians(),
        cut_side: grid.stroke.straight_side,
        apart_m: apart_ft * FOOT_M,
        to_pocket_m: to_ft * FOOT_M,
        approach_rad: 0.0,
    };
    Shot::from_angles(gear, &shot, grid.stroke).expect("a shot")
}

fn window(gear: &Gear, kind: PocketKind, cut_deg: f64, apart_ft: f64, to_ft: f64) -> AimWindow {
    let shot = shot(gear, kind, cut_deg, apart_ft, to_ft);
    let solution = solve(gear, &shot).expect("solved");
    solution.window.expect("a window")
}

/// The same of a shot that somebody can set up on the table and play.
fn playable(kind: PocketKind, cut_deg: f64, apart_ft: f64, to_ft: f64) -> Option<AimWindow> {
    let gear = gear();
    let window = shot(&gear, kind, cut_deg, apart_ft, to_ft)
        .fits_table(&gear)
        .then(|| window(&gear, kind, cut_deg, apart_ft, to_ft));
    window.filter(|w| !w.flags.has(Flags::OUT_OF_REACH) && !w.flags.has(Flags::TOO_FAST))
}

fn each_deg(part: Option<thincut::window::Window>) -> f64 {
    0.5 * part.expect("goes in").total_rad().to_degrees()
}

#[test]
fn by_cut_draws_a_line_a_distance_untouched_and_a_shade_to_the_jaws() {
    for (_, places) in SHOTS {
        let mut request = request("by-cut", places, "1200x800");
        request.options.log_distance = true;
        let chart = charts::find("by-cut").expect("registered");
        let svg = chart.draw(&request).expect("drawn").svg;
        let doc = parse(&svg);
        let frame = groups(&doc, "frame")[0];
        assert_eq!(axis(frame, "data-x-axis"), (0.0, 80.0, false));
        let (from, to, log) = axis(frame, "data-y-axis");
        assert!(log && from < to);
        let (series, bands) = (groups(&doc, "series"), groups(&doc, "band"));
        // A distance that no cut leaves room for on this table has no line.
        let feet: Vec<f64> = [1.0, 2.0, 4.0, 8.0]
            .into_iter()
            .filter(|apart| {
                let mut cuts = (0..=16).map(|k| 5.0 * f64::from(k));
                cuts.any(|cut| playable(request.grid.kind, cut, *apart, 3.0).is_some())
            })
            .collect();
        assert!((2..4).contains(&feet.len()), "{feet:?}");
        assert_eq!((series.len(), bands.len()), (feet.len(), feet.len()));
        for ((line, band), apart) in series.iter().zip(&bands).zip(feet) {
            assert_eq!(
                line.attribute("data-name"),
                Some(&*format!("{apart} ft apart"))
            );
            let (xs, ys) = (numbers(*line, "data-x"), numbers(*line, "data-y"));
            assert_eq!(xs.len(), 17);
            let mut highs = numbers(*band, "data-high").into_iter();
            let mut played = Vec::new();
            for (cut, y) in xs.iter().zip(&ys) {
                let Some(w) = playable(request.grid.kind, *cut, apart, 3.0) else {
                    assert!(y.is_nan(), "{cut} {apart}");
                    continue;
                };
                let high = highs.next().expect("a shade");
                assert!((y - each_deg(w.clean)).abs() < SAME, "{cut} {apart}");
                assert!((high - each_deg(w.direct)).abs() < SAME, "{cut} {apart}");
                assert!(from <= *y && high <= to, "on the axis");
                played.push(place(frame, *cut, *y));
            }
            assert!(highs.next().is_none() && played.len() > 1, "{apart}");
            let drawn = path_points(*line);
            assert_eq!(drawn.len(), played.len());
            for (p, at) in drawn.iter().zip(played) {
                assert!(p.distance(at) < WRITTEN, "{at}");
            }
        }
        let words: Vec<String> = labels(&doc).into_iter().map(|l| l.content).collect();
        assert!(!words.iter().any(|w| w == "8 ft apart"), "{words:?}");
        for want in [
            "cut angle (degrees)",
            "1 ft apart",
            "2 ft apart",
            "80",
            "0.1",
        ] {
            assert!(words.iter().any(|w| w == want), "{want}: {words:?}");
        }
    }
}

#[test]
fn by_cut_in_millimetres_over_the_way_to_the_pocket_on_a_linear_axis() {
    let mut request = request("by-cut", SHOTS[0].1, "1200x800");
    request.options.room = Some(RoomUnit::Mm);
    request.options.over = Over::ToPocket;
    request.options.linear = true;
    let chart = charts::find("by-cut").expect("registered");
    let svg = chart.draw(&request).expect("drawn").svg;
    let doc = parse(&svg);
    let from = axis(groups(&doc, "frame")[0], "data-y-axis").0;
    assert!(from.abs() < 1e-12, "{from}");
    let series = groups(&doc, "series");
    assert_eq!(series.len(), 5);
    for (line, to_ft) in series.iter().zip([1.0, 2.0, 3.0, 4.0, 5.0]) {
        let (xs, ys) = (numbers(*line, "data-x"), numbers(*line, "data-y"));
        let mut played = 0;
        for (cut, y) in xs.iter().zip(&ys) {
            // Of six distances between the balls the middle is 4 ft.
            let Some(w) = playable(PocketKind::Corner, *cut, 4.0, to_ft) else {
                assert!(y.is_nan(), "{cut} {to_ft}");
                continue;
            };
            let each = 0.5 * w.clean.expect("goes in").total_rad();
            assert!((y - 1e3 * w.ghost_offset_m(each)).abs() < SAME);
            played += 1;
        }
        assert!(played > 0, "{to_ft}");
    }
}

/// A point of a contour line, read back through the axes, is a shot with that much room: to a
/// hundredth, since the line is straight between solved places.
#[test]
fn grid_contours_run_through_shots_with_their_room() {
    for (unit, log) in [(RoomUnit::Degrees, false), (RoomUnit::Mm, true)] {
        for (_, places) in &SHOTS[..2] {
            let mut request = request("grid", *places, "1200x800");
            request.options.room = Some(unit);
            request.options.log_distance = log;
            if unit == RoomUnit::Mm {
                request.options.over = Over::ToPocket;
            }
            let chart = charts::find("grid").expect("registered");
            let svg = chart.draw(&request).expect("drawn").svg;
            let doc = parse(&svg);
            let frame = groups(&doc, "frame")[0];
            assert_eq!(axis(frame, "data-x-axis"), (0.0, 80.0, false));
            let (near, far, is_log) = axis(frame, "data-y-axis");
            assert_eq!(is_log, log);
            let plot = numbers(frame, "data-plot");
            let mut checked = 0;
            for contour in groups(&doc, "contour") {
                let level = numbers(contour, "data-level")[0];
                for p in path_points(contour).iter().step_by(3) {
                    // Rounding of coordinates must not put it left of the axis.
                    let cut = (80.0 * (p.x - plot[0]) / (plot[2] - plot[0])).max(0.0);
                    let share = (plot[3] - p.y) / (plot[3] - plot[1]);
                    let feet = if log {
                        near * (far / near).powf(share)
                    } else {
                        near + (far - near) * share
                    };
                    let (apart, to) = match request.options.over {
                        Over::Apart => (feet, 3.0),
                        Over::ToPocket => (4.0, feet),
                    };
                    let w = window(&gear(), request.grid.kind, cut, apart, to);
                    let each = 0.5 * w.direct.expect("goes in").total_rad();
                    let room = match unit {
                        RoomUnit::Degrees => each.to_degrees(),
                        RoomUnit::Mm => 1e3 * w.ghost_offset_m(each),
                    };
                    assert!(
                        (room / level - 1.0).abs() < 0.01,
                        "{level}: {room} at {cut}"
                    );
                    checked += 1;
                }
                // Its value stands on the line or in the legend with its unit.
                let mark = if unit == RoomUnit::Mm { " mm" } else { "°" };
                let want = format!("{level}{mark}");
                assert!(labels(&doc).iter().any(|l| l.content == want), "{want}");
            }
            assert!(checked > 30, "{checked}");
        }
    }
}

#[test]
fn pocket_lines_are_effective_sizes() {
    for (kind, places) in [
        (PocketKind::Corner, SHOTS[0].1),
        (PocketKind::Side, SHOTS[1].1),
    ] {
        let request = request("pocket", places, "1200x800");
        let shot = request.shot.expect("a shot");
        let chart = charts::find("pocket").expect("registered");
        let svg = chart.draw(&request).expect("drawn").svg;
        let doc = parse(&svg);
        let series = groups(&doc, "series");
        assert_eq!(series.len(), 3);
        assert_eq!(groups(&doc, "band").len(), 1);
        assert_eq!(
            axis(groups(&doc, "frame")[0], "data-x-axis"),
            (-75.0, 75.0, false)
        );
        let away = Length::from_m(shot.object.to_vec2().hypot());
        let pace = thincut::units::Speed::from_m_s(shot.stroke.pace_m_s);
        let angles = [-20.0, 0.0, 20.0].map(thincut::units::Angle::from_deg);
        let answer = thincut::answer::PocketAnswer::solve(&gear(), &[kind], pace, away, &angles);
        let answer = answer.expect("solved");
        for row in &answer.rows {
            let at = numbers(series[0], "data-x")
                .iter()
                .position(|x| (x - row.approach_deg).abs() < 1e-6)
                .expect("an angle drawn");
            let drawn = |k: usize| numbers(series[k], "data-y")[at];
            let parts = [&row.clean, &row.direct, &row.drop];
            for (k, part) in parts.into_iter().enumerate() {
                let want = part.as_ref().expect("it drops").effective_pocket_mm;
                assert!((drawn(k) - want).abs() < 1e-6, "{kind:?} {k}: {want}");
            }
        }
    }
}

#[test]
fn gear_dots_are_the_comparison_and_the_largest_loss_comes_first() {
    let mut request = request("gear", SHOTS[0].1, "1200x800");
    let asked = thincut::answer::usual_shots(&Default::default());
    let compared = thincut::answer::compare_gears(&gears(), &asked, None).expect("compared");
    request.compared = Some(compared.clone());
    let chart = charts::find("gear").expect("registered");
    let svg = chart.draw(&request).expect("drawn").svg;
    let doc = parse(&svg);
    let rows = groups(&doc, "dots");
    assert!(rows.len() >= 8 && rows.len() <= compared.rows.len());
    let mut last = 0.0;
    for (drawn, row) in rows.iter().zip(&compared.rows) {
        assert_eq!(drawn.attribute("data-name"), Some(&*row.shot));
        let values = numbers(*drawn, "data-values");
        assert_eq!(values.len(), 3);
        for (value, on) in values.iter().zip(&row.on) {
            assert!((value - on.direct_each_mm.expect("room")).abs() < SAME);
        }
        assert!(row.least_share() >= last);
        last = row.least_share();
    }
    // The dot of the first gear in the first row lies where its value belongs.
    let frame = groups(&doc, "frame")[0];
    let dot = rows[0]
        .descendants()
        .find(|n| n.has_tag_name("circle"))
        .expect("the first gear's disc");
    let x: f64 = dot.attribute("cx").and_then(|x| x.parse().ok()).expect("x");
    let first = numbers(rows[0], "data-values")[0];
    assert!((x - place(frame, first, 0.0).x).abs() < WRITTEN);
}

/// Where every other table is easier, nothing is called a loss.
#[test]
fn gains_are_called_gains() {
    let all = gears();
    let draw = |order: [usize; 2]| {
        let mut request = request("gear", SHOTS[0].1, "1200x800");
        let two = order.map(|k| all[k].clone());
        let asked = thincut::answer::usual_shots(&Default::default());
        let compared = thincut::answer::compare_gears(&two, &asked, None).expect("compared");
        request.compared = Some(compared);
        let chart = charts::find("gear").expect("registered");
        chart.draw(&request).expect("drawn").svg
    };
    // The second has tighter corners.
    let (loses, gains) = (draw([0, 1]), draw([1, 0]));
    assert!(loses.contains("largest loss of margin") && loses.contains("that loses most"));
    assert!(gains.contains("smallest gain of margin") && !gains.contains("loses"));
}

/// Throw below the room, on an axis of its own; the widest is marked.
#[test]
fn pace_draws_throw_and_marks_the_widest() {
    for (_, places) in SHOTS {
        let request = request("pace", places, "1200x800");
        let shot = request.shot.expect("a shot");
        let chart = charts::find("pace").expect("registered");
        let svg = chart.draw(&request).expect("drawn").svg;
        let doc = parse(&svg);
        let series = groups(&doc, "series");
        assert_eq!(series.len(), 4);
        let words: Vec<String> = labels(&doc).into_iter().map(|l| l.content).collect();
        assert!(words.iter().any(|w| w == "throw (degrees)"), "{words:?}");
        let (paces, throws) = (numbers(series[3], "data-x"), numbers(series[3], "data-y"));
        let frame = groups(&doc, "frame")[1];
        let drawn = path_points(series[3]);
        for k in [0, 30, 60] {
            let mut at = shot;
            at.stroke.pace_m_s = paces[k];
            let w = solve(&gear(), &at).expect("solved").window.expect("ok");
            if w.flags.has(Flags::TOO_FAST) {
                assert!(throws[k].is_nan(), "{}", throws[k]);
                continue;
            }
            assert!((throws[k] - w.throw_fuller_rad().to_degrees()).abs() < SAME);
            assert!(drawn[k].distance(place(frame, paces[k], throws[k])) < WRITTEN);
        }
        // The title names the peak of the line of everything that drops, or that it has none.
        let (title, all) = (words.join(" "), numbers(series[2], "data-y"));
        let known = all.iter().copied().filter(|v| v.is_finite());
        let (low, high) = known.fold((f64::INFINITY, 0.0_f64), |(l, h), v| (l.min(v), h.max(v)));
        if all.iter().all(|v| v.is_finite()) && high < 1.15 * low {
            assert!(title.contains("Pace matters little here"), "{title}");
            continue;
        }
        let widest = (0..all.len())
            .filter(|k| all[*k].is_finite())
            .max_by(|a, b| all[*a].total_cmp(&all[*b]))
            .expect("room");
        let mut at = shot;
        at.stroke.pace_m_s = paces[widest];
        let w = solve(&gear(), &at).expect("solved").window.expect("ok");
        let said = |m_s: f64| {
            speak::speed(
                Speed::from_m_s((20.0 * m_s).round() / 20.0),
                UnitSystem::Metric,
            )
        };
        let want = format!("widest; cue ball {}", said(w.cue_speed_m_s));
        assert!(words.contains(&want), "{want}: {words:?}");
        let want = format!("Widest margin at {} at the pocket", said(paces[widest]));
        assert!(title.contains(&want), "{want}: {title}");
    }
}

/// The view from behind is a pinhole's: every outline drawn, carried back through the eye, grazes
/// the ball it belongs to.
#[test]
fn from_behind_every_line_of_sight_along_an_outline_touches_its_ball() {
    for (_, places) in SHOTS {
        let mut request = request("shot", places, "1200x800");
        request.options.eye_height_m = Some(0.5);
        let shot = request.shot.expect("a shot");
        let chart = charts::find("shot").expect("registered");
        let svg = chart.draw(&request).expect("drawn").svg;
        let doc = parse(&svg);
        let view = groups(&doc, "behind")[0];
        let (eye, screen) = (numbers(view, "data-eye-m"), numbers(view, "data-screen"));
        assert!((eye[2] - 0.5).abs() < SAME);
        let w = solve(&gear(), &shot).expect("solved").window.expect("ok");
        let aim = shot.frame.axis_rad + w.aim_in_pocket_frame_rad();
        let cue = shot.frame.to_plan(shot.cue);
        // The eye stands 60 cm behind the cue ball on the line of the aim.
        let behind = cue - kurbo::Vec2::from_angle(aim) * 0.6;
        assert!(Point::new(eye[0], eye[1]).distance(behind) < SAME);
        let (r, object) = (gear().object_radius_m(), shot.frame.to_plan(shot.object));
        let ghost = cue + kurbo::Vec2::from_angle(aim) * w.aim.travel_m;
        let pitch = (0.5 - r).atan2(behind.distance(ghost));
        for (class, centre) in [("object ball", object), ("cue ball", cue)] {
            let outline = path_points(
                *view
                    .descendants()
                    .filter(|n| n.attribute("class") == Some(class))
                    .collect::<Vec<_>>()
                    .first()
                    .expect("drawn"),
            );
            assert!(outline.len() > 20, "{class}");
            for p in outline {
                // Back onto the picture plane, then a ray in space: along the aim, left, up.
                let x = (p.x - screen[2]) / screen[4] + screen[0];
                let y = (p.y - screen[3]) / screen[4] + screen[1];
                let (s, c) = pitch.sin_cos();
                let ray = [c - y * s, -x, -s - y * c];
                let to = centre - behind;
                let along = kurbo::Vec2::from_angle(aim);
                let to = [to.dot(along), along.cross(to), r - 0.5];
                let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
                let past2 = dot(to, to) - dot(to, ray).powi(2) / dot(ray, ray);
                // A thousandth of a pixel at a metre or two is a few hundredths of a millimetre.
                assert!((past2.sqrt() - r).abs() < 1e-4, "{class}: {}", past2.sqrt());
            }
        }
    }
}
