//! Text measured with the bundled font (DejaVu Sans), wrapped and fitted.
//!
//! Widths are sums of advances. The renderer also kerns, which changes a line by less than 2 %.
//! What is measured is what is set: the text in the words of whom the picture is for ([`said`]).

use std::sync::OnceLock;

use ttf_parser::Face;

use super::wording::said;

/// The one font family of every picture and sheet.
pub const FONT_FAMILY: &str = "DejaVu Sans";

/// Ascender and descender as shares of the font size (published: the `hhea` table of DejaVu Sans
/// 2.37, 1901 and 483 of 2048).
pub const ASCENT_EM: f64 = 0.928;
/// See [`ASCENT_EM`].
pub const DESCENT_EM: f64 = 0.236;
/// Height of capitals as a share of the font size (published: `OS/2` table, 1493 of 2048).
pub const CAP_EM: f64 = 0.729;
/// Baseline to baseline as a share of the font size (common practice).
pub const LINE_EM: f64 = 1.3;

/// Thickness of the letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Weight {
    /// Ordinary text.
    #[default]
    Regular,
    /// Titles.
    Bold,
}

/// The bundled font's bytes.
#[must_use]
pub fn font_data(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => dejavu::sans::regular(),
        Weight::Bold => dejavu::sans::bold(),
    }
}

fn face(weight: Weight) -> Option<&'static Face<'static>> {
    static FACES: [OnceLock<Option<Face<'static>>>; 2] = [OnceLock::new(), OnceLock::new()];
    FACES[usize::from(weight == Weight::Bold)]
        .get_or_init(|| Face::parse(font_data(weight), 0).ok())
        .as_ref()
}

/// Width of `text` at `size`, in the unit of `size`.
#[must_use]
pub fn width(text: &str, size: f64, weight: Weight) -> f64 {
    let text = said(text);
    // A character the font lacks is drawn as its empty box, glyph 0.
    let Some(face) = face(weight) else {
        return text.chars().map(|_| 0.7 * size).sum();
    };
    let units: f64 = text
        .chars()
        .map(|c| {
            let glyph = face.glyph_index(c).unwrap_or(ttf_parser::GlyphId(0));
            f64::from(face.glyph_hor_advance(glyph).unwrap_or(0))
        })
        .sum();
    units * size / f64::from(face.units_per_em())
}

/// Whether the bundled font has every character of `text`.
#[must_use]
pub fn covers(text: &str) -> bool {
    face(Weight::Regular).is_some_and(|f| text.chars().all(|c| f.glyph_index(c).is_some()))
}

/// Splits at spaces so that no line is wider than `max_width`; a single longer word is cut.
#[must_use]
pub fn wrap(text: &str, size: f64, weight: Weight, max_width: f64) -> Vec<String> {
    // As a whole, since a phrase may fall on two lines.
    let text = said(text);
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        for word in paragraph.split(' ').filter(|w| !w.is_empty()) {
            let joined = if line.is_empty() {
                word.to_owned()
            } else {
                format!("{line} {word}")
            };
            if width(&joined, size, weight) <= max_width {
                line = joined;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line = cut_word(word, size, weight, max_width, &mut lines);
        }
        lines.push(line);
    }
    lines
}

/// Pushes the full lines of a word too long for one, and returns what is left of it.
fn cut_word(
    word: &str,
    size: f64,
    weight: Weight,
    max_width: f64,
    lines: &mut Vec<String>,
) -> String {
    let mut rest = String::new();
    for c in word.chars() {
        rest.push(c);
        if width(&rest, size, weight) > max_width && rest.chars().count() > 1 {
            rest.pop();
            lines.push(std::mem::replace(&mut rest, c.to_string()));
        }
    }
    rest
}

/// Lines and the size at which they fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// The lines, top to bottom.
    pub lines: Vec<String>,
    /// Font size.
    pub size: f64,
}

/// How a block of text may be set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// Preferred font size.
    pub size: f64,
    /// Smallest font size.
    pub smallest: f64,
    /// Letters.
    pub weight: Weight,
    /// Room.
    pub max_width: f64,
    /// Lines at most; at the smallest size more are used rather than text lost.
    pub max_lines: usize,
}

impl Block {
    /// Shrinks by 4 % steps until the text needs no more than the lines allowed.
    #[must_use]
    pub fn fit(&self, text: &str) -> Fitted {
        let mut size = self.size;
        loop {
            let lines = wrap(text, size, self.weight, self.max_width);
            if lines.len() <= self.max_lines || size <= self.smallest {
                let lines = self.balanced(text, size, lines);
                return Fitted { lines, size };
            }
            size = (0.96 * size).max(self.smallest);
        }
    }

    /// The same number of lines, as even as words allow, so that no word is left alone.
    fn balanced(&self, text: &str, size: f64, lines: Vec<String>) -> Vec<String> {
        let (mut best, mut narrow, mut wide) = (lines, 0.0, self.max_width);
        if best.len() < 2 {
            return best;
        }
        // Ten halvings leave a thousandth of the width.
        for _ in 0..10 {
            let middle = 0.5 * (narrow + wide);
            let tried = wrap(text, size, self.weight, middle);
            let cut_words = tried.concat().len() != best.concat().len();
            if tried.len() > best.len() || cut_words {
                narrow = middle;
            } else {
                wide = middle;
                best = tried;
            }
        }
        best
    }
}

/// A number for a tick or a label: at most six significant digits, no trailing zeros, a real
/// minus sign.
#[must_use]
pub fn number(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let magnitude = value.abs().log10().floor();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0..=12"
    )]
    let decimals = (5.0 - magnitude).clamp(0.0, 12.0) as usize;
    crate::units::decimals(value, decimals).replace('-', "\u{2212}")
}
