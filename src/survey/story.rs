//! What a survey says, in a few lines with numbers from its rows.

use super::Row;
use crate::units::{Angle, Length, UnitSystem, speak};

/// A conclusion from the rows: the straight shot near and far, what cuts take, and both together.
/// Empty when the grid has no straight shot that drops.
#[must_use]
pub fn story(rows: &[Row], system: UnitSystem) -> Vec<String> {
    let width = |r: &Row| r.window.as_ref().ok().and_then(|w| w.direct).map(|w| w.total_rad());
    let ghost_mm = |r: &Row| {
        let w = r.window.as_ref().ok()?;
        let d = w.direct?;
        Some(500.0 * (w.ghost_offset_m(d.thick_rad) + w.ghost_offset_m(d.thin_rad)))
    };
    let usable: Vec<&Row> = rows.iter().filter(|r| width(r).is_some()).collect();
    let by_distance = |a: &&&Row, b: &&&Row| {
        (a.apart_m * a.to_pocket_m).total_cmp(&(b.apart_m * b.to_pocket_m))
    };
    let straightest = usable.iter().map(|r| r.cut_rad).fold(f64::INFINITY, f64::min);
    let straights: Vec<&&Row> = usable.iter().filter(|r| r.cut_rad <= straightest).collect();
    let (Some(near), Some(far)) = (
        straights.iter().min_by(|a, b| by_distance(a, b)),
        straights.iter().max_by(|a, b| by_distance(a, b)),
    ) else {
        return Vec::new();
    };
    let say = |r: &Row| {
        let each = speak::degrees(Angle::from_rad(0.5 * width(r).unwrap_or(0.0)));
        let room = speak::small_length(Length::from_mm(ghost_mm(r).unwrap_or(0.0)), system);
        format!(
            "{} between the balls and {} to the pocket: {each} each side, {room} at the ghost ball",
            speak::feet(Length::from_m(r.apart_m)),
            speak::feet(Length::from_m(r.to_pocket_m))
        )
    };
    let cut = |r: &Row| speak::degrees(Angle::from_rad(r.cut_rad));
    let mut out = vec![format!("{} cut, {}.", cut(near), say(near))];
    let same_far = |r: &&&Row| {
        r.apart_m.to_bits() == far.apart_m.to_bits() && r.to_pocket_m.to_bits() == far.to_pocket_m.to_bits()
    };
    out.push(format!("{} cut, {}.", cut(far), say(far)));
    if let Some(thin) = usable
        .iter()
        .filter(same_far)
        .max_by(|a, b| a.cut_rad.total_cmp(&b.cut_rad))
        .filter(|r| r.cut_rad > straightest)
    {
        let share = 100.0 * thin.share_of_straight.unwrap_or(0.0);
        let fast = if thin.status() == "too-fast" { ", and faster than anyone controls" } else { "" };
        out.push(format!(
            "{} cut at the same distances keeps {share:.0} % of that: {}{fast}.",
            cut(thin),
            speak::small_length(Length::from_mm(ghost_mm(thin).unwrap_or(0.0)), system)
        ));
    }
    if let Some(half) = usable.iter().filter(same_far).find(|r| (r.cut_rad.to_degrees() - 30.0).abs() < 0.5) {
        let share = 100.0 * half.share_of_straight.unwrap_or(0.0);
        out.push(format!("A half-ball cut there keeps {share:.0} %: it is the thin hits that cost."));
    }
    out
}
