//! One ball further: what the next shot and the one after it score, from where the makes of a shot leave the
//! table. The player then chooses that shot as well as this one, from a smaller search.

use rayon::prelude::*;

use super::follow::{Still, is_up};
use super::legal::Legal;
use super::request::{AdviceOptions, Ahead};
use super::strokes::{Looks, Weighed, direct_shots};
use crate::layout::{Listener, Progress};

/// Shots for which two balls ahead are looked at.
const SHOTS: usize = 6;
/// Tables after each that are searched: the middle of the makes and one on either side.
const TABLES: [usize; 3] = [1, 4, 7];
/// Strokes of the next shot whose leaves are looked at.
const GLANCED: usize = 6;

/// Looks two balls ahead for the best shots; each that is done is better known than the rest.
pub(super) fn two_ahead(looks: &Looks<'_>, weighed: &mut [Weighed], progress: Listener<'_>) {
    let count = weighed.len().min(SHOTS);
    progress(Progress::Begins("two balls ahead", count * TABLES.len()));
    for shot in weighed.iter_mut().take(count) {
        let legal = looks.options.legal.after(shot.ranked.shot.ball);
        let options = AdviceOptions {
            legal: legal.clone(),
            open: super::request::Open {
                pace: false,
                arrival: true,
                side: false,
            },
            ahead: Ahead::One,
            ..looks.options.clone()
        };
        let all = shot.leaves.stills.len();
        let tables: Vec<&Still> = TABLES
            .iter()
            .filter_map(|k| shot.leaves.stills.get(k * all / 9))
            .collect();
        let worth: Vec<f64> = tables
            .par_iter()
            .map(|still| {
                let worth = best_run(looks, &options, still, legal.as_ref());
                progress(Progress::Step);
                worth
            })
            .collect();
        if looks.table.stopped() {
            return;
        }
        if !worth.is_empty() {
            let count = f64::from(u32::try_from(worth.len()).unwrap_or(1));
            let mean = worth.iter().sum::<f64>() / count;
            shot.two_ahead = Some(mean * shot.leaves.followed);
        }
    }
}

/// The best that a shot and the next score from a table.
fn best_run(looks: &Looks<'_>, options: &AdviceOptions, still: &Still, legal: &dyn Legal) -> f64 {
    let table = looks.table.with_layout(&still.layout);
    if table.stopped() {
        return 0.0;
    }
    let balls = still.layout.balls.iter().enumerate();
    let targets: Vec<usize> = balls
        .filter(|(i, b)| is_up(b.at) && legal.on(*i))
        .map(|(i, _)| i)
        .collect();
    let Ok(direct) = direct_shots(&table, options, &targets, &|_| {}) else {
        return 0.0;
    };
    let next = Looks::new(&table, options, &direct.sets);
    let mut strokes: Vec<_> = direct.pairs.iter().flatten().collect();
    strokes.sort_by(|a, b| b.quick.total_cmp(&a.quick));
    let glanced = strokes.iter().take(GLANCED).map(|s| next.glance(s));
    glanced.fold(0.0, f64::max)
}
