//! Rows as they come: read on a thread of its own, so that some can be answered while others are awaited.

use std::io::Read;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

use csv::{ByteRecord, Position, StringRecord};
use thincut::batch::Block;
use thincut::files::{ReadError, Rows, unguarded};

/// Rows handed over at once.
const ROWS_AT_ONCE: usize = 4096;
/// Once there is a row, so long is waited for more before they are answered.
const PATIENCE: Duration = Duration::from_millis(2);

/// Reads the next row's cells into `record`; `false` at the end.
pub(super) fn next_row<R: Read>(
    rows: &mut Rows<R>,
    record: &mut StringRecord,
) -> Result<bool, String> {
    let mut row: ByteRecord = std::mem::take(record).into_byte_record();
    let fault = |line, problem| format!("line {line}: {problem}");
    if !rows.read(&mut row).map_err(|e| fault(e.line, e.problem))? {
        return Ok(false);
    }
    let line = row.position().map_or(1, Position::line);
    *record = StringRecord::from_byte_record(row)
        .map_err(|_| fault(line, ReadError::NotText.to_string()))?;
    Ok(true)
}

/// A row's cells without what guards them in a spreadsheet.
pub(super) fn cells(record: &StringRecord) -> impl Iterator<Item = &str> {
    record.iter().map(unguarded)
}

/// Rows that were read and wait.
#[derive(Debug, Default)]
struct Waiting {
    rows: Block,
    /// No more will come.
    ended: bool,
    /// Why not, where something is wrong.
    fault: Option<String>,
    /// Nobody takes them any more.
    left: bool,
}

#[derive(Debug, Default)]
struct Shared {
    waiting: Mutex<Waiting>,
    /// There are enough, or no more will come.
    enough: Condvar,
    /// There is room again.
    taken: Condvar,
}

impl Shared {
    fn waiting(&self) -> MutexGuard<'_, Waiting> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Puts a row to the others once there is room; `false` when nobody takes them any more.
    fn push(&self, record: &StringRecord) -> bool {
        let full = |waiting: &mut Waiting| waiting.rows.len() >= ROWS_AT_ONCE && !waiting.left;
        let mut waiting = self
            .taken
            .wait_while(self.waiting(), full)
            .unwrap_or_else(PoisonError::into_inner);
        waiting.rows.push(cells(record));
        // The first one is waited for, and a whole block.
        if matches!(waiting.rows.len(), 1 | ROWS_AT_ONCE) {
            self.enough.notify_one();
        }
        !waiting.left
    }

    fn end(&self, fault: Option<String>) {
        let mut waiting = self.waiting();
        (waiting.ended, waiting.fault) = (true, fault);
        self.enough.notify_one();
    }
}

/// Rows read ahead.
#[derive(Debug)]
pub(super) struct Ahead(Arc<Shared>);

impl Ahead {
    pub(super) fn of<R: Read + Send + 'static>(mut rows: Rows<R>) -> Self {
        let shared = Arc::new(Shared::default());
        let reader = Arc::clone(&shared);
        thread::spawn(move || {
            let mut record = StringRecord::new();
            let fault = loop {
                match next_row(&mut rows, &mut record) {
                    Ok(true) if reader.push(&record) => {}
                    Ok(_) => break None,
                    Err(fault) => break Some(fault),
                }
            };
            reader.end(fault);
        });
        Self(shared)
    }

    /// Takes at least one row, and what else is there, into `block`; `false` at the end.
    pub(super) fn take(&self, block: &mut Block) -> Result<bool, String> {
        block.clear();
        let wait = |more: &mut Waiting| more.rows.is_empty() && !more.ended;
        let mut waiting = self
            .0
            .enough
            .wait_while(self.0.waiting(), wait)
            .unwrap_or_else(PoisonError::into_inner);
        let part = |more: &mut Waiting| more.rows.len() < ROWS_AT_ONCE && !more.ended;
        waiting = self
            .0
            .enough
            .wait_timeout_while(waiting, PATIENCE, part)
            .unwrap_or_else(PoisonError::into_inner)
            .0;
        if let Some(fault) = waiting.fault.take() {
            return Err(fault);
        }
        std::mem::swap(&mut waiting.rows, block);
        self.0.taken.notify_one();
        Ok(!block.is_empty())
    }
}

impl Drop for Ahead {
    fn drop(&mut self) {
        self.0.waiting().left = true;
        self.0.taken.notify_one();
    }
}
