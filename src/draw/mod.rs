//! Drawing: a canvas that writes SVG, text measured with the bundled font, axes and charts of plain
//! numbers, and from an SVG to PNG and PDF. It knows no shot, no gear and no player.
//!
//! [`colour`], [`text`], [`labels`] and [`theme`] say how things look, [`canvas`] and [`plot`] draw
//! shapes and axes, [`lines`], [`heat`], [`bars`], [`dots`] and [`calibration`] are charts of plain
//! numbers; [`render`], [`mod@png`], [`pdf`] and [`tags`] turn an SVG into files.

mod backend;
pub mod bars;
pub mod calibration;
pub mod canvas;
pub mod colour;
pub mod contour;
pub mod dots;
mod fault;
pub mod hatch;
pub mod heat;
pub mod labels;
mod limits;
pub mod lines;
pub mod paint;
pub mod pdf;
pub(crate) mod perspective;
mod picture;
pub mod plot;
pub mod png;
pub mod render;
mod rows;
pub mod tags;
pub mod text;
pub mod theme;
mod tree;
pub mod wording;
mod xml;

pub use fault::{DrawError, RenderError};
pub use limits::{MAX_SIDE, MIN_HEIGHT, MIN_WIDTH};
pub use picture::{Paper, Picture, Size};
pub use png::png;
