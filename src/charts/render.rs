//! From SVG to files: formats by ending, sizes, papers, PNG.

use std::path::Path;
use std::str::FromStr;
use std::sync::{Arc, OnceLock};

use resvg::tiny_skia::{Color, Pixmap, Transform};
use thiserror::Error;
use usvg::fontdb;

use super::Picture;
use super::pdf::{self, Document, Page, Placement};
use super::tags::Tag;
use super::text::{FONT_FAMILY, Weight, font_data};
use crate::field::Field;

/// A picture that cannot be written as asked.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum RenderError {
    /// The ending says no known format.
    #[error("`{0}` does not end in .svg, .png or .pdf; the ending chooses the format")]
    Format(String),
    /// Not a size.
    #[error(
        "{} `{given}`: {why}; write width x height in pixels, {MIN_WIDTH}x{MIN_HEIGHT} to {MAX_SIDE}x{MAX_SIDE}, such as 1200x800",
        Field::Size
    )]
    Size {
        /// As given.
        given: String,
        /// What is wrong.
        why: &'static str,
    },
    /// Not a paper.
    #[error("{field} `{0}` is not known; use a4 or letter", field = Field::Paper)]
    Paper(String),
    /// Not a time.
    #[error(
        "SOURCE_DATE_EPOCH `{0}` is not a time; set whole seconds since 1970, 0 to 253402300799, or unset it"
    )]
    Epoch(String),
    /// The SVG cannot be read.
    #[error("the picture could not be read back: {0}")]
    Svg(String),
    /// The picture cannot be encoded.
    #[error("the picture could not be encoded: {0}")]
    Encode(String),
}

impl RenderError {
    /// Whether somebody asked for what cannot be, rather than that something failed.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        !matches!(self, Self::Svg(_) | Self::Encode(_))
    }
}

/// Least width in pixels (assumption: below it no title can be read).
pub const MIN_WIDTH: u32 = 320;
/// Least height in pixels (assumption).
pub const MIN_HEIGHT: u32 = 240;
/// Largest width and height in pixels (assumption: 256 MB while drawing).
pub const MAX_SIDE: u32 = 8000;

/// Width and height of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// Width in pixels.
    pub width_px: u32,
    /// Height in pixels.
    pub height_px: u32,
}

impl Default for Size {
    fn default() -> Self {
        Self {
            width_px: 1200,
            height_px: 800,
        }
    }
}

impl FromStr for Size {
    type Err = RenderError;

    /// `1200x800`.
    ///
    /// # Errors
    /// [`RenderError::Size`].
    fn from_str(s: &str) -> Result<Self, RenderError> {
        let fault = |why| RenderError::Size {
            given: s.to_owned(),
            why,
        };
        let (w, h) = s
            .split_once(['x', 'X', '×'])
            .ok_or_else(|| fault("there is no `x` between two numbers"))?;
        let read = |t: &str| {
            t.trim()
                .parse::<u32>()
                .map_err(|_| fault("width and height must be whole numbers"))
        };
        let (width_px, height_px) = (read(w)?, read(h)?);
        if width_px < MIN_WIDTH || height_px < MIN_HEIGHT {
            return Err(fault("too small to read"));
        }
        if width_px > MAX_SIDE || height_px > MAX_SIDE {
            return Err(fault("too large to draw"));
        }
        Ok(Self {
            width_px,
            height_px,
        })
    }
}

/// A sheet of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 × 297 mm (published: ISO 216).
    #[default]
    A4,
    /// 8.5 × 11 in (published: ANSI/ASME Y14.1, size A).
    Letter,
}

impl Paper {
    /// As typed.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// Width and height in upright position, mm.
    #[must_use]
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

impl FromStr for Paper {
    type Err = RenderError;

    /// `a4` or `letter`, in any case.
    ///
    /// # Errors
    /// [`RenderError::Paper`].
    fn from_str(s: &str) -> Result<Self, RenderError> {
        match s.to_ascii_lowercase().as_str() {
            "a4" => Ok(Self::A4),
            "letter" => Ok(Self::Letter),
            _ => Err(RenderError::Paper(s.to_owned())),
        }
    }
}

/// A file format.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// Scalable, for the web.
    Svg,
    /// Pixels.
    Png,
    /// Paper.
    Pdf,
}

impl Format {
    /// From the ending of a file name.
    ///
    /// # Errors
    /// [`RenderError::Format`].
    pub fn from_path(path: &Path) -> Result<Self, RenderError> {
        let ending = path
            .extension()
            .map(|e| e.to_string_lossy().to_ascii_lowercase());
        match ending.as_deref() {
            Some("svg") => Ok(Self::Svg),
            Some("png") => Ok(Self::Png),
            Some("pdf") => Ok(Self::Pdf),
            _ => Err(RenderError::Format(path.display().to_string())),
        }
    }
}

/// Reading options: the bundled font and nothing of the system's.
fn options() -> usvg::Options<'static> {
    static FONTS: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    let fonts = FONTS.get_or_init(|| {
        let mut db = fontdb::Database::new();
        for weight in [Weight::Regular, Weight::Bold] {
            db.load_font_source(fontdb::Source::Binary(Arc::new(font_data(weight))));
        }
        db.set_sans_serif_family(FONT_FAMILY);
        Arc::new(db)
    });
    usvg::Options {
        fontdb: Arc::clone(fonts),
        font_family: FONT_FAMILY.to_owned(),
        dpi: pdf::CSS_DPI,
        ..usvg::Options::default()
    }
}

/// The SVG as a tree, text laid out with the bundled font.
///
/// # Errors
/// [`RenderError::Svg`].
pub(crate) fn tree(svg: &str) -> Result<usvg::Tree, RenderError> {
    usvg::Tree::from_str(svg, &options()).map_err(|e| RenderError::Svg(e.to_string()))
}

/// PNG at `scale` device pixels per CSS pixel (1 for charts; 300/96 for 300 dpi).
///
/// # Errors
/// [`RenderError`] when the SVG cannot be read or the result would be too large.
pub fn png(svg: &str, scale: f32) -> Result<Vec<u8>, RenderError> {
    let tree = tree(svg)?;
    let size = tree
        .size()
        .to_int_size()
        .scale_by(scale)
        .filter(|s| s.width() <= MAX_SIDE && s.height() <= MAX_SIDE)
        .ok_or_else(|| RenderError::Encode(format!("more than {MAX_SIDE} pixels a side")))?;
    let mut pixmap = Pixmap::new(size.width(), size.height())
        .ok_or_else(|| RenderError::Encode("no memory for it".to_owned()))?;
    pixmap.fill(Color::WHITE);
    resvg::render(
        &tree,
        Transform::from_scale(scale, scale),
        &mut pixmap.as_mut(),
    );
    pixmap
        .encode_png()
        .map_err(|e| RenderError::Encode(e.to_string()))
}

/// The picture's file in a format. PDF pages are `paper`, on their side for wide pictures.
///
/// # Errors
/// [`RenderError`].
pub fn encode(
    picture: &Picture,
    format: Format,
    paper: Paper,
    stamp: pdf::Stamp,
) -> Result<Vec<u8>, RenderError> {
    match format {
        Format::Svg => Ok(picture.svg.clone().into_bytes()),
        Format::Png => png(&picture.svg, 1.0),
        Format::Pdf => pdf::write(&Document {
            title: &picture.title,
            pages: &[Page {
                svg: &picture.svg,
                parts: &[Tag::Figure(picture.desc.clone())],
            }],
            placement: Placement::Fitted(paper),
            stamp,
        }),
    }
}
