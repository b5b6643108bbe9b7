//! Our side of the comparison in `benches/peer/run.sh`: writes windows for the other side to solve,
//! and times the same work here.

use std::io::Write as _;
use std::time::Instant;

use kurbo::{Point, Vec2};
use rayon::prelude::*;
use thincut::gear::Gear;
use thincut::motion::BallBody;
use thincut::pocket::{Acceptance, PocketKind, PocketShape, accept};
use thincut::window::{AimWindow, Stroke, Window, solve_many, solve_with};

/// Best of this many rounds, as the scripts do.
const ROUNDS: u32 = 5;
/// Cue balls handed to the solver at once.
const AT_ONCE: usize = 256;

fn main() {
    let gear = Gear::preset("pool-9ft").expect("embedded");
    let approach = 20_f64.to_radians();
    let accepted = acceptance(&gear, approach);
    let cues = cue_places(&accepted, approach);
    let stroke = Stroke::default();
    let solve = |cue: &Point| solve_with(&gear, &accepted, *cue, &stroke);

    let solved = |cues: &[Point]| {
        let windows = solve_many(&gear, &accepted, cues, &stroke);
        windows.iter().filter(|w| w.is_ok()).count()
    };
    let one = best(|| cues.chunks(AT_ONCE).map(solved).sum());
    let all = best(|| cues.par_chunks(AT_ONCE).map(solved).sum());
    let count = cues.len() as f64;
    println!("ours-one-core,{},{:.4}", cues.len(), one / count * 1e6);
    println!("ours-all-cores,{},{:.4}", cues.len(), all / count * 1e6);
    let square = best(|| {
        std::hint::black_box(acceptance(&gear, 0.0));
        1
    });
    println!("ours-acceptance,{:.9}", square);

    if let Some(path) = std::env::var_os("PEER_WINDOWS") {
        let mut out = std::io::BufWriter::new(std::fs::File::create(path).expect("writable"));
        writeln!(out, "apart,speed,roll,seven directions,seven aims").expect("written");
        for window in cues.iter().filter_map(|c| solve(c).ok()) {
            write_row(&mut out, &window).expect("written");
        }
    }
}

fn acceptance(gear: &Gear, approach_rad: f64) -> Acceptance {
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, PocketKind::Corner, &body);
    let object = Point::ORIGIN - Vec2::from_angle(approach_rad) * 0.8;
    accept(&shape, &gear.cloth, &body, object, 1.0)
        .expect("a good place")
        .expect("it drops")
}

/// 20,000 places for cuts of up to 60° to either side, 0.4 to 2 m away.
fn cue_places(accepted: &Acceptance, approach_rad: f64) -> Vec<Point> {
    (0..200)
        .flat_map(|i| (0..100).map(move |j| (f64::from(i), f64::from(j))))
        .map(|(i, j)| {
            let cut = (-60.0 + 120.0 * i / 199.0).to_radians();
            accepted.object - Vec2::from_angle(approach_rad - cut) * (0.4 + 1.6 * j / 99.0)
        })
        .collect()
}

/// Seconds of the fastest round.
fn best(mut work: impl FnMut() -> usize) -> f64 {
    (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(work());
            start.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min)
}

fn write_row(out: &mut impl std::io::Write, w: &AimWindow) -> std::io::Result<()> {
    let edges = |pick: fn(&Window) -> [f64; 2]| {
        [w.clean, w.direct, w.drop]
            .into_iter()
            .flatten()
            .flat_map(move |p| pick(&p))
    };
    let directions = edges(|p| [p.object.from_rad, p.object.to_rad]).map(|t| w.centre_line_rad + t);
    let aims = edges(|p| [p.aim_from_rad, p.aim_to_rad]).map(|a| w.aim.aim_rad + a);
    write!(
        out,
        "{},{},{}",
        w.approach.apart_m, w.law.speed_m_s, w.law.roll
    )?;
    for x in std::iter::once(w.centre_line_rad + w.target_rad).chain(directions) {
        write!(out, ",{x}")?;
    }
    for x in std::iter::once(w.aim.aim_rad).chain(aims) {
        write!(out, ",{x}")?;
    }
    writeln!(out)
}
