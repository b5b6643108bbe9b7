//! Rows for tables of data: a way on a shot, a way over all cuts at one pair of distances.

use serde::{Deserialize, Serialize};

use super::bench::{Bench, CutSpan, Reach};
use super::chances::Aiming;
use super::verdict::{Verdict, judge_for};
use super::words::{Reached, reach_sentence};
use super::{CannotAim, Scene, Way};
use crate::columns::write_rows;
use crate::player::AimError;
use crate::pocket::Acceptance;
use crate::speech::Speech;

/// A way on a shot. Angles in degrees, lengths in mm; empty where there is no number.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct AimRow {
    /// The way.
    pub way: String,
    /// Throw-free cut.
    pub cut_deg: f64,
    /// `left` or `right`; empty where there is no window.
    pub cut_side: Option<&'static str>,
    /// Between the balls.
    pub apart_mm: f64,
    /// To the pocket.
    pub to_pocket_mm: f64,
    /// `ok`, or why there is no answer.
    pub status: &'static str,
    /// The way's line from the line cue ball → object ball, counter-clockwise positive.
    pub aim_deg: Option<f64>,
    /// The right line, likewise.
    pub right_aim_deg: Option<f64>,
    /// Aim error, positive too full, negative too thin.
    pub too_full_deg: Option<f64>,
    /// The same at the ghost ball; aiming this much thinner mends it.
    pub too_full_mm: Option<f64>,
    /// `too full`, `too thin` or `right`.
    pub lean: Option<&'static str>,
    /// `clean`, `direct`, `drop` or `no`.
    pub drops: Option<&'static str>,
    /// The window of which room is left: `clean`, or `direct` or `drop` without one.
    pub room_part: Option<&'static str>,
    /// Room left towards a fuller hit; negative when the line lies beyond it.
    pub room_full_deg: Option<f64>,
    /// Room left towards a thinner hit.
    pub room_thin_deg: Option<f64>,
    /// Room towards a fuller hit at the ghost ball.
    pub room_full_mm: Option<f64>,
    /// Room towards a thinner hit at the ghost ball.
    pub room_thin_mm: Option<f64>,
    /// Chance by this way, 0 to 1.
    pub chance_by_way: Option<f64>,
    /// Chance with the right aim, 0 to 1.
    pub chance_right: Option<f64>,
}

impl AimRow {
    pub(super) fn without(way: &dyn Way, cut_rad: f64, status: &'static str) -> Self {
        Self {
            way: way.name(),
            cut_deg: cut_rad.to_degrees(),
            cut_side: None,
            apart_mm: 0.0,
            to_pocket_mm: 0.0,
            status,
            aim_deg: None,
            right_aim_deg: None,
            too_full_deg: None,
            too_full_mm: None,
            lean: None,
            drops: None,
            room_part: None,
            room_full_deg: None,
            room_thin_deg: None,
            room_full_mm: None,
            room_thin_mm: None,
            chance_by_way: None,
            chance_right: None,
        }
    }

    fn with(mut self, scene: &Scene<'_>, verdict: &Verdict) -> Self {
        let ghost = |rad: f64| scene.window.ghost_offset_m(rad) * 1e3;
        self.aim_deg = Some(verdict.aim_rad.to_degrees());
        self.too_full_deg = Some(verdict.too_full_rad.to_degrees());
        self.too_full_mm = Some(verdict.too_full_m * 1e3);
        self.lean = Some(verdict.lean());
        self.drops = Some(verdict.drops.name());
        if let Some(room) = verdict.room {
            self.room_part = Some(room.part.name());
            self.room_full_deg = Some(room.full_rad.to_degrees());
            self.room_thin_deg = Some(room.thin_rad.to_degrees());
            self.room_full_mm = Some(ghost(room.full_rad));
            self.room_thin_mm = Some(ghost(room.thin_rad));
        }
        self.chance_by_way = verdict.chance.map(|c| c.by_way);
        self.chance_right = verdict.chance.map(|c| c.right);
        self
    }
}

/// A way on one shot: the row, and the verdict or why there is none.
pub(super) fn shot_row(
    way: &dyn Way,
    scene: &Scene<'_>,
    acceptance: &Acceptance,
    aiming: Option<&Aiming<'_>>,
) -> (AimRow, Result<Verdict, CannotAim>) {
    let judged = judge_for(way, scene, acceptance, aiming);
    let status = judged.as_ref().map_or_else(CannotAim::name, |_| "ok");
    let mut row = AimRow::without(way, scene.window.cut_rad.abs(), status);
    row.cut_side = Some(scene.window.cut_side.name());
    row.apart_mm = scene.apart_m() * 1e3;
    row.to_pocket_mm = acceptance.distance_m * 1e3;
    row.right_aim_deg = Some(scene.window.aim.aim_rad.to_degrees());
    if let Ok(verdict) = &judged {
        row = row.with(scene, verdict);
    }
    (row, judged)
}

/// A way over a list of cuts on a bench.
#[must_use]
pub fn aim_rows(
    bench: &Bench<'_>,
    way: &dyn Way,
    cuts_rad: &[f64],
    player: Option<&AimError>,
) -> Vec<AimRow> {
    cuts_rad
        .iter()
        .map(|&cut_rad| {
            let solved = bench.on_cut(cut_rad, |scene| {
                let aiming = player.map(|p| Aiming::new(scene, bench.acceptance(), p));
                shot_row(way, scene, bench.acceptance(), aiming.as_ref()).0
            });
            let row = solved.unwrap_or_else(|status| AimRow::without(way, cut_rad, status));
            // as asked for, not as solved for the middle of the untouched part
            AimRow {
                cut_deg: cut_rad.to_degrees(),
                apart_mm: bench.apart_m() * 1e3,
                to_pocket_mm: bench.acceptance().distance_m * 1e3,
                ..row
            }
        })
        .collect()
}

/// A way over all cuts at one pair of distances, as data and as a sentence.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct ReachRow {
    /// The way.
    pub way: String,
    /// Between the balls.
    pub apart_mm: f64,
    /// To the pocket.
    pub to_pocket_mm: f64,
    /// Goes in up to this cut, starting straight; empty when not even straight-in.
    pub good_to_deg: Option<f64>,
    /// Goes in untouched up to this cut.
    pub clean_to_deg: Option<f64>,
    /// Aim error just past the end, positive too full.
    pub past_end_mm: Option<f64>,
    /// Largest aim error over the cuts looked at.
    pub worst_mm: Option<f64>,
    /// Its cut.
    pub worst_at_deg: Option<f64>,
    /// Largest error towards a full hit among the cuts that miss.
    pub misses_full_mm: Option<f64>,
    /// Largest error towards a thin hit among the cuts that miss, positive.
    pub misses_thin_mm: Option<f64>,
    /// Largest cut looked at.
    pub looked_to_deg: f64,
    /// All runs of cuts that go in.
    pub drops: Vec<CutSpan>,
    /// All runs of cuts that go in untouched.
    pub clean: Vec<CutSpan>,
    /// In words.
    pub says: String,
}

impl ReachRow {
    /// What a summary needs of it.
    #[must_use]
    pub fn reached(&self) -> Reached<'_> {
        Reached {
            way: &self.way,
            apart_mm: self.apart_mm,
            good_to_deg: self.good_to_deg,
            looked_to_deg: self.looked_to_deg,
        }
    }

    /// From a way's reach.
    #[must_use]
    pub fn new(way: &dyn Way, reach: Reach, speech: impl Into<Speech>) -> Self {
        let speech = speech.into();
        Self {
            way: way.name(),
            apart_mm: reach.apart_mm,
            to_pocket_mm: reach.to_pocket_mm,
            good_to_deg: reach.good_to_deg(),
            clean_to_deg: reach.clean_to_deg(),
            past_end_mm: reach.past_end_mm,
            worst_mm: reach.worst_mm,
            worst_at_deg: reach.worst_at_deg,
            misses_full_mm: reach.misses_full_mm,
            misses_thin_mm: reach.misses_thin_mm,
            looked_to_deg: reach.looked_to_deg,
            says: reach_sentence(&reach, speech),
            drops: reach.drops,
            clean: reach.clean,
        }
    }
}

/// A record of the CSV of [`ReachRow`]s: numbers to four places, runs of cuts as `0-9.6 12.1-17.2`.
#[derive(Serialize, Deserialize)]
struct ReachRecord {
    way: String,
    apart_mm: String,
    to_pocket_mm: String,
    good_to_deg: Option<String>,
    clean_to_deg: Option<String>,
    past_end_mm: Option<String>,
    worst_mm: Option<String>,
    worst_at_deg: Option<String>,
    misses_full_mm: Option<String>,
    misses_thin_mm: Option<String>,
    looked_to_deg: String,
    drops_deg: String,
    clean_deg: String,
    says: String,
}

/// Rows of [`ReachRow`] as CSV; runs of cuts as `0-9.6 12.1-17.2`.
///
/// # Errors
/// From the writer.
pub fn reach_csv(rows: &[ReachRow], out: impl std::io::Write) -> Result<(), csv::Error> {
    let number = |x: f64| format!("{x:.4}");
    let runs = |runs: &[CutSpan]| {
        let runs: Vec<String> = runs
            .iter()
            .map(|r| format!("{:.3}-{:.3}", r.from_deg, r.to_deg))
            .collect();
        runs.join(" ")
    };
    let records = rows.iter().map(|row| ReachRecord {
        way: row.way.to_owned(),
        apart_mm: number(row.apart_mm),
        to_pocket_mm: number(row.to_pocket_mm),
        good_to_deg: row.good_to_deg.map(number),
        clean_to_deg: row.clean_to_deg.map(number),
        past_end_mm: row.past_end_mm.map(number),
        worst_mm: row.worst_mm.map(number),
        worst_at_deg: row.worst_at_deg.map(number),
        misses_full_mm: row.misses_full_mm.map(number),
        misses_thin_mm: row.misses_thin_mm.map(number),
        looked_to_deg: number(row.looked_to_deg),
        drops_deg: runs(&row.drops),
        clean_deg: runs(&row.clean),
        says: row.says.clone(),
    });
    write_rows(records, out)
}
