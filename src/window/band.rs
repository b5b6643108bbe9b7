//! What the assumed cushions and facings do to a window.

use super::aim::{AimWindow, Window};
use super::shot::{Shot, ShotError};
use super::solution::solve;
use crate::gear::{BounceReach, Gear, POCKETS};

/// Lowest and highest width, rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Lowest.
    pub low_rad: f64,
    /// Highest.
    pub high_rad: f64,
}

/// Widths over the assumptions; `None` where no setting has such a window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Untouched: does not depend on them.
    pub clean: Option<Range>,
    /// Untouched or off the jaws.
    pub direct: Option<Range>,
    /// Goes in at all.
    pub drop: Option<Range>,
}

/// Change of restitution and factors on friction (assumptions: nobody publishes them for facings).
const RESTITUTION_STEPS: [f64; 3] = [-0.1, 0.0, 0.1];
const FRICTION_FACTORS: [f64; 3] = [0.5, 1.0, 2.0];
/// Restitution and friction in the band stay physical.
const RESTITUTION_RANGE: (f64, f64) = (0.2, 1.0);
const MOST_FRICTION: f64 = 0.28;
/// Cases of one kind of rubber beside the one in the middle.
const BESIDE: usize = 8;
/// Eight points of an ellipse reach, over all directions, as far as the ellipse on average when it is
/// this much larger: (π/8)/sin(π/8).
const EVEN_OUT: f64 = 1.026_172_152_977_031;

/// What one case does to one kind of rubber.
#[derive(Debug, Clone, Copy)]
struct Case {
    restitution: f64,
    friction_factor: f64,
    friction: f64,
    /// Points of an ellipse that lie outside what can be come back towards its middle; elsewhere each of
    /// the two is held inside by itself.
    straight: bool,
}

/// Restitution and friction of one kind of rubber.
#[derive(Debug, Clone, Copy)]
struct Rubber {
    restitution: f64,
    friction: f64,
}

impl Case {
    const NONE: Self = Self {
        restitution: 0.0,
        friction_factor: 1.0,
        friction: 0.0,
        straight: false,
    };

    fn on(&self, rubber: Rubber) -> Rubber {
        let (e, mu) = (rubber.restitution, rubber.friction);
        let share = if self.straight {
            let room = |at: f64, by: f64, low: f64, high: f64| match by {
                by if at + by > high => (high - at) / by,
                by if at + by < low => (low - at) / by,
                _ => 1.0,
            };
            room(
                e,
                self.restitution,
                RESTITUTION_RANGE.0,
                RESTITUTION_RANGE.1,
            )
            .min(room(mu, self.friction, 0.0, MOST_FRICTION))
            .max(0.0)
        } else {
            1.0
        };
        let e = e + share * self.restitution;
        let mu = mu * self.friction_factor + share * self.friction;
        Rubber {
            restitution: e.clamp(RESTITUTION_RANGE.0, RESTITUTION_RANGE.1),
            friction: mu.clamp(0.0, MOST_FRICTION),
        }
    }

    /// The eight round the middle: those of the assumption, or the ellipse of what was measured.
    fn beside(reach: &BounceReach) -> [Self; BESIDE] {
        let mut out = [Self::NONE; BESIDE];
        match (reach.restitution, reach.friction) {
            (Some(restitution), Some(friction)) => {
                let together = reach.together.unwrap_or(0.0);
                let across = (1.0 - together * together).sqrt();
                for (k, case) in (0_u8..).zip(&mut out) {
                    let (sin, cos) = (f64::from(k) * std::f64::consts::FRAC_PI_4).sin_cos();
                    case.restitution = EVEN_OUT * restitution * cos;
                    case.friction = EVEN_OUT * friction * (together * cos + across * sin);
                    case.straight = true;
                }
            }
            _ => {
                let steps = RESTITUTION_STEPS.into_iter().flat_map(|restitution| {
                    FRICTION_FACTORS
                        .into_iter()
                        .map(move |friction_factor| Self {
                            restitution,
                            friction_factor,
                            ..Self::NONE
                        })
                });
                let others = (0..).zip(steps).filter(|(k, _)| *k != BESIDE / 2);
                for (case, (_, other)) in out.iter_mut().zip(others) {
                    *case = other;
                }
            }
        }
        out
    }
}

/// The gear with its facings and its cushions changed.
fn with_cases(gear: &Gear, facings: &Case, cushions: &Case) -> Gear {
    let mut g = gear.clone();
    let rails = cushions.on(Rubber {
        restitution: g.cushion.restitution,
        friction: g.cushion.friction,
    });
    (g.cushion.restitution, g.cushion.friction) = (rails.restitution, rails.friction);
    for pocket in [&mut g.corner, &mut g.side] {
        let own = facings.on(Rubber {
            restitution: pocket.facing_restitution,
            friction: pocket.facing_friction,
        });
        (pocket.facing_restitution, pocket.facing_friction) = (own.restitution, own.friction);
    }
    for index in 0..POCKETS.len() {
        let was = gear.single_pocket(index);
        let own = facings.on(Rubber {
            restitution: was.facing_restitution,
            friction: was.facing_friction,
        });
        let single = &mut g.single[index];
        single.facing_restitution = single.facing_restitution.map(|_| own.restitution);
        single.facing_friction = single.facing_friction.map(|_| own.friction);
    }
    g
}

/// The tables that may be: the gear in the middle of an odd number, beside it others.
///
/// Where nothing was measured, restitution and friction of cushions and facings are moved together: ±
/// 0.1, halved and doubled, nine in all. Where jaws or rails were measured, each kind of rubber is moved
/// by itself, first the facings, after the middle the cushions, over the ellipse of what was measured
/// or over the assumption: seventeen. What follows over them is [`over_cases`].
#[must_use]
pub fn assumed_gears(gear: &Gear) -> Vec<Gear> {
    let measured = &gear.measured;
    let cases = [&measured.facings, &measured.cushions].map(Case::beside);
    let [facings, cushions] = cases;
    if !measured.facings.is_known() && !measured.cushions.is_known() {
        let mut all: Vec<Gear> = facings.iter().map(|c| with_cases(gear, c, c)).collect();
        all.insert(BESIDE / 2, gear.clone());
        return all;
    }
    let of_facings = facings.iter().map(|c| with_cases(gear, c, &Case::NONE));
    let of_cushions = cushions.iter().map(|c| with_cases(gear, &Case::NONE, c));
    of_facings
        .chain([gear.clone()])
        .chain(of_cushions)
        .collect()
}

/// From lowest to highest of something over the tables of [`assumed_gears`], in their order.
///
/// Kinds of rubber that are moved by themselves have nothing to do with each other: what they do to
/// either side adds as squares.
#[must_use]
pub fn over_cases(values: &[f64]) -> std::ops::Range<f64> {
    if values.len() <= 2 * BESIDE {
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        return low..values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    }
    let middle = values[BESIDE];
    let (facings, cushions) = values.split_at(BESIDE);
    let reach = |side: f64| {
        let most = |group: &[f64]| {
            group
                .iter()
                .map(|v| side * (v - middle))
                .fold(0.0, f64::max)
        };
        most(facings).hypot(most(cushions))
    };
    middle - reach(-1.0)..middle + reach(1.0)
}

/// Re-solves a shot over the tables of [`assumed_gears`].
///
/// # Errors
/// As [`solve`].
pub fn band(gear: &Gear, shot: &Shot) -> Result<Band, ShotError> {
    let mut windows: Vec<Option<AimWindow>> = Vec::with_capacity(9);
    for g in assumed_gears(gear) {
        windows.push(solve(&g, shot)?.window.ok());
    }
    let range = |pick: fn(&AimWindow) -> Option<Window>| {
        let widths = windows
            .iter()
            .map(|w| w.as_ref().and_then(pick).map_or(0.0, |w| w.total_rad()));
        let (low, high) = widths.fold((f64::INFINITY, 0.0_f64), |(l, h), w| (l.min(w), h.max(w)));
        (high > 0.0).then_some(Range {
            low_rad: low,
            high_rad: high,
        })
    };
    Ok(Band {
        clean: range(|w| w.clean),
        direct: range(|w| w.direct),
        drop: range(|w| w.drop),
    })
}
