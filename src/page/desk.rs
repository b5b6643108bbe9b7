//! The practice log behind the page: one connection that writes and one that only reads, so that a
//! write that waits for another program holds up no drag, and the fits of the students at hand.

use std::collections::HashMap;
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::fault::ApiFault;
use super::options::Clock;
use crate::log::{Known, Log, LogError, Practice, Since, Unknown, known};

/// What is known of a student, or why nothing is.
pub(super) type Fitted = Arc<Result<Known, Unknown>>;

/// The log and what was worked out of it.
#[derive(Debug)]
pub(super) struct Desk {
    reading: Mutex<Log>,
    writing: Mutex<Log>,
    /// Fits, and the state of the log they were made from.
    fits: Mutex<(i64, HashMap<String, Fitted>)>,
    clock: Clock,
    since: Since,
}

/// A poisoned lock only means another request panicked; the log is whole, as every write is.
fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Desk {
    /// Opens the log, making it when missing.
    pub(super) fn open(path: &Path, clock: Clock, since: Since) -> Result<Self, LogError> {
        let writing = Log::open(path)?;
        Ok(Self {
            reading: Mutex::new(Log::open_reading(path)?),
            writing: Mutex::new(writing),
            fits: Mutex::new((0, HashMap::new())),
            clock,
            since,
        })
    }

    /// From when on the tries of those count of whom no other period was asked for.
    pub(super) fn usual(&self) -> &Since {
        &self.since
    }

    /// From when on a student's tries count: as it was asked for of this one, else as of all.
    pub(super) fn since(&self, label: &str) -> Result<Since, ApiFault> {
        match self.read(|log| log.period_asked(label))? {
            Some(text) => Ok(Since::read(&text, &(self.clock)()?).map_err(LogError::from)?),
            None => Ok(self.since.clone()),
        }
    }

    pub(super) fn read<T>(
        &self,
        work: impl FnOnce(&Log) -> Result<T, LogError>,
    ) -> Result<T, ApiFault> {
        Ok(work(&held(&self.reading))?)
    }

    /// With the backup of the day made before. May wait for another program: not on a thread that
    /// answers.
    pub(super) fn write<T>(
        &self,
        work: impl FnOnce(&mut Log) -> Result<T, LogError>,
    ) -> Result<T, ApiFault> {
        let mut log = held(&self.writing);
        match log.back_up_daily(&(self.clock)()?) {
            // No room for a copy: the tally comes first.
            Ok(_) | Err(LogError::Backup { .. }) => Ok(work(&mut log)?),
            Err(fault) => Err(fault.into()),
        }
    }

    /// What a student tried, with windows of this edition of the solver where no other write is under
    /// way: tries at a sheet of an earlier one come with those printed then.
    pub(super) fn practice(&self, label: &str) -> Result<Practice, ApiFault> {
        if self.read(Log::has_earlier)?
            && let Ok(mut log) = self.writing.try_lock()
        {
            // Where there is no room for a copy the windows stay as they are.
            drop(log.solve_again(&mut |_, _| {}));
        }
        self.read(|log| log.practice(label, None))
    }

    /// What the log says of a student now.
    pub(super) fn known(&self, label: &str) -> Result<Fitted, ApiFault> {
        let version = self.read(Log::version)?;
        {
            let mut fits = held(&self.fits);
            if fits.0 != version {
                *fits = (version, HashMap::new());
            }
            if let Some(fit) = fits.1.get(label) {
                return Ok(Arc::clone(fit));
            }
        }
        let practice = self.practice(label)?;
        let since = self.since(label)?;
        let fit: Fitted = Arc::new(known(label, &practice, &since));
        let mut fits = held(&self.fits);
        if fits.0 == version {
            fits.1.insert(label.to_owned(), Arc::clone(&fit));
        }
        Ok(fit)
    }
}
