//! A way over many shots: bias by cut, where it works over cut and distance, and where it stops.

use serde::Serialize;

use super::verdict::{Drops, Verdict, judge};
use super::{CannotAim, Scene, Way};
use crate::gear::Gear;
use crate::pocket::Acceptance;
use crate::window::{AbstractShot, NoWindow, Shot, ShotError, Stroke, solve, solve_with};

/// Shots that share pocket, approach, stroke and the distance to the pocket; solved once.
#[derive(Debug, Clone)]
pub struct Bench<'a> {
    gear: &'a Gear,
    base: AbstractShot,
    stroke: Stroke,
    acceptance: Acceptance,
}

/// One cut on a bench.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BiasPoint {
    /// Throw-free cut, degrees.
    pub cut_deg: f64,
    /// Aim error, positive too full, degrees; empty where the way gives no line.
    pub too_full_deg: Option<f64>,
    /// The same at the ghost ball, mm.
    pub too_full_mm: Option<f64>,
    /// Untouched window: fuller than the right aim by, degrees.
    pub clean_full_deg: Option<f64>,
    /// Thinner by, degrees.
    pub clean_thin_deg: Option<f64>,
    /// Window that drops at all: fuller by, degrees.
    pub drop_full_deg: Option<f64>,
    /// Thinner by, degrees.
    pub drop_thin_deg: Option<f64>,
    /// The four edges at the ghost ball, mm.
    pub clean_full_mm: Option<f64>,
    /// Thinner by, mm.
    pub clean_thin_mm: Option<f64>,
    /// Fuller by, mm.
    pub drop_full_mm: Option<f64>,
    /// Thinner by, mm.
    pub drop_thin_mm: Option<f64>,
    /// What becomes of the object ball: `clean`, `direct`, `drop`, `no`, or why there is no answer.
    pub status: &'static str,
}

/// One cell of the map of cut and distance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WorksCell {
    /// Throw-free cut, degrees.
    pub cut_deg: f64,
    /// Between the balls, mm.
    pub apart_mm: f64,
    /// To the pocket, mm.
    pub to_pocket_mm: f64,
    /// As in [`BiasPoint::status`].
    pub status: &'static str,
    /// Aim error at the ghost ball, positive too full, mm.
    pub too_full_mm: Option<f64>,
}

/// A run of cuts, degrees.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct CutSpan {
    /// From.
    pub from_deg: f64,
    /// To.
    pub to_deg: f64,
}

/// Where a way works at one pair of distances.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reach {
    /// Between the balls, mm.
    pub apart_mm: f64,
    /// To the pocket, mm.
    pub to_pocket_mm: f64,
    /// Largest cut looked at, degrees.
    pub looked_to_deg: f64,
    /// Runs of cuts that go in at all.
    pub drops: Vec<CutSpan>,
    /// Runs of cuts that go in untouched.
    pub clean: Vec<CutSpan>,
    /// Aim error at the ghost ball just past the end of the first run that drops, positive too
    /// full, mm.
    pub past_end_mm: Option<f64>,
    /// Largest aim error in size over the cuts looked at, at the ghost ball, mm, with its cut.
    pub worst_mm: Option<f64>,
    /// Its cut, degrees.
    pub worst_at_deg: Option<f64>,
    /// Largest error towards a full hit among the cuts that miss, at the ghost ball, mm.
    pub misses_full_mm: Option<f64>,
    /// Largest error towards a thin hit among the cuts that miss, positive, mm.
    pub misses_thin_mm: Option<f64>,
}

impl Reach {
    /// Up to which cut it goes in, starting straight: degrees; `None` when not even straight-in.
    #[must_use]
    pub fn good_to_deg(&self) -> Option<f64> {
        first_end(&self.drops)
    }

    /// Up to which cut it goes in untouched.
    #[must_use]
    pub fn clean_to_deg(&self) -> Option<f64> {
        first_end(&self.clean)
    }
}

fn first_end(runs: &[CutSpan]) -> Option<f64> {
    runs.first().filter(|r| r.from_deg <= 0.0).map(|r| r.to_deg)
}

/// Largest cut looked at, degrees (assumption: thinner cuts are seldom chosen).
pub(super) const MAX_CUT_DEG: f64 = 80.0;
/// Step of the search over cuts, degrees: a run narrower than this may be missed.
const STEP_DEG: f64 = 0.25;
/// Ends of runs are found this closely, degrees.
const END_DEG: f64 = 1e-3;

impl<'a> Bench<'a> {
    /// The bench of a shot (its cut and distance between the balls are replaced as asked).
    ///
    /// # Errors
    /// [`ShotError`] for values out of range; the inner [`NoWindow`] when nothing drops from there.
    pub fn new(
        gear: &'a Gear,
        base: AbstractShot,
        stroke: Stroke,
    ) -> Result<Result<Self, NoWindow>, ShotError> {
        let straight = AbstractShot {
            cut_rad: 0.0,
            ..base
        };
        let shot = Shot::from_angles(gear, &straight, stroke)?;
        let solution = solve(gear, &shot)?;
        Ok(match (solution.acceptance, solution.window) {
            (Some(acceptance), _) => Ok(Self {
                gear,
                base,
                stroke,
                acceptance,
            }),
            (None, Ok(_)) => Err(NoWindow::NoDrop),
            (None, Err(no)) => Err(no),
        })
    }

    /// The same at another distance between the balls, m.
    ///
    /// # Errors
    /// [`ShotError`] when the balls overlap or the distance is out of range.
    pub fn at_distance(&self, apart_m: f64) -> Result<Self, ShotError> {
        let base = AbstractShot {
            apart_m,
            ..self.base
        };
        let straight = AbstractShot {
            cut_rad: 0.0,
            ..base
        };
        Shot::from_angles(self.gear, &straight, self.stroke)?;
        Ok(Self {
            base,
            ..self.clone()
        })
    }

    /// What the pocket takes from here.
    #[must_use]
    pub fn acceptance(&self) -> &Acceptance {
        &self.acceptance
    }

    /// Between the balls, m.
    #[must_use]
    pub fn apart_m(&self) -> f64 {
        self.base.apart_m
    }

    /// Calls `with` on the scene of a cut.
    pub(super) fn on_cut<T>(
        &self,
        cut_rad: f64,
        with: impl FnOnce(&Scene<'_>) -> T,
    ) -> Result<T, &'static str> {
        let shot = AbstractShot {
            cut_rad,
            ..self.base
        };
        let shot = Shot::from_angles(self.gear, &shot, self.stroke).map_err(|_| "out-of-reach")?;
        let window = solve_with(self.gear, &self.acceptance, shot.cue, &shot.stroke)
            .map_err(NoWindow::name)?;
        Ok(with(&Scene {
            gear: self.gear,
            shot: &shot,
            window: &window,
        }))
    }

    /// One way at one cut.
    fn verdict(&self, way: &dyn Way, cut_rad: f64) -> Result<Verdict, &'static str> {
        self.on_cut(cut_rad, |scene| judge(way, scene, &self.acceptance, None))?
            .map_err(|e: CannotAim| e.name())
    }

    fn bias_point(&self, way: &dyn Way, cut_rad: f64) -> BiasPoint {
        let judged = self.on_cut(cut_rad, |scene| {
            (judge(way, scene, &self.acceptance, None), *scene.window)
        });
        let (verdict, window, status) = match judged {
            Ok((Ok(v), w)) => (Some(v), Some(w), v.drops.name()),
            Ok((Err(e), w)) => (None, Some(w), e.name()),
            Err(status) => (None, None, status),
        };
        let clean = window.and_then(|w| w.clean);
        let drop = window.and_then(|w| w.drop);
        let mm = |rad: f64| window.map(|w| w.ghost_offset_m(rad) * 1e3);
        BiasPoint {
            cut_deg: cut_rad.to_degrees(),
            too_full_deg: verdict.map(|v| v.too_full_rad.to_degrees()),
            too_full_mm: verdict.map(|v| v.too_full_m * 1e3),
            clean_full_deg: clean.map(|w| w.thick_rad.to_degrees()),
            clean_thin_deg: clean.map(|w| w.thin_rad.to_degrees()),
            drop_full_deg: drop.map(|w| w.thick_rad.to_degrees()),
            drop_thin_deg: drop.map(|w| w.thin_rad.to_degrees()),
            clean_full_mm: clean.and_then(|w| mm(w.thick_rad)),
            clean_thin_mm: clean.and_then(|w| mm(w.thin_rad)),
            drop_full_mm: drop.and_then(|w| mm(w.thick_rad)),
            drop_thin_mm: drop.and_then(|w| mm(w.thin_rad)),
            status,
        }
    }
}

/// Bias against cut with the window's edges: what the chart of a way shows.
#[must_use]
pub fn bias_by_cut(bench: &Bench<'_>, way: &dyn Way, cuts_rad: &[f64]) -> Vec<BiasPoint> {
    cuts_rad
        .iter()
        .map(|&cut| bench.bias_point(way, cut))
        .collect()
}

/// Where a way works over cut × distance between the balls, distance by distance.
///
/// # Errors
/// [`ShotError`] for a distance no shot can have.
pub fn works_map(
    bench: &Bench<'_>,
    way: &dyn Way,
    cuts_rad: &[f64],
    aparts_m: &[f64],
) -> Result<Vec<WorksCell>, ShotError> {
    let mut cells = Vec::with_capacity(cuts_rad.len() * aparts_m.len());
    for &apart_m in aparts_m {
        let bench = bench.at_distance(apart_m)?;
        cells.extend(cuts_rad.iter().map(|&cut_rad| {
            let verdict = bench.verdict(way, cut_rad);
            WorksCell {
                cut_deg: cut_rad.to_degrees(),
                apart_mm: apart_m * 1e3,
                to_pocket_mm: bench.base.to_pocket_m * 1e3,
                status: verdict.as_ref().map_or_else(|s| *s, |v| v.drops.name()),
                too_full_mm: verdict.ok().map(|v| v.too_full_m * 1e3),
            }
        }));
    }
    Ok(cells)
}

/// The cuts at which a way works and where it stops, from straight to 80°, each end found to 0.001°.
/// A run of cuts narrower than 0.25° may be missed.
#[must_use]
pub fn reach(bench: &Bench<'_>, way: &dyn Way) -> Reach {
    let verdict = |deg: f64| bench.verdict(way, deg.to_radians()).ok();
    let nodes: Vec<f64> = std::iter::successors(Some(0.0), |d| Some(d + STEP_DEG))
        .take_while(|d| *d <= MAX_CUT_DEG)
        .collect();
    let seen: Vec<Option<Verdict>> = nodes.iter().map(|d| verdict(*d)).collect();
    let looked_to_deg = nodes
        .iter()
        .zip(&seen)
        .rev()
        .find_map(|(d, v)| v.map(|_| *d))
        .unwrap_or(0.0);
    let runs = |least: Drops| {
        let holds = |v: &Option<Verdict>| v.is_some_and(|v| v.drops >= least);
        runs_of(&nodes, &seen, holds, |deg| holds(&verdict(deg)))
    };
    let (drops, clean) = (runs(Drops::Drop), runs(Drops::Clean));
    let past_end_mm = first_end(&drops)
        .filter(|end| end + END_DEG < looked_to_deg)
        .and_then(|end| verdict(end + 2.0 * END_DEG))
        .map(|v| v.too_full_m * 1e3);
    let worst = nodes
        .iter()
        .zip(&seen)
        .filter_map(|(d, v)| v.map(|v| (*d, v.too_full_m * 1e3)))
        .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    let missing = |sign: f64| {
        seen.iter()
            .flatten()
            .filter(|v| v.drops == Drops::No && v.too_full_m * sign > 0.0)
            .map(|v| v.too_full_m * sign * 1e3)
            .max_by(f64::total_cmp)
    };
    Reach {
        misses_full_mm: missing(1.0),
        misses_thin_mm: missing(-1.0),
        apart_mm: bench.base.apart_m * 1e3,
        to_pocket_mm: bench.base.to_pocket_m * 1e3,
        looked_to_deg,
        drops,
        clean,
        past_end_mm,
        worst_mm: worst.map(|w| w.1),
        worst_at_deg: worst.map(|w| w.0),
    }
}

/// Runs of nodes that hold, their ends bisected.
fn runs_of(
    nodes: &[f64],
    seen: &[Option<Verdict>],
    holds: impl Fn(&Option<Verdict>) -> bool,
    holds_at: impl Fn(f64) -> bool,
) -> Vec<CutSpan> {
    let edge = |mut out: f64, mut inside: f64| {
        while (out - inside).abs() > END_DEG {
            let middle = 0.5 * (out + inside);
            if holds_at(middle) {
                inside = middle;
            } else {
                out = middle;
            }
        }
        inside
    };
    let mut runs: Vec<CutSpan> = Vec::new();
    let mut before: Option<f64> = None;
    let mut open = false;
    for (&node, verdict) in nodes.iter().zip(seen) {
        let now = holds(verdict);
        match (open, now, before) {
            (false, true, None) => runs.push(CutSpan {
                from_deg: node,
                to_deg: node,
            }),
            (false, true, Some(last)) => {
                let from_deg = edge(last, node);
                runs.push(CutSpan {
                    from_deg,
                    to_deg: node,
                });
            }
            (true, true, _) => {
                if let Some(run) = runs.last_mut() {
                    run.to_deg = node;
                }
            }
            (true, false, Some(last)) => {
                if let Some(run) = runs.last_mut() {
                    run.to_deg = edge(node, last);
                }
            }
            _ => {}
        }
        open = now;
        before = Some(node);
    }
    runs
}
