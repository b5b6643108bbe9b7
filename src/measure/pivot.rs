//! The pivot-length test: how much your own cue squirts.
//!
//! The cue is aimed at the middle of the scale of the stroke test, then turned about the bridge until the
//! tip faces a place right or left of the ball's middle, and the ball is struck firmly. Turning sends the
//! ball to the side of the tip by offset over bridge, squirt sends it back by offset over pivot length:
//! with the bridge at the pivot length both cancel. Readings right and left of the middle, at one length
//! of the bridge or several, give the pivot length; half their difference leaves a steady error out.
//!
//! Limits: the stick's elevation is the assumed one, and how far the tip was off the middle is known to a
//! millimetre; squirt depends on neither speed nor chalk.

use serde::Serialize;

use super::reading::MeasureError;
use crate::field::Field;
use crate::gear::{Gear, LoadedGear, MeasuredValue};
use crate::request::tip_width_m;
use crate::shown::quoted;
use crate::stroke::{ELEVATION_RAD, MISCUE_SHARE, Stick, arrives};
use crate::units::{Length, parse_number};

/// Speed of the cue ball that the sheet asks for: firm, so that it hardly curves (assumption), m/s.
pub const SPEED_M_S: f64 = 3.0;
/// How far off the middle the tip was meant to be may be wrong by this, m (assumption).
const TIP_OFF_M: f64 = 1e-3;
/// Readings that agree better than this do so by luck, m (assumption).
const LEAST_M: f64 = 2e-3;
/// Pivot lengths that cues have, m (as they are taken elsewhere).
const PIVOTS_M: std::ops::RangeInclusive<f64> = 0.2..=0.6;
/// Places of the grid over the pivot length, and over how far off the tip was.
const CELLS: u32 = 100;
const OFFS: [(f64, f64); 5] = [
    (-2.0, 0.135),
    (-1.0, 0.607),
    (0.0, 1.0),
    (1.0, 0.607),
    (2.0, 0.135),
];
/// Bridges that a hand makes, m.
const BRIDGES_M: std::ops::RangeInclusive<f64> = 0.1..=0.6;
/// Readings of the scale, mm.
const MOST_MM: f64 = 500.0;

/// Readings at one length of the bridge, mm, left of the middle of the scale positive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PivotSet {
    /// From the bridge to the ball's middle, m.
    pub bridge_m: f64,
    /// Struck right of the middle.
    pub right_mm: Vec<f64>,
    /// Struck left of the middle.
    pub left_mm: Vec<f64>,
}

/// How the test was played.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PivotTest {
    /// From the front of the ball to the nose with the scale, m.
    pub distance_m: f64,
    /// How far off the ball's middle the tip was, m.
    pub tip_m: f64,
    /// Speed of the cue ball, m/s.
    pub speed_m_s: f64,
}

/// A pivot length as it was found.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PivotFound {
    /// From the ball's middle, m.
    pub pivot_m: f64,
    /// Interval that holds 95 times in 100, m.
    pub low_m: f64,
    /// Its other end, m.
    pub high_m: f64,
    /// Spread of the stroke in these readings, m.
    pub spread_m: f64,
    /// Readings.
    pub readings: usize,
}

/// Reads `25cm R 12,9,14 L -10,-8`; several sets apart by semicolons or given one by one.
///
/// # Errors
/// [`MeasureError`] naming the value and what would work.
pub fn read_pivot_sets(texts: &[String]) -> Result<Vec<PivotSet>, MeasureError> {
    let parts = texts.iter().flat_map(|t| t.split(';')).map(str::trim);
    parts.filter(|p| !p.is_empty()).map(one_set).collect()
}

fn one_set(text: &str) -> Result<PivotSet, MeasureError> {
    let wrong = || MeasureError::Parts {
        what: Field::PivotTest.into(),
        value: quoted(text),
        stroke: "set of the pivot test".to_owned(),
        example: "the bridge, then readings struck right and left of the middle, such as \"25cm R 12,9,14 L -10,-8,-11\"",
    };
    let impossible = |problem: String, remedy: &str| MeasureError::Impossible {
        what: Field::PivotTest.into(),
        value: quoted(text),
        problem,
        remedy: remedy.to_owned(),
    };
    let (bridge, rest) = text.split_once(char::is_whitespace).ok_or_else(wrong)?;
    let bridge_m = bridge
        .parse::<Length>()
        .map_err(|problem| MeasureError::Unit {
            what: Field::PivotTest.into(),
            problem: Box::new(problem),
        })?
        .m();
    if !BRIDGES_M.contains(&bridge_m) {
        return Err(impossible(
            format!("nobody bridges {bridge} from the ball's middle"),
            "give the bridge from the ball's middle, 10 to 60 cm",
        ));
    }
    let mut set = PivotSet {
        bridge_m,
        right_mm: Vec::new(),
        left_mm: Vec::new(),
    };
    let mut side = None;
    for word in rest.split([' ', ',', '\t']).filter(|w| !w.is_empty()) {
        match word {
            "R" | "r" => side = Some(true),
            "L" | "l" => side = Some(false),
            number => {
                let mm = parse_number(number).map_err(|_| wrong())?;
                if mm.abs() > MOST_MM {
                    return Err(impossible(
                        format!("{number} mm is beyond any scale"),
                        "readings are millimetres from the middle of the scale, left plus",
                    ));
                }
                match side {
                    Some(true) => set.right_mm.push(mm),
                    Some(false) => set.left_mm.push(mm),
                    None => return Err(wrong()),
                }
            }
        }
    }
    if set.right_mm.is_empty() || set.left_mm.is_empty() {
        return Err(impossible(
            "struck on one side only".to_owned(),
            "give readings for R and for L: the difference of both is what squirt makes",
        ));
    }
    Ok(set)
}

impl PivotTest {
    /// Half a tip off the middle, a metre from the scale, firm.
    #[must_use]
    pub fn usual(gear: &Gear) -> Self {
        Self {
            distance_m: 1.0,
            tip_m: 0.5 * tip_width_m(gear),
            speed_m_s: SPEED_M_S,
        }
    }

    /// Whether the test can be played like this.
    ///
    /// # Errors
    /// [`MeasureError`] naming the value: a tip that would slip or says nothing, a distance or a speed of
    /// no use.
    pub fn check(&self, gear: &Gear) -> Result<(), MeasureError> {
        let most_mm = 1e3 * MISCUE_SHARE * gear.cue_radius_m();
        let tip_mm = 1e3 * self.tip_m;
        let wrong = if !(2.0..=most_mm).contains(&tip_mm) {
            (
                Field::TipOff,
                format!("{tip_mm:.1} mm"),
                "nearer the middle next to nothing squirts, and farther out the tip slips",
                format!("strike 2 to {most_mm:.0} mm off the middle"),
            )
        } else if !(0.3..=5.0).contains(&self.distance_m) {
            (
                Field::Distance,
                format!("{} m", self.distance_m),
                "squirt is read between 30 cm and 5 m",
                "give 1m or 2m".to_owned(),
            )
        } else if !(1.0..=7.0).contains(&self.speed_m_s) {
            (
                Field::Speed,
                format!("{} m/s", self.speed_m_s),
                "a slow ball curves back, and nobody strikes faster",
                "give 1m/s to 7m/s; firm is 3m/s".to_owned(),
            )
        } else {
            return Ok(());
        };
        let (what, value, problem, remedy) = wrong;
        Err(MeasureError::Impossible {
            what: what.into(),
            value,
            problem: problem.to_owned(),
            remedy,
        })
    }

    /// Where a ball struck right of its middle meets the scale, m, left positive: the cue turned about a
    /// bridge, with this pivot length.
    #[must_use]
    pub fn meets_m(&self, gear: &Gear, pivot_m: f64, tip_m: f64, bridge_m: f64) -> f64 {
        let stick = Stick {
            speed_m_s: self.speed_m_s,
            across_m: tip_m,
            height_m: 0.0,
            elevation_rad: ELEVATION_RAD,
            pivot_m,
        };
        let off = arrives(gear, &stick, self.distance_m).map_or(0.0, |m| m.left_m.atan2(m.along_m));
        self.distance_m * (off - (tip_m / bridge_m).atan()).tan()
    }

    /// How well each pivot length explains the halves of the sets (m, with their doubt), for each of some
    /// places of the tip.
    fn log_likelihoods(
        &self,
        gear: &Gear,
        sets: &[PivotSet],
        halves: &[(f64, f64)],
        pivots: &[f64],
    ) -> Vec<[f64; 5]> {
        let log = |pivot_m: f64, z: f64| -> f64 {
            let tip_m = self.tip_m + z * TIP_OFF_M;
            sets.iter()
                .zip(halves)
                .map(|(set, (half, u))| {
                    let z = (half - self.meets_m(gear, pivot_m, tip_m, set.bridge_m)) / u;
                    -0.5 * z * z
                })
                .sum()
        };
        pivots
            .iter()
            .map(|p| OFFS.map(|(z, _)| log(*p, z)))
            .collect()
    }

    /// The pivot length that these readings tell.
    ///
    /// Flat over 200 to 600 mm; how far off the tip was is integrated out. Each set counts by half the
    /// difference of its means, Normal with the scatter that all readings have about their own means.
    ///
    /// # Errors
    /// [`MeasureError`]: none, a tip that would slip, or readings that no cue brings.
    pub fn fit(&self, gear: &Gear, sets: &[PivotSet]) -> Result<PivotFound, MeasureError> {
        self.check(gear)?;
        let spread_m = scatter_m(sets).max(LEAST_M);
        let halves: Vec<(f64, f64)> = sets
            .iter()
            .map(|s| (half_m(s), spread_m * doubt(s)))
            .collect();
        let (low, high) = (*PIVOTS_M.start(), *PIVOTS_M.end());
        let cell = (high - low) / f64::from(CELLS);
        let pivots: Vec<f64> = (0..CELLS)
            .map(|k| low + cell * (f64::from(k) + 0.5))
            .collect();
        let logs = self.log_likelihoods(gear, sets, &halves, &pivots);
        let best = logs
            .iter()
            .flatten()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        // Five standard deviations off whatever the cue (assumption).
        if best < -12.5 {
            return Err(no_cue_brings_these());
        }
        let weights: Vec<f64> = logs
            .iter()
            .map(|own| {
                own.iter()
                    .zip(OFFS)
                    .map(|(l, (_, w))| w * (l - best).exp())
                    .sum()
            })
            .collect();
        let total: f64 = weights.iter().sum();
        let mean = pivots.iter().zip(&weights).map(|(p, w)| p * w).sum::<f64>() / total;
        let quantile = |share: f64| {
            let mut sum = 0.0;
            let found = pivots.iter().zip(&weights).find(|(_, w)| {
                sum += **w;
                sum >= share * total
            });
            found.map_or(high, |(p, _)| *p)
        };
        Ok(PivotFound {
            pivot_m: mean,
            low_m: quantile(0.025),
            high_m: quantile(0.975),
            spread_m,
            readings: sets
                .iter()
                .map(|s| s.right_mm.len() + s.left_mm.len())
                .sum(),
        })
    }
}

fn no_cue_brings_these() -> MeasureError {
    MeasureError::Impossible {
        what: Field::PivotTest.into(),
        value: "as given".to_owned(),
        problem: "no cue with a pivot of 200 to 600 mm brings these readings".to_owned(),
        remedy: "left of the middle of the scale is plus; turn the cue about the bridge, not about the grip, and aim at 0 before turning".to_owned(),
    }
}

impl PivotFound {
    /// A gear with this cue.
    ///
    /// # Errors
    /// [`MeasureError::Gear`]: a name that will not do.
    pub fn written(
        &self,
        base: &LoadedGear,
        name: &str,
        day: &str,
    ) -> Result<LoadedGear, MeasureError> {
        let value = MeasuredValue {
            key: "cue.pivot",
            text: format!("{:.0}mm", 1e3 * self.pivot_m),
            source: format!(
                "{day}, pivot test ({} readings), {:.0} to {:.0} mm (95 in 100)",
                self.readings,
                1e3 * self.low_m,
                1e3 * self.high_m
            ),
        };
        let new = format!("Cue measured on {day}.");
        let note = match &base.note {
            Some(note) => format!("{note} {new}"),
            None => new,
        };
        Ok(base.measured(name, note, &[value])?)
    }
}

/// Half of what readings struck right are left of those struck left, m.
fn half_m(set: &PivotSet) -> f64 {
    0.5e-3 * (mean(&set.right_mm) - mean(&set.left_mm))
}

/// Standard uncertainty of that over the scatter of one reading.
fn doubt(set: &PivotSet) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
    let over = |own: &[f64]| 1.0 / own.len() as f64;
    0.5 * (over(&set.right_mm) + over(&set.left_mm)).sqrt()
}

/// Scatter of the readings about the means of their own side and bridge, m; that of a club player's firm
/// stroke where there are too few to tell.
fn scatter_m(sets: &[PivotSet]) -> f64 {
    const USUAL_M: f64 = 8e-3;
    let groups = sets.iter().flat_map(|s| [&s.right_mm, &s.left_mm]);
    let (mut squares, mut free) = (0.0, 0.0);
    for own in groups {
        let middle = mean(own);
        squares += own.iter().map(|x| (x - middle).powi(2)).sum::<f64>();
        #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
        let count = own.len() as f64;
        free += count - 1.0;
    }
    // Few readings: what is usual counts as three of them.
    const AS_GOOD_AS: f64 = 3.0;
    let usual = AS_GOOD_AS * USUAL_M.powi(2);
    ((1e-6 * squares + usual) / (free + AS_GOOD_AS)).sqrt()
}

#[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
fn mean(of: &[f64]) -> f64 {
    of.iter().sum::<f64>() / of.len() as f64
}
