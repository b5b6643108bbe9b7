//! Where both balls go after they met, and how far.

use thincut::contact::{Aftermath, Pair, aftermath};
use thincut::gear::Gear;
use thincut::motion::{BallBody, BallState};
use thincut::window::lengths_for_speed;
use thincut::{Point, Vec2};

use super::{Solver, coming, crossing, pool, preset, runs, with};

pub(crate) const ALL: &[Solver] = &[
    ("rolling-half-ball", || turned_deg(&pool(), 0.5, 1.0)),
    ("rolling-quarter-ball", || turned_deg(&pool(), 0.25, 1.0)),
    ("rolling-three-quarter-ball", || {
        turned_deg(&pool(), 0.75, 1.0)
    }),
    ("rolling-half-ball-english-table", || {
        turned_deg(&english(), 0.5, 1.0)
    }),
    ("three-quarter-and-quarter-the-same-way", || {
        turned_deg(&english(), 0.75, 1.0) - turned_deg(&english(), 0.25, 1.0)
    }),
    ("in-off-red-on-the-pyramid-spot", || {
        in_off((29.0, 35.0 + 11.5), (105.375, 35.0), (140.5, 0.0))
    }),
    ("in-off-red-on-the-centre-spot", || {
        in_off((29.0, 35.0 + 7.5), (70.25, 35.0), (140.5, 70.0))
    }),
    ("in-off-red-above-baulk", || {
        in_off((29.0, 35.0 + 11.5), (53.0, 35.0), (70.25, 0.0))
    }),
    ("draw-quarter-ball", || turned_deg(&pool(), 0.25, DRAW)),
    ("draw-half-ball", || turned_deg(&pool(), 0.5, DRAW)),
    ("draw-three-quarter-ball", || {
        turned_deg(&pool(), 0.75, DRAW)
    }),
    ("half-ball-same-pace", || {
        let (cue_m, object_m) = distances_m(&pool(), 30.0, 1.0);
        (object_m / cue_m).sqrt()
    }),
    ("stun-equal-distances", || equal_deg(0.0)),
    ("stun-45-cue-ball-goes", || {
        distances_m(&pool(), 45.0, 0.0).0 / alone_m(&pool(), 0.0)
    }),
    ("stun-45-object-ball-goes", || {
        distances_m(&pool(), 45.0, 0.0).1 / alone_m(&pool(), 0.0)
    }),
    ("stun-45-cue-ball-speed", || {
        met(&pool(), 45.0, 0.0).first.v.hypot() / SPEED_M_S
    }),
    ("stun-45-object-ball-speed", || {
        met(&pool(), 45.0, 0.0).second_velocity.hypot() / SPEED_M_S
    }),
    ("roll-equal-distances", || equal_deg(1.0)),
    ("roll-straight-distances", || {
        let (cue_m, object_m) = distances_m(&pool(), 0.0, 1.0);
        object_m / cue_m
    }),
    ("thin-hit-twice-the-overlap", || {
        object_share(0.2) / object_share(0.1)
    }),
    ("thin-hit-distance", thin_hit_in),
    ("firm-stroke-lengths", || {
        lengths_for_speed(&pool(), 4.5).expect("it comes to rest")
    }),
];

/// Speed at contact, m/s: nothing here but throw depends on it.
const SPEED_M_S: f64 = 1.5;
/// What turns an ideal half-ball hit by 90° in the source's sense of typical draw.
const DRAW: f64 = -0.625;

/// An English billiard table with balls of 2 1/16 in; cloth as the snooker preset's.
fn english() -> Gear {
    with(
        &preset("snooker-12ft"),
        &[
            "ball.object_diameter=2.0625in",
            "ball.cue_diameter=2.0625in",
        ],
    )
}

fn met(gear: &Gear, cut_deg: f64, roll: f64) -> Aftermath {
    let pair = Pair {
        first_mass_kg: gear.balls.cue_mass_kg,
        second_mass_kg: gear.balls.object_mass_kg,
        first_radius_m: gear.cue_radius_m(),
    };
    let centres = Vec2::from_angle(cut_deg.to_radians());
    aftermath(&gear.contact, &pair, &coming(SPEED_M_S, roll), centres)
}

/// How far the cue ball has turned off its line once it rolls, for a fraction of the ball covered.
fn turned_deg(gear: &Gear, covered: f64, roll: f64) -> f64 {
    let cut_deg = (1.0 - covered).asin().to_degrees();
    let after = met(gear, cut_deg, roll).first;
    -runs(gear, &BallBody::cue(gear), after)
        .0
        .atan2()
        .to_degrees()
}

/// How far each goes on open cloth, m.
fn distances_m(gear: &Gear, cut_deg: f64, roll: f64) -> (f64, f64) {
    let after = met(gear, cut_deg, roll);
    let object = BallState::sliding(Point::ORIGIN, after.second_velocity);
    let (_, cue_m) = runs(gear, &BallBody::cue(gear), after.first);
    let (_, object_m) = runs(gear, &BallBody::object(gear), object);
    (cue_m, object_m)
}

/// How far the cue ball would go had it met nothing, m.
fn alone_m(gear: &Gear, roll: f64) -> f64 {
    runs(gear, &BallBody::cue(gear), coming(SPEED_M_S, roll)).1
}

/// The cut at which both go equally far.
fn equal_deg(roll: f64) -> f64 {
    let gear = pool();
    crossing(5.0, 80.0, |cut_deg| {
        let (cue_m, object_m) = distances_m(&gear, cut_deg, roll);
        object_m - cue_m
    })
}

/// A half-ball in-off: degrees the cue ball turns more than the way to the pocket needs. Places in inches
/// from the bottom and one side cushion; the curve before it rolls is left out.
fn in_off(cue: (f64, f64), red: (f64, f64), pocket: (f64, f64)) -> f64 {
    const BALL_IN: f64 = 2.0625;
    let place = |(x, y): (f64, f64)| Point::new(x, y);
    let (cue, red, pocket) = (place(cue), place(red), place(pocket));
    let way = red - cue;
    // aimed at the red's edge: half a ball's diameter beside its middle
    let off = (0.5 * BALL_IN / way.hypot()).asin();
    let needed = [1.0, -1.0].map(|side| {
        let aim = way.atan2() + side * off;
        // the red is on the other side of the line of aim, 30° off it at contact
        let centres = Vec2::from_angle(aim - side * 30.0_f64.to_radians());
        let ghost = red - centres * BALL_IN;
        let out = (pocket - ghost).atan2();
        (side * (out - aim)).to_degrees()
    });
    let turned = turned_deg(&english(), 0.5, 1.0);
    // of the two sides of the red the one meant is the one that comes near
    let [left, right] = needed.map(|needed| turned - needed);
    if left.abs() < right.abs() {
        left
    } else {
        right
    }
}

fn object_share(overlap_in: f64) -> f64 {
    let cut_deg = (1.0 - overlap_in / 2.25).asin().to_degrees();
    let (_, object_m) = distances_m(&pool(), cut_deg, 1.0);
    object_m / alone_m(&pool(), 1.0)
}

/// The object ball is hit two diamonds before the far rail (assumed; the source describes no table), and
/// the cue ball comes back eight diamonds from there: how far the object ball goes, inches.
fn thin_hit_in() -> f64 {
    const OVERLAP_IN: f64 = 0.1;
    let gear = pool();
    let diamond_m = gear.bed.length_m / 8.0;
    let slowing = 2.0 * gear.cloth.rolling_friction * 9.80665;
    // rolling again after the cushion it has eight diamonds to go
    let back = (slowing * 8.0 * diamond_m).sqrt() / super::cushion::rolls_on(1.0);
    let at_contact_m_s = (back * back + slowing * 2.0 * diamond_m).sqrt();
    let cut_deg = (1.0 - OVERLAP_IN / 2.25).asin().to_degrees();
    let pair = Pair {
        first_mass_kg: gear.balls.cue_mass_kg,
        second_mass_kg: gear.balls.object_mass_kg,
        first_radius_m: gear.cue_radius_m(),
    };
    let centres = Vec2::from_angle(cut_deg.to_radians());
    // the cue ball keeps nearly all of its speed in so thin a hit
    let kept = aftermath(&gear.contact, &pair, &coming(1.0, 1.0), centres);
    let kept = runs(&gear, &BallBody::cue(&gear), kept.first).0.hypot();
    let after = aftermath(
        &gear.contact,
        &pair,
        &coming(at_contact_m_s / kept, 1.0),
        centres,
    );
    let object = BallState::sliding(Point::ORIGIN, after.second_velocity);
    runs(&gear, &BallBody::object(&gear), object).1 / 0.0254
}
