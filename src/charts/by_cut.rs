//! Room each side against the cut, one line a distance: the line is untouched, the shade above it
//! what still goes in off the jaws.

use super::slice::Slice;
use super::words::by_cut::{self as words, End};
use super::words::room;
use super::{Chart, ChartError, Choice, Over, Request, RoomUnit, Subject};
use crate::draw::Picture;
use crate::draw::lines::{Band, Line, LineChart, Mark};
use crate::draw::plot::Axis;
use crate::draw::theme::Caption;
use crate::survey::Row;

/// Lines that can be told apart.
const MOST_LINES: usize = 5;

/// Room against the cut.
#[derive(Debug, Clone, Copy)]
pub struct ByCutChart;

impl Chart for ByCutChart {
    fn name(&self) -> &'static str {
        "by-cut"
    }

    fn question(&self) -> &'static str {
        "How much margin does a cut leave, near and far?"
    }

    fn subject(&self) -> Subject {
        Subject::Grid
    }

    fn choices(&self) -> &'static [Choice] {
        &[
            Choice::Room,
            Choice::Over,
            Choice::LogDistance,
            Choice::Linear,
        ]
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let slice = Slice::of(request, self.name())?;
        let options = &request.options;
        let unit = options.room.unwrap_or(RoomUnit::Degrees);
        let distances_m = if options.log_distance {
            doubling(&slice.distances_m)
        } else {
            some_of(&slice.distances_m)
        };
        let rows = slice.rows(&slice.cuts_rad, &distances_m)?;
        let columns = rows.chunks(slice.cuts_rad.len());
        // A distance that nobody can set up or play has no line.
        let (distances_m, columns): (Vec<f64>, Vec<&[Row]>) = distances_m
            .into_iter()
            .zip(columns)
            .filter(|(_, column)| column.iter().any(Row::is_playable))
            .unzip();
        let names = distances_m.iter().map(|d| words::line(*d, options.over));
        let (lines, mut bands) = series(names.collect(), &columns, unit);
        // Off the ghost ball the lines of all distances lie on each other, and so would their shades.
        let only = (unit == RoomUnit::Mm && bands.len() > 1).then(|| {
            bands.truncate(1);
            lines[0].name.clone()
        });
        let (low, high) = slice.cut_ends_deg();
        let named: Vec<&str> = lines.iter().map(|l| l.name.as_str()).collect();
        let chart = LineChart {
            caption: Caption {
                title: words::title(ends(&lines), unit, options.over),
                subtitle: words::subtitle(&slice.subtitle(), only.as_deref()),
                footer: slice.footer(),
                desc: words::desc(unit, low, high, &named),
            },
            x: Axis::linear(room::CUT, low, high),
            y: room_axis(&lines, &bands, unit, options.linear)?,
            marks: this_shot(request, unit, &distances_m).into_iter().collect(),
            lines,
            bands,
        };
        Ok(chart.draw(slice.size())?)
    }
}

/// This shot, in the colour of the line of the nearest distance.
fn this_shot(request: &Request, unit: RoomUnit, distances_m: &[f64]) -> Option<Mark> {
    let (shot, window) = request.marked()?;
    let each_rad = 0.5 * window.clean?.total_rad();
    let apart = |d: &f64| {
        let own = match request.options.over {
            Over::Apart => shot.apart_m(),
            Over::ToPocket => shot.object.to_vec2().hypot(),
        };
        (d - own).abs()
    };
    let lines = distances_m.iter().map(apart).enumerate();
    let (line, _) = lines.min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Mark {
        at: (
            window.cut_rad.abs().to_degrees(),
            unit.of(&window, each_rad),
        ),
        text: room::THIS_SHOT.to_owned(),
        line,
    })
}

/// At most five distances, the nearest and the farthest among them.
fn some_of(sorted: &[f64]) -> Vec<f64> {
    let last = sorted.len().saturating_sub(1);
    if last < MOST_LINES {
        return sorted.to_vec();
    }
    (0..MOST_LINES)
        .map(|k| sorted[(k * last + (MOST_LINES - 1) / 2) / (MOST_LINES - 1)])
        .collect()
}

/// The nearest distance, and of the others those next to its doubles (at most four of them).
fn doubling(sorted: &[f64]) -> Vec<f64> {
    let mut out: Vec<f64> = sorted.first().copied().into_iter().collect();
    while let Some(last) = out.last().copied() {
        let ratio = |d: f64| (d / (2.0 * last)).ln().abs();
        // Nearer than the square root of two times the last it is no doubling.
        let far_enough = sorted.iter().copied().filter(|d| *d >= last * 1.414);
        match far_enough.min_by(|a, b| ratio(*a).total_cmp(&ratio(*b))) {
            Some(next) if out.len() < MOST_LINES => out.push(next),
            _ => break,
        }
    }
    out
}

/// One line a distance, untouched, and the shade up to what goes in off the jaws.
fn series(names: Vec<String>, columns: &[&[Row]], unit: RoomUnit) -> (Vec<Line>, Vec<Band>) {
    let clean = |r: &Row| unit.each_side(r, |w| w.clean);
    let direct = |r: &Row| unit.each_side(r, |w| w.direct);
    let lines: Vec<Line> = names
        .into_iter()
        .zip(columns)
        .map(|(name, column)| Line {
            name,
            points: column
                .iter()
                .map(|r| (r.cut_rad.to_degrees(), clean(r)))
                .collect(),
        })
        .collect();
    let bands = columns
        .iter()
        .enumerate()
        .map(|(line, column)| Band {
            name: words::shade(&lines[line].name),
            points: column
                .iter()
                .map(|r| (r.cut_rad.to_degrees(), clean(r), direct(r)))
                .filter(|p| p.1.is_finite() && p.2.is_finite())
                .collect(),
            line,
        })
        .collect();
    (lines, bands)
}

/// From the least to the most room drawn.
fn room_axis(
    lines: &[Line],
    bands: &[Band],
    unit: RoomUnit,
    linear: bool,
) -> Result<Axis, ChartError> {
    let known = lines.iter().flat_map(|l| &l.points).map(|p| p.1);
    let least = known
        .clone()
        .filter(|v| v.is_finite())
        .fold(f64::INFINITY, f64::min);
    let top = bands.iter().flat_map(|b| &b.points).map(|p| p.2);
    let most = top.chain(known).fold(0.0, f64::max);
    if most <= 0.0 {
        return Err(ChartError::NoRoom(words::NOTHING.to_owned()));
    }
    if linear {
        return Ok(Axis::linear(room::each_side(unit), 0.0, 1.08 * most));
    }
    Ok(Axis::log(
        room::each_side_log(unit),
        floor_125(least),
        ceil_125(most),
    ))
}

/// The easiest end of the lines, and the hardest that can be played: the thinnest cut of the farthest
/// line that has one.
fn ends(lines: &[Line]) -> Option<[End<'_>; 2]> {
    let known = |line: &'_ Line| {
        let mut points = line.points.iter().copied();
        let is_known = |p: &(f64, f64)| p.1.is_finite() && p.1 > 0.0;
        Some((points.clone().find(is_known)?, points.rfind(is_known)?))
    };
    let end = |line, (cut_deg, room)| End {
        room,
        cut_deg,
        line,
    };
    let near = lines.first()?;
    let (far, (_, hard)) = lines
        .iter()
        .rev()
        .find_map(|line| Some((line, known(line)?)))?;
    let (easy, _) = known(near)?;
    (lines.len() > 1).then_some([end(&near.name, easy), end(&far.name, hard)])
}

/// The next 1, 2 or 5 times a power of ten at or below, and at or above.
fn floor_125(value: f64) -> f64 {
    let decade = 10_f64.powf(value.log10().floor());
    [5.0, 2.0, 1.0]
        .into_iter()
        .map(|m| m * decade)
        .find(|v| *v <= value)
        .unwrap_or(decade)
}

fn ceil_125(value: f64) -> f64 {
    let decade = 10_f64.powf(value.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * decade)
        .find(|v| *v >= value)
        .unwrap_or(10.0 * decade)
}
