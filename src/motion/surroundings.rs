//! What a ball moves among.

use super::feature::Feature;
use super::leg::Leg;
use super::outline::{Held, Met, Outline, Way};

/// What a ball moves among.
///
/// A plain slice asks every feature on every leg. Others may know of legs that cannot meet some of
/// them, as long as they answer the same.
pub trait Surroundings {
    /// Everything the ball can meet; indices are into this.
    fn features(&self) -> &[Feature];

    /// The next feature met on this leg, and when.
    fn next_contact(&self, leg: &Leg, held: Held) -> Option<Met>;

    /// The first feature on a straight way, and how far it is; nothing is touched or held.
    fn first_on_way(&self, way: &Way) -> Option<Met>;
}

impl Surroundings for [Feature] {
    fn features(&self) -> &[Feature] {
        self
    }

    fn next_contact(&self, leg: &Leg, held: Held) -> Option<Met> {
        Outline::new(self, 0..self.len()).next(leg, held, None)
    }

    fn first_on_way(&self, way: &Way) -> Option<Met> {
        Outline::new(self, 0..self.len()).on_way(way, Held::default(), None)
    }
}

/// Features with their outline, for more than one question.
#[derive(Debug)]
pub(crate) struct Outlined<'a> {
    features: &'a [Feature],
    outline: Outline,
}

impl<'a> Outlined<'a> {
    pub(crate) fn new(features: &'a [Feature]) -> Self {
        Self {
            features,
            outline: Outline::new(features, 0..features.len()),
        }
    }
}

impl Surroundings for Outlined<'_> {
    fn features(&self) -> &[Feature] {
        self.features
    }

    fn next_contact(&self, leg: &Leg, held: Held) -> Option<Met> {
        self.outline.next(leg, held, None)
    }

    fn first_on_way(&self, way: &Way) -> Option<Met> {
        self.outline.on_way(way, Held::default(), None)
    }
}
