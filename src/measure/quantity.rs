//! What can be measured on a table in ten minutes, with what, and between which sizes it is one.

use std::fmt;

use serde::{Serialize, Serializer};

use crate::field::Field;
use crate::gear::POCKETS;
use crate::pocket::PocketKind;

/// One thing to measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[expect(missing_docs, reason = "the names say it; `how` tells how to measure")]
pub enum Quantity {
    TableLength,
    TableWidth,
    BallDiameter,
    BallWeight,
    CueBallDiameter,
    CueBallWeight,
    Mouth(PocketKind),
    Gap(PocketKind),
    Throat(PocketKind),
    ThroatDepth(PocketKind),
    Shelf(PocketKind),
    /// Between the facings at the edge of the slate's cut: of rounded jaws, which show no points.
    Fall(PocketKind),
    /// Radius of a rounded jaw.
    Rounding(PocketKind),
    /// Of one pocket that differs from its kind, by its place in [`POCKETS`].
    MouthOf(usize),
    Lag,
    Run,
    Throw,
}

use PocketKind::{Corner, Side};
use Quantity::{
    BallDiameter, BallWeight, CueBallDiameter, CueBallWeight, Fall, Gap, Lag, Mouth, MouthOf,
    Rounding, Run, Shelf, TableLength, TableWidth, Throat, ThroatDepth, Throw,
};

/// Section of single pockets in a file of readings.
const MOUTH_OF: &str = "mouth-of";
/// What the mouth of each of the six is asked for by.
const MOUTHS: [Field; 6] = [
    Field::HeadLeftMouth,
    Field::HeadRightMouth,
    Field::SideLeftMouth,
    Field::SideRightMouth,
    Field::FootLeftMouth,
    Field::FootRightMouth,
];

/// What a reading is taken with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Instrument {
    Rule,
    Gauge,
    Feeler,
    Calliper,
    Scale,
    Tape,
    Watch,
    Count,
}

impl Instrument {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Rule,
        Self::Feeler,
        Self::Calliper,
        Self::Scale,
        Self::Tape,
        Self::Watch,
        Self::Count,
        Self::Gauge,
    ];

    /// As typed.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Rule => "rule",
            Self::Gauge => "gauge",
            Self::Feeler => "feeler",
            Self::Calliper => "calliper",
            Self::Scale => "scale",
            Self::Tape => "tape",
            Self::Watch => "watch",
            Self::Count => "count",
        }
    }

    /// What it reads, for people.
    #[must_use]
    pub fn reads(self) -> &'static str {
        match self {
            Self::Rule => "mouth, throat, shelf and fall",
            Self::Gauge => "the rounding of a jaw, by a card held against it",
            Self::Feeler => "the gap beside two balls, by a stack of cards",
            Self::Calliper => "the diameter of a ball",
            Self::Scale => "the weight of a ball",
            Self::Tape => "the table, and distances on it",
            Self::Watch => "a stopwatch in the hand",
            Self::Count => "table lengths of a run",
        }
    }

    /// Two readings in three are this near the truth, in SI (lengths of a run: as a number).
    ///
    /// Assumptions: a steel rule held into a pocket, half a step of the gauges, half a bank card (0.76 mm, ISO/IEC 7810), a
    /// calliper, a kitchen scale, a tape along a rail, a thumb on a stopwatch, and 5 cm of a run.
    #[must_use]
    pub fn good_to(self) -> f64 {
        match self {
            Self::Rule => 1e-3,
            Self::Gauge => 5e-3,
            Self::Feeler => 0.4e-3,
            Self::Calliper => 0.05e-3,
            Self::Scale => 1e-3,
            Self::Tape => 5e-3,
            Self::Watch => 0.1,
            Self::Count => 0.02,
        }
    }
}

impl Quantity {
    /// In the order of the form.
    pub const ALL: [Self; 29] = [
        TableLength,
        TableWidth,
        BallDiameter,
        BallWeight,
        CueBallDiameter,
        CueBallWeight,
        Mouth(Corner),
        Gap(Corner),
        Throat(Corner),
        ThroatDepth(Corner),
        Shelf(Corner),
        Fall(Corner),
        Rounding(Corner),
        Mouth(Side),
        Gap(Side),
        Throat(Side),
        ThroatDepth(Side),
        Shelf(Side),
        Fall(Side),
        Rounding(Side),
        MouthOf(0),
        MouthOf(1),
        MouthOf(2),
        MouthOf(3),
        MouthOf(4),
        MouthOf(5),
        Lag,
        Run,
        Throw,
    ];

    /// Section and key in a file of readings.
    #[must_use]
    pub fn place(self) -> (&'static str, &'static str) {
        let section = match self {
            TableLength | TableWidth => "table",
            BallDiameter | BallWeight => "ball",
            CueBallDiameter | CueBallWeight => "cue-ball",
            Mouth(kind) | Gap(kind) | Throat(kind) | ThroatDepth(kind) | Shelf(kind)
            | Fall(kind) | Rounding(kind) => kind.name(),
            MouthOf(_) => MOUTH_OF,
            Lag | Run | Throw => "strokes",
        };
        let key = match self {
            TableLength => "length",
            TableWidth => "width",
            BallDiameter | CueBallDiameter => "diameter",
            BallWeight | CueBallWeight => "weight",
            Mouth(_) => "mouth",
            Gap(_) => "gap",
            Throat(_) => "throat",
            ThroatDepth(_) => "throat-depth",
            Shelf(_) => "shelf",
            Fall(_) => "fall",
            Rounding(_) => "rounding",
            MouthOf(index) => POCKETS[index].0,
            Lag => "roll-out",
            Run => "roll-lengths",
            Throw => "throw",
        };
        (section, key)
    }

    /// What it is asked for by: `corner-mouth`, `roll-out`.
    #[must_use]
    pub fn field(self) -> Field {
        match self {
            TableLength => Field::TableLength,
            TableWidth => Field::TableWidth,
            BallDiameter => Field::BallDiameter,
            BallWeight => Field::BallWeight,
            CueBallDiameter => Field::CueBallDiameter,
            CueBallWeight => Field::CueBallWeight,
            Mouth(Corner) => Field::CornerMouth,
            Gap(Corner) => Field::CornerGap,
            Throat(Corner) => Field::CornerThroat,
            ThroatDepth(Corner) => Field::CornerThroatDepth,
            Shelf(Corner) => Field::CornerShelf,
            Fall(Corner) => Field::CornerFall,
            Rounding(Corner) => Field::CornerRounding,
            Mouth(Side) => Field::SideMouth,
            Gap(Side) => Field::SideGap,
            Throat(Side) => Field::SideThroat,
            ThroatDepth(Side) => Field::SideThroatDepth,
            Shelf(Side) => Field::SideShelf,
            Fall(Side) => Field::SideFall,
            Rounding(Side) => Field::SideRounding,
            MouthOf(index) => MOUTHS[index],
            Lag => Field::RollOut,
            Run => Field::RollLengths,
            Throw => Field::Throw,
        }
    }

    /// As said: `corner mouth`, `roll-out`.
    #[must_use]
    pub fn spoken(self) -> String {
        match self.place() {
            ("strokes", key) => key.to_owned(),
            (MOUTH_OF, key) => format!("{key} mouth").replace('-', " "),
            (section, key) => format!("{section} {key}").replace('-', " "),
        }
    }

    /// How to measure it.
    #[must_use]
    pub fn how(self) -> &'static str {
        match self {
            TableLength => "head nose to foot nose",
            TableWidth => "nose to nose across",
            BallDiameter => "an object ball, and the cue ball too unless given below",
            BallWeight => "an object ball, and the cue ball too unless given below",
            CueBallDiameter | CueBallWeight => "only where the cue ball differs",
            Mouth(_) => "jaw point to jaw point, at the height of the noses",
            MouthOf(_) => "the mouth of this pocket alone, where it differs from its kind",
            Gap(_) => "two balls side by side in the mouth, one on each jaw point: the gap between",
            Throat(_) => "between the facings, throat-depth behind the mouth",
            ThroatDepth(_) => "how deep the throat was measured; empty: as deep as the shelf",
            Shelf(_) => "middle of the mouth to the front edge of the slate's cut",
            Fall(_) => {
                "rounded jaws, instead of the mouth: between the facings at the edge of the slate's cut"
            }
            Rounding(_) => {
                "rounded jaws: radius of the rounding, by the gauges of the measuring form"
            }
            Lag => "a rolling ball timed until it rests, no cushion on the way: 3.2m 8.1s",
            Run => {
                "cue ball from the head spot up and down the middle until it rests: 4.2lengths 8.8s"
            }
            Throw => {
                "stun shot: cut, path of the object ball, how far it arrives off the line, speed of the cue ball: half-ball 1m 48mm 1.5m/s"
            }
        }
    }

    /// What it is taken with; for a stroke, what limits it most.
    #[must_use]
    pub fn instrument(self) -> Instrument {
        match self {
            TableLength | TableWidth => Instrument::Tape,
            BallDiameter | CueBallDiameter => Instrument::Calliper,
            BallWeight | CueBallWeight => Instrument::Scale,
            Mouth(_) | MouthOf(_) | Throat(_) | ThroatDepth(_) | Shelf(_) | Fall(_) => {
                Instrument::Rule
            }
            Rounding(_) => Instrument::Gauge,
            Gap(_) => Instrument::Feeler,
            Lag | Run => Instrument::Watch,
            Throw => Instrument::Tape,
        }
    }

    /// How far apart two true sizes of it can be on one table, in SI; `None` for strokes, whose
    /// readings follow the hand.
    ///
    /// Assumptions, each well beyond what a sound table shows: rails run parallel to 5 mm; pockets of
    /// a kind are cut and worn alike to 4 mm; balls of a set differ by 1 mm and 10 g at the very most,
    /// an old ball among new ones counted. Gap and mouth differ alike; a throat is measured where the
    /// rule happens to lie, which adds nothing to speak of.
    #[must_use]
    pub fn differs(self) -> Option<f64> {
        match self {
            TableLength | TableWidth => Some(5e-3),
            BallDiameter | CueBallDiameter => Some(1e-3),
            BallWeight | CueBallWeight => Some(10e-3),
            Mouth(_) | Gap(_) | Throat(_) | ThroatDepth(_) | Shelf(_) | Fall(_) => Some(4e-3),
            Rounding(_) => Some(20e-3),
            // One pocket has one size: what the instrument explains, and where it was held.
            MouthOf(_) => Some(2e-3),
            Lag | Run | Throw => None,
        }
    }

    /// Sizes that can be, in SI (assumptions: toy tables to twice the largest made); strokes have
    /// their own limits.
    #[must_use]
    pub fn range(self) -> (f64, f64) {
        match self {
            TableLength => (0.5, 10.0),
            TableWidth => (0.25, 5.0),
            BallDiameter | CueBallDiameter => (0.02, 0.1),
            BallWeight | CueBallWeight => (0.01, 1.0),
            Mouth(_) | MouthOf(_) | Throat(_) | Fall(_) => (0.05, 0.25),
            Rounding(_) => (0.0, 0.2),
            Gap(_) => (0.0, 0.1),
            ThroatDepth(_) => (0.005, 0.15),
            Shelf(_) => (0.0, 0.15),
            Lag | Run | Throw => (0.0, f64::INFINITY),
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.spoken())
    }
}

impl Serialize for Quantity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.field().name())
    }
}
