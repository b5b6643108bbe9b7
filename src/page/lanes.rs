//! Who works when: answers of a drag, maps and long work each wait in a queue of their own, so that
//! a ladder somebody draws up holds up nobody's drag.

use std::sync::Arc;
use std::thread::available_parallelism;

use rayon::{ThreadPool, ThreadPoolBuildError, ThreadPoolBuilder};
use tokio::sync::{AcquireError, OwnedSemaphorePermit, Semaphore};

/// Cores counted on where the system does not say.
const CORES: usize = 2;

/// What a piece of work is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lane {
    /// About a millisecond: one a core at once.
    Light,
    /// A map of places: it takes all cores for some hundredths of a second, so one at once.
    Map,
    /// Everything longer: on half of the cores' number at once, one at least.
    Long,
}

/// The queues, and the threads of the maps: in the common pool a map would wait for long work.
#[derive(Debug)]
pub(super) struct Lanes {
    light: Arc<Semaphore>,
    map: Arc<Semaphore>,
    long: Arc<Semaphore>,
    pool: ThreadPool,
}

impl Lanes {
    pub(super) fn new() -> Result<Self, ThreadPoolBuildError> {
        let cores = available_parallelism().map_or(CORES, usize::from);
        let room = |places: usize| Arc::new(Semaphore::new(places.max(1)));
        let pool = ThreadPoolBuilder::new()
            .num_threads(cores)
            .thread_name(|k| format!("map {k}"));
        Ok(Self {
            light: room(cores),
            map: room(1),
            long: room(cores / 2),
            pool: pool.build()?,
        })
    }

    /// Waits for a place; it is free again when the permit goes.
    pub(super) async fn place(&self, lane: Lane) -> Result<OwnedSemaphorePermit, AcquireError> {
        let queue = match lane {
            Lane::Light => &self.light,
            Lane::Map => &self.map,
            Lane::Long => &self.long,
        };
        Arc::clone(queue).acquire_owned().await
    }

    /// The threads of the maps.
    pub(super) fn pool(&self) -> &ThreadPool {
        &self.pool
    }
}
