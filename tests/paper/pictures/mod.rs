//! Pictures: colours, text, charts of plain numbers, the table from above, files.

mod svg;

mod agree;
mod colours;
mod command;
mod eight;
mod files;
mod many;
mod paper;
mod parts;
mod plan;
mod poster;
mod samples;
mod shots;
