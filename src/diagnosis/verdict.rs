//! The verdict itself.

use serde::Serialize;

use super::kind::{Kind, Try};
use super::period::{Chosen, Period, count, of_days};
use crate::player::aim_error::Larger;
use crate::player::aim_fit::{
    AimFit, FitOutcome, GOOD_ENOUGH, MIN_TRIES, fit_aim, lean_forms, steady_error, whole,
};
use crate::player::aim_model::{AimModel, BiasForm, Spread};
use crate::player::fault::PlayerError;
use crate::player::fit::maximise;
use crate::player::normal::upper_quantile;
use crate::player::observation::Recorded;
use crate::player::profile::chi2_tail;
use crate::player::skill::comparing;
use crate::player::verdict::{Compared, spread_change};
use crate::player::{AimError, Observation};
use crate::units::Side;

/// How often luck may name a cause where there is none.
const BY_LUCK: f64 = 0.05;
/// Different shots of a kind, or days on which one was played, before it is called weak: one shot on one
/// evening says as much of how it was set up as of the kind. Assumption.
const OCCASIONS: usize = 2;
/// Fewest misses whose side was noted before a steady error is asked about: of fewer the test finds one too
/// often. Assumption.
const FEWEST_SIDED: u64 = 15;
/// Makes fall short by this many of their standard deviations, or a kind is not called weak: luck alone does
/// so once in a hundred.
const FALLS_SHORT: f64 = 2.326;
/// A test's statistic that luck alone gives on average, at one degree of freedom.
const LUCK_ALONE: f64 = 1.0;

/// What may cost makes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Cause {
    /// Hits too full (undercuts).
    Full,
    /// Hits too thin (overcuts).
    Thin,
    /// Pulls left, on left and on right cuts.
    Left,
    /// Pulls right.
    Right,
    /// The stroke scatters more, beside the sighting, than usual.
    Stroke,
    /// The sighting is off by more, beside the stroke, than usual.
    Sighting,
    /// Scatters more on a kind of shot than on the others.
    Weak(Kind),
}

/// A cause with what it rests on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Finding {
    /// What.
    pub cause: Cause,
    /// How often luck alone would show as much, of all that was asked at once.
    pub p_value: f64,
    /// Of a steady error: misses whose side was noted. Of a kind: attempts at it. Of stroke or sighting: all.
    pub of: u64,
    /// Of a steady error: misses to that side. Of a kind: makes.
    pub seen: u64,
    /// Of a kind: makes of somebody as good as this student is on the others.
    pub expected: Option<f64>,
    /// More attempts like these until it would be told from luck; 0 where it is, none where that cannot be said.
    pub more: Option<u64>,
}

/// How it went by day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Course {
    /// Better since the first day of the period, by more than luck.
    Better,
    /// Worse, by more than luck.
    Worse,
    /// No change beyond luck.
    Luck,
    /// Too little to compare with.
    Untold,
}

/// The main thing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Main {
    /// More attempts are needed for a first estimate.
    TooFew(u64),
    /// Everything went in: harder shots would tell.
    AllMade,
    /// Everything missed: easier shots would tell.
    AllMissed,
    /// A cause, beyond luck.
    Cause(Cause),
    /// No cause, but better than before.
    Better,
    /// No cause, but worse than before.
    Worse,
    /// No cause beyond luck, in attempts enough to show one.
    Luck,
    /// No cause yet, in too few attempts to show one.
    CannotTell,
}

/// The drill that goes with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Drill {
    /// Half-ball cuts, aimed thinner.
    AimThinner,
    /// Half-ball cuts, aimed fuller.
    AimFuller,
    /// Straight shots, to see where the cue points afterwards.
    CueStraight,
    /// Long straight shots.
    StraightStroke,
    /// Cuts from close by, the ghost ball found first.
    FindGhostBall,
    /// Shots of the weak kind.
    Of(Kind),
    /// The same, harder.
    Harder,
    /// Easier shots.
    Easier,
    /// Straight shots, to look at stance and grip.
    LookAtStance,
    /// Mixed shots, the side of each miss noted.
    NoteSides,
    /// Mixed shots near 5 in 10.
    EvenShots,
}

/// What the attempts of a student say.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Diagnosis {
    /// The student's label.
    pub student: String,
    /// Attempts in the period, at shots with a window.
    pub attempts: u64,
    /// Makes among them.
    pub made: u64,
    /// Which attempts.
    pub period: Period,
    /// Better, worse, or luck.
    pub course: Course,
    /// What the sides of misses can tell.
    pub recorded: Recorded,
    /// The main thing.
    pub main: Main,
    /// One drill for it.
    pub drill: Drill,
    /// Causes beyond luck, the clearest first.
    pub found: Vec<Finding>,
    /// Where none is: the one that is nearest to it.
    pub nearest: Option<Finding>,
    /// More attempts that would tell more; none where that cannot be said.
    pub more: Option<u64>,
}

impl Diagnosis {
    /// Whether a cause is beyond luck.
    #[must_use]
    pub fn names(&self, cause: Cause) -> bool {
        self.found.iter().any(|f| f.cause == cause)
    }

    /// Whether a steady error is beyond luck, to whichever side.
    #[must_use]
    pub fn names_a_steady_error(&self) -> bool {
        let steady = [Cause::Full, Cause::Thin, Cause::Left, Cause::Right];
        steady.into_iter().any(|cause| self.names(cause))
    }
}

/// What the attempts of a period say; `reference` is whose ratio of stroke to sighting is taken where they
/// do not tell it.
///
/// # Errors
/// [`PlayerError::BadObservation`] for a row that cannot be used, and the faults of fitting.
pub fn diagnose(
    student: &str,
    tries: &[Try],
    period: &Period,
    reference: AimError,
) -> Result<Diagnosis, PlayerError> {
    let within: Vec<&Try> = tries.iter().filter(|t| period.holds(&t.day)).collect();
    let observations: Vec<Observation> = within.iter().map(|t| t.observation.clone()).collect();
    let recorded = Recorded::of(&observations);
    let mut diagnosis = Diagnosis {
        student: student.to_owned(),
        attempts: count(&observations),
        made: observations.iter().map(|o| o.made).sum(),
        period: period.clone(),
        course: Course::Untold,
        recorded,
        main: Main::CannotTell,
        drill: Drill::EvenShots,
        found: Vec::new(),
        nearest: None,
        more: None,
    };
    let outcome = fit_aim(&observations, reference)?;
    let fit = match &outcome {
        FitOutcome::Fitted(fit) => fit,
        FitOutcome::TooFew { tries, needed } => {
            let more = needed.saturating_sub(*tries);
            diagnosis.main = Main::TooFew(more);
            diagnosis.more = Some(more);
            return Ok(diagnosis);
        }
        FitOutcome::AllMade { .. } => {
            diagnosis.main = Main::AllMade;
            diagnosis.drill = Drill::Harder;
            return Ok(diagnosis);
        }
        FitOutcome::AllMissed { .. } => {
            diagnosis.main = Main::AllMissed;
            diagnosis.drill = Drill::Easier;
            return Ok(diagnosis);
        }
    };
    let usual = Compared::on(&observations, reference)?;
    let player = Compared {
        reference: comparing(&outcome, reference),
        ..usual
    };
    diagnosis.course = course(tries, period, player)?;
    let mut asked = steady_errors(&observations, player.reference)?;
    asked.extend(stroke_or_sighting(fit, reference));
    asked.extend(weak_kinds(&within, Players { player, usual })?);
    let asked = ranked(asked, diagnosis.attempts);
    diagnosis.found = asked
        .iter()
        .filter(|f| f.p_value < BY_LUCK)
        .copied()
        .collect();
    if diagnosis.found.is_empty() {
        diagnosis.nearest = asked.first().copied();
    }
    conclude(&mut diagnosis, fit);
    Ok(diagnosis)
}

/// The main thing, its drill, and how many attempts would tell more.
fn conclude(diagnosis: &mut Diagnosis, fit: &AimFit) {
    let more = fit.more_tries_for(GOOD_ENOUGH);
    diagnosis.main = match (diagnosis.found.first(), diagnosis.course) {
        (Some(found), _) => Main::Cause(found.cause),
        (None, Course::Better) => Main::Better,
        (None, Course::Worse) => Main::Worse,
        (None, _) if more == Some(0) => Main::Luck,
        (None, _) => Main::CannotTell,
    };
    diagnosis.drill = match diagnosis.main {
        Main::Cause(Cause::Full) => Drill::AimThinner,
        Main::Cause(Cause::Thin) => Drill::AimFuller,
        Main::Cause(Cause::Left | Cause::Right) => Drill::CueStraight,
        Main::Cause(Cause::Stroke) => Drill::StraightStroke,
        Main::Cause(Cause::Sighting) => Drill::FindGhostBall,
        Main::Cause(Cause::Weak(kind)) => Drill::Of(kind),
        Main::Better => Drill::Harder,
        Main::Worse => Drill::LookAtStance,
        _ if diagnosis.recorded == Recorded::Nothing => Drill::NoteSides,
        _ => Drill::EvenShots,
    };
    diagnosis.more = match diagnosis.main {
        Main::Cause(_) => Some(0),
        _ => diagnosis.nearest.and_then(|f| f.more).or(more),
    };
}

/// A cause with the statistic of its test.
struct Asked {
    finding: Finding,
    statistic: f64,
}

/// With what was asked at once counted in, the clearest first.
#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
fn ranked(mut asked: Vec<Asked>, attempts: u64) -> Vec<Finding> {
    let questions = asked.len() as f64;
    asked.sort_by(|a, b| {
        let p = a.finding.p_value.total_cmp(&b.finding.p_value);
        // Far beyond luck chances are too small for a number: then the statistic tells.
        p.then(b.statistic.total_cmp(&a.statistic))
    });
    // The statistic less what luck alone gives grows with the attempts.
    let enough = enough(questions);
    asked
        .into_iter()
        .map(|a| {
            let p_value = (questions * a.finding.p_value).min(1.0);
            let beyond = a.statistic - LUCK_ALONE;
            let more = if p_value < BY_LUCK {
                Some(0)
            } else if beyond > 0.0 {
                let times = (enough - LUCK_ALONE) / beyond - 1.0;
                whole((attempts as f64 * times).max(1.0))
            } else {
                None
            };
            Finding {
                p_value,
                more,
                ..a.finding
            }
        })
        .collect()
}

/// The statistic that is beyond luck when so many questions are asked at once.
fn enough(questions: f64) -> f64 {
    // At one degree of freedom: the square of a normal variable.
    upper_quantile(0.5 * BY_LUCK / questions).powi(2)
}

/// Better or worse than before the period; luck where nothing was found or the days are too few.
fn course(tries: &[Try], period: &Period, player: Compared) -> Result<Course, PlayerError> {
    Ok(match period.chosen {
        Chosen::Better => Course::Better,
        Chosen::Worse => Course::Worse,
        Chosen::All => {
            let mut days = tries.iter().map(|t| &t.day);
            let first = days.next();
            if days.any(|day| Some(day) != first) {
                Course::Luck
            } else {
                Course::Untold
            }
        }
        Chosen::Asked => {
            let before = of_days(tries, |day| !period.holds(day));
            let since = of_days(tries, |day| period.holds(day));
            if before.is_empty() {
                return course(tries, &Period::ALL, player);
            }
            match spread_change(&before, &since, player)? {
                None => Course::Untold,
                Some(change) if !change.test.more_than_luck() => Course::Luck,
                Some(change) if change.ln_ratio < 0.0 => Course::Better,
                Some(_) => Course::Worse,
            }
        }
    })
}

/// Too full or too thin; left or right where that was recorded.
fn steady_errors(
    observations: &[Observation],
    reference: AimError,
) -> Result<Vec<Asked>, PlayerError> {
    let sided: u64 = observations.iter().map(Observation::sided_misses).sum();
    if sided < FEWEST_SIDED {
        return Ok(Vec::new());
    }
    let mut asked = Vec::new();
    for &form in lean_forms(Recorded::of(observations)) {
        let Some(error) = steady_error(observations, reference, form)? else {
            continue;
        };
        let cause = match (form, error.rad > 0.0) {
            (BiasForm::Fullness, true) => Cause::Full,
            (BiasForm::Fullness, false) => Cause::Thin,
            (_, true) => Cause::Left,
            (_, false) => Cause::Right,
        };
        let (seen, of) = to_that_side(observations, cause);
        asked.push(Asked {
            finding: Finding {
                cause,
                p_value: error.test.p_value,
                of,
                seen,
                expected: None,
                more: None,
            },
            statistic: error.test.statistic,
        });
    }
    Ok(apart(asked))
}

/// Of two steady errors the one that explains more, as far as it does: where both explain as much, neither
/// is told from the other.
fn apart(mut asked: Vec<Asked>) -> Vec<Asked> {
    asked.sort_by(|a, b| b.statistic.total_cmp(&a.statistic));
    if let [best, other] = asked.as_mut_slice() {
        best.statistic -= other.statistic;
        best.finding.p_value = chi2_tail(best.statistic, 1);
    }
    asked.truncate(1);
    asked
}

/// Misses to a side, of those whose side was noted.
fn to_that_side(observations: &[Observation], cause: Cause) -> (u64, u64) {
    observations.iter().fold((0, 0), |(seen, of), o| {
        let Some(sides) = o.sides else {
            return (seen, of);
        };
        let (left, right) = match o.cut {
            Side::Left => (sides.full, sides.thin),
            Side::Right => (sides.thin, sides.full),
        };
        let (own, counts) = match cause {
            Cause::Full => (sides.full, true),
            Cause::Thin => (sides.thin, true),
            Cause::Left => (left, o.cut_told),
            Cause::Right => (right, o.cut_told),
            Cause::Stroke | Cause::Sighting | Cause::Weak(_) => (0, false),
        };
        if counts {
            (seen + own, of + sides.full + sides.thin)
        } else {
            (seen, of)
        }
    })
}

/// The one of stroke and sighting that is larger than it is beside the other with most players, where the
/// attempts tell both.
fn stroke_or_sighting(fit: &AimFit, usual: AimError) -> Option<Asked> {
    let test = fit.parts_test?;
    let larger = fit.larger_a_metre_away()?;
    let parts = fit.parts?;
    let ratio_m = parts.picture_m.value / parts.arm_rad.value;
    let sighting = ratio_m > usual.picture_m / usual.arm_rad;
    let cause = match (larger, sighting) {
        (Larger::Arm, false) => Cause::Stroke,
        (Larger::Picture, true) => Cause::Sighting,
        _ => return None,
    };
    Some(Asked {
        finding: Finding {
            cause,
            p_value: test.p_value,
            of: fit.tries,
            seen: fit.made,
            expected: None,
            more: None,
        },
        statistic: test.statistic,
    })
}

/// On whom kinds are compared.
#[derive(Clone, Copy)]
struct Players {
    /// With the ratio of stroke to sighting that the attempts show.
    player: Compared,
    /// With the usual one.
    usual: Compared,
}

impl Players {
    /// Distances are compared on the usual ratio, since the shown one follows from them.
    fn of(&self, kind: Kind) -> Compared {
        match kind {
            Kind::Long | Kind::Close => self.usual,
            _ => self.player,
        }
    }
}

/// Kinds of shots on which the spread is wider than on the others.
fn weak_kinds(tries: &[&Try], players: Players) -> Result<Vec<Asked>, PlayerError> {
    let mut asked = Vec::new();
    let mut before: Vec<Vec<bool>> = Vec::new();
    for kind in Kind::ALL {
        let within: Vec<bool> = tries
            .iter()
            .map(|t| t.facts.is_some_and(|facts| kind.covers(&facts)))
            .collect();
        if before.contains(&within) {
            continue;
        }
        let part = |wanted: bool| -> Vec<Observation> {
            tries
                .iter()
                .zip(&within)
                .filter(|(_, is)| **is == wanted)
                .map(|(t, _)| t.observation.clone())
                .collect()
        };
        let (own, rest) = (part(true), part(false));
        if within.iter().filter(|is| **is).count() < OCCASIONS
            || count(&own) < MIN_TRIES
            || count(&rest) < MIN_TRIES
        {
            continue;
        }
        before.push(within);
        let player = players.of(kind);
        let Some(change) = spread_change(&rest, &own, player)? else {
            continue;
        };
        let made: u64 = own.iter().map(|o| o.made).sum();
        let expected = expected(&rest, &own, player.reference)?;
        // What a wider spread costs is makes: without fewer of them there is no weakness to tell anybody of.
        let wider = change.ln_ratio > 0.0 && expected.is_none_or(|e| e.falls_short(made));
        asked.push(Asked {
            finding: Finding {
                cause: Cause::Weak(kind),
                // Only a wider spread is a weakness: half of what luck gives lies on the other side.
                p_value: if wider {
                    0.5 * change.test.p_value
                } else {
                    1.0
                },
                of: count(&own),
                seen: made,
                expected: expected.map(|e| e.makes),
                more: None,
            },
            statistic: if wider { change.test.statistic } else { 0.0 },
        });
    }
    Ok(asked)
}

/// Makes that a player is good for.
#[derive(Clone, Copy)]
struct Expected {
    makes: f64,
    variance: f64,
}

impl Expected {
    /// Whether so many makes are fewer, by more than luck.
    #[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
    fn falls_short(self, made: u64) -> bool {
        self.makes - made as f64 > FALLS_SHORT * self.variance.sqrt()
    }
}

/// Makes at these shots of a player as good as the others show.
#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
fn expected(
    others: &[Observation],
    own: &[Observation],
    reference: AimError,
) -> Result<Option<Expected>, PlayerError> {
    let made: u64 = others.iter().map(|o| o.made).sum();
    if made == 0 || made == count(others) {
        return Ok(None);
    }
    let model = AimModel::new(others, reference)?.with(Spread::Scale, BiasForm::Given);
    let top = match maximise(&model) {
        Ok(top) => top,
        Err(PlayerError::Flat { .. } | PlayerError::NoMaximum { .. }) => return Ok(None),
        Err(fault) => return Err(fault),
    };
    let player = model.player(&top.theta, Side::Left);
    let none = Expected {
        makes: 0.0,
        variance: 0.0,
    };
    Ok(Some(own.iter().fold(none, |sum, o| {
        let (tries, chance) = (o.tries as f64, o.chance(&player));
        Expected {
            makes: sum.makes + tries * chance,
            variance: sum.variance + tries * chance * (1.0 - chance),
        }
    })))
}
