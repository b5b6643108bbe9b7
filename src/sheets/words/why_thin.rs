//! What the poster says on paper.

use crate::charts::margins::MarginTable;
use crate::charts::words::why_thin as chart;
use crate::gear::Gear;
use crate::sheets::parts::Style;

pub(crate) use chart::{desc, halves};

/// The finding.
pub(crate) fn title(table: &MarginTable, style: &Style) -> String {
    if style.plain {
        "How far may your tip be off?".to_owned()
    } else {
        chart::title(table)
    }
}

/// How to read it.
pub(crate) fn how_to_read(table: &MarginTable, style: &Style) -> String {
    if style.plain {
        return "Hold your tip to a white gap. Stay inside it and the ball drops clean. Far away or thin: look how small it gets!".to_owned();
    }
    format!(
        "{} Hold your tip to it; put the sheet beside the table.",
        chart::how_to_read(table)
    )
}

/// What is held and assumed.
pub(crate) fn held(table: &MarginTable, gear: &Gear, style: &Style) -> String {
    if style.plain {
        return format!("For the coach: {}", chart::held(table, gear));
    }
    chart::held(table, gear)
}
