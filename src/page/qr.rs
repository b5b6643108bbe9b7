//! A link as a QR code: for a terminal, the page and paper.

use qrcode::render::unicode;
use qrcode::{Color, EcLevel, QrCode};

/// A QR code for a terminal; `None` when the text is too long for one.
#[must_use]
pub fn qr_text(link: &str) -> Option<String> {
    let code = coded(link)?;
    Some(
        code.render::<unicode::Dense1x2>()
            .dark_color(unicode::Dense1x2::Light)
            .light_color(unicode::Dense1x2::Dark)
            .build(),
    )
}

/// Its rows of squares, dark ones true; `None` when the text is too long for one.
pub(super) fn qr_squares(link: &str) -> Option<Vec<Vec<bool>>> {
    let code = coded(link)?;
    let colours = code.to_colors();
    let dark = |row: &[Color]| row.iter().map(|c| *c == Color::Dark).collect();
    Some(colours.chunks(code.width()).map(dark).collect())
}

fn coded(link: &str) -> Option<QrCode> {
    QrCode::with_error_correction_level(link.as_bytes(), EcLevel::L).ok()
}
