//! One try, tapped on a phone at the table, and recorded once however often it is sent.
//!
//! A phone that hears no answer sends again. The row's id follows from what is in it, and its time
//! is the phone's, to the millisecond: the same tap finds its own row and is not kept twice.

use std::str::FromStr;

use rusqlite::OptionalExtension as _;

use super::attempt::{Attempt, MissSides, ShotEntered};
use super::cells::{content, id_for, to_cells};
use super::entry::EntryKind;
use super::error::LogError;
use super::handle::Log;
use super::when::When;
use super::windows::Windows;
use crate::shown::quoted;
use crate::units::Side;

/// What came of a try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It went in.
    Made,
    /// Missed, too full.
    Full,
    /// Missed, too thin.
    Thin,
    /// The ball did not arrive: the object ball at the pocket, or the cue ball at the object ball.
    Short,
    /// The cue ball went in.
    Scratch,
    /// Missed, nobody saw on which side.
    Unseen,
}

impl Outcome {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Made,
        Self::Full,
        Self::Thin,
        Self::Short,
        Self::Scratch,
        Self::Unseen,
    ];

    /// `made`, `full`, `thin`, `short`, `scratch` or `unseen`, as in a tally.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Made => "made",
            Self::Full => "full",
            Self::Thin => "thin",
            Self::Short => "short",
            Self::Scratch => "scratch",
            Self::Unseen => "unseen",
        }
    }
}

impl FromStr for Outcome {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        Self::ALL
            .into_iter()
            .find(|o| o.name() == text)
            .ok_or_else(|| {
                let known = Self::ALL.map(Self::name).join(", ");
                format!("\"{}\" is none of {known}", quoted(text))
            })
    }
}

/// A try at a shot.
#[derive(Debug, Clone, PartialEq)]
pub struct Tap {
    /// Whose.
    pub student: String,
    /// When, to the millisecond.
    pub when: When,
    /// Sheet and rung, from 1, when it was one of a sheet's.
    pub rung: Option<(String, u32)>,
    /// The shot.
    pub shot: ShotEntered,
    /// Which way it cuts.
    pub cut: Side,
    /// Its windows.
    pub windows: Option<Windows>,
    /// What came of it.
    pub outcome: Outcome,
}

/// Where a tap stands in the log.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tapped {
    /// Number of its entry.
    pub entry: i64,
    /// Whether it stood there already.
    pub again: bool,
}

impl Tap {
    fn attempt(self) -> Attempt {
        let mut sides = MissSides::default();
        let misses = match self.outcome {
            Outcome::Made => None,
            Outcome::Full => Some(&mut sides.full),
            Outcome::Thin => Some(&mut sides.thin),
            Outcome::Short => Some(&mut sides.short),
            Outcome::Scratch => Some(&mut sides.scratch),
            Outcome::Unseen => Some(&mut sides.not_seen),
        };
        let missed = misses.map(|side| *side = 1).is_some();
        let (sheet, rung) = self.rung.unzip();
        Attempt {
            id: None,
            student: self.student,
            when: self.when,
            session: None,
            sheet,
            rung,
            shot: self.shot,
            cut: self.cut,
            tries: 1,
            made: u32::from(!missed),
            misses: missed.then_some(sides),
            windows: self.windows,
            note: None,
        }
    }
}

impl Log {
    /// Records a tap as an entry of its own, unless it stands there already.
    ///
    /// # Errors
    /// [`LogError::Row`], [`LogError::UnknownStudent`] and the faults of writing.
    pub fn tap(&mut self, tap: Tap, recorded: &When) -> Result<Tapped, LogError> {
        let attempt = tap.attempt();
        if let Some(problem) = attempt.problem() {
            return Err(LogError::Row { row: 1, problem });
        }
        let mut cells = to_cells(&attempt);
        let id = id_for(content(&cells), 1);
        let mut writer = self.begin(EntryKind::Enter, recorded)?;
        if writer.row(&id)?.is_some() {
            drop(writer);
            let entry = self.entry_of(&id)?;
            return Ok(Tapped { entry, again: true });
        }
        writer.known(&attempt.student)?;
        cells[0] = id;
        writer.attempt(&cells, &attempt)?;
        let entry = writer.commit(1)?.entry;
        Ok(Tapped {
            entry,
            again: false,
        })
    }

    fn entry_of(&self, id: &str) -> Result<i64, LogError> {
        self.connection
            .query_row("SELECT entry_id FROM attempt WHERE id = ?1", [id], |row| {
                row.get(0)
            })
            .optional()
            .map_err(|e| self.fault(&e))?
            .ok_or_else(|| self.damaged(format!("row {id} was there a moment ago")))
    }
}
