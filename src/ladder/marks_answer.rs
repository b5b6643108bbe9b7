//! A marks sheet as data.

use serde::{Deserialize, Serialize};

use super::marks::Marks;
use super::rotation::Turn;
use super::students::Student;
use crate::gear::Gear;
use crate::speech::{Speech, place_words, rail_words};

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
    /// Chance from there, 0 to 1.
    #[serde(default)]
    pub chance: f64,
    /// The same times ten, as the first edition wrote it.
    #[serde(default, skip_serializing)]
    #[cfg_attr(feature = "page", schemars(skip))]
    pub makes_in_ten: Option<f64>,
}

impl MarkAnswer {
    /// Makes in ten, whichever edition wrote it.
    #[must_use]
    pub fn makes_of_ten(&self) -> f64 {
        self.makes_in_ten.unwrap_or(10.0 * self.chance)
    }
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
    pub fn new(
        gear: &Gear,
        sheet: &Marks,
        students: &[Student],
        rotation: Vec<Turn>,
        speech: impl Into<Speech>,
    ) -> Self {
        let speech = speech.into();
        let mut marks: Vec<MarkAnswer> = sheet
            .marks
            .iter()
            .zip(students)
            .map(|(m, s)| MarkAnswer {
                student: m.label.clone(),
                player: s.who.clone(),
                distance_mm: 1e3 * m.distance_m,
                cue: format!("{:.1}mm,{:.1}mm", 1e3 * m.at.x, 1e3 * m.at.y),
                chance: m.chance,
                makes_in_ten: None,
            })
            .collect();
        marks.sort_by(|a, b| a.distance_mm.total_cmp(&b.distance_mm));
        Self {
            gear: gear.name.clone(),
            asked_in_ten: 10.0 * sheet.chance,
            object: sheet.object.to_string(),
            object_words: place_words(sheet.object, &gear.bed, speech),
            pocket: sheet.pocket.name().to_owned(),
            string_to: sheet.towards.to_string(),
            string_words: rail_words(sheet.towards, &gear.bed, speech),
            cut_deg: sheet.cut_rad.abs().to_degrees(),
            marks,
            code: None,
            rotation,
        }
    }
}
