//! The solver: units, equipment, motion, pockets, windows, ways of aiming, tables measured.

mod aims;
mod anchors;
mod arriving;
mod course;
mod directions;
mod edges;
mod gear;
mod lane;
mod measure;
mod model;
mod near;
#[path = "../program/mod.rs"]
mod program;
mod properties;
mod reference;
mod roots;
mod side_by_side;
mod stroke;
mod tracer;
mod units;
