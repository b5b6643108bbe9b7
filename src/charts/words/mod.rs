//! What charts say: titles, what is held and assumed, axes and keys, a file for each chart that needs one.

pub(super) mod around;
pub(super) mod by_cut;
pub(super) mod coordinates;
pub(super) mod gear;
pub(super) mod grid;
pub(super) mod layout;
pub(super) mod leave;
pub(super) mod pace;
pub(super) mod places;
pub(super) mod pocket;
pub(super) mod room;
pub(super) mod shot;
pub(super) mod skill;
pub(super) mod stroke;
pub(super) mod table;
pub(super) mod ways;
pub(super) mod why;
pub(crate) mod why_thin;

use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::speech::{Speech, words_here};
use crate::units::UnitSystem;

/// A caption in the words asked for, else of whoever plays on the table.
pub(super) fn spoken_on(gear: &Gear, caption: &Caption) -> Caption {
    let speech = Speech::new(words_here(&gear.bed), UnitSystem::default());
    Caption {
        title: speech.said(&caption.title),
        subtitle: speech.said(&caption.subtitle),
        footer: speech.said(&caption.footer),
        desc: speech.said(&caption.desc),
    }
}
