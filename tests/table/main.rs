//! Balls on a table: layouts, what to play, ladders, marks, lessons.

mod advice;
mod choose;
mod games;
mod ladder;
mod layout;
mod trade;
