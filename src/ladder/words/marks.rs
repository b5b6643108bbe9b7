//! A marks sheet in words.

use crate::gear::{Bed, spoken_gear};
use crate::ladder::marks_answer::{MarkAnswer, MarksAnswer};
use crate::ladder::rotation::Turn;
use crate::speech::{MARKS, Speech, by_diamonds, cautions};
use crate::units::{Angle, Length, UnitSystem, speak};

/// The sheet as text, for a table with such a bed.
#[must_use]
pub fn marks_text(answer: &MarksAnswer, bed: &Bed, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let typed = by_diamonds(bed, speech);
    let place = |words: &str, as_typed: &str| match typed {
        true => format!("{words} ({as_typed})"),
        false => words.to_owned(),
    };
    let low = answer
        .marks
        .iter()
        .map(MarkAnswer::makes_of_ten)
        .fold(f64::INFINITY, f64::min);
    let high = answer
        .marks
        .iter()
        .map(MarkAnswer::makes_of_ten)
        .fold(0.0, f64::max);
    let (low, high) = (format!("{low:.1}"), format!("{high:.1}"));
    let range = if low == high {
        low
    } else {
        format!("{low} to {high}")
    };
    let mut text = format!(
        "One shot, as hard for everybody: {range} in 10 from each student's own mark; {}.\n",
        spoken_gear(&answer.gear)
    );
    text.push_str(&format!(
        "Object ball {}, into {}; the cut is {}.\n",
        place(&answer.object_words, &answer.object),
        answer.pocket,
        speak::cut(Angle::from_deg(answer.cut_deg)),
    ));
    text.push_str(&format!(
        "Hold a string from the object ball to {} and mark it, from the middle of the object ball:\n",
        place(&answer.string_words, &answer.string_to)
    ));
    for mark in &answer.marks {
        text.push_str(&format!(
            "  {:<12} {:>9}  {:.1} in 10  ({})\n",
            mark.student,
            tape(mark.distance_mm, speech),
            mark.makes_of_ten(),
            mark.player
        ));
    }
    text.push_str(&format!("Take care: {}\n", cautions(MARKS, speech.plain)));
    if !answer.rotation.is_empty() {
        text.push_str("Turns (shooting; setting the balls and counting; resting):\n");
        for turn in &answer.rotation {
            text.push_str(&turn_line(turn));
        }
    }
    text
}

fn tape(mm: f64, speech: Speech) -> String {
    match speech.units {
        UnitSystem::Metric => format!("{:.1} cm", 0.1 * mm),
        // eighths are not worth the trouble: a quarter of an inch is how well balls are set
        UnitSystem::Inches => format!(
            "{:.2} in",
            (4.0 * Length::from_mm(mm).inches()).round() / 4.0
        ),
    }
}

pub(crate) fn turn_line(turn: &Turn) -> String {
    let tables: Vec<String> = turn
        .shoots
        .iter()
        .enumerate()
        .map(|(k, shooter)| match turn.sets.get(k) {
            Some(setter) => format!("table {}: {shooter} ({setter} sets)", k + 1),
            None => format!("table {}: {shooter}", k + 1),
        })
        .collect();
    let rests = if turn.rests.is_empty() {
        String::new()
    } else {
        format!("; rest: {}", turn.rests.join(", "))
    };
    format!(
        "  {:>3}–{:<3} min  {}{rests}\n",
        turn.from_min.round(),
        turn.to_min.round(),
        tables.join(", ")
    )
}
