//! Many shots from a table: one answer per row, in order, with flat memory.
//!
//! Columns are named like the options of a shot (`to-pocket` or `to_pocket`), a row may name its
//! own gear and player, and columns of other names are carried through untouched. Rows that share
//! object ball, pocket, pace and gear share one acceptance solve.

mod ask;
mod block;
mod cache;
mod gears;

pub use ask::{BatchError, Header};
pub use block::{Block, Row};

use std::borrow::Cow;
use std::ops::Range;
use std::path::PathBuf;
use std::sync::Arc;

use rayon::prelude::*;

use crate::answer::{ShotAnswer, chance_without};
use crate::field::{Face, spoken_by};
use crate::gear::Gear;
use crate::player::{Aimed, Player};
use crate::units::Side;
use crate::window::{AimWindow, Cued, NoWindow, Solution, beside_cushion, solve_all};

/// Columns have plain names.
const COLUMNS: Face = Face::PLAIN;

use ask::Ask;
use cache::Acceptances;
use gears::Gears;

/// What became of one row.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome<'a> {
    /// The cells as they came.
    pub row: Row<'a>,
    /// The answer, or what is wrong with the row.
    pub answer: Result<Box<ShotAnswer>, String>,
}

impl Outcome<'_> {
    /// `ok`, a typed answer such as `out-of-reach`, or `error: …`.
    #[must_use]
    pub fn status(&self) -> Cow<'static, str> {
        match &self.answer {
            Err(message) => format!("error: {message}").into(),
            Ok(answer) => {
                let told = [
                    NoWindow::NoDrop,
                    NoWindow::InTheJaws,
                    NoWindow::OutOfReach,
                    NoWindow::TooClose,
                ];
                let name = told
                    .iter()
                    .map(|no| no.name())
                    .chain(["too-fast"])
                    .find(|name| answer.flags.iter().any(|f| f == name));
                name.unwrap_or("ok").into()
            }
        }
    }
}

/// Who aims in rows that name nobody. A lean may change with the side of the cut.
#[derive(Debug, Clone, Default)]
pub struct Players {
    /// On cuts to the left.
    pub on_left_cuts: Option<Player>,
    /// On cuts to the right.
    pub on_right_cuts: Option<Player>,
}

/// Solves rows, remembering gears and acceptances from one call to the next.
#[derive(Debug)]
pub struct Solver {
    header: Header,
    gears: Gears,
    acceptances: Acceptances,
    players: Players,
}

impl Solver {
    /// For rows under this header. `gear` and `players` are for rows that name none; a row names a
    /// preset or a gear file in the working folder.
    #[must_use]
    pub fn new(header: Header, gear: Gear, players: Players) -> Self {
        Self::beside(PathBuf::new(), header, gear, players)
    }

    /// As [`Solver::new`], for rows of a file in `folder`: the gear files they name lie there.
    #[must_use]
    pub fn beside(folder: PathBuf, header: Header, gear: Gear, players: Players) -> Self {
        Self {
            header,
            gears: Gears::new(gear, folder),
            acceptances: Acceptances::default(),
            players,
        }
    }

    /// Answers some rows in parallel: `part` makes something of the outcomes of some that follow each
    /// other, and what it made comes back in order. Memory does not grow from call to call.
    pub fn solve<T: Send>(
        &mut self,
        block: &Block,
        part: impl Fn(&mut dyn Iterator<Item = Outcome<'_>>) -> T + Sync,
    ) -> Vec<T> {
        let read = |k| {
            spoken_by(COLUMNS, || {
                Ask::read(&self.header, block.row(k), &self.gears)
            })
        };
        let asks: Vec<Result<Ask<'_>, String>> =
            (0..block.len()).into_par_iter().map(read).collect();
        let places = self.acceptances.prepare(&asks);
        parts(block.len())
            .into_par_iter()
            .map(|rows| {
                let (asks, places) = (&asks[rows.clone()], &places[rows.clone()]);
                let windows = self.windows(asks, places);
                let asked = asks.iter().zip(places).zip(windows);
                let mut outcomes = rows.zip(asked).map(|(k, ((ask, place), window))| Outcome {
                    row: block.row(k),
                    answer: spoken_by(COLUMNS, || match ask {
                        Ok(ask) => self.answer(ask, *place, window),
                        Err(wrong) => Err(wrong.clone()),
                    }),
                });
                part(&mut outcomes)
            })
            .collect()
    }

    /// The windows of some rows, solved together; none where nothing is accepted.
    fn windows(
        &self,
        asks: &[Result<Ask<'_>, String>],
        places: &[usize],
    ) -> Vec<Option<Result<AimWindow, NoWindow>>> {
        let accepted = asks.iter().zip(places).enumerate();
        let mut accepted: Vec<Accepted<'_>> = accepted
            .filter_map(|(row, (ask, place))| {
                let ask = ask.as_ref().ok()?;
                let Some(Ok(Ok(acceptance))) = self.acceptances.at(*place) else {
                    return None;
                };
                Some(Accepted {
                    row,
                    place: *place,
                    gear: ask.gear.shared(),
                    cued: Cued {
                        acceptance,
                        cue: ask.shot.cue,
                        stroke: &ask.shot.stroke,
                    },
                })
            })
            .collect();
        // One table at a time, and rows that share an acceptance beside each other.
        accepted.sort_unstable_by_key(|a| (Arc::as_ptr(a.gear), a.place));
        let mut windows = vec![None; asks.len()];
        for group in accepted.chunk_by(|a, b| Arc::ptr_eq(a.gear, b.gear)) {
            let cued: Vec<Cued<'_>> = group.iter().map(|a| a.cued).collect();
            for (accepted, window) in group.iter().zip(solve_all(group[0].gear, &cued)) {
                windows[accepted.row] = Some(window);
            }
        }
        windows
    }

    fn answer(
        &self,
        ask: &Ask<'_>,
        place: usize,
        window: Option<Result<AimWindow, NoWindow>>,
    ) -> Result<Box<ShotAnswer>, String> {
        let accepted = match self.acceptances.at(place) {
            Some(Ok(accepted)) => accepted,
            Some(Err(wrong)) => return Err(wrong.clone()),
            None => return Err("not prepared".to_owned()),
        };
        let plain = match (accepted, window) {
            (Err(no), _) => Err((*no).into()),
            (Ok(_), window) => window.unwrap_or(Err(NoWindow::NoDrop)),
        };
        let accepted = accepted.as_ref().ok();
        let forwards = accepted
            .zip(plain.as_ref().ok())
            .and_then(|(accepted, plain)| {
                beside_cushion(ask.gear.shared(), &ask.shot, accepted, plain)
            });
        let (acceptance, window) = match &forwards {
            Some(Solution { acceptance, window }) => (acceptance.as_ref(), window),
            None => (accepted, &plain),
        };
        let mut answer = ShotAnswer::brief(ask.gear.shared(), &ask.shot, acceptance, window);
        let cut = window
            .as_ref()
            .map_or(ask.shot.stroke.straight_side, |w| w.cut_side);
        let anybody = match cut {
            Side::Left => &self.players.on_left_cuts,
            Side::Right => &self.players.on_right_cuts,
        };
        if let Some(player) = ask.player.as_ref().or(anybody.as_ref()) {
            answer.player = Some(player.who.clone());
            answer.chance = match (acceptance, window) {
                (Some(acceptance), Ok(window)) => {
                    let aimed = Aimed {
                        acceptance: Some(acceptance),
                        ..Aimed::new(ask.gear.shared(), &ask.shot, window)
                    };
                    Some(aimed.chance(&player.error).chance)
                }
                _ => chance_without(window),
            };
        }
        Ok(Box::new(answer))
    }
}

/// A row with what its pocket takes.
struct Accepted<'a> {
    row: usize,
    /// Which acceptance it has.
    place: usize,
    gear: &'a Arc<Gear>,
    cued: Cued<'a>,
}

/// Rows that are answered one after the other.
const ROWS_IN_A_PART: usize = 256;

/// Rows up to `count` in parts.
fn parts(count: usize) -> Vec<Range<usize>> {
    let begin = (0..count).step_by(ROWS_IN_A_PART);
    begin
        .map(|from| from..count.min(from + ROWS_IN_A_PART))
        .collect()
}
