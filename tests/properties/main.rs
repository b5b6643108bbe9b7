//! Properties that must hold for every gear and shot, and random directions against what a
//! pocket is said to accept.

mod accepting;
mod aiming;
mod cases;
mod hunt;
mod moving;
