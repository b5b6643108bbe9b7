//! Balls on a table: layouts, what to play, ladders, marks, lessons.

mod advice;
mod choose;
mod games;
mod ladder;
mod layout;
#[path = "../program/mod.rs"]
mod program;
mod trade;
