//! The units a shot is given in change nothing of its answer: window, stick, chance, range, reason.

use rand::{Rng as _, SeedableRng as _};
use rand_pcg::Pcg64;
use serde_json::Value;
use thincut::answer::ShotAnswer;
use thincut::gear::Gear;
use thincut::player::{Level, Player};
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};
use thincut::window::solve;

use super::pool;

/// Millimetres and inches of the same place differ by their rounding, 1e-16 of it; edges are good to
/// 1e-9 rad, and what hangs on them to a millionth.
const SAME: f64 = 1e-6;

/// A length in both kinds of unit.
fn both(mm: f64) -> [String; 2] {
    [format!("{mm}mm"), format!("{}in", mm / 25.4)]
}

/// Two requests for one shot, in millimetres and metres, and in inches and feet.
fn requests(gear: &Gear, rng: &mut Pcg64) -> [ShotRequest; 2] {
    let (l, w) = (1e3 * gear.bed.length_m, 1e3 * gear.bed.width_m);
    let mut place = || {
        let x = both(rng.random_range(40.0..l - 40.0));
        let y = both(rng.random_range(40.0..w - 40.0));
        [0, 1].map(|unit| format!("{},{}", x[unit], y[unit]))
    };
    let (cue, object) = (place(), place());
    let pace_m_s = rng.random_range(0.4..1.8);
    let pace = [
        format!("{pace_m_s}m/s"),
        format!("{}ft/s", pace_m_s / 0.3048),
    ];
    let bridge = both(rng.random_range(150.0..350.0));
    let (high, right) = (
        both(rng.random_range(0.0..9.0)),
        both(rng.random_range(0.0..9.0)),
    );
    let by_tip = rng.random_bool(0.5);
    let pocket = ["foot-left", "foot-right", "side-left", "head-right"][rng.random_range(0..4)];
    [0, 1].map(|unit| ShotRequest {
        places: PlacesRequest {
            cue: Some(cue[unit].clone()),
            object: Some(object[unit].clone()),
            pocket: Some(pocket.to_owned()),
            ..PlacesRequest::default()
        },
        stroke: StrokeRequest {
            pace: Some(pace[unit].clone()),
            bridge: Some(bridge[unit].clone()),
            tip: by_tip.then(|| format!("{} high and {} right", high[unit], right[unit])),
            arrives: (!by_tip).then(|| "stun".to_owned()),
            ..StrokeRequest::default()
        },
    })
}

fn answer(gear: &Gear, request: &ShotRequest, player: &Player) -> Option<Value> {
    let shot = request.shot(gear).ok()?;
    let solution = solve(gear, &shot).ok()?;
    let answer = ShotAnswer::new(gear, &shot, &solution, None);
    let answer = answer.with_player(gear, &shot, &solution, player);
    Some(serde_json::to_value(answer).expect("an answer is data"))
}

/// The first number that differs, with its path.
fn differing(path: &str, a: &Value, b: &Value) -> Option<String> {
    match (a, b) {
        (Value::Number(x), Value::Number(y)) => {
            let (x, y) = (x.as_f64()?, y.as_f64()?);
            let scale = x.abs().max(1.0);
            ((x - y).abs() > SAME * scale).then(|| format!("{path}: {x} and {y}"))
        }
        (Value::Array(x), Value::Array(y)) if x.len() == y.len() => x
            .iter()
            .zip(y)
            .enumerate()
            .find_map(|(i, (x, y))| differing(&format!("{path}[{i}]"), x, y)),
        (Value::Object(x), Value::Object(y)) if x.len() == y.len() => x
            .iter()
            .find_map(|(key, x)| differing(&format!("{path}.{key}"), x, &y[key])),
        _ => (a != b).then(|| format!("{path}: {a} and {b}")),
    }
}

#[test]
fn units_change_nothing_of_an_answer() {
    let gear = pool();
    let player = Player {
        error: Level::Club.aim_error(),
        who: Level::Club.spoken(),
        assumed: true,
    };
    let mut rng = Pcg64::seed_from_u64(31);
    let (mut compared, mut with_chance) = (0, 0);
    for _ in 0..80 {
        let asked = requests(&gear, &mut rng);
        let [metric, imperial] = [0, 1].map(|unit| answer(&gear, &asked[unit], &player));
        let (Some(metric), Some(imperial)) = (metric, imperial) else {
            continue;
        };
        compared += 1;
        with_chance += u32::from(metric["chance_low"].is_number());
        let found = differing("", &metric, &imperial);
        assert_eq!(found, None, "{asked:?}");
    }
    assert!(
        compared > 50 && with_chance > 15,
        "{compared}, {with_chance}"
    );
}
