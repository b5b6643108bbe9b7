//! What a pocket takes from several approaches, as data.

use kurbo::{Point, Vec2};
use serde::{Deserialize, Serialize};

use crate::field::Field;
use crate::gear::{Gear, MeasuredBounce};
use crate::motion::BallBody;
use crate::pocket::{Acceptance, Component, NoAcceptance, PocketKind, PocketShape, accept};
use crate::units::{Angle, Length, Speed};
use crate::window::ShotError;

/// A part of the accepted directions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct PocketPart {
    /// Relative to the centre-pocket line, degrees.
    pub from_deg: f64,
    /// Relative to the centre-pocket line, degrees.
    pub to_deg: f64,
    /// `clean`, `jaw` or `rail`; for the three windows `clean`, `direct` or `drop`.
    pub how: String,
    /// Effective pocket size of the part, mm.
    pub effective_pocket_mm: f64,
}

/// What a pocket does with a ball from an approach.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum PocketStatus {
    /// Takes it in some directions.
    Ok,
    /// Takes it in none.
    NoDrop,
    /// The ball hangs in the jaws.
    InTheJaws,
    /// No ball can lie there.
    InTheRail,
}

impl PocketStatus {
    /// As in tables of data.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::NoDrop => "no-drop",
            Self::InTheJaws => "in-the-jaws",
            Self::InTheRail => "in-the-rail",
        }
    }
}

/// One approach.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct PocketRow {
    /// `corner` or `side`.
    pub kind: String,
    /// Pocket axis to direction of travel, counter-clockwise positive.
    pub approach_deg: f64,
    /// Whether it can drop at all.
    pub status: PocketStatus,
    /// Untouched.
    pub clean: Option<PocketPart>,
    /// Untouched or off the jaws.
    pub direct: Option<PocketPart>,
    /// At all.
    pub drop: Option<PocketPart>,
    /// All accepted directions.
    pub pieces: Vec<PocketPart>,
}

/// Several approaches.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct PocketAnswer {
    /// Name of the gear.
    pub gear: String,
    /// Speed at the mouth.
    pub pace_m_s: f64,
    /// Object ball to the middle of the mouth.
    pub distance_mm: f64,
    /// One row an approach.
    pub rows: Vec<PocketRow>,
    /// What of jaws and rails was measured on this table.
    #[serde(skip)]
    pub measured: MeasuredBounce,
}

impl PocketAnswer {
    /// Solves all approaches for all kinds.
    ///
    /// # Errors
    /// [`ShotError`] for a pace or distance that is not positive or an approach of 90° or more. A
    /// ball that would lie in a rail is an answer, in the row's status.
    pub fn solve(
        gear: &Gear,
        kinds: &[PocketKind],
        pace: Speed,
        distance: Length,
        approaches: &[Angle],
    ) -> Result<Self, ShotError> {
        let range = |ok: bool, what, value: String, need| {
            if ok {
                Ok(())
            } else {
                Err(ShotError::OutOfRange { what, value, need })
            }
        };
        range(
            distance.m() > 0.0 && distance.m() <= 20.0,
            Field::Distance,
            distance.to_string(),
            "above 0 and at most 20m",
        )?;
        range(
            pace.m_s() > 0.0 && pace.m_s() <= 20.0,
            Field::Pace,
            pace.to_string(),
            "above 0 and at most 20m/s",
        )?;
        let body = BallBody::object(gear);
        let mut rows = Vec::with_capacity(kinds.len() * approaches.len());
        for &kind in kinds {
            let shape = PocketShape::new(gear, kind, &body);
            for &approach in approaches {
                range(
                    approach.deg().abs() < 90.0,
                    Field::Approaches,
                    approach.to_string(),
                    "between -90deg and 90deg",
                )?;
                let object = Point::ORIGIN - Vec2::from_angle(approach.rad()) * distance.m();
                let accepted = accept(&shape, &gear.cloth, &body, object, pace.m_s());
                rows.push(match accepted {
                    Ok(Ok(a)) => accepted_row(kind, approach, &a),
                    Ok(Err(NoAcceptance::NoDrop)) => {
                        empty_row(kind, approach, PocketStatus::NoDrop)
                    }
                    Ok(Err(NoAcceptance::InTheJaws)) => {
                        empty_row(kind, approach, PocketStatus::InTheJaws)
                    }
                    Err(_) => empty_row(kind, approach, PocketStatus::InTheRail),
                });
            }
        }
        Ok(Self {
            measured: gear.measured,
            gear: gear.name.clone(),
            pace_m_s: pace.m_s(),
            distance_mm: distance.mm(),
            rows,
        })
    }
}

fn accepted_row(kind: PocketKind, approach: Angle, acceptance: &Acceptance) -> PocketRow {
    let part = |c: &Component, how: &str| PocketPart {
        from_deg: c.from_rad.to_degrees(),
        to_deg: c.to_rad.to_degrees(),
        how: how.to_owned(),
        effective_pocket_mm: acceptance.effective_size_m(c) * 1e3,
    };
    let pieces = acceptance.pieces.spans().iter().map(|s| {
        part(
            &Component {
                from_rad: s.from_rad,
                to_rad: s.to_rad,
            },
            s.tag.name(),
        )
    });
    PocketRow {
        pieces: pieces.collect(),
        clean: acceptance.clean.map(|c| part(&c, "clean")),
        direct: acceptance.direct.map(|c| part(&c, "direct")),
        drop: Some(part(&acceptance.drop, "drop")),
        ..empty_row(kind, approach, PocketStatus::Ok)
    }
}

fn empty_row(kind: PocketKind, approach: Angle, status: PocketStatus) -> PocketRow {
    PocketRow {
        kind: kind.name().to_owned(),
        approach_deg: approach.deg(),
        status,
        clean: None,
        direct: None,
        drop: None,
        pieces: Vec::new(),
    }
}

/// A record of the CSV: a piece of what is taken from an approach, or an approach without any.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PocketRecord {
    /// Name of the gear.
    pub gear: String,
    /// `corner` or `side`.
    pub kind: String,
    /// Speed at the mouth.
    pub pace_m_s: f64,
    /// Object ball to the middle of the mouth.
    pub distance_mm: f64,
    /// Pocket axis to direction of travel.
    pub approach_deg: f64,
    /// Whether it can drop at all.
    pub status: PocketStatus,
    /// `clean`, `jaw` or `rail`.
    pub how: Option<String>,
    /// Relative to the centre-pocket line, to six places.
    pub from_deg: Option<String>,
    /// Likewise.
    pub to_deg: Option<String>,
    /// Effective pocket size of the piece, to six places.
    pub effective_pocket_mm: Option<String>,
}

impl PocketAnswer {
    /// The records of its CSV.
    #[must_use]
    pub fn records(&self) -> Vec<PocketRecord> {
        let record = |row: &PocketRow, part: Option<&PocketPart>| {
            let text = |f: fn(&PocketPart) -> f64| part.map(|p| format!("{:.6}", f(p)));
            PocketRecord {
                gear: self.gear.clone(),
                kind: row.kind.clone(),
                pace_m_s: self.pace_m_s,
                distance_mm: self.distance_mm,
                approach_deg: row.approach_deg,
                status: row.status,
                how: part.map(|p| p.how.clone()),
                from_deg: text(|p| p.from_deg),
                to_deg: text(|p| p.to_deg),
                effective_pocket_mm: text(|p| p.effective_pocket_mm),
            }
        };
        let mut records = Vec::new();
        for row in &self.rows {
            if row.pieces.is_empty() {
                records.push(record(row, None));
            }
            records.extend(row.pieces.iter().map(|part| record(row, Some(part))));
        }
        records
    }
}
