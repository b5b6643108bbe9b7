//! The values of a gear file that were measured, as they are written into it.

use serde::Serialize;

use super::quantity::Quantity;
use super::reading::MeasureError;
use super::table::MeasuredTable;
use crate::gear::{Gear, LoadedGear, MeasuredValue, POCKETS};
use crate::pocket::PocketKind::{Corner, Side};
use crate::units::UnitSystem;

/// A value that follows from readings.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TableValue {
    /// Key of the gear file.
    pub key: &'static str,
    /// As written into the file.
    pub text: String,
    /// Unit of the numbers: `mm`, `g`, `deg` or none.
    pub unit: &'static str,
    /// Measured, in that unit.
    pub value: f64,
    /// 95 % interval.
    pub low: f64,
    /// 95 % interval.
    pub high: f64,
    /// The standard table's own.
    pub standard: f64,
    /// What it rests on.
    pub from: Vec<Quantity>,
    /// Number of readings of those.
    pub readings: usize,
    /// Whether readings scatter by more than the instrument explains, so that their own scatter
    /// counts.
    pub scattered: bool,
}

/// What a value is written in.
#[derive(Clone, Copy)]
struct Unit {
    name: &'static str,
    per_si: f64,
}

impl Unit {
    const fn new(name: &'static str, per_si: f64) -> Self {
        Self { name, per_si }
    }
}

/// A key that measuring can give.
struct Key {
    path: &'static str,
    unit: Unit,
    read: fn(&Gear) -> f64,
    from: &'static [Quantity],
}

const DEG: f64 = 180.0 / std::f64::consts::PI;

const fn key(
    path: &'static str,
    unit: Unit,
    read: fn(&Gear) -> f64,
    from: &'static [Quantity],
) -> Key {
    Key {
        path,
        unit,
        read,
        from,
    }
}

const MM: Unit = Unit::new("mm", 1e3);
const G: Unit = Unit::new("g", 1e3);
const ANGLE: Unit = Unit::new("deg", DEG);
const NONE: Unit = Unit::new("", 1.0);

const KEYS: [Key; 23] = [
    key(
        "bed.length",
        MM,
        |g| g.bed.length_m,
        &[Quantity::TableLength],
    ),
    key("bed.width", MM, |g| g.bed.width_m, &[Quantity::TableWidth]),
    key(
        "ball.object_diameter",
        MM,
        |g| g.balls.object_diameter_m,
        &[Quantity::BallDiameter],
    ),
    key(
        "ball.cue_diameter",
        MM,
        |g| g.balls.cue_diameter_m,
        &[Quantity::CueBallDiameter, Quantity::BallDiameter],
    ),
    key(
        "ball.object_mass",
        G,
        |g| g.balls.object_mass_kg,
        &[Quantity::BallWeight],
    ),
    key(
        "ball.cue_mass",
        G,
        |g| g.balls.cue_mass_kg,
        &[Quantity::CueBallWeight, Quantity::BallWeight],
    ),
    key(
        "ball.contact.friction_scale",
        NONE,
        |g| g.contact.friction_scale,
        &[Quantity::Throw],
    ),
    key(
        "cloth.rolling_friction",
        NONE,
        |g| g.cloth.rolling_friction,
        &[Quantity::Lag],
    ),
    key(
        "cushion.restitution",
        NONE,
        |g| g.cushion.restitution,
        &[Quantity::Run],
    ),
    key(
        "pocket.corner.mouth",
        MM,
        |g| g.corner.mouth_m,
        &[
            Quantity::Mouth(Corner),
            Quantity::Gap(Corner),
            Quantity::Fall(Corner),
        ],
    ),
    key(
        "pocket.corner.facing_angle",
        ANGLE,
        |g| g.corner.facing_angle_rad,
        &[Quantity::Throat(Corner)],
    ),
    key(
        "pocket.corner.shelf",
        MM,
        |g| g.corner.shelf_m,
        &[Quantity::Shelf(Corner)],
    ),
    key(
        "pocket.corner.jaw_radius",
        MM,
        |g| g.corner.jaw_radius_m,
        &[Quantity::Rounding(Corner)],
    ),
    key(
        "pocket.side.mouth",
        MM,
        |g| g.side.mouth_m,
        &[
            Quantity::Mouth(Side),
            Quantity::Gap(Side),
            Quantity::Fall(Side),
        ],
    ),
    key(
        "pocket.side.facing_angle",
        ANGLE,
        |g| g.side.facing_angle_rad,
        &[Quantity::Throat(Side)],
    ),
    key(
        "pocket.side.shelf",
        MM,
        |g| g.side.shelf_m,
        &[Quantity::Shelf(Side)],
    ),
    key(
        "pocket.side.jaw_radius",
        MM,
        |g| g.side.jaw_radius_m,
        &[Quantity::Rounding(Side)],
    ),
    key(
        "pocket.head-left.mouth",
        MM,
        |g| g.single_pocket(0).mouth_m,
        &[Quantity::MouthOf(0)],
    ),
    key(
        "pocket.head-right.mouth",
        MM,
        |g| g.single_pocket(1).mouth_m,
        &[Quantity::MouthOf(1)],
    ),
    key(
        "pocket.side-left.mouth",
        MM,
        |g| g.single_pocket(2).mouth_m,
        &[Quantity::MouthOf(2)],
    ),
    key(
        "pocket.side-right.mouth",
        MM,
        |g| g.single_pocket(3).mouth_m,
        &[Quantity::MouthOf(3)],
    ),
    key(
        "pocket.foot-left.mouth",
        MM,
        |g| g.single_pocket(4).mouth_m,
        &[Quantity::MouthOf(4)],
    ),
    key(
        "pocket.foot-right.mouth",
        MM,
        |g| g.single_pocket(5).mouth_m,
        &[Quantity::MouthOf(5)],
    ),
];

/// The values that follow from the readings, in the order of gear files.
#[must_use]
pub fn values(table: &MeasuredTable) -> Vec<TableValue> {
    KEYS.iter().filter_map(|key| value(table, key)).collect()
}

fn value(table: &MeasuredTable, key: &Key) -> Option<TableValue> {
    let standard = (key.read)(&table.base.gear);
    let found = table.uncertain(key.read);
    let moves = |share: &f64| *share > 0.0;
    if !found.shares.iter().any(moves) {
        return None;
    }
    let own: Vec<_> = table
        .inputs
        .iter()
        .filter(|input| key.from.contains(&input.quantity))
        .collect();
    // What a single pocket has from its kind is its kind's value.
    if own.is_empty() && key.from.iter().any(|q| matches!(q, Quantity::MouthOf(_))) {
        return None;
    }
    let (value, reach) = (
        key.unit.per_si * found.value,
        key.unit.per_si * found.reach_95,
    );
    // Rounded to a twentieth of the standard uncertainty: what is lost is never seen.
    let decimals = decimals(key.unit.per_si * found.standard_uncertainty / 20.0);
    Some(TableValue {
        key: key.path,
        text: format!("{value:.decimals$}{}", key.unit.name),
        unit: key.unit.name,
        value,
        low: value - reach,
        high: value + reach,
        standard: key.unit.per_si * standard,
        from: own.iter().map(|input| input.quantity).collect(),
        readings: own.iter().map(|input| input.readings).sum(),
        scattered: own.iter().any(|i| i.mean.degrees_of_freedom.is_some()),
    })
}

/// Decimals that show steps of this size.
fn decimals(step: f64) -> usize {
    // More than nine decimals of a millimetre or a coefficient are rounding noise.
    const MOST: f64 = 9.0;
    let wanted = (-step.log10()).ceil().clamp(0.0, MOST);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped just above"
    )]
    {
        wanted as usize
    }
}

impl TableValue {
    /// Value, half width of the interval and the standard table's own value with units, each to
    /// the digits the uncertainty leaves.
    #[must_use]
    pub fn digits(&self, units: impl Into<UnitSystem>) -> [String; 3] {
        let (per_unit, unit) = match (self.unit, units.into()) {
            ("mm", UnitSystem::Inches) => (1.0 / 25.4, " in"),
            ("mm", UnitSystem::Metric) => (1.0, " mm"),
            ("g", _) => (1.0, " g"),
            ("deg", _) => (1.0, "°"),
            _ => (1.0, ""),
        };
        let reach = 0.5 * (self.high - self.low);
        // Two digits of the half width (JCGM 100:2008, 7.2.6).
        let decimals = decimals(per_unit * reach / 10.0);
        [("", self.value), ("±", reach), ("", self.standard)]
            .map(|(sign, number)| format!("{sign}{:.decimals$}{unit}", per_unit * number))
    }

    /// What stands beside it in the file.
    fn source(&self, day: &str) -> String {
        let from: Vec<String> = self.from.iter().map(|q| q.spoken()).collect();
        let [_, reach, _] = self.digits(UnitSystem::Metric);
        format!(
            "{day}, {} ({} reading{}), {reach} (95 in 100)",
            from.join(" and "),
            self.readings,
            if self.readings == 1 { "" } else { "s" },
        )
    }
}

/// The measured gear: the base with the values measured, each with day and uncertainty beside it.
///
/// # Errors
/// [`MeasureError::Gear`]: a name that will not do, or rounded values that no longer fit.
pub fn gear(
    table: &MeasuredTable,
    values: &[TableValue],
    name: &str,
    day: &str,
) -> Result<LoadedGear, MeasureError> {
    let base = &table.base.gear.name;
    let note = format!(
        "Measured on {day}; what was not measured is {base}'s. Intervals hold 95 times in 100."
    );
    let values: Vec<MeasuredValue> = values
        .iter()
        .map(|v| MeasuredValue {
            key: v.key,
            text: v.text.clone(),
            source: v.source(day),
        })
        .collect();
    Ok(table.base.measured(name, note, &values)?)
}

/// Whether a key is of one of the six pockets.
fn is_single(path: &str) -> bool {
    let section = path.split('.').nth(1);
    POCKETS.iter().any(|(name, _)| section == Some(*name))
}

/// Keys that measuring could give and that were not measured.
#[must_use]
pub fn not_measured(values: &[TableValue], base: &Gear) -> Vec<&'static str> {
    KEYS.iter()
        // Jaws with points have no rounding to measure.
        .filter(|key| !key.path.ends_with("jaw_radius") || (key.read)(base) > 0.0)
        .map(|key| key.path)
        // Single pockets are measured only where one differs.
        .filter(|path| !is_single(path) && !values.iter().any(|v| v.key == *path))
        .collect()
}
