//! One shot on a table of one's own: how much room it has, and what a club player makes of it.
//!
//! `cargo run --example one_shot`

use std::error::Error;

use thincut::gear::Gear;
use thincut::player::{Level, chance_of_solution, in_ten};
use thincut::request::ShotRequest;
use thincut::window::solve;

/// The hall's table: everything as in the preset but for tighter corners.
const TABLE: &str = r#"
name = "hall"
base = "pool-9ft"
[pocket.corner]
mouth = "4.25in"
"#;

pub(crate) fn answer() -> Result<String, Box<dyn Error>> {
    let gear = Gear::from_toml_str(TABLE)?;
    let mut request = ShotRequest::default();
    // Diamonds from the head rail and from the right rail, as on the command line.
    request.places.cue = Some("3,1".into());
    request.places.object = Some("5,2.4".into());
    request.places.pocket = Some("foot-left".into());
    let shot = request.shot(&gear)?;
    let solution = solve(&gear, &shot)?;
    let chance = chance_of_solution(&gear, &shot, &solution, &Level::Club.aim_error());
    let window = solution.window.map_err(|no| no.name())?;
    let clean = window.clean.ok_or("never untouched")?;
    // Angles are radians inside; an edge's distance at the ghost ball is what a player sees.
    Ok(format!(
        "untouched {:.2} mm too full to {:.2} mm too thin ({:.3}°), made {}",
        window.ghost_offset_m(clean.thick_rad) * 1e3,
        window.ghost_offset_m(clean.thin_rad) * 1e3,
        clean.total_rad().to_degrees(),
        in_ten(chance)
    ))
}

fn main() -> Result<(), Box<dyn Error>> {
    println!("{}", answer()?);
    Ok(())
}
