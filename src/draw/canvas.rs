//! A small typed canvas that writes SVG: shapes, text with measured boxes, groups with data.
//!
//! Everything is in user units (pixels or millimetres) with y down; the only transform written is a
//! text's rotation about its own anchor, so that a reader of the file needs no matrix to find a
//! point. Numbers carry at most three decimals.

use std::borrow::Cow;
use std::fmt::Write as _;

use kurbo::{Point, Rect, Vec2};

use super::colour::Rgb;
pub use super::paint::{Paint, Stroke};
use super::tags::Tag;
use super::text::{self, Weight};
use super::wording::said;
use super::xml::{escape, num};

/// What one user unit is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// A CSS pixel, 1/96 in.
    Px,
    /// A millimetre at true size.
    Mm,
}

impl Unit {
    fn suffix(self) -> &'static str {
        match self {
            Self::Px => "",
            Self::Mm => "mm",
        }
    }
}

/// Which point of a line of text is its position.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Anchor {
    /// Left end.
    #[default]
    Start,
    /// Middle.
    Middle,
    /// Right end.
    End,
}

impl Anchor {
    fn name(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// One line of text on its baseline.
#[derive(Debug, Clone, PartialEq)]
pub struct Text<'a> {
    content: Cow<'a, str>,
    at: Point,
    size: f64,
    anchor: Anchor,
    weight: Weight,
    colour: Rgb,
    rotation_deg: f64,
}

impl<'a> Text<'a> {
    /// Text with its baseline starting at `at`.
    #[must_use]
    pub fn new(content: &'a str, at: Point, size: f64) -> Self {
        Self {
            content: said(content),
            at,
            size,
            anchor: Anchor::Start,
            weight: Weight::Regular,
            colour: super::colour::INK,
            rotation_deg: 0.0,
        }
    }

    /// Anchored elsewhere than at the start.
    #[must_use]
    pub fn anchor(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// Moves the baseline down so that the capitals' middle is at the position.
    #[must_use]
    pub fn centred(mut self) -> Self {
        let (s, c) = self.rotation_deg.to_radians().sin_cos();
        self.at += Vec2::new(-s, c) * (0.5 * text::CAP_EM * self.size);
        self
    }

    /// In bold.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.weight = Weight::Bold;
        self
    }

    /// In another colour.
    #[must_use]
    pub fn colour(mut self, colour: Rgb) -> Self {
        self.colour = colour;
        self
    }

    /// Turned clockwise about its position; call before [`Text::centred`].
    #[must_use]
    pub fn rotated(mut self, degrees: f64) -> Self {
        self.rotation_deg = degrees;
        self
    }

    /// The box around it (around its turned box, when rotated).
    #[must_use]
    pub fn bounds(&self) -> Rect {
        let w = text::width(&self.content, self.size, self.weight);
        let left = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -0.5 * w,
            Anchor::End => -w,
        };
        let (top, bottom) = (-text::CAP_EM * self.size, text::DESCENT_EM * self.size);
        let (s, c) = self.rotation_deg.to_radians().sin_cos();
        let turn = |x: f64, y: f64| self.at + Vec2::new(c * x - s * y, s * x + c * y);
        let a = Rect::from_points(turn(left, top), turn(left + w, bottom));
        let b = Rect::from_points(turn(left + w, top), turn(left, bottom));
        a.union(b)
    }
}

fn path_data(points: &[Point], closed: bool) -> String {
    let mut d = String::with_capacity(12 * points.len());
    for (i, p) in points.iter().enumerate() {
        d.push(if i == 0 { 'M' } else { 'L' });
        let _ = write!(d, "{} {}", num(p.x), num(p.y));
    }
    if closed {
        d.push('Z');
    }
    d
}

/// An SVG picture being drawn.
#[derive(Debug, Clone)]
pub struct Canvas {
    width: f64,
    height: f64,
    unit: Unit,
    body: String,
    open_groups: usize,
    clips: usize,
    texts: Vec<Rect>,
    parts: Vec<Tag>,
    /// Where the open part's group and what is in it begin.
    part_from: Option<(usize, usize)>,
}

impl Canvas {
    /// A white canvas.
    #[must_use]
    pub fn new(width: f64, height: f64, unit: Unit) -> Self {
        let mut canvas = Self {
            width,
            height,
            unit,
            body: String::new(),
            open_groups: 0,
            clips: 0,
            texts: Vec::new(),
            parts: Vec::new(),
            part_from: None,
        };
        canvas.rect(canvas.area(), &Paint::fill(Rgb::WHITE));
        canvas
    }

    /// The whole of it.
    #[must_use]
    pub fn area(&self) -> Rect {
        Rect::new(0.0, 0.0, self.width, self.height)
    }

    /// One pixel of a screen, or what it is on paper, in user units.
    #[must_use]
    pub fn least_letters(&self) -> f64 {
        match self.unit {
            Unit::Px => 1.0,
            Unit::Mm => 25.4 / 96.0,
        }
    }

    /// The boxes of all texts so far, for placing the next one.
    #[must_use]
    pub fn text_boxes(&self) -> &[Rect] {
        &self.texts
    }

    /// Whether a text box would lie on the canvas and touch no other text.
    #[must_use]
    pub fn is_free(&self, label: Rect) -> bool {
        let whole = self.area().contains_rect(label);
        whole && !self.texts.iter().any(|t| overlap(*t, label))
    }

    /// Rectangle.
    pub fn rect(&mut self, r: Rect, paint: &Paint) {
        let _ = writeln!(
            self.body,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{}/>",
            num(r.x0),
            num(r.y0),
            num(r.width()),
            num(r.height()),
            paint.attributes()
        );
    }

    /// Circle.
    pub fn circle(&mut self, centre: Point, radius: f64, paint: &Paint) {
        let _ = writeln!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>",
            num(centre.x),
            num(centre.y),
            num(radius),
            paint.attributes()
        );
    }

    /// Open line through points.
    pub fn polyline(&mut self, points: &[Point], stroke: &Stroke) {
        if points.len() > 1 {
            self.path(
                &path_data(points, false),
                &Paint::line(stroke.clone()),
                false,
            );
        }
    }

    /// Straight line.
    pub fn line(&mut self, from: Point, to: Point, stroke: &Stroke) {
        self.polyline(&[from, to], stroke);
    }

    /// Closed shape.
    pub fn polygon(&mut self, points: &[Point], paint: &Paint) {
        if points.len() > 2 {
            self.path(&path_data(points, true), paint, false);
        }
    }

    /// Several closed rings at once; a ring inside a ring is a hole.
    pub fn rings(&mut self, rings: &[Vec<Point>], paint: &Paint) {
        let d: String = rings
            .iter()
            .filter(|r| r.len() > 2)
            .map(|r| path_data(r, true))
            .collect();
        if !d.is_empty() {
            self.path(&d, paint, true);
        }
    }

    fn path(&mut self, d: &str, paint: &Paint, even_odd: bool) {
        let rule = if even_odd {
            " fill-rule=\"evenodd\""
        } else {
            ""
        };
        let _ = writeln!(self.body, "<path d=\"{d}\"{}{rule}/>", paint.attributes());
    }

    /// Line with an arrow head at its end.
    pub fn arrow(&mut self, from: Point, to: Point, stroke: &Stroke) {
        let d = to - from;
        let length = d.hypot();
        if length <= 0.0 {
            return;
        }
        let along = d / length;
        let across = Vec2::new(-along.y, along.x);
        let head = (5.0 * stroke.width).min(0.6 * length);
        let base = to - along * head;
        self.line(from, base, stroke);
        self.polygon(
            &[
                to,
                base + across * (0.4 * head),
                base - across * (0.4 * head),
            ],
            &Paint::fill(stroke.colour),
        );
    }

    /// One line of text.
    pub fn text(&mut self, t: &Text<'_>) {
        if t.content.trim().is_empty() {
            return;
        }
        self.texts.push(t.bounds());
        let _ = write!(
            self.body,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{}\" fill=\"{}\"",
            num(t.at.x),
            num(t.at.y),
            num(t.size),
            t.anchor.name(),
            t.colour
        );
        if t.weight == Weight::Bold {
            self.body.push_str(" font-weight=\"bold\"");
        }
        if t.rotation_deg != 0.0 {
            let _ = write!(
                self.body,
                " transform=\"rotate({} {} {})\"",
                num(t.rotation_deg),
                num(t.at.x),
                num(t.at.y)
            );
        }
        let _ = writeln!(self.body, ">{}</text>", escape(&t.content));
    }

    /// Opens a group carrying attributes, such as `("class", "series")` or `("data-x", "1 2 3")`.
    pub fn open_group(&mut self, attributes: &[(&str, &str)]) {
        self.body.push_str("<g");
        for (name, value) in attributes {
            let _ = write!(self.body, " {name}=\"{}\"", escape(value));
        }
        self.body.push_str(">\n");
        self.open_groups += 1;
    }

    /// Closes the group opened last.
    pub fn close_group(&mut self) {
        if self.open_groups > 0 {
            self.body.push_str("</g>\n");
            self.open_groups -= 1;
        }
    }

    /// What is drawn from here on is this; call it between groups, never inside one. A part in which
    /// nothing is drawn is dropped.
    ///
    /// Parts are isolated groups, so that a PDF paints each of them on its own.
    pub fn part(&mut self, tag: Tag) {
        self.end_part();
        let before = self.body.len();
        self.open_group(&[("class", "part"), ("style", "isolation:isolate")]);
        self.parts.push(tag);
        self.part_from = Some((before, self.body.len()));
    }

    /// Ends the part begun last, if there is one.
    fn end_part(&mut self) {
        let Some((before, inside)) = self.part_from.take() else {
            return;
        };
        let empty = self.body.len() == inside;
        self.close_group();
        if empty {
            self.body.truncate(before);
            self.parts.pop();
        }
    }

    /// Ends the last part and gives what the parts are, in order.
    pub(crate) fn take_parts(&mut self) -> Vec<Tag> {
        self.end_part();
        std::mem::take(&mut self.parts)
    }

    /// A finished SVG of its own, `width` by `height`, scaled into a place.
    pub fn picture(&mut self, svg: &str, width: f64, height: f64, place: Rect) {
        let scale = (place.width() / width).min(place.height() / height);
        // Below title and description; names of clips are the page's own.
        let inner = svg
            .split_once("</desc>")
            .map_or(svg, |(_, rest)| rest)
            .trim_end()
            .trim_end_matches("</svg>");
        self.clips += 1;
        let own = format!("in{}clip", self.clips);
        let inner = inner
            .replace("id=\"clip", &format!("id=\"{own}"))
            .replace("url(#clip", &format!("url(#{own}"));
        let _ = writeln!(
            self.body,
            "<g transform=\"translate({} {}) scale({scale:.6})\">{inner}</g>",
            num(place.x0),
            num(place.y0)
        );
    }

    /// Opens a group of which only the inside of `window` shows.
    pub fn open_clip(&mut self, window: &Clip) {
        self.clips += 1;
        let id = format!("clip{}", self.clips);
        let _ = write!(self.body, "<clipPath id=\"{id}\">");
        match window {
            Clip::Rect(r) => self.rect(*r, &Paint::default()),
            Clip::Circle { centre, radius } => self.circle(*centre, *radius, &Paint::default()),
        }
        self.body.push_str("</clipPath>\n");
        self.open_group(&[("clip-path", &format!("url(#{id})"))]);
    }

    /// The finished file. Groups left open are closed.
    #[must_use]
    pub fn finish(mut self, title: &str, desc: &str) -> String {
        while self.open_groups > 0 {
            self.close_group();
        }
        let (w, h, u) = (num(self.width), num(self.height), self.unit.suffix());
        // Families after the first serve browsers without the bundled one; PNG and PDF use the first.
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}{u}\" height=\"{h}{u}\" \
             viewBox=\"0 0 {w} {h}\" role=\"img\" aria-labelledby=\"title desc\" lang=\"en\" \
             font-family=\"'DejaVu Sans', Verdana, sans-serif\">\n\
             <title id=\"title\">{}</title>\n<desc id=\"desc\">{}</desc>\n{}</svg>\n",
            escape(&said(title)),
            escape(&said(desc)),
            self.body
        )
    }
}

/// What a clipped group shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Clip {
    /// A rectangle.
    Rect(Rect),
    /// A disc.
    Circle {
        /// Middle.
        centre: Point,
        /// Radius.
        radius: f64,
    },
}

/// Whether two boxes share area.
#[must_use]
pub fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

/// Points along a circle from one angle to another (rad, clockwise on the canvas as y points down),
/// close enough that no chord leaves the circle by more than a thousandth of its radius.
#[must_use]
pub fn arc_points(centre: Point, radius: f64, from_rad: f64, to_rad: f64) -> Vec<Point> {
    // Sagitta r(1 − cos(step/2)) ≤ r/1000 for step ≤ 0.0894 rad.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few turns at most"
    )]
    let steps = ((to_rad - from_rad).abs() / 0.0894).ceil().max(1.0) as u32;
    (0..=steps)
        .map(|i| {
            let a = from_rad + (to_rad - from_rad) * f64::from(i) / f64::from(steps);
            centre + Vec2::from_angle(a) * radius
        })
        .collect()
}
