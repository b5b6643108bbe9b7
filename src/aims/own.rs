//! A user's own list: how far beside the object ball's centre to aim, by cut angle.
//!
//! ```toml
//! name = "my marks"
//! [[offset]]
//! cut = "0deg"
//! aim = "0mm"
//! [[offset]]
//! cut = "30deg"
//! aim = "28mm"
//! ```
//!
//! `aim` is measured across the line of sight at the object ball, towards the side that is hit;
//! between two cuts the offset is interpolated linearly, outside the list there is no line.

use serde::Deserialize;

use super::error::AimsError;
use super::{CannotAim, Scene, Way};
use crate::shown::{bounded, quoted};
use crate::units::{Angle, Length};

/// Offsets by cut angle.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnOffsets {
    name: String,
    /// Cut (rad) and offset (m), by rising cut.
    points: Vec<(f64, f64)>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    name: Option<String>,
    #[serde(default)]
    offset: Vec<Entry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    cut: Angle,
    aim: Length,
}

/// Longest name, characters (assumption: as of gears).
const NAME_CHARS: usize = 60;
/// Widest offset, m (assumption: wider than any two balls touch).
const WIDEST_M: f64 = 0.1;

impl OwnOffsets {
    /// From the text of a TOML file.
    ///
    /// # Errors
    /// [`AimsError::OwnList`], [`AimsError::OwnRepeats`] or [`AimsError::OwnEntry`].
    pub fn from_toml(text: &str) -> Result<Self, AimsError> {
        let file: File = toml::from_str(text).map_err(|e| AimsError::OwnList {
            problem: bounded(&e.to_string().trim().replace('\n', " ")),
        })?;
        if file.offset.is_empty() {
            return Err(AimsError::OwnList {
                problem: "it is empty".to_owned(),
            });
        }
        let mut points = Vec::with_capacity(file.offset.len());
        for Entry { cut, aim } in file.offset {
            let beyond = |key, value: String, need| Err(AimsError::OwnEntry { key, value, need });
            if !(0.0..90.0).contains(&cut.deg()) {
                return beyond("cut", cut.to_string(), "at least 0deg and below 90deg");
            }
            if aim.m().abs() > WIDEST_M {
                return beyond("aim", aim.to_string(), "at most 100mm to either side");
            }
            points.push((cut.rad(), aim.m()));
        }
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in points.windows(2) {
            if let [a, b] = pair
                && a.0 >= b.0
            {
                return Err(AimsError::OwnRepeats {
                    cut_deg: b.0.to_degrees(),
                });
            }
        }
        let name = file.name.unwrap_or_else(|| "own".into());
        // It stands in tables beside the names of the built-in ways.
        if name.chars().count() > NAME_CHARS
            || !name.starts_with(char::is_alphanumeric)
            || name.contains(char::is_control)
        {
            return Err(AimsError::OwnList {
                problem: format!(
                    "name = \"{}\" must begin with a letter or digit and have at most {NAME_CHARS} characters, none of them a control character",
                    quoted(&name)
                ),
            });
        }
        Ok(Self { name, points })
    }

    /// The offset for a cut, m; `None` outside the list.
    #[must_use]
    pub fn offset_m(&self, cut_rad: f64) -> Option<f64> {
        let after = self.points.partition_point(|p| p.0 < cut_rad);
        let (hi_cut, hi) = *self.points.get(after)?;
        if hi_cut <= cut_rad {
            return Some(hi);
        }
        let (lo_cut, lo) = *self.points.get(after.checked_sub(1)?)?;
        Some(lo + (hi - lo) * (cut_rad - lo_cut) / (hi_cut - lo_cut))
    }
}

/// A cut this close to the list's first or last counts as it, rad (rounding of the placing).
const END_SLACK_RAD: f64 = 1e-7;

impl Way for OwnOffsets {
    fn name(&self) -> String {
        self.name.clone()
    }

    fn rule(&self) -> String {
        format!(
            "aim beside the object ball's centre by a list of {} cuts",
            self.points.len()
        )
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        let cut = scene.ghost().cut_rad().abs();
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else {
            return Err(CannotAim::MarkTooClose);
        };
        let outside = cut < first.0 - END_SLACK_RAD || cut > last.0 + END_SLACK_RAD;
        match self.offset_m(cut.clamp(first.0, last.0)) {
            Some(offset) if !outside => Ok(scene.aim_beside_rad(offset)),
            _ => Err(CannotAim::OutsideList {
                cut_deg: cut.to_degrees(),
                from_deg: first.0.to_degrees(),
                to_deg: last.0.to_degrees(),
            }),
        }
    }
}
