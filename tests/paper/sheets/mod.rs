//! Paper, measured: every sheet is drawn by poppler (pdftoppm, pdftotext), not by our own code.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "dots of a page"
)]

mod command;
mod ends;
mod labels;
mod lessons;
mod margin_strip;
mod measured;
mod own_table;
mod page;
mod parts;
mod pdf;
mod pieces;
mod refused;
mod samples;
mod scale;
mod study;
mod trades;
mod true_size;
mod why_thin;
mod words;
