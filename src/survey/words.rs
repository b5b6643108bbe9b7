//! What a survey says, in a few lines with numbers from its rows. It speaks only of shots that
//! somebody can set up on the table and play.

use super::grid::Row;
use crate::speech::Speech;
use crate::units::{Angle, Length, speak};

/// A conclusion from the rows: the straight shot near and far, what cuts take, and both together.
/// Empty when the grid has no shot that drops.
#[must_use]
pub fn story(rows: &[Row], speech: impl Into<Speech>) -> Vec<String> {
    let speech = speech.into();
    let usable: Vec<&Row> = rows
        .iter()
        .filter(|r| r.is_playable() && width_rad(r).is_some())
        .collect();
    let straightest = usable
        .iter()
        .map(|r| r.cut_rad)
        .fold(f64::INFINITY, f64::min);
    let straights = usable.iter().copied().filter(|r| r.cut_rad <= straightest);
    let length = |r: &&Row| r.apart_m * r.to_pocket_m;
    let (Some(near), Some(far)) = (
        straights
            .clone()
            .min_by(|a, b| length(a).total_cmp(&length(b))),
        straights.max_by(|a, b| length(a).total_cmp(&length(b))),
    ) else {
        return Vec::new();
    };
    let mut out = vec![distance_line(near, speech)];
    if far != near {
        out.push(distance_line(far, speech));
    }
    let at_far: Vec<&Row> = usable
        .into_iter()
        .filter(|r| same_distances(r, far))
        .collect();
    if let Some(thin) = at_far.iter().max_by(|a, b| a.cut_rad.total_cmp(&b.cut_rad))
        && thin.cut_rad > straightest
    {
        let cut = degrees(thin.cut_rad);
        // Eight, eleven, eighteen and eighty begin with a vowel.
        let an = ["8", "11", "18"].iter().any(|v| cut.starts_with(v));
        out.push(format!(
            "{} {cut} cut there keeps {} of that: {} either side.",
            if an { "An" } else { "A" },
            percent(thin),
            room(thin, speech)
        ));
    }
    if let Some(half) = at_far
        .iter()
        .find(|r| (r.cut_rad.to_degrees() - 30.0).abs() < 0.5)
    {
        out.push(format!(
            "A half-ball cut there keeps {}: it is the thin hits that cost.",
            percent(half)
        ));
    }
    out
}

fn width_rad(row: &Row) -> Option<f64> {
    row.window
        .as_ref()
        .ok()
        .and_then(|w| w.direct)
        .map(|w| w.total_rad())
}

/// Half the direct window at the ghost ball.
fn room(row: &Row, speech: Speech) -> String {
    let each_m = row.window.as_ref().ok().and_then(|w| {
        let d = w.direct?;
        Some(0.5 * (w.ghost_offset_m(d.thick_rad) + w.ghost_offset_m(d.thin_rad)))
    });
    speak::small_length(Length::from_m(each_m.unwrap_or(0.0)), speech)
}

fn degrees(rad: f64) -> String {
    speak::degrees(Angle::from_rad(rad))
}

fn percent(row: &Row) -> String {
    format!("{:.0} %", 100.0 * row.share_of_straight.unwrap_or(0.0))
}

fn same_distances(a: &Row, b: &Row) -> bool {
    a.apart_m.to_bits() == b.apart_m.to_bits() && a.to_pocket_m.to_bits() == b.to_pocket_m.to_bits()
}

fn distance_line(row: &Row, speech: Speech) -> String {
    let cut = if row.cut_rad == 0.0 {
        "Straight".to_owned()
    } else {
        format!("Cut {}", degrees(row.cut_rad))
    };
    let clean = row.window.as_ref().ok().and_then(|w| w.clean);
    let untouched = clean.map_or_else(
        || "none goes in clean".to_owned(),
        |c| format!("{} either side clean", degrees(0.5 * c.total_rad())),
    );
    format!(
        "{cut}, {} between the balls and {} to the pocket: {untouched}, {} with the jaws counted ({} at the ghost ball).",
        speak::feet(Length::from_m(row.apart_m)),
        speak::feet(Length::from_m(row.to_pocket_m)),
        degrees(0.5 * width_rad(row).unwrap_or(0.0)),
        room(row, speech)
    )
}
