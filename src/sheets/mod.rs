//! Printables at true size.

pub mod page;
