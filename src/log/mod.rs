//! The practice log: who tried which shot, how often it went, and how it was missed.
//!
//! One SQLite file. Each entry (a row typed in, a tally, an imported file, a student) is one
//! transaction, written through to the disk before it is reported, and can be undone whole.
//! Several programs may write at once. A row keeps the shot as it was entered *and* the windows it
//! had, so that what a log says changes with the solver once, and says so.
//!
//! | question | module |
//! |---|---|
//! | where is it, is it ours, is it whole? | [`open`] |
//! | from an older schema to the newest | `migrate` |
//! | what is in a row? | [`attempt`], [`windows`], [`student`], [`when`] |
//! | what room did a shot leave, and what does a later solver say? | [`solver`], [`again`] |
//! | is it sound, and what if not? | [`check`], [`backup`], [`restore()`], [`mod@salvage`] |
//! | recording, reading, taking back and putting back | [`store`], [`undo`] |
//! | all of a student gone for good | [`mod@forget`] |
//! | CSV in and out | [`transfer`] |
//! | what practice says, what to try | [`practice`], [`mod@skill`], [`mod@known`], [`diagnosed`], [`since`], [`tell_me_more`] |
//! | an invented evening to learn with | [`demo`] |
//! | codes on paper, tallies from the table | [`sheet`], [`code`], [`tally`], [`jotted`], [`tap`] |
//!
//! Nothing personal is kept but a label, a hand and a reach. The library never asks the clock:
//! every date comes from the caller.
//!
//! References: SQLite, Write-Ahead Logging and Database File Format (sqlite.org); RFC 3339 (dates);
//! RFC 4180 (CSV); ISO 2108:1992 (the check character's scheme); J.-P. Aumasson and
//! D. J. Bernstein, "SipHash: a fast short-input PRF", INDOCRYPT 2012 (checksums).

pub mod again;
pub mod attempt;
pub mod backup;
mod cells;
pub mod check;
pub mod climb;
pub mod code;
pub mod demo;
pub mod diagnosed;
mod disk;
mod entry;
pub mod error;
pub mod forget;
mod handle;
pub mod jotted;
pub mod known;
mod lines;
mod migrate;
pub mod open;
mod pages;
pub mod practice;
mod restore;
mod rows;
pub mod salvage;
pub mod sheet;
pub mod shelf;
pub mod since;
pub mod skill;
pub mod solver;
pub mod store;
pub mod student;
pub mod tally;
pub mod tap;
pub mod tell_me_more;
mod texts;
pub mod transfer;
pub mod undo;
pub mod when;
pub mod windows;
mod writer;

pub use again::{FitMoved, SolvedAgain};
pub use attempt::{Attempt, MissSides, ShotEntered};
pub use backup::{backups, replaced};
pub use check::Health;
pub use climb::{AtRung, Score, at_rungs};
pub use diagnosed::{diagnosis_of, period_of, tries_of};
pub use entry::{EntryKind, NewEntry, Recorded};
pub use error::{LineFault, LogError};
pub use forget::{Forgetting, forget};
pub use handle::Log;
pub use jotted::{Jotted, Unplaced, place, read_jotted, read_page};
pub use known::{Known, Unknown, as_player, known};
pub use lines::Tables;
pub use practice::{Periods, Practice, ShotTried, Tried};
pub use restore::{Restored, restore};
pub use salvage::{Salvaged, salvage};
pub use sheet::{Kept, PassMark, Rung, Sheet, SheetKind};
pub use shelf::{NewShot, ShelfChange, ShelfShot};
pub use since::{Since, SinceError};
pub use skill::{SkillWishes, skill};
pub use solver::{SolveError, Solved, Solver, solve_beside, solve_entered, with_pace};
pub use store::Filter;
pub use student::{Student, read_hand};
pub use tally::{TallyError, TallyRow, read_tally};
pub use tap::{Outcome, Tap, Tapped};
pub use transfer::{CsvRows, Imported, Later};
pub use undo::{SHOWN_ROWS, Undoing, Undone};
pub use when::{When, WhenError};
pub use windows::{Allowed, Room, Windows};
