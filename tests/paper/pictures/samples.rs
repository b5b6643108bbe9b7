//! Charts of invented numbers that every test of this binary draws on.

use kurbo::Point;
use thincut::charts::{self, Request, view};
use thincut::draw::bars::{BarChart, Row};
use thincut::draw::calibration::{CalibrationChart, Dot};
use thincut::draw::canvas::{Paint, Stroke};
use thincut::draw::contour::Grid;
use thincut::draw::heat::{HeatMap, Levels};
use thincut::draw::lines::{Band, Line, LineChart, Mark};
use thincut::draw::plot::Axis;
use thincut::draw::theme::{Board, Caption};
use thincut::draw::{Picture, Size, colour};
use thincut::gear::Gear;

pub(crate) fn size(text: &str) -> Size {
    text.parse().expect("a size")
}

fn caption(title: &str) -> Caption {
    Caption {
        title: title.to_owned(),
        subtitle: "Corner pocket, straight in, 9 ft table".to_owned(),
        footer:
            "Assumed: clean balls, stun, pace 1 m/s at the pocket. Shaded: what the assumptions \
                 about facings may do."
                .to_owned(),
        desc: "Invented numbers for a test of the drawing.".to_owned(),
    }
}

/// Five lines that end close together.
pub(crate) fn lines(log: bool) -> LineChart {
    let feet = [1.0, 2.0, 3.0, 4.0, 6.0];
    let line = |d: f64| Line {
        name: format!("{d} ft apart"),
        points: (0..=80)
            .map(|c| (f64::from(c), 3.0 * f64::from(c).to_radians().cos() / d))
            .collect(),
    };
    let y = if log {
        Axis::log("margin either side at the ghost ball (mm)", 0.05, 5.0)
    } else {
        Axis::linear("margin either side at the ghost ball (mm)", 0.0, 3.2)
    };
    LineChart {
        caption: caption("How much margin does a cut leave, and how fast does distance eat it?"),
        x: Axis::linear("cut angle (degrees)", 0.0, 80.0),
        y,
        lines: feet.map(line).to_vec(),
        bands: vec![Band {
            name: "assumptions".to_owned(),
            points: (0..=80)
                .map(|c| {
                    let v = 3.0 * f64::from(c).to_radians().cos();
                    (f64::from(c), 0.9 * v, 1.06 * v)
                })
                .collect(),
            line: 0,
        }],
        marks: vec![Mark {
            at: (30.0, 3.0 * 30f64.to_radians().cos()),
            text: "half-ball hit".to_owned(),
            line: 0,
        }],
    }
}

/// A hill with a hole of missing values.
pub(crate) fn grid() -> Grid {
    let xs: Vec<f64> = (0..=80).map(f64::from).collect();
    let ys: Vec<f64> = (5..=40).map(|i| f64::from(i) / 5.0).collect();
    let mut values = Vec::new();
    for y in &ys {
        for x in &xs {
            let blank = (x - 60.0).hypot(12.0 * (y - 6.0)) < 14.0;
            let v = 8.0 * x.to_radians().cos() / y.powf(0.9);
            values.push(if blank { f64::NAN } else { v });
        }
    }
    Grid::new(xs, ys, values).expect("a grid")
}

pub(crate) fn heat() -> HeatMap {
    HeatMap {
        caption: caption("Where is the room: cut or distance?"),
        x: Axis::linear("cut angle (degrees)", 0.0, 80.0),
        y: Axis::linear("distance to the pocket (ft)", 1.0, 8.0),
        grid: grid(),
        levels: Levels {
            at: vec![0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0],
            title: "room at the ghost ball (mm)".to_owned(),
            mark: "",
        },
        mark: None,
    }
}

pub(crate) fn steps() -> BarChart {
    let step = |name: &str, before: f64, value: f64, compare: f64, note: &str| Row {
        before: Some(before),
        compare: Some(compare),
        note: note.to_owned(),
        ..Row::new(name, value)
    };
    BarChart {
        caption: caption("Why is this shot tight? The cut takes most"),
        axis: Axis::linear("margin either side (degrees)", 0.0, 3.0),
        rows: vec![
            step(
                "the pocket, seen from the object ball",
                2.6,
                2.6,
                2.6,
                "2.6°",
            ),
            step(
                "ball to ball: the nearer, the more forgiving",
                2.6,
                1.4,
                1.4,
                "× 0.54",
            ),
            step("the cut", 1.4, 0.6, 1.4, "× 0.43"),
            step("throw", 0.6, 0.55, 1.3, "× 0.92"),
        ],
        parts: Vec::new(),
        compare: "a straight shot at the same distances".to_owned(),
    }
}

pub(crate) fn stacks() -> BarChart {
    let row = |name: &str, ends: [f64; 3]| Row {
        ends: ends.to_vec(),
        note: format!("{} mm", ends[2]),
        ..Row::new(name, 0.0)
    };
    BarChart {
        caption: caption("How large is the pocket as the ball comes in from the side?"),
        axis: Axis::linear("effective size (mm)", 0.0, 120.0),
        rows: vec![
            row("straight in", [60.0, 92.0, 92.0]),
            row("20° off straight in", [55.0, 80.0, 96.0]),
            row("along the side rail", [31.0, 44.0, 101.0]),
        ],
        parts: vec![
            "goes in clean".to_owned(),
            "still goes in off the jaws".to_owned(),
            "still goes in off the rail".to_owned(),
        ],
        compare: String::new(),
    }
}

pub(crate) fn intervals() -> BarChart {
    let row = |name: &str, v: f64, lo: f64, hi: f64| Row {
        interval: Some((lo, hi)),
        note: format!("{v} in 10"),
        ..Row::new(name, v)
    };
    BarChart {
        caption: caption("Who makes the half-ball shot how often?"),
        axis: Axis::linear("made, in 10", 0.0, 10.0),
        rows: vec![
            row("student K", 4.0, 2.6, 5.5),
            row("student L", 7.0, 5.1, 8.4),
            row("student M", 9.0, 8.2, 9.5),
        ],
        parts: Vec::new(),
        compare: String::new(),
    }
}

pub(crate) fn calibration() -> CalibrationChart {
    let dot = |said: f64, seen: f64, half: f64, n: u32| Dot {
        said,
        seen,
        interval: ((seen - half).max(0.0), (seen + half).min(1.0)),
        note: format!("{n} shots"),
    };
    CalibrationChart {
        caption: caption("Do the balls go in as often as said?"),
        said: "said, in 10".to_owned(),
        seen: "made, in 10".to_owned(),
        agree: "as often as said".to_owned(),
        dots: vec![
            dot(0.15, 0.2, 0.1, 48),
            dot(0.35, 0.3, 0.12, 40),
            dot(0.55, 0.6, 0.12, 44),
            dot(0.75, 0.7, 0.1, 52),
            dot(0.92, 0.95, 0.05, 60),
        ],
    }
}

/// A table with balls, a fan, a path and a magnified pocket.
pub(crate) fn scene(size: Size) -> Picture {
    let gear = Gear::preset("pool-9ft").expect("preset");
    let words = caption("Half-ball into the far corner: how wide is the way?");
    let mut board = Board::new(size, &words);
    let view = view::View::whole(&gear, board.body, view::lie_for(size));
    let theme = board.theme;
    let canvas = &mut board.canvas;
    view::furniture(canvas, &gear, &view, theme.hair);
    let (cue, object) = (Point::new(0.9, 0.35), Point::new(1.7, 0.8));
    let r = gear.object_radius_m();
    let draw = |canvas: &mut thincut::draw::canvas::Canvas, view: &view::View| {
        view::fan(
            canvas,
            view,
            &view::Fan {
                apex_m: object,
                directions_rad: (0.50, 0.56),
                reach_m: 0.9,
            },
            &Paint::fill(colour::GREEN.mix(colour::Rgb::WHITE, 0.55)),
        );
        view::fan(
            canvas,
            view,
            &view::Fan {
                apex_m: cue,
                directions_rad: (0.470, 0.482),
                reach_m: 0.86,
            },
            &Paint::fill(colour::BLUE.mix(colour::Rgb::WHITE, 0.5)),
        );
        view::path(
            canvas,
            view,
            &[object, Point::new(2.52, 1.24)],
            &Stroke::new(colour::INK, 1.5).dashed(&[4.0, 3.0]),
        );
        view::ball(canvas, view, object, r, view::BallLook::Object);
        view::ball(canvas, view, cue, r, view::BallLook::Cue);
        view::ball(
            canvas,
            view,
            object - kurbo::Vec2::from_angle(0.53) * 2.0 * r,
            r,
            view::BallLook::Ghost,
        );
        view::ball(canvas, view, Point::new(0.6, 0.9), r, view::BallLook::Other);
    };
    draw(canvas, &view);
    let glass = view::Inset {
        focus_m: Point::new(2.5, 1.22),
        at: view.map(Point::new(2.05, 0.3)),
        radius: 0.26 * view.scale,
        factor: 2.5,
    };
    view::inset(canvas, &theme, &view, &glass, |canvas, inner| {
        view::furniture(canvas, &gear, inner, theme.hair);
        draw(canvas, inner);
    });
    board.finish(&words).expect("drawn")
}

/// Every sample at a size, by name.
pub(crate) fn all(text: &str) -> Vec<(&'static str, Picture)> {
    let s = size(text);
    let table = charts::find("table").expect("registered");
    let request = Request::new(Gear::preset("pool-9ft").expect("preset"), s);
    vec![
        ("lines", lines(false).draw(s).expect("lines")),
        ("log", lines(true).draw(s).expect("log")),
        ("heat", heat().draw(s).expect("heat")),
        ("steps", steps().draw(s).expect("steps")),
        ("stacks", stacks().draw(s).expect("stacks")),
        ("intervals", intervals().draw(s).expect("intervals")),
        ("calibration", calibration().draw(s).expect("calibration")),
        ("table", table.draw(&request).expect("table")),
        ("scene", scene(s)),
    ]
}
