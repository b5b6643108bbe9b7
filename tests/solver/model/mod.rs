//! Published and exact values of the model, each with its source beside it.
//!
//! TP = technical proof by D. G. Alciatore, Colorado State University. "Exact" values follow from
//! the formula beside them and were worked out apart from this crate.

#![expect(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on fails the test"
)]

mod aim;
mod cloth;
mod gate;
mod hard;
mod players;
mod published;
mod said;
mod throw;

use thincut::gear::Gear;

const INCH_M: f64 = 0.0254;

/// Half a unit in the last of three printed decimals, and rounding, degrees.
const THREE_DECIMALS: f64 = 5.1e-4;
/// The same for four.
const FOUR_DECIMALS: f64 = 5.1e-5;
/// Closed forms in doubles over a handful of operations.
const EXACT: f64 = 1e-12;

fn pool() -> Gear {
    Gear::preset("pool-9ft").unwrap()
}

#[track_caller]
fn near(got: f64, want: f64, tolerance: f64, what: &str) {
    assert!((got - want).abs() <= tolerance, "{what}: {got}, not {want}");
}
