//! Line charts: up to five lines with their names at their ends, bands, marked points.

use kurbo::{Point, Rect};

use super::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use super::colour::{LINE_COLOURS, Rgb};
use super::fault::DrawError;
use super::labels::spread;
use super::picture::Picture;
use super::picture::Size;
use super::plot::{Axis, Frame, Room};
use super::text::{self, Weight};
use super::theme::{Board, Caption, MARKERS, Theme};

/// One line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Written at its end.
    pub name: String,
    /// The points in order; a NaN breaks the line.
    pub points: Vec<(f64, f64)>,
}

/// A shaded area between two values over x.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// What it is, for the data in the file.
    pub name: String,
    /// x, lower, upper.
    pub points: Vec<(f64, f64, f64)>,
    /// The line it belongs to.
    pub line: usize,
}

/// A point with words beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where.
    pub at: (f64, f64),
    /// What.
    pub text: String,
    /// The line it lies on.
    pub line: usize,
}

/// A line chart.
#[derive(Debug, Clone, PartialEq)]
pub struct LineChart {
    /// The words around it.
    pub caption: Caption,
    /// Horizontal axis.
    pub x: Axis,
    /// Vertical axis.
    pub y: Axis,
    /// At most five.
    pub lines: Vec<Line>,
    /// Shaded areas, below the lines.
    pub bands: Vec<Band>,
    /// Marked points.
    pub marks: Vec<Mark>,
}

/// Values as they stand in the file, so that a reader gets back exactly what was drawn.
pub(crate) fn data(values: impl Iterator<Item = f64>) -> String {
    values.map(|v| v.to_string()).collect::<Vec<_>>().join(" ")
}

impl LineChart {
    /// Draws it.
    ///
    /// # Errors
    /// [`DrawError`]: too many lines, none, values off a logarithmic axis, no room.
    pub fn draw(&self, size: Size) -> Result<Picture, DrawError> {
        let mut board = Board::new(size, &self.caption);
        board.need(160.0, 90.0)?;
        let (theme, body) = (board.theme, board.body);
        let sides = self.sides(&theme, body)?;
        self.draw_in(&mut board.canvas, &theme, body, sides)?;
        board.finish(&self.caption)
    }

    /// Draws it above another that shares its horizontal axis; `share` is its part of the height.
    /// The words are this one's.
    ///
    /// # Errors
    /// As [`LineChart::draw`], for either.
    pub fn draw_above(&self, below: &Self, share: f64, size: Size) -> Result<Picture, DrawError> {
        let mut board = Board::new(size, &self.caption);
        board.need(160.0, 150.0)?;
        let (theme, body) = (board.theme, board.body);
        let cut = body.y0 + share * body.height();
        let (upper, lower) = (
            Rect::new(body.x0, body.y0, body.x1, cut),
            Rect::new(body.x0, cut, body.x1, body.y1),
        );
        let (a, b) = (self.sides(&theme, upper)?, below.sides(&theme, lower)?);
        let both = Room {
            left: a.left.max(b.left),
            right: a.right.max(b.right),
            top: 0.0,
        };
        self.draw_in(&mut board.canvas, &theme, upper, both)?;
        below.draw_in(&mut board.canvas, &theme, lower, both)?;
        board.finish(&self.caption)
    }

    /// Room it needs left and right of its frame.
    fn sides(&self, theme: &Theme, body: Rect) -> Result<Room, DrawError> {
        let gutter = self.gutter(theme, body.width());
        let right = gutter.label + gutter.lead;
        let room = Room {
            right,
            ..Room::default()
        };
        let frame = Frame::fit(theme, body, self.x.clone(), self.y.clone(), room)?;
        Ok(Room {
            left: frame.plot.x0 - body.x0,
            right,
            top: 0.0,
        })
    }

    fn draw_in(
        &self,
        canvas: &mut Canvas,
        theme: &Theme,
        body: Rect,
        sides: Room,
    ) -> Result<(), DrawError> {
        self.check()?;
        let gutter = self.gutter(theme, body.width());
        let frame = Frame::fit(theme, body, self.x.clone(), self.y.clone(), sides)?;
        frame.draw(canvas, theme)?;
        for band in &self.bands {
            draw_band(canvas, &frame, band)?;
        }
        for (i, line) in self.lines.iter().enumerate() {
            draw_line(canvas, &frame, theme, i, line)?;
        }
        self.end_labels(canvas, &frame, theme, &gutter);
        for mark in &self.marks {
            self.draw_mark(canvas, &frame, theme, mark);
        }
        canvas.close_group();
        Ok(())
    }

    fn check(&self) -> Result<(), DrawError> {
        if self.lines.len() > LINE_COLOURS.len() {
            return Err(DrawError::TooManyLines {
                count: self.lines.len(),
            });
        }
        let drawn = |l: &Line| l.points.iter().any(|p| p.0.is_finite() && p.1.is_finite());
        if !self.lines.iter().any(drawn) {
            return Err(DrawError::Empty {
                what: self.caption.title.clone(),
                why: "no line has a point",
            });
        }
        for line in &self.lines {
            for &(x, y) in &line.points {
                let wrong = [(x, self.x.log), (y, self.y.log)]
                    .into_iter()
                    .find(|(v, log)| v.is_infinite() || (*log && *v <= 0.0));
                if let Some((value, _)) = wrong {
                    return Err(DrawError::Value {
                        series: line.name.clone(),
                        value,
                        why: "it must be finite, and larger than 0 on a logarithmic axis",
                    });
                }
            }
        }
        Ok(())
    }

    fn gutter(&self, theme: &Theme, body_width: f64) -> Gutter {
        let lead = 3.2 * theme.label;
        let most = 0.3 * body_width;
        let names: Vec<Vec<String>> = self
            .lines
            .iter()
            .map(|l| text::wrap(&l.name, theme.label, Weight::Regular, most))
            .collect();
        let label = names
            .iter()
            .flatten()
            .map(|n| text::width(n, theme.label, Weight::Regular))
            .fold(0.0, f64::max);
        Gutter { label, lead, names }
    }

    /// Names right of the frame, pushed apart, joined to their line's end.
    fn end_labels(&self, canvas: &mut Canvas, frame: &Frame, theme: &Theme, gutter: &Gutter) {
        let ends: Vec<(usize, Point)> = self
            .lines
            .iter()
            .enumerate()
            .filter_map(|(i, l)| last_inside(frame, l).map(|p| (i, p)))
            .collect();
        let wanted: Vec<f64> = ends.iter().map(|(_, p)| p.y).collect();
        let tallest = gutter.names.iter().map(Vec::len).max().unwrap_or(1);
        #[expect(clippy::cast_precision_loss, reason = "a few lines of text")]
        let gap = (tallest as f64).mul_add(1.15, 0.15) * theme.label;
        let half = 0.5 * gap;
        let places = spread(
            &wanted,
            gap,
            frame.plot.y0 + half - 0.5 * theme.label,
            frame.plot.y1 - half + 0.5 * theme.label,
        );
        let x = frame.plot.x1 + gutter.lead;
        for ((i, end), y) in ends.into_iter().zip(places) {
            let colour = LINE_COLOURS[i];
            let joint = Point::new(x - 0.4 * theme.label, y);
            let knee = Point::new(frame.plot.x1 + 0.3 * gutter.lead, end.y);
            let stroke = Stroke::new(colour, theme.hair);
            canvas.polyline(
                &[end, knee, Point::new(joint.x - 1.1 * theme.label, y)],
                &stroke,
            );
            canvas.line(Point::new(joint.x - 1.1 * theme.label, y), joint, &stroke);
            MARKERS[i].draw(
                canvas,
                Point::new(joint.x - 0.5 * theme.label, y),
                theme.marker,
                colour,
            );
            block_text(canvas, &gutter.names[i], Point::new(x, y), theme.label);
        }
    }

    /// A ring on the line and words beside it, where neither text nor line is.
    fn draw_mark(&self, canvas: &mut Canvas, frame: &Frame, theme: &Theme, mark: &Mark) {
        if !(frame.x.holds(mark.at.0) && frame.y.holds(mark.at.1)) {
            return;
        }
        let at = frame.at(mark.at.0, mark.at.1);
        let ink = LINE_COLOURS[mark.line % LINE_COLOURS.len()];
        let ring = Paint::fill(Rgb::WHITE).edged(Stroke::new(ink, 0.8 * theme.line));
        canvas.circle(at, 1.3 * theme.marker, &ring);
        let drawn: Vec<Vec<Point>> = self
            .lines
            .iter()
            .flat_map(|l| inside(frame, &l.points))
            .map(|part| part.iter().map(|p| frame.at(p.0, p.1)).collect())
            .collect();
        let away = 1.1 * theme.label;
        let places = [
            (0.0, -away, Anchor::Middle),
            (0.6 * away, -0.6 * away, Anchor::Start),
            (-0.6 * away, -0.6 * away, Anchor::End),
            (0.6 * away, 1.2 * away, Anchor::Start),
            (-0.6 * away, 1.2 * away, Anchor::End),
            (0.0, 1.8 * away, Anchor::Middle),
            (away, 0.3 * away, Anchor::Start),
            (-away, 0.3 * away, Anchor::End),
        ];
        let texts: Vec<Text<'_>> = places
            .into_iter()
            .map(|(dx, dy, anchor)| {
                let p = Point::new(at.x + dx, at.y + dy);
                Text::new(&mark.text, p, theme.label).anchor(anchor)
            })
            .filter(|t| frame.plot.contains_rect(t.bounds()) && canvas.is_free(t.bounds()))
            .collect();
        let clear = |t: &&Text<'_>| {
            let room = t.bounds().inflate(0.1 * theme.label, 0.1 * theme.label);
            !drawn.iter().any(|l| crosses(l, room))
        };
        if let Some(t) = texts.iter().find(clear).or(texts.first()) {
            canvas.text(t);
        }
    }
}

/// Whether a line enters a box.
pub(crate) fn crosses(line: &[Point], area: Rect) -> bool {
    line.windows(2).any(|w| {
        // Clip the segment to the box (Liang and Barsky): something left means it enters.
        let d = w[1] - w[0];
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (step, low, high) in [
            (d.x, area.x0 - w[0].x, area.x1 - w[0].x),
            (d.y, area.y0 - w[0].y, area.y1 - w[0].y),
        ] {
            if step == 0.0 {
                if low > 0.0 || high < 0.0 {
                    return false;
                }
            } else {
                let (a, b) = (low / step, high / step);
                from = from.max(a.min(b));
                to = to.min(a.max(b));
            }
        }
        from < to
    })
}

/// Room right of the frame.
struct Gutter {
    label: f64,
    lead: f64,
    names: Vec<Vec<String>>,
}

/// Lines of text centred vertically on a point.
pub(crate) fn block_text(canvas: &mut Canvas, lines: &[String], at: Point, size: f64) {
    #[expect(clippy::cast_precision_loss, reason = "a few lines of text")]
    let top = at.y - 0.575 * size * (lines.len() as f64 - 1.0);
    for (k, line) in lines.iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "a few lines of text")]
        let y = top + 1.15 * size * k as f64;
        canvas.text(&Text::new(line, Point::new(at.x, y), size).centred());
    }
}

fn last_inside(frame: &Frame, line: &Line) -> Option<Point> {
    line.points
        .iter()
        .rev()
        .find(|p| frame.x.holds(p.0) && frame.y.holds(p.1))
        .map(|p| frame.at(p.0, p.1))
}

/// The parts of a line that lie inside the frame, cut at its lower and upper edge.
fn inside(frame: &Frame, points: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
    let mut parts = vec![Vec::new()];
    let (lo, hi) = (frame.plot.y0, frame.plot.y1);
    let at = |p: &(f64, f64)| frame.at(p.0, p.1);
    let fits = |p: Point| p.y >= lo - 1e-6 && p.y <= hi + 1e-6;
    let cut = |a: Point, b: Point| {
        let edge = if a.y.min(b.y) < lo { lo } else { hi };
        frame.values(a.lerp(b, ((edge - a.y) / (b.y - a.y)).clamp(0.0, 1.0)))
    };
    for (k, p) in points.iter().enumerate() {
        let here = at(p);
        let known = here.x.is_finite() && here.y.is_finite();
        let before = k
            .checked_sub(1)
            .map(|j| at(&points[j]))
            .filter(|b| b.x.is_finite() && b.y.is_finite());
        let Some(part) = parts.last_mut() else { break };
        match (known && fits(here), before) {
            (true, Some(b)) if part.is_empty() && !fits(b) => part.extend([cut(b, here), *p]),
            (true, _) => part.push(*p),
            (false, Some(b)) if known && !part.is_empty() => {
                part.push(cut(b, here));
                parts.push(Vec::new());
            }
            _ => parts.push(Vec::new()),
        }
    }
    parts.retain(|p| !p.is_empty());
    parts
}

fn draw_line(
    canvas: &mut Canvas,
    frame: &Frame,
    theme: &Theme,
    i: usize,
    line: &Line,
) -> Result<(), DrawError> {
    canvas.open_group(&[
        ("class", "series"),
        ("data-name", &line.name),
        ("data-x", &data(line.points.iter().map(|p| p.0))),
        ("data-y", &data(line.points.iter().map(|p| p.1))),
    ]);
    let stroke = theme.series_stroke(i);
    for part in inside(frame, &line.points) {
        if let [(x, y)] = part[..] {
            MARKERS[i].draw(canvas, frame.at(x, y), theme.marker, stroke.colour);
        }
        frame.line(canvas, &part, &stroke)?;
    }
    canvas.close_group();
    Ok(())
}

fn draw_band(canvas: &mut Canvas, frame: &Frame, band: &Band) -> Result<(), DrawError> {
    let colour = LINE_COLOURS[band.line % LINE_COLOURS.len()];
    canvas.open_group(&[
        ("class", "band"),
        ("data-name", &band.name),
        ("data-x", &data(band.points.iter().map(|p| p.0))),
        ("data-low", &data(band.points.iter().map(|p| p.1))),
        ("data-high", &data(band.points.iter().map(|p| p.2))),
    ]);
    let clamp = |y: f64| y.clamp(frame.y.from, frame.y.to);
    let known = |p: &&(f64, f64, f64)| p.0.is_finite() && p.1.is_finite() && p.2.is_finite();
    let points = || band.points.iter().filter(known);
    let upper = points().map(|p| (p.0, clamp(p.2)));
    let lower = points().rev().map(|p| (p.0, clamp(p.1)));
    let outline: Vec<(f64, f64)> = upper.chain(lower).collect();
    frame.area(canvas, &outline, colour, 0.16)?;
    canvas.close_group();
    Ok(())
}
