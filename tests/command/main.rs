//! The program: its commands, tables of shots, its files of earlier editions, what breaks no reader.

mod batch;
mod columns;
mod compare;
mod core;
mod editions;
mod errors;
mod examples;
mod field;
mod gear;
mod hammer;
mod help;
#[path = "../program/mod.rs"]
mod program;
mod renamed;
mod rows;
mod shown;
#[path = "../trades/mod.rs"]
mod trades;
mod words;
