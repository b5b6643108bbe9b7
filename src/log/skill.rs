//! What the practice of one student says: the fit, what held of it, better or worse, evening by evening.

use rand::SeedableRng;
use rand_pcg::Pcg64;
use rayon::prelude::*;

use super::diagnosed::diagnosis_of;
use super::practice::{Periods, Practice};
use super::since::Since;
use crate::answer::{DayAnswer, SkillAnswer};
use crate::player::aim_fit::{FitOutcome, fit_as_diagnosed, fit_spread};
use crate::player::fault::PlayerError;
use crate::player::skill::progress::report_of;
use crate::player::skill::{SkillReport, comparing};
use crate::player::split::{Split, split_misses};
use crate::player::stroke_test::StrokeReport;
use crate::player::verdict::compare;
use crate::player::{AimError, Level, Observation};

/// Of whom, from when on, and against what.
#[derive(Debug, Clone)]
pub struct SkillWishes<'a> {
    /// The student's label.
    pub student: &'a str,
    /// First day of the later period; without it that of the change which the practice shows. Where it
    /// shows none the later half of the days stands against the earlier half, and all tries are used.
    pub since: &'a Since,
    /// Level whose ratio of arm to picture is taken where tries are few (assumed).
    pub level: Level,
    /// A stroke test, read.
    pub stroke: Option<StrokeReport>,
}

/// The answer, and the tries it rests on. Which shots to try next is left empty: that depends on
/// the equipment at hand.
///
/// # Errors
/// The faults of fitting.
pub fn skill(
    wishes: SkillWishes<'_>,
    practice: &Practice,
) -> Result<(SkillAnswer, Vec<Observation>), PlayerError> {
    let reference = wishes.level.aim_error();
    let diagnosis = diagnosis_of(wishes.student, practice, wishes.since)?;
    let since = diagnosis.period.since.as_deref();
    let periods = Periods::new(practice, since);
    // With a first day the tries from then on; without, all of them.
    let (rows, days) = match since {
        Some(_) => (periods.later.clone(), periods.later.days()),
        None => (periods.all(), periods.days.clone()),
    };
    let (tries, left_out) = rows.observations();
    let outcome = fit_as_diagnosed(&tries, reference, diagnosis.names_a_steady_error())?;
    let report = report(outcome, &periods, &tries, reference)?;
    let split = split(&tries, wishes.stroke.as_ref(), &report, reference)?;
    let answer = SkillAnswer {
        by_day: by_days(&periods.all(), &report)?,
        student: wishes.student.to_owned(),
        tries: tries.iter().map(|o| o.tries).sum(),
        made: tries.iter().map(|o| o.made).sum(),
        left_out,
        days,
        since: periods.since,
        level: wishes.level.name().to_owned(),
        report,
        stroke: wishes.stroke,
        split,
        tell_me_more: Vec::new(),
        diagnosis,
    };
    Ok((answer, tries))
}

fn report(
    outcome: FitOutcome,
    periods: &Periods,
    tries: &[Observation],
    reference: AimError,
) -> Result<SkillReport, PlayerError> {
    let mut report = report_of(outcome, tries, None, reference)?;
    let (earlier, _) = periods.earlier.observations();
    let (later, _) = periods.later.observations();
    if !earlier.is_empty() && !later.is_empty() {
        let reference = comparing(&report.outcome, reference);
        report.trend = Some(compare(&earlier, &later, reference)?);
    }
    Ok(report)
}

/// Arm, eyes and speed, where there is a stroke test and something to split.
fn split(
    tries: &[Observation],
    stroke: Option<&StrokeReport>,
    report: &SkillReport,
    reference: AimError,
) -> Result<Option<Split>, PlayerError> {
    match (stroke, &report.outcome) {
        (Some(stroke), FitOutcome::Fitted(_)) => {
            // Seeded: the same log always gives the same interval.
            let mut rng = Pcg64::seed_from_u64(1);
            split_misses(tries, stroke, reference, &mut rng).map(Some)
        }
        _ => Ok(None),
    }
}

/// Each day's spread over that of the player as fitted: all days, those before the change too.
fn by_days(practice: &Practice, report: &SkillReport) -> Result<Vec<DayAnswer>, PlayerError> {
    let FitOutcome::Fitted(all) = &report.outcome else {
        return Ok(Vec::new());
    };
    practice
        .by_day()
        .into_par_iter()
        .map(|(day, tries)| {
            let spread = match fit_spread(&tries, all.on_left_cuts) {
                Ok(FitOutcome::Fitted(fit)) => Some(fit.scale),
                // A day that cannot tell leaves a gap in the picture, no more.
                Ok(_) | Err(PlayerError::Flat { .. } | PlayerError::NoMaximum { .. }) => None,
                Err(fault) => return Err(fault),
            };
            Ok(DayAnswer {
                day,
                tries: tries.iter().map(|o| o.tries).sum(),
                made: tries.iter().map(|o| o.made).sum(),
                spread,
            })
        })
        .collect()
}
