//! From readings to a gear: which values follow from them, and how sure each is.

use super::mean::{Mean, mean, reach_95};
use super::quantity::{Instrument, Quantity};
use super::reading::{Instruments, MeasureError, Reading};
use super::stroke_values::{lags, throws};
use super::strokes::{RunReading, restitution_of_run, run_time_s};
use crate::field::Field;
use crate::gear::{Balls, Gear, LoadedGear, POCKETS, PocketSpec};
use crate::pocket::PocketKind;

/// Two ways to the same mouth this many standard uncertainties apart contradict each other
/// (assumption: chance alone does that once in ten thousand).
const CONTRADICTION: f64 = 4.0;

/// One measured quantity: the mean of its readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// What was measured.
    pub quantity: Quantity,
    /// Mean in SI; a stroke already as the coefficient it gives.
    pub mean: Mean,
    /// Number of readings.
    pub readings: usize,
}

/// Everything measured on a table, over the gear it is compared with.
#[derive(Debug, Clone)]
pub struct MeasuredTable {
    /// The standard table: values not measured are its own.
    pub base: LoadedGear,
    /// Independent inputs, in the order of [`Quantity::ALL`].
    pub inputs: Vec<Input>,
    /// How the restitution read off a run follows the rolling friction: its slope, and the
    /// friction it was read at.
    run: Option<(f64, f64)>,
    /// Weight of the mouth measured straight against the one from the gap, corner and side.
    mouth_weight: [f64; 2],
}

impl MeasuredTable {
    /// Takes readings in any order; several of one quantity count together.
    ///
    /// # Errors
    /// [`MeasureError`]: nothing measured, readings that cannot be or that contradict each other,
    /// or a table that could not be played on.
    pub fn new(
        base: LoadedGear,
        readings: &[(Quantity, Reading)],
        instruments: &Instruments,
    ) -> Result<Self, MeasureError> {
        let of = |quantity: Quantity| {
            let own = readings.iter().filter(move |(q, _)| *q == quantity);
            own.map(|(_, reading)| reading).collect::<Vec<_>>()
        };
        let mut table = Self {
            base,
            inputs: Vec::new(),
            run: None,
            mouth_weight: [1.0; 2],
        };
        for quantity in Quantity::ALL {
            let own = of(quantity);
            if own.is_empty() {
                continue;
            }
            agree(quantity, &own, instruments)?;
            let values = match quantity {
                Quantity::Lag => lags(&own, instruments)?,
                Quantity::Run => table.runs(&own, instruments)?,
                Quantity::Throw => throws(&own, &table.base.gear, instruments)?,
                _ => {
                    let good_to = instruments.good_to(quantity.instrument());
                    own.iter().map(|r| (r.parts[0], good_to)).collect()
                }
            };
            table.inputs.push(Input {
                quantity,
                mean: mean(&values),
                readings: own.len(),
            });
        }
        if table.inputs.is_empty() {
            return Err(MeasureError::Nothing);
        }
        for kind in [PocketKind::Corner, PocketKind::Side] {
            table.weigh_mouths(kind)?;
            table.check_fall(kind)?;
            table.check_throat(kind)?;
        }
        table.gear_at(&table.means()).check()?;
        Ok(table)
    }

    /// Means of the inputs.
    #[must_use]
    pub fn means(&self) -> Vec<f64> {
        self.inputs.iter().map(|i| i.mean.value).collect()
    }

    fn input(&self, quantity: Quantity) -> Option<&Input> {
        self.inputs.iter().find(|i| i.quantity == quantity)
    }

    /// The table with these values of the inputs, not yet checked.
    #[must_use]
    pub fn gear_at(&self, values: &[f64]) -> Gear {
        let get = |quantity: Quantity| {
            let at = self.inputs.iter().position(|i| i.quantity == quantity)?;
            values.get(at).copied()
        };
        let mut gear = self.base.gear.clone();
        set(&mut gear.bed.length_m, get(Quantity::TableLength));
        set(&mut gear.bed.width_m, get(Quantity::TableWidth));
        self.set_balls(&mut gear.balls, &get);
        for (k, kind) in [PocketKind::Corner, PocketKind::Side]
            .into_iter()
            .enumerate()
        {
            let from_gap = get(Quantity::Gap(kind)).map(|gap| mouth_of_gap_m(&gear, gap));
            let weight = self.mouth_weight[k];
            let mouth = match (get(Quantity::Mouth(kind)), from_gap) {
                (Some(straight), Some(gap)) => Some(weight * straight + (1.0 - weight) * gap),
                (straight, gap) => straight.or(gap),
            };
            let shelf = get(Quantity::Shelf(kind));
            let throat = get(Quantity::Throat(kind));
            let depth = get(Quantity::ThroatDepth(kind)).or(shelf);
            let spec = spec_mut(&mut gear, kind);
            set(&mut spec.mouth_m, mouth);
            set(&mut spec.shelf_m, shelf);
            set(&mut spec.jaw_radius_m, get(Quantity::Rounding(kind)));
            if let (Some(throat), Some(depth)) = (throat, depth) {
                // Throat at depth s: mouth − 2 s tan β; parallel where the readings cross.
                let closing_m = (0.5 * (spec.mouth_m - throat)).max(0.0);
                let square_rad = std::f64::consts::FRAC_PI_2 + parallel_rad(kind);
                spec.facing_angle_rad = square_rad + closing_m.atan2(depth.max(f64::EPSILON));
            }
            if let Some(fall_m) = get(Quantity::Fall(kind)) {
                spec.mouth_m = mouth_of_fall_m(kind, spec, fall_m);
            }
        }
        for index in 0..POCKETS.len() {
            if let Some(mouth_m) = get(Quantity::MouthOf(index)) {
                gear.single[index].mouth_m = Some(mouth_m);
            }
        }
        set(&mut gear.cloth.rolling_friction, get(Quantity::Lag));
        if let (Some(own), Some((slope, at))) = (get(Quantity::Run), self.run) {
            let restitution = own + slope * (gear.cloth.rolling_friction - at);
            // No cushion gives more than it gets; a draw beyond counts as the limit.
            gear.cushion.restitution = restitution.clamp(0.2, 1.0);
        }
        set(&mut gear.contact.friction_scale, get(Quantity::Throw));
        gear
    }

    /// Diameters and weights; a cue ball like the others in the standard gear stays like them.
    fn set_balls(&self, balls: &mut Balls, get: &impl Fn(Quantity) -> Option<f64>) {
        let was = self.base.gear.balls;
        let alike = |a: f64, b: f64| (a - b).abs() < f64::EPSILON;
        let both = |own: Quantity, other: Quantity, same: bool| {
            get(other).or_else(|| get(own).filter(|_| same))
        };
        set(
            &mut balls.cue_diameter_m,
            both(
                Quantity::BallDiameter,
                Quantity::CueBallDiameter,
                alike(was.cue_diameter_m, was.object_diameter_m),
            ),
        );
        set(
            &mut balls.cue_mass_kg,
            both(
                Quantity::BallWeight,
                Quantity::CueBallWeight,
                alike(was.cue_mass_kg, was.object_mass_kg),
            ),
        );
        set(&mut balls.object_diameter_m, get(Quantity::BallDiameter));
        set(&mut balls.object_mass_kg, get(Quantity::BallWeight));
    }

    /// Restitutions from timed runs, each with what watch and way make of it. How the rolling
    /// friction acts on all of them alike is kept apart.
    fn runs(
        &mut self,
        own: &[&Reading],
        instruments: &Instruments,
    ) -> Result<Vec<(f64, f64)>, MeasureError> {
        if self.input(Quantity::Lag).is_none() {
            // Order of Quantity::ALL: lags come first.
            return Err(MeasureError::Needs {
                what: Field::RollLengths,
                needed: Field::RollOut,
                why: "cloth and cushions both brake a run, and only a lag tells them apart",
            });
        }
        let gear = self.gear_at(&self.means());
        let friction = gear.cloth.rolling_friction;
        let mut slopes = 0.0;
        let mut out = Vec::with_capacity(own.len());
        for reading in own {
            let way_m = reading.parts[0] * gear.bed.length_m;
            let found = restitution_of(reading, &gear, instruments)?;
            let time = |e: f64, way_m: f64, gear: &Gear| {
                run_time_s(gear, e, way_m).map_err(MeasureError::Run)
            };
            // t(e, way, μ_r) = time: slopes by differences, then de = (dt − t_way·dway − t_μ·dμ)/t_e.
            let (below, above) = ((found - STEP).max(0.25), (found + STEP).min(1.0));
            let per_e = (time(above, way_m, &gear)? - time(below, way_m, &gear)?) / (above - below);
            let good_way_m = instruments.good_to(Instrument::Count) * gear.bed.length_m;
            let per_way = (time(found, way_m + good_way_m, &gear)?
                - time(found, way_m - good_way_m, &gear)?)
                / (2.0 * good_way_m);
            let with = |factor: f64| {
                let mut other = gear.clone();
                other.cloth.rolling_friction *= factor;
                time(found, way_m, &other)
            };
            let per_friction = (with(1.0 + STEP)? - with(1.0 - STEP)?) / (2.0 * STEP * friction);
            let off_s = instruments
                .good_to(Instrument::Watch)
                .hypot(per_way * good_way_m);
            slopes -= per_friction / per_e;
            out.push((found, (off_s / per_e).abs()));
        }
        #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
        let count = out.len() as f64;
        self.run = Some((slopes / count, friction));
        Ok(out)
    }

    /// Mouth straight and from the gap: weights by how sure each is, or the contradiction.
    fn weigh_mouths(&mut self, kind: PocketKind) -> Result<(), MeasureError> {
        let (Some(straight), Some(gap)) = (
            self.input(Quantity::Mouth(kind)).cloned(),
            self.input(Quantity::Gap(kind)).cloned(),
        ) else {
            return Ok(());
        };
        let gear = self.gear_at(&self.means());
        let from_gap_m = mouth_of_gap_m(&gear, gap.mean.value);
        // Twice a diameter and a little less stands in it: a ball's own uncertainty counts.
        let ball_u = self
            .input(Quantity::BallDiameter)
            .map_or(0.0, |i| i.mean.standard_uncertainty);
        let gap_u = gap.mean.standard_uncertainty.hypot(2.0 * ball_u);
        let straight_u = straight.mean.standard_uncertainty;
        if (straight.mean.value - from_gap_m).abs() > CONTRADICTION * gap_u.hypot(straight_u) {
            return Err(MeasureError::Impossible {
                what: Quantity::Gap(kind).field().into(),
                value: millimetres(gap.mean.value),
                problem: format!(
                    "with these balls that makes a mouth of {}, but {} says {}",
                    millimetres(from_gap_m),
                    Quantity::Mouth(kind).field(),
                    millimetres(straight.mean.value)
                ),
                remedy: "measure one of them again".to_owned(),
            });
        }
        let (a, b) = (straight_u.powi(-2), gap_u.powi(-2));
        self.mouth_weight[usize::from(kind == PocketKind::Side)] = a / (a + b);
        Ok(())
    }

    /// A throat needs its mouth and its depth, and is not wider than the mouth.
    fn check_throat(&self, kind: PocketKind) -> Result<(), MeasureError> {
        let has = |quantity: Quantity| self.input(quantity).is_some();
        let (throat, depth) = (Quantity::Throat(kind), Quantity::ThroatDepth(kind));
        let needs = |what: Quantity, needed: Quantity, why| {
            Err(MeasureError::Needs {
                what: what.field(),
                needed: needed.field(),
                why,
            })
        };
        let Some(input) = self.input(throat) else {
            if has(depth) {
                return needs(depth, throat, "a depth alone says nothing");
            }
            return Ok(());
        };
        if !has(Quantity::Mouth(kind)) && !has(Quantity::Gap(kind)) {
            return needs(
                throat,
                Quantity::Mouth(kind),
                "the facings close in from the mouth to the throat",
            );
        }
        let shelf = Quantity::Shelf(kind);
        let deep = [depth, shelf]
            .into_iter()
            .find_map(|q| self.input(q))
            .map_or(0.0, |i| i.mean.value);
        // Nearer to the mouth than this, a millimetre of the throat is ten degrees of the facing.
        const SHALLOWEST_M: f64 = 3e-3;
        if deep < SHALLOWEST_M {
            return needs(
                throat,
                depth,
                "how fast the facings close in follows from a throat measured 3 mm or more behind the mouth",
            );
        }
        let mouth_m = kind.spec(&self.gear_at(&self.means())).mouth_m;
        if input.mean.value > mouth_m {
            return Err(MeasureError::Impossible {
                what: throat.field().into(),
                value: millimetres(input.mean.value),
                problem: format!(
                    "wider than the mouth ({}), though facings close in",
                    millimetres(mouth_m)
                ),
                remedy: format!(
                    "give at most {}, or measure the mouth again, jaw point to jaw point",
                    millimetres(mouth_m)
                ),
            });
        }
        Ok(())
    }

    /// A fall gives the mouth, so only one of the two can be measured; and some mouth must have it.
    fn check_fall(&self, kind: PocketKind) -> Result<(), MeasureError> {
        let fall = Quantity::Fall(kind);
        let Some(input) = self.input(fall) else {
            return Ok(());
        };
        let also = [
            Quantity::Mouth(kind),
            Quantity::Gap(kind),
            Quantity::Throat(kind),
        ];
        if let Some(other) = also.into_iter().find(|q| self.input(*q).is_some()) {
            return Err(MeasureError::Impossible {
                what: fall.field().into(),
                value: millimetres(input.mean.value),
                problem: format!(
                    "{} was measured too, and each gives the mouth",
                    other.field()
                ),
                remedy: format!(
                    "give {} for rounded jaws, {} for jaws with points",
                    fall.field(),
                    Quantity::Mouth(kind).field()
                ),
            });
        }
        let gear = self.gear_at(&self.means());
        let reached = kind.fall_width_m(kind.spec(&gear));
        if reached.is_some_and(|width| (width - input.mean.value).abs() < 1e-3) {
            return Ok(());
        }
        Err(MeasureError::Impossible {
            what: fall.field().into(),
            value: millimetres(input.mean.value),
            problem: "no pocket with this shelf and this slate cut has it".to_owned(),
            remedy: "measure between the facings where they meet the edge of the slate's cut, and the shelf".to_owned(),
        })
    }

    /// Value, standard uncertainty and reach of a 95 % interval of something that follows from the
    /// gear, to first order.
    pub fn uncertain(&self, read: impl Fn(&Gear) -> f64) -> Uncertain {
        let means = self.means();
        let value = read(&self.gear_at(&means));
        let mut parts = Vec::with_capacity(self.inputs.len());
        for (k, input) in self.inputs.iter().enumerate() {
            let u = input.mean.standard_uncertainty;
            let at = |by: f64| {
                let mut moved = means.clone();
                moved[k] += by;
                read(&self.gear_at(&moved))
            };
            parts.push(0.5 * (at(u) - at(-u)));
        }
        Uncertain::new(value, &parts, &self.inputs)
    }
}

/// Whether sizes of one thing can all be right: two are too far apart when neither the table nor the
/// instrument explains it, so that one of them was misread. The table explains
/// [`Quantity::differs`]; the instrument [`CONTRADICTION`] standard uncertainties of a difference of
/// two readings, u√2.
/// The restitution that a run tells, on a table whose cloth is known.
fn restitution_of(
    reading: &Reading,
    gear: &Gear,
    instruments: &Instruments,
) -> Result<f64, MeasureError> {
    let (lengths, time_s) = (reading.parts[0], reading.parts[1]);
    let way_m = lengths * gear.bed.length_m;
    let friction = gear.cloth.rolling_friction;
    match restitution_of_run(gear, way_m, time_s).map_err(MeasureError::Run)? {
        RunReading::Restitution(e) => Ok(e),
        // A thumb on the watch is no reason to refuse it.
        RunReading::Impossible { most_s, .. }
            if time_s > most_s
                && time_s <= most_s + 2.0 * instruments.good_to(Instrument::Watch) =>
        {
            Ok(1.0)
        }
        RunReading::Impossible { least_s, most_s } => Err(MeasureError::Impossible {
            what: Field::RollLengths.into(),
            value: reading.text.clone(),
            problem: format!("no cushion does that on a cloth of rolling friction {friction:.4}"),
            remedy: format!(
                "{lengths} lengths take {least_s:.1} to {most_s:.1} s here; count and time again, from the tip to rest, and look at {} too, which that friction comes from",
                Field::RollOut
            ),
        }),
    }
}

fn agree(
    quantity: Quantity,
    own: &[&Reading],
    instruments: &Instruments,
) -> Result<(), MeasureError> {
    let Some(differs) = quantity.differs() else {
        return Ok(());
    };
    let good_to = instruments.good_to(quantity.instrument());
    let most = differs + CONTRADICTION * std::f64::consts::SQRT_2 * good_to;
    let by_size = |a: &&&Reading, b: &&&Reading| a.parts[0].total_cmp(&b.parts[0]);
    let (Some(least), Some(largest)) = (own.iter().min_by(by_size), own.iter().max_by(by_size))
    else {
        return Ok(());
    };
    let apart = largest.parts[0] - least.parts[0];
    if apart <= most {
        return Ok(());
    }
    let say = |si: f64| match quantity {
        Quantity::BallWeight | Quantity::CueBallWeight => {
            format!("{} g", (1e4 * si).round() / 10.0)
        }
        _ => millimetres(si),
    };
    let (section, key) = quantity.place();
    Err(MeasureError::Misread {
        what: quantity.field(),
        section,
        key,
        both: format!("{} and {}", least.text, largest.text),
        apart: say(apart),
        most: say(most),
    })
}

/// Relative and absolute step of differences for a restitution and a friction.
const STEP: f64 = 0.02;

/// A value with what each input adds to its uncertainty.
#[derive(Debug, Clone, PartialEq)]
pub struct Uncertain {
    /// At the means.
    pub value: f64,
    /// Combined standard uncertainty.
    pub standard_uncertainty: f64,
    /// Half width of the 95 % interval.
    pub reach_95: f64,
    /// Each input's share of the variance, in the order of the inputs.
    pub shares: Vec<f64>,
}

impl Uncertain {
    /// Parts are the changes of the value over one standard uncertainty of each input; degrees of
    /// freedom combine by Welch and Satterthwaite (JCGM 100:2008, G.4.1).
    #[must_use]
    pub fn new(value: f64, parts: &[f64], inputs: &[Input]) -> Self {
        let variance: f64 = parts.iter().map(|p| p * p).sum();
        let fourth: f64 = parts
            .iter()
            .zip(inputs)
            .filter_map(|(p, input)| Some(p.powi(4) / input.mean.degrees_of_freedom?))
            .sum();
        let free = (fourth > 0.0).then(|| variance * variance / fourth);
        let share = |p: &f64| {
            if variance > 0.0 {
                p * p / variance
            } else {
                0.0
            }
        };
        Self {
            value,
            standard_uncertainty: variance.sqrt(),
            reach_95: reach_95(free) * variance.sqrt(),
            shares: parts.iter().map(share).collect(),
        }
    }
}

/// Angle between rail and a facing that does not close in, less a right angle, rad: 45° in a
/// corner, 0° at a side.
fn parallel_rad(kind: PocketKind) -> f64 {
    match kind {
        PocketKind::Corner => std::f64::consts::FRAC_PI_4,
        PocketKind::Side => 0.0,
    }
}

fn set(slot: &mut f64, value: Option<f64>) {
    if let Some(value) = value {
        *slot = value;
    }
}

fn spec_mut(gear: &mut Gear, kind: PocketKind) -> &mut PocketSpec {
    match kind {
        PocketKind::Corner => &mut gear.corner,
        PocketKind::Side => &mut gear.side,
    }
}

/// Two balls side by side on the mouth line, each on a jaw point: the noses touch at ρ from each
/// centre, so mouth = gap + 2(R + ρ).
fn mouth_of_gap_m(gear: &Gear, gap_m: f64) -> f64 {
    gap_m + 2.0 * (gear.object_radius_m() + gear.object_contact_radius_m())
}

/// The mouth between the sharp points that rounded jaws would have, from the width at the fall of the
/// slate, which grows with it; the standard table's where none has that width.
fn mouth_of_fall_m(kind: PocketKind, spec: &PocketSpec, fall_m: f64) -> f64 {
    let fall_of = |mouth_m: f64| kind.fall_width_m(&PocketSpec { mouth_m, ..*spec });
    // Facings close in: the mouth is no narrower than the fall, and less than a hand wider.
    let (mut low, mut high) = (fall_m, fall_m + 0.08);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        match fall_of(middle) {
            Some(width) if width < fall_m => low = middle,
            _ => high = middle,
        }
    }
    let found = 0.5 * (low + high);
    match fall_of(found) {
        Some(width) if (width - fall_m).abs() < 1e-4 => found,
        _ => spec.mouth_m,
    }
}

/// A length in messages.
fn millimetres(m: f64) -> String {
    format!("{} mm", (1e4 * m).round() / 10.0)
}
