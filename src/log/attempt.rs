//! A row of the log: tries of one student at one shot.

use serde::{Deserialize, Serialize};

use super::student::{StudentError, check_label};
use super::texts;
use super::when::When;
use super::windows::Windows;
use crate::player::{self, Observation};
use crate::request::ShotRequest;
use crate::shown::quoted;
use crate::units::Side;

/// Most tries in one row. Assumption: more than an evening's practice of one shot.
pub const MOST_TRIES: u32 = 10_000;

/// Longest texts of a shot, a session's name and a note, characters. Assumption.
pub const TEXT_CHARS: (usize, usize, usize) = (120, 60, 500);

/// A shot as it was entered, texts untouched, with the gear's name.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct ShotEntered {
    /// Places and stroke.
    #[serde(flatten)]
    pub request: ShotRequest,
    /// Preset or file.
    pub gear: String,
    /// Changes to it, `KEY=VALUE`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set: Vec<String>,
}

/// Misses by side, as far as they were noted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct MissSides {
    /// Too full (undercut).
    pub full: u32,
    /// Too thin (overcut).
    pub thin: u32,
    /// Did not reach the pocket.
    pub short: u32,
    /// The cue ball went in.
    pub scratch: u32,
    /// Nobody saw on which side.
    pub not_seen: u32,
}

/// Tries of one student at one shot.
#[derive(Debug, Clone, PartialEq)]
pub struct Attempt {
    /// Stable id, given by the log; `None` before.
    pub id: Option<String>,
    /// The student's label.
    pub student: String,
    /// When it was played.
    pub when: When,
    /// A name for the evening, if wanted.
    pub session: Option<String>,
    /// Code of the ladder, marks or lesson sheet it came from.
    pub sheet: Option<String>,
    /// Rung of that sheet, from 1.
    pub rung: Option<u32>,
    /// The shot.
    pub shot: ShotEntered,
    /// Which way it cuts.
    pub cut: Side,
    /// Tries, at least 1.
    pub tries: u32,
    /// Makes.
    pub made: u32,
    /// Misses by side, if noted; at most `tries − made` together.
    pub misses: Option<MissSides>,
    /// The windows it had; `None` where it had none or nobody solved it.
    pub windows: Option<Windows>,
    /// A remark.
    pub note: Option<String>,
}

impl MissSides {
    /// All together.
    #[must_use]
    pub fn total(&self) -> u64 {
        [
            self.full,
            self.thin,
            self.short,
            self.scratch,
            self.not_seen,
        ]
        .into_iter()
        .map(u64::from)
        .sum()
    }
}

impl ShotEntered {
    /// What is wrong with the texts, if anything. Whether the shot can stand is the solver's to say.
    pub(super) fn problem(&self) -> Option<String> {
        for (name, text) in texts::names().zip(texts::of(&self.request)) {
            if let Some(text) = text
                && let Some(problem) = text_problem(name, &text, TEXT_CHARS.0)
            {
                return Some(problem);
            }
        }
        for (name, text) in
            std::iter::once(("gear", &self.gear)).chain(self.set.iter().map(|t| ("set", t)))
        {
            if let Some(problem) = text_problem(name, text, TEXT_CHARS.0) {
                return Some(problem);
            }
        }
        if let Some(bad) = self.set.iter().find(|t| t.contains(';')) {
            return Some(format!(
                "set = {}: a change of the table has no semicolon, which separates them",
                quoted(bad)
            ));
        }
        let p = &self.request.places;
        let table = p.cue.is_some() && p.object.is_some() && p.pocket.is_some();
        let angles = p.cut.is_some() && p.apart.is_some() && p.to_pocket.is_some();
        (!table && !angles).then(|| {
            "the shot is incomplete: give cue, object and pocket, or cut, apart and to_pocket"
                .to_owned()
        })
    }

    /// Whether it says which way it cuts: balls with places do, a cut with its side too.
    #[must_use]
    pub fn tells_cut(&self) -> bool {
        let places = &self.request.places;
        places.cut.is_none() || places.cut_side.is_some()
    }

    /// In a few words, for lists.
    #[must_use]
    pub fn in_few_words(&self) -> String {
        let p = &self.request.places;
        let text = |t: &Option<String>| t.clone().unwrap_or_default();
        if p.cue.is_some() {
            let (cue, object, pocket) = (text(&p.cue), text(&p.object), text(&p.pocket));
            format!("cue {cue}, object {object}, {pocket}")
        } else {
            let (cut, apart, to) = (text(&p.cut), text(&p.apart), text(&p.to_pocket));
            format!("{cut}, {apart} apart, {to} to pocket")
        }
    }
}

/// What is wrong with a text that may not be empty, too long or hold control characters.
fn text_problem(name: &str, text: &str, most: usize) -> Option<String> {
    if text.trim().is_empty() {
        Some(format!("{name} is empty: leave it out, or write something"))
    } else if text.chars().count() > most {
        Some(format!(
            "{name} is too long: at most {most} characters, not {}",
            text.chars().count()
        ))
    } else if text.chars().any(|c| c.is_control()) {
        Some(format!(
            "{name} = \"{}\" has a line end or control character: take it out",
            quoted(text)
        ))
    } else {
        None
    }
}

impl Attempt {
    /// What is wrong with the row, if anything.
    #[must_use]
    pub fn problem(&self) -> Option<String> {
        check_label(&self.student)
            .err()
            .as_ref()
            .map(StudentError::to_string)
            .or_else(|| self.shot.problem())
            .or_else(|| {
                let id = self.id.as_deref();
                id.and_then(|t| text_problem("id", t, TEXT_CHARS.1))
            })
            .or_else(|| self.count_problem())
            .or_else(|| self.windows.as_ref().and_then(Windows::problem))
            .or_else(|| {
                let session = self.session.as_deref();
                session.and_then(|t| text_problem("session", t, TEXT_CHARS.1))
            })
            .or_else(|| {
                let note = self.note.as_deref();
                note.and_then(|t| text_problem("note", t, TEXT_CHARS.2))
            })
            .or_else(|| {
                let sheet = self.sheet.as_deref()?;
                match super::code::read_code(sheet) {
                    Ok(code) if code == sheet => None,
                    Ok(code) => Some(format!("sheet = {}: write it as {code}", quoted(sheet))),
                    Err(fault) => Some(fault.to_string()),
                }
            })
            .or_else(|| match (self.rung, &self.sheet) {
                (Some(0), _) => Some("rung = 0: rungs count from 1".to_owned()),
                (Some(rung), None) => {
                    Some(format!("rung = {rung} of no sheet: give the sheet's code"))
                }
                _ => None,
            })
    }

    fn count_problem(&self) -> Option<String> {
        count_problem(self.tries, self.made, &self.misses.unwrap_or_default())
    }

    /// The tries as the fit wants them; `None` without a window. Misses whose side was not noted
    /// count as misses of no side.
    #[must_use]
    pub fn observation(&self) -> Option<Observation> {
        let windows = self.windows.as_ref().filter(|w| !w.allowed.is_empty())?;
        let sides = self.misses.map(|m| {
            let (full, thin) = (u64::from(m.full), u64::from(m.thin));
            let missed = u64::from(self.tries.saturating_sub(self.made));
            player::Misses {
                full,
                thin,
                other: missed.saturating_sub(full + thin),
            }
        });
        Some(Observation {
            tries: u64::from(self.tries),
            made: u64::from(self.made),
            cut_told: self.shot.tells_cut(),
            sides,
            ..windows.observation(self.cut)
        })
    }
}

/// What is wrong with counts, if anything.
pub(super) fn count_problem(tries: u32, made: u32, misses: &MissSides) -> Option<String> {
    if !(1..=MOST_TRIES).contains(&tries) {
        return Some(format!(
            "{tries} tries: a row has 1 to {MOST_TRIES} of them"
        ));
    }
    if made > tries {
        return Some(format!(
            "{made} made of {tries} tries: at most {tries} can be made"
        ));
    }
    let (noted, missed) = (misses.total(), u64::from(tries - made));
    (noted > missed)
        .then(|| format!("{noted} misses noted, but {made} made of {tries} tries leaves {missed}"))
}
