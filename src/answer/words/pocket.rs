//! What a pocket takes, in words.

use crate::answer::pocket::{PocketAnswer, PocketPart, PocketStatus};
use crate::speech::{Speech, first_large};
use crate::units::{Angle, Length, speak};

/// The pockets in words, untouched first.
#[must_use]
pub fn pocket_text(answer: &PocketAnswer, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let rail = speech.nouns().rail;
    let size =
        |part: &PocketPart| speak::small_length(Length::from_mm(part.effective_pocket_mm), speech);
    let mut out = format!(
        "Effective pocket size for a ball {} away arriving at {} m/s ({}):\n",
        speak::distance(Length::from_mm(answer.distance_mm), speech),
        answer.pace_m_s,
        answer.gear
    );
    let mut kind = "";
    for row in &answer.rows {
        if row.kind != kind {
            kind = &row.kind;
            out.push_str(&format!("{kind} pocket\n"));
        }
        let off = row.approach_deg;
        let side = if off > 0.0 { "left" } else { "right" };
        let name = if off.abs() < 0.05 {
            "straight in".to_owned()
        } else {
            format!(
                "{} off straight in, heading {side}",
                speak::degrees(Angle::from_deg(off.abs()))
            )
        };
        let said = match (&row.clean, &row.direct, &row.drop) {
            (clean, Some(direct), Some(drop)) => {
                let clean = clean
                    .as_ref()
                    .map_or("never clean".to_owned(), |c| format!("{} clean", size(c)));
                format!(
                    "{clean}, {} with the jaws, {} with the {rail}",
                    size(direct),
                    size(drop)
                )
            }
            (_, _, Some(drop)) => format!("only off the {rail}, {}", size(drop)),
            _ => match row.status {
                PocketStatus::InTheRail => {
                    format!("no ball can lie there: the {rail} is in the way")
                }
                PocketStatus::InTheJaws => "the ball lies in the jaws".to_owned(),
                PocketStatus::NoDrop | PocketStatus::Ok => "the ball does not drop".to_owned(),
            },
        };
        out.push_str(&format!("  {name:<28} {said}\n"));
    }
    let bounce = bounce(answer, speech);
    out.push_str(&format!("{bounce} The clean part does not depend on it.\n"));
    out
}

/// What is known of how jaws and rails bounce.
fn bounce(answer: &PocketAnswer, speech: Speech) -> String {
    let rails = speech.nouns().rails;
    match (
        answer.measured.facings.is_known(),
        answer.measured.cushions.is_known(),
    ) {
        (false, false) => format!("Jaws and {rails} bounce as assumed; no published values."),
        (true, false) => format!("Jaws bounce as measured, {rails} as assumed."),
        (false, true) => format!(
            "{} bounce as measured, jaws as assumed.",
            first_large(rails)
        ),
        (true, true) => format!("Jaws and {rails} bounce as measured."),
    }
}
