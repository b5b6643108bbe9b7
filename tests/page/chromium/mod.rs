//! The page in a real Chromium: what a hand, a finger and the keys do, and that the number on top is
//! the library's for that very place. Needs chromedriver, chromium and `tests/page/node_modules`;
//! `bash tests/run.sh` installs them.

#![allow(
    clippy::unwrap_used,
    clippy::too_many_lines,
    reason = "a test stops where something is missing, and lists its cases"
)]

mod access;
mod answers;
mod class;
mod controls;
mod editions;
mod games;
mod hands;
mod keeping;
mod lesson;
mod looks;
mod photos;
mod shared;
mod table;
pub(crate) mod tally;
mod trades;
mod views;
mod workbench;

use crate::browser;

pub(crate) const LAPTOP: (u32, u32) = (1366, 768);
const PHONE: (u32, u32) = (360, 800);
pub(crate) const START: &str = "?cue=3,2.3&object=6,2.6&pocket=foot-left&level=club";
