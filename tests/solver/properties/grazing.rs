//! Near a grazing hit the window closes steadily: no gaps as the cue ball moves.

use kurbo::Point;
use thincut::gear::Gear;
use thincut::pocket::PocketName;
use thincut::window::{BedShot, Shot, Stroke, solve};

/// Room off the jaws with the cue ball at this place, 0 without a window.
fn room_rad(gear: &Gear, y_diamonds: f64) -> f64 {
    let (x, y) = (gear.bed.length_m / 8.0, gear.bed.width_m / 4.0);
    let shot = BedShot {
        cue: Point::new(5.42 * x, y_diamonds * y),
        object: Point::new(4.4 * x, 3.0 * y),
        pocket: PocketName::SideLeft,
    };
    let shot = Shot::on_bed(gear, &shot, Stroke::default()).expect("both balls lie on the table");
    let window = solve(gear, &shot)
        .expect("the object ball lies free")
        .window;
    window
        .ok()
        .and_then(|w| w.direct)
        .map_or(0.0, |w| w.total_rad())
}

/// The clean part leaves reach at 3.28 diamonds, the whole of it near 3.34; in between the room
/// must fall from place to place. A gap would show as a rise.
#[test]
fn the_room_falls_steadily_to_nothing() {
    let gear = Gear::preset("pool-9ft").expect("embedded");
    let rooms: Vec<f64> = (0..=75)
        .map(|k| room_rad(&gear, 3.20 + 0.002 * f64::from(k)))
        .collect();
    assert!(rooms[0] > 0.0 && rooms[75] < 1e-6);
    for (k, pair) in rooms.windows(2).enumerate() {
        assert!(
            pair[1] <= pair[0],
            "place {k}: {} then {}",
            pair[0],
            pair[1]
        );
    }
}
