//! Every target of speed in one run: windows, acceptances, rows, maps, layouts, ladders, the start of the
//! program.
//!
//! Run with `cargo bench --bench targets`, or some of it by name: `cargo bench --bench targets -- map`.

#[path = "batch.rs"]
#[expect(dead_code, reason = "a bench of its own too")]
mod batch;
#[path = "ladder.rs"]
#[expect(dead_code, reason = "a bench of its own too")]
mod ladder;
#[path = "layout.rs"]
#[expect(dead_code, reason = "a bench of its own too")]
mod layout;
#[path = "core.rs"]
#[expect(dead_code, reason = "a bench of its own too")]
mod solver;

fn main() {
    divan::main();
}
