//! Paper, measured: every sheet is drawn by poppler (pdftoppm, pdftotext), not by our own code.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "dots of a page"
)]

mod command;
mod lessons;
mod measured;
mod page;
mod pdf;
mod pieces;
mod refused;
mod rose;
mod samples;
mod true_size;
mod words;
