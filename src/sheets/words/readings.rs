//! What the measuring form says.

use crate::field::{Field, Hint};
use crate::gear::{Gear, the_spoken_gear};
use crate::measure::Quantity;
use crate::measure::jaws::{RampRun, share_words};
use crate::measure::words::bounce;
use crate::pocket::PocketKind;
use crate::sheets::parts::Style;
use crate::speech::Speech;
use crate::units::UnitSystem;

/// Where the form is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shown {
    /// On paper.
    Printed,
    /// On a screen, where gauges have no size.
    OnScreen,
}

/// What the sheet is.
pub(crate) const ABOUT: &str =
    "Where each reading of a table is taken, and boxes for it, pocket by pocket.";
/// Its question.
pub(crate) const QUESTION: &str = "What is our own table like?";
/// To write on.
pub(crate) const NAME_AND_DAY: [&str; 2] = ["Table", "Day"];
/// Over bed, balls and cloth.
pub(crate) const REST: &str = "Table, balls and cloth";
/// Over the gauges.
pub(crate) const GAUGES: &str = "Gauges for rounded jaws";

/// The sheet's title.
pub(crate) fn title(gear: &Gear) -> String {
    format!("Measuring form, beside {}", the_spoken_gear(&gear.name))
}

/// How to go about it.
pub(crate) fn how(style: &Style) -> String {
    if style.plain {
        "Measure with a ruler and write it down. Leave out what you cannot reach.".to_owned()
    } else {
        "Ten minutes with a steel rule, a tape, a calliper and a watch. Measure what you can and leave the rest; write the unit with each number. Several readings of one thing make it surer. The sketches show where, not how large.".to_owned()
    }
}

/// Over a kind of pocket.
pub(crate) fn heading(kind: PocketKind) -> &'static str {
    match kind {
        PocketKind::Corner => "Corner pockets",
        PocketKind::Side => "Side pockets",
    }
}

/// What a sketch shows.
pub(crate) fn sketch_shows(kind: PocketKind, rounded: bool) -> String {
    let what = if rounded {
        "its width at the fall of the slate, the rounding of a jaw and its shelf"
    } else {
        "its mouth, the gap beside two balls in it, its throat and its shelf"
    };
    format!("A {kind} pocket from above, with lines where {what} are measured.")
}

/// A reading by its number, in words; `depth` where the throat is not as deep as the shelf.
pub(crate) fn reading(
    number: u32,
    quantity: Quantity,
    depth: Option<&str>,
    shown: Shown,
    style: &Style,
) -> String {
    let name = short(quantity);
    let depth = depth.map(|depth| {
        let unit = depth.find(char::is_alphabetic).unwrap_or(depth.len());
        let (number, unit) = depth.split_at(unit);
        format!("{number} {unit}")
    });
    let said = match (quantity, depth) {
        (Quantity::Throat(_), Some(depth)) => format!("between the facings, {depth} behind the mouth"),
        (Quantity::Throat(_), None) => "between the facings, as deep as the shelf".to_owned(),
        (Quantity::Mouth(_), _) if style.plain => "from one point to the other".to_owned(),
        (Quantity::Gap(_), _) => "or, with two balls side by side, one on each jaw point: the gap between them, by a stack of cards".to_owned(),
        (Quantity::Fall(_), _) => "between the facings, where they meet the edge of the slate's cut".to_owned(),
        (Quantity::Rounding(_), _) => format!(
            "the card of {} that fits the jaw without light behind it",
            match shown {
                Shown::Printed => "the last page",
                Shown::OnScreen => "the form on paper",
            }
        ),
        _ => quantity.how().to_owned(),
    };
    format!("{number} {name}: {said}")
}

/// Over a column.
pub(crate) fn column(number: u32, quantity: Quantity, style: &Style) -> String {
    if style.plain {
        number.to_string()
    } else {
        format!("{number} {}", short(quantity))
    }
}

/// A reading without its kind of pocket.
fn short(quantity: Quantity) -> &'static str {
    quantity.place().1
}

/// What is measured once a table.
pub(crate) fn once(quantity: Quantity) -> String {
    match quantity {
        Quantity::TableLength => "length, head nose to foot nose",
        Quantity::TableWidth => "width, nose to nose",
        Quantity::BallDiameter => "an object ball's diameter",
        Quantity::BallWeight => "its weight",
        Quantity::CueBallDiameter => "the cue ball's diameter",
        Quantity::CueBallWeight => "the cue ball's weight",
        Quantity::Lag => "roll-out: distance and time",
        Quantity::Run => "roll-lengths: lengths and time",
        _ => quantity.how(),
    }
    .to_owned()
}

/// How the two strokes are read.
pub(crate) fn strokes(style: &Style) -> String {
    if style.plain {
        return "Roll-out: roll a ball over a mark and time it until it stops; how far did it go?"
            .to_owned();
    }
    "Roll-out: let a ball roll over a mark, no cushion on the way, and time it from there until it rests: such as 3.2m 8.1s. Roll-lengths: the cue ball from the head spot up and down the middle until it rests: such as 4.2lengths 8.8s. How jaws bounce has a sheet of its own.".to_owned()
}

/// Over the rolls from a ramp.
pub(crate) const ROLLS: &str = "Ramp and rails";

/// What the sketch of the rolls shows.
pub(crate) fn rolls_show() -> &'static str {
    "A rail from above. Left a ramp straight before it, and how far from the nose the ball rests; right a ramp at 45°, and how far along the rail and out from it the ball rests."
}

/// How to roll.
pub(crate) fn rolls(run: &RampRun, style: &Style, speech: Speech) -> String {
    if style.plain {
        return "Roll a ball down a ramp at a rail. Where does it stop? Take the ramp away in time.".to_owned();
    }
    format!(
        "Ramp: two cues side by side or a folded card, its foot half a metre of the ball's way from the nose; {}. Take the ramp away as soon as the ball has left it. 1 straight: from the nose to the near side of the ball where it rests. At 45°: 2 along the rail, from level with the foot to level with the ball's middle; 3 out, from the nose to the near side.",
        bounce::run_words(run, speech)
    )
}

/// What is written down of the rolls.
pub(crate) fn roll_rows(run: &RampRun, style: &Style) -> [String; 4] {
    let slanted = if style.plain { "slantwise" } else { "at 45°" };
    [
        format!("ramp: run from {} of the height", share_words(run.share)),
        "1 straight: back from the nose".to_owned(),
        format!("2 {slanted}: along"),
        format!("3 {slanted}: out"),
    ]
}

/// The same on a screen, where one field takes all rolls of a kind.
pub(crate) fn rolls_asked(run: &RampRun) -> [(Field, String); 3] {
    let share = if run.share < 0.3 { "1/4" } else { "1/2" };
    let ramp = format!(
        "ramp: how far a ball ran, and from which share of the height, such as 1.3m {share}"
    );
    [
        (Field::RampRun, ramp),
        (
            Field::RailStraight,
            "1 straight: back from the nose, such as 58cm".to_owned(),
        ),
        (
            Field::RailAt45,
            "2 and 3 at 45°: along and out, such as 1.12m 44cm".to_owned(),
        ),
    ]
}

/// A gauge's radius.
pub(crate) fn radius(mm: f64, style: &Style) -> String {
    match style.units {
        UnitSystem::Metric => format!("{mm:.0} mm"),
        UnitSystem::Inches => style.measure(1e-3 * mm),
    }
}

/// How to use the gauges.
pub(crate) fn gauges(style: &Style) -> String {
    if style.plain {
        return "Cut the cards out. Which hollow fits the jaw?".to_owned();
    }
    "Rounded jaws show no point to measure the mouth from. Cut these cards out, hollow edge with care, and hold them flat against a jaw, level with the nose: the one that fits without light behind it, middle or ends, has its radius. Between two cards write the middle.".to_owned()
}

/// What gauges show.
pub(crate) fn gauges_show(names: &[String]) -> String {
    format!(
        "Cards with hollow edges at true size, of radius {}.",
        names.join(", ")
    )
}

/// How the numbers become a table; empty where nobody tells.
pub(crate) fn then() -> String {
    Hint::TypeForm.to_string()
}
