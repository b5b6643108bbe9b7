//! Who the levels are, in words.

use crate::answer::level::{LevelAnswer, LevelRow};
use crate::gear::spoken_gear;
use crate::player::Level;
use crate::speech::Speech;

/// `club: makes 8 of 10 straight, two feet and two feet; 3 of 10, four feet and four feet`.
fn level_line(row: &LevelRow, speech: Speech) -> String {
    let ten = |chance: f64| format!("{:.0}", 10.0 * chance);
    format!(
        "{:>13}  {} {} of 10 straight, two feet and two feet; {} of 10, four feet and four feet",
        row.level.name(),
        speech.nouns().makes_it,
        ten(row.short),
        ten(row.long)
    )
}

/// All levels, a line each, under the table they hold for.
#[must_use]
pub fn levels_text(answer: &LevelAnswer, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let mut out = format!(
        "Into a corner pocket, {}, the cue ball struck in the middle (levels are assumed, the shots computed):\n",
        spoken_gear(&answer.gear)
    );
    for row in &answer.levels {
        out.push_str(&level_line(row, speech));
        out.push('\n');
    }
    out
}

/// The nearest level to what was made, and which others fit as well.
#[must_use]
pub fn nearest_level_text(answer: &LevelAnswer, speech: impl Into<Speech>) -> Option<String> {
    let speech = speech.into();
    let (made, nearest) = (answer.made?, answer.nearest?);
    let others: Vec<&str> = answer
        .levels
        .iter()
        .filter(|row| row.fits == Some(true) && row.level != nearest)
        .map(|row| row.level.name())
        .collect();
    let fit = match others.as_slice() {
        [] => "no other level fits".to_owned(),
        [one] => format!("{one} fits as well"),
        several => format!("{} fit as well", several.join(", ")),
    };
    let far = if answer.on_the_long {
        "four feet"
    } else {
        "two feet"
    };
    let mut out = format!(
        "{} of {} {} straight, {far} and {far}: nearest to {}; {fit}.\n",
        made.made,
        made.of,
        speech.nouns().made,
        nearest.name()
    );
    let best = answer
        .levels
        .last()
        .is_some_and(|row| row.fits == Some(true));
    if best && !answer.on_the_long && nearest > Level::Club {
        out.push_str("This shot is too easy to tell: play the one of four feet.\n");
    }
    Some(out)
}
