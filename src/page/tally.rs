//! What is counted at the table: the rungs of a sheet, or one shot.

use schemars::JsonSchema;
use serde::Serialize;

use super::fault::ApiFault;
use super::plan::{PlaceMm, place_mm};
use crate::gear::LoadedGear;
use crate::log::{
    Attempt, Filter, Log, LogError, Outcome, Sheet, ShotEntered, Solved, Tap, When, solve_entered,
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
    fn new(rung: Option<u32>, student: Option<String>, shot: &ShotEntered) -> Self {
        Self {
            rung,
            student,
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
        let since = day.parse().ok();
        let filter = Filter {
            since,
            sheet: match self {
                Self::Sheet { code, .. } => Some(code.clone()),
                Self::Shot { .. } => None,
            },
            ..Filter::default()
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
        })
    }

    fn has(&self, attempt: &Attempt) -> bool {
        match self {
            Self::Sheet { .. } => true,
            Self::Shot { shot, .. } => attempt.sheet.is_none() && attempt.shot == **shot,
        }
    }

    fn rungs(&self) -> Vec<RungShown> {
        match self {
            Self::Shot { shot, .. } => vec![RungShown::new(None, None, shot)],
            Self::Sheet { sheet, .. } => sheet
                .numbered()
                .map(|(number, rung)| {
                    let number = u32::try_from(number).ok();
                    RungShown::new(number, rung.student.clone(), &rung.shot)
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
        } else {
            all.push(Count {
                student: attempt.student.clone(),
                rung: attempt.rung,
                tries: attempt.tries,
                made: attempt.made,
                full: misses.full,
                thin: misses.thin,
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
