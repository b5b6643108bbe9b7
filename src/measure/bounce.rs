//! Bounce and rub of one kind of rubber, found from rolls: a posterior over a grid, and what it leaves
//! of a shot's range.

use serde::Serialize;

use super::effect::{Held, usual_shots};
use super::reading::MeasureError;
use crate::gear::{BounceReach, Gear, LoadedGear, MeasuredValue};
use crate::player::AimError;
use crate::player::normal::Z_95;
use crate::player::range::Ranged;
use crate::request::{PlacesRequest, ShotRequest, StrokeRequest};

/// Of what the rubber is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rubber {
    /// Jaws and facings.
    Facings,
    /// The cushions along the rails.
    Cushions,
}

/// One place of a grid over restitution and friction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rubs {
    /// Restitution.
    pub restitution: f64,
    /// Friction.
    pub friction: f64,
}

/// A grid of equal cells; the prior is flat over it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Grid {
    /// From and to.
    pub(super) restitution: (f64, f64),
    /// From and to.
    pub(super) friction: (f64, f64),
    /// Cells each way.
    pub(super) cells: u32,
}

impl Grid {
    /// A finer grid round what this one found, inside it.
    pub(super) fn around(&self, found: &Bounce, cells: u32) -> Self {
        let span = |(low, high): (f64, f64), middle: f64, reach: f64| {
            let cell = (high - low) / f64::from(self.cells);
            // Four standard deviations, two cells at least.
            let far = (2.0 * reach).max(2.0 * cell);
            ((middle - far).max(low), (middle + far).min(high))
        };
        Self {
            restitution: span(self.restitution, found.restitution, found.restitution_reach),
            friction: span(self.friction, found.friction, found.friction_reach),
            cells,
        }
    }

    /// The middles of the cells (the midpoint rule).
    pub(super) fn nodes(&self) -> Vec<Rubs> {
        let cells = f64::from(self.cells);
        let at =
            |(low, high): (f64, f64), k: u32| low + (high - low) * (f64::from(k) + 0.5) / cells;
        (0..self.cells)
            .flat_map(|i| {
                (0..self.cells).map(move |k| Rubs {
                    restitution: at(self.restitution, i),
                    friction: at(self.friction, k),
                })
            })
            .collect()
    }
}

/// What rolls tell of one kind of rubber.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bounce {
    /// Restitution, the posterior's mean.
    pub restitution: f64,
    /// Half width of the interval that holds 95 times in 100.
    pub restitution_reach: f64,
    /// Friction, the posterior's mean.
    pub friction: f64,
    /// Half width of the interval that holds 95 times in 100.
    pub friction_reach: f64,
    /// Correlation of the two.
    pub together: f64,
}

/// A correlation that is written into a file stays inside what files allow.
const CLOSEST: f64 = 0.999;

impl Bounce {
    /// From weights of a grid's nodes; they need not add to 1.
    #[must_use]
    pub fn of(nodes: &[Rubs], weights: &[f64]) -> Self {
        let total: f64 = weights.iter().sum();
        let mean = |f: &dyn Fn(&Rubs) -> f64| {
            nodes
                .iter()
                .zip(weights)
                .map(|(n, w)| w * f(n))
                .sum::<f64>()
                / total
        };
        let (e, mu) = (mean(&|n| n.restitution), mean(&|n| n.friction));
        let var_e = mean(&|n| (n.restitution - e).powi(2));
        let var_mu = mean(&|n| (n.friction - mu).powi(2));
        let both = mean(&|n| (n.restitution - e) * (n.friction - mu));
        let (sd_e, sd_mu) = (var_e.sqrt(), var_mu.sqrt());
        let together = both / (sd_e * sd_mu).max(f64::MIN_POSITIVE);
        Self {
            restitution: e,
            restitution_reach: Z_95 * sd_e,
            friction: mu,
            friction_reach: Z_95 * sd_mu,
            together: together.clamp(-CLOSEST, CLOSEST),
        }
    }

    /// How far a point lies from the middle, as a square in standard deviations of the two together
    /// (chi-square with two degrees of freedom where the posterior is Normal).
    #[must_use]
    pub fn off(&self, at: Rubs) -> f64 {
        let x = Z_95 * (at.restitution - self.restitution) / self.restitution_reach;
        let y = Z_95 * (at.friction - self.friction) / self.friction_reach;
        let r = self.together;
        (x * x - 2.0 * r * x * y + y * y) / (1.0 - r * r)
    }

    /// The reach as a gear has it.
    #[must_use]
    pub fn reach(&self) -> BounceReach {
        BounceReach {
            restitution: Some(self.restitution_reach),
            friction: Some(self.friction_reach),
            together: Some(self.together),
        }
    }

    /// A gear with this rubber.
    #[must_use]
    pub fn on(&self, gear: &Gear, rubber: Rubber) -> Gear {
        let mut out = gear.clone();
        set(
            &mut out,
            rubber,
            Rubs {
                restitution: self.restitution,
                friction: self.friction,
            },
        );
        match rubber {
            Rubber::Facings => out.measured.facings = self.reach(),
            Rubber::Cushions => out.measured.cushions = self.reach(),
        }
        out
    }

    /// The same as a file: the values measured laid over a gear, with what they rest on beside them.
    ///
    /// # Errors
    /// [`MeasureError::Gear`]: a name that will not do.
    pub fn written(
        &self,
        base: &LoadedGear,
        rubber: Rubber,
        name: &str,
        said: &Said<'_>,
    ) -> Result<LoadedGear, MeasureError> {
        let keys: &[&'static str] = match rubber {
            Rubber::Facings => &FACING_KEYS,
            Rubber::Cushions => &CUSHION_KEYS,
        };
        let value = |key: &'static str| {
            let number = match key.rsplit(['.', '_']).next() {
                _ if key.ends_with("together") => self.together,
                Some("restitution") if key.starts_with("measured") => self.restitution_reach,
                Some("restitution") => self.restitution,
                _ if key.starts_with("measured") => self.friction_reach,
                _ => self.friction,
            };
            MeasuredValue {
                key,
                text: format!("{number:.4}"),
                source: if key.starts_with("measured") {
                    said.reach.to_owned()
                } else {
                    said.value.to_owned()
                },
            }
        };
        let values: Vec<MeasuredValue> = keys.iter().map(|key| value(key)).collect();
        let note = match &base.note {
            Some(note) => format!("{note} {}", said.note),
            None => said.note.to_owned(),
        };
        Ok(base.measured(name, note, &values)?)
    }
}

/// What stands in a file beside what was found.
#[derive(Debug, Clone, Copy)]
pub struct Said<'a> {
    /// In the note of the whole.
    pub note: &'a str,
    /// Beside the values.
    pub value: &'a str,
    /// Beside how well they are known.
    pub reach: &'a str,
}

const FACING_KEYS: [&str; 7] = [
    "pocket.corner.facing_restitution",
    "pocket.corner.facing_friction",
    "pocket.side.facing_restitution",
    "pocket.side.facing_friction",
    "measured.facing_restitution",
    "measured.facing_friction",
    "measured.facing_together",
];
const CUSHION_KEYS: [&str; 5] = [
    "cushion.restitution",
    "cushion.friction",
    "measured.cushion_restitution",
    "measured.cushion_friction",
    "measured.cushion_together",
];

/// Gives one kind of rubber of a gear this restitution and friction.
pub(super) fn set(gear: &mut Gear, rubber: Rubber, to: Rubs) {
    match rubber {
        Rubber::Facings => {
            for pocket in [&mut gear.corner, &mut gear.side] {
                pocket.facing_restitution = to.restitution;
                pocket.facing_friction = to.friction;
            }
        }
        Rubber::Cushions => {
            gear.cushion.restitution = to.restitution;
            gear.cushion.friction = to.friction;
        }
    }
}

/// A shot's chance with its range, before and after.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RangeEffect {
    /// The shot as asked for.
    pub shot: ShotRequest,
    /// On the table as it was.
    pub before: Ranged,
    /// With what was found.
    pub after: Ranged,
}

/// The shots shown when none is named: the usual ones, and one along a rail, where jaws and rails tell
/// most.
#[must_use]
pub fn telling_shots(stroke: &StrokeRequest) -> Vec<ShotRequest> {
    let text = |t: &str| Some(t.to_owned());
    let mut shots = usual_shots(stroke);
    shots.push(ShotRequest {
        places: PlacesRequest {
            cue: text("2,1"),
            object: text("6,0.4"),
            pocket: text("foot-right"),
            ..PlacesRequest::default()
        },
        stroke: stroke.clone(),
    });
    shots
}

/// What was found does to shots, the one whose range narrows most first; strokes as on the table as it
/// was.
///
/// # Errors
/// [`MeasureError`]: a shot that cannot stand.
pub fn range_effects(
    before: &Gear,
    after: &Gear,
    shots: &[ShotRequest],
    player: &AimError,
) -> Result<Vec<RangeEffect>, MeasureError> {
    let mut out = Vec::with_capacity(shots.len());
    for shot in shots {
        let held = Held::new(shot, before)?;
        out.push(RangeEffect {
            shot: shot.clone(),
            before: held.ranged(before, player)?,
            after: held.ranged(after, player)?,
        });
    }
    out.sort_by(|a, b| {
        let narrowed =
            |e: &RangeEffect| (e.before.high - e.before.low) - (e.after.high - e.after.low);
        narrowed(b).total_cmp(&narrowed(a))
    });
    Ok(out)
}

/// How a chance follows restitution and friction round what was found, to first order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Slope {
    pub(super) restitution: f64,
    pub(super) friction: f64,
}

impl Slope {
    /// Of a shot's chance, the speed as intended, by differences over what is not known.
    pub(super) fn of(
        held: &Held,
        gear: &Gear,
        rubber: Rubber,
        found: &Bounce,
        player: &AimError,
    ) -> Result<Self, MeasureError> {
        let step = |reach: f64| (0.5 * reach).max(1e-3);
        let (de, dmu) = (step(found.restitution_reach), step(found.friction_reach));
        let at = |e: f64, mu: f64| {
            let mut gear = gear.clone();
            let to = Rubs {
                restitution: e.clamp(0.2, 1.0),
                friction: mu.clamp(0.0, 0.279),
            };
            set(&mut gear, rubber, to);
            held.as_intended(&gear, player)
        };
        let (e, mu) = (found.restitution, found.friction);
        Ok(Self {
            restitution: (at(e + de, mu)? - at(e - de, mu)?) / (2.0 * de),
            friction: (at(e, mu + dmu)? - at(e, mu - dmu)?) / (2.0 * dmu),
        })
    }

    pub(super) fn at(&self, node: &Rubs) -> f64 {
        self.restitution * node.restitution + self.friction * node.friction
    }
}
