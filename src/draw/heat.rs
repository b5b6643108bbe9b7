//! Heat maps: bands of colour between contour lines that carry their value.

use kurbo::{Point, Rect};

use super::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use super::colour::{self, Rgb};
use super::contour::{Grid, lines, region, softened};
use super::fault::DrawError;
use super::hatch::hatch;
use super::lines::data;
use super::picture::Picture;
use super::picture::Size;
use super::plot::{Axis, Frame, Room};
use super::text::{self, Weight};
use super::theme::{Board, Caption, Theme};

/// The steps of a map: values at which the colour changes, and how they are written.
#[derive(Debug, Clone, PartialEq)]
pub struct Levels {
    /// Rising.
    pub at: Vec<f64>,
    /// Above the legend: `room at the ghost ball (mm)`.
    pub title: String,
    /// Behind the numbers: `°`, or nothing.
    pub mark: &'static str,
}

impl Levels {
    /// Colour of band `k`: 0 below the first level, `n` above the last.
    #[must_use]
    pub fn colour(&self, k: usize) -> Rgb {
        #[expect(clippy::cast_precision_loss, reason = "a dozen levels")]
        colour::cividis(k as f64 / self.at.len().max(1) as f64)
    }

    /// A level with its mark.
    fn said(&self, value: f64) -> String {
        format!("{}{}", text::number(value), self.mark)
    }

    fn check(&self) -> Result<(), DrawError> {
        let rising = self.at.windows(2).all(|w| w[0] < w[1]);
        if self.at.is_empty() || !rising || self.at.iter().any(|v| !v.is_finite()) {
            return Err(DrawError::Empty {
                what: self.title.clone(),
                why: "the levels of a map must be finite and rise",
            });
        }
        Ok(())
    }
}

/// A grid and the steps at which its colour changes.
#[derive(Debug, Clone, Copy)]
pub struct Shown<'a> {
    /// The values.
    pub grid: &'a Grid,
    /// The steps.
    pub levels: &'a Levels,
}

/// Paints a grid's bands and labelled contour lines through `map` (grid units to canvas), keeping
/// labels inside `keep`.
///
/// # Errors
/// [`DrawError::Empty`] when no value is known or the levels do not rise.
pub fn paint(
    canvas: &mut Canvas,
    theme: &Theme,
    shown: Shown<'_>,
    map: &dyn Fn(Point) -> Point,
    keep: Rect,
) -> Result<(), DrawError> {
    let Shown { grid, levels } = shown;
    levels.check()?;
    if grid.range().is_none() {
        return Err(DrawError::Empty {
            what: levels.title.clone(),
            why: "no place has a value",
        });
    }
    canvas.open_group(&[
        ("class", "map"),
        ("data-name", &levels.title),
        ("data-x", &data(grid.xs().iter().copied())),
        ("data-y", &data(grid.ys().iter().copied())),
        ("data-levels", &data(levels.at.iter().copied())),
    ]);
    let mut contours = Vec::new();
    let bands = std::iter::once(f64::NEG_INFINITY).chain(levels.at.iter().copied());
    for (k, level) in bands.enumerate() {
        let rings = region(grid, level);
        let shape: Vec<Vec<Point>> = rings
            .iter()
            .map(|r| softened(grid, r).into_iter().map(map).collect())
            .collect();
        canvas.rings(&shape, &Paint::fill(levels.colour(k)));
        if level.is_finite() {
            let drawn: Vec<Vec<Point>> = lines(&rings)
                .into_iter()
                .map(|l| l.into_iter().map(map).collect())
                .collect();
            contours.push((level, k, drawn));
        }
    }
    for (level, k, drawn) in &contours {
        canvas.open_group(&[("class", "contour"), ("data-level", &level.to_string())]);
        let ink = levels.colour(*k).mix(levels.colour(*k).ink_on(), 0.75);
        for line in drawn {
            canvas.polyline(line, &Stroke::new(ink, theme.hair));
        }
        canvas.close_group();
    }
    for (level, _, drawn) in &contours {
        label(canvas, theme, &levels.said(*level), drawn, keep);
    }
    canvas.close_group();
    Ok(())
}

/// Writes a contour's value on its longest piece, as near its middle as there is room.
fn label(canvas: &mut Canvas, theme: &Theme, value: &str, drawn: &[Vec<Point>], keep: Rect) {
    let length = |l: &Vec<Point>| l.windows(2).map(|w| w[0].distance(w[1])).sum::<f64>();
    let Some(line) = drawn.iter().max_by(|a, b| length(a).total_cmp(&length(b))) else {
        return;
    };
    if length(line) < 3.0 * theme.tick {
        return;
    }
    for share in [0.5, 0.42, 0.58, 0.34, 0.66, 0.25, 0.75, 0.16, 0.84] {
        let at = along(line, share * length(line));
        let t = Text::new(value, at, 0.9 * theme.tick)
            .anchor(Anchor::Middle)
            .centred();
        let plate = t.bounds().inflate(0.25 * theme.tick, 0.1 * theme.tick);
        if keep.contains_rect(plate) && canvas.is_free(plate) {
            canvas.rect(plate, &Paint::fill(Rgb::WHITE));
            canvas.text(&t);
            return;
        }
    }
}

/// The point at a distance along a line.
fn along(line: &[Point], mut distance: f64) -> Point {
    for w in line.windows(2) {
        let step = w[0].distance(w[1]);
        if distance <= step && step > 0.0 {
            return w[0].lerp(w[1], distance / step);
        }
        distance -= step;
    }
    line.last().copied().unwrap_or_default()
}

/// Width a legend needs.
#[must_use]
pub fn legend_width(theme: &Theme, levels: &Levels) -> f64 {
    let widest = levels
        .at
        .iter()
        .map(|v| text::width(&levels.said(*v), theme.tick, Weight::Regular))
        .fold(0.0, f64::max);
    1.2 * theme.tick + 0.6 * theme.tick + widest
}

/// Draws the colour steps from bottom (least) to top in `place`, values at the joints, the title
/// turned along the right side.
pub fn legend(canvas: &mut Canvas, theme: &Theme, levels: &Levels, place: Rect) {
    let n = levels.at.len() + 1;
    #[expect(clippy::cast_precision_loss, reason = "a dozen levels")]
    let step = place.height() / n as f64;
    let (x0, x1) = (place.x0, place.x0 + 1.2 * theme.tick);
    let mut low = place.y1;
    for k in 0..n {
        let r = Rect::new(x0, low - step, x1, low);
        canvas.rect(r, &Paint::fill(levels.colour(k)));
        low -= step;
        if let Some(v) = levels.at.get(k) {
            let at = Point::new(x1 + 0.4 * theme.tick, low);
            canvas.text(&Text::new(&levels.said(*v), at, theme.tick).centred());
        }
    }
    canvas.rect(
        Rect::new(x0, place.y0, x1, place.y1),
        &Paint::line(Stroke::new(colour::SOFT_INK, 0.7 * theme.hair)),
    );
    let at = Point::new(
        x0 + legend_width(theme, levels) + 1.3 * theme.label,
        place.center().y,
    );
    canvas.text(
        &Text::new(&levels.title, at, theme.label)
            .rotated(-90.0)
            .anchor(Anchor::Middle),
    );
}

/// A ring with words above it, legible on every step.
fn draw_mark(canvas: &mut Canvas, theme: &Theme, at: Point, words: &str) {
    let radius = 0.45 * theme.label;
    let ring = Stroke::new(colour::INK, 2.0 * theme.line);
    canvas.circle(at, radius, &Paint::fill(Rgb::WHITE).edged(ring));
    let base = Point::new(at.x, at.y - 1.6 * radius);
    let text = Text::new(words, base, theme.label)
        .bold()
        .anchor(Anchor::Middle);
    canvas.rect(text.bounds().inflate(2.0, 1.0), &Paint::fill(Rgb::WHITE));
    canvas.text(&text);
}

/// A map over two axes.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatMap {
    /// The words around it.
    pub caption: Caption,
    /// Horizontal axis.
    pub x: Axis,
    /// Vertical axis.
    pub y: Axis,
    /// The values.
    pub grid: Grid,
    /// The steps.
    pub levels: Levels,
    /// A place to mark, with its words.
    pub mark: Option<(f64, f64, String)>,
}

impl HeatMap {
    /// Draws it.
    ///
    /// # Errors
    /// [`DrawError`]: no values, bad axes or levels, no room.
    pub fn draw(&self, size: Size) -> Result<Picture, DrawError> {
        let mut board = Board::new(size, &self.caption);
        board.need(160.0, 90.0)?;
        let theme = board.theme;
        let room = Room {
            right: legend_width(&theme, &self.levels) + 3.0 * theme.label,
            ..Room::default()
        };
        let frame = Frame::fit(&theme, board.body, self.x.clone(), self.y.clone(), room)?;
        let canvas = &mut board.canvas;
        frame.draw(canvas, &theme)?;
        let map = |p: Point| frame.at(p.x, p.y);
        let shown = Shown {
            grid: &self.grid,
            levels: &self.levels,
        };
        if self.grid.values().iter().any(|v| v.is_nan()) {
            let line = Stroke::new(colour::GRID, theme.hair);
            hatch(canvas, frame.plot, 0.7 * theme.label, &line);
        }
        paint(canvas, &theme, shown, &map, frame.plot)?;
        if let Some((x, y, words)) = &self.mark {
            draw_mark(canvas, &theme, frame.at(*x, *y), words);
        }
        canvas.close_group();
        let place = Rect::new(
            frame.plot.x1 + 1.2 * theme.label,
            frame.plot.y0,
            frame.plot.x1 + 2.4 * theme.label,
            frame.plot.y1,
        );
        legend(canvas, &theme, &self.levels, place);
        board.finish(&self.caption)
    }
}
