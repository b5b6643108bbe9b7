//! From tallies at known shots to a player: how wide the aim scatters, and the chance at another shot.
//!
//! `cargo run --example fit_a_player`

use std::error::Error;

use thincut::gear::Gear;
use thincut::player::aim_fit::fit_aim;
use thincut::player::{FitOutcome, Level, Observation, chance_of_solution, makes};
use thincut::request::ShotRequest;
use thincut::units::Side;
use thincut::window::{Shot, Solution, solve};

/// Cut, distance between the balls, distance to the pocket; made of twenty tries.
const EVENING: [(&str, &str, &str, u64); 4] = [
    ("0deg", "4ft", "4ft", 11),
    ("half-ball", "2ft", "2ft", 13),
    ("half-ball", "4ft", "3ft", 6),
    ("3/4-ball", "1ft", "3ft", 16),
];
const TRIES: u64 = 20;

fn solved(
    gear: &Gear,
    cut: &str,
    apart: &str,
    to_pocket: &str,
) -> Result<(Shot, Solution), Box<dyn Error>> {
    let mut request = ShotRequest::default();
    request.places.cut = Some(cut.into());
    request.places.apart = Some(apart.into());
    request.places.to_pocket = Some(to_pocket.into());
    let shot = request.shot(gear)?;
    Ok((shot, solve(gear, &shot)?))
}

/// The chance at a thin cut, for the player those tallies show.
pub(crate) fn answer() -> Result<f64, Box<dyn Error>> {
    let gear = Gear::preset("pool-9ft")?;
    let mut tries = Vec::new();
    for (cut, apart, to_pocket, made) in EVENING {
        let (_, solution) = solved(&gear, cut, apart, to_pocket)?;
        let solved = solution.solved().map_err(|no| no.name())?;
        let window = solved.window;
        tries.push(Observation {
            intervals_rad: makes(solved),
            cue_travel_m: window.aim.travel_m,
            cue_speed_m_s: window.cue_speed_m_s,
            cut: Side::Left,
            cut_told: false,
            tries: TRIES,
            made,
            sides: None, // where the misses went was not written down
        });
    }
    // A club player's shares of arm and picture, scaled to fit.
    match fit_aim(&tries, Level::Club.aim_error())? {
        FitOutcome::Fitted(fit) => {
            let (shot, thin) = solved(&gear, "1/4-ball", "3ft", "2ft")?;
            Ok(chance_of_solution(
                &gear,
                &shot,
                &thin,
                &fit.player(Side::Left),
            ))
        }
        other => Err(format!("{other:?}").into()),
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    println!("{:.0} in 100", 100.0 * answer()?);
    Ok(())
}
