//! Which pocket is tight, in words.

use crate::answer::differ::PocketDifference;
use crate::pocket::PocketKind;
use crate::speech::{Speech, first_large};

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
