//! Balls on a table: layouts, what to play, ladders, marks, lessons.

mod choose;
mod ladder;
mod layout;
