//! What several sheets draw: blocks of text, dimension lines, tables to fill in.

use kurbo::{Point, Rect, Vec2};

use super::fault::SheetError;
use super::page::{BODY_PT, MM_PER_PT, PLAIN_PT, Sheet, cut_marks};
use crate::charts::in_words_of;
use crate::draw::Paper;
use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use crate::draw::colour;
use crate::draw::tags::Tag;
use crate::draw::text::{self, Weight};
use crate::gear::Gear;
use crate::player::AimError;
use crate::speech::{Speech, WordSet};
use crate::units::{Angle, Length, Speed, UnitSystem, speak};

/// How a sheet is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// The paper.
    pub paper: Paper,
    /// Large letters, no degrees, no decimals: for children and beginners.
    pub plain: bool,
    /// Units of the words.
    pub units: UnitSystem,
    /// Whose words; those of the table where nobody says.
    pub words: Option<WordSet>,
}

impl Style {
    /// Prints something with the words of a table, unless others were asked for: its text and its pictures.
    pub(super) fn printed_on<T>(&self, gear: &Gear, print: impl FnOnce(&Self) -> T) -> T {
        let words = self.words.unwrap_or_else(|| WordSet::of(gear.bed.marks));
        let style = Self {
            words: Some(words),
            ..*self
        };
        in_words_of(words, || print(&style))
    }

    /// How it speaks.
    pub(super) fn speech(&self) -> Speech {
        Speech {
            units: self.units,
            plain: self.plain,
            words: self.words.unwrap_or_default(),
        }
    }

    /// An empty sheet in this style.
    pub(super) fn sheet(&self, title: impl Into<String>, desc: impl Into<String>) -> Sheet {
        let size = if self.plain { PLAIN_PT } else { BODY_PT };
        let speech = self.speech();
        let (title, desc) = (speech.said(&title.into()), speech.said(&desc.into()));
        Sheet::new(title, desc, self.paper, size).speaking(speech)
    }

    /// Height of body letters, mm.
    pub(super) fn body_mm(&self) -> f64 {
        MM_PER_PT * if self.plain { PLAIN_PT } else { BODY_PT }
    }

    /// Height of the letters in pictures, mm; never below 8 pt.
    pub(super) fn label_mm(&self) -> f64 {
        MM_PER_PT * if self.plain { PLAIN_PT } else { 8.0 }
    }

    /// A length that is measured with a ruler: whole millimetres on plain sheets.
    pub(super) fn measure(&self, m: f64) -> String {
        let (mm, inches) = (1e3 * m, m / 0.0254);
        match (self.plain, self.units) {
            (true, UnitSystem::Metric) => format!("{mm:.0} mm"),
            (true, UnitSystem::Inches) => sixteenths(inches),
            (false, UnitSystem::Metric) => format!("{mm:.1} mm"),
            (false, UnitSystem::Inches) => format!("{inches:.2} in"),
        }
    }

    /// A small width at true size, never said to be more than it is: `0.62 mm`, `0.024 in`; on plain
    /// sheets in whole millimetres or sixteenths of an inch, `less than 1 mm`, `not quite 2 mm`,
    /// `a little over 3 mm`.
    pub(crate) fn small(&self, m: f64) -> String {
        if !self.plain {
            return glued(&speak::small_length(Length::from_m(m), self.units));
        }
        let step_m = match self.units {
            UnitSystem::Metric => 1e-3,
            UnitSystem::Inches => 0.0254 / 16.0,
        };
        let whole = (m / step_m).round();
        // Within a twentieth of a step nobody sees a difference.
        let off = m / step_m - whole;
        let said = glued(&self.measure(step_m * whole.max(1.0)));
        match off {
            _ if m < 0.95 * step_m => format!("less than {said}"),
            off if off.abs() <= 0.05 => said,
            off if off < 0.0 => format!("not quite {said}"),
            _ => format!("a little over {said}"),
        }
    }

    /// A length along a string, as a tape shows it: to half a centimetre or a quarter of an inch.
    pub(crate) fn tape(&self, m: f64) -> String {
        let (cm, inches) = (100.0 * m, m / 0.0254);
        glued(&match (self.units, self.plain) {
            (UnitSystem::Metric, true) => format!("{cm:.0} cm"),
            (UnitSystem::Metric, false) => format!("{cm:.1} cm"),
            (UnitSystem::Inches, _) => quarters(inches),
        })
    }

    /// A speed; on plain sheets nobody asks for one.
    pub(super) fn speed(&self, m_s: f64) -> String {
        glued(&speak::speed(Speed::from_m_s(m_s), self.units))
    }

    /// How well somebody aims: `arm ±0.27°, picture ±2.5 mm`.
    pub(super) fn aim(&self, error: &AimError) -> String {
        format!(
            "stroke ±{}, sighting ±{}",
            speak::degrees(Angle::from_rad(error.arm_rad)),
            glued(&speak::small_length(
                Length::from_m(error.picture_m),
                self.units
            ))
        )
    }

    /// A distance on the table: without decimals on plain sheets.
    pub(super) fn distance(&self, m: f64) -> String {
        let words = match (self.plain, self.units) {
            (true, UnitSystem::Metric) => format!("{:.0} cm", 100.0 * m),
            _ => speak::distance(Length::from_m(m), self.units),
        };
        glued(&words)
    }
}

/// Whole makes of ten. Rounded from the one decimal that is said elsewhere, half up, so that 6.5 is the
/// same everywhere, whatever lies behind its decimal.
#[must_use]
pub fn of_ten(chance: f64) -> f64 {
    ((100.0 * chance).round() / 10.0).round()
}

/// A number and its unit stay on one line.
fn glued(words: &str) -> String {
    words.replace(' ', "\u{a0}")
}

/// `20¾ in`.
fn quarters(inches: f64) -> String {
    format!("{} in", speak::diamonds(0.25 * (4.0 * inches).round()))
}

/// `4 9/16 in`.
fn sixteenths(inches: f64) -> String {
    let mut parts = (16.0 * inches).round();
    let whole = (parts / 16.0).floor();
    parts -= 16.0 * whole;
    let mut of = 16.0;
    while parts > 0.0 && parts % 2.0 == 0.0 {
        parts /= 2.0;
        of /= 2.0;
    }
    match (whole > 0.0, parts > 0.0) {
        (_, false) => format!("{whole:.0} in"),
        (false, true) => format!("{parts:.0}/{of:.0} in"),
        (true, true) => format!("{whole:.0} {parts:.0}/{of:.0} in"),
    }
}

/// Height a wrapped text takes, mm.
pub(super) fn block_height(words: &str, size_mm: f64, width_mm: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a few lines")]
    let lines = text::wrap(words, size_mm, Weight::Regular, width_mm).len() as f64;
    lines * text::LINE_EM * size_mm
}

/// Wrapped text from the top left of `place`, a part of its own; returns where it ends.
///
/// # Errors
/// [`SheetError::TooLarge`] when it does not fit.
pub(super) fn block(
    canvas: &mut Canvas,
    words: &str,
    size_mm: f64,
    place: Rect,
) -> Result<f64, SheetError> {
    let height = block_height(words, size_mm, place.width());
    if height > place.height() + 0.01 {
        return Err(SheetError::TooLarge {
            what: format!(
                "the text \"{}…\"",
                words.chars().take(30).collect::<String>()
            ),
            width_mm: place.width(),
            height_mm: height,
            room_width_mm: place.width(),
            room_height_mm: place.height(),
        });
    }
    canvas.part(Tag::Paragraph);
    let mut base = place.y0 + text::ASCENT_EM * size_mm;
    for line in text::wrap(words, size_mm, Weight::Regular, place.width()) {
        canvas.text(&Text::new(&line, Point::new(place.x0, base), size_mm));
        base += text::LINE_EM * size_mm;
    }
    Ok(place.y0 + height)
}

/// Height bold words take, mm.
pub(super) fn bold_height(words: &str, size_mm: f64, width_mm: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a few lines")]
    let lines = text::wrap(words, size_mm, Weight::Bold, width_mm).len() as f64;
    lines * text::LINE_EM * size_mm
}

/// Bold words from the top left of `place`, as wide as it is; returns where they end.
pub(super) fn bold(canvas: &mut Canvas, words: &str, size_mm: f64, place: Rect) -> f64 {
    let mut base = place.y0 + text::ASCENT_EM * size_mm;
    for line in text::wrap(words, size_mm, Weight::Bold, place.width()) {
        canvas.text(&Text::new(&line, Point::new(place.x0, base), size_mm).bold());
        base += text::LINE_EM * size_mm;
    }
    place.y0 + bold_height(words, size_mm, place.width())
}

/// A line with an arrow head at both ends.
pub(super) fn dimension(canvas: &mut Canvas, from: Point, to: Point) {
    let stroke = Stroke::new(colour::SOFT_INK, 0.25);
    let middle = from.midpoint(to);
    canvas.arrow(middle, from, &stroke);
    canvas.arrow(middle, to, &stroke);
}

/// A label in the size of the style.
pub(super) fn label(canvas: &mut Canvas, style: &Style, words: &str, at: Point, anchor: Anchor) {
    let words = style.speech().said(words);
    canvas.text(&Text::new(&words, at, style.label_mm()).anchor(anchor));
}

/// Where a table's columns begin, as shares of its width, and its cells.
pub(super) struct Table<'a> {
    /// Shares of the width, ascending from 0.
    pub(super) columns: &'a [f64],
    /// Words of the first row, in bold.
    pub(super) head: &'a [String],
    /// The rows; an empty cell is room to write.
    pub(super) rows: &'a [Vec<String>],
}

/// Height of a row of a table, mm.
pub(super) fn row_mm(style: &Style) -> f64 {
    if style.plain { 10.5 } else { 7.4 }
}

/// A table with a line below each row; words wrap in their cell, and a row is never split over pages.
///
/// # Errors
/// [`SheetError::TooLarge`].
pub(super) fn table(sheet: &mut Sheet, style: &Style, table: &Table<'_>) -> Result<(), SheetError> {
    let size = style.body_mm();
    let line_mm = text::LINE_EM * size;
    let rows = std::iter::once((table.head, Weight::Bold))
        .chain(table.rows.iter().map(|r| (r.as_slice(), Weight::Regular)));
    for (cells, weight) in rows {
        let row = sheet.next_row();
        let cells = table.wrapped(sheet.room().width(), cells, weight, style);
        let more = cells.iter().map(|lines| lines.len().max(1) - 1).max();
        #[expect(clippy::cast_precision_loss, reason = "a few lines")]
        let more_mm = more.unwrap_or(0) as f64 * line_mm;
        let (canvas, strip) = sheet.reserve("a row of a table", row_mm(style) + more_mm)?;
        let ends = table.columns.iter().skip(1).chain(&[1.0]);
        for ((share, end), lines) in table.columns.iter().zip(ends).zip(cells) {
            let head = weight == Weight::Bold;
            canvas.part(Tag::Cell { row, head });
            let across = |share: f64, y: f64| Point::new(strip.x0 + share * strip.width(), y);
            let mut base = strip.y0 + 0.7 * row_mm(style);
            for words in &lines {
                let t = Text::new(words, across(*share, base), size);
                canvas.text(&if head { t.bold() } else { t });
                base += line_mm;
            }
            let below = (across(*share, strip.y1), across(*end, strip.y1));
            canvas.line(below.0, below.1, &Stroke::new(colour::SOFT_INK, 0.2));
        }
    }
    Ok(())
}

impl Table<'_> {
    /// The lines of each cell of a row; cells that are not given are empty.
    fn wrapped(
        &self,
        width_mm: f64,
        cells: &[String],
        weight: Weight,
        style: &Style,
    ) -> Vec<Vec<String>> {
        /// Between the words of a cell and the next cell, mm.
        const APART_MM: f64 = 1.0;
        let ends = self.columns.iter().skip(1).chain(&[1.0]);
        let cells = cells
            .iter()
            .map(String::as_str)
            .chain(std::iter::repeat(""));
        let each = self.columns.iter().zip(ends).zip(cells);
        each.map(|((share, end), words)| {
            let room_mm = (end - share) * width_mm - APART_MM;
            text::wrap(
                &style.speech().said(words),
                style.body_mm(),
                weight,
                room_mm,
            )
        })
        .collect()
    }
}

/// Two words on one line, each with room to write after it.
///
/// # Errors
/// [`SheetError`].
pub(super) fn blanks(sheet: &mut Sheet, style: &Style, words: [&str; 2]) -> Result<(), SheetError> {
    let size = style.body_mm();
    let (canvas, strip) = sheet.reserve("a line to write on", 2.2 * size)?;
    canvas.part(Tag::Paragraph);
    let base = strip.y1 - 0.4 * size;
    let half = 0.5 * strip.width();
    for (x, word) in [strip.x0, strip.x0 + half].into_iter().zip(words) {
        canvas.text(&Text::new(word, Point::new(x, base), size));
        let from = x + text::width(word, size, Weight::Regular) + 2.0;
        let stroke = Stroke::new(colour::SOFT_INK, 0.2);
        canvas.line(
            Point::new(from, base),
            Point::new(x + half - 4.0, base),
            &stroke,
        );
    }
    Ok(())
}

/// What the marks of a piece need around it, mm.
pub(super) const AROUND_MM: f64 = 5.5;

/// A piece to cut out: a dashed edge and marks at its corners, [`AROUND_MM`] long.
pub(super) fn piece(canvas: &mut Canvas, edge: Rect) {
    let stroke = Stroke::new(colour::SOFT_INK, 0.2).dashed(&[10.0, 8.0]);
    canvas.rect(edge, &Paint::line(stroke));
    cut_marks(canvas, edge);
}

/// Points of an arc whose chords stay within 0.01 mm of a circle of up to 150 mm.
pub(super) fn fine_arc(centre: Point, radius: f64, from_rad: f64, to_rad: f64) -> Vec<Point> {
    // Sagitta r(1 − cos(s/2)) ≤ 0.01 mm at r = 150 mm gives s ≤ 0.023 rad.
    const STEP_RAD: f64 = 0.02;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a turn at most"
    )]
    let steps = ((to_rad - from_rad).abs() / STEP_RAD).ceil().max(1.0) as u32;
    (0..=steps)
        .map(|i| {
            let a = from_rad + (to_rad - from_rad) * f64::from(i) / f64::from(steps);
            centre + Vec2::from_angle(a) * radius
        })
        .collect()
}
