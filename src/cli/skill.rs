//! `thincut skill`: better, the same, or luck? And what to work on.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use rand::SeedableRng;
use rand_pcg::Pcg64Mcg;
use serde_json::json;
use thincut::log::{Attempt, When};
use thincut::player::aim_fit::{Bias, Estimate};
use thincut::player::probe::{Candidate, pick_probes};
use thincut::player::skill::{SkillReport, skill_report};
use thincut::player::split::{Split, split_misses};
use thincut::player::stroke::{StrokeReport, StrokeTest, read_stroke_test};
use thincut::player::verdict::{Comparison, Verdict};
use thincut::player::{AimError, AimFit, Cut, FitOutcome, Level, Observation, in_ten};
use thincut::request::quantity;
use thincut::units::{Length, Speed};

use crate::fault::Fault;
use crate::output::{Format, json as write_json};
use crate::student::{REFERENCE, observations, open, tries_of};

/// Is the student getting better, or lucky? And is it the arm or the eyes?
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut skill A\n  \
    thincut skill A --since 2026-10-27 --stats\n  \
    thincut skill A --stroke 4,-7,12,3,-9,6,1,-2 --stroke-distance 2m\n  \
    thincut skill A --tell-me-more 4\n\n\
    --since compares what comes from that day on with what came before; without it the log is\n\
    halved by days. The stroke test: the cue ball alone, at a printed scale; readings in mm, left\n\
    of the mark positive as the shooter sees it.")]
pub(crate) struct SkillCommand {
    /// The student's label in the practice log
    #[arg(value_name = "STUDENT")]
    student: String,
    /// Compare from this day on with what came before
    #[arg(long, value_name = "DATE")]
    since: Option<When>,
    /// Level whose arm : picture ratio is kept while the tries cannot tell (assumed)
    #[arg(long, value_name = "NAME")]
    level: Option<String>,
    /// Readings of a stroke test in mm, or a file with one a line
    #[arg(long, value_name = "FILE|VALUES", allow_hyphen_values = true)]
    stroke: Option<String>,
    /// Cue ball to the scale
    #[arg(long, value_name = "LENGTH", default_value = "2m")]
    stroke_distance: String,
    /// Speed of the cue ball in the stroke test
    #[arg(long, value_name = "SPEED", default_value = "1.5m/s")]
    stroke_speed: String,
    /// List this many shots whose outcome would tell most
    #[arg(long, value_name = "N")]
    tell_me_more: Option<usize>,
    /// Show deviance, Pearson, intervals and p-values
    #[arg(long)]
    stats: bool,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
    /// text, json or csv (the list of --tell-me-more)
    #[arg(long, value_enum, default_value_t, hide_possible_values = true)]
    format: Format,
}

/// What there is to say.
struct Findings {
    report: SkillReport,
    stroke: Option<StrokeReport>,
    split: Option<Split>,
    probes: Vec<(Attempt, f64)>,
}

impl SkillCommand {
    pub(crate) fn run(&self, out: &mut dyn Write) -> Result<(), Fault> {
        let log = open(self.log.as_deref())?;
        let rows = tries_of(&log, &self.student, None)?;
        if rows.is_empty() {
            return Err(Fault::input(format!(
                "student {} has no tries in the log; record some with `thincut log add`",
                self.student
            )));
        }
        let level = self
            .level
            .as_deref()
            .map_or(Ok(REFERENCE), str::parse::<Level>)?;
        let findings = self.findings(&rows, level.aim_error())?;
        match self.format {
            Format::Json => write_json(out, &self.as_json(&findings)),
            Format::Csv => probes_csv(&findings.probes, out),
            Format::Text => Ok(out.write_all(self.words(&findings).as_bytes())?),
        }
    }

    fn findings(&self, rows: &[Attempt], reference: AimError) -> Result<Findings, Fault> {
        let (before, after) = self.periods(rows);
        let all = observations(rows);
        let earlier = observations(&before);
        let mut report = skill_report(&all, None, reference)?;
        if !earlier.is_empty() && !after.is_empty() {
            let later = observations(&after);
            report.trend = Some(thincut::player::verdict::compare(
                &earlier, &later, reference,
            )?);
        }
        let stroke = self.stroke_test(reference)?;
        let split = match &stroke {
            Some(stroke) => Some(split_misses(
                &all,
                stroke,
                reference,
                &mut Pcg64Mcg::seed_from_u64(1),
            )?),
            None => None,
        };
        let probes = match (self.tell_me_more, fitted(&report)) {
            (Some(count), Some(fit)) => probes(rows, &all, fit, count)?,
            _ => Vec::new(),
        };
        Ok(Findings {
            report,
            stroke,
            split,
            probes,
        })
    }

    /// Rows before and from `--since` on, or the first and second half of the days.
    fn periods(&self, rows: &[Attempt]) -> (Vec<Attempt>, Vec<Attempt>) {
        let start = match &self.since {
            Some(since) => since.day().to_owned(),
            None => {
                let mut days: Vec<&str> = rows.iter().map(|r| r.when.day()).collect();
                days.sort_unstable();
                days.dedup();
                days.get(days.len() / 2)
                    .map_or(String::new(), |d| (*d).to_owned())
            }
        };
        rows.iter()
            .cloned()
            .partition(|r| r.when.day() < start.as_str())
    }

    fn stroke_test(&self, reference: AimError) -> Result<Option<StrokeReport>, Fault> {
        let Some(text) = &self.stroke else {
            return Ok(None);
        };
        let listed = match std::fs::read_to_string(text) {
            Ok(file) => file,
            Err(_) if text.contains(',') || text.trim().parse::<f64>().is_ok() => text.clone(),
            Err(e) => {
                return Err(Fault::input(format!(
                    "--stroke {text}: {e}; give readings such as 4,-7,12 or a file with one a line"
                )));
            }
        };
        let mut readings_mm = Vec::new();
        for word in listed
            .split([',', '\n', ';'])
            .map(str::trim)
            .filter(|w| !w.is_empty() && !w.starts_with('#'))
        {
            let value = word
                .trim_end_matches("mm")
                .trim()
                .parse::<f64>()
                .map_err(|_| {
                    Fault::input(format!(
                        "--stroke: `{word}` is no reading in mm, such as -7"
                    ))
                })?;
            readings_mm.push(value);
        }
        let distance = quantity::<Length>("--stroke-distance", Some(&self.stroke_distance))?;
        let speed = quantity::<Speed>("--stroke-speed", Some(&self.stroke_speed))?;
        Ok(Some(read_stroke_test(&StrokeTest {
            readings_mm,
            distance_m: distance.map_or(0.0, Length::m),
            cue_speed_m_s: speed.map_or(0.0, Speed::m_s),
            arm_growth_per_m_s: reference.arm_growth_per_m_s,
        })?))
    }

    fn as_json(&self, f: &Findings) -> serde_json::Value {
        let probes: Vec<_> = f
            .probes
            .iter()
            .map(|(a, chance)| json!({"shot": a.shot, "chance": chance}))
            .collect();
        json!({
            "student": self.student,
            "report": f.report,
            "stroke_test": f.stroke,
            "split": f.split,
            "tell_me_more": probes,
        })
    }

    fn words(&self, f: &Findings) -> String {
        let mut lines = vec![verdict_line(&self.student, &f.report)];
        lines.extend(cause_lines(&f.report));
        lines.extend(f.stroke.as_ref().map(stroke_line));
        lines.extend(f.split.as_ref().map(split_line));
        if self.tell_me_more.is_some() {
            if f.probes.is_empty() {
                lines.push(
                    "Which shots would tell more can be said once there are makes and misses."
                        .to_owned(),
                );
            } else {
                lines.push("These shots would tell most, ten tries each:".to_owned());
            }
            for (row, chance) in &f.probes {
                lines.push(format!(
                    "  {} (about {})",
                    row.shot.words(),
                    in_ten(*chance)
                ));
            }
        }
        if self.stats {
            lines.extend(stats_lines(&f.report));
        }
        lines.join("\n") + "\n"
    }
}

fn fitted(report: &SkillReport) -> Option<&AimFit> {
    match &report.outcome {
        FitOutcome::Fitted(fit) => Some(fit),
        _ => None,
    }
}

fn verdict_line(student: &str, report: &SkillReport) -> String {
    match (&report.outcome, &report.trend) {
        (FitOutcome::TooFew { tries, needed }, _) => format!(
            "Cannot tell yet: {tries} tries of {student}, {} more needed.",
            needed.saturating_sub(*tries)
        ),
        (FitOutcome::AllMade { tries, .. }, _) => {
            format!("Cannot tell: {student} made all {tries}; try harder shots until some miss.")
        }
        (FitOutcome::AllMissed { tries, .. }, _) => {
            format!("Cannot tell: {student} missed all {tries}; try easier shots until some go in.")
        }
        (FitOutcome::Fitted(fit), None) => {
            format!(
                "One period only: {student} made {} of {}.",
                fit.made, fit.tries
            )
        }
        (FitOutcome::Fitted(_), Some(trend)) => trend_line(student, trend),
    }
}

fn trend_line(student: &str, trend: &Comparison) -> String {
    let change = trend.ratio.map_or(String::new(), |r| {
        format!(": the aim spreads {} now", change_words(&r))
    });
    match trend.verdict {
        Verdict::Better => format!("{student} is better, by more than luck{change}."),
        Verdict::Worse => {
            format!("{student} spreads wider than before, by more than luck{change}.")
        }
        Verdict::Same => format!("{student} is the same as before{change}."),
        Verdict::CannotTell { more: Some(more) } => {
            format!("Cannot tell whether {student} changed: {more} more tries needed.")
        }
        Verdict::CannotTell { more: None } => {
            format!(
                "Cannot tell whether {student} changed, and more tries now would not help: the earlier ones are too few."
            )
        }
    }
}

/// "31 % less than before (between 10 and 47 % less)".
fn change_words(ratio: &Estimate) -> String {
    let percent = |r: f64| {
        format!(
            "{:.0} % {}",
            100.0 * (r - 1.0).abs(),
            if r < 1.0 { "less" } else { "more" }
        )
    };
    match (ratio.low, ratio.high) {
        (Some(low), Some(high)) => {
            format!(
                "{} than before, between {} and {},",
                percent(ratio.value),
                percent(low),
                percent(high)
            )
        }
        _ => format!("{} than before", percent(ratio.value)),
    }
}

fn cause_lines(report: &SkillReport) -> Vec<String> {
    let Some(fit) = fitted(report) else {
        return Vec::new();
    };
    let player = fit.player(Cut::Left);
    let mut lines = vec![format!(
        "{} made of {}: two strokes in three within ±{:.2}°, the ghost ball seen to ±{:.1} mm{}.",
        fit.made,
        fit.tries,
        player.arm_rad.to_degrees(),
        1e3 * player.picture_m,
        if fit.parts.is_some() {
            ""
        } else {
            " (in the club level's proportion, assumed: these tries cannot tell arm from eyes)"
        }
    )];
    lines.extend(bias_line(&fit.bias));
    if let Some(off) = report.bands.iter().find(|b| !b.holds()) {
        lines.push(format!(
            "Not all of it fits: shots expected about {} went {} of {}.",
            in_ten(off.predicted),
            off.made,
            off.tries
        ));
    }
    lines
}

fn bias_line(bias: &Bias) -> Option<String> {
    let side = |rad: f64| if rad > 0.0 { "left" } else { "right" };
    let sure = |e: &Estimate| matches!((e.low, e.high), (Some(l), Some(h)) if l > 0.0 || h < 0.0);
    match bias {
        Bias::Unknown => Some(
            "Note on which side shots miss (full, thin) to learn whether the aim leans.".to_owned(),
        ),
        Bias::NotTold => {
            Some("All misses lie on one side: spread and lean cannot be told apart yet.".to_owned())
        }
        Bias::Common(e) if sure(e) => Some(format!(
            "The aim leans {:.2}° to the {}: that is the first thing to put right.",
            e.value.abs().to_degrees(),
            side(e.value)
        )),
        Bias::Common(_) => {
            Some("The aim does not lean to one side, as far as these tries tell.".to_owned())
        }
        Bias::ByCut { left, right } => Some(format!(
            "The aim leans by the cut: {:.2}° to the {} on left cuts, {:.2}° to the {} on right cuts.",
            left.value.abs().to_degrees(),
            side(left.value),
            right.value.abs().to_degrees(),
            side(right.value)
        )),
    }
}

fn interval(e: &Estimate, scale: f64, unit: &str) -> String {
    match (e.low, e.high) {
        (Some(l), Some(h)) => format!(
            "{:.2}{unit} ({:.2} to {:.2})",
            scale * e.value,
            scale * l,
            scale * h
        ),
        _ => format!("{:.2}{unit}", scale * e.value),
    }
}

fn stroke_line(stroke: &StrokeReport) -> String {
    let lean = if stroke.off_line {
        format!(
            "; the stroke goes {:.2}° to the {}, by more than luck",
            stroke.alignment_rad.value.abs().to_degrees(),
            if stroke.alignment_rad.value > 0.0 {
                "left"
            } else {
                "right"
            }
        )
    } else {
        String::new()
    };
    format!(
        "Stroke test, {} readings: the arm spreads {}{lean}.",
        stroke.readings,
        interval(&stroke.spread_rad, 1f64.to_degrees(), "°")
    )
}

fn split_line(split: &Split) -> String {
    let share = |name: &str, s: &thincut::player::split::Share| {
        format!(
            "{name} {:.0} % ({:.0} to {:.0})",
            100.0 * s.value,
            100.0 * s.interval.low,
            100.0 * s.interval.high
        )
    };
    format!(
        "Of the misses: {}, {}, {}.",
        share("arm", &split.arm),
        share("eyes", &split.eyes),
        share("speed", &split.speed)
    )
}

fn stats_lines(report: &SkillReport) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(fit) = fitted(report) {
        let g = &fit.goodness;
        lines.push(format!(
            "scale on the reference level  {}",
            interval(&fit.scale, 1.0, "")
        ));
        lines.push(format!(
            "deviance {:.3}, Pearson {:.3}, {} df",
            g.deviance, g.pearson, g.df
        ));
        for (name, test) in [
            ("arm and eyes apart", fit.parts_test),
            ("lean", fit.bias_test),
            ("lean by cut", fit.cut_test),
        ] {
            if let Some(t) = test {
                lines.push(format!(
                    "likelihood ratio, {name}: {:.3}, p = {:.4}",
                    t.statistic, t.p_value
                ));
            }
        }
    }
    if let Some(test) = report.trend.and_then(|t| t.test) {
        lines.push(format!(
            "likelihood ratio, earlier against later: {:.3}, p = {:.4}",
            test.statistic, test.p_value
        ));
    }
    for b in &report.bands {
        lines.push(format!(
            "expected {:.1} to {:.1} in 10: {} of {} made, {:.1} expected, {:.1} to {:.1} by luck",
            10.0 * b.from,
            10.0 * b.to,
            b.made,
            b.tries,
            10.0 * b.predicted,
            10.0 * b.interval.low,
            10.0 * b.interval.high
        ));
    }
    lines
}

/// Shots of the log, each once, that would tell most.
fn probes(
    rows: &[Attempt],
    all: &[Observation],
    fit: &AimFit,
    count: usize,
) -> Result<Vec<(Attempt, f64)>, Fault> {
    let mut shots: Vec<&Attempt> = Vec::new();
    for row in rows.iter().filter(|r| r.observation().is_some()) {
        if !shots.iter().any(|s| s.shot == row.shot) {
            shots.push(row);
        }
    }
    let candidates: Vec<Candidate> = shots
        .iter()
        .filter_map(|row| {
            let windows = row.windows.as_ref()?;
            Some(Candidate {
                shot: row.observation()?,
                cut_tag: format!("{:.0}", windows.cut_deg / 15.0),
                side_tag: if row.cut == Cut::Left {
                    "left"
                } else {
                    "right"
                }
                .to_owned(),
                pocket_tag: row.shot.request.places.pocket.clone().unwrap_or_default(),
            })
        })
        .collect();
    let picked = pick_probes(all, &candidates, fit.player(Cut::Left), count)?;
    Ok(picked
        .iter()
        .map(|p| (shots[p.candidate].clone(), p.chance))
        .collect())
}

/// A list the log takes back once tries and makes are filled in.
fn probes_csv(probes: &[(Attempt, f64)], out: &mut dyn Write) -> Result<(), Fault> {
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record([
        "student",
        "when",
        "gear",
        "cue",
        "object",
        "pocket",
        "cut",
        "apart",
        "to_pocket",
        "tries",
        "made",
    ])?;
    for (row, _) in probes {
        let p = &row.shot.request.places;
        let text = |t: &Option<String>| t.clone().unwrap_or_default();
        writer.write_record([
            row.student.clone(),
            String::new(),
            row.shot.gear.clone(),
            text(&p.cue),
            text(&p.object),
            text(&p.pocket),
            text(&p.cut),
            text(&p.apart),
            text(&p.to_pocket),
            "10".to_owned(),
            String::new(),
        ])?;
    }
    Ok(writer.flush()?)
}
