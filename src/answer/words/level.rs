//! Who the levels are, in words.

use crate::answer::level::{LevelAnswer, LevelRow};
use crate::gear::{Gear, spoken_gear};
use crate::player::Level;
use crate::speech::Speech;

/// `club: makes 8 of 10 straight, two feet and two feet; 3 of 10, four feet and four feet`.
fn level_line(row: &LevelRow, speech: Speech) -> String {
    format!("{:>13}  {}", row.level.name(), test_shot_words(row, speech))
}

/// Who a level is: `makes 8 of 10 straight, two feet and two feet; 3 of 10, four feet and four feet`.
#[must_use]
pub fn test_shot_words(row: &LevelRow, speech: impl Into<Speech>) -> String {
    let ten = |chance: f64| format!("{:.0}", 10.0 * chance);
    format!(
        "{} {} of 10 straight, two feet and two feet; {} of 10, four feet and four feet",
        speech.into().nouns().makes_it,
        ten(row.short),
        ten(row.long)
    )
}

/// Who an assumed player is, for paper: "A club player makes 9 of 10 straight, …"; nothing of a player
/// who is no level, or on a table too small for the shots.
#[must_use]
pub fn who_is_words(gear: &Gear, who: &str, speech: impl Into<Speech>) -> Option<String> {
    let level = Level::ALL.into_iter().find(|l| l.spoken() == who)?;
    let row = LevelRow::of(gear, level).ok()?;
    let article = if level == Level::Expert { "An" } else { "A" };
    let name = level.name().replace('-', " ");
    let said = test_shot_words(&row, speech);
    Some(format!("{article} {name} player {said}."))
}

/// All levels, a line each, under the table they hold for.
#[must_use]
pub fn levels_text(answer: &LevelAnswer, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let mut out = format!(
        "Straight into a corner pocket, {}, centre ball; two feet and two feet: between the balls and to the pocket (levels are assumed, the shots computed):\n",
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
