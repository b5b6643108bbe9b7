//! What the picture of a table says.

use crate::draw::theme::Caption;
use crate::gear::{Gear, Marks};
use crate::pocket::{PocketKind, PocketName};
use crate::speech::{Speech, WordSet, words_here};
use crate::units::UnitSystem;

/// The words round it.
pub(crate) fn caption(gear: &Gear) -> Caption {
    let speech = Speech::new(words_here(&gear.bed), UnitSystem::default());
    let marked = match gear.bed.marks {
        Marks::Diamonds => "six pockets and diamonds; a ball on the foot spot",
        Marks::Snooker => "six pockets, baulk line, D and spots; a ball on the pink spot",
        Marks::English => "six pockets, baulk line and spot; a ball on the eight-ball spot",
    };
    Caption {
        title: format!("{}: to scale", gear.spoken()),
        subtitle: format!(
            "{} by {} between the noses; {}{}; ball {:.2} mm",
            mm(gear.bed.length_m),
            mm(gear.bed.width_m),
            pockets(gear, speech),
            single_pockets(gear, speech),
            1000.0 * gear.balls.object_diameter_m
        ),
        footer: "Width of the wood and depth of the cushions are for the eye only.".to_owned(),
        desc: format!("A {} from above with {marked}.", gear.spoken()),
    }
}

fn mm(m: f64) -> String {
    format!("{:.0} mm", 1000.0 * m)
}

/// Mouths to those who measure them, widths at the fall of the slate to the others.
fn pockets(gear: &Gear, speech: Speech) -> String {
    let falls = [PocketKind::Corner, PocketKind::Side]
        .map(|kind| kind.fall_width_m(kind.spec(gear)).map(mm));
    match (speech.words, falls) {
        (WordSet::Uk, [Some(corner), Some(middle)]) => {
            format!("corners {corner} and middles {middle} wide at the fall")
        }
        _ => format!(
            "corner mouth {}, side mouth {}",
            mm(gear.corner.mouth_m),
            mm(gear.side.mouth_m)
        ),
    }
}

/// Mouths of pockets that differ from their kind.
fn single_pockets(gear: &Gear, speech: Speech) -> String {
    PocketName::ALL
        .into_iter()
        .filter(|name| !gear.single[*name as usize].is_none())
        .map(|name| {
            format!(
                ", {} mouth {}",
                speech.pocket_name(name),
                mm(name.spec(gear).mouth_m)
            )
        })
        .collect()
}
