//! From an older schema to the newest. A new log is made the same way, so that both are alike.
//!
//! Schema 2: what was taken back is kept beside the log until it is put back or forgotten, and what
//! a fit counts stands in an index of its own, with a checksum, so that a long log is added up
//! without reading its rows.
//!
//! Schema 3: texts that a shot's request has been given since schema 1 stand in one column, as JSON by
//! name, so that the next one needs no schema of its own.
//!
//! Schema 4: a row and a sheet say which edition of the solver their windows are of (see `again`); those
//! of earlier schemas are of an earlier one.
//!
//! Schema 5: what the page keeps beside the tries (see `shelf`).

use rusqlite::{Connection, params};

use super::cells::{Counts, row_sum, shot_sum};
use super::rows::{LATER, first_column_list, read_cells, width};

/// The schema this version reads and writes.
pub(super) const SCHEMA: i64 = 5;

/// Rows read before they are written, so that no row is changed under the reader's eyes.
const BATCH: i64 = 1000;

/// `shot`: checksum of the shot and its windows. `counted`: checksum of what a fit counts.
const COLUMNS_2: &str = "
    ALTER TABLE attempt ADD COLUMN shot INTEGER NOT NULL DEFAULT 0;
    ALTER TABLE attempt ADD COLUMN counted INTEGER NOT NULL DEFAULT 0;
";

/// The indexes come after the rows are filled: building them once is quicker. `attempt_student` and
/// `attempt_day` end in the row's number, so that rows come in the order they were recorded.
///
/// What was taken back stands in tables like those it came from, in which nothing need be unique.
const TABLES_2: &str = "
    DROP INDEX attempt_student;
    CREATE INDEX attempt_student ON attempt (student_id);
    CREATE INDEX attempt_day ON attempt (day);
    CREATE INDEX attempt_sheet ON attempt (student_id, sheet) WHERE sheet IS NOT NULL;
    CREATE INDEX attempt_counts
        ON attempt (student_id, day, shot, tries, made, \"full\", thin, counted);

    CREATE TABLE entry_back (
        turn INTEGER PRIMARY KEY AUTOINCREMENT,
        id INTEGER NOT NULL UNIQUE,
        kind TEXT NOT NULL,
        recorded TEXT NOT NULL,
        before TEXT,
        -- JSON of the student as the entry had left it.
        after TEXT
    ) STRICT;
    CREATE TABLE student_back (
        label TEXT NOT NULL, hand TEXT, reach_mm REAL, entry_id INTEGER NOT NULL
    ) STRICT;
    -- In another order than `sheet`: a salvage tells tables by the shape of their rows.
    CREATE TABLE sheet_back (
        entry_id INTEGER NOT NULL, code TEXT NOT NULL, kind TEXT NOT NULL, body TEXT NOT NULL,
        checksum INTEGER NOT NULL
    ) STRICT;
    -- With the label, since a student's number may be given again.
    CREATE TABLE attempt_back AS
        SELECT attempt.*, student.label FROM attempt JOIN student WHERE 0;
    CREATE INDEX attempt_back_entry ON attempt_back (entry_id);
";

/// `edition`: see `again`. Rows that wait to be solved again stand in an index of their own, which is
/// empty as soon as none does. `windows_before`: windows that rows had, each shot once, with the shot
/// (as JSON, by the columns' names), under the checksum they had and the one they have.
const TABLES_4: &str = "
    ALTER TABLE attempt ADD COLUMN edition INTEGER NOT NULL DEFAULT 1;
    ALTER TABLE attempt_back ADD COLUMN edition INTEGER NOT NULL DEFAULT 1;
    ALTER TABLE sheet ADD COLUMN edition INTEGER NOT NULL DEFAULT 1;
    ALTER TABLE sheet_back ADD COLUMN edition INTEGER NOT NULL DEFAULT 1;
    CREATE INDEX attempt_earlier ON attempt (shot) WHERE edition = 1;
    CREATE TABLE windows_before (
        was INTEGER PRIMARY KEY, edition INTEGER NOT NULL, now INTEGER NOT NULL,
        solved INTEGER NOT NULL, shot TEXT NOT NULL, windows TEXT NOT NULL
    ) STRICT;
";

/// The shelf's number stands last: a salvage tells tables by the shape of their rows, and these are of no other.
const TABLES_5: &str = "
    CREATE TABLE shelf (
        name TEXT NOT NULL, shot TEXT NOT NULL, place INTEGER NOT NULL,
        id INTEGER PRIMARY KEY AUTOINCREMENT
    ) STRICT;
    CREATE TABLE period (label TEXT NOT NULL PRIMARY KEY, since TEXT NOT NULL) STRICT;
";

/// Brings the tables of a log from schema `from` to the newest; the caller's transaction keeps all
/// of it or nothing.
pub(super) fn to_newest(change: &Connection, from: i64) -> rusqlite::Result<()> {
    if from < 2 {
        change.execute_batch(COLUMNS_2)?;
        fill(change)?;
        change.execute_batch(TABLES_2)?;
    }
    if from < 3 {
        for table in ["attempt", "attempt_back"] {
            change.execute_batch(&format!("ALTER TABLE {table} ADD COLUMN {LATER} TEXT"))?;
        }
    }
    if from < 4 {
        change.execute_batch(TABLES_4)?;
    }
    if from < 5 {
        change.execute_batch(TABLES_5)?;
    }
    change.pragma_update(None, "user_version", SCHEMA)
}

fn fill(change: &Connection) -> rusqlite::Result<()> {
    let sql = format!(
        "SELECT {}, checksum, number, day FROM attempt JOIN student ON student.id = student_id \
         WHERE number > ?1 ORDER BY number LIMIT {BATCH}",
        first_column_list("student.label")
    );
    let mut read = change.prepare(&sql)?;
    let mut write =
        change.prepare("UPDATE attempt SET shot = ?1, counted = ?2 WHERE number = ?3")?;
    let mut last = 0_i64;
    loop {
        let batch = read
            .query_map([last], |row| {
                let (cells, sum) = read_cells(row)?;
                let number: i64 = row.get(width() + 1)?;
                let day: String = row.get(width() + 2)?;
                let shot = shot_sum(&cells);
                let counted = Counts::of(&cells).sum(&cells[1], &day, shot);
                let sound = row_sum(&cells) == sum;
                // A row that was damaged before stays known as damaged.
                Ok((number, shot, if sound { counted } else { !counted }))
            })?
            .collect::<rusqlite::Result<Vec<(i64, i64, i64)>>>()?;
        let Some(end) = batch.last() else {
            return Ok(());
        };
        last = end.0;
        for (number, shot, counted) in &batch {
            write.execute(params![shot, counted, number])?;
        }
    }
}
