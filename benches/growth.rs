//! Solves as many windows as asked for, for `benches/growth.sh` to time and weigh.

use std::time::Instant;

use thincut::gear::Gear;
use thincut::survey::{Grid, survey};
use thincut::window::ShotError;

/// Cuts of 0 to 80° and distances to the pocket of 0.3 to 1.5 m.
const CUTS: u32 = 100;
const TO_POCKETS: u32 = 10;

fn evenly(from: f64, to: f64, count: u32) -> Vec<f64> {
    let step = (to - from) / f64::from(count);
    (0..count).map(|k| from + step * f64::from(k)).collect()
}

/// Usage: growth POWER, for 10^POWER windows; `cargo bench` alone solves 10^5.
fn main() {
    let power = std::env::args().skip(1).find_map(|a| a.parse().ok());
    let windows = 10_u32.pow(power.unwrap_or(5));
    let gear = Gear::preset("pool-9ft").expect("embedded");
    let grid = Grid {
        cuts_rad: evenly(0.0, 80_f64.to_radians(), CUTS),
        to_pockets_m: evenly(0.3, 1.5, TO_POCKETS),
        aparts_m: evenly(0.3, 2.5, windows / CUTS / TO_POCKETS),
        ..Grid::default()
    };
    let start = Instant::now();
    let (mut rows, mut room_rad) = (0_u64, 0.0);
    survey(&gear, &grid, |row| -> Result<(), ShotError> {
        rows += 1;
        if let Ok(window) = &row.window {
            room_rad += window.clean.map_or(0.0, |c| c.total_rad());
        }
        Ok(())
    })
    .expect("a good grid");
    assert_eq!(rows, u64::from(windows));
    let mean_deg = room_rad.to_degrees() / f64::from(windows);
    println!(
        "{windows} windows in {:.3} s, {mean_deg:.4}° untouched in the mean",
        start.elapsed().as_secs_f64()
    );
}
