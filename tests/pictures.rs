//! Pictures: colours, text, charts of plain numbers, the table from above, files.

#[path = "common/svg.rs"]
mod svg;

#[path = "pictures/colours.rs"]
mod colours;
#[path = "pictures/command.rs"]
mod command;
#[path = "pictures/eight.rs"]
mod eight;
#[path = "pictures/files.rs"]
mod files;
#[path = "pictures/many.rs"]
mod many;
#[path = "pictures/paper.rs"]
mod paper;
#[path = "pictures/parts.rs"]
mod parts;
#[path = "pictures/plan.rs"]
mod plan;
#[path = "pictures/samples.rs"]
mod samples;
#[path = "pictures/shots.rs"]
mod shots;
