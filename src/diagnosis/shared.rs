//! What several students have in common: the cause that most of their verdicts name.

use super::verdict::{Cause, Diagnosis, Drill, Finding, Main};

/// What a group has in common.
#[derive(Debug, Clone, PartialEq)]
pub struct Shared {
    /// Those of whom the cause is beyond luck, or the only one who was asked about.
    pub with: Vec<Diagnosis>,
    /// The others, by their labels.
    pub without: Vec<String>,
    /// The drill for the cause, or for nobody's.
    pub drill: Drill,
    /// Attempts of all.
    pub attempts: u64,
}

/// What the verdicts on a group's students have in common: the cause of most, of two causes of as many the
/// clearer one. The verdict of one student is that student's own. `None` of nobody, and without attempts.
#[must_use]
pub fn shared(all: &[Diagnosis]) -> Option<Shared> {
    let attempts: u64 = all.iter().map(|d| d.attempts).sum();
    if attempts == 0 {
        return None;
    }
    if let [one] = all {
        return Some(Shared {
            with: vec![one.clone()],
            without: Vec::new(),
            drill: one.drill,
            attempts,
        });
    }
    let mut causes: Vec<(Cause, Vec<&Diagnosis>)> = Vec::new();
    for one in all {
        let Main::Cause(cause) = one.main else {
            continue;
        };
        match causes.iter_mut().find(|(known, _)| *known == cause) {
            Some((_, with)) => with.push(one),
            None => causes.push((cause, vec![one])),
        }
    }
    let luck = |with: &[&Diagnosis]| -> f64 {
        let found = with.iter().filter_map(|d| d.found.first());
        found.map(|f: &Finding| f.p_value).fold(1.0, f64::min)
    };
    causes.sort_by(|(_, a), (_, b)| {
        let most = b.len().cmp(&a.len());
        most.then_with(|| luck(a).total_cmp(&luck(b)))
    });
    let with: Vec<Diagnosis> = causes
        .first()
        .map(|(_, with)| with.iter().map(|d| (*d).clone()).collect())
        .unwrap_or_default();
    let others = all
        .iter()
        .filter(|d| with.iter().all(|w| w.student != d.student));
    Some(Shared {
        without: others.map(|d| d.student.clone()).collect(),
        drill: with.first().map_or(Drill::EvenShots, |d| d.drill),
        with,
        attempts,
    })
}
