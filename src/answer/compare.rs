//! The same shots on two or more gears.

use serde::{Deserialize, Serialize};

use super::words::shot_words;
use crate::columns::Columns;
use crate::gear::Gear;
use crate::player::{Player, chance_of_solution};
use crate::request::{PlacesRequest, RequestError, ShotRequest, StrokeRequest};
use crate::window::{AimWindow, Solution, Window, solve};

/// One shot on one gear.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ComparedShot {
    /// Name of the gear, with what was changed.
    pub gear: String,
    /// Room each side, untouched; null where there is none.
    pub clean_each_deg: Option<f64>,
    /// Room each side, untouched or off the jaws.
    pub direct_each_deg: Option<f64>,
    /// The same at the ghost ball.
    pub direct_each_mm: Option<f64>,
    /// Room (untouched or off the jaws) over that on the first gear.
    pub share_of_first: Option<f64>,
    /// A player's chance, 0 to 1, where one is named.
    pub chance: Option<f64>,
}

/// One shot on all gears.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ComparedRow {
    /// The shot in words.
    pub shot: String,
    /// `corner` or `side`.
    pub kind: String,
    /// In the order of the gears.
    pub on: Vec<ComparedShot>,
}

impl ComparedRow {
    /// The smallest share of the first gear's room on any other.
    #[must_use]
    pub fn least_share(&self) -> f64 {
        self.on
            .iter()
            .skip(1)
            .filter_map(|s| s.share_of_first)
            .fold(f64::INFINITY, f64::min)
    }
}

/// All shots on all gears, the largest loss of room first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CompareAnswer {
    /// Names of the gears.
    pub gears: Vec<String>,
    /// Who aims; null when nobody is named.
    pub player: Option<String>,
    /// Rows.
    pub rows: Vec<ComparedRow>,
}

/// Cuts, distances between the balls and to the pocket of the shots compared when none is named.
const CUTS: [&str; 3] = ["0deg", "30deg", "60deg"];
const APARTS: [&str; 2] = ["2ft", "4ft"];
const TO_POCKETS: [&str; 2] = ["2ft", "4ft"];
const KINDS: [&str; 2] = ["corner", "side"];

/// The shots compared when none is named: easy to hard, corner and side.
#[must_use]
pub fn usual_shots(stroke: &StrokeRequest) -> Vec<ShotRequest> {
    let mut out = Vec::new();
    for kind in KINDS {
        for to_pocket in TO_POCKETS {
            for apart in APARTS {
                for cut in CUTS {
                    out.push(ShotRequest {
                        places: PlacesRequest {
                            cut: Some(cut.to_owned()),
                            apart: Some(apart.to_owned()),
                            to_pocket: Some(to_pocket.to_owned()),
                            kind: Some(kind.to_owned()),
                            ..PlacesRequest::default()
                        },
                        stroke: stroke.clone(),
                    });
                }
            }
        }
    }
    out
}

/// Compares shots on named gears; the first gear is the one compared with.
///
/// # Errors
/// [`RequestError`] for a shot that cannot stand on one of the gears.
pub fn compare_gears(
    gears: &[(String, Gear)],
    shots: &[ShotRequest],
    player: Option<&Player>,
) -> Result<CompareAnswer, RequestError> {
    let mut rows = Vec::with_capacity(shots.len());
    for request in shots {
        let mut on: Vec<ComparedShot> = Vec::with_capacity(gears.len());
        let mut kind = "corner";
        for (name, gear) in gears {
            let shot = request.shot(gear)?;
            kind = shot.frame.kind.name();
            let solution = solve(gear, &shot)?;
            let makes = player.map(|p| chance_of_solution(gear, &shot, &solution, &p.error));
            let mut found = compared(name, &solution, makes);
            let first = on
                .first()
                .map_or(found.direct_each_deg, |f| f.direct_each_deg);
            found.share_of_first = match (found.direct_each_deg, first) {
                (own, Some(first)) if first > 0.0 => Some(own.unwrap_or(0.0) / first),
                _ => None,
            };
            on.push(found);
        }
        rows.push(ComparedRow {
            shot: shot_words(request, kind),
            kind: kind.to_owned(),
            on,
        });
    }
    rows.sort_by(|a, b| a.least_share().total_cmp(&b.least_share()));
    Ok(CompareAnswer {
        gears: gears.iter().map(|(n, _)| n.clone()).collect(),
        player: player.map(|p| p.who.clone()),
        rows,
    })
}

fn compared(name: &str, solution: &Solution, chance: Option<f64>) -> ComparedShot {
    let window = solution.window.as_ref().ok();
    let each = |pick: fn(&AimWindow) -> Option<Window>| {
        window.and_then(|w| pick(w).map(|p| 0.5 * p.total_rad()))
    };
    let direct = each(|w| w.direct);
    ComparedShot {
        gear: name.to_owned(),
        clean_each_deg: each(|w| w.clean).map(f64::to_degrees),
        direct_each_deg: direct.map(f64::to_degrees),
        direct_each_mm: window.zip(direct).map(|(w, d)| 1e3 * w.ghost_offset_m(d)),
        chance,
        share_of_first: None,
    }
}

impl CompareAnswer {
    /// The CSV: one record for each shot on each gear, below the names of the columns.
    pub fn records(&self) -> impl Iterator<Item = Vec<String>> + '_ {
        let (shots, gears) = (Columns::of::<ComparedRow>(), Columns::of::<ComparedShot>());
        let names = shots.names().chain(gears.names()).map(str::to_owned);
        let names: Vec<String> = names.collect();
        let record = move |row: &ComparedRow, on: &ComparedShot| {
            let mut record = Vec::new();
            shots.cells(row, |cell| record.push(cell.csv()));
            gears.cells(on, |cell| record.push(cell.csv()));
            record
        };
        let each = self.rows.iter();
        let each = each.flat_map(|row| row.on.iter().map(move |on| (row, on)));
        std::iter::once(names).chain(each.map(move |(row, on)| record(row, on)))
    }
}
