//! Taking an entry back, whole, and saying what it was.

use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};
use serde::Deserialize;

use super::attempt::Attempt;
use super::error::LogError;
use super::open::Log;
use super::store::EntryKind;

/// An entry that is no more, or would be.
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

/// What came of taking an entry back.
#[derive(Debug, Clone, PartialEq)]
pub enum Undoing {
    /// It is no more.
    Done(Undone),
    /// It was not agreed to; the entry stays.
    Left(Undone),
    /// The log has no entries.
    Nothing,
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
    /// As [`Log::undo_if`].
    pub fn undo(&mut self) -> Result<Option<Undone>, LogError> {
        Ok(match self.undo_if(None, |_| true)? {
            Undoing::Done(undone) => Some(undone),
            Undoing::Left(_) | Undoing::Nothing => None,
        })
    }

    /// Removes an entry, the last one unless its number is given, if `agreed` to what it holds. An
    /// entry before the last can go when it only holds rows: students and sheets have others rest
    /// on them.
    ///
    /// # Errors
    /// [`LogError::NoEntry`], [`LogError::NotLast`], [`LogError::Damaged`] and the faults of
    /// writing; the entry stays then.
    pub fn undo_if(
        &mut self,
        entry: Option<i64>,
        agreed: impl FnOnce(&Undone) -> bool,
    ) -> Result<Undoing, LogError> {
        let path = self.path.clone();
        let fault = |e: rusqlite::Error| LogError::from_sqlite(&path, &e);
        // Taken before reading, so that the entry shown is the entry removed.
        let lock =
            rusqlite::Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate)
                .map_err(fault)?;
        let last: Option<i64> = lock
            .query_row("SELECT max(id) FROM entry", [], |row| row.get(0))
            .map_err(fault)?;
        let Some(number) = entry.or(last) else {
            return Ok(Undoing::Nothing);
        };
        let Some((undone, before)) = self.entry(number)? else {
            return Err(LogError::NoEntry { entry: number });
        };
        let rows_only = before.is_none() && undone.students.is_empty() && undone.sheets.is_empty();
        if last != Some(number) && !rows_only {
            return Err(LogError::NotLast { entry: number });
        }
        if !agreed(&undone) {
            return Ok(Undoing::Left(undone));
        }
        remove(&lock, number, before.as_ref()).map_err(fault)?;
        lock.commit().map_err(fault)?;
        Ok(Undoing::Done(undone))
    }

    /// What an entry holds, and the student it changed as it was.
    fn entry(&self, number: i64) -> Result<Option<(Undone, Option<Before>)>, LogError> {
        let fault = |e: rusqlite::Error| self.fault(&e);
        let found: Option<(String, String, Option<String>)> = self
            .connection
            .query_row(
                "SELECT kind, recorded, before FROM entry WHERE id = ?1",
                [number],
                |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
            )
            .optional()
            .map_err(fault)?;
        let Some((kind, recorded, before)) = found else {
            return Ok(None);
        };
        let kind = EntryKind::read(&kind)
            .ok_or_else(|| self.damaged(format!("entry {number} is of no known kind")))?;
        let before: Option<Before> = before
            .map(|text| serde_json::from_str(&text))
            .transpose()
            .map_err(|e| self.damaged(format!("entry {number}: {e}")))?;
        let names = |sql: &str| -> rusqlite::Result<Vec<String>> {
            self.connection
                .prepare(sql)?
                .query_map([number], |row| row.get(0))?
                .collect()
        };
        let undone = Undone {
            entry: number,
            kind,
            recorded,
            attempts: self.select("attempt.entry_id = ?1", vec![number.into()])?,
            students: names("SELECT label FROM student WHERE entry_id = ?1 ORDER BY label")
                .map_err(fault)?,
            restored: before
                .as_ref()
                .map(|b| b.label.clone())
                .into_iter()
                .collect(),
            sheets: names("SELECT code FROM sheet WHERE entry_id = ?1 ORDER BY code")
                .map_err(fault)?,
        };
        Ok(Some((undone, before)))
    }
}

fn remove(lock: &Connection, number: i64, before: Option<&Before>) -> rusqlite::Result<()> {
    if let Some(b) = before {
        lock.execute(
            "UPDATE student SET hand = ?1, reach_mm = ?2 WHERE label = ?3",
            params![b.hand, b.reach_mm, b.label],
        )?;
    }
    for sql in [
        "DELETE FROM attempt WHERE entry_id = ?1",
        "DELETE FROM student WHERE entry_id = ?1",
        "DELETE FROM sheet WHERE entry_id = ?1",
        "DELETE FROM entry WHERE id = ?1",
    ] {
        lock.execute(sql, [number])?;
    }
    Ok(())
}
