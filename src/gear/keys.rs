//! Every key a gear file has: where it goes, its unit and its physical limits.
//!
//! The limits are where the model stops making sense, not the tolerances of any rule book: a club
//! table outside the tournament specification is still a table. All limits are assumptions unless
//! their reason says otherwise.

use std::f64::consts::PI;

use super::{
    BallContact, Balls, Bed, Cloth, Cushion, Gear, Lines, Marks, MeasuredBounce, PocketSpec,
};
use crate::error::UnitError;
use crate::field::Hint;
use crate::shown::nearest_by;
use crate::units::{Angle, InverseSpeed, Length, Mass, SpinDecay, parse_number};

/// Unit of a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Length,
    Angle,
    Mass,
    SpinDecay,
    InverseSpeed,
    Number,
}

impl Kind {
    /// Text to SI.
    pub(super) fn parse(self, text: &str) -> Result<f64, UnitError> {
        Ok(match self {
            Self::Length => text.parse::<Length>()?.m(),
            Self::Angle => text.parse::<Angle>()?.rad(),
            Self::Mass => text.parse::<Mass>()?.kg(),
            Self::SpinDecay => text.parse::<SpinDecay>()?.rad_s2(),
            Self::InverseSpeed => text.parse::<InverseSpeed>()?.s_m(),
            Self::Number => parse_number(text)?,
        })
    }

    /// SI to the shortest text that [`parse`](Self::parse) reads back as the same number.
    pub(super) fn text(self, si: f64) -> String {
        match self {
            Self::Length => Length::from_m(si).to_string(),
            Self::Angle => Angle::from_rad(si).to_string(),
            Self::Mass => Mass::from_kg(si).to_string(),
            Self::SpinDecay => SpinDecay::from_rad_s2(si).to_string(),
            Self::InverseSpeed => InverseSpeed::from_s_m(si).to_string(),
            Self::Number => si.to_string(),
        }
    }

    /// What to write, for messages.
    pub(super) const fn wanted(self) -> &'static str {
        match self {
            Self::Length => "a length in quotes, such as \"57.15mm\"",
            Self::Angle => "an angle in quotes, such as \"142deg\"",
            Self::Mass => "a mass in quotes, such as \"170g\"",
            Self::SpinDecay => "a decay of spin in quotes, such as \"10rad/s2\"",
            Self::InverseSpeed => "a decay over speed in quotes, such as \"1.088s/m\"",
            Self::Number => "a number, such as 0.85",
        }
    }
}

/// Limits in SI, the low one allowed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Range {
    low: f64,
    high: f64,
    high_allowed: bool,
    pub(super) reason: &'static str,
}

impl Range {
    const fn closed(low: f64, high: f64, reason: &'static str) -> Self {
        Self {
            low,
            high,
            high_allowed: true,
            reason,
        }
    }

    const fn below(low: f64, high: f64, reason: &'static str) -> Self {
        Self {
            low,
            high,
            high_allowed: false,
            reason,
        }
    }

    pub(super) fn holds(&self, si: f64) -> bool {
        // False for a value that is not a number.
        si >= self.low && (si < self.high || (self.high_allowed && si <= self.high))
    }

    pub(super) fn text(&self, kind: Kind) -> String {
        let (low, high) = (kind.text(self.low), kind.text(self.high));
        if self.high_allowed {
            format!("{low} to {high}")
        } else {
            format!("at least {low} and below {high}")
        }
    }
}

const BED_LENGTH: Range = Range::closed(0.5, 10.0, "toy tables to twice the longest made");
const BED_WIDTH: Range = Range::closed(0.25, 5.0, "toy tables to twice the widest made");
const DIAMETER: Range = Range::closed(0.02, 0.1, "a third of a pool ball to nearly double");
const MASS: Range = Range::closed(0.01, 1.0, "solid balls of those diameters");
const RESTITUTION: Range = Range::closed(
    0.2,
    1.0,
    "1 loses nothing; the impact law is no model of softer things",
);
// Derived: at the tournament nose height the contact is asin(2·0.635 − 1) = 15.66° above the ball's
// middle; friction above tan 15.66° = 0.2804 could beat the nose's downward push and lift the ball.
const CUSHION_FRICTION: Range = Range::below(
    0.0,
    0.28,
    "more could lift the ball off the slate, which the impact law rules out",
);
const BALL_FRICTION: Range = Range::closed(0.0, 1.0, "a coefficient of friction of polished balls");
const FRICTION_DECAY: Range = Range::closed(0.0, 10.0, "published fit: 1.088 s/m");
const FRICTION_SCALE: Range =
    Range::closed(0.0, 3.0, "0 frictionless, 1 as published, about 1.3 dirty");
const SLIDING: Range = Range::closed(0.0, 1.0, "0 is ice, published cloths 0.15 to 0.4");
const ROLLING: Range = Range::closed(
    0.001,
    0.1,
    "a ball must come to rest; published cloths 0.005 to 0.015",
);
const SPIN_DECAY: Range = Range::closed(0.0, 100.0, "published 5 to 15 rad/s²");
const NOSE: Range = Range::below(
    0.5,
    1.0,
    "a nose below the middle of the ball lifts it, one above its top misses it",
);
const MOUTH: Range = Range::closed(0.02, 0.5, "smaller than any ball to twice any pocket");
// Closing angle = facing angle − 135° at a corner, − 90° at a side: 0° is parallel facings.
const CORNER_FACING: Range = Range::below(
    135.0 * PI / 180.0,
    PI,
    "each facing closes in on the pocket's axis by this less 135°: 0° to 45°",
);
const SIDE_FACING: Range = Range::below(
    90.0 * PI / 180.0,
    135.0 * PI / 180.0,
    "each facing closes in on the pocket's axis by this less 90°: 0° to 45°",
);
const SHELF: Range = Range::closed(0.0, 0.3, "the slate cut begins at or behind the mouth");
const CUTOUT: Range = Range::closed(0.01, 0.5, "a hole that takes a ball");
const JAW: Range = Range::closed(0.0, 0.2, "0 is a sharp jaw point");
const RESTITUTION_REACH: Range = Range::closed(
    0.0,
    0.8,
    "half of the range of a measured bounce: 0 is exact, 0.8 knows nothing",
);
const FRICTION_REACH: Range = Range::closed(
    0.0,
    0.28,
    "half of the range of a measured rub: 0 is exact, 0.28 knows nothing",
);
const TOGETHER: Range = Range::closed(-0.999, 0.999, "a correlation: 0 where the two are apart");
const PIVOT: Range = Range::closed(
    0.2,
    0.6,
    "published range of squirt tests, from the ball's middle",
);
const LINE: Range = Range::closed(0.02, 5.0, "a line or spot on the bed");

/// One value of a gear file.
#[derive(Debug)]
pub(super) struct Key {
    pub(super) path: &'static str,
    pub(super) kind: Kind,
    pub(super) range: Range,
    /// `None` only for one that a gear need not have.
    pub(super) get: fn(&Gear) -> Option<f64>,
    pub(super) set: fn(&mut Gear, f64),
    /// A gear need not have it.
    pub(super) optional: bool,
}

macro_rules! key {
    ($path:literal, $kind:ident, $range:expr, $($field:ident).+) => {
        Key {
            path: $path,
            kind: Kind::$kind,
            range: $range,
            get: |gear| Some(gear.$($field).+),
            set: |gear, si| gear.$($field).+ = si,
            optional: false,
        }
    };
}

macro_rules! optional {
    ($path:expr, $kind:ident, $range:expr, $($field:ident).+ $([$index:literal].$own:ident)?) => {
        Key {
            path: $path,
            kind: Kind::$kind,
            range: $range,
            get: |gear| gear.$($field).+$([$index].$own)?,
            set: |gear, si| gear.$($field).+$([$index].$own)? = Some(si),
            optional: true,
        }
    };
}

/// The seven keys of one pocket.
macro_rules! single {
    ($index:literal, $name:literal, $facing:expr) => {
        [
            optional!(
                concat!("pocket.", $name, ".mouth"),
                Length,
                MOUTH,
                single[$index].mouth_m
            ),
            optional!(
                concat!("pocket.", $name, ".facing_angle"),
                Angle,
                $facing,
                single[$index].facing_angle_rad
            ),
            optional!(
                concat!("pocket.", $name, ".shelf"),
                Length,
                SHELF,
                single[$index].shelf_m
            ),
            optional!(
                concat!("pocket.", $name, ".cutout_radius"),
                Length,
                CUTOUT,
                single[$index].cutout_radius_m
            ),
            optional!(
                concat!("pocket.", $name, ".jaw_radius"),
                Length,
                JAW,
                single[$index].jaw_radius_m
            ),
            optional!(
                concat!("pocket.", $name, ".facing_restitution"),
                Number,
                RESTITUTION,
                single[$index].facing_restitution
            ),
            optional!(
                concat!("pocket.", $name, ".facing_friction"),
                Number,
                CUSHION_FRICTION,
                single[$index].facing_friction
            ),
        ]
    };
}

/// What single pockets may have otherwise than their kind, in the order of [`super::POCKETS`].
static SINGLE: [[Key; 7]; 6] = [
    single!(0, "head-left", CORNER_FACING),
    single!(1, "head-right", CORNER_FACING),
    single!(2, "side-left", SIDE_FACING),
    single!(3, "side-right", SIDE_FACING),
    single!(4, "foot-left", CORNER_FACING),
    single!(5, "foot-right", CORNER_FACING),
];

/// Lines and spots of tables without diamonds.
static LINES: [Key; 3] = [
    optional!("lines.baulk", Length, LINE, bed.lines.baulk_m),
    optional!("lines.d_radius", Length, LINE, bed.lines.d_radius_m),
    optional!("lines.black_spot", Length, LINE, bed.lines.black_spot_m),
];

/// How well bounce and rub are known where they were measured, 95 times in 100.
static MEASURED: [Key; 6] = [
    optional!(
        "measured.facing_restitution",
        Number,
        RESTITUTION_REACH,
        measured.facings.restitution
    ),
    optional!(
        "measured.facing_friction",
        Number,
        FRICTION_REACH,
        measured.facings.friction
    ),
    optional!(
        "measured.facing_together",
        Number,
        TOGETHER,
        measured.facings.together
    ),
    optional!(
        "measured.cushion_restitution",
        Number,
        RESTITUTION_REACH,
        measured.cushions.restitution
    ),
    optional!(
        "measured.cushion_friction",
        Number,
        FRICTION_REACH,
        measured.cushions.friction
    ),
    optional!(
        "measured.cushion_together",
        Number,
        TOGETHER,
        measured.cushions.together
    ),
];

/// The cue that is played with on this table.
static CUE: [Key; 1] = [optional!("cue.pivot", Length, PIVOT, cue_pivot_m)];

/// All keys, in the order files are written.
pub(super) fn all() -> impl Iterator<Item = &'static Key> {
    KEYS.iter()
        .chain(SINGLE.iter().flatten())
        .chain(&LINES)
        .chain(&MEASURED)
        .chain(&CUE)
}

/// The keys of single pockets that say the same as this key of their kind.
pub(super) fn singles_of(path: &str) -> impl Iterator<Item = &'static str> {
    let parts: Vec<&str> = path.split('.').collect();
    let asked = match parts.as_slice() {
        ["pocket", kind @ ("corner" | "side"), key] => Some((*kind == "corner", (*key).to_owned())),
        _ => None,
    };
    SINGLE
        .iter()
        .zip(super::POCKETS)
        .flat_map(|(keys, (_, corner))| keys.iter().map(move |key| (key.path, corner)))
        .filter(move |(path, corner)| {
            asked.as_ref().is_some_and(|(of_corners, key)| {
                corner == of_corners && path.rsplit('.').next() == Some(key.as_str())
            })
        })
        .map(|(path, _)| path)
}

/// Those every gear has.
const KEYS: &[Key] = &[
    key!("bed.length", Length, BED_LENGTH, bed.length_m),
    key!("bed.width", Length, BED_WIDTH, bed.width_m),
    key!(
        "ball.object_diameter",
        Length,
        DIAMETER,
        balls.object_diameter_m
    ),
    key!("ball.cue_diameter", Length, DIAMETER, balls.cue_diameter_m),
    key!("ball.object_mass", Mass, MASS, balls.object_mass_kg),
    key!("ball.cue_mass", Mass, MASS, balls.cue_mass_kg),
    key!(
        "ball.contact.restitution",
        Number,
        RESTITUTION,
        contact.restitution
    ),
    key!(
        "ball.contact.friction_floor",
        Number,
        BALL_FRICTION,
        contact.friction_floor
    ),
    key!(
        "ball.contact.friction_span",
        Number,
        BALL_FRICTION,
        contact.friction_span
    ),
    key!(
        "ball.contact.friction_decay",
        InverseSpeed,
        FRICTION_DECAY,
        contact.friction_decay_s_m
    ),
    key!(
        "ball.contact.friction_scale",
        Number,
        FRICTION_SCALE,
        contact.friction_scale
    ),
    key!(
        "cloth.sliding_friction",
        Number,
        SLIDING,
        cloth.sliding_friction
    ),
    key!(
        "cloth.rolling_friction",
        Number,
        ROLLING,
        cloth.rolling_friction
    ),
    key!(
        "cloth.spin_decay",
        SpinDecay,
        SPIN_DECAY,
        cloth.spin_decay_rad_s2
    ),
    key!(
        "cushion.nose_height_ratio",
        Number,
        NOSE,
        cushion.nose_height_ratio
    ),
    key!(
        "cushion.restitution",
        Number,
        RESTITUTION,
        cushion.restitution
    ),
    key!(
        "cushion.friction",
        Number,
        CUSHION_FRICTION,
        cushion.friction
    ),
    key!("pocket.corner.mouth", Length, MOUTH, corner.mouth_m),
    key!(
        "pocket.corner.facing_angle",
        Angle,
        CORNER_FACING,
        corner.facing_angle_rad
    ),
    key!("pocket.corner.shelf", Length, SHELF, corner.shelf_m),
    key!(
        "pocket.corner.cutout_radius",
        Length,
        CUTOUT,
        corner.cutout_radius_m
    ),
    key!("pocket.corner.jaw_radius", Length, JAW, corner.jaw_radius_m),
    key!(
        "pocket.corner.facing_restitution",
        Number,
        RESTITUTION,
        corner.facing_restitution
    ),
    key!(
        "pocket.corner.facing_friction",
        Number,
        CUSHION_FRICTION,
        corner.facing_friction
    ),
    key!("pocket.side.mouth", Length, MOUTH, side.mouth_m),
    key!(
        "pocket.side.facing_angle",
        Angle,
        SIDE_FACING,
        side.facing_angle_rad
    ),
    key!("pocket.side.shelf", Length, SHELF, side.shelf_m),
    key!(
        "pocket.side.cutout_radius",
        Length,
        CUTOUT,
        side.cutout_radius_m
    ),
    key!("pocket.side.jaw_radius", Length, JAW, side.jaw_radius_m),
    key!(
        "pocket.side.facing_restitution",
        Number,
        RESTITUTION,
        side.facing_restitution
    ),
    key!(
        "pocket.side.facing_friction",
        Number,
        CUSHION_FRICTION,
        side.facing_friction
    ),
];

/// The key of this path.
pub(super) fn find(path: &str) -> Option<&'static Key> {
    all().find(|key| key.path == path)
}

/// A gear without values, to be filled.
pub(super) fn blank(name: String) -> Gear {
    let pocket = PocketSpec {
        mouth_m: 0.0,
        facing_angle_rad: 0.0,
        shelf_m: 0.0,
        cutout_radius_m: 0.0,
        jaw_radius_m: 0.0,
        facing_restitution: 0.0,
        facing_friction: 0.0,
    };
    Gear {
        name,
        bed: Bed {
            length_m: 0.0,
            width_m: 0.0,
            marks: Marks::default(),
            lines: Lines::default(),
        },
        balls: Balls {
            object_diameter_m: 0.0,
            cue_diameter_m: 0.0,
            object_mass_kg: 0.0,
            cue_mass_kg: 0.0,
        },
        contact: BallContact {
            restitution: 0.0,
            friction_floor: 0.0,
            friction_span: 0.0,
            friction_decay_s_m: 0.0,
            friction_scale: 0.0,
        },
        cloth: Cloth {
            sliding_friction: 0.0,
            rolling_friction: 0.0,
            spin_decay_rad_s2: 0.0,
        },
        cushion: Cushion {
            nose_height_ratio: 0.0,
            restitution: 0.0,
            friction: 0.0,
        },
        corner: pocket,
        side: pocket,
        single: Default::default(),
        measured: MeasuredBounce::default(),
        cue_pivot_m: None,
    }
}

/// `: did you mean X?` for a dotted key: its last word counts more than the sections before it.
pub(super) fn key_suggestion(path: &str) -> String {
    let last = |p: &str| p.rsplit('.').next().unwrap_or_default().to_owned();
    // Corner pockets come before side pockets where they are equally like it.
    let known = all().map(|key| key.path);
    let near = nearest_by(
        path,
        known.chain(["name", "base", "note", "marks"]),
        |key| {
            0.7 * strsim::jaro_winkler(&last(path), &last(key))
                + 0.3 * strsim::jaro_winkler(path, key)
        },
    );
    near.map_or_else(
        || Hint::ShowKeys.to_string(),
        |key| format!(": did you mean {key}?"),
    )
}
