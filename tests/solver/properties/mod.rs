//! Properties that must hold for every gear and shot, and random directions against what a
//! pocket is said to accept.

#![expect(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on fails the test"
)]

mod accepting;
mod aiming;
mod cases;
mod grazing;
mod hunt;
mod moving;
