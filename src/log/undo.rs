//! Taking the last entry back, whole, and saying what it was.

use rusqlite::{OptionalExtension, TransactionBehavior, params};
use serde::Deserialize;

use super::attempt::Attempt;
use super::error::LogError;
use super::open::Log;
use super::store::EntryKind;

/// An entry that is no more.
#[derive(Debug, Clone, PartialEq)]
pub struct Undone {
    /// Its number.
    pub entry: i64,
    /// How it came about.
    pub kind: EntryKind,
    /// When it was recorded, as written then.
    pub recorded: String,
    /// The rows it had.
    pub attempts: Vec<Attempt>,
    /// Students it had added, gone again.
    pub students: Vec<String>,
    /// Students it had changed, now as they were.
    pub restored: Vec<String>,
    /// Codes of sheets it had brought.
    pub sheets: Vec<String>,
}

/// A student as noted in an entry.
#[derive(Debug, Deserialize)]
struct Before {
    label: String,
    hand: Option<String>,
    reach_mm: Option<f64>,
}

impl Log {
    /// Removes the last entry; `None` when there is none.
    ///
    /// # Errors
    /// [`LogError::Damaged`] and the faults of writing; the entry stays then.
    pub fn undo(&mut self) -> Result<Option<Undone>, LogError> {
        let path = self.path.clone();
        let fault = |e: rusqlite::Error| LogError::from_sqlite(&path, &e);
        // Taken before reading, so that the entry shown is the entry removed.
        let lock =
            rusqlite::Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate)
                .map_err(fault)?;
        let last: Option<(i64, String, String, Option<String>)> = lock
            .query_row(
                "SELECT id, kind, recorded, before FROM entry ORDER BY id DESC LIMIT 1",
                [],
                |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?)),
            )
            .optional()
            .map_err(fault)?;
        let Some((entry, kind, recorded, before)) = last else {
            return Ok(None);
        };
        let kind = EntryKind::read(&kind)
            .ok_or_else(|| self.damaged(format!("entry {entry} is of no known kind")))?;
        let before: Option<Before> = before
            .map(|text| serde_json::from_str(&text))
            .transpose()
            .map_err(|e| self.damaged(format!("entry {entry}: {e}")))?;
        let attempts = self.select("attempt.entry_id = ?1", vec![entry.into()])?;
        let names = |sql: &str| -> rusqlite::Result<Vec<String>> {
            lock.prepare(sql)?
                .query_map([entry], |row| row.get(0))?
                .collect()
        };
        let students =
            names("SELECT label FROM student WHERE entry_id = ?1 ORDER BY label").map_err(fault)?;
        let sheets =
            names("SELECT code FROM sheet WHERE entry_id = ?1 ORDER BY code").map_err(fault)?;
        if let Some(b) = &before {
            lock.execute(
                "UPDATE student SET hand = ?1, reach_mm = ?2 WHERE label = ?3",
                params![b.hand, b.reach_mm, b.label],
            )
            .map_err(fault)?;
        }
        for sql in [
            "DELETE FROM attempt WHERE entry_id = ?1",
            "DELETE FROM student WHERE entry_id = ?1",
            "DELETE FROM sheet WHERE entry_id = ?1",
            "DELETE FROM entry WHERE id = ?1",
        ] {
            lock.execute(sql, [entry]).map_err(fault)?;
        }
        lock.commit().map_err(fault)?;
        Ok(Some(Undone {
            entry,
            kind,
            recorded,
            attempts,
            students,
            restored: before.map(|b| b.label).into_iter().collect(),
            sheets,
        }))
    }
}
