//! What the assumed cushions and facings do to a window.

use super::aim::{AimWindow, Window};
use super::shot::{Shot, ShotError};
use super::solution::solve;
use crate::gear::Gear;

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
/// Restitution in the band stays physical.
const RESTITUTION_RANGE: (f64, f64) = (0.2, 1.0);

/// Gears with the restitution and friction of cushions and facings moved together.
pub fn assumed_gears(gear: &Gear) -> impl Iterator<Item = Gear> + '_ {
    let shift = |e: f64, by: f64| (e + by).clamp(RESTITUTION_RANGE.0, RESTITUTION_RANGE.1);
    RESTITUTION_STEPS.into_iter().flat_map(move |by| {
        FRICTION_FACTORS.into_iter().map(move |factor| {
            let mut g = gear.clone();
            g.cushion.restitution = shift(g.cushion.restitution, by);
            g.cushion.friction *= factor;
            for pocket in [&mut g.corner, &mut g.side] {
                pocket.facing_restitution = shift(pocket.facing_restitution, by);
                pocket.facing_friction *= factor;
            }
            for own in &mut g.single {
                own.facing_restitution = own.facing_restitution.map(|e| shift(e, by));
                own.facing_friction = own.facing_friction.map(|mu| mu * factor);
            }
            g
        })
    })
}

/// Re-solves a shot with restitution of cushions and facings ± 0.1 and their friction halved and
/// doubled, in all nine combinations.
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
