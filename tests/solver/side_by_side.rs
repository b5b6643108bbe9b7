//! Windows solved side by side against the same windows solved one contact after the other.

use kurbo::{Point, Vec2};
use rand::{Rng as _, SeedableRng as _};
use rand_pcg::Pcg64;
use rayon::prelude::*;
use thincut::gear::Gear;
use thincut::motion::BallBody;
use thincut::pocket::{Acceptance, PocketKind, PocketShape, accept};
use thincut::units::Side;
use thincut::window::{
    AimWindow, Cued, Flags, NoWindow, Stroke, Tip, Window, solve_all, solve_many, solve_one_by_one,
    solve_with,
};

/// What is promised for an edge, rad (and for lengths in m that follow from it).
const EDGE: f64 = 1e-12;
/// Shots of one acceptance, and acceptances: 100,000 shots.
const SHOTS: usize = 50;
const ACCEPTANCES: u64 = 2000;

/// An acceptance of a random table and place, with a random stroke.
fn asked(rng: &mut Pcg64, preset: &Gear) -> Option<(Gear, Acceptance, Stroke)> {
    let gear = table(rng, preset);
    let (acceptance, stroke) = accepted(rng, &gear)?;
    Some((gear, acceptance, stroke))
}

/// A random table.
fn table(rng: &mut Pcg64, preset: &Gear) -> Gear {
    let mut gear = preset.clone();
    gear.contact.friction_scale = match rng.random_range(0..10_u8) {
        0 => 0.0,
        1..5 => rng.random_range(0.0..3.0),
        _ => 1.0,
    };
    if rng.random_bool(0.3) {
        gear.contact.restitution = rng.random_range(0.85..1.0);
    }
    if rng.random_bool(0.3) {
        gear.balls.cue_diameter_m = rng.random_range(0.047..0.0605);
        gear.balls.cue_mass_kg = rng.random_range(0.09..0.18);
    }
    gear
}

/// An acceptance of a random place, with a random stroke.
fn accepted(rng: &mut Pcg64, gear: &Gear) -> Option<(Acceptance, Stroke)> {
    let kind = if rng.random_bool(0.6) {
        PocketKind::Corner
    } else {
        PocketKind::Side
    };
    let travel = Vec2::from_angle(rng.random_range(-1.2..1.2));
    let object = Point::ORIGIN - travel * rng.random_range(0.05..1.5);
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, kind, &body);
    let pace = rng.random_range(0.3..4.0);
    let acceptance = accept(&shape, &gear.cloth, &body, object, pace)
        .ok()?
        .ok()?;
    let rolls = [1.0, 0.0, -0.5, 1.25, rng.random_range(-2.0..2.0)];
    let stroke = Stroke {
        roll: rolls[rng.random_range(0..rolls.len())],
        side: f64::from(rng.random_range(0..2_u8)) * rng.random_range(-1.25..1.25),
        straight_side: Side::left_if(rng.random_bool(0.5)),
        ..Stroke::default()
    };
    Some((acceptance, stroke))
}

/// Cue balls all round: frozen to far, straight to past a right angle.
fn cues(rng: &mut Pcg64, gear: &Gear, acceptance: &Acceptance) -> Vec<Point> {
    (0..SHOTS)
        .map(|k| {
            let off = if k == 0 {
                0.0
            } else {
                rng.random_range(-1.75..1.75)
            };
            let nearness: f64 = rng.random_range(0.0..1.0);
            let apart_m = gear.contact_distance_m() * 1.000_000_1 + 2.0 * nearness * nearness;
            acceptance.object - Vec2::from_angle(acceptance.approach_rad + off) * apart_m
        })
        .collect()
}

/// Largest difference of what two windows say, in rad and m; infinite where they say another thing.
fn apart(a: &AimWindow, b: &AimWindow) -> f64 {
    // The speed goes by 1/cos φ, so a share of it is an angle over cos φ.
    let share = b.aim.cos_cut / b.cue_speed_m_s;
    let plain = [
        a.aim.aim_rad - b.aim.aim_rad,
        a.aim.centres_rad - b.aim.centres_rad,
        a.aim.travel_m - b.aim.travel_m,
        a.approach.base_rad - b.approach.base_rad,
        a.centre_line_rad - b.centre_line_rad,
        a.throw_rad - b.throw_rad,
        a.target_rad - b.target_rad,
        a.cut_rad - b.cut_rad,
        a.law.side_right - b.law.side_right,
        (a.cue_speed_m_s - b.cue_speed_m_s) * share,
        (a.throw_slope - b.throw_slope) * 1e-2,
    ];
    let part = |a: Option<Window>, b: Option<Window>| match (a, b) {
        (None, None) => 0.0,
        (Some(a), Some(b)) => [
            a.object.from_rad - b.object.from_rad,
            a.object.to_rad - b.object.to_rad,
            a.aim_from_rad - b.aim_from_rad,
            a.aim_to_rad - b.aim_to_rad,
            a.thick_rad - b.thick_rad,
            a.thin_rad - b.thin_rad,
            a.thick_contact_m - b.thick_contact_m,
            a.thin_contact_m - b.thin_contact_m,
        ]
        .into_iter()
        .fold(0.0, |most: f64, x| most.max(x.abs())),
        _ => f64::INFINITY,
    };
    if a.flags != b.flags || a.cut_side != b.cut_side {
        return f64::INFINITY;
    }
    plain
        .into_iter()
        .fold(0.0, |most: f64, x| most.max(x.abs()))
        .max(part(a.clean, b.clean))
        .max(part(a.direct, b.direct))
        .max(part(a.drop, b.drop))
}

/// What was met, so that nothing goes untested.
#[derive(Debug, Default)]
struct Met {
    solved: u32,
    truncated: u32,
    part_only: u32,
    refused: [u32; 2],
}

impl Met {
    fn with(mut self, other: &Self) -> Self {
        self.solved += other.solved;
        self.truncated += other.truncated;
        self.part_only += other.part_only;
        for (mine, theirs) in self.refused.iter_mut().zip(other.refused) {
            *mine += theirs;
        }
        self
    }
}

#[test]
fn side_by_side_agrees_with_one_by_one() {
    let preset = Gear::preset("pool-9ft").unwrap();
    let met = (0..ACCEPTANCES)
        .into_par_iter()
        .map(|seed| {
            let mut met = Met::default();
            let mut rng = Pcg64::seed_from_u64(seed);
            let Some((gear, acceptance, stroke)) = asked(&mut rng, &preset) else {
                return met;
            };
            let cues = cues(&mut rng, &gear, &acceptance);
            let many = solve_many(&gear, &acceptance, &cues, &stroke);
            assert_eq!(many.len(), cues.len());
            for (cue, many) in cues.iter().zip(&many) {
                let alone = solve_with(&gear, &acceptance, *cue, &stroke);
                let plain = solve_one_by_one(&gear, &acceptance, *cue, &stroke);
                for found in [many, &alone] {
                    match (found, &plain) {
                        (Ok(a), Ok(b)) => {
                            let off = apart(a, b);
                            assert!(off <= EDGE, "seed {seed}, {cue}: {off:e}\n{a:?}\n{b:?}");
                        }
                        (Err(a), Err(b)) => assert_eq!(a, b, "seed {seed}, {cue}"),
                        (a, b) => panic!("seed {seed}, {cue}: {a:?} against {b:?}"),
                    }
                }
                match &plain {
                    Ok(w) => {
                        met.solved += 1;
                        met.truncated += u32::from(w.flags.has(Flags::TRUNCATED));
                        met.part_only += u32::from(w.flags.has(Flags::OUT_OF_REACH));
                        back(w, &acceptance);
                    }
                    Err(NoWindow::OutOfReach) => met.refused[0] += 1,
                    Err(_) => met.refused[1] += 1,
                }
            }
            met
        })
        .reduce(Met::default, |a, b| a.with(&b));
    assert!(met.solved > 50_000, "{met:?}");
    assert!(met.truncated > 1000 && met.part_only > 1000, "{met:?}");
    assert!(met.refused.iter().all(|n| *n > 100), "{met:?}");
}

/// Shots of one table that share nothing else, some by where the tip strikes: to the last bit what each is
/// alone, so that no answer depends on whom it goes beside.
#[test]
fn shots_of_several_acceptances_are_what_each_is_alone() {
    /// Tables, and acceptances of each.
    const TABLES: u64 = 100;
    const PLACES: usize = 12;
    let preset = Gear::preset("pool-9ft").unwrap();
    let met: [u32; 2] = (0..TABLES)
        .into_par_iter()
        .map(|seed| {
            let mut rng = Pcg64::seed_from_u64(seed);
            let gear = table(&mut rng, &preset);
            let places: Vec<(Acceptance, Stroke)> = (0..PLACES)
                .filter_map(|_| accepted(&mut rng, &gear))
                .collect();
            let mut shots = Vec::new();
            for (acceptance, stroke) in &places {
                let struck = Stroke {
                    tip: Some(Tip::CENTRE),
                    ..*stroke
                };
                for cue in cues(&mut rng, &gear, acceptance) {
                    let stroke = if rng.random_bool(0.5) {
                        *stroke
                    } else {
                        struck
                    };
                    shots.push((acceptance, cue, stroke));
                }
            }
            // In any order.
            for k in (1..shots.len()).rev() {
                shots.swap(k, rng.random_range(0..=k));
            }
            let cued = shots.iter().map(|(acceptance, cue, stroke)| Cued {
                acceptance,
                cue: *cue,
                stroke,
            });
            let all = solve_all(&gear, &cued.collect::<Vec<_>>());
            let mut met = [0, 0];
            for ((acceptance, cue, stroke), found) in shots.iter().zip(&all) {
                let alone = solve_with(&gear, acceptance, *cue, stroke);
                assert_eq!(found, &alone, "seed {seed}, {cue}");
                if found.is_ok() {
                    met[usize::from(stroke.tip.is_some())] += 1;
                }
            }
            met
        })
        .reduce(|| [0, 0], |a, b| [a[0] + b[0], a[1] + b[1]]);
    assert!(met.iter().all(|n| *n > 5000), "{met:?}");
}

/// A direction pulled back is one that sends the object ball there.
fn back(window: &AimWindow, acceptance: &Acceptance) {
    for piece in acceptance.pieces.spans() {
        for theta in [piece.from_rad, piece.to_rad] {
            let Some(turn) = window.aim_for_rad(theta) else {
                continue;
            };
            let sent = window.object_direction_rad(turn);
            // By way of the aim itself, whose rounding a thin cut magnifies.
            let off = sent.map_or(0.0, |s| (s - theta).abs());
            assert!(off < 1e-9, "{theta}: {sent:?}");
        }
    }
}
