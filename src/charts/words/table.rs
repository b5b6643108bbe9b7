//! What the picture of a table says.

use crate::draw::theme::Caption;
use crate::gear::Gear;

/// The words round it.
pub(crate) fn caption(gear: &Gear) -> Caption {
    let mm = |m: f64| format!("{:.0} mm", 1000.0 * m);
    Caption {
        title: format!("{}: to scale", gear.spoken()),
        subtitle: format!(
            "{} by {} between the noses; corner mouth {}, side mouth {}; ball {:.2} mm",
            mm(gear.bed.length_m),
            mm(gear.bed.width_m),
            mm(gear.corner.mouth_m),
            mm(gear.side.mouth_m),
            1000.0 * gear.balls.object_diameter_m
        ),
        footer: "Width of the wood and depth of the cushions are for the eye only.".to_owned(),
        desc: format!(
            "A {} from above with six pockets and diamonds; a ball on the foot spot.",
            gear.spoken()
        ),
    }
}
