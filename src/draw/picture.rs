//! A finished picture, its size, and the paper it goes on.

use std::str::FromStr;

use super::fault::RenderError;
use super::limits::{MAX_SIDE, MIN_HEIGHT, MIN_WIDTH};

/// A finished picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The SVG file.
    pub svg: String,
    /// The question or the finding.
    pub title: String,
    /// The picture in words.
    pub desc: String,
    /// Width in pixels.
    pub width_px: u32,
    /// Height in pixels.
    pub height_px: u32,
}

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
    /// 297 × 420 mm, for the wall (published: ISO 216).
    A3,
    /// 8.5 × 11 in (published: ANSI/ASME Y14.1, size A).
    Letter,
}

impl Paper {
    /// As typed.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::A3 => "a3",
            Self::Letter => "letter",
        }
    }

    /// Width and height in upright position, mm.
    #[must_use]
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::A3 => (297.0, 420.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

impl FromStr for Paper {
    type Err = RenderError;

    /// `a4`, `letter` or `a3`, in any case.
    ///
    /// # Errors
    /// [`RenderError::Paper`].
    fn from_str(s: &str) -> Result<Self, RenderError> {
        match s.to_ascii_lowercase().as_str() {
            "a4" => Ok(Self::A4),
            "a3" => Ok(Self::A3),
            "letter" => Ok(Self::Letter),
            _ => Err(RenderError::Paper(s.to_owned())),
        }
    }
}
