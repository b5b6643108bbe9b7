//! The same shots on two or more gears.

use serde::{Deserialize, Serialize};

use crate::field::Hint;
use crate::gear::Gear;
use crate::player::{AimError, chance_of_solution};
use crate::request::{PlacesRequest, RequestError, ShotRequest, StrokeRequest};
use crate::units::{Angle, Length, UnitSystem, speak};
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
    /// A player's chance, 0 to 1, where one is named.
    pub chance: Option<f64>,
    /// Room (untouched or off the jaws) over that on the first gear.
    pub share_of_first: Option<f64>,
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
    player: Option<(&str, &AimError)>,
) -> Result<CompareAnswer, RequestError> {
    let mut rows = Vec::with_capacity(shots.len());
    for request in shots {
        let mut on: Vec<ComparedShot> = Vec::with_capacity(gears.len());
        let mut kind = "corner";
        for (name, gear) in gears {
            let shot = request.shot(gear)?;
            kind = shot.frame.kind.name();
            let solution = solve(gear, &shot)?;
            let makes = player.map(|(_, error)| chance_of_solution(gear, &shot, &solution, error));
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
        player: player.map(|(who, _)| who.to_owned()),
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

/// A shot as it was asked for: `half-ball cut, 2ft apart, 3ft to the corner`.
#[must_use]
pub fn shot_words(request: &ShotRequest, kind: &str) -> String {
    let p = &request.places;
    let text = |t: &Option<String>| spaced(t.as_deref().unwrap_or_default());
    if p.cue.is_some() {
        format!(
            "cue {}, object {}, {}",
            text(&p.cue),
            text(&p.object),
            text(&p.pocket)
        )
    } else {
        format!(
            "{} cut, {} apart, {} to the {kind}",
            text(&p.cut),
            text(&p.apart),
            text(&p.to_pocket)
        )
    }
}

/// A value as typed, for people: `60deg` as `60°`, `2ft` as `2 ft`.
fn spaced(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 1);
    for c in text.replace("deg", "°").chars() {
        if c.is_ascii_alphabetic() && out.ends_with(|b: char| b.is_ascii_digit()) {
            out.push(' ');
        }
        out.push(c);
    }
    out
}

/// Columns of the CSV: one record a shot and gear.
pub const COMPARE_HEADER: [&str; 8] = [
    "shot",
    "kind",
    "gear",
    "clean_each_deg",
    "direct_each_deg",
    "direct_each_mm",
    "share_of_first",
    "chance",
];

impl CompareAnswer {
    /// Records of the CSV.
    pub fn records(&self) -> impl Iterator<Item = [String; 8]> + '_ {
        let number = |x: Option<f64>| x.map_or_else(String::new, |x| x.to_string());
        self.rows.iter().flat_map(move |row| {
            row.on.iter().map(move |s| {
                [
                    row.shot.clone(),
                    row.kind.clone(),
                    s.gear.clone(),
                    number(s.clean_each_deg),
                    number(s.direct_each_deg),
                    number(s.direct_each_mm),
                    number(s.share_of_first),
                    number(s.chance),
                ]
            })
        })
    }

    /// One sentence of conclusion for each gear against the first, then the shots, largest loss
    /// first, at most `most` of them.
    #[must_use]
    pub fn text(&self, most: usize, system: UnitSystem) -> String {
        let mut out = String::new();
        for (k, name) in self.gears.iter().enumerate().skip(1) {
            out.push_str(&self.conclusion(k, name));
        }
        out.push_str(&format!(
            "Room each side{}: {}\n",
            if self.rows.iter().any(|r| r.least_share() < 0.995) {
                ", largest loss first"
            } else {
                ""
            },
            self.gears.join("  |  ")
        ));
        let shown = self.rows.iter().take(most);
        let wide = shown
            .clone()
            .map(|r| r.shot.chars().count())
            .max()
            .unwrap_or(0);
        for row in shown {
            let cells: Vec<String> = row.on.iter().map(|s| cell(s, system)).collect();
            out.push_str(&format!("  {:<wide$}  {}\n", row.shot, cells.join("  |  ")));
        }
        if self.rows.len() > most {
            out.push_str(&format!(
                "  and {} more shots{}\n",
                self.rows.len() - most,
                Hint::ShowAll
            ));
        }
        out
    }

    /// Shares of the first gear's room on gear `k`, of the shots that have them.
    fn shares(&self, k: usize) -> Vec<f64> {
        self.rows
            .iter()
            .filter_map(|r| r.on.get(k)?.share_of_first)
            .collect()
    }

    /// How much more room gear `k` leaves than the first, in the mean over the shots, percent.
    fn change_percent(&self, k: usize) -> Option<f64> {
        let shares = self.shares(k);
        if shares.is_empty() {
            return None;
        }
        #[expect(clippy::cast_precision_loss, reason = "a few dozen shots")]
        let mean = shares.iter().sum::<f64>() / shares.len() as f64;
        Some(100.0 * (mean - 1.0))
    }

    /// `GEAR leaves 8 % less room than FIRST`.
    #[must_use]
    pub fn verdict(&self, k: usize) -> Option<String> {
        let change = self.change_percent(k)?;
        let said = if change.abs() < 0.5 {
            "as much room as".to_owned()
        } else if change < 0.0 {
            format!("{:.0} % less room than", -change)
        } else {
            format!("{change:.0} % more room than")
        };
        let (name, first) = (self.gears.get(k)?, self.gears.first()?);
        Some(format!("{name} leaves {said} {first}"))
    }

    fn conclusion(&self, k: usize, name: &str) -> String {
        let Some(verdict) = self.verdict(k) else {
            return format!("{name}: no shot of these can be compared.\n");
        };
        let (low, high) = self
            .shares(k)
            .iter()
            .fold((f64::INFINITY, 0.0_f64), |(l, h), s| (l.min(*s), h.max(*s)));
        let what = "in degrees, untouched or off the jaws";
        if self.rows.len() == 1 {
            return format!("{verdict} on this shot ({what}).\n");
        }
        if low > 0.995 && high < 1.005 {
            return format!("{verdict} over these shots, on every one of them ({what}).\n");
        }
        format!(
            "{verdict} over these shots, from {:.0} % to {:.0} % of it ({what}).\n",
            100.0 * low,
            100.0 * high
        )
    }
}

fn cell(shot: &ComparedShot, system: UnitSystem) -> String {
    let Some(deg) = shot.direct_each_deg else {
        return "no window".to_owned();
    };
    let made = shot
        .chance
        .map_or(String::new(), |p| format!("{p:.1} in 10, "));
    let room = speak::small_length(Length::from_mm(shot.direct_each_mm.unwrap_or(0.0)), system);
    format!(
        "{made}{room} ({})",
        speak::room_degrees(Angle::from_deg(deg))
    )
}
