//! Every edge that an acceptance names parts what drops in one way from what does not: the ball is
//! followed leg by leg just before and just after it.

use kurbo::{Point, Vec2};
use rand::{Rng as _, SeedableRng as _};
use rand_pcg::Pcg64;
use rayon::prelude::*;
use thincut::bed::Bed;
use thincut::gear::Gear;
use thincut::motion::{BallBody, BallState, End, Feature, FeatureKind, Step, trace};
use thincut::pocket::{Acceptance, How, PocketFrame, PocketKind, PocketName, PocketShape, accept};

/// Edges are found to 1e-10 rad; a ball is looked at this far to both sides, rad.
const BESIDE_RAD: f64 = 2.5e-10;
/// Narrower pieces and gaps are rounding, rad.
const NARROW_RAD: f64 = 1e-6;
/// A ball this near a jaw has tangents that are good to 1e-8 rad only, m.
const CLEAR_M: f64 = 1e-4;
const PLACES: u64 = 400;

/// A table with random jaws, rails and cloth.
fn gear(rng: &mut Pcg64) -> Gear {
    let mut gear = Gear::preset("pool-9ft").unwrap();
    if rng.random_bool(0.5) {
        return gear;
    }
    for pocket in [&mut gear.corner, &mut gear.side] {
        pocket.mouth_m *= rng.random_range(0.85..1.15);
        pocket.shelf_m *= rng.random_range(0.5..1.5);
        pocket.jaw_radius_m = f64::from(rng.random_range(0..2_u8)) * rng.random_range(0.0..0.02);
        pocket.facing_restitution = rng.random_range(0.3..0.95);
        pocket.facing_friction = rng.random_range(0.0..0.28);
    }
    gear.cushion.restitution = rng.random_range(0.5..0.95);
    gear.cushion.friction = rng.random_range(0.0..0.28);
    gear.cloth.sliding_friction = rng.random_range(0.1..0.4);
    gear.cloth.rolling_friction = rng.random_range(0.005..0.015);
    gear
}

/// From creeping to hard, m/s.
fn pace(rng: &mut Pcg64) -> f64 {
    0.05 * 160_f64.powf(rng.random_range(0.0..1.0))
}

/// How a ball drops among features, if it does in the one that is meant without touching what is not.
fn how(
    (features, gear): (&[Feature], &Gear),
    body: &BallBody,
    (at, v): (Point, Vec2),
    (hole, own): (usize, &dyn Fn(usize) -> bool),
) -> Option<How> {
    let (mut rail, mut touched, mut strange) = (false, false, false);
    let start = BallState::sliding(at, v);
    let end = trace(features, body, &gear.cloth, start, |step| {
        if let Step::Impact(index, _) = step {
            touched = true;
            rail |= features[index].kind == FeatureKind::Rail;
            strange |= !own(index);
        }
    });
    match end {
        Ok((End::Drop(index), _)) if index == hole && !strange => Some(match (rail, touched) {
            (true, _) => How::Rail,
            (false, true) => How::Jaw,
            (false, false) => How::Clean,
        }),
        _ => None,
    }
}

/// Looks to both sides of every edge; how many there were.
fn edges_part(acceptance: &Acceptance, look: &dyn Fn(f64) -> Option<How>, place: &str) -> u32 {
    let spans = acceptance.pieces.spans();
    let mut seen = 0;
    for (k, piece) in spans.iter().enumerate() {
        let before = k.checked_sub(1).map(|b| &spans[b]);
        let gap_before = before.map_or(f64::INFINITY, |b| piece.from_rad - b.to_rad);
        let gap_after = spans
            .get(k + 1)
            .map_or(f64::INFINITY, |a| a.from_rad - piece.to_rad);
        let narrow = |gap: f64| gap > 2.0 * BESIDE_RAD && gap < NARROW_RAD;
        if piece.width_rad() < NARROW_RAD || narrow(gap_before) || narrow(gap_after) {
            continue;
        }
        for (edge, side, gap) in [
            (piece.from_rad, -1.0, gap_before),
            (piece.to_rad, 1.0, gap_after),
        ] {
            let inside = look(edge - side * BESIDE_RAD);
            assert_eq!(inside, Some(piece.tag), "{place}: just inside {edge}");
            if gap > NARROW_RAD {
                let outside = look(edge + side * BESIDE_RAD);
                assert_eq!(outside, None, "{place}: just outside {edge}");
            }
            seen += 1;
        }
    }
    seen
}

#[test]
fn edges_of_a_pocket_alone_part_what_drops() {
    let seen: u32 = (0..PLACES)
        .into_par_iter()
        .map(|seed| {
            let mut rng = Pcg64::seed_from_u64(seed);
            let gear = gear(&mut rng);
            let kind = [PocketKind::Corner, PocketKind::Side][rng.random_range(0..2)];
            let body = BallBody::object(&gear);
            let shape = PocketShape::new(&gear, kind, &body);
            let travel = Vec2::from_angle(rng.random_range(-80_f64..80.0).to_radians());
            let object = Point::ORIGIN - travel * (0.05 * 50_f64.powf(rng.random_range(0.0..1.0)));
            let near = shape
                .features
                .iter()
                .any(|f| f.kind != FeatureKind::Drop && f.gap_m(object) < CLEAR_M);
            let accepted = accept(&shape, &gear.cloth, &body, object, pace(&mut rng));
            let Ok(Ok(acceptance)) = accepted else {
                return 0;
            };
            if near {
                return 0;
            }
            let look = |theta: f64| {
                let v =
                    Vec2::from_angle(acceptance.approach_rad + theta) * acceptance.object_speed_m_s;
                how(
                    (&shape.features, &gear),
                    &body,
                    (object, v),
                    (PocketShape::DROP, &|_| true),
                )
            };
            edges_part(
                &acceptance,
                &look,
                &format!("seed {seed}, {kind}, {object}"),
            )
        })
        .sum();
    assert!(seen > 1000, "{seen}");
}

#[test]
fn edges_on_a_bed_part_what_drops() {
    let seen: u32 = (0..PLACES / 2)
        .into_par_iter()
        .map(|seed| {
            let mut rng = Pcg64::seed_from_u64(seed);
            let gear = gear(&mut rng);
            let bed = Bed::new(&gear);
            let plan = &bed.plan;
            let (body, features) = (plan.body, plan.features());
            let pocket = PocketName::ALL[rng.random_range(0..6)];
            let inside =
                |length: f64| body.plan_radius_m + CLEAR_M..length - body.plan_radius_m - CLEAR_M;
            let at = Point::new(
                rng.random_range(inside(gear.bed.length_m)),
                rng.random_range(inside(gear.bed.width_m)),
            );
            let Ok(Ok(acceptance)) = bed.accept(pocket, at, pace(&mut rng)) else {
                return 0;
            };
            let frame: PocketFrame = pocket.frame(&gear);
            let hole = (0..features.len())
                .find(|i| {
                    features[*i].kind == FeatureKind::Drop && plan.pocket_of(*i) == Some(pocket)
                })
                .unwrap();
            let own =
                |index: usize| plan.pocket_of(index).is_some() || plan.meets_at(index, pocket);
            let look = |theta: f64| {
                let direction = frame.axis_rad + acceptance.approach_rad + theta;
                let v = Vec2::from_angle(direction) * acceptance.object_speed_m_s;
                how((features, &gear), &body, (at, v), (hole, &own))
            };
            edges_part(&acceptance, &look, &format!("seed {seed}, {pocket}, {at}"))
        })
        .sum();
    assert!(seen > 500, "{seen}");
}

/// From a place on the axis one half of a pocket is looked at; a hair beside it, both are.
#[test]
fn half_a_pocket_is_as_good_as_the_whole() {
    /// Twice the accuracy of an edge, rad.
    const EDGES_RAD: f64 = 2e-10;
    /// No longer on the axis, m.
    const HAIR_M: f64 = 1e-300;
    let met: u32 = (0..PLACES)
        .into_par_iter()
        .map(|seed| {
            let mut rng = Pcg64::seed_from_u64(seed);
            let gear = gear(&mut rng);
            let (body, pace_m_s) = (BallBody::object(&gear), pace(&mut rng));
            let kind = [PocketKind::Corner, PocketKind::Side][rng.random_range(0..2)];
            let shape = PocketShape::new(&gear, kind, &body);
            let far_m = rng.random_range(0.06..2.0);
            let at = |y: f64| {
                accept(&shape, &gear.cloth, &body, Point::new(-far_m, y), pace_m_s).unwrap()
            };
            let (Ok(half), Ok(whole)) = (at(0.0), at(-HAIR_M)) else {
                return 0;
            };
            for (a, b) in [
                (half.clean, whole.clean),
                (half.direct, whole.direct),
                (Some(half.drop), Some(whole.drop)),
            ] {
                let (Some(a), Some(b)) = (a, b) else {
                    assert_eq!(a, b, "seed {seed}");
                    continue;
                };
                let off = (a.from_rad - b.from_rad)
                    .abs()
                    .max((a.to_rad - b.to_rad).abs());
                assert!(off < EDGES_RAD, "seed {seed}: {a:?}, {b:?}");
            }
            1
        })
        .sum();
    assert!(met > 300, "{met}");
}
