//! What the outlines of the pockets say.

use crate::field::Hint;
use crate::gear::{Gear, the_spoken_gear};
use crate::pocket::PocketKind;
use crate::sheets::parts::Style;

/// What the sheet is.
pub(crate) const ABOUT: &str =
    "Outlines of the corner and the side pocket at true size, to cut out, with a ball.";
/// Between the facings.
pub(crate) const THROAT: &str = "throat";
/// From the mouth to the slate's cut.
pub(crate) const SHELF: &str = "shelf";

/// The sheet's title.
pub(crate) fn title(gear: &Gear) -> String {
    format!("Pockets of {} at true size", the_spoken_gear(&gear.name))
}

/// Over a page.
pub(crate) fn heading(gear: &Gear, kind: PocketKind) -> String {
    let name = match kind {
        PocketKind::Corner => "Corner",
        PocketKind::Side => "Side",
    };
    format!("{name} pocket of {}", the_spoken_gear(&gear.name))
}

/// What to do with the piece.
pub(crate) fn how_to_lay(style: &Style) -> &'static str {
    if style.plain {
        "Cut along the thick line. Lay the paper into the pocket, flat on the table. Does it fit?"
    } else {
        "Cut along the thick line and lay the piece flat on the table, its point in the pocket: the noses, facings and slate of this table end at its edges. Where it does not fit, your pocket differs; measure, and write it below."
    }
}

/// What the sheet asks to measure, as it prints it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// Jaw point to jaw point.
    pub mouth: String,
    /// Facing to facing.
    pub throat: String,
    /// How far behind the mouth the throat is, as an option takes it; none where it is as deep as the
    /// shelf.
    pub throat_depth: Option<String>,
    /// Middle of the mouth to the slate's cut.
    pub shelf: String,
}

/// What the picture shows.
pub(crate) fn shows(kind: PocketKind, asked: &Asked) -> String {
    format!(
        "Outline of the {kind} pocket at true size, with a ball: mouth {}, throat {}, shelf {}.",
        asked.mouth, asked.throat, asked.shelf
    )
}

/// On the ball.
pub(crate) fn ball(style: &Style) -> &'static str {
    if style.plain { "ball" } else { "a ball" }
}

/// At the mouth.
pub(crate) fn mouth(mouth_mm: f64, style: &Style) -> String {
    format!("mouth {}", style.measure(1e-3 * mouth_mm))
}

/// Mouth, throat and shelf in the table to fill in; `deep_mm` where the throat is not as deep as the
/// shelf.
pub(crate) fn measured(deep_mm: Option<f64>, style: &Style) -> [String; 3] {
    // Depths are round, so plain words lose nothing.
    let deep = deep_mm.map(|mm| {
        let plain = Style {
            plain: true,
            ..*style
        };
        plain.measure(1e-3 * mm)
    });
    match (style.plain, deep) {
        (true, None) => ["mouth", "throat, at the slate", SHELF].map(str::to_owned),
        (true, Some(deep)) => [
            "mouth".to_owned(),
            format!("throat, {deep} deep"),
            SHELF.to_owned(),
        ],
        (false, deep) => [
            "mouth, jaw point to jaw point".to_owned(),
            deep.map_or_else(
                || "throat, at the depth of the shelf".to_owned(),
                |deep| format!("throat, {deep} behind the mouth"),
            ),
            "shelf, mouth line to the slate's edge".to_owned(),
        ],
    }
}

/// Over the table's columns.
pub(crate) fn columns(style: &Style) -> [&'static str; 3] {
    if style.plain {
        ["", "this sheet", "my table"]
    } else {
        ["", "on this sheet", "measured here"]
    }
}

/// How the numbers become a table of one's own; empty where nobody tells.
pub(crate) fn own_table(gear: &Gear, kind: PocketKind, asked: &Asked) -> String {
    let own = Hint::MeasureGear {
        gear: &gear.name,
        kind: kind.name(),
        throat_depth: asked.throat_depth.as_deref(),
    };
    own.to_string()
}
