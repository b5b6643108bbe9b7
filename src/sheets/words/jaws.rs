//! What the sheet of the ramp test says.

use crate::field::Hint;
use crate::gear::{Gear, the_spoken_gear};
use crate::measure::jaws::{Plan, mark_name};
use crate::measure::words::bounce;
use crate::sheets::parts::Style;

/// What the sheet is.
pub(crate) const ABOUT: &str =
    "Where a ramp stands, a strip of marks for the mouth of a pocket at true size, and boxes.";
/// Its question.
pub(crate) const QUESTION: &str = "How do the jaws bounce?";
/// On the ramp.
pub(crate) const RAMP: &str = "ramp";
/// Over the boxes.
pub(crate) const TALLY: &str = "What drops";

/// The sheet's title.
pub(crate) fn title(gear: &Gear, plan: &Plan) -> String {
    format!(
        "Ramp test of a {} pocket, {}",
        plan.ramp.kind,
        the_spoken_gear(&gear.name)
    )
}

/// Why the edges.
pub(crate) fn why(style: &Style) -> String {
    if style.plain {
        "Some pockets are kind, some are not. Roll balls at the edge of one and count.".to_owned()
    } else {
        "In the middle of the mouth every ball drops; at its edges the jaws decide. A ball from a ramp comes the same way every time, so what drops there tells how jaws and facings bounce. Half an hour for 120 rolls.".to_owned()
    }
}

/// What the sketch shows.
pub(crate) fn sketch_shows(plan: &Plan, style: &Style) -> String {
    format!(
        "A pocket from above with the ramp before it: {}.",
        bounce::foot_words(plan, style.speech())
    )
}

/// How to set the ramp up.
pub(crate) fn ramp(plan: &Plan, style: &Style) -> String {
    let foot = bounce::foot_words(plan, style.speech());
    if style.plain {
        return format!(
            "Two cues side by side make a ramp: {foot}. Let the ball go from the same mark each time."
        );
    }
    format!(
        "Ramp: two cues side by side with their butts raised, or a stiff card folded lengthways; {foot}. Leave that point where it is and turn the ramp to aim. A mark on the ramp says where the ball is let go, without a push: {}.",
        bounce::run_words(&plan.run, style.speech())
    )
}

/// How to lay the strip.
pub(crate) fn lay(plan: &Plan, style: &Style) -> String {
    let first = plan
        .marks_mm()
        .first()
        .map_or_else(String::new, |mm| mark_name(*mm));
    if style.plain {
        return "Cut the strip out and lay it flat across the mouth. Roll ten balls at each mark. How many drop?".to_owned();
    }
    format!(
        "Strip: cut it out and lay it flat on the cloth across the mouth, ends at the jaw points, marks towards you, and hold its ends with a little tape; on rounded jaws lay 0 in the middle. The front edge is the mouth line. Aim the ball's middle at {first}, roll ten from the whole height, then go on to the next mark. Take out a ball that stays in the jaws: it did not drop."
    )
}

/// What the strip shows.
pub(crate) fn strip_shows(plan: &Plan) -> String {
    let marks: Vec<String> = plan.marks_mm().iter().map(|mm| mark_name(*mm)).collect();
    format!(
        "A strip as long as the mouth is wide, with marks in millimetres from its middle: {}.",
        marks.join(", ")
    )
}

/// How to fill in the boxes.
pub(crate) fn tally(style: &Style) -> String {
    if style.plain {
        "Tick a box for every ball that drops, cross it for one that stays out.".to_owned()
    } else {
        "Tick a box for a ball that drops, cross it for one that does not. Where all ten drop or none does three marks in a row, the edge lies elsewhere: write other millimetres over the names and roll there.".to_owned()
    }
}

/// What the boxes of a mark are, to those who do not see them.
pub(crate) fn boxes(name: &str) -> String {
    format!("Ten boxes for mark {name}, and room for how many dropped.")
}

/// After the boxes.
pub(crate) fn dropped(style: &Style) -> &'static str {
    if style.plain { "in:" } else { "dropped" }
}

/// How the counts become a table; empty where nobody tells.
pub(crate) fn then(gear: &Gear, plan: &Plan) -> String {
    let mark = plan
        .marks_mm()
        .first()
        .map_or_else(String::new, |mm| mark_name(*mm));
    let hint = Hint::TakeRolls {
        gear: &gear.name,
        kind: plan.ramp.kind.name(),
        mark: &mark,
    };
    hint.to_string()
}
