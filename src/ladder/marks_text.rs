//! A marks sheet as data and in words.

use serde::{Deserialize, Serialize};

use super::marks::Marks;
use super::place::words;
use super::rotation::Turn;
use super::students::Student;
use crate::gear::Gear;
use crate::units::{Angle, Length, UnitSystem, speak};

/// One mark.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct MarkAnswer {
    /// Whose.
    pub student: String,
    /// Who that is taken to be.
    pub player: String,
    /// From the object ball along the string, centre to centre, mm.
    pub distance_mm: f64,
    /// The cue ball there, as `cue` takes it.
    pub cue: String,
    /// Makes in ten from there.
    pub makes_in_ten: f64,
}

/// A marks sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct MarksAnswer {
    /// Name of the gear.
    pub gear: String,
    /// Makes in ten asked for.
    pub asked_in_ten: f64,
    /// Object ball, as `object` takes it.
    pub object: String,
    /// The same in words.
    pub object_words: String,
    /// Pocket.
    pub pocket: String,
    /// Where the string ends, diamonds.
    pub string_to: String,
    /// The same in words.
    pub string_words: String,
    /// Cut at the first mark, degrees.
    pub cut_deg: f64,
    /// The marks, nearest first.
    pub marks: Vec<MarkAnswer>,
    /// Code with its check character, to enter tallies by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub code: Option<String>,
    /// Who is where when; empty when not asked for.
    pub rotation: Vec<Turn>,
}

impl MarksAnswer {
    /// The sheet as data.
    #[must_use]
    pub fn new(gear: &Gear, sheet: &Marks, students: &[Student], rotation: Vec<Turn>) -> Self {
        let mut marks: Vec<MarkAnswer> = sheet
            .marks
            .iter()
            .zip(students)
            .map(|(m, s)| MarkAnswer {
                student: m.label.clone(),
                player: s.who.clone(),
                distance_mm: 1e3 * m.distance_m,
                cue: format!("{:.1}mm,{:.1}mm", 1e3 * m.at.x, 1e3 * m.at.y),
                makes_in_ten: 10.0 * m.chance,
            })
            .collect();
        marks.sort_by(|a, b| a.distance_mm.total_cmp(&b.distance_mm));
        Self {
            gear: gear.name.clone(),
            asked_in_ten: 10.0 * sheet.chance,
            object: sheet.object.to_string(),
            object_words: words(sheet.object, &gear.bed),
            pocket: sheet.pocket.name().to_owned(),
            string_to: sheet.towards.to_string(),
            string_words: super::place::rail_words(sheet.towards),
            cut_deg: sheet.cut_rad.abs().to_degrees(),
            marks,
            code: None,
            rotation,
        }
    }
}

/// The sheet as text.
#[must_use]
pub fn marks_text(answer: &MarksAnswer, system: UnitSystem) -> String {
    let low = answer
        .marks
        .iter()
        .map(|m| m.makes_in_ten)
        .fold(f64::INFINITY, f64::min);
    let high = answer
        .marks
        .iter()
        .map(|m| m.makes_in_ten)
        .fold(0.0, f64::max);
    let (low, high) = (format!("{low:.1}"), format!("{high:.1}"));
    let range = if low == high {
        low
    } else {
        format!("{low} to {high}")
    };
    let mut text = format!(
        "One shot, as hard for everybody: {range} in 10 from each student's own mark; {}.\n",
        answer.gear
    );
    text.push_str(&format!(
        "Object ball {} ({}), into {}; the cut is {}.\n",
        answer.object_words,
        answer.object,
        answer.pocket,
        speak::cut(Angle::from_deg(answer.cut_deg)),
    ));
    text.push_str(&format!(
        "Hold a string from the object ball to {} ({}) and mark it, from the middle of the object ball:\n",
        answer.string_words, answer.string_to
    ));
    for mark in &answer.marks {
        text.push_str(&format!(
            "  {:<12} {:>9}  {:.1} in 10  ({})\n",
            mark.student,
            tape(mark.distance_mm, system),
            mark.makes_in_ten,
            mark.player
        ));
    }
    if !answer.rotation.is_empty() {
        text.push_str("Turns (shooting; setting the balls and counting; resting):\n");
        for turn in &answer.rotation {
            text.push_str(&turn_line(turn));
        }
    }
    text
}

fn tape(mm: f64, system: UnitSystem) -> String {
    match system {
        UnitSystem::Metric => format!("{:.1} cm", 0.1 * mm),
        // eighths are not worth the trouble: a quarter of an inch is how well balls are set
        UnitSystem::Inches => format!(
            "{:.2} in",
            (4.0 * Length::from_mm(mm).inches()).round() / 4.0
        ),
    }
}

pub(super) fn turn_line(turn: &Turn) -> String {
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
