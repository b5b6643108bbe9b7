//! Asking long work to stop: whoever waited for it has gone, or its time is over.
//!
//! Work that takes longer than a moment looks at its [`Stop`] in its outer loops, every few
//! milliseconds, and gives up with [`Stopped`] when it was asked to. Nothing is interrupted by force.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use thiserror::Error;

/// Whether work should stop. Copies ask and are asked together.
#[derive(Debug, Clone)]
pub struct Stop(Option<Arc<AtomicBool>>);

/// Work that was asked to stop and did; there is no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("stopped, as nobody waits for the answer any more")]
pub struct Stopped;

/// Asks to stop when it is dropped.
#[derive(Debug)]
pub struct StopWhenDropped(Stop);

impl Stop {
    /// One that can be asked.
    #[must_use]
    pub fn new() -> Self {
        Self(Some(Arc::new(AtomicBool::new(false))))
    }

    /// One that nobody asks, for work that always runs to its end.
    #[must_use]
    pub fn never() -> Self {
        Self(None)
    }

    /// Asks all copies to stop; [`Stop::never`] does not listen.
    pub fn ask(&self) {
        if let Some(asked) = &self.0 {
            asked.store(true, Ordering::Relaxed);
        }
    }

    /// Whether it was asked.
    #[must_use]
    pub fn asked(&self) -> bool {
        self.0.as_ref().is_some_and(|a| a.load(Ordering::Relaxed))
    }

    /// Goes on, or gives up.
    ///
    /// # Errors
    /// [`Stopped`] when it was asked.
    pub fn check(&self) -> Result<(), Stopped> {
        if self.asked() { Err(Stopped) } else { Ok(()) }
    }

    /// Asks as soon as what is returned goes.
    #[must_use]
    pub fn when_dropped(&self) -> StopWhenDropped {
        StopWhenDropped(self.clone())
    }
}

impl Default for Stop {
    fn default() -> Self {
        Self::new()
    }
}

impl Drop for StopWhenDropped {
    fn drop(&mut self) {
        self.0.ask();
    }
}
