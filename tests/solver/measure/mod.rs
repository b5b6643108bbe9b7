//! A table measured: what readings give is right within its stated intervals, what cannot be is
//! refused, and the file works.

#![expect(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on fails the test"
)]

mod command;
mod jaws;
mod laws;
mod pivot;
mod rails;
mod recovered;
mod refused;
mod rounded;

use thincut::measure::{Quantity, Reading};

use crate::program::{output, thincut};

fn read(quantity: Quantity, parts: &[f64]) -> (Quantity, Reading) {
    let text = format!("{parts:?}");
    let parts = parts.to_vec();
    (quantity, Reading { text, parts })
}
