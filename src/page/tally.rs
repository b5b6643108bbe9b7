//! What is counted at the table: the rungs of a sheet, or one shot.

use schemars::JsonSchema;
use serde::Serialize;

use super::fault::ApiFault;
use super::plan::{PlaceMm, place_mm};
use crate::gear::LoadedGear;
use crate::log::{
    Attempt, Filter, Log, LogError, Outcome, PassMark, Score, Sheet, ShotEntered, Solved, Tap,
    When, at_rungs, solve_entered,
};
use crate::pocket::PocketName;
use crate::speech::{Speech, place_words};

/// A sheet under its code, or a shot nobody drew up.
#[derive(Debug)]
pub(super) enum Subject {
    /// A ladder, marks or a lesson.
    Sheet {
        /// Its code.
        code: String,
        /// Itself.
        sheet: Sheet,
    },
    /// One shot.
    Shot {
        /// As the log keeps it.
        shot: Box<ShotEntered>,
        /// Its windows.
        solved: Box<Solved>,
    },
}

/// A shot to count tries of.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct RungShown {
    /// From 1; absent for a shot of one's own.
    rung: Option<u32>,
    /// On a marks sheet, whose mark.
    student: Option<String>,
    /// How to set it up.
    words: String,
    /// Where the balls are, where that is told by places on a table.
    places: Option<Places>,
    /// Name of the equipment.
    gear: String,
    /// What is changed of it, `KEY=VALUE`.
    set: Vec<String>,
    /// What passes it, on a ladder.
    pass: Option<PassMark>,
}

/// A shot to draw.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct Places {
    /// Cue ball's centre, mm.
    cue: PlaceMm,
    /// Object ball's centre, mm.
    object: PlaceMm,
    /// Pocket on the table.
    pocket: String,
}

impl RungShown {
    fn of_shot(shot: &ShotEntered) -> Self {
        Self {
            rung: None,
            student: None,
            pass: None,
            words: set_up(shot),
            places: places(shot),
            gear: shot.gear.clone(),
            set: shot.set.clone(),
        }
    }
}

/// One student's tries of one shot.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct Count {
    /// Who.
    student: String,
    /// Which rung.
    rung: Option<u32>,
    /// Tries.
    tries: u32,
    /// Makes.
    made: u32,
    /// Missed too full.
    full: u32,
    /// Missed too thin.
    thin: u32,
    /// Missed since the ball did not arrive.
    short: u32,
    /// Missed with the cue ball in a pocket.
    scratch: u32,
}

/// Makes of tries.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(inline)]
struct Made {
    /// Makes.
    made: u32,
    /// Of so many tries.
    tries: u32,
}

impl From<Score> for Made {
    fn from(Score { made, tries }: Score) -> Self {
        Self { made, tries }
    }
}

/// How a student stands at a rung of a ladder with marks.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct Standing {
    /// Who.
    student: String,
    /// Which rung.
    rung: u32,
    /// The series under way today.
    series: Made,
    /// Today's last series that ended without passing.
    ended: Option<Made>,
    /// What passed it, on any day.
    passed: Option<Made>,
}

/// All that was counted on a day.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct Counted {
    /// Code of the sheet.
    code: Option<String>,
    /// `ladder`, `marks`, `lesson` or `shot`.
    kind: &'static str,
    /// What it is.
    title: String,
    /// The day counted.
    day: String,
    /// Everybody.
    students: Vec<String>,
    /// The shots.
    rungs: Vec<RungShown>,
    /// Who has tried what.
    counts: Vec<Count>,
    /// Who stands how at which rung of a ladder.
    standings: Vec<Standing>,
}

impl Subject {
    /// A shot of one's own, solved.
    pub(super) fn shot(shot: ShotEntered) -> Result<Self, ApiFault> {
        let solved = solve_entered(&shot)?;
        Ok(Self::Shot {
            shot: Box::new(shot),
            solved: Box::new(solved),
        })
    }

    /// A try at it.
    pub(super) fn tap(
        self,
        student: &str,
        rung: Option<u32>,
        when: When,
        outcome: Outcome,
    ) -> Result<Tap, ApiFault> {
        let tap = |rung, shot, cut, windows| Tap {
            student: student.to_owned(),
            when,
            rung,
            shot,
            cut,
            windows,
            outcome,
        };
        match self {
            Self::Shot { shot, solved } => match rung {
                None => Ok(tap(None, *shot, solved.cut, solved.windows)),
                Some(rung) => Err(ApiFault::value(format!(
                    "rung {rung}: a shot of your own has no rungs; leave rung out"
                ))),
            },
            Self::Sheet { code, sheet } => {
                let (at, found) = rung
                    .and_then(|r| usize::try_from(r).ok())
                    .and_then(|r| sheet.numbered().find(|(number, _)| *number == r))
                    .ok_or_else(|| {
                        let last = sheet.last_number();
                        ApiFault::value(format!(
                            "rung: sheet {code} has rungs 1 to {last}; say which"
                        ))
                    })?;
                if let Some(owner) = found.student.as_ref().filter(|o| *o != student) {
                    return Err(ApiFault::value(format!(
                        "mark {at} of sheet {code} is {owner}'s, not {student}'s"
                    )));
                }
                Ok(tap(
                    rung.map(|r| (code, r)),
                    found.shot.clone(),
                    found.cut,
                    found.windows.clone(),
                ))
            }
        }
    }

    /// What was counted on it on a day.
    pub(super) fn counted(&self, log: &Log, day: &str) -> Result<Counted, LogError> {
        let students = log.students()?.into_iter().map(|s| s.label).collect();
        // Who passed a rung has passed it, on whatever day.
        let filter = match self {
            Self::Sheet { code, .. } => Filter {
                sheet: Some(code.clone()),
                ..Filter::default()
            },
            Self::Shot { .. } => Filter {
                since: day.parse().ok(),
                ..Filter::default()
            },
        };
        let attempts = log.attempts(&filter)?;
        let own = attempts
            .iter()
            .filter(|a| a.when.day() == day && self.has(a));
        let (code, kind, title) = match self {
            Self::Sheet { code, sheet } => {
                (Some(code.clone()), sheet.kind.name(), sheet.title.clone())
            }
            Self::Shot { shot, .. } => (None, "shot", shot.in_few_words()),
        };
        Ok(Counted {
            code,
            kind,
            title,
            day: day.to_owned(),
            students,
            rungs: self.rungs(),
            counts: counts(own),
            standings: self.standings(&attempts, day),
        })
    }

    fn standings(&self, attempts: &[Attempt], day: &str) -> Vec<Standing> {
        let Self::Sheet { sheet, .. } = self else {
            return Vec::new();
        };
        let all = at_rungs(sheet, attempts, day).into_iter();
        all.map(|at| Standing {
            student: at.student,
            rung: at.rung,
            series: at.series.into(),
            ended: at.ended.map(Made::from),
            passed: at.passed.map(Made::from),
        })
        .collect()
    }

    fn has(&self, attempt: &Attempt) -> bool {
        match self {
            Self::Sheet { .. } => true,
            Self::Shot { shot, .. } => attempt.sheet.is_none() && attempt.shot == **shot,
        }
    }

    fn rungs(&self) -> Vec<RungShown> {
        match self {
            Self::Shot { shot, .. } => vec![RungShown::of_shot(shot)],
            Self::Sheet { sheet, .. } => sheet
                .numbered()
                .map(|(number, rung)| RungShown {
                    rung: u32::try_from(number).ok(),
                    student: rung.student.clone(),
                    pass: rung.pass,
                    ..RungShown::of_shot(&rung.shot)
                })
                .collect(),
        }
    }
}

fn counts<'a>(attempts: impl Iterator<Item = &'a Attempt>) -> Vec<Count> {
    let mut all: Vec<Count> = Vec::new();
    for attempt in attempts {
        let same = |c: &&mut Count| c.student == attempt.student && c.rung == attempt.rung;
        let misses = attempt.misses.unwrap_or_default();
        if let Some(count) = all.iter_mut().find(same) {
            count.tries += attempt.tries;
            count.made += attempt.made;
            count.full += misses.full;
            count.thin += misses.thin;
            count.short += misses.short;
            count.scratch += misses.scratch;
        } else {
            all.push(Count {
                student: attempt.student.clone(),
                rung: attempt.rung,
                tries: attempt.tries,
                made: attempt.made,
                full: misses.full,
                thin: misses.thin,
                short: misses.short,
                scratch: misses.scratch,
            });
        }
    }
    all
}

/// How to set a shot up: places in words where they are diamonds, else as entered.
fn set_up(shot: &ShotEntered) -> String {
    let places = &shot.request.places;
    let told = || {
        let bed = LoadedGear::load(&shot.gear, &shot.set).ok()?.gear.bed;
        let speech = Speech::of(&bed);
        let (cue, object) = (places.cue.as_ref()?, places.object.as_ref()?);
        let pocket: PocketName = places.pocket.as_ref()?.parse().ok()?;
        Some(format!(
            "Object ball {}. Cue ball {}. Into the {}.",
            place_words(object.parse().ok()?, &bed, speech),
            place_words(cue.parse().ok()?, &bed, speech),
            speech.pocket(pocket)
        ))
    };
    told().unwrap_or_else(|| shot.in_few_words())
}

/// Where the balls of a shot are on its table.
fn places(shot: &ShotEntered) -> Option<Places> {
    let told = &shot.request.places;
    let gear = LoadedGear::load(&shot.gear, &shot.set).ok()?.gear;
    let pocket: PocketName = told.pocket.as_ref()?.parse().ok()?;
    let at = |place: &Option<String>, radius_m: f64| {
        let place = place.as_ref()?.parse().ok()?;
        Some(place_mm(gear.bed.locate(place, radius_m).ok()?))
    };
    Some(Places {
        cue: at(&told.cue, gear.cue_contact_radius_m())?,
        object: at(&told.object, gear.object_contact_radius_m())?,
        pocket: pocket.to_string(),
    })
}
