//! The pictures of a lesson: what makes its topic hard, and the room at true size.
//!
//! Each topic has one thing that changes (the cut, the distance between the balls, how far off
//! square the ball comes to the pocket) and three distances; the rest is held fixed.

use kurbo::{Point, Rect, Vec2};

use super::page::{Sheet, SheetError};
use super::parts::{Style, fine_arc, label};
use crate::charts::bars::{BarChart, Row};
use crate::charts::colour::{self, Rgb};
use crate::charts::lines::{Line, LineChart};
use crate::charts::plot::Axis;
use crate::charts::render::Size;
use crate::charts::svg::{Anchor, Canvas, Paint, Stroke, Text};
use crate::charts::theme::Caption;
use crate::charts::{ChartError, Picture};
use crate::gear::Gear;
use crate::ladder::Topic;
use crate::player::{AimError, chance_of_solution};
use crate::pocket::PocketKind;
use crate::units::{Angle, UnitSystem, speak};
use crate::window::{AbstractShot, AimWindow, Shot, Solution, Stroke as Hit, solve};

/// A chart's pixel on paper, mm: its smallest letters, 9 px, are 8 pt.
const PX_MM: f64 = 0.32;
/// Points of a line.
const POINTS: u32 = 36;
/// Object ball to the pocket where it is held fixed, m (assumption).
const TO_POCKET_M: f64 = 0.6;
/// Off square along the rail, rad: 42° (assumption: 45° would be frozen to it).
const ALONG_RAD: f64 = 42.0 * std::f64::consts::PI / 180.0;
/// Between the balls where it is held fixed, m (assumption).
const APART_M: f64 = 0.6;

/// What is studied: a topic on a gear, for a student.
pub(super) struct Study<'a> {
    pub(super) gear: &'a Gear,
    pub(super) player: AimError,
    pub(super) topic: Topic,
}

impl Study<'_> {
    pub(super) fn kind(&self) -> PocketKind {
        match self.topic {
            Topic::SidePocket => PocketKind::Side,
            _ => PocketKind::Corner,
        }
    }

    /// From and to of what changes: radians, metres for long straight shots, m/s along the rail.
    fn range(&self) -> (f64, f64) {
        match self.topic {
            Topic::ThinCuts | Topic::Mixed => (0.0, 75_f64.to_radians()),
            Topic::LongStraight => (0.3, 2.0),
            Topic::SidePocket => (0.0, 65_f64.to_radians()),
            Topic::AlongTheRail => (0.4, 4.0),
        }
    }

    /// Easy, middle, hard: the steps said in words.
    pub(super) fn steps(&self) -> [f64; 3] {
        match self.topic {
            Topic::ThinCuts | Topic::Mixed => [0.0, 30_f64.to_radians(), 60_f64.to_radians()],
            Topic::LongStraight => [0.5, 1.0, 2.0],
            Topic::SidePocket => [0.0, 30_f64.to_radians(), 60_f64.to_radians()],
            Topic::AlongTheRail => [0.5, 1.5, 3.0],
        }
    }

    /// Whether the lines are for distances between the balls; else to the pocket.
    fn by_apart(&self) -> bool {
        matches!(self.topic, Topic::ThinCuts | Topic::Mixed)
    }

    /// The distances of the three lines, m.
    pub(super) fn lines(&self) -> [f64; 3] {
        if self.by_apart() {
            [0.5, 1.0, 1.5]
        } else {
            [0.4, 0.8, 1.2]
        }
    }

    /// Distances to the pocket where the room is drawn for those, m.
    fn room_lines(&self) -> [f64; 3] {
        [0.4, 0.8, 1.2]
    }

    /// What the lines are, with the last one's distance in words.
    pub(super) fn line_name(&self, m: f64, style: &Style) -> String {
        let far = style.distance(m);
        if self.by_apart() {
            format!("{far} apart")
        } else {
            format!("{far} to the pocket")
        }
    }

    /// Whether room is an angle here: in millimetres it is the same from near and far.
    fn by_angle(&self) -> bool {
        self.topic == Topic::LongStraight
    }

    /// Room each side in words.
    pub(super) fn room_words(&self, x: f64, line_m: f64, style: &Style) -> String {
        if self.by_angle() {
            return speak::degrees(Angle::from_rad(self.room_rad(x, line_m)));
        }
        style.measure(self.room_m(x, line_m))
    }

    /// The same shots with lines for distances to the pocket: at the ghost ball the room does not
    /// change with the distance between the balls.
    fn solved_for_room(&self, x: f64, line_m: f64) -> Option<Solution> {
        if !self.by_apart() {
            return self.solved(x, line_m);
        }
        let shot = AbstractShot {
            kind: self.kind(),
            cut_rad: x,
            cut_left: true,
            apart_m: APART_M,
            to_pocket_m: line_m,
            approach_rad: 0.0,
        };
        self.solve(&shot, Hit::default())
    }

    fn solve(&self, shot: &AbstractShot, hit: Hit) -> Option<Solution> {
        let shot = Shot::from_angles(self.gear, shot, hit).ok()?;
        solve(self.gear, &shot).ok()
    }

    fn solved(&self, x: f64, line_m: f64) -> Option<Solution> {
        let mut shot = AbstractShot {
            kind: self.kind(),
            cut_rad: 0.0,
            cut_left: true,
            apart_m: APART_M,
            to_pocket_m: TO_POCKET_M,
            approach_rad: 0.0,
        };
        if self.by_apart() {
            (shot.cut_rad, shot.apart_m) = (x, line_m);
        } else if self.topic == Topic::LongStraight {
            (shot.apart_m, shot.to_pocket_m) = (x, line_m);
        } else if self.topic == Topic::AlongTheRail {
            (shot.approach_rad, shot.to_pocket_m) = (ALONG_RAD, line_m);
            return self.solve(
                &shot,
                Hit {
                    pace_m_s: x,
                    ..Hit::default()
                },
            );
        } else {
            (shot.approach_rad, shot.to_pocket_m) = (x, line_m);
        }
        self.solve(&shot, Hit::default())
    }

    /// Chance, 0 to 1; 0 where there is no such shot.
    pub(super) fn chance(&self, x: f64, line_m: f64) -> f64 {
        self.solved(x, line_m)
            .map_or(0.0, |s| chance_of_solution(&s, &self.player))
    }

    /// Room each side at the ghost ball, untouched, m; 0 where there is none.
    pub(super) fn room_m(&self, x: f64, line_m: f64) -> f64 {
        self.each(self.solved(x, line_m).as_ref(), |w| w.aim.travel_m)
    }

    /// Room each side of the aim, untouched, rad.
    fn room_rad(&self, x: f64, line_m: f64) -> f64 {
        self.each(self.solved(x, line_m).as_ref(), |_| 1.0)
    }

    /// Half of the window times a length; 0 without one. Along the rail it is the window of all ways
    /// of going in, since that is what changes with the speed; else the untouched one.
    fn each(&self, solution: Option<&Solution>, times: impl Fn(&AimWindow) -> f64) -> f64 {
        let window = solution.and_then(|s| s.window.as_ref().ok());
        window.map_or(0.0, |w| {
            let part = if self.topic == Topic::AlongTheRail {
                w.drop
            } else {
                w.clean
            };
            0.5 * part.map_or(0.0, |p| p.total_rad()) * times(w)
        })
    }

    /// Which part of the room is measured, and where.
    pub(super) fn room_part(&self) -> &'static str {
        match self.topic {
            Topic::AlongTheRail => "Off jaws and rail too, at the ghost ball",
            Topic::LongStraight => "Untouched the aim may be off",
            _ => "Untouched, at the ghost ball",
        }
    }

    /// A step in words: `30°`, `1 m`.
    pub(super) fn step_words(&self, x: f64, style: &Style) -> String {
        match self.topic {
            Topic::LongStraight => style.distance(x),
            Topic::AlongTheRail => format!("{x} m/s"),
            _ => format!("{:.0}°", x.to_degrees()),
        }
    }

    /// What is held fixed.
    fn held(&self, style: &Style) -> String {
        let kind = self.kind();
        match self.topic {
            Topic::ThinCuts | Topic::Mixed => format!(
                "Square in to a {kind} pocket, {} away",
                style.distance(TO_POCKET_M)
            ),
            Topic::LongStraight => format!("Straight, square in to a {kind} pocket"),
            Topic::AlongTheRail => format!(
                "Straight shots, {:.0}° off square to a {kind} pocket, {} between the balls",
                ALONG_RAD.to_degrees(),
                style.distance(APART_M)
            ),
            Topic::SidePocket => format!(
                "Straight shots into a {kind} pocket, {} between the balls",
                style.distance(APART_M)
            ),
        }
    }

    /// The unit of what changes, and how many of it make one of its own.
    fn unit(&self, style: &Style) -> (&'static str, f64) {
        match (self.topic, style.units) {
            (Topic::LongStraight, UnitSystem::Metric) => ("m", 1.0),
            (Topic::LongStraight, UnitSystem::Inches) => ("feet", 1.0 / 0.3048),
            (Topic::AlongTheRail, _) => ("m/s", 1.0),
            _ => ("degrees", 180.0 / std::f64::consts::PI),
        }
    }

    fn axis(&self, name: &str, style: &Style) -> Axis {
        let (from, to) = self.range();
        let (unit, times) = self.unit(style);
        Axis::linear(format!("{name} ({unit})"), from * times, to * times)
    }

    fn points(
        &self,
        style: &Style,
        line_m: f64,
        value: &impl Fn(f64, f64) -> f64,
    ) -> Vec<(f64, f64)> {
        let (from, to) = self.range();
        let times = self.unit(style).1;
        (0..=POINTS)
            .map(|i| from + (to - from) * f64::from(i) / f64::from(POINTS))
            .map(|x| (times * x, value(x, line_m)))
            .collect()
    }

    fn curves(&self, style: &Style, value: impl Fn(f64, f64) -> f64) -> Vec<Line> {
        let line = |m: f64| Line {
            name: self.line_name(m, style),
            points: self.points(style, m, &value),
        };
        self.lines().map(line).into()
    }

    /// How often does it go in?
    pub(super) fn chance_chart(
        &self,
        name: &str,
        style: &Style,
        size: Size,
    ) -> Result<Picture, ChartError> {
        let lines = self.curves(style, |x, m| 10.0 * self.chance(x, m));
        LineChart {
            caption: Caption {
                title: "How often does it go in?".to_owned(),
                subtitle: self.held(style),
                footer: format!(
                    "For arm ±{:.2}°, picture ±{:.1} mm; a rolling cue ball, {}standard bounce: assumed.",
                    self.player.arm_rad.to_degrees(),
                    1e3 * self.player.picture_m,
                    match self.topic {
                        Topic::AlongTheRail => String::new(),
                        _ => format!("{} m/s at the pocket, ", Hit::default().pace_m_s),
                    }
                ),
                desc: said("Makes in ten", self, style, |x, m| format!("{:.1}", 10.0 * self.chance(x, m))),
            },
            x: self.axis(name, style),
            y: Axis::linear("makes in 10", 0.0, 10.0),
            lines,
            bands: Vec::new(),
            marks: Vec::new(),
        }
        .draw(size)
    }

    fn room_caption(&self, style: &Style) -> Caption {
        Caption {
            title: if self.by_angle() {
                "How far off may the aim be?".to_owned()
            } else {
                "How much room does the ghost ball have?".to_owned()
            },
            subtitle: if self.by_apart() {
                format!(
                    "Square in to a {} pocket; each side, untouched",
                    self.kind()
                )
            } else {
                let part = match self.topic {
                    Topic::AlongTheRail => "off jaws and rail too",
                    _ => "untouched",
                };
                format!("{}; each side, {part}", self.held(style))
            },
            footer: format!("{}; the same for everybody.", self.gear.name),
            desc: said("Room each side", self, style, |x, m| {
                self.room_words(x, m, style)
            }),
        }
    }

    /// How much room is there?
    pub(super) fn room_chart(
        &self,
        name: &str,
        style: &Style,
        size: Size,
    ) -> Result<Picture, ChartError> {
        let (unit, times) = match style.units {
            _ if self.by_angle() => ("degrees", 180.0 / std::f64::consts::PI),
            UnitSystem::Metric => ("mm", 1e3),
            UnitSystem::Inches => ("in", 1.0 / 0.0254),
        };
        let value = |x: f64, m: f64| {
            let solution = self.solved_for_room(x, m);
            let length = |w: &AimWindow| if self.by_angle() { 1.0 } else { w.aim.travel_m };
            times * self.each(solution.as_ref(), length)
        };
        let mut lines = self.curves(style, value);
        if self.by_apart() {
            let far = self
                .room_lines()
                .map(|m| format!("{} to the pocket", style.distance(m)));
            let points = self.room_lines().map(|m| self.points(style, m, &value));
            lines = far
                .into_iter()
                .zip(points)
                .map(|(name, points)| Line { name, points })
                .collect();
        }
        let most = lines
            .iter()
            .flat_map(|l| l.points.iter().map(|p| p.1))
            .fold(0.0, f64::max);
        LineChart {
            caption: self.room_caption(style),
            x: self.axis(name, style),
            y: Axis::linear(
                format!("room each side ({unit})"),
                0.0,
                1.1 * most.max(1e-3),
            ),
            lines,
            bands: Vec::new(),
            marks: Vec::new(),
        }
        .draw(size)
    }
}

/// A chart in words: its steps on its middle line.
fn said(
    what: &str,
    study: &Study<'_>,
    style: &Style,
    value: impl Fn(f64, f64) -> String,
) -> String {
    let middle = study.lines()[1];
    let steps = study
        .steps()
        .map(|x| format!("{} at {}", value(x, middle), study.step_words(x, style)));
    format!(
        "{what}, {}: {}.",
        study.line_name(middle, style),
        steps.join(", ")
    )
}

/// How hard is each part: fewest, most and middle makes in ten.
pub(super) fn parts_chart(parts: &[(String, Vec<f64>)], size: Size) -> Result<Picture, ChartError> {
    let rows: Vec<Row> = parts
        .iter()
        .map(|(name, makes)| {
            let low = makes.iter().copied().fold(f64::INFINITY, f64::min);
            let high = makes.iter().copied().fold(0.0, f64::max);
            #[expect(clippy::cast_precision_loss, reason = "a few shots")]
            let middle = makes.iter().sum::<f64>() / makes.len() as f64;
            Row {
                interval: Some((low, high)),
                note: format!("{high:.1} to {low:.1} in 10"),
                ..Row::new(name, middle)
            }
        })
        .collect();
    let desc: Vec<String> = rows
        .iter()
        .map(|r| format!("{}: {}.", r.name, r.note))
        .collect();
    BarChart {
        caption: Caption {
            title: "How hard are the parts of this lesson?".to_owned(),
            subtitle:
                "Makes in ten on average; the stroke runs from the hardest to the easiest shot"
                    .to_owned(),
            footer: String::new(),
            desc: desc.join(" "),
        },
        axis: Axis::linear("makes in 10", 0.0, 10.0),
        rows,
        parts: Vec::new(),
        compare: String::new(),
    }
    .draw(size)
}

/// The pixels of a chart so wide and high on paper.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a page at most"
)]
pub(super) fn chart_size(width_mm: f64, height_mm: f64) -> Size {
    Size {
        width_px: (width_mm / PX_MM).round() as u32,
        height_px: (height_mm / PX_MM).round() as u32,
    }
}

/// A chart on the page.
pub(super) fn place_chart(sheet: &mut Sheet, chart: &Picture) -> Result<(), SheetError> {
    let size = (f64::from(chart.width_px), f64::from(chart.height_px));
    let (canvas, strip) = sheet.figure("a chart", chart.desc.clone(), PX_MM * size.1)?;
    canvas.picture(&chart.svg, size, strip);
    Ok(())
}

/// Ten balls a row, as many filled as go in: a chart for those who do not read charts.
pub(super) fn tens(
    sheet: &mut Sheet,
    style: &Style,
    rows: &[(String, f64)],
) -> Result<(), SheetError> {
    const PITCH_MM: f64 = 9.0;
    let size = style.body_mm();
    for (name, chance) in rows {
        let made = (10.0 * chance).round();
        let shows = format!("{name}: {made:.0} of ten go in.");
        let (canvas, strip) = sheet.figure("a row of balls", shows, 11.0)?;
        let middle = strip.center().y;
        canvas.text(&Text::new(name, Point::new(strip.x0, middle), size).centred());
        for k in 0..10_u8 {
            let x = strip.x1 - PITCH_MM * (9.5 - f64::from(k));
            let inside = if f64::from(k) < made {
                colour::BLUE
            } else {
                Rgb::WHITE
            };
            let paint = Paint::fill(inside).edged(Stroke::new(colour::INK, 0.3));
            canvas.circle(Point::new(x, middle), 3.6, &paint);
        }
    }
    Ok(())
}

/// The room of one shot at true size: the balls at contact, the strip the cue ball's middle comes
/// along, the fullest and the thinnest hit.
pub(super) struct CloseUp {
    cut_rad: f64,
    /// Room to the left and to the right of the shooter, mm.
    room_mm: (f64, f64),
    /// How the ball goes in within it.
    pub(super) how: &'static str,
}

/// Length of the strip, mm.
const STRIP_MM: f64 = 52.0;

impl CloseUp {
    /// The untouched part, or the widest that there is.
    pub(super) fn new(window: &AimWindow) -> Option<Self> {
        let (how, part) = [
            ("untouched", window.clean),
            ("off the jaws", window.direct),
            ("off the rail", window.drop),
        ]
        .into_iter()
        .find_map(|(how, part)| part.map(|p| (how, p)))?;
        let (low, high) = part.interval_rad();
        let at = |angle: f64| 1e3 * window.aim.travel_m * angle.tan();
        Some(Self {
            cut_rad: window.cut_rad,
            room_mm: (at(high), -at(low)),
            how,
        })
    }

    /// In all, m.
    pub(super) fn width_m(&self) -> f64 {
        1e-3 * (self.room_mm.0 + self.room_mm.1)
    }

    fn above_mm(gear: &Gear, style: &Style) -> f64 {
        1e3 * (gear.contact_distance_m() + gear.object_radius_m()) + 11.0 + style.label_mm()
    }

    /// Height it takes, mm.
    pub(super) fn height_mm(&self, gear: &Gear, style: &Style) -> f64 {
        let strip = (STRIP_MM + 4.0) * self.cut_rad.cos() + 1.5 * style.label_mm();
        Self::above_mm(gear, style) + strip.max(1e3 * gear.cue_radius_m() + 3.0)
    }

    pub(super) fn draw(&self, canvas: &mut Canvas, strip: Rect, gear: &Gear, style: &Style) {
        let ghost = Point::new(strip.center().x, strip.y0 + Self::above_mm(gear, style));
        let gap = 1e3 * gear.contact_distance_m();
        let (object_r, cue_r) = (1e3 * gear.object_radius_m(), 1e3 * gear.cue_radius_m());
        let object = ghost - Vec2::new(0.0, gap);
        // Up the page to the pocket; cut to the left, the cue ball comes from the left below.
        let way = Vec2::new(self.cut_rad.sin(), -self.cut_rad.cos());
        let left = Vec2::new(way.y, -way.x);
        let at = |along: f64, across: f64| ghost - way * along + left * across;
        let (to_left, to_right) = self.room_mm;
        let corners = [
            at(0.0, to_left),
            at(STRIP_MM, to_left),
            at(STRIP_MM, -to_right),
            at(0.0, -to_right),
        ];
        canvas.polygon(&corners, &Paint::fill(colour::BLUE));
        let rim = Stroke::new(colour::INK, 0.3);
        canvas.circle(
            object,
            object_r,
            &Paint::fill(colour::GRID).edged(rim.clone()),
        );
        for across in [to_left, -to_right] {
            let hit = touching(ghost + left * across, way, object, gap);
            let outline = fine_arc(hit, cue_r, 0.0, std::f64::consts::TAU);
            canvas.polyline(&outline, &Stroke::new(colour::BLUE, 0.25));
        }
        let top = object - Vec2::new(0.0, object_r + 1.0);
        let tip = top - Vec2::new(0.0, 9.0);
        canvas.arrow(top, tip, &Stroke::new(colour::INK, 0.8));
        let mut say = |words: &str, at: Point, anchor| label(canvas, style, words, at, anchor);
        let beside = tip + Vec2::new(3.0, 0.8 * style.label_mm());
        say("to the pocket", beside, Anchor::Start);
        let down = Vec2::new(0.0, 0.35 * style.label_mm());
        say("object ball", object + down, Anchor::Middle);
        say(
            "ghost ball",
            ghost - Vec2::new(0.0, 0.3 * cue_r) + down,
            Anchor::Middle,
        );
        // The object ball lies on the fuller side.
        let fuller = if self.cut_rad >= 0.0 { 1.0 } else { -1.0 };
        for (words, side) in [("too full", fuller), ("too thin", -fuller)] {
            let room = if side > 0.0 { to_left } else { to_right };
            let place = at(STRIP_MM - 4.0, side * (room + 3.0));
            let outwards = (left * side).x;
            let anchor = if outwards < 0.0 {
                Anchor::End
            } else {
                Anchor::Start
            };
            say(words, place + down, anchor);
        }
    }
}

/// Where a ball coming along a line first touches another: `distance` from its centre.
fn touching(through: Point, way: Vec2, other: Point, distance: f64) -> Point {
    let to = other - through;
    let ahead = to.dot(way);
    let miss2 = to.hypot2() - ahead * ahead;
    through + way * (ahead - (distance * distance - miss2).max(0.0).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::player::Level;

    /// What is said of a topic is what its pictures show: each step is harder, with less room.
    #[test]
    fn every_step_is_harder_than_the_one_before() {
        for name in Gear::preset_names() {
            let gear = Gear::preset(name).expect("a preset");
            for topic in Topic::ALL {
                let player = Level::Starting.aim_error();
                let study = Study {
                    gear: &gear,
                    player,
                    topic,
                };
                let line = study.lines()[1];
                let chances = study.steps().map(|x| study.chance(x, line));
                assert!(chances[0] > 0.1, "{name} {topic:?}: {chances:?}");
                assert!(
                    chances[0] > chances[1] && chances[1] > chances[2],
                    "{name} {topic:?}: {chances:?}"
                );
                let rooms = study.steps().map(|x| study.room_rad(x, line));
                assert!(
                    rooms[0] > rooms[1] && rooms[1] > rooms[2],
                    "{name} {topic:?}: {rooms:?}"
                );
            }
        }
    }
}
