//! A ladder in words: how to set it up and what passes, then a line a rung.

use super::topic::topic_words;
use crate::gear::{Bed, spoken_gear};
use crate::ladder::answer::{LadderAnswer, RungAnswer};
use crate::layout::with_article;
use crate::speech::{PRACTICE, Speech, by_diamonds, cautions};
use crate::units::decimals;

/// The ladder as text, for a table with such a bed.
#[must_use]
pub fn ladder_text(answer: &LadderAnswer, bed: &Bed, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let topic = topic_words(answer.practise, speech);
    let tries = answer.rungs.first().map_or(0, |r| r.pass.tries);
    let (first, last) = match (answer.rungs.first(), answer.rungs.last()) {
        (Some(a), Some(b)) => (a.makes_of_ten(), b.makes_of_ten()),
        _ => return String::new(),
    };
    let mut text = format!(
        "{} of {topic} for {}, from {first:.1} to {last:.1} in 10; {}.\n",
        match answer.rungs.len() {
            1 => "1 rung".to_owned(),
            count => format!("{count} rungs"),
        },
        player(answer),
        spoken_gear(&answer.gear),
    );
    let typed = by_diamonds(bed, speech);
    text.push_str(if typed {
        "Set each ball on its quarter-diamond place: the number in brackets is diamonds from the head rail, then from the right rail.\n"
    } else {
        "Set each ball on its place with a tape: distances are from the nose of the rail to the middle of the ball.\n"
    });
    text.push_str(&format!(
        "Play each rung {tries} times and go up at its pass score: a player {} in ten weaker would pass by luck at most 1 time in {}.\n",
        small(answer.margin_in_ten),
        decimals((1.0 / (1.0 - answer.confidence) + 1e-6).floor(), 0)
    ));
    text.push_str(&circumstances(answer, typed));
    for rung in &answer.rungs {
        text.push_str(&line(rung, typed));
        text.push('\n');
    }
    text.push_str(&format!("Take care: {}\n", cautions(PRACTICE, false)));
    text
}

/// A whole number of makes as a word.
fn small(makes: f64) -> String {
    match decimals(makes, 1).as_str() {
        "1" => "one".to_owned(),
        "2" => "two".to_owned(),
        "3" => "three".to_owned(),
        other => other.to_owned(),
    }
}

/// What holds for every rung: stroke, stance, balls in the way, the other hand.
fn circumstances(answer: &LadderAnswer, typed: bool) -> String {
    let mut text = String::new();
    if let Some(lengths) = answer.stroke_lengths {
        text.push_str(&format!(
            "Every rung with the same stroke: it would send the cue ball {lengths} table lengths up and down with nothing in the way.\n"
        ));
    }
    if let (Some(hand), Some(reach_mm)) = (&answer.hand, answer.reach_mm) {
        text.push_str(&format!(
            "For a {hand}-handed player who reaches {:.0} cm over the table: no rung needs the rest, and a raised cue is counted (1.2 times the stroke's spread over a rail, 1.6 over a ball, assumed).\n",
            0.1 * reach_mm
        ));
    }
    for (place, words) in answer.obstacles.iter().zip(&answer.obstacle_words) {
        let typed = if typed {
            format!(" ({place})")
        } else {
            String::new()
        };
        text.push_str(&format!(
            "A ball stands in the way {words}{typed} in every rung.\n"
        ));
    }
    if answer.rungs.iter().any(|r| r.range_said().is_some()) {
        text.push_str("In brackets: the range, depending on how jaws and rails bounce.\n");
    }
    if answer.mirrored {
        text.push_str("Mirrored for the other hand.\n");
    }
    text
}

fn player(answer: &LadderAnswer) -> String {
    if answer.player.contains("player") {
        with_article(&answer.player)
    } else if answer.player.starts_with("student") {
        answer.player.clone()
    } else {
        format!("a player with {}", answer.player)
    }
}

/// A rung in one line; `typed` with each place as it is typed, too.
fn line(rung: &RungAnswer, typed: bool) -> String {
    let cut = if rung.cut_side == "straight" {
        "straight".to_owned()
    } else {
        format!("{:.0}° cut to the {}", rung.cut_deg, rung.cut_side)
    };
    let range = rung.range_said().map_or_else(String::new, |range| {
        format!(" ({:.0} to {:.0})", 10.0 * range.start, 10.0 * range.end)
    });
    let place = |words: &str, as_typed: &str| match typed {
        true => format!("{words} ({as_typed})"),
        false => words.to_owned(),
    };
    let mut line = format!(
        "{:>2}. {:.1} in 10{range}, pass {} of {}: object ball {}; cue ball {}; {}, {cut}.",
        rung.rung,
        rung.makes_of_ten(),
        rung.pass.makes,
        rung.pass.tries,
        place(&rung.object_words, &rung.object),
        place(&rung.cue_words, &rung.cue),
        rung.pocket,
    );
    if let Some(first) = rung.awkward.first() {
        line.push_str(&format!(" With the {first}."));
    }
    line.push_str(&in_the_way(rung));
    if !rung.harder.is_empty() {
        line.push_str(&format!(" Harder: {}.", rung.harder.join(", ")));
    }
    if !rung.met {
        line.push_str(&format!(
            " Nothing here is {:.1} in 10; this is the nearest.",
            rung.asked_in_ten
        ));
    } else if !rung.steady {
        line.push_str(&format!(
            " Set with care: a quarter inch off makes it {:.1} to {:.1} in 10.",
            rung.set_off_low_in_ten, rung.set_off_high_in_ten
        ));
    }
    line
}

/// A gap worth saying, mm: two ball widths (assumption: beyond it nobody looks at the other ball).
const WORTH_SAYING_MM: f64 = 114.0;

/// What the ball in the way has to do with a rung.
fn in_the_way(rung: &RungAnswer) -> String {
    match rung.gap_mm {
        Some(_) if rung.blocked_share > 0.005 => format!(
            " The ball in the way takes {:.0} % of the margin.",
            100.0 * rung.blocked_share
        ),
        Some(gap) if gap < WORTH_SAYING_MM => {
            format!(
                " Past the ball in the way with {:.0} mm to spare.",
                gap.max(0.0)
            )
        }
        _ => String::new(),
    }
}
