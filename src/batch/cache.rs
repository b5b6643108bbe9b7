//! Acceptances that rows share.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use rayon::prelude::*;

use super::ask::Ask;
use super::gears::MOST_GEARS;
use crate::gear::Gear;
use crate::pocket::{Acceptance, NoAcceptance, PocketKind, PocketName};
use crate::window::Mouth;

/// More acceptances than this are forgotten all at once, so that memory stays flat (about 1 kB each).
const MOST_ACCEPTANCES: usize = 16_384;

/// A pocket of a gear, by the gear's address.
type Pocket = (usize, PocketKind, Option<PocketName>);
/// What an acceptance depends on: pocket, object ball, pace.
type Key = (Pocket, [u64; 3]);
/// What a pocket takes, or why it takes nothing; or what is wrong with the place.
pub(super) type Accepted = Result<Result<Acceptance, NoAcceptance>, String>;

fn pocket(ask: &Ask<'_>) -> Pocket {
    let gear = Arc::as_ptr(ask.gear.shared()) as usize;
    (gear, ask.shot.frame.kind, ask.shot.frame.name)
}

fn key(ask: &Ask<'_>) -> Key {
    let shot = &ask.shot;
    let place = [shot.object.x, shot.object.y, shot.stroke.pace_m_s];
    (pocket(ask), place.map(f64::to_bits))
}

/// Acceptances of the rows at hand and, as far as memory allows, of earlier ones.
#[derive(Debug, Default)]
pub(super) struct Acceptances {
    places: HashMap<Key, usize>,
    solved: Vec<Accepted>,
    /// Pockets with what an object ball meets on its way there.
    mouths: Mutex<HashMap<Pocket, Arc<Mouth>>>,
    /// Gears kept alive so that their addresses stay theirs.
    gears: Vec<Arc<Gear>>,
}

impl Acceptances {
    /// Solves what the rows need and is not known yet, each once; says for each row which it has.
    pub(super) fn prepare<E>(&mut self, asks: &[Result<Ask<'_>, E>]) -> Vec<usize>
    where
        E: Sync,
    {
        if self.solved.len() > MOST_ACCEPTANCES || self.gears.len() > MOST_GEARS {
            *self = Self::default();
        }
        let mut wanted: Vec<&Ask<'_>> = Vec::new();
        let mut before: Option<(Key, usize)> = None;
        let mut place = |ask| {
            let key = key(ask);
            if let Some((known, place)) = before
                && known == key
            {
                return place;
            }
            let next = self.solved.len() + wanted.len();
            let place = *self.places.entry(key).or_insert(next);
            if place == next {
                wanted.push(ask);
            }
            before = Some((key, place));
            place
        };
        let places = asks
            .iter()
            .map(|ask| ask.as_ref().map_or(usize::MAX, &mut place))
            .collect();
        for ask in &wanted {
            let gear = ask.gear.shared();
            if !self.gears.iter().any(|known| Arc::ptr_eq(known, gear)) {
                self.gears.push(Arc::clone(gear));
            }
        }
        let solved: Vec<Accepted> = wanted.par_iter().map(|ask| self.solve(ask)).collect();
        self.solved.extend(solved);
        places
    }

    fn solve(&self, ask: &Ask<'_>) -> Accepted {
        let shot = &ask.shot;
        let mouth = self.mouth(ask);
        let accepted = mouth.accepts(ask.gear.shared(), shot.object, shot.stroke.pace_m_s);
        accepted.map_err(|e| e.to_string())
    }

    fn mouth(&self, ask: &Ask<'_>) -> Arc<Mouth> {
        let mut mouths = self.mouths.lock().unwrap_or_else(PoisonError::into_inner);
        let known = mouths
            .entry(pocket(ask))
            .or_insert_with(|| Arc::new(Mouth::new(ask.gear.shared(), &ask.shot)));
        Arc::clone(known)
    }

    /// The acceptance that a row was told to have.
    pub(super) fn at(&self, place: usize) -> Option<&Accepted> {
        self.solved.get(place)
    }
}
