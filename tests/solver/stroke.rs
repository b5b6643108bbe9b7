//! What follows exactly from the model, and both ways round.

use kurbo::{Point, Vec2};

use thincut::gear::Gear;
use thincut::stroke::{
    CannotArrive, Hold, Stick, StickError, Wanted, arrives, reach, roam, stick_for,
    stick_to_object, tip_speed_m_s,
};

/// Closed forms in doubles.
const TIGHT: f64 = 1e-12;

fn gear() -> Gear {
    Gear::preset("pool-9ft").unwrap()
}

fn level(across_r: f64, height_r: f64) -> Stick {
    let radius_m = gear().cue_radius_m();
    Stick {
        across_m: across_r * radius_m,
        height_m: height_r * radius_m,
        elevation_rad: 0.0,
        ..Stick::centre(2.0)
    }
}

#[test]
fn struck_two_fifths_of_the_radius_high_the_ball_rolls_at_once() {
    let state = level(0.0, 0.4).leaves(gear().cue_radius_m(), Point::ORIGIN, 0.3);
    assert!((state.v - state.q).hypot() < TIGHT);
    let run = roam(&gear(), &level(0.0, 0.4), Point::ORIGIN, 0.0).unwrap();
    assert_eq!(run.legs.len(), 1);
}

/// The speed off the tip follows from the speed that is wanted, sliding or rolling by then.
#[test]
fn the_speed_off_the_tip_brings_what_was_wanted() {
    let slick = gear().with_overrides(&["cloth.sliding_friction=0".to_owned()]);
    let smooth = gear().with_overrides(&["cloth.rolling_friction=0.001".to_owned()]);
    let (mut slides, mut rolls) = (0, 0);
    for gear in [gear(), slick.unwrap(), smooth.unwrap()] {
        for height_r in [-0.5, -0.3, 0.0, 0.1, 0.4, 0.45, 0.5] {
            for elevation_rad in [0.0, 0.05, 0.4] {
                for travel_m in [0.05, 0.4, 1.0, 2.5] {
                    for speed_m_s in [0.1, 0.7, 1.6, 4.0] {
                        let stick = Stick {
                            elevation_rad,
                            ..level(0.0, height_r)
                        };
                        let start = tip_speed_m_s(&gear, &stick, speed_m_s, travel_m).unwrap();
                        let struck = Stick {
                            speed_m_s: start,
                            ..stick
                        };
                        let Some(mark) = arrives(&gear, &struck, travel_m) else {
                            panic!("{height_r} {elevation_rad} {travel_m} {speed_m_s}: {start}");
                        };
                        let off = mark.arrival.speed_m_s / speed_m_s - 1.0;
                        assert!(
                            off.abs() < 1e-9,
                            "{height_r} {travel_m} {speed_m_s}: {off:e}"
                        );
                        if (mark.arrival.roll - 1.0).abs() < TIGHT {
                            rolls += 1;
                        } else {
                            slides += 1;
                        }
                    }
                }
            }
        }
    }
    assert!(slides > 100 && rolls > 100, "{slides} {rolls}");
    assert_eq!(tip_speed_m_s(&gear(), &level(0.1, 0.0), 1.0, 1.0), None);
}

#[test]
fn a_level_stick_never_swerves() {
    let gear = gear();
    for across_r in [-0.45, -0.2, 0.1, 0.4] {
        for height_r in [-0.2, 0.0, 0.15] {
            let stick = level(across_r, height_r);
            let squirt = stick.squirt_rad(gear.cue_radius_m());
            let run = roam(&gear, &stick, Point::ORIGIN, 0.0).unwrap();
            for leg in &run.legs {
                let way = leg.position(leg.duration_s);
                assert!(
                    (way.y.atan2(way.x) - squirt).abs() < 1e-9,
                    "{across_r} {height_r}"
                );
            }
        }
    }
}

/// `w = 2.5 (b_x/R)(1 − R/L_p)` and squirt `b_x/L_p` for small offsets (Shepard 2001: a cue turned
/// about its pivot sends the ball where it pointed).
#[test]
fn small_offsets_squirt_by_the_pivot() {
    let radius_m = gear().cue_radius_m();
    let stick = level(1e-4, 0.0);
    let state = stick.leaves(radius_m, Point::ORIGIN, 0.0);
    let w = radius_m * state.spin_z_rad_s / state.v.hypot();
    let closed = 2.5 * 1e-4 * (1.0 - radius_m / stick.pivot_m);
    assert!((w / closed - 1.0).abs() < 1e-6);
    let squirt = stick.squirt_rad(radius_m);
    assert!((squirt * stick.pivot_m / stick.across_m - 1.0).abs() < 1e-6);
}

/// R. Shepard, "Everything you always wanted to know about cue ball squirt" (2001): squirt does not
/// depend on the speed of the stroke.
#[test]
fn squirt_is_the_same_at_every_speed() {
    let radius_m = gear().cue_radius_m();
    let direction = |speed_m_s: f64| {
        let stick = Stick {
            speed_m_s,
            ..level(0.35, 0.1)
        };
        stick.leaves(radius_m, Point::ORIGIN, 0.0).v.atan2()
    };
    for speed_m_s in [0.5, 1.0, 4.0, 9.0] {
        assert!((direction(speed_m_s) - direction(2.0)).abs() < TIGHT);
    }
    assert!(direction(2.0).to_degrees() > 1.0);
}

/// Struck level with the middle: the final direction has `tan = tan q/cos ε − (b_e/(R cos q)) tan ε`.
#[test]
fn where_an_elevated_stick_sends_the_ball_in_the_end() {
    let gear = gear();
    let radius_m = gear.cue_radius_m();
    for (across_r, elevation_deg) in [(0.4, 3.0_f64), (-0.25, 8.0), (0.1, 20.0)] {
        let stick = Stick {
            elevation_rad: elevation_deg.to_radians(),
            ..level(across_r, 0.0)
        };
        let q = stick.squirt_rad(radius_m);
        let s = (1.0 - across_r * across_r).sqrt() * radius_m;
        let b_e = stick.across_m * q.cos() - s * q.sin();
        let wanted = q.tan() / stick.elevation_rad.cos()
            - b_e / (radius_m * q.cos()) * stick.elevation_rad.tan();
        let run = roam(&gear, &stick, Point::ORIGIN, 0.0).unwrap();
        let last = run.legs.last().unwrap().start.v;
        assert!(
            (last.y / last.x - wanted).abs() < 1e-9,
            "{across_r} {elevation_deg}"
        );
    }
}

#[test]
fn the_tip_slips_beyond_half_the_radius() {
    let radius_m = gear().cue_radius_m();
    assert!(level(0.5, 0.0).check(radius_m).is_ok());
    assert!(matches!(
        level(0.4, 0.31).check(radius_m),
        Err(StickError::Miscue { .. })
    ));
    assert!(level(0.3, -0.39).check(radius_m).is_ok());
}

/// Over a foot a ball struck in the middle at about 1.6 m/s arrives half sliding, over 4 ft rolling.
#[test]
fn a_centre_ball_stroke_slides_at_first() {
    let gear = gear();
    let rolls = |travel_m: f64, v0: f64| {
        let object = Point::new(travel_m + gear.contact_distance_m(), 0.0);
        let stick = Stick::centre(v0);
        reach(&gear, &stick, Point::ORIGIN, object, 0.0)
            .unwrap()
            .arrival
    };
    let near = rolls(0.3048, 1.94);
    assert!(
        (near.speed_m_s - 1.6).abs() < 0.05 && (near.roll - 0.45).abs() < 0.1,
        "{near:?}"
    );
    assert!((rolls(1.2192, 2.2).roll - 1.0).abs() < 1e-9);
}

/// What a stick brings to the contact, asked for, gives a stick that brings it.
#[test]
fn forwards_and_backwards_agree() {
    let gear = gear();
    let mut arrived = 0;
    for travel_m in [0.15, 0.5, 1.2, 2.0] {
        for speed_m_s in [0.8, 1.6, 3.0] {
            for roll in [-0.2, 0.0, 0.5, 1.0] {
                for side_right in [-0.6, 0.0, 0.4] {
                    let wanted = Wanted {
                        speed_m_s,
                        roll,
                        side_right,
                    };
                    let hold = Hold {
                        elevation_rad: 3.0_f64.to_radians(),
                        pivot_m: 0.3,
                    };
                    let Ok(stick) = stick_for(&gear, &wanted, travel_m, hold) else {
                        continue;
                    };
                    let object = Point::new(travel_m + gear.contact_distance_m(), 0.0);
                    // Full on the object ball.
                    let (_, struck) =
                        stick_to_object(&gear, &stick, Point::ORIGIN, object, 0.0).unwrap();
                    let got = struck.arrival;
                    // Throw turns the aim off the middle a little where there is side.
                    let near = |a: f64, b: f64| (a - b).abs() < 0.01;
                    assert!(near(got.speed_m_s, speed_m_s), "{wanted:?} {got:?}");
                    assert!(near(got.roll, roll), "{wanted:?} {got:?}");
                    assert!(near(got.side_right, side_right), "{wanted:?} {got:?}");
                    arrived += 1;
                }
            }
        }
    }
    assert!(arrived > 70, "{arrived}");
}

/// A stun from far needs more backspin than the tip can give.
#[test]
fn what_cannot_arrive_says_what_it_would_take() {
    let gear = gear();
    let wanted = Wanted {
        speed_m_s: 1.2,
        roll: 0.0,
        side_right: 0.0,
    };
    let hold = Hold {
        elevation_rad: 3.0_f64.to_radians(),
        pivot_m: 0.3,
    };
    match stick_for(&gear, &wanted, 2.4, hold) {
        Err(CannotArrive::Miscue(needed)) => {
            assert!((-1.0..-0.5).contains(&needed.height_r), "{needed:?}");
        }
        other => panic!("{other:?}"),
    }
    let much = Wanted {
        side_right: 2.0,
        roll: 1.0,
        ..wanted
    };
    assert!(stick_for(&gear, &much, 2.0, hold).is_err());
}

#[test]
fn the_object_ball_goes_where_it_was_asked_to() {
    let gear = gear();
    let (cue, object) = (Point::new(0.4, 0.3), Point::new(1.3, 0.7));
    for (across_r, off_deg) in [(0.0, 20.0_f64), (0.3, -35.0), (-0.4, 50.0), (0.2, 0.0)] {
        let stick = Stick {
            elevation_rad: 3.0_f64.to_radians(),
            ..level(across_r, 0.0)
        };
        let wanted = (object - cue).atan2() + off_deg.to_radians();
        let (_, struck) = stick_to_object(&gear, &stick, cue, object, wanted).unwrap();
        let off = Vec2::from_angle(struck.object_rad - wanted).atan2();
        assert!(off.abs() < 1e-9, "{across_r} {off_deg}");
    }
    let behind = (object - cue).atan2() + 2.0;
    assert_eq!(
        stick_to_object(&gear, &level(0.0, 0.0), cue, object, behind).map(|f| f.0),
        Err(CannotArrive::OutOfReach)
    );
}

#[test]
fn places_of_the_tip_are_read_as_people_say_them() {
    let pool = Gear::preset("pool-9ft").unwrap();
    let snooker = Gear::preset("snooker-12ft").unwrap();
    for (text, across_mm, height_mm) in [
        ("centre", 0.0, 0.0),
        ("Center", 0.0, 0.0),
        ("a tip high", 0.0, 13.0),
        ("half a tip right", 6.5, 0.0),
        ("1/2 tip low and 6mm left", -6.0, -6.5),
        ("1 tip low, a quarter tip right", 3.25, -13.0),
        ("6 mm right", 6.0, 0.0),
    ] {
        let tip =
            thincut::request::tip_place(&pool, text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!((1e3 * tip.across_m - across_mm).abs() < 1e-9, "{text}");
        assert!((1e3 * tip.height_m - height_mm).abs() < 1e-9, "{text}");
    }
    let tip = thincut::request::tip_place(&snooker, "a tip low").unwrap();
    assert!((1e3 * tip.height_m + 9.5).abs() < 1e-9);
    for bad in [
        "",
        "high",
        "a tip",
        "two high",
        "a tip high and a tip low",
        "-6mm left",
        "nan tips left",
    ] {
        let fault = thincut::request::tip_place(&pool, bad)
            .unwrap_err()
            .to_string();
        assert!(fault.contains("half a tip right"), "{bad}: {fault}");
    }
}
