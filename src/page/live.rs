//! What keeps screens in step: whoever listens is told when the practice log has changed, by a try of
//! any phone or by another program, which shot the coach shows, and when another student comes to a table.

use std::sync::Arc;

use tokio::sync::watch;

/// Where news are told.
#[derive(Debug)]
pub(super) struct Live(watch::Sender<Told>);

/// The newest that was told.
#[derive(Debug, Clone, Default)]
pub(super) struct Told {
    /// The address of the shot that the coach shows, such as `?cue=3,2.3`; nothing where none is.
    pub(super) shown: Option<Arc<str>>,
    /// How often the order of play has changed.
    pub(super) orders: u64,
    /// The program is stopping: nobody listens on.
    pub(super) stopping: bool,
}

impl Default for Live {
    fn default() -> Self {
        Self(watch::Sender::new(Told::default()))
    }
}

impl Live {
    /// Tells everybody to look at the log.
    pub(super) fn changed(&self) {
        self.0.send_modify(|_| {});
    }

    /// Shows everybody a shot, or none from now on.
    pub(super) fn show(&self, address: Option<&str>) {
        self.0
            .send_modify(|told| told.shown = address.map(Arc::from));
    }

    /// Tells everybody that the order of play has changed.
    pub(super) fn ordered(&self) {
        self.0.send_modify(|told| told.orders += 1);
    }

    /// Lets everybody go.
    pub(super) fn stop(&self) {
        self.0.send_modify(|told| told.stopping = true);
    }

    /// Hears whatever is told from now on.
    pub(super) fn listen(&self) -> watch::Receiver<Told> {
        self.0.subscribe()
    }
}
