//! Published numbers of cue sports, solved anew: source says, we say, off by.
//!
//! `cargo run --example yardsticks` prints the whole table, and our cushion beside another law;
//! `cargo run --example yardsticks short` the table in README.

mod rows;
mod solved;

use std::error::Error;

fn main() -> Result<(), Box<dyn Error>> {
    if std::env::args().nth(1).as_deref() == Some("short") {
        print!("{}", rows::short()?);
        return Ok(());
    }
    println!("{}", rows::table()?);
    print!("{}", solved::cushion::beside());
    Ok(())
}
