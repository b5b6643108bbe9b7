//! The accepted directions: pieces, and the clean, direct and drop parts they make.

use kurbo::Point;
use serde::Serialize;

use crate::directions::{Directions, Span};

/// Pieces of what others leave open touch within this, rad: twice the accuracy of their edges.
const OPEN_TOUCHING_RAD: f64 = 2e-9;

/// Accuracy of an edge, rad.
pub(super) const EDGE_RAD: f64 = 1e-10;

/// How a ball drops.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum How {
    /// Touched nothing.
    Clean,
    /// Touched only jaw points or facings.
    Jaw,
    /// Touched a rail at some time.
    Rail,
}

impl How {
    /// `clean`, `jaw` or `rail`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Clean => "clean",
            Self::Jaw => "jaw",
            Self::Rail => "rail",
        }
    }
}

/// Directions that drop in one way, relative to the centre-pocket line.
pub type Piece = Span<How>;

/// An interval of directions, rad, relative to the centre-pocket line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Component {
    /// Lower end (further right).
    pub from_rad: f64,
    /// Upper end (further left).
    pub to_rad: f64,
}

impl Component {
    /// Width.
    #[must_use]
    pub fn width_rad(&self) -> f64 {
        self.to_rad - self.from_rad
    }

    /// Middle.
    #[must_use]
    pub fn middle_rad(&self) -> f64 {
        0.5 * (self.from_rad + self.to_rad)
    }
}

/// Which directions of an object ball drop.
#[derive(Debug, Clone, PartialEq)]
pub struct Acceptance {
    /// Object ball in the pocket frame.
    pub object: Point,
    /// Distance to the middle of the mouth.
    pub distance_m: f64,
    /// Direction of the centre-pocket line in the pocket frame (the approach angle).
    pub approach_rad: f64,
    /// Speed at the middle of the mouth along the centre-pocket line.
    pub pace_m_s: f64,
    /// Speed at which the ball leaves, in every direction.
    pub object_speed_m_s: f64,
    /// All directions that drop, with how.
    pub pieces: Directions<How>,
    /// The part that touches nothing.
    pub clean: Option<Component>,
    /// The connected part that touches at most jaws and facings.
    pub direct: Option<Component>,
    /// The whole connected part.
    pub drop: Component,
}

impl Acceptance {
    /// Effective pocket size of an interval, m: `ℓ (tan θ_to − tan θ_from)`.
    #[must_use]
    pub fn effective_size_m(&self, part: &Component) -> f64 {
        self.distance_m * (part.to_rad.tan() - part.from_rad.tan())
    }

    /// The acceptance with its parts taken from what is open: the widest clean span and what is
    /// connected with it, or the widest connected part.
    #[must_use]
    pub(crate) fn with_open(&self, open: &Directions<How>) -> Self {
        let spans = open.spans();
        let widest = |fits: &dyn Fn(How) -> bool| {
            spans
                .iter()
                .enumerate()
                .filter(|(_, s)| fits(s.tag))
                .max_by(|a, b| a.1.width_rad().total_cmp(&b.1.width_rad()))
                .map(|(i, _)| i)
        };
        let grown = |anchor: usize, fits: &dyn Fn(How) -> bool| {
            let touching =
                |i: usize, j: usize| spans[j].from_rad - spans[i].to_rad <= OPEN_TOUCHING_RAD;
            let (mut a, mut b) = (anchor, anchor);
            while a > 0 && touching(a - 1, a) && fits(spans[a - 1].tag) {
                a -= 1;
            }
            while b + 1 < spans.len() && touching(b, b + 1) && fits(spans[b + 1].tag) {
                b += 1;
            }
            Component {
                from_rad: spans[a].from_rad,
                to_rad: spans[b].to_rad,
            }
        };
        let not_rail = |how: How| how != How::Rail;
        let clean = widest(&|how| how == How::Clean);
        let direct = clean.or_else(|| widest(&not_rail));
        let Some(anchor) = direct.or_else(|| widest(&|_| true)) else {
            return self.clone();
        };
        Self {
            clean: clean.map(|i| Component {
                from_rad: spans[i].from_rad,
                to_rad: spans[i].to_rad,
            }),
            direct: direct.map(|i| grown(i, &not_rail)),
            drop: grown(anchor, &|_| true),
            ..self.clone()
        }
    }
}

/// An answer without directions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoAcceptance {
    /// The ball does not drop in any direction (mostly: too slow to arrive).
    NoDrop,
    /// Its centre lies on or past the mouth line.
    InTheJaws,
}

/// The three parts.
#[derive(Debug, Clone, Copy)]
pub(super) struct Parts {
    pub(super) clean: Option<Component>,
    pub(super) direct: Option<Component>,
    pub(super) drop: Component,
}

impl Parts {
    /// `None` without pieces. Drop is the connected part with the clean piece, else the widest;
    /// direct what of it is connected to the clean piece without a rail.
    pub(super) fn of(spans: &[Piece]) -> Option<Self> {
        let component = |a: usize, b: usize| Component {
            from_rad: spans[a].from_rad,
            to_rad: spans[b].to_rad,
        };
        let clean_at = spans.iter().position(|s| s.tag == How::Clean);
        let anchor = clean_at.or_else(|| widest_component(spans))?;
        let (a, b) = grow(spans, anchor, |_| true);
        // without a clean part: the widest connected part off the jaws within the drop part
        let direct_anchor = clean_at.or_else(|| {
            (a..=b)
                .filter(|&i| spans[i].tag != How::Rail)
                .max_by(|&i, &j| spans[i].width_rad().total_cmp(&spans[j].width_rad()))
        });
        let direct = direct_anchor.map(|i| {
            let (a, b) = grow(spans, i, |how| how != How::Rail);
            component(a, b)
        });
        Some(Self {
            clean: clean_at.map(|i| component(i, i)),
            direct,
            drop: component(a, b),
        })
    }
}

/// Touching neighbours of `anchor` that pass `fits`, as first and last index.
fn grow(spans: &[Piece], anchor: usize, fits: impl Fn(How) -> bool) -> (usize, usize) {
    let touching = |i: usize, j: usize| spans[j].from_rad - spans[i].to_rad <= 2.0 * EDGE_RAD;
    let (mut a, mut b) = (anchor, anchor);
    while a > 0 && touching(a - 1, a) && fits(spans[a - 1].tag) {
        a -= 1;
    }
    while b + 1 < spans.len() && touching(b, b + 1) && fits(spans[b + 1].tag) {
        b += 1;
    }
    (a, b)
}

/// First index of the widest connected component.
fn widest_component(spans: &[Piece]) -> Option<usize> {
    let mut best: Option<(f64, usize)> = None;
    let mut i = 0;
    while i < spans.len() {
        let (_, b) = grow(spans, i, |_| true);
        let width = spans[b].to_rad - spans[i].from_rad;
        if best.is_none_or(|(w, _)| width > w) {
            best = Some((width, i));
        }
        i = b + 1;
    }
    best.map(|(_, i)| i)
}
