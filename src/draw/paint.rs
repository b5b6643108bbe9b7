//! How shapes are painted: fills, outlines, dashes.

use std::fmt::Write as _;

use super::colour::Rgb;
use super::xml::num;

/// A line's look.
#[derive(Debug, Clone, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub colour: Rgb,
    /// Width in user units.
    pub width: f64,
    /// Dash and gap lengths in user units, empty for a solid line.
    pub dash: Vec<f64>,
}

impl Stroke {
    /// A solid line.
    #[must_use]
    pub fn new(colour: Rgb, width: f64) -> Self {
        Self {
            colour,
            width,
            dash: Vec::new(),
        }
    }

    /// Dashed: lengths in line widths.
    #[must_use]
    pub fn dashed(mut self, pattern: &[f64]) -> Self {
        self.dash = pattern.iter().map(|d| d * self.width).collect();
        self
    }
}

/// How a shape is painted. Opaque by default: overlaps are drawn in order, so print stays true.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Paint {
    /// Area.
    pub fill: Option<Rgb>,
    /// Share of the fill that covers what lies below, 0 to 1.
    pub opacity: Option<f64>,
    /// Outline.
    pub stroke: Option<Stroke>,
}

impl Paint {
    /// Area only.
    #[must_use]
    pub fn fill(colour: Rgb) -> Self {
        Self {
            fill: Some(colour),
            ..Self::default()
        }
    }

    /// Outline only.
    #[must_use]
    pub fn line(stroke: Stroke) -> Self {
        Self {
            stroke: Some(stroke),
            ..Self::default()
        }
    }

    /// Adds an outline.
    #[must_use]
    pub fn edged(mut self, stroke: Stroke) -> Self {
        self.stroke = Some(stroke);
        self
    }

    /// Lets what lies below show through the area.
    #[must_use]
    pub fn see_through(mut self, opacity: f64) -> Self {
        self.opacity = Some(opacity);
        self
    }

    pub(crate) fn attributes(&self) -> String {
        let mut out = match self.fill {
            Some(c) => format!(" fill=\"{c}\""),
            None => " fill=\"none\"".to_owned(),
        };
        if let (Some(o), Some(_)) = (self.opacity, self.fill) {
            let _ = write!(out, " fill-opacity=\"{}\"", num(o));
        }
        if let Some(s) = &self.stroke {
            let _ = write!(
                out,
                " stroke=\"{}\" stroke-width=\"{}\"",
                s.colour,
                num(s.width)
            );
            if s.dash.is_empty() {
                out.push_str(" stroke-linejoin=\"round\"");
            } else {
                let list: Vec<String> = s.dash.iter().map(|d| num(*d)).collect();
                let _ = write!(out, " stroke-dasharray=\"{}\"", list.join(" "));
            }
        }
        out
    }
}
