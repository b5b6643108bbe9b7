//! Pages at true size, in millimetres: margins, check bars where size matters, page numbers, flowing text.

use kurbo::{Point, Rect};

use super::fault::SheetError;
use crate::draw::Paper;
use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke, Text, Unit};
use crate::draw::colour::{self, Rgb};
use crate::draw::pdf::{self, Document, Page, Placement, Stamp};
use crate::draw::tags::Tag;
use crate::draw::text::{self, Weight};
use crate::speech::Speech;

/// Millimetres in a typographic point (published: 1 pt = 1/72 in, 1 in = 25.4 mm).
pub const MM_PER_PT: f64 = 25.4 / 72.0;
/// Free border, mm (common practice: printers reach to about 5 mm).
pub const MARGIN_MM: f64 = 15.0;
/// Height of the strip with check bars and page number, mm (assumption).
const STRIP_MM: f64 = 19.0;
/// The same with the page number alone.
const NUMBER_STRIP_MM: f64 = 7.0;
/// Check bars, from the middle of one end line to the middle of the other, mm.
const BAR_METRIC_MM: f64 = 100.0;
const BAR_INCH_MM: f64 = 101.6;
/// Thickness of a bar's end lines, mm.
const BAR_END_MM: f64 = 0.4;
/// Body text, pt (common practice).
pub const BODY_PT: f64 = 10.5;
/// Text for children and beginners, pt.
pub const PLAIN_PT: f64 = 16.0;
/// Headings against body text.
const HEADING: f64 = 1.45;
/// Space below a paragraph against body text.
const PARAGRAPH: f64 = 0.45;

/// A booklet being laid out. New pages begin when there is no room left.
#[derive(Debug)]
pub struct Sheet {
    title: String,
    desc: String,
    paper: Paper,
    body_pt: f64,
    running: Option<String>,
    pages: Vec<Canvas>,
    /// Of each page, whether it has check bars.
    sized: Vec<bool>,
    /// Whether the next page has.
    size_matters: bool,
    cursor_mm: f64,
    /// Where content begins on this page.
    top_mm: f64,
    headings: u32,
    rows: u32,
    /// Whose words it has.
    speech: Speech,
}

impl Sheet {
    /// An empty booklet. `body_pt` is [`BODY_PT`] or, for children and beginners, [`PLAIN_PT`].
    #[must_use]
    pub fn new(
        title: impl Into<String>,
        desc: impl Into<String>,
        paper: Paper,
        body_pt: f64,
    ) -> Self {
        Self {
            title: title.into(),
            desc: desc.into(),
            paper,
            body_pt,
            running: None,
            pages: Vec::new(),
            sized: Vec::new(),
            size_matters: true,
            cursor_mm: 0.0,
            top_mm: 0.0,
            headings: 0,
            rows: 0,
            speech: Speech::default(),
        }
    }

    /// The same for other listeners: headings and paragraphs are in their words.
    #[must_use]
    pub fn speaking(self, speech: Speech) -> Self {
        Self { speech, ..self }
    }

    /// Whether pages begun from now on have check bars, as they have where nobody says: what is only to be
    /// read needs none.
    pub fn size_matters(&mut self, matters: bool) {
        self.size_matters = matters;
    }

    /// The numbers of the pages with check bars.
    #[must_use]
    pub fn sized_pages(&self) -> Vec<usize> {
        (1..)
            .zip(&self.sized)
            .filter_map(|(page, sized)| sized.then_some(page))
            .collect()
    }

    /// Room for content on this page, or on the first to come; mm from the top left corner of the paper.
    #[must_use]
    pub fn room(&self) -> Rect {
        self.room_of(self.sized.last().copied().unwrap_or(self.size_matters))
    }

    fn room_of(&self, sized: bool) -> Rect {
        let (w, h) = self.paper.size_mm();
        let strip = if sized { STRIP_MM } else { NUMBER_STRIP_MM };
        Rect::new(MARGIN_MM, MARGIN_MM, w - MARGIN_MM, h - MARGIN_MM - strip)
    }

    /// Height of the letters, mm.
    #[must_use]
    pub fn body_mm(&self) -> f64 {
        self.body_pt * MM_PER_PT
    }

    /// Pages so far.
    #[must_use]
    pub fn page_count(&self) -> usize {
        self.pages.len()
    }

    /// Begins every page but the first with these words, so that a page alone is still known.
    pub fn run_head(&mut self, words: impl Into<String>) {
        self.running = Some(self.speech.said(&words.into()));
    }

    /// Height of the running words and the space below them, mm.
    fn running_mm(&self) -> f64 {
        self.running
            .as_ref()
            .map_or(0.0, |_| text::LINE_EM * self.body_pt * MM_PER_PT + 2.0)
    }

    /// Starts a new page.
    pub fn break_page(&mut self) {
        let (w, h) = self.paper.size_mm();
        let mut page = Canvas::new(w, h, Unit::Mm);
        self.sized.push(self.size_matters);
        let room = self.room();
        self.top_mm = room.y0;
        if let Some(words) = self.running.as_ref().filter(|_| !self.pages.is_empty()) {
            let size = self.body_pt * MM_PER_PT;
            page.part(Tag::Artifact);
            let base = Point::new(room.x0, room.y0 + text::ASCENT_EM * size);
            for line in shortened(words, size, room.width(), 1) {
                page.text(&Text::new(&line, base, size).colour(colour::SOFT_INK));
            }
            self.top_mm += self.running_mm();
        }
        self.pages.push(page);
        self.cursor_mm = self.top_mm;
    }

    /// A sheet like this one with its next page alone, to see what that page has room for.
    pub(super) fn next_page(&self) -> Self {
        let mut trial = Self {
            pages: Vec::new(),
            sized: Vec::new(),
            title: self.title.clone(),
            desc: self.desc.clone(),
            running: self.running.clone(),
            ..*self
        };
        trial.break_page();
        if !self.pages.is_empty() {
            trial.break_page();
        }
        trial
    }

    /// Whether so much still fits on this page.
    #[must_use]
    pub fn has_room(&self, height_mm: f64) -> bool {
        !self.pages.is_empty() && height_mm <= self.left_mm()
    }

    /// Room on a page that is not the first, mm.
    #[must_use]
    pub fn page_mm(&self) -> f64 {
        self.room_of(self.size_matters).height() - self.running_mm()
    }

    /// What is left of this page, mm.
    #[must_use]
    pub fn left_mm(&self) -> f64 {
        if self.pages.is_empty() {
            0.0
        } else {
            self.room().y1 - self.cursor_mm
        }
    }

    /// Keeps together what comes next, so many millimetres of it: on a new page where this one has
    /// less room. What is higher than a page begins where it is.
    pub fn keep(&mut self, height_mm: f64) {
        let fits = height_mm <= self.page_mm();
        if !self.pages.is_empty() && fits && !self.has_room(height_mm) {
            self.break_page();
        }
    }

    /// Height of a heading, mm.
    #[must_use]
    pub fn heading_mm(&self, words: &str) -> f64 {
        let words = self.speech.said(words);
        self.lines_mm(&words, HEADING * self.body_pt, Weight::Bold) + 1.0
    }

    /// Height of a paragraph with the space below it, mm.
    #[must_use]
    pub fn paragraph_mm(&self, words: &str) -> f64 {
        let words = self.speech.said(words);
        self.lines_mm(&words, self.body_pt, Weight::Regular) + PARAGRAPH * self.body_pt * MM_PER_PT
    }

    fn lines_mm(&self, words: &str, size_pt: f64, weight: Weight) -> f64 {
        let size = size_pt * MM_PER_PT;
        #[expect(clippy::cast_precision_loss, reason = "lines of a text")]
        let lines = text::wrap(words, size, weight, self.room().width()).len() as f64;
        lines * text::LINE_EM * size
    }

    /// Keeps `height_mm` free at the cursor, on a new page if need be, and returns the strip with
    /// the page to draw on, where a picture of `what` begins. The cursor moves below it.
    ///
    /// # Errors
    /// [`SheetError::TooLarge`] when no page is high enough.
    pub fn reserve(
        &mut self,
        what: &str,
        height_mm: f64,
    ) -> Result<(&mut Canvas, Rect), SheetError> {
        let strip = self.take(what, height_mm)?;
        let canvas = self.page()?;
        canvas.part(Tag::Figure(what.to_owned()));
        Ok((canvas, strip))
    }

    /// The strip of [`Self::reserve`].
    fn take(&mut self, what: &str, height_mm: f64) -> Result<Rect, SheetError> {
        let room = self.room();
        if height_mm > self.page_mm() {
            return Err(SheetError::TooLarge {
                what: what.to_owned(),
                width_mm: room.width(),
                height_mm,
                room_width_mm: room.width(),
                room_height_mm: room.height(),
            });
        }
        if self.pages.is_empty() || self.cursor_mm + height_mm > room.y1 {
            self.break_page();
        }
        let top = self.cursor_mm;
        self.cursor_mm += height_mm;
        Ok(Rect::new(room.x0, top, room.x1, top + height_mm))
    }

    fn page(&mut self) -> Result<&mut Canvas, SheetError> {
        let title = &self.title;
        let page = self.pages.last_mut();
        page.ok_or_else(|| SheetError::Empty(title.clone()))
    }

    /// Room for a picture, as [`Self::reserve`]; `words` say what it shows to those who do not see it.
    ///
    /// # Errors
    /// [`SheetError::TooLarge`].
    pub fn figure(
        &mut self,
        what: &str,
        words: impl Into<String>,
        height_mm: f64,
    ) -> Result<(&mut Canvas, Rect), SheetError> {
        let (canvas, strip) = self.reserve(what, height_mm)?;
        canvas.part(Tag::Figure(words.into()));
        Ok((canvas, strip))
    }

    /// The number of the next row of a table.
    pub(super) fn next_row(&mut self) -> u32 {
        self.rows += 1;
        self.rows
    }

    /// Leaves space, unless a new page has just begun.
    pub fn space(&mut self, mm: f64) {
        if self.cursor_mm > self.top_mm {
            self.cursor_mm += mm;
        }
    }

    /// A heading, kept together with the next 18 mm. The first one is the sheet's own.
    ///
    /// # Errors
    /// [`SheetError`].
    pub fn heading(&mut self, words: &str) -> Result<(), SheetError> {
        self.heading_with(words, 18.0)
    }

    /// A heading, kept together with so many millimetres of what comes next.
    ///
    /// # Errors
    /// [`SheetError`].
    pub fn heading_with(&mut self, words: &str, next_mm: f64) -> Result<(), SheetError> {
        let size = HEADING * self.body_pt;
        self.keep(self.heading_mm(words) + next_mm);
        self.headings += 1;
        let level = if self.headings == 1 { 1 } else { 2 };
        self.lines(words, size, &Tag::Heading(level))?;
        self.space(1.0);
        Ok(())
    }

    /// A paragraph in body size, wrapped; runs on over pages line by line.
    ///
    /// # Errors
    /// [`SheetError`].
    pub fn paragraph(&mut self, words: &str) -> Result<(), SheetError> {
        self.lines(words, self.body_pt, &Tag::Paragraph)?;
        self.space(PARAGRAPH * self.body_pt * MM_PER_PT);
        Ok(())
    }

    fn lines(&mut self, words: &str, size_pt: f64, tag: &Tag) -> Result<(), SheetError> {
        let bold = matches!(tag, Tag::Heading(_));
        let weight = if bold { Weight::Bold } else { Weight::Regular };
        let size = size_pt * MM_PER_PT;
        let width = self.room().width();
        let mut on_page = 0;
        let words = self.speech.said(words);
        for line in text::wrap(&words, size, weight, width) {
            let strip = self.take("a line of text", text::LINE_EM * size)?;
            let base = Point::new(strip.x0, strip.y0 + text::ASCENT_EM * size);
            let t = Text::new(&line, base, size);
            let t = if bold { t.bold() } else { t };
            let page = self.pages.len();
            let canvas = self.page()?;
            if page != on_page {
                canvas.part(tag.clone());
            }
            canvas.text(&t);
            on_page = page;
        }
        Ok(())
    }

    /// Numbers the pages, draws the check bars, and returns one SVG a page.
    ///
    /// # Errors
    /// [`SheetError::Empty`].
    pub fn svgs(self) -> Result<Vec<String>, SheetError> {
        Ok(self.finish()?.into_iter().map(|(svg, _)| svg).collect())
    }

    fn finish(self) -> Result<Vec<(String, Vec<Tag>)>, SheetError> {
        if self.pages.is_empty() {
            return Err(SheetError::Empty(self.title));
        }
        let of = self.pages.len();
        let rooms: Vec<Rect> = self.sized.iter().map(|s| self.room_of(*s)).collect();
        let sized = std::iter::zip(rooms, self.sized);
        let mut drawn = Vec::with_capacity(of);
        for (k, (mut canvas, (room, sized))) in std::iter::zip(self.pages, sized).enumerate() {
            canvas.part(Tag::Artifact);
            let foot = Foot {
                room,
                title: &self.title,
                number: format!("page {} of {of}", k + 1),
            };
            if sized {
                foot.with_bars(&mut canvas);
            } else {
                foot.alone(&mut canvas);
            }
            let parts = canvas.take_parts();
            drawn.push((canvas.finish(&self.title, &self.desc), parts));
        }
        Ok(drawn)
    }

    /// The PDF file.
    ///
    /// # Errors
    /// [`SheetError`].
    pub fn pdf(self, stamp: Stamp) -> Result<Vec<u8>, SheetError> {
        let title = self.title.clone();
        let drawn = self.finish()?;
        let pages: Vec<Page<'_>> = drawn
            .iter()
            .map(|(svg, parts)| Page { svg, parts })
            .collect();
        Ok(pdf::write(&Document {
            title: &title,
            pages: &pages,
            placement: Placement::TrueSize,
            stamp,
        })?)
    }
}

/// Height of the letters below a page, mm.
const FOOT_MM: f64 = 7.5 * MM_PER_PT;

/// What stands below a page.
struct Foot<'a> {
    room: Rect,
    title: &'a str,
    number: String,
}

impl Foot<'_> {
    fn say(canvas: &mut Canvas, words: &str, at: Point, anchor: Anchor) {
        let t = Text::new(words, at, FOOT_MM)
            .anchor(anchor)
            .colour(colour::SOFT_INK);
        canvas.text(&t);
    }

    /// How to print, two bars to check it, title and page number.
    fn with_bars(&self, canvas: &mut Canvas) {
        let room = self.room;
        let top = room.y1 + 2.5;
        Self::say(
            canvas,
            "Print at actual size (100 %). Then measure, middle to middle of the end lines:",
            Point::new(room.x0, top + FOOT_MM),
            Anchor::Start,
        );
        let bars = [(BAR_METRIC_MM, "100 mm", 6.5), (BAR_INCH_MM, "4 in", 11.5)];
        for (length, name, down) in bars {
            check_bar(canvas, Point::new(room.x0, top + down), length);
            let at = Point::new(room.x0 + length + 2.0, top + down + 0.36 * FOOT_MM);
            Self::say(canvas, name, at, Anchor::Start);
        }
        let end = room.x1;
        let at = Point::new(end, top + 11.5 + 0.36 * FOOT_MM);
        Self::say(canvas, &self.number, at, Anchor::End);
        let limit = end - (room.x0 + BAR_INCH_MM + 14.0);
        let lines = shortened(self.title, FOOT_MM, limit, 2);
        let downs = [FOOT_MM, 6.5 + 0.36 * FOOT_MM];
        for (line, down) in lines.iter().zip(&downs[2 - lines.len().min(2)..]) {
            Self::say(canvas, line, Point::new(end, top + down), Anchor::End);
        }
    }

    /// Title and page number.
    fn alone(&self, canvas: &mut Canvas) {
        let room = self.room;
        let base = room.y1 + NUMBER_STRIP_MM - text::DESCENT_EM * FOOT_MM;
        Self::say(canvas, &self.number, Point::new(room.x1, base), Anchor::End);
        let limit = room.width() - text::width(&self.number, FOOT_MM, Weight::Regular) - 6.0;
        for line in shortened(self.title, FOOT_MM, limit, 1) {
            Self::say(canvas, &line, Point::new(room.x0, base), Anchor::Start);
        }
    }
}

/// Wrapped into a few lines at most; what is left out shows as an ellipsis.
pub(super) fn shortened(words: &str, size: f64, width: f64, most: usize) -> Vec<String> {
    let mut lines = text::wrap(words, size, Weight::Regular, width);
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            last.push('…');
            while text::width(last, size, Weight::Regular) > width && last.chars().count() > 2 {
                last.truncate(last.trim_end_matches('…').len());
                last.pop();
                last.truncate(last.trim_end_matches([' ', ',']).len());
                last.push('…');
            }
        }
    }
    lines
}

/// A horizontal bar; the middles of its two end lines are exactly `length_mm` apart, the first at `left`.
pub fn check_bar(canvas: &mut Canvas, left: Point, length_mm: f64) {
    let paint = Paint::fill(Rgb::BLACK);
    let (thin, tall, end) = (0.3, 3.0, BAR_END_MM);
    let at = |x: f64, w: f64, h: f64| Rect::new(x, left.y - 0.5 * h, x + w, left.y + 0.5 * h);
    canvas.rect(at(left.x, length_mm, thin), &paint);
    for middle in [left.x, left.x + length_mm] {
        canvas.rect(at(middle - 0.5 * end, end, tall), &paint);
    }
}

/// Marks to cut along, outside the four corners of `piece`.
pub fn cut_marks(canvas: &mut Canvas, piece: Rect) {
    let hair = Stroke::new(Rgb::BLACK, 0.2);
    let (gap, long) = (1.0, 4.0);
    for (x, sx) in [(piece.x0, -1.0), (piece.x1, 1.0)] {
        for (y, sy) in [(piece.y0, -1.0), (piece.y1, 1.0)] {
            let to = |d: f64| (Point::new(x + sx * d, y), Point::new(x, y + sy * d));
            canvas.line(to(gap).0, to(gap + long).0, &hair);
            canvas.line(to(gap).1, to(gap + long).1, &hair);
        }
    }
}
