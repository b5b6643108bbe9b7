//! The solver: units, equipment, motion, pockets, windows, ways of aiming, tables measured.

mod aims;
mod arriving;
mod gear;
mod measure;
mod model;
mod properties;
mod reference;
mod side_by_side;
mod tracer;
mod units;
