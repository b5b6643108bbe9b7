//! The bed's short cuts against a bed without them.

use std::sync::atomic::{AtomicUsize, Ordering};

use kurbo::{Point, Vec2};
use rand::{Rng as _, SeedableRng as _};
use rand_pcg::Pcg64;
use rayon::prelude::*;
use thincut::bed::Bed;
use thincut::gear::Gear;
use thincut::inside::{
    BedCourse, Course, Held, Met, Surroundings, Way, accepted, trace_among, trace_sent_off,
};
use thincut::motion::{BallState, Feature, Leg, Moving, Step, start_speed_for_pace_m_s};
use thincut::pocket::{Acceptance, NoAcceptance, PocketName, PocketShape, accept};

/// The same course, every feature asked on every leg.
struct Plain<'a>(&'a BedCourse);

impl Surroundings for Plain<'_> {
    fn features(&self) -> &[Feature] {
        self.0.features()
    }

    fn next_contact(&self, leg: &Leg, held: Held) -> Option<Met> {
        self.0.features().next_contact(leg, held)
    }

    fn first_on_way(&self, way: &Way) -> Option<Met> {
        self.0.features().first_on_way(way)
    }
}

impl Course for Plain<'_> {
    fn shape(&self) -> &PocketShape {
        self.0.shape()
    }

    fn more_candidates(&self, object: Point, toward: &dyn Fn(Point) -> f64, out: &mut Vec<f64>) {
        self.0.more_candidates(object, toward, out);
    }

    fn widest_step_rad(&self, object: Point, direction: Vec2, off_rad: f64) -> f64 {
        self.0.widest_step_rad(object, direction, off_rad)
    }

    fn out_of_sight(&self, off_rad: f64, distance_m: f64) -> bool {
        self.0.out_of_sight(off_rad, distance_m)
    }

    fn is_mirrored(&self) -> bool {
        self.0.is_mirrored()
    }
}

/// Places of an object ball, some frozen to a rail, with a pocket and a pace each.
fn places(gear: &Gear, count: usize, seed: u64) -> Vec<(PocketName, Point, f64)> {
    let mut rng = Pcg64::seed_from_u64(seed);
    let edge = gear.object_contact_radius_m();
    let along = |size: f64, rng: &mut Pcg64| match rng.random_range(0..16) {
        0 => edge,
        1 => size - edge,
        _ => rng.random_range(edge..size - edge),
    };
    (0..count)
        .map(|k| {
            let at = Point::new(
                along(gear.bed.length_m, &mut rng),
                along(gear.bed.width_m, &mut rng),
            );
            let pace_m_s = [0.4, 1.0, 2.0][rng.random_range(0..3)];
            (PocketName::ALL[k % 6], at, pace_m_s)
        })
        .collect()
}

/// Accuracy of an edge twice over: the span over which a root is sought changes its last bit.
const EDGE_RAD: f64 = 2e-10;
/// The same for a ball that touches a rail: sent along it to less than this it is held against
/// it, and rounding alone says whether it meets the jaw at the other end.
const ALONG_RAD: f64 = 1e-6;
/// Ends of one path: rounding, after some rebounds.
const SAME_PLACE_M: f64 = 1e-8;

/// The same pieces, edges within the accuracy they are found with.
fn same(
    a: &Result<Acceptance, NoAcceptance>,
    b: &Result<Acceptance, NoAcceptance>,
    within_rad: f64,
) -> bool {
    let (Ok(a), Ok(b)) = (a, b) else {
        return a == b;
    };
    let (a, b) = (a.pieces.spans(), b.pieces.spans());
    let near = |x: f64, y: f64| (x - y).abs() <= within_rad;
    a.len() == b.len()
        && a.iter().zip(b).all(|(x, y)| {
            x.tag == y.tag && near(x.from_rad, y.from_rad) && near(x.to_rad, y.to_rad)
        })
}

/// Tables, and places on each.
const TABLES: [(&str, usize); 3] = [
    ("pool-9ft", 6000),
    ("pool-7ft", 2000),
    ("snooker-12ft", 2000),
];

/// A bed, and each pocket's view of it.
fn seen(gear: &Gear) -> (Bed, [BedCourse; 6]) {
    let bed = Bed::new(gear);
    let courses = PocketName::ALL.map(|p| BedCourse::new(gear, &bed.plan, p));
    (bed, courses)
}

/// A turn no larger than rounding after a few rebounds.
const HAIR_RAD: f64 = 1e-9;
/// Paths on a knife's edge, of a hundred thousand: rounding alone says which way they go.
const KNIFE_EDGES: usize = 10;

/// Single paths from ten thousand places, ten from each, in all directions before the pocket; the
/// plain ones leg by leg. Where the two part, the plain path itself parts within a hair of the direction.
#[test]
fn short_cuts_change_no_path() {
    let edges = AtomicUsize::new(0);
    for (name, count) in TABLES {
        let gear = Gear::preset(name).unwrap();
        let (bed, courses) = seen(&gear);
        let body = bed.plan.body;
        let places = places(&gear, count, 12);
        places
            .par_iter()
            .enumerate()
            .for_each(|(k, &(pocket, at, pace_m_s))| {
                let course = &courses[k % 6];
                let object = pocket.frame(&gear).to_pocket(at);
                if bed.plan.clearance_m(at) < -1e-9 {
                    return;
                }
                let mut rng = Pcg64::seed_from_u64(k as u64);
                let away_m = object.to_vec2().hypot();
                let speed_m_s = start_speed_for_pace_m_s(&gear.cloth, pace_m_s, away_m);
                for _ in 0..10 {
                    let toward = (-object.to_vec2()).atan2() + rng.random_range(-1.5..1.5);
                    let velocity = speed_m_s * Vec2::from_angle(toward);
                    let moving = Moving {
                        body: &body,
                        cloth: &gear.cloth,
                    };
                    let plain = |rad: f64| {
                        let start = BallState::sliding(object, speed_m_s * Vec2::from_angle(rad));
                        trace_among(&Plain(course), &body, &gear.cloth, start, |_| {})
                    };
                    let quick = trace_sent_off(course, moving, object, velocity, |_: Step| {});
                    let (before, after) = (plain(toward - HAIR_RAD), plain(toward + HAIR_RAD));
                    let plain = plain(toward);
                    let (Ok((quick, there)), Ok((plain, same))) = (quick, plain) else {
                        assert_eq!(quick, plain, "{name} {pocket} {at:?} {toward}");
                        continue;
                    };
                    let apart_m = (there.at - same.at).hypot();
                    if quick == plain && apart_m < SAME_PLACE_M {
                        continue;
                    }
                    edges.fetch_add(1, Ordering::Relaxed);
                    let (Ok((a, a_at)), Ok((b, b_at))) = (before, after) else {
                        continue;
                    };
                    assert!(
                        a != b || (a_at.at - b_at.at).hypot() > 0.1 * apart_m,
                        "{name} {pocket} {at:?} {toward}: {quick:?} {there:?} {plain:?} {same:?}"
                    );
                }
            });
    }
    assert!(edges.into_inner() <= KNIFE_EDGES);
}

/// All directions from every twelfth of the places, and of those at a rail from every fourth: what
/// a solver looks into is mostly at the edges between one end and another.
#[test]
fn short_cuts_change_nothing() {
    let mut compared = [0; 2];
    for (name, count) in TABLES {
        let gear = Gear::preset(name).unwrap();
        let (bed, courses) = seen(&gear);
        let places = places(&gear, count, 12);
        let (frozen, free): (Vec<_>, Vec<_>) = places
            .into_iter()
            .partition(|(_, at, _)| bed.plan.clearance_m(*at) < 1e-9);
        for (group, places, within_rad) in [
            (0, free.iter().step_by(13), EDGE_RAD),
            (1, frozen.iter().step_by(5), ALONG_RAD),
        ] {
            let places: Vec<_> = places.collect();
            compared[group] += places
                .par_iter()
                .map(|&&(pocket, at, pace_m_s)| {
                    let index = PocketName::ALL.iter().position(|&p| p == pocket).unwrap();
                    let course = &courses[index];
                    let object = pocket.frame(&gear).to_pocket(at);
                    let Ok(quick) = bed.accept(pocket, at, pace_m_s) else {
                        return 0;
                    };
                    if object.x >= 0.0 {
                        return 0;
                    }
                    let plain = accepted(
                        &Plain(course),
                        &gear.cloth,
                        &bed.plan.body,
                        object,
                        pace_m_s,
                    );
                    assert!(
                        same(&quick, &plain, within_rad),
                        "{name} {pocket} {at:?} {quick:?} {plain:?}"
                    );
                    1
                })
                .sum::<usize>();
        }
    }
    assert!(compared[0] > 500 && compared[1] > 350, "{compared:?}");
}

/// Where a whole path stays at home the bed is the pocket by itself.
#[test]
fn near_a_corner_the_bed_is_the_pocket_alone() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let bed = Bed::new(&gear);
    let pocket = PocketName::FootLeft;
    let shape = PocketShape::new(&gear, pocket.kind(), &bed.plan.body);
    let mut alike = 0;
    for (_, at, pace_m_s) in places(&gear, 300, 3) {
        let object = pocket.frame(&gear).to_pocket(at);
        // Beside the corner's own long rail, which ends at the side pocket.
        if at.x < 0.55 * gear.bed.length_m || object.x >= 0.0 {
            continue;
        }
        let alone = accept(&shape, &gear.cloth, &bed.plan.body, object, pace_m_s).unwrap();
        let whole = bed.accept(pocket, at, pace_m_s).unwrap();
        let (Ok(alone), Ok(whole)) = (alone, whole) else {
            continue;
        };
        assert_eq!(alone.clean, whole.clean, "{at:?}");
        alike += 1;
    }
    assert!(alike > 50, "{alike}");
}
