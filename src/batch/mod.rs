//! Many shots from a table: one answer per row, in order, with flat memory.
//!
//! Columns are named like the options of a shot (`to-pocket` or `to_pocket`), a row may name its
//! own gear and player, and columns of other names are carried through untouched. Rows that share
//! object ball, pocket, pace and gear share one acceptance solve.

mod ask;
mod cache;
mod gears;

pub use ask::{BatchError, Header};

use std::path::PathBuf;

use rayon::prelude::*;

use crate::answer::{ShotAnswer, chance_without};
use crate::field::{Face, spoken_by};
use crate::gear::Gear;
use crate::player::{Aimed, Player};
use crate::units::Side;
use crate::window::{NoWindow, Solution, solve_accepted};

/// Columns have plain names.
const COLUMNS: Face = Face::PLAIN;

use ask::Ask;
use cache::Acceptances;
use gears::Gears;

/// What became of one row.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The cells as they came.
    pub cells: Vec<String>,
    /// The answer, or what is wrong with the row.
    pub answer: Result<Box<ShotAnswer>, String>,
}

impl Outcome {
    /// `ok`, a typed answer such as `out-of-reach`, or `error: …`.
    #[must_use]
    pub fn status(&self) -> String {
        match &self.answer {
            Err(message) => format!("error: {message}"),
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
                name.unwrap_or("ok").to_owned()
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

    /// Answers some rows, in order, in parallel. Memory does not grow from call to call.
    pub fn solve(&mut self, rows: Vec<Vec<String>>) -> Vec<Outcome> {
        let asks: Vec<Result<Ask, String>> = rows
            .par_iter()
            .map(|cells| spoken_by(COLUMNS, || Ask::read(&self.header, cells, &self.gears)))
            .collect();
        self.acceptances
            .prepare(asks.iter().filter_map(|a| a.as_ref().ok()));
        rows.into_par_iter()
            .zip(asks)
            .map(|(cells, ask)| Outcome {
                cells,
                answer: ask.and_then(|ask| self.answer(&ask)),
            })
            .collect()
    }

    fn answer(&self, ask: &Ask) -> Result<Box<ShotAnswer>, String> {
        let accepted = self.acceptances.of(ask)?;
        let Solution { acceptance, window } = match &*accepted {
            Ok(acceptance) => solve_accepted(&ask.gear, &ask.shot, acceptance.clone()),
            Err(no) => Solution {
                acceptance: None,
                window: Err((*no).into()),
            },
        };
        let acceptance = acceptance.as_ref();
        let mut answer = ShotAnswer::brief(&ask.gear, &ask.shot, acceptance, &window);
        let cut = window
            .as_ref()
            .map_or(ask.shot.stroke.straight_side, |w| w.cut_side);
        let anybody = match cut {
            Side::Left => &self.players.on_left_cuts,
            Side::Right => &self.players.on_right_cuts,
        };
        if let Some(player) = ask.player.as_ref().or(anybody.as_ref()) {
            answer.player = Some(player.who.clone());
            answer.chance = match (acceptance, &window) {
                (Some(acceptance), Ok(window)) => {
                    let aimed = Aimed {
                        acceptance: Some(acceptance),
                        ..Aimed::new(&ask.gear, &ask.shot, window)
                    };
                    Some(aimed.chance(&player.error).chance)
                }
                _ => chance_without(&window),
            };
        }
        Ok(Box::new(answer))
    }
}
