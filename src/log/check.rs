//! Is the log sound? The whole file, and every row and sheet by its checksum.

use super::backup::backups;
use super::cells::row_sum;
use super::disk::faults;
use super::error::LogError;
use super::handle::Log;
use super::rows::{column_list, read_cells};

/// Most faults told of each kind.
const TOLD: usize = 20;

/// What a check found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Health {
    /// Rows that are as they were recorded.
    pub rows: usize,
    /// Students.
    pub students: usize,
    /// Sheets that are as they were kept.
    pub sheets: usize,
    /// What is wrong; nothing when the log is sound.
    pub problems: Vec<String>,
    /// The automatic backups, the newest first.
    pub backups: Vec<std::path::PathBuf>,
}

impl Log {
    /// Reads all of the log and says what is wrong with it. Takes time in proportion to its size.
    ///
    /// # Errors
    /// The faults of reading, where they are not damage.
    pub fn check(&self) -> Result<Health, LogError> {
        let mut problems = damage(faults(&self.connection, TOLD).map_err(|e| self.fault(&e)))?;
        let mut rows = 0;
        let bad = damage(self.check_rows(&mut rows))?;
        let students = self.students();
        let sheets = self.sheets();
        let (count, kept) = (
            students.as_ref().map_or(0, Vec::len),
            sheets.as_ref().map_or(0, Vec::len),
        );
        problems.extend(bad);
        problems.extend(damage(students.map(|_| Vec::new()))?);
        problems.extend(damage(sheets.map(|_| Vec::new()))?);
        problems.dedup();
        Ok(Health {
            rows,
            students: count,
            sheets: kept,
            problems,
            backups: backups(&self.path)?,
        })
    }

    /// Rows that do not match their checksum, and a count of those that do.
    fn check_rows(&self, sound: &mut usize) -> Result<Vec<String>, LogError> {
        let fault = |e: rusqlite::Error| self.fault(&e);
        let sql = format!(
            "SELECT {}, checksum FROM attempt LEFT JOIN student ON student.id = student_id ORDER BY number",
            column_list(Some("student.label"))
        );
        let mut query = self.connection.prepare(&sql).map_err(fault)?;
        let mut rows = query.query([]).map_err(fault)?;
        let mut bad = Vec::new();
        while let Some(row) = rows.next().map_err(fault)? {
            let (cells, sum) = read_cells(row).map_err(fault)?;
            if row_sum(&cells) == sum {
                *sound += 1;
            } else if bad.len() < TOLD {
                bad.push(format!("row {} does not match its checksum", cells[0]));
            }
        }
        Ok(bad)
    }
}

/// Damage is what a check is for; every other fault ends it.
fn damage(found: Result<Vec<String>, LogError>) -> Result<Vec<String>, LogError> {
    match found {
        Err(LogError::Damaged { reason, .. }) => Ok(vec![reason]),
        other => other,
    }
}
