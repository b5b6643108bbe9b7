//! All of a student gone for good: from the log, from what was taken back, from its backups.
//!
//! SQLite is told to overwrite what it deletes, and the file is then written anew without the room
//! that earlier changes left in it, so that no byte of the student stays behind in files the program
//! keeps. Whoever still holds the log open could have some of it at hand: nobody may.
//!
//! Reference: SQLite, PRAGMA secure_delete and VACUUM (sqlite.org).

use std::ffi::OsStr;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, TransactionBehavior, params};

use super::backup::{backup_folder, backups, replaced};
use super::disk::{alone, beside, faults};
use super::error::LogError;
use super::handle::Log;
use super::sheet::{FOR_STUDENT, Sheet, body_sum};
use super::shelf;

/// How the name of a file begins that was on its way to another name.
const ON_ITS_WAY: &str = ".thincut-";

/// What goes with a student, or has gone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Forgetting {
    /// Whose.
    pub label: String,
    /// Rows of tries.
    pub rows: usize,
    /// Days they were played on, with the first and the last, where there are any.
    pub days: Option<(usize, String, String)>,
    /// Notes in those rows.
    pub notes: usize,
    /// Different ones of them that stand in rows of others too, as those of a shared tally do: there
    /// they stay.
    pub shared_notes: usize,
    /// Rows that had been taken back.
    pub taken_back: usize,
    /// Codes of sheets that are theirs alone, or hold nothing but their marks.
    pub own_sheets: Vec<String>,
    /// Codes of sheets that others use too: they keep the rest.
    pub shared_sheets: Vec<String>,
    /// Automatic backups.
    pub backups: Vec<PathBuf>,
    /// Logs that were put aside when a backup took their place.
    pub replaced: Vec<PathBuf>,
    /// Files that may hold the student and are left alone: what lies in the folder of the backups
    /// under another name, and files on their way to a name beside the log.
    pub left: Vec<PathBuf>,
}

/// What becomes of a sheet that names the student.
#[derive(Debug)]
struct Change {
    table: &'static str,
    row: i64,
    code: String,
    /// The sheet without the student; none when all of it goes.
    body: Option<String>,
}

/// In what the log holds, everything of student `?1` but the student's own row: should the work stop
/// half-way, they can be named again.
const GONE: [&str; 9] = [
    "INSERT OR IGNORE INTO touched SELECT entry_id FROM attempt
     WHERE student_id = (SELECT id FROM student WHERE label = ?1 COLLATE BINARY)",
    "INSERT OR IGNORE INTO touched SELECT id FROM entry
     WHERE json_valid(before) AND json_extract(before, '$.label') = ?1",
    "DELETE FROM attempt
     WHERE student_id = (SELECT id FROM student WHERE label = ?1 COLLATE BINARY)",
    "UPDATE entry SET before = NULL
     WHERE json_valid(before) AND json_extract(before, '$.label') = ?1",
    "DELETE FROM attempt_back WHERE label = ?1",
    "DELETE FROM student_back WHERE label = ?1",
    "UPDATE entry_back SET before = NULL, after = NULL
     WHERE json_valid(before) AND json_extract(before, '$.label') = ?1",
    "DELETE FROM entry_back WHERE before IS NULL
     AND NOT EXISTS (SELECT 1 FROM attempt_back WHERE entry_id = entry_back.id)
     AND NOT EXISTS (SELECT 1 FROM student_back WHERE entry_id = entry_back.id)
     AND NOT EXISTS (SELECT 1 FROM sheet_back WHERE entry_id = entry_back.id)",
    "INSERT OR IGNORE INTO touched SELECT entry_id FROM student WHERE label = ?1 COLLATE BINARY",
];

/// Entries that held nothing but what is gone.
const EMPTIED: &str = "DELETE FROM entry WHERE id IN (SELECT id FROM touched) AND before IS NULL
    AND NOT EXISTS (SELECT 1 FROM attempt WHERE entry_id = entry.id)
    AND NOT EXISTS (SELECT 1 FROM student WHERE entry_id = entry.id)
    AND NOT EXISTS (SELECT 1 FROM sheet WHERE entry_id = entry.id)";

/// Takes all of a student out of a log, of what was taken back there, and of the backups: rows,
/// notes, own sheets, entries, the period that counts, and the player of shots on the shelf. A sheet that others use keeps the others under the same code. The
/// backups are deleted, with every log that was put aside; making a new one is the caller's, who
/// knows the day ([`Log::back_up_daily`]).
///
/// # Errors
/// [`LogError::UnknownStudent`], [`LogError::InUse`] while another program has the log open,
/// [`LogError::Damaged`] for a log that is not sound, [`LogError::Backup`] when a backup cannot be
/// deleted: nothing in the log was changed then. The faults of writing: it can be done again.
pub fn forget(path: &Path, label: &str) -> Result<Forgetting, LogError> {
    // Takes a journal in, and an older schema to the newest.
    drop(Log::open_existing(path)?);
    let in_use = || LogError::InUse {
        path: path.to_owned(),
    };
    let mut log = Log {
        connection: alone(path)?.ok_or_else(in_use)?,
        path: path.to_owned(),
    };
    let (found, changes) = log.forgetting(label)?;
    let problem = faults(&log.connection, 1).map_err(|e| log.fault(&e))?.pop();
    if let Some(problem) = problem {
        return Err(log.damaged(problem));
    }
    for copy in found.backups.iter().chain(&found.replaced) {
        for file in [copy.clone(), beside(copy, "-wal"), beside(copy, "-shm")] {
            match fs::remove_file(&file) {
                Err(e) if e.kind() != io::ErrorKind::NotFound => {
                    return Err(LogError::Backup {
                        path: file,
                        reason: e.to_string(),
                    });
                }
                _ => {}
            }
        }
    }
    log.erase(label, &changes)?;
    Ok(found)
}

impl Log {
    /// What [`forget`] would take away. Changes nothing.
    ///
    /// # Errors
    /// [`LogError::UnknownStudent`] suggesting the nearest, [`LogError::Damaged`] and the faults of
    /// reading.
    pub fn would_forget(&self, label: &str) -> Result<Forgetting, LogError> {
        Ok(self.at_one_moment(|log| log.forgetting(label))?.0)
    }

    fn forgetting(&self, label: &str) -> Result<(Forgetting, Vec<Change>), LogError> {
        let changes = self.changes(label)?;
        let fault = |e: rusqlite::Error| self.fault(&e);
        let known: bool = self
            .connection
            .query_row(
                "SELECT EXISTS (SELECT 1 FROM student WHERE label = ?1 COLLATE BINARY)
                 OR EXISTS (SELECT 1 FROM student_back WHERE label = ?1)
                 OR EXISTS (SELECT 1 FROM attempt_back WHERE label = ?1)",
                [label],
                |row| row.get(0),
            )
            .map_err(fault)?;
        if !known && changes.is_empty() {
            self.student(label)?;
        }
        let mut found = self.rows_of(label)?;
        for change in &changes {
            let codes = match change.body {
                None => &mut found.own_sheets,
                Some(_) => &mut found.shared_sheets,
            };
            codes.push(change.code.clone());
        }
        found.backups = backups(&self.path)?;
        found.replaced = replaced(&self.path)?;
        found.left = left(&self.path, &[&found.backups, &found.replaced]);
        Ok((found, changes))
    }

    /// What the student's own rows hold.
    fn rows_of(&self, label: &str) -> Result<Forgetting, LogError> {
        let fault = |e: rusqlite::Error| self.fault(&e);
        let count = |n: i64| usize::try_from(n).unwrap_or_default();
        let mut found = self
            .connection
            .query_row(
                "SELECT count(*), count(DISTINCT day), min(day), max(day), count(note)
                 FROM attempt JOIN student ON student.id = student_id
                 WHERE student.label = ?1 COLLATE BINARY",
                [label],
                |row| {
                    let days: (i64, Option<String>, Option<String>) =
                        (row.get(1)?, row.get(2)?, row.get(3)?);
                    Ok(Forgetting {
                        label: label.to_owned(),
                        rows: count(row.get(0)?),
                        days: days.1.zip(days.2).map(|(a, b)| (count(days.0), a, b)),
                        notes: count(row.get(4)?),
                        shared_notes: 0,
                        taken_back: 0,
                        own_sheets: Vec::new(),
                        shared_sheets: Vec::new(),
                        backups: Vec::new(),
                        replaced: Vec::new(),
                        left: Vec::new(),
                    })
                },
            )
            .map_err(fault)?;
        let counted = |sql: &str| -> Result<usize, LogError> {
            self.connection
                .query_row(sql, [label], |row| row.get(0))
                .map(count)
                .map_err(fault)
        };
        found.shared_notes = counted(
            "SELECT count(*) FROM (
             SELECT note FROM attempt JOIN student ON student.id = student_id
             WHERE student.label = ?1 COLLATE BINARY AND note IS NOT NULL
             INTERSECT
             SELECT note FROM attempt JOIN student ON student.id = student_id
             WHERE student.label <> ?1 COLLATE BINARY)",
        )?;
        found.taken_back = counted("SELECT count(*) FROM attempt_back WHERE label = ?1")?;
        Ok(found)
    }

    /// The sheets that name the student, taken back or not.
    fn changes(&self, label: &str) -> Result<Vec<Change>, LogError> {
        let fault = |e: rusqlite::Error| self.fault(&e);
        let mut changes = Vec::new();
        for table in ["sheet", "sheet_back"] {
            // A label's characters stand in JSON as they are.
            let sql = format!(
                "SELECT rowid, code, body, checksum FROM {table} WHERE instr(body, ?1) ORDER BY rowid"
            );
            let mut query = self.connection.prepare(&sql).map_err(fault)?;
            let mut rows = query.query([label]).map_err(fault)?;
            while let Some(row) = rows.next().map_err(fault)? {
                let read = || -> rusqlite::Result<(i64, String, String, i64)> {
                    Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
                };
                let (number, code, body, sum) = read().map_err(fault)?;
                self.check_body(&code, &body, sum)?;
                let sheet: Sheet = serde_json::from_str(&body)
                    .map_err(|e| self.damaged(format!("sheet {code}: {e}")))?;
                if let Some(rest) = without(sheet, label, || self.others_use(&code, label))? {
                    changes.push(Change {
                        table,
                        row: number,
                        code,
                        body: rest.map(|sheet| sheet.body()).transpose()?,
                    });
                }
            }
        }
        Ok(changes)
    }

    /// Whether somebody else has tries of a sheet, taken back or not.
    fn others_use(&self, code: &str, label: &str) -> Result<bool, LogError> {
        self.connection
            .query_row(
                "SELECT EXISTS (SELECT 1 FROM attempt JOIN student ON student.id = student_id
                     WHERE sheet = ?1 AND student.label <> ?2 COLLATE BINARY)
                 OR EXISTS (SELECT 1 FROM attempt_back WHERE \"sheet\" = ?1 AND label <> ?2)",
                [code, label],
                |row| row.get(0),
            )
            .map_err(|e| self.fault(&e))
    }

    /// Deletes, and leaves no trace in the file nor beside it. Nobody else has the log open.
    fn erase(&mut self, label: &str, changes: &[Change]) -> Result<(), LogError> {
        let path = self.path.clone();
        let fault = |e: rusqlite::Error| LogError::from_sqlite(&path, &e);
        let connection = &mut self.connection;
        connection
            .pragma_update_and_check(None, "secure_delete", "ON", |_| Ok(()))
            .map_err(fault)?;
        take_out(connection, label, changes)
            .and_then(|()| connection.execute_batch("VACUUM"))
            .and_then(|()| take_student(connection, label))
            .map_err(fault)?;
        let busy: i64 = connection
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))
            .map_err(fault)?;
        if busy != 0 {
            return Err(LogError::InUse { path });
        }
        // The last one out: the empty journal goes too.
        self.leave_journal(false)
    }
}

fn take_out(connection: &mut Connection, label: &str, changes: &[Change]) -> rusqlite::Result<()> {
    let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    change.execute("CREATE TEMP TABLE touched (id INTEGER PRIMARY KEY)", [])?;
    for Change {
        table,
        row,
        code,
        body,
    } in changes
    {
        change.execute(
            &format!(
                "INSERT OR IGNORE INTO touched
                 SELECT entry_id FROM {table} WHERE rowid = ?1 AND entry_id IS NOT NULL"
            ),
            [row],
        )?;
        if let Some(body) = body {
            change.execute(
                &format!("UPDATE {table} SET body = ?1, checksum = ?2 WHERE rowid = ?3"),
                params![body, body_sum(code, body), row],
            )?;
        } else {
            change.execute(&format!("DELETE FROM {table} WHERE rowid = ?1"), [row])?;
        }
    }
    shelf::without(&change, label)?;
    for sql in GONE {
        let marks = usize::from(sql.contains("?1"));
        change.execute(sql, &[&label as &dyn rusqlite::ToSql; 1][..marks])?;
    }
    change.execute(EMPTIED, [])?;
    change.commit()
}

fn take_student(connection: &mut Connection, label: &str) -> rusqlite::Result<()> {
    let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    change.execute(
        "DELETE FROM student WHERE label = ?1 COLLATE BINARY",
        [label],
    )?;
    change.execute(EMPTIED, [])?;
    change.commit()
}

/// A sheet without the student: `None` when it never named them, `Some(None)` when nothing is left.
fn without(
    mut sheet: Sheet,
    label: &str,
    others_use: impl FnOnce() -> Result<bool, LogError>,
) -> Result<Option<Option<Sheet>>, LogError> {
    let is_theirs = |owner: Option<&str>| owner == Some(label);
    let marks: Vec<usize> = sheet
        .numbered()
        .filter(|(_, rung)| is_theirs(rung.student.as_deref()))
        .map(|(number, _)| number)
        .collect();
    let titled = is_theirs(sheet.drawn_for());
    if marks.is_empty() && !titled {
        return Ok(None);
    }
    sheet.rungs.retain(|r| !is_theirs(r.student.as_deref()));
    if sheet.rungs.is_empty() || titled && !others_use()? {
        return Ok(Some(None));
    }
    sheet.gone.extend(marks);
    sheet.gone.sort_unstable();
    if titled && let Some((rest, _)) = sheet.title.split_once(FOR_STUDENT) {
        sheet.title = rest.to_owned();
    }
    Ok(Some(Some(sheet)))
}

/// Files that may hold the student and are not ours to delete.
fn left(log: &Path, ours: &[&[PathBuf]]) -> Vec<PathBuf> {
    let names = |folder: &Path, wanted: &dyn Fn(&Path, &OsStr) -> bool| -> Vec<PathBuf> {
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        entries
            .filter(|e| wanted(&e.path(), &e.file_name()))
            .map(|e| e.path())
            .collect()
    };
    let goes = |path: &Path| {
        let all = || ours.iter().copied().flatten();
        all().any(|copy| {
            ["", "-wal", "-shm"]
                .iter()
                .any(|suffix| beside(copy, suffix) == path)
        })
    };
    let mut found = names(&backup_folder(log), &|path, _| !goes(path));
    let folder = match log.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    found.extend(names(folder, &|_, name| {
        name.to_string_lossy().starts_with(ON_ITS_WAY)
    }));
    found.sort();
    found
}
