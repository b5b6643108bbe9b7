//! The other way round: how to hold the stick so that the ball arrives as wanted.

use kurbo::Point;
use thiserror::Error;

use super::arrival::{Struck, reach};
use super::stick::{MISCUE_SHARE, Stick};
use crate::gear::{GRAVITY_M_S2, Gear};
use crate::motion::start_speed_for_pace_m_s;

/// What the cue ball shall bring to the contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Speed, m/s.
    pub speed_m_s: f64,
    /// `R·ω/v` about the axis across the way; 1 is rolling.
    pub roll: f64,
    /// `R·ω_z/v`, right positive.
    pub side_right: f64,
}

/// How the stick is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// Rise of its butt, rad.
    pub elevation_rad: f64,
    /// Pivot length from the ball's middle, m.
    pub pivot_m: f64,
}

/// Where the tip would have to strike, in ball radii.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Needed {
    /// Right of the middle.
    pub across_r: f64,
    /// Above the middle.
    pub height_r: f64,
    /// The radius these are shares of, m.
    pub radius_m: f64,
}

/// No place of the tip brings what is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CannotArrive {
    /// The tip would slip off where it had to strike.
    #[error("{}", tip_needed(.0))]
    Miscue(Needed),
    /// No place on the ball does, slip or no slip: what is wanted has died on the way.
    #[error("no place of the tip brings that much {0} over this distance at this speed")]
    Died(&'static str),
    /// A ball pushed forward by its spin would have to start from less than rest.
    #[error("over this distance topspin alone would bring more than {speed_m_s:.2} m/s")]
    TooSlow {
        /// The speed asked for at the contact.
        speed_m_s: f64,
    },
    /// The stick cannot be pointed so that the object ball goes that way.
    #[error("no direction of the stick sends the object ball that way")]
    OutOfReach,
}

/// "it needs the tip 20 mm low and 6 mm right, and it slips off beyond 14 mm".
fn tip_needed(needed: &Needed) -> String {
    let part = |share: f64, plus: &str, minus: &str| {
        (share.abs() >= 0.005).then(|| {
            let word = if share > 0.0 { plus } else { minus };
            format!("{:.0} mm {word}", 1e3 * needed.radius_m * share.abs())
        })
    };
    let parts: Vec<String> = [
        part(needed.height_r, "high", "low"),
        part(needed.across_r, "right", "left"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let softer = if needed.height_r < 0.0 {
        "; struck harder it needs less"
    } else {
        ""
    };
    format!(
        "it needs the tip {}, and it slips off beyond {:.0} mm{softer}",
        parts.join(" and "),
        1e3 * MISCUE_SHARE * needed.radius_m
    )
}

/// Corrections of the closed form; each shrinks what elevation and squirt leave tenfold.
const ROUNDS: u32 = 40;
/// Agreement of speed (share), roll and side.
const AGREED: f64 = 1e-9;
/// Halvings for where the tip strikes.
const HALVINGS: u32 = 60;
/// The tip on the very edge of the ball, in radii.
const EDGE_R: f64 = 0.999;

/// How a stick with the given elevation and pivot must strike so that the cue ball, after `travel_m`
/// of straight way, has the speed, roll and side wanted.
///
/// A rolling arrival takes the middle of the ball where that rolls by then, else the lowest place
/// above it that does. Elevation bends the path by a degree or so and squirt turns it; both are in
/// the forward stroke that is matched, to 1e-9.
///
/// # Errors
/// [`CannotArrive`]: what would be needed.
pub fn stick_for(
    gear: &Gear,
    wanted: &Wanted,
    travel_m: f64,
    hold: Hold,
) -> Result<Stick, CannotArrive> {
    // Straight ahead of a ball far from everything: the contact is a full one at that distance.
    let object = Point::new(travel_m + gear.contact_distance_m(), 0.0);
    let mut asked = *wanted;
    let mut stick = closed(gear, &asked, travel_m, hold)?;
    // Without side the path is straight, and a raised stick spins the ball by 1/cos ε more.
    let rounds = if wanted.side_right == 0.0 {
        stick.height_m *= hold.elevation_rad.cos();
        0
    } else {
        ROUNDS
    };
    for _ in 0..rounds {
        // Turn the stick so that the path ends there.
        let Some(struck) = aimed_full(gear, &stick, object) else {
            break;
        };
        let got = struck.arrival;
        let off = (
            wanted.speed_m_s / got.speed_m_s - 1.0,
            wanted.roll - got.roll,
            wanted.side_right - got.side_right,
        );
        if off.0.abs() < AGREED && off.1.abs() < AGREED && off.2.abs() < AGREED {
            break;
        }
        asked.speed_m_s *= 1.0 + off.0;
        // A ball that rolls has no more roll to gain.
        if wanted.roll < 1.0 || off.1.abs() > 1e-6 {
            asked.roll += off.1;
        }
        asked.side_right += off.2;
        stick = closed(gear, &asked, travel_m, hold)?;
    }
    let needed = Needed {
        across_r: stick.across_m / gear.cue_radius_m(),
        height_r: stick.height_m / gear.cue_radius_m(),
        radius_m: gear.cue_radius_m(),
    };
    if needed.across_r.hypot(needed.height_r) > MISCUE_SHARE {
        return Err(CannotArrive::Miscue(needed));
    }
    Ok(stick)
}

/// The stroke that meets the object ball full, from the origin.
fn aimed_full(gear: &Gear, stick: &Stick, object: Point) -> Option<Struck> {
    let mut stick_rad = -stick.squirt_rad(gear.cue_radius_m());
    let mut struck = reach(gear, stick, Point::ORIGIN, object, stick_rad)?;
    for _ in 0..8 {
        // Turn by what the ball is off the middle at the contact.
        let off = struck.arrival.at.y.atan2(struck.arrival.at.x);
        if off.abs() < 1e-10 {
            break;
        }
        stick_rad -= off;
        struck = reach(gear, stick, Point::ORIGIN, object, stick_rad)?;
    }
    Some(struck)
}

/// The same for a level stick and a straight way, in closed form.
///
/// Back in time from the contact a ball that still slides was faster by `2 μ_s g t` (in squares) and
/// had less topspin, 5/2 of the speed lost; one that rolls started from the middle if it has had the
/// way to roll. Off the tip `q = (5/2) v b_z/R`, `R ω_z = (5/2) v b_e/R`.
fn closed(gear: &Gear, wanted: &Wanted, travel_m: f64, hold: Hold) -> Result<Stick, CannotArrive> {
    let radius_m = gear.cue_radius_m();
    let brake = gear.cloth.sliding_friction * GRAVITY_M_S2;
    let (v, roll) = (wanted.speed_m_s, wanted.roll);
    let sign = if roll > 1.0 { -1.0 } else { 1.0 };
    let squared = v * v + sign * 2.0 * brake * travel_m;
    if squared <= 0.0 {
        return Err(CannotArrive::TooSlow { speed_m_s: v });
    }
    let (mut start, mut time_s) = {
        let start = squared.sqrt();
        let time_s = if brake > 0.0 {
            (start - v).abs() / brake
        } else {
            travel_m / v
        };
        (start, time_s)
    };
    let mut height_r = (roll * v - sign * 2.5 * brake * time_s) / (2.5 * start);
    if (roll - 1.0).abs() < 1e-12 && height_r < 0.0 {
        // A ball struck in the middle rolls by then.
        height_r = 0.0;
        start = start_speed_for_pace_m_s(&gear.cloth, v, travel_m);
        let slide_s = 2.0 * start / (7.0 * brake);
        let roll_brake = gear.cloth.rolling_friction * GRAVITY_M_S2;
        let rolling_s = if roll_brake > 0.0 {
            (5.0 / 7.0 * start - v) / roll_brake
        } else {
            0.0
        };
        time_s = slide_s + rolling_s.max(0.0);
    }
    if height_r.abs() >= EDGE_R {
        return Err(CannotArrive::Died(if height_r < 0.0 {
            "backspin"
        } else {
            "topspin"
        }));
    }
    let fade = if wanted.side_right == 0.0 {
        0.0
    } else {
        gear.cloth.spin_decay_rad_s2 * time_s * radius_m
    };
    let rim = (wanted.side_right.abs() * v + fade) / start;
    let mut stick = Stick {
        speed_m_s: start,
        across_m: 0.0,
        height_m: height_r * radius_m,
        elevation_rad: hold.elevation_rad,
        pivot_m: hold.pivot_m,
    };
    if rim > 0.0 {
        stick.across_m = across_for(&stick, radius_m, rim).ok_or(CannotArrive::Died("side"))?
            * wanted.side_right.signum();
    }
    Ok(stick)
}

/// How far right of the middle a level stick must strike for `R ω_z/v = rim` off the tip, m.
fn across_for(stick: &Stick, radius_m: f64, rim: f64) -> Option<f64> {
    let most = (EDGE_R * EDGE_R * radius_m * radius_m - stick.height_m * stick.height_m)
        .max(0.0)
        .sqrt();
    let off = |across_m: f64| {
        let level = Stick {
            across_m,
            elevation_rad: 0.0,
            ..*stick
        };
        let state = level.leaves(radius_m, Point::ORIGIN, 0.0);
        radius_m * state.spin_z_rad_s / stick.speed_m_s - rim
    };
    // Near the edge the tip sends the ball aside rather than spinning it: the side has a top.
    let (mut lo, mut hi) = (0.0, 0.7 * radius_m);
    hi = f64::min(hi, most);
    if off(hi) < 0.0 {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (lo + hi);
        if off(middle) < 0.0 {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    Some(0.5 * (lo + hi))
}

/// Where to point a stick so that the object ball leaves along `object_rad` (rad on the plan), throw
/// included: direction of the stick and the stroke, to 1e-11 rad.
///
/// # Errors
/// [`CannotArrive::OutOfReach`] when no direction does.
pub fn stick_to_object(
    gear: &Gear,
    stick: &Stick,
    cue: Point,
    object: Point,
    object_rad: f64,
) -> Result<(f64, Struck), CannotArrive> {
    let contact_m = gear.contact_distance_m();
    let base = (object - cue).atan2();
    let near = |a: f64| {
        let turned = (a - object_rad).rem_euclid(std::f64::consts::TAU);
        if turned > std::f64::consts::PI {
            turned - std::f64::consts::TAU
        } else {
            turned
        }
    };
    // The ghost ball of that direction without throw; squirt taken off.
    let ghost = object - kurbo::Vec2::from_angle(object_rad) * contact_m;
    let first = (ghost - cue).atan2() - stick.squirt_rad(gear.cue_radius_m());
    let shot = |stick_rad: f64| reach(gear, stick, cue, object, stick_rad);
    // Turning the stick left sends the object ball right: the sign of the miss falls.
    let half = (contact_m / (object - cue).hypot()).min(1.0).asin();
    let (mut lo, mut hi) = (None, None);
    let mut at = first;
    for _ in 0..200 {
        match shot(at) {
            Some(s) => {
                let miss = near(s.object_rad);
                if miss > 0.0 {
                    lo = Some(at);
                } else {
                    hi = Some(at);
                }
                if miss.abs() < 1e-12 {
                    return Ok((at, s));
                }
            }
            // Past the ball on one side or the other.
            None if at > base - stick.squirt_rad(gear.cue_radius_m()) => hi = Some(at),
            None => lo = Some(at),
        }
        at = match (lo, hi) {
            (Some(a), Some(b)) => {
                if (b - a) < 1e-14 {
                    break;
                }
                0.5 * (a + b)
            }
            (Some(a), None) => a + 0.05 * half,
            (None, Some(b)) => b - 0.05 * half,
            (None, None) => return Err(CannotArrive::OutOfReach),
        };
    }
    let found = shot(at).filter(|s| near(s.object_rad).abs() < 1e-9);
    found.map(|s| (at, s)).ok_or(CannotArrive::OutOfReach)
}
