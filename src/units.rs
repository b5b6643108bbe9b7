//! Quantities with units: what "57.15mm", "4' 6\"", "half-ball" and "6,2" mean, in SI.
//!
//! Each quantity is a newtype over a private `f64` in SI. Its [`Display`](std::fmt::Display) is the
//! shortest text that [`FromStr`](std::str::FromStr) turns back into the very same number, so files
//! written from values lose nothing. Sign and size are not checked here (a length may be negative,
//! as a difference); whoever takes a quantity in checks its range.
//!
//! Conversion factors are exact by definition: inch 25.4 mm, foot 12 in, mile 1609.344 m and pound
//! 0.45359237 kg (published: International Yard and Pound Agreement, 1959); ounce = pound/16.

mod cut;
mod decimal;
mod parse;
mod position;
mod quantity;
mod side;
pub mod speak;
mod system;

pub use cut::parse_cut;
pub use decimal::decimals;
pub use parse::parse_number;
pub use position::{Axis, Coordinate, Position, Rail, Spot};
pub use quantity::{Angle, InverseSpeed, Length, Mass, Speed, SpinDecay, Time, hint_units};
pub use side::{Hand, Side};
pub use system::UnitSystem;
