//! What a measured table does to a shot: a player's chance against the one on the standard table,
//! how sure that is, and which reading to repeat.

use rand::Rng;
use rayon::prelude::*;
use serde::Serialize;
use statrs::distribution::{ContinuousCDF, StudentsT};

use super::quantity::Quantity;
use super::reading::MeasureError;
use super::table::{Input, MeasuredTable, Uncertain};
use crate::gear::Gear;
use crate::player::monte_carlo::summarise;
use crate::player::normal::{cdf, sample};
use crate::player::range::{Ranged, ranged};
use crate::player::{AimError, Aimed, chance_of_solution};
use crate::request::{PlacesRequest, ShotRequest, StrokeRequest};
use crate::window::solve;

/// Tables drawn for an interval (common practice for reading off a 95 % interval).
pub const DRAWS: usize = 1000;
/// Drawn tables that could not be played on are drawn again at most this often.
const TRIES: usize = 100;

/// A shot on the measured table and on the standard one.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShotEffect {
    /// The shot as asked for.
    pub shot: ShotRequest,
    /// Chance on the standard table.
    pub standard: f64,
    /// Chance on the measured table.
    pub chance: f64,
    /// 95 % interval of that, from the uncertainties of the readings.
    pub low: f64,
    /// 95 % interval.
    pub high: f64,
    /// What each measured quantity adds to the interval, largest first.
    pub shares: Vec<Share>,
    /// The reading worth repeating; none where all of them move the chance by nothing.
    pub repeat: Option<Repeat>,
}

/// What one quantity adds.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Share {
    /// Which.
    pub quantity: Quantity,
    /// Share of the variance of the chance, to first order.
    pub share: f64,
}

/// Advice: measure this again.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Repeat {
    /// Which.
    pub quantity: Quantity,
    /// Its share of the variance.
    pub share: f64,
    /// So many more readings.
    pub more: usize,
    /// Width of the interval they would leave, as a share of the present one.
    pub width_left: f64,
}

/// Readings proposed: ten minutes leave time for three more of one thing (assumption).
const MORE: usize = 3;

/// The shots shown when none is named: a half-ball cut and a straight one into a corner, a cut
/// into a side pocket.
#[must_use]
pub fn usual_shots(stroke: &StrokeRequest) -> Vec<ShotRequest> {
    [
        ("half-ball", "2ft", "3ft", "corner"),
        ("0deg", "4ft", "4ft", "corner"),
        ("30deg", "2ft", "2ft", "side"),
    ]
    .into_iter()
    .map(|(cut, apart, to_pocket, kind)| ShotRequest {
        places: PlacesRequest {
            cut: Some(cut.to_owned()),
            apart: Some(apart.to_owned()),
            to_pocket: Some(to_pocket.to_owned()),
            kind: Some(kind.to_owned()),
            ..PlacesRequest::default()
        },
        stroke: stroke.clone(),
    })
    .collect()
}

/// A shot whose pace is settled on the standard table, so that both tables see the same one.
#[derive(Debug)]
pub(super) struct Held {
    request: ShotRequest,
    pace_m_s: f64,
}

impl Held {
    pub(super) fn new(request: &ShotRequest, standard: &Gear) -> Result<Self, MeasureError> {
        let pace_m_s = request.shot(standard)?.stroke.pace_m_s;
        let mut request = request.clone();
        request.stroke.stroke = None;
        Ok(Self { request, pace_m_s })
    }

    fn chance(&self, gear: &Gear, player: &AimError) -> Result<f64, MeasureError> {
        let mut shot = self.request.shot(gear)?;
        shot.stroke.pace_m_s = self.pace_m_s;
        let solution = solve(gear, &shot).map_err(crate::request::RequestError::from)?;
        Ok(chance_of_solution(gear, &shot, &solution, player))
    }

    /// The same with its range over what jaws and rails may do; nothing where there is no window.
    pub(super) fn ranged(&self, gear: &Gear, player: &AimError) -> Result<Ranged, MeasureError> {
        let mut shot = self.request.shot(gear)?;
        shot.stroke.pace_m_s = self.pace_m_s;
        let solution = solve(gear, &shot).map_err(crate::request::RequestError::from)?;
        let aimed = Aimed::of(gear, &shot, &solution);
        Ok(aimed.map_or_else(
            || Ranged::over(0.0, &[0.0]),
            |aimed| ranged(&aimed, player).0,
        ))
    }

    /// The same with the speed as intended, for the many tables that are drawn: what a table does to a
    /// chance hardly depends on what the speed of the stroke does.
    pub(super) fn as_intended(&self, gear: &Gear, player: &AimError) -> Result<f64, MeasureError> {
        let mut shot = self.request.shot(gear)?;
        shot.stroke.pace_m_s = self.pace_m_s;
        let solution = solve(gear, &shot).map_err(crate::request::RequestError::from)?;
        let aimed = Aimed::of(gear, &shot, &solution);
        Ok(aimed.map_or(0.0, |aimed| aimed.quick(player)))
    }
}

/// Chances, the speed as intended, on tables drawn from the readings, one list a shot; each table sees all the shots.
///
/// The same generator gives the same tables. A table that no ball could be played on, or on which
/// a shot cannot stand, is drawn again.
///
/// # Errors
/// [`MeasureError`]: a shot that cannot stand, or readings so unsure that hardly any table with
/// them can be.
pub fn drawn_chances<R: Rng + ?Sized>(
    table: &MeasuredTable,
    shots: &[ShotRequest],
    player: &AimError,
    draws: usize,
    rng: &mut R,
) -> Result<Vec<Vec<f64>>, MeasureError> {
    let held = shots
        .iter()
        .map(|shot| Held::new(shot, &table.base.gear))
        .collect::<Result<Vec<_>, _>>()?;
    let gears = (0..draws)
        .map(|_| drawn_gear(table, &held, rng))
        .collect::<Result<Vec<_>, _>>()?;
    held.par_iter()
        .map(|shot| {
            gears
                .par_iter()
                .map(|gear| shot.as_intended(gear, player))
                .collect()
        })
        .collect()
}

fn drawn_gear<R: Rng + ?Sized>(
    table: &MeasuredTable,
    held: &[Held],
    rng: &mut R,
) -> Result<Gear, MeasureError> {
    for _ in 0..TRIES {
        let values: Vec<f64> = table.inputs.iter().map(|i| drawn(i, rng)).collect();
        let gear = table.gear_at(&values);
        if gear.check().is_ok() && held.iter().all(|shot| shot.request.shot(&gear).is_ok()) {
            return Ok(gear);
        }
    }
    let widest = table.inputs.iter().max_by(|a, b| {
        let relative = |i: &Input| i.mean.standard_uncertainty / i.mean.value.abs().max(1e-3);
        relative(a).total_cmp(&relative(b))
    });
    Err(match widest {
        Some(input) => MeasureError::Unsure {
            what: input.quantity.field(),
        },
        None => MeasureError::Nothing,
    })
}

/// One value of an input: Normal, or Student's t where its own scatter counts (JCGM 101:2008,
/// 6.4.9).
fn drawn<R: Rng + ?Sized>(input: &Input, rng: &mut R) -> f64 {
    let mean = &input.mean;
    let z = sample(rng);
    let off = mean
        .degrees_of_freedom
        .and_then(|free| StudentsT::new(0.0, 1.0, free).ok())
        .map_or(z, |t| t.inverse_cdf(cdf(z)));
    mean.value + off * mean.standard_uncertainty
}

/// The effect on each shot.
///
/// # Errors
/// As [`drawn_chances`].
pub fn effects<R: Rng + ?Sized>(
    table: &MeasuredTable,
    shots: &[ShotRequest],
    player: &AimError,
    draws: usize,
    rng: &mut R,
) -> Result<Vec<ShotEffect>, MeasureError> {
    let chances = drawn_chances(table, shots, player, draws, rng)?;
    let mut out = Vec::with_capacity(shots.len());
    for (request, drawn) in shots.iter().zip(chances) {
        let held = Held::new(request, &table.base.gear)?;
        let (low, high) = summarise(drawn).symmetric_95;
        let mean = table.gear_at(&table.means());
        let chance = held.chance(&mean, player)?;
        let as_intended = held.as_intended(&mean, player)?;
        let [low, high] = [low, high].map(|p| (p + chance - as_intended).clamp(0.0, 1.0));
        // A table a little beyond what can be played on moves nothing.
        let found = table.uncertain(|gear| {
            let playable = gear.check().is_ok();
            playable
                .then(|| held.as_intended(gear, player).ok())
                .flatten()
                .unwrap_or(as_intended)
        });
        let mut shares: Vec<Share> = table
            .inputs
            .iter()
            .zip(&found.shares)
            .map(|(input, share)| Share {
                quantity: input.quantity,
                share: *share,
            })
            .collect();
        shares.sort_by(|a, b| b.share.total_cmp(&a.share));
        out.push(ShotEffect {
            shot: request.clone(),
            standard: held.chance(&table.base.gear, player)?,
            chance,
            low,
            high,
            shares,
            repeat: repeat(table, &found),
        });
    }
    // What changes most comes first.
    out.sort_by(|a, b| {
        let change = |e: &ShotEffect| (e.chance - e.standard).abs();
        change(b).total_cmp(&change(a))
    });
    Ok(out)
}

/// The input with the largest share, and what three more readings of it would leave.
fn repeat(table: &MeasuredTable, found: &Uncertain) -> Option<Repeat> {
    let (input, share) = table
        .inputs
        .iter()
        .zip(&found.shares)
        .max_by(|a, b| a.1.total_cmp(b.1))
        .filter(|(_, share)| **share > 0.0)?;
    // Its variance falls as 1/n.
    #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
    let kept = input.readings as f64 / (input.readings + MORE) as f64;
    Some(Repeat {
        quantity: input.quantity,
        share: *share,
        more: MORE,
        width_left: (1.0 - share * (1.0 - kept)).sqrt(),
    })
}
