//! From SVG to PNG.

use resvg::tiny_skia::{Color, Pixmap, Transform};

use super::fault::RenderError;
use super::limits::MAX_SIDE;
use super::tree::tree;

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
