//! From a picture to a file: formats by ending.

use std::path::Path;

use super::fault::RenderError;
use super::pdf::{self, Document, Page, Placement};
use super::picture::{Paper, Picture};
use super::png::png;
use super::tags::Tag;

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
