//! Which pocket is tight, in words.

use crate::answer::differ::PocketDifference;
use crate::gear::Gear;
use crate::pocket::PocketKind;
use crate::speech::{Speech, WordSet, first_large};
use crate::units::Length;
use crate::units::speak::small_length;

/// A sentence for each: "Foot-left takes 12 % less than the other corners."
#[must_use]
pub fn differences_text(differences: &[PocketDifference], speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let lines = differences.iter().map(|one| {
        let others = match one.pocket.kind() {
            PocketKind::Corner => "the other corners".to_owned(),
            PocketKind::Side => format!("{} do", speech.nouns().side_pockets),
        };
        let (percent, more) = (100.0 * (one.share - 1.0).abs(), one.share > 1.0);
        format!(
            "{} takes {percent:.0} % {} than {others}.\n",
            first_large(speech.pocket_name(one.pocket)),
            if more { "more" } else { "less" }
        )
    });
    lines.collect()
}

/// How wide the pockets are as the trade gives it where cushions are rounded and the slate falls away
/// between them: at the fall. Nothing for those who measure the mouth.
#[must_use]
pub fn fall_text(gear: &Gear, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let wide = |kind: PocketKind| kind.fall_width_m(kind.spec(gear));
    match (
        speech.words,
        wide(PocketKind::Corner),
        wide(PocketKind::Side),
    ) {
        (WordSet::Uk, Some(corner), Some(middle)) => format!(
            "At the fall of the slate the corners are {} wide, the middles {}.\n",
            small_length(Length::from_m(corner), speech),
            small_length(Length::from_m(middle), speech)
        ),
        _ => String::new(),
    }
}
