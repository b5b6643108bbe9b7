//! Sizes, line patterns and the frame of words around every chart.

use kurbo::{Point, Rect};

use super::canvas::{Canvas, Paint, Stroke, Text, Unit};
use super::colour::{self, Rgb};
use super::fault::DrawError;
use super::picture::Picture;
use super::picture::Size;
use super::text::{self, Block, Weight};
use super::wording::said;

/// Dash patterns in line widths, one per line colour, so that lines differ without colour.
pub const DASHES: [&[f64]; 5] = [
    &[],
    &[5.0, 2.5],
    &[1.5, 2.0],
    &[8.0, 2.5, 1.5, 2.5],
    &[3.0, 1.5],
];

/// A point's shape, one per line colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marker {
    /// Disc.
    Disc,
    /// Square.
    Square,
    /// Triangle.
    Triangle,
    /// Diamond.
    Diamond,
    /// Ring.
    Ring,
}

/// The markers in order of use.
pub const MARKERS: [Marker; 5] = [
    Marker::Disc,
    Marker::Square,
    Marker::Triangle,
    Marker::Diamond,
    Marker::Ring,
];

impl Marker {
    /// Draws it.
    pub fn draw(self, canvas: &mut Canvas, at: Point, radius: f64, ink: Rgb) {
        let corner = |dx: f64, dy: f64| Point::new(at.x + dx * radius, at.y + dy * radius);
        let paint = Paint::fill(ink);
        match self {
            Self::Disc => canvas.circle(at, radius, &paint),
            Self::Square => {
                let r = 0.88 * radius;
                canvas.rect(Rect::from_center_size(at, (2.0 * r, 2.0 * r)), &paint);
            }
            Self::Triangle => canvas.polygon(
                &[corner(0.0, -1.2), corner(1.1, 0.8), corner(-1.1, 0.8)],
                &paint,
            ),
            Self::Diamond => canvas.polygon(
                &[
                    corner(0.0, -1.25),
                    corner(1.25, 0.0),
                    corner(0.0, 1.25),
                    corner(-1.25, 0.0),
                ],
                &paint,
            ),
            Self::Ring => canvas.circle(
                at,
                0.8 * radius,
                &Paint::fill(Rgb::WHITE).edged(Stroke::new(ink, 0.5 * radius)),
            ),
        }
    }
}

/// Sizes in user units, in proportion to the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Theme {
    /// Title.
    pub title: f64,
    /// Axis titles and labels.
    pub label: f64,
    /// Tick labels.
    pub tick: f64,
    /// The line of assumptions below.
    pub footer: f64,
    /// Data lines.
    pub line: f64,
    /// Axes and thin lines.
    pub hair: f64,
    /// Markers.
    pub marker: f64,
    /// Space around.
    pub margin: f64,
}

impl Theme {
    /// For a picture of this size: 1200 × 800 is scale 1; text never below 9 px, on a phone 10.
    #[must_use]
    pub fn for_size(size: Size) -> Self {
        let (w, h) = (f64::from(size.width_px), f64::from(size.height_px));
        let k = (w / 1200.0).min(h / 800.0).max(0.36);
        // Upright and narrow is a phone, held a little farther off than paper.
        let least = if h > w && w < 500.0 { 10.0 } else { 9.0 };
        let text = |px: f64| (px * k).max(least);
        Self {
            title: text(32.0),
            label: text(21.0),
            tick: text(19.0),
            footer: text(16.0),
            line: 3.5 * k,
            hair: 1.5 * k,
            marker: 6.5 * k,
            margin: 26.0 * k,
        }
    }

    /// The stroke of line `index`.
    #[must_use]
    pub fn series_stroke(&self, index: usize) -> Stroke {
        let i = index % colour::LINE_COLOURS.len();
        Stroke::new(colour::LINE_COLOURS[i], self.line).dashed(DASHES[i])
    }
}

/// The words around a chart.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Caption {
    /// The question or the finding.
    pub title: String,
    /// What is held fixed; may be empty.
    pub subtitle: String,
    /// What is assumed; may be empty.
    pub footer: String,
    /// The picture in words, for those who do not see it.
    pub desc: String,
}

/// A chart with its title and footer drawn and the room between them.
#[derive(Debug)]
pub struct Board {
    /// Draw here.
    pub canvas: Canvas,
    /// Sizes.
    pub theme: Theme,
    /// The room left.
    pub body: Rect,
    size: Size,
}

impl Board {
    /// Draws title, subtitle and footer.
    #[must_use]
    pub fn new(size: Size, caption: &Caption) -> Self {
        let theme = Theme::for_size(size);
        let mut canvas = Canvas::new(
            f64::from(size.width_px),
            f64::from(size.height_px),
            Unit::Px,
        );
        let (m, area) = (theme.margin, canvas.area());
        let width = area.width() - 2.0 * m;
        let block = |size: f64, weight, max_lines| Block {
            size,
            smallest: (0.7 * size).max(9.0),
            weight,
            max_width: width,
            max_lines,
        };
        let mut y = 0.7 * m;
        let title = block(theme.title, Weight::Bold, 2).fit(&caption.title);
        for line in &title.lines {
            y += text::LINE_EM * title.size;
            canvas.text(&Text::new(line, Point::new(m, y - 0.3 * title.size), title.size).bold());
        }
        if !caption.subtitle.is_empty() {
            let sub = block(theme.label, Weight::Regular, 2).fit(&caption.subtitle);
            for line in &sub.lines {
                y += text::LINE_EM * sub.size;
                let at = Point::new(m, y - 0.3 * sub.size);
                canvas.text(&Text::new(line, at, sub.size).colour(colour::SOFT_INK));
            }
        }
        let top = y + 0.5 * m;
        let mut bottom = area.y1 - 0.7 * m;
        if !caption.footer.is_empty() {
            let foot = block(theme.footer, Weight::Regular, 2).fit(&caption.footer);
            for line in foot.lines.iter().rev() {
                let at = Point::new(m, bottom - text::DESCENT_EM * foot.size);
                canvas.text(&Text::new(line, at, foot.size).colour(colour::SOFT_INK));
                bottom -= text::LINE_EM * foot.size;
            }
            bottom -= 0.4 * m;
        }
        let body = Rect::new(m, top, area.x1 - m, bottom.max(top));
        Self {
            canvas,
            theme,
            body,
            size,
        }
    }

    /// The finished picture.
    ///
    /// # Errors
    /// [`DrawError::TooSmall`] when the words left no room for the picture.
    pub fn finish(self, caption: &Caption) -> Result<Picture, DrawError> {
        Ok(Picture {
            svg: self.canvas.finish(&caption.title, &caption.desc),
            title: said(&caption.title).into_owned(),
            desc: said(&caption.desc).into_owned(),
            width_px: self.size.width_px,
            height_px: self.size.height_px,
        })
    }

    /// Checks that at least this much room is left for the drawing itself.
    ///
    /// # Errors
    /// [`DrawError::TooSmall`].
    pub fn need(&self, width: f64, height: f64) -> Result<(), DrawError> {
        if self.body.width() < width || self.body.height() < height {
            return Err(DrawError::TooSmall {
                width_px: self.size.width_px,
                height_px: self.size.height_px,
            });
        }
        Ok(())
    }
}
