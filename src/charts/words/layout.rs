//! What the picture of a layout says.

use crate::draw::theme::Caption;
use crate::layout::CueEnd;

/// What is drawn: balls, the titles of the shots, whether a direction is closed.
pub(crate) struct Drawn<'a> {
    pub(crate) gear: &'a str,
    pub(crate) who: &'a str,
    pub(crate) balls: usize,
    pub(crate) titles: &'a [&'a str],
    /// Some shot is followed.
    pub(crate) followed: bool,
    pub(crate) closed: bool,
    /// How many times as wide the margins of each followed shot are drawn.
    pub(crate) times: &'a [f64],
}

/// "their margins 10 and 20 times as wide".
fn widened(times: &[f64]) -> String {
    let said: Vec<String> = times.iter().map(|t| format!("{t:.0}")).collect();
    match &said[..] {
        [] => String::new(),
        [one] => format!(", its margins {one} times as wide"),
        [first, rest @ ..] if rest.iter().all(|t| t == first) => {
            format!(", the margins {first} times as wide")
        }
        [most @ .., last] => format!(", its margins {} and {last} times as wide", most.join(", ")),
    }
}

/// The words round the picture.
pub(crate) fn caption(drawn: &Drawn<'_>) -> Caption {
    let (count, who, gear) = (drawn.balls, drawn.who, drawn.gear);
    let balls = if count == 1 { "ball" } else { "balls" };
    let (title, subtitle) = match drawn.titles {
        [] => (format!("{count} {balls} and the cue ball"), gear.to_owned()),
        [one] => (
            (*one).to_owned(),
            format!("{count} {balls} on the table; {who}; {gear}"),
        ),
        several => (
            format!("{} shots on this table", several.len()),
            (1..)
                .zip(several)
                .map(|(k, title)| format!("{k}: {title}"))
                .collect::<Vec<_>>()
                .join("; "),
        ),
    };
    let mut key = Vec::new();
    if drawn.followed {
        key.push(format!("Band: where the cue ball may run{}; grey: where it goes after the hit, aimed at the middle; purple: the object ball's path.", widened(drawn.times)));
    }
    if drawn.closed {
        key.push("Dark: directions closed by a ball.".to_owned());
    }
    Caption {
        desc: format!(
            "The table from above, to scale, with {count} {balls} and the cue ball. {title}."
        ),
        title,
        subtitle,
        footer: key.join(" "),
    }
}

/// Beside the place where the cue ball ends, with the number of the shot where there are several.
pub(crate) fn ending(
    end: CueEnd,
    label: impl Fn(usize) -> String,
    number: Option<usize>,
) -> String {
    let words = match end {
        CueEnd::Rest => "stops".to_owned(),
        CueEnd::Scratch(_) => "scratches".to_owned(),
        CueEnd::Ball(i) => format!("meets the {}", label(i)),
    };
    number.map_or(words.clone(), |n| format!("{n} {words}"))
}
