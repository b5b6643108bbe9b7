//! The charts of `thincut aims`.

use thincut::aims::{Bench, MoveRow, Way, bias_by_cut, works_map};
use thincut::charts::bias::{BiasPanel, bias};
use thincut::charts::moved::moved;
use thincut::charts::works::{WorksPanel, works};
use thincut::draw::theme::Caption;
use thincut::draw::{Picture, Size};
use thincut::files::Batch;
use thincut::gear::Gear;
use thincut::units::{Length, speak};
use thincut::window::{AbstractShot, Stroke, stroke_said};

use crate::fault::Fault;
use crate::output::keep_picture;
use thincut::speech::Speech;

/// Step of the cuts in the charts of bias, degrees.
const BIAS_STEP_DEG: f64 = 0.25;
/// Step of the cuts in the maps, degrees.
const WORKS_STEP_DEG: f64 = 1.0;
/// Largest cut drawn, degrees.
const MOST_DEG: f64 = 80.0;
/// More panels than this cannot be read in one picture; the rest go on a second (assumption).
const MOST_PANELS: usize = 12;

/// Fewer distances than this make no map: 1 to 8 ft are drawn instead (assumption).
const FEW_DISTANCES: usize = 4;

/// What is drawn: the shots, the ways, the distances.
pub(super) struct Drawn<'a> {
    pub(super) gear: &'a Gear,
    pub(super) base: AbstractShot,
    pub(super) stroke: Stroke,
    pub(super) ways: &'a [Box<dyn Way>],
    pub(super) aparts_m: &'a [f64],
    pub(super) units: Speech,
}

impl Drawn<'_> {
    /// One chart of bias a distance, one map of all distances, each as SVG and PNG.
    pub(super) fn write(&self, files: &mut Batch) -> Result<(), Fault> {
        let Ok(bench) = Bench::new(self.gear, self.base, self.stroke)? else {
            return Ok(());
        };
        let to_mm = self.base.to_pocket_m * 1e3;
        for (page, ways) in self.ways.chunks(MOST_PANELS).enumerate() {
            let page = if page == 0 {
                String::new()
            } else {
                format!("-page{}", page + 1)
            };
            for &apart_m in self.aparts_m {
                let picture = self.bias(&bench.at_distance(apart_m)?, ways)?;
                let apart_mm = apart_m * 1e3;
                let name = format!("aims-bias-{apart_mm:.0}mm-{to_mm:.0}mm{page}");
                keep_picture(files, &name, &picture)?;
            }
            let picture = self.works(&bench, ways)?;
            keep_picture(files, &format!("aims-works-{to_mm:.0}mm{page}"), &picture)?;
        }
        Ok(())
    }

    fn held(&self) -> String {
        let roll = stroke_said(&self.stroke, Speech::default());
        let side = match self.stroke.side {
            s if s.abs() < 1e-9 => String::new(),
            s => format!(", side {s}"),
        };
        format!(
            "{}, {} to the pocket, {} m/s there, {roll}{side}",
            self.gear.spoken(),
            speak::distance(Length::from_m(self.base.to_pocket_m), self.units),
            self.stroke.pace_m_s,
        )
    }

    fn footer(&self) -> String {
        let mut told: Vec<String> = Vec::new();
        for text in self.ways.iter().flat_map(|w| w.assumes()) {
            if !told.contains(&text) {
                told.push(text);
            }
        }
        if told.is_empty() {
            "Off the jaws and off the rail rest on assumed cushions.".into()
        } else {
            format!(
                "Off the jaws and off the rail rest on assumed cushions. Assumed unless given: {}.",
                told.join("; ")
            )
        }
    }

    fn bias(&self, bench: &Bench<'_>, ways: &[Box<dyn Way>]) -> Result<Picture, Fault> {
        let panels: Vec<BiasPanel> = ways
            .iter()
            .map(|way| BiasPanel {
                name: way.name(),
                points: bias_by_cut(bench, &**way, &cuts(BIAS_STEP_DEG)),
            })
            .collect();
        let apart = speak::distance(Length::from_m(bench.apart_m()), self.units);
        let caption = Caption {
            title: format!("How far off is each aiming method, {apart} between the balls?"),
            subtitle: self.held(),
            footer: self.footer(),
            desc: "Aim error of each way against the cut, over the window that still goes in."
                .into(),
        };
        Ok(bias(&caption, &panels, Size::default())?)
    }

    fn works(&self, bench: &Bench<'_>, ways: &[Box<dyn Way>]) -> Result<Picture, Fault> {
        let feet: Vec<f64> = (1..=8u32)
            .map(|k| Length::from_ft(f64::from(k)).m())
            .collect();
        let aparts_m = if self.aparts_m.len() < FEW_DISTANCES {
            feet.as_slice()
        } else {
            self.aparts_m
        };
        let mut panels = Vec::new();
        for way in ways {
            panels.push(WorksPanel {
                name: way.name(),
                cells: works_map(bench, &**way, &cuts(WORKS_STEP_DEG), aparts_m)?,
            });
        }
        let caption = Caption {
            title: "At which cuts and distances does each aiming method work?".into(),
            subtitle: self.held(),
            footer: self.footer(),
            desc: "For each way, what becomes of the object ball by cut and distance.".into(),
        };
        let units = self.units;
        let distance = |mm: f64| speak::distance(Length::from_mm(mm), units);
        Ok(works(&caption, &panels, &distance, Size::default())?)
    }
}

/// What moves a right line, and what is said round the chart of it.
pub(super) struct Moved<'a> {
    pub(super) gear: &'a Gear,
    pub(super) way: &'a dyn Way,
    pub(super) rows: &'a [MoveRow],
    pub(super) held: &'a str,
    pub(super) assumed: &'a str,
}

/// The chart of what moves the aim.
pub(super) fn moved_picture(of: &Moved<'_>) -> Result<Picture, Fault> {
    let caption = Caption {
        title: "What moves the aim?".into(),
        subtitle: format!("{}, {}, {}", of.gear.spoken(), of.held, of.way.name()),
        footer: of.assumed.into(),
        desc: "Change of the right line for each setting, for the cue ball and for the stick."
            .into(),
    };
    Ok(moved(&caption, of.rows, Size::default())?)
}

fn cuts(step_deg: f64) -> Vec<f64> {
    std::iter::successors(Some(0.0), |d| Some(d + step_deg))
        .take_while(|d| *d <= MOST_DEG)
        .map(f64::to_radians)
        .collect()
}
