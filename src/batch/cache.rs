//! Acceptances that rows share.

use std::collections::HashMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::ask::Ask;
use super::gears::MOST_GEARS;
use crate::gear::Gear;
use crate::pocket::{Acceptance, NoAcceptance, PocketKind, PocketName};
use crate::window::accept_shot;

/// More acceptances than this are forgotten all at once, so that memory stays flat (about 1 kB each).
const MOST_ACCEPTANCES: usize = 16_384;

/// What an acceptance depends on: gear, pocket, object ball, pace.
type Key = (usize, (PocketKind, Option<PocketName>), [u64; 3]);
type Accepted = Result<Acceptance, NoAcceptance>;

fn key(ask: &Ask) -> Key {
    let bits = [
        ask.shot.object.x,
        ask.shot.object.y,
        ask.shot.stroke.pace_m_s,
    ]
    .map(f64::to_bits);
    let pocket = (ask.shot.frame.kind, ask.shot.frame.name);
    (Arc::as_ptr(&ask.gear) as usize, pocket, bits)
}

/// Acceptances of the rows at hand and, as far as memory allows, of earlier ones.
#[derive(Debug, Default)]
pub(super) struct Acceptances {
    known: HashMap<Key, Result<Arc<Accepted>, String>>,
    /// Gears kept alive so that their addresses stay theirs.
    gears: Vec<Arc<Gear>>,
}

impl Acceptances {
    /// Solves what the rows need and is not known yet, each once.
    pub(super) fn prepare<'a>(&mut self, asks: impl Iterator<Item = &'a Ask>) {
        if self.known.len() > MOST_ACCEPTANCES || self.gears.len() > MOST_GEARS {
            self.known.clear();
            self.gears.clear();
        }
        let mut wanted: HashMap<Key, &Ask> = HashMap::new();
        for ask in asks {
            let key = key(ask);
            if !self.known.contains_key(&key) {
                wanted.entry(key).or_insert(ask);
            }
        }
        let solved: Vec<_> = wanted
            .into_par_iter()
            .map(|(key, ask)| {
                let accepted = accept_shot(&ask.gear, &ask.shot);
                (
                    key,
                    accepted.map(Arc::new).map_err(|e| e.to_string()),
                    Arc::clone(&ask.gear),
                )
            })
            .collect();
        for (key, accepted, gear) in solved {
            self.known.insert(key, accepted);
            if !self.gears.iter().any(|g| Arc::ptr_eq(g, &gear)) {
                self.gears.push(gear);
            }
        }
    }

    /// The acceptance of a row that was prepared.
    pub(super) fn of(&self, ask: &Ask) -> Result<Arc<Accepted>, String> {
        self.known
            .get(&key(ask))
            .cloned()
            .unwrap_or_else(|| Err("not prepared".to_owned()))
    }
}
