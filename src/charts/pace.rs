//! One shot against pace: how wide the window stays, and what the stroke must do.

use super::words::{pace as words, room as room_words};
use super::{Chart, ChartError, Request, RoomUnit};
use crate::draw::Picture;
use crate::draw::lines::{Line, LineChart, Mark};
use crate::draw::plot::Axis;
use crate::draw::theme::Caption;
use crate::units::UnitSystem;
use crate::window::{AimWindow, Flags, Shot, Window};

/// Slowest and fastest pace at the pocket, m/s, and the steps between (assumption: from a ball that
/// just drops to a hard stroke).
const SLOWEST_M_S: f64 = 0.2;
const FASTEST_M_S: f64 = 5.0;
const STEPS: u32 = 60;
/// Paces named on the axis, m/s.
const NAMED_M_S: [f64; 6] = [0.2, 0.5, 1.0, 2.0, 3.0, 5.0];
/// Those of them on a picture narrower than this, pixels.
const FEW_M_S: [f64; 3] = [0.2, 1.0, 5.0];
const NARROW_PX: u32 = 500;
/// The room's part of the height; throw has the rest (for the eye).
const ROOM_SHARE: f64 = 0.62;

/// Room against pace.
#[derive(Debug, Clone, Copy)]
pub struct PaceChart;

/// The line of everything that drops, which chances count.
const ALL: usize = 2;
/// Where the most is less than so many times the least, pace hardly matters (assumption: a seventh is
/// not felt).
const LITTLE: f64 = 1.15;

fn at_pace(request: &Request, shot: &Shot, pace_m_s: f64) -> Result<Option<AimWindow>, ChartError> {
    let mut shot = *shot;
    shot.stroke.pace_m_s = pace_m_s;
    // Where nobody strikes so hard the lines end.
    let solved = request.solved(&shot)?.window.ok();
    Ok(solved.filter(|w| !w.flags.has(Flags::TOO_FAST)))
}

impl Chart for PaceChart {
    fn name(&self) -> &'static str {
        "pace"
    }

    fn question(&self) -> &'static str {
        "At which pace has this shot the widest margin?"
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let shot = request.shot(self.name())?;
        let ratio = FASTEST_M_S / SLOWEST_M_S;
        let paces: Vec<f64> = (0..=STEPS)
            .map(|k| SLOWEST_M_S * ratio.powf(f64::from(k) / f64::from(STEPS)))
            .collect();
        let mut windows = Vec::with_capacity(paces.len());
        for pace in &paces {
            windows.push(at_pace(request, shot, *pace)?);
        }
        let lines = lines(&paces, &windows);
        let most = lines
            .iter()
            .flat_map(|l| &l.points)
            .map(|p| p.1)
            .fold(0.0, f64::max);
        if most <= 0.0 {
            return Err(ChartError::NoRoom(words::NOTHING.to_owned()));
        }
        let ticks = ticks(request, shot)?;
        let found = finding(&lines[ALL], &windows);
        let throw = throw(&paces, &windows);
        let (least, top) = throw_range(&throw);
        let without = ticks.iter().map(|(v, _)| (*v, String::new())).collect();
        let pace = |title: &str| Axis::log(title, SLOWEST_M_S, FASTEST_M_S);
        let room = LineChart {
            caption: words::caption(
                &request.gear,
                shot,
                cut_rad(request, shot),
                found.as_ref(),
                request.units,
            ),
            x: pace("").with_ticks(without),
            y: Axis::linear(room_words::each_side(RoomUnit::Degrees), 0.0, 1.12 * most),
            lines,
            bands: Vec::new(),
            marks: found
                .and_then(|f| mark(&f, request.units))
                .into_iter()
                .chain(this_shot(request))
                .collect(),
        };
        let below = LineChart {
            caption: Caption::default(),
            x: pace(words::pace(request.units)).with_ticks(ticks),
            y: Axis::linear(words::THROW, least, top),
            lines: vec![throw],
            bands: Vec::new(),
            marks: Vec::new(),
        };
        Ok(room.draw_above(&below, ROOM_SHARE, request.size)?)
    }
}

/// The cut at the shot's own pace.
fn cut_rad(request: &Request, shot: &Shot) -> f64 {
    let solved = request.solved(shot).ok().and_then(|s| s.window.ok());
    solved.map_or(0.0, |w| w.cut_rad.abs())
}

/// Throw at the aim, positive when the object ball leaves fuller.
fn throw(paces: &[f64], windows: &[Option<AimWindow>]) -> Line {
    let deg = |w: &Option<AimWindow>| {
        w.as_ref()
            .map_or(f64::NAN, |w| w.throw_fuller_rad().to_degrees())
    };
    Line {
        name: words::THROW_LINE.to_owned(),
        points: paces
            .iter()
            .zip(windows)
            .map(|(p, w)| (*p, deg(w)))
            .collect(),
    }
}

/// Least and most on the axis of throw: zero is on it, and a straight shot leaves it open.
fn throw_range(line: &Line) -> (f64, f64) {
    let known = line.points.iter().map(|p| p.1).filter(|v| v.is_finite());
    let (low, high) = known.fold((0.0_f64, 0.0_f64), |(l, h), v| (l.min(v), h.max(v)));
    // At least a tenth of a degree, so that rounding is not blown up.
    (1.15 * low, (1.15 * high).max(0.1))
}

/// Untouched, with the jaws, with the rail: degrees each side.
fn lines(paces: &[f64], windows: &[Option<AimWindow>]) -> Vec<Line> {
    let each = |w: &Option<AimWindow>, pick: fn(&AimWindow) -> Option<Window>| {
        w.as_ref()
            .and_then(pick)
            .map_or(f64::NAN, |w| 0.5 * w.total_rad().to_degrees())
    };
    let line = |name: &str, pick: fn(&AimWindow) -> Option<Window>| Line {
        name: name.to_owned(),
        points: paces
            .iter()
            .zip(windows)
            .map(|(p, w)| (*p, each(w, pick)))
            .collect(),
    };
    vec![
        line(room_words::LINES[0], |w| w.clean),
        line(room_words::LINES[1], |w| w.direct),
        line(room_words::LINES[2], |w| w.drop),
    ]
}

/// Paces with the cue ball's speed they need.
fn ticks(request: &Request, shot: &Shot) -> Result<Vec<(f64, String)>, ChartError> {
    let mut out = Vec::new();
    // On a narrow picture they would run into each other.
    let narrow = request.size.width_px < NARROW_PX;
    let named = if narrow { &FEW_M_S[..] } else { &NAMED_M_S[..] };
    for pace in named.iter().copied() {
        let cue = at_pace(request, shot, pace)?.map(|w| w.cue_speed_m_s);
        out.push((pace, words::tick(pace, cue, request.units)));
    }
    Ok(out)
}

/// This shot's pace on the first line that has room there.
fn this_shot(request: &Request) -> Option<Mark> {
    let (shot, window) = request.marked()?;
    let parts = [window.clean, window.direct, window.drop];
    let (line, part) = parts
        .into_iter()
        .enumerate()
        .find_map(|(k, p)| Some((k, p?)))?;
    let pace = shot.stroke.pace_m_s;
    (SLOWEST_M_S..=FASTEST_M_S).contains(&pace).then(|| Mark {
        at: (pace, 0.5 * part.total_rad().to_degrees()),
        text: room_words::THIS_SHOT.to_owned(),
        line,
    })
}

/// Where the most room is, or that it is nearly the same at every pace.
fn finding(line: &Line, windows: &[Option<AimWindow>]) -> Option<words::Found> {
    let known = line.points.iter().zip(windows);
    let known = known.filter_map(|(p, w)| Some((*p, w.as_ref()?)).filter(|(p, _)| p.1.is_finite()));
    let ((pace_m_s, most_deg), window) = known.clone().max_by(|a, b| a.0.1.total_cmp(&b.0.1))?;
    let least_deg = known.clone().map(|(p, _)| p.1).fold(most_deg, f64::min);
    let everywhere = known.count() == line.points.len();
    if everywhere && most_deg < LITTLE * least_deg {
        return Some(words::Found::Little {
            least_deg,
            most_deg,
        });
    }
    let direct_rad = window.direct.map_or(0.0, |w| w.total_rad());
    let drop_rad = window.drop.map_or(0.0, |w| w.total_rad());
    Some(words::Found::Widest {
        pace_m_s,
        each_deg: most_deg,
        cue_m_s: window.cue_speed_m_s,
        by_rail: drop_rad > 1.001 * direct_rad,
    })
}

/// The widest place, on the line it is taken from.
fn mark(found: &words::Found, units: UnitSystem) -> Option<Mark> {
    match *found {
        words::Found::Widest {
            pace_m_s,
            each_deg,
            cue_m_s,
            ..
        } => Some(Mark {
            at: (pace_m_s, each_deg),
            text: words::widest(cue_m_s, units),
            line: ALL,
        }),
        words::Found::Little { .. } => None,
    }
}
