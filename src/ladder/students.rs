//! A group: who is how good.

use super::error::LadderError;
use crate::field::Field;
use crate::player::{AimError, Level};
use crate::shown::quoted;
use crate::units::{Angle, Length};

/// A student.
#[derive(Debug, Clone, PartialEq)]
pub struct Student {
    /// The label: `A`.
    pub label: String,
    /// The aim error, on left cuts where it differs.
    pub error: AimError,
    /// The aim error on right cuts, where it differs.
    pub right: Option<AimError>,
    /// Who that is in words: `club player, assumed`.
    pub who: String,
    /// Whether it is an assumption.
    pub assumed: bool,
}

impl Student {
    /// The aim on left and on right cuts.
    #[must_use]
    pub fn aims(&self) -> [AimError; 2] {
        [self.error, self.right.unwrap_or(self.error)]
    }
}

/// Longest label (common practice: it has to fit on a score sheet).
const LABEL_CHARS: usize = 12;

/// Reads `K=club,L=0.3deg/2mm`, and plain labels through `known`, which says how good somebody is
/// or why it cannot.
///
/// # Errors
/// [`LadderError`] for an empty group, a label named twice, or a student nobody knows.
pub fn students(
    texts: &[String],
    known: &dyn Fn(&str) -> Result<Student, String>,
) -> Result<Vec<Student>, LadderError> {
    let mut out: Vec<Student> = Vec::new();
    let items = texts.iter().flat_map(|t| t.split(','));
    for item in items.map(str::trim).filter(|t| !t.is_empty()) {
        let (label, skill) = match item.split_once('=') {
            Some((label, skill)) => (label.trim(), Some(skill.trim())),
            None => (item, None),
        };
        let fits = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
        if label.is_empty() || label.len() > LABEL_CHARS || !label.chars().all(fits) {
            return Err(LadderError::Word {
                option: Field::Students,
                value: quoted(item),
                choices: "labels of 1 to 12 letters, digits, - and _, such as K=club",
            });
        }
        if out.iter().any(|s| s.label == label) {
            return Err(LadderError::Twice {
                label: quoted(label),
            });
        }
        let unknown = |problem| LadderError::UnknownStudent {
            label: quoted(label),
            problem,
        };
        out.push(match skill {
            Some(text) => skilled(label, text)?,
            None => known(label).map_err(unknown)?,
        });
    }
    if out.is_empty() {
        return Err(LadderError::EmptyGroup);
    }
    Ok(out)
}

/// A level, a plain spread `0.4deg`, or arm and picture `0.3deg/2mm`.
fn skilled(label: &str, text: &str) -> Result<Student, LadderError> {
    let unknown = |problem: String| LadderError::UnknownStudent {
        label: quoted(label),
        problem,
    };
    let student = |error, who, assumed| Student {
        label: quoted(label),
        error,
        right: None,
        who,
        assumed,
    };
    if !text.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '-') {
        let level: Level = text
            .parse()
            .map_err(|e: crate::player::PlayerError| unknown(e.to_string()))?;
        return Ok(student(level.aim_error(), level.spoken(), true));
    }
    let (arm, picture) = text.split_once('/').unwrap_or((text, "0mm"));
    let arm: Angle = arm
        .parse()
        .map_err(|e: crate::error::UnitError| unknown(e.to_string()))?;
    let picture: Length = picture
        .parse()
        .map_err(|e: crate::error::UnitError| unknown(e.to_string()))?;
    let error = AimError::new(arm.rad(), picture.m())?.with_nearest_scatter();
    let who = format!(
        "stroke ±{:.2}°, sighting ±{:.1} mm",
        arm.deg(),
        picture.mm()
    );
    Ok(student(error, who, false))
}
