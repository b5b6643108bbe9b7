//! An SVG read back, its text laid out with the bundled font and nothing of the system's.

use std::sync::{Arc, OnceLock};

use usvg::fontdb;

use super::fault::RenderError;
use super::text::{FONT_FAMILY, Weight, font_data};

/// CSS pixels per inch (published: CSS Values and Units Level 3, 1in = 96px).
pub(crate) const CSS_DPI: f32 = 96.0;

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
        dpi: CSS_DPI,
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
