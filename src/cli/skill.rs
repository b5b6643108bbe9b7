//! `thincut skill`: is a student getting better, and what is the cause of the misses?

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;
use serde::{Deserialize, Serialize};
use thincut::answer::{ProbeAnswer, SkillAnswer, skill_text};
use thincut::charts::in_words_of;
use thincut::charts::{AnswerChart, EveningsChart, PredictionsChart};
use thincut::columns::write_rows;
use thincut::draw::Size;
use thincut::field::Field;
use thincut::files::{Batch, TABLE_BYTES, text};
use thincut::log::tell_me_more::{Worth, tell_me_more};
use thincut::log::{Since, SkillWishes, skill};
use thincut::player::aim_fit::{Bias, Estimate, FitOutcome};
use thincut::player::skill::SkillReport;
use thincut::player::stroke_test::{StrokeReport, StrokeTest, read_stroke_test};
use thincut::player::{AimError, Level, Observation};
use thincut::request::quantity;
use thincut::units::{Length, Side, Speed, parse_number};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{Format, FormatArgs};
use crate::log::not_to_come;
use crate::output::{OutArgs, json, keep_picture};
use crate::student::{open_for_fits, since};
use crate::table::GearArgs;

/// Speed of a stroke test when nobody says, m/s. Assumption: a stroke over two table lengths.
const STROKE_SPEED_M_S: f64 = 2.0;

/// Is this student getting better, or lucky? And is it the stroke or the sighting?
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut skill K\n  \
    thincut skill K --since 2025-11-04 --stats\n  \
    thincut skill K --stroke-test 4,-2,7,0,-5,3,-1,6 --stroke-distance 2m\n  \
    thincut skill K --tell-me-more 8\n\n\
    Without --since all rests on the attempts since the change that the log shows. A stroke test\n\
    is the cue ball alone, rolled onto a scale: readings in mm, left of the mark positive.")]
pub(crate) struct SkillCommand {
    /// The student's label in the practice log
    #[arg(value_name = "STUDENT")]
    student: String,
    /// Take the tries from this day on and compare them with those before; also "this month", or all [default: since the change that the log shows]
    #[arg(long, value_name = "DATE", value_parser = since)]
    since: Option<Since>,
    /// Level whose ratio of stroke to sighting is taken when tries are few, assumed [default: club]
    #[arg(long, value_name = "NAME")]
    level: Option<Level>,
    /// Readings of a stroke test, `4,-2,7` in mm, or a file of them
    #[arg(
        long,
        value_name = "FILE|MM",
        allow_hyphen_values = true,
        requires = "stroke_distance",
        help_heading = "The stroke test"
    )]
    stroke_test: Option<String>,
    /// From the front of the cue ball to the scale
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "stroke_test",
        help_heading = "The stroke test"
    )]
    stroke_distance: Option<String>,
    /// Speed of the cue ball in it [default: 2m/s, assumed]
    #[arg(
        long,
        value_name = "SPEED",
        requires = "stroke_test",
        help_heading = "The stroke test"
    )]
    stroke_speed: Option<String>,
    /// Also list so many shots whose outcome would tell most, 1 to 40; with --format csv as rows to fill in and import
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=40), help_heading = "What to show")]
    tell_me_more: Option<u8>,
    /// Add the fit's statistics: deviance, tests, predictions by band
    #[arg(long, help_heading = "What to show")]
    stats: bool,
    #[command(flatten)]
    format: FormatArgs<Format>,
    #[command(flatten)]
    files: OutArgs,
    #[command(flatten)]
    gear: GearArgs,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
    #[command(flatten)]
    units: UnitArgs,
}

impl SkillCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let since = self.since.clone().unwrap_or_default();
        if let Some(since) = since.when() {
            not_to_come("--since", since)?;
        }
        let level = self.level.unwrap_or(Level::Club);
        let reference = level.aim_error();
        let stroke = self.stroke_report(&reference)?;
        let practice = open_for_fits(self.log.as_ref())?.practice(&self.student, None)?;
        let wishes = SkillWishes {
            student: &self.student,
            since: &since,
            level,
            stroke,
        };
        let (mut answer, tries) = skill(wishes, &practice)?;
        let worth = self.worth(defaults, &tries, &answer.report, reference)?;
        if self.format.asked == Format::Csv && self.tell_me_more.is_some() {
            return self.rows_to_fill(&worth, out);
        }
        answer.tell_me_more = worth.iter().map(probe_answer).collect();
        let units = self.units.without_table(defaults);
        let written = in_words_of(units.words, || self.pictures(&answer))?;
        match self.format.asked {
            Format::Json => json(out, &answer),
            Format::Csv => csv_rows(&answer, out),
            Format::Text => {
                let text = skill_text(&answer, self.stats, units);
                out.write_all(units.said(&text).as_bytes())?;
                for path in written {
                    writeln!(out, "{}", path.display())?;
                }
                Ok(())
            }
        }
    }

    /// Table and charts, when a folder was given.
    fn pictures(&self, answer: &SkillAnswer) -> Result<Vec<PathBuf>, Fault> {
        let Some(folder) = &self.files.out else {
            return Ok(Vec::new());
        };
        let mut files = Batch::new(folder, self.files.force)?;
        let name = |what: &str| format!("skill-{}-{what}", self.student);
        let mut table = files.file(&format!("skill-{}.csv", self.student))?;
        csv_rows(answer, &mut table)?;
        drop(table);
        if let Some(picture) = PredictionsChart.draw(answer, Size::default())? {
            keep_picture(&mut files, &name("predictions"), &picture)?;
        }
        if let Some(picture) = EveningsChart.draw(answer, Size::default())? {
            keep_picture(&mut files, &name("evenings"), &picture)?;
        }
        Ok(files.keep()?)
    }

    fn stroke_report(&self, reference: &AimError) -> Result<Option<StrokeReport>, Fault> {
        let Some(given) = &self.stroke_test else {
            return Ok(None);
        };
        let distance = quantity::<Length>(Field::StrokeDistance, self.stroke_distance.as_deref())?;
        let speed = quantity::<Speed>(Field::StrokeSpeed, self.stroke_speed.as_deref())?;
        let test = StrokeTest {
            readings_mm: readings_mm(given)?,
            distance_m: distance.map_or(0.0, Length::m),
            cue_speed_m_s: speed.map_or(STROKE_SPEED_M_S, Speed::m_s),
            arm_growth_per_m_s: reference.arm_growth_per_m_s,
        };
        Ok(Some(read_stroke_test(&test)?))
    }

    fn worth(
        &self,
        defaults: &Defaults,
        tries: &[Observation],
        report: &SkillReport,
        reference: AimError,
    ) -> Result<Vec<Worth>, Fault> {
        let Some(count) = self.tell_me_more else {
            return Ok(Vec::new());
        };
        if !self.gear.set.is_empty() {
            return Err(Fault::input(
                "--set with --tell-me-more: put the changes into a table file, so that the rows can name it",
            ));
        }
        let loaded = self.gear.load(defaults)?;
        let name = self
            .gear
            .gear
            .as_deref()
            .or(defaults.gear.as_deref())
            .unwrap_or(thincut::gear::DEFAULT_PRESET);
        let estimate = match &report.outcome {
            FitOutcome::Fitted(fit) => fit.on_left_cuts,
            // With all made or missed the bound is the best guess there is.
            FitOutcome::AllMade {
                scale_at_most: s, ..
            }
            | FitOutcome::AllMissed {
                scale_at_least: s, ..
            } => reference.scaled(s.unwrap_or(1.0)),
            FitOutcome::TooFew { .. } => reference,
        };
        Ok(tell_me_more(
            &loaded.gear,
            name,
            tries,
            estimate,
            usize::from(count),
        )?)
    }

    /// Rows for `thincut log import`, with the makes left to fill in.
    fn rows_to_fill(&self, worth: &[Worth], out: &mut dyn Write) -> Result<(), Fault> {
        let rows = worth.iter().map(|w| {
            let places = w.shot.request.places.clone();
            RowToFill {
                student: self.student.clone(),
                when: None,
                gear: w.shot.gear.clone(),
                cue: places.cue,
                object: places.object,
                pocket: places.pocket,
                tries: 10,
                made: None,
            }
        });
        Ok(write_rows(rows, out)?)
    }
}

/// Tries to come: when they were played and what was made is for the coach to write.
#[derive(Serialize, Deserialize)]
struct RowToFill {
    student: String,
    when: Option<String>,
    gear: String,
    cue: Option<String>,
    object: Option<String>,
    pocket: Option<String>,
    tries: u32,
    made: Option<u32>,
}

fn probe_answer(worth: &Worth) -> ProbeAnswer {
    let places = &worth.shot.request.places;
    let text = |t: &Option<String>| t.clone().unwrap_or_default();
    ProbeAnswer {
        cue: text(&places.cue),
        object: text(&places.object),
        pocket: text(&places.pocket),
        cut_deg: worth.windows.cut_deg,
        cut_side: match worth.cut {
            Side::Left => "left",
            Side::Right => "right",
        }
        .to_owned(),
        chance: worth.probe.chance,
    }
}

/// Numbers in mm, parted by commas, blanks or line ends; a file when there is one of that name.
fn readings_mm(given: &str) -> Result<Vec<f64>, Fault> {
    let path = Path::new(given);
    let from_file = path.is_file();
    let text = if from_file {
        text(path, TABLE_BYTES)
            .map_err(|e| Fault::input(format!("--stroke-test: cannot read {given}: {e}")))?
    } else {
        given.to_owned()
    };
    text.split([',', ';', '\n', '\r', '\t', ' '])
        .map(str::trim)
        .filter(|t| !t.is_empty())
        .map(|t| {
            parse_number(t).map_err(|e| {
                Fault::input(if from_file {
                    format!("--stroke-test: {given}: {e}")
                } else {
                    format!(
                        "--stroke-test: {e}; give readings in mm such as 4,-2,7, or a file that exists"
                    )
                })
            })
        })
        .collect()
}

/// One estimate a row.
/// An estimate in a table.
#[derive(Serialize, Deserialize)]
struct EstimateRow {
    quantity: String,
    unit: String,
    value: f64,
    standard_error: Option<f64>,
    low_95: Option<f64>,
    high_95: Option<f64>,
}

fn csv_rows(answer: &SkillAnswer, out: &mut dyn Write) -> Result<(), Fault> {
    let deg = 1f64.to_degrees();
    let mut rows = Vec::new();
    let mut put = |name: &str, unit: &str, per: f64, e: &Estimate| {
        rows.push(EstimateRow {
            quantity: name.to_owned(),
            unit: unit.to_owned(),
            value: per * e.value,
            standard_error: e.standard_error.map(|x| per * x),
            low_95: e.low.map(|x| per * x),
            high_95: e.high.map(|x| per * x),
        });
    };
    if let FitOutcome::Fitted(fit) = &answer.report.outcome {
        put("scale", "1", 1.0, &fit.scale);
        if let Some(parts) = &fit.parts {
            put("arm", "deg", deg, &parts.arm_rad);
            put("picture", "mm", 1e3, &parts.picture_m);
        }
        match &fit.bias {
            Bias::Fullness(e) => put("too_full", "deg", deg, e),
            Bias::Common(e) => put("lean", "deg", deg, e),
            Bias::ByCut { left, right } => {
                put("lean_left_cuts", "deg", deg, left);
                put("lean_right_cuts", "deg", deg, right);
            }
            Bias::Unknown | Bias::NotTold => {}
        }
    }
    if let Some(ratio) = answer.report.trend.as_ref().and_then(|t| t.ratio.as_ref()) {
        put("later_over_earlier", "1", 1.0, ratio);
    }
    if let Some(stroke) = &answer.stroke {
        put("stroke_spread", "deg", deg, &stroke.spread_rad);
        put("stroke_alignment", "deg", deg, &stroke.alignment_rad);
    }
    Ok(write_rows(rows, out)?)
}
