//! The program: its commands, tables of shots, its files of earlier editions, what breaks no reader.

mod batch;
mod compare;
mod core;
mod editions;
mod errors;
mod examples;
mod gear;
mod hammer;
