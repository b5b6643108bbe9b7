//! What a cue ball cannot bring to the contact, and why, each by its own name.

use kurbo::{Point, Vec2};
use thincut::gear::Gear;
use thincut::stroke::{CannotArrive, Hold, Stick, Wanted, stick_for, stick_to_object};

/// Speed (m/s), roll and distance (m), on the pool table; the stick raised by 3°, pivot 300 mm.
fn asked(speed_m_s: f64, roll: f64, travel_m: f64) -> CannotArrive {
    let gear = Gear::preset("pool-9ft").expect("a built-in table");
    let wanted = Wanted {
        speed_m_s,
        roll,
        side_right: 0.0,
    };
    let hold = Hold {
        elevation_rad: 3.0_f64.to_radians(),
        pivot_m: 0.3,
    };
    stick_for(&gear, &wanted, travel_m, hold).expect_err("it cannot")
}

#[test]
fn each_hindrance_has_its_name() {
    // A stun from far: the tip would have to strike lower than it holds.
    let CannotArrive::Miscue(needed) = asked(1.2, 0.0, 2.4) else {
        panic!("{}", asked(1.2, 0.0, 2.4));
    };
    assert!((-1.0..-0.5).contains(&needed.height_r), "{needed:?}");
    // Backspin that is gone before it gets there, wherever the tip strikes.
    assert_eq!(asked(0.3, -3.0, 6.0), CannotArrive::Died("backspin"));
    // Topspin that would have to start a ball from less than rest.
    assert_eq!(
        asked(0.5, 1.25, 1.0),
        CannotArrive::TooSlow { speed_m_s: 0.5 }
    );
}

#[test]
fn no_stick_sends_the_object_ball_back() {
    let gear = Gear::preset("pool-9ft").expect("a built-in table");
    let (cue, object) = (Point::new(0.4, 0.3), Point::new(1.3, 0.7));
    let behind = Vec2::atan2(object - cue) + 2.0;
    assert_eq!(
        stick_to_object(&gear, &Stick::centre(2.0), cue, object, behind).map(|found| found.0),
        Err(CannotArrive::OutOfReach)
    );
}
