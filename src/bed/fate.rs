//! Where a ball goes that was sent off, whether it drops in the pocket that was meant or not.

use kurbo::{Point, Vec2};

use super::course::Bed;
use crate::motion::{BallState, End, FeatureKind, Step, trace};
use crate::pocket::{How, PocketName};
use crate::speech::Speech;

/// How the path of an object ball ends on the whole bed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fate {
    /// It drops.
    Drops {
        /// Where.
        pocket: PocketName,
        /// How it got there.
        how: How,
        /// It touched a rail that does not meet at that pocket: a bank.
        banked: bool,
    },
    /// It stays on the table.
    Rests {
        /// Where, m on the plan.
        at: Point,
    },
    /// It rattles without end (a table without loss).
    Endless,
}

impl Fate {
    /// For a sentence on a miss: "goes into the right side pocket", "stays on the table".
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Drops { pocket, .. } => {
                format!("goes into the {}", Speech::default().pocket(*pocket))
            }
            Self::Rests { .. } | Self::Endless => "stays on the table".to_owned(),
        }
    }

    /// Whether it counts as a shot at a pocket: it drops there without any other rail.
    #[must_use]
    pub fn counts_for(&self, wanted: PocketName) -> Option<How> {
        match *self {
            Self::Drops {
                pocket,
                how,
                banked: false,
            } if pocket == wanted => Some(how),
            _ => None,
        }
    }
}

impl Bed {
    /// Follows an object ball sent off sliding from `object` (m on the plan).
    #[must_use]
    pub fn fate(&self, object: Point, velocity: Vec2) -> Fate {
        let features = self.plan.features();
        let start = BallState::sliding(object, velocity);
        let mut touched = Vec::with_capacity(4);
        let cloth = &self.gear().cloth;
        let ended = trace(features, &self.plan.body, cloth, start, |step| {
            if let Step::Impact(index, _) = step {
                touched.push(index);
            }
        });
        match ended {
            Ok((End::Drop(index), _)) => match self.plan.pocket_of(index) {
                Some(pocket) => self.dropped(pocket, &touched),
                None => Fate::Endless,
            },
            Ok((_, state)) => Fate::Rests { at: state.at },
            Err(_) => Fate::Endless,
        }
    }

    fn dropped(&self, pocket: PocketName, touched: &[usize]) -> Fate {
        let rails = touched
            .iter()
            .filter(|&&i| self.plan.features()[i].kind == FeatureKind::Rail);
        let how = match rails.clone().count() {
            0 if touched.is_empty() => How::Clean,
            0 => How::Jaw,
            _ => How::Rail,
        };
        let mut rails = rails;
        let banked = rails.any(|&i| !self.plan.meets_at(i, pocket));
        Fate::Drops {
            pocket,
            how,
            banked,
        }
    }
}
