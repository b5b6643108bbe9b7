//! The solver beside a second program for the same model, on fresh random cases.
//!
//! `tracer.c`, beside this file, shares no line with the solver: another language, and written from
//! the model's text. Acceptances, whole beds and strokes of the stick are drawn anew at each run; the
//! seed is printed, and `THINCUT_SEED=…` draws the same again. `THINCUT_CASES=200` draws so many times
//! as many.

#![expect(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on fails the test"
)]

use std::env;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::thread;

use rand::rngs::OsRng;
use rand::{Rng, SeedableRng, TryRngCore};
use rand_pcg::Pcg64;
use thincut::bed::Bed;
use thincut::gear::{GRAVITY_M_S2, Gear, PocketSpec};
use thincut::motion::BallBody;
use thincut::pocket::{Acceptance, PocketKind, PocketName, PocketShape, accept};
use thincut::stroke::{Stick, reach};
use thincut::{Point, Vec2};

/// Edges agree to this, degrees: the solver promises 1e-10 rad, the other halves down to 2e-12.
const EDGE_DEG: f64 = 2e-8;
/// Neither program promises pieces, or gaps, narrower than this at the mouth, m.
const NARROW_M: f64 = 1e-3;
/// On the bed directions are compared within atan of this over the distance, m.
const LISTED_M: f64 = 0.52;
/// What a stroke brings: angles in degrees, places, speeds, roll and side.
const STROKE: f64 = 2e-8;

/// How many cases of each kind unless asked for more: a few seconds.
const CASES: usize = 16;

fn cases() -> usize {
    let times = env::var("THINCUT_CASES").map_or(1, |n| n.parse().expect("a number of cases"));
    CASES * times
}

/// A generator for this test, from a seed that is said.
fn fresh(what: &str) -> Pcg64 {
    let seed = env::var("THINCUT_SEED").map_or_else(
        |_| OsRng.try_next_u64().unwrap(),
        |s| s.parse().expect("a whole number"),
    );
    println!("{what}: THINCUT_SEED={seed}");
    Pcg64::seed_from_u64(seed)
}

/// The other program, compiled once.
fn tracer() -> &'static PathBuf {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        let source = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/independent/tracer.c");
        let out = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("independent-tracer");
        let cc = Command::new("cc")
            .args(["-O2", "-std=c11", "-Wall", "-Wextra", "-Werror", "-o"])
            .arg(&out)
            .args([source, "-lm"])
            .status()
            .expect("cc, a C compiler (Debian: build-essential)");
        assert!(cc.success(), "tracer.c does not compile");
        out
    })
}

/// What the other program answers to these lines.
fn ask(lines: String) -> String {
    let mut child = Command::new(tracer())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    // From a thread of its own: both pipes have an end.
    let writer = thread::spawn(move || stdin.write_all(lines.as_bytes()));
    let out = child.wait_with_output().unwrap();
    writer.join().unwrap().unwrap();
    let text = String::from_utf8(out.stdout).unwrap();
    assert!(out.status.success(), "{text}");
    text
}

fn settings(gear: &Gear) -> String {
    let mut lines = String::new();
    let mut set = |name: &str, value: f64| writeln!(lines, "set {name} {value:?}").unwrap();
    set("bed.length", gear.bed.length_m);
    set("bed.width", gear.bed.width_m);
    set("object.radius", gear.balls.object_diameter_m / 2.0);
    set("cue.radius", gear.balls.cue_diameter_m / 2.0);
    set("object.mass", gear.balls.object_mass_kg);
    set("cue.mass", gear.balls.cue_mass_kg);
    set(
        "nose.height",
        gear.cushion.nose_height_ratio * gear.balls.object_diameter_m,
    );
    set("cloth.sliding", gear.cloth.sliding_friction);
    set("cloth.rolling", gear.cloth.rolling_friction);
    set("cloth.spin_decay", gear.cloth.spin_decay_rad_s2);
    set("gravity", GRAVITY_M_S2);
    set("balls.restitution", gear.contact.restitution);
    set("balls.mu_a", gear.contact.friction_floor);
    set("balls.mu_b", gear.contact.friction_span);
    set("balls.mu_c", gear.contact.friction_decay_s_m);
    set("balls.scale", gear.contact.friction_scale);
    set("cushion.restitution", gear.cushion.restitution);
    set("cushion.friction", gear.cushion.friction);
    set("facing.restitution", gear.corner.facing_restitution);
    set("facing.friction", gear.corner.facing_friction);
    for (kind, spec) in [("corner", &gear.corner), ("side", &gear.side)] {
        set(&format!("{kind}.mouth"), spec.mouth_m);
        set(
            &format!("{kind}.facing_angle"),
            spec.facing_angle_rad.to_degrees(),
        );
        set(&format!("{kind}.shelf"), spec.shelf_m);
        set(&format!("{kind}.cutout_radius"), spec.cutout_radius_m);
        set(&format!("{kind}.jaw_radius"), spec.jaw_radius_m);
    }
    lines
}

/// Equipment that somebody could own: a preset with every number of the rebound, the cloth and the
/// pockets drawn anew.
fn drawn_gear(rng: &mut Pcg64) -> Gear {
    let names = Gear::preset_names();
    loop {
        let mut gear = Gear::preset(names[rng.random_range(0..names.len())]).unwrap();
        gear.cloth.sliding_friction = rng.random_range(0.15..0.4);
        gear.cloth.rolling_friction = rng.random_range(0.005..0.015);
        gear.cloth.spin_decay_rad_s2 = rng.random_range(5.0..15.0);
        gear.contact.restitution = rng.random_range(0.92..0.98);
        gear.contact.friction_scale = rng.random_range(0.0..2.0);
        gear.cushion.restitution = rng.random_range(0.6..0.95);
        gear.cushion.friction = rng.random_range(0.0..0.25);
        let (e, mu) = (rng.random_range(0.5..0.9), rng.random_range(0.0..0.25));
        let mut vary = |spec: &mut PocketSpec| {
            spec.mouth_m *= rng.random_range(0.94..1.08);
            spec.shelf_m *= rng.random_range(0.8..1.25);
            spec.facing_angle_rad += rng.random_range(-1.5..1.0_f64).to_radians();
            spec.jaw_radius_m *= rng.random_range(0.8..1.1);
            (spec.facing_restitution, spec.facing_friction) = (e, mu);
        };
        vary(&mut gear.corner);
        vary(&mut gear.side);
        // Read back as a file would be, so that what no table may be is drawn again.
        if let Ok(gear) = Gear::from_toml_str(&gear.to_toml()) {
            return gear;
        }
    }
}

/// A direction range and how the ball drops there.
type Piece = (f64, f64, String);

/// The answer `pieces N` and its lines.
fn pieces(lines: &mut std::str::Lines<'_>) -> Vec<Piece> {
    let head = lines.next().expect("an answer");
    let count: usize = head
        .strip_prefix("pieces ")
        .unwrap_or_else(|| panic!("{head}"))
        .parse()
        .unwrap();
    (0..count)
        .map(|_| {
            let line = lines.next().unwrap();
            let mut cells = line.split(' ');
            let mut next = || cells.next().unwrap();
            (
                next().parse().unwrap(),
                next().parse().unwrap(),
                next().to_owned(),
            )
        })
        .collect()
}

fn ours(accepted: &Acceptance, listed_deg: f64) -> Vec<Piece> {
    let within = |rad: f64| rad.to_degrees().clamp(-listed_deg, listed_deg);
    accepted
        .pieces
        .spans()
        .iter()
        .map(|s| {
            (
                within(s.from_rad),
                within(s.to_rad),
                s.tag.name().to_owned(),
            )
        })
        .filter(|(from, to, _)| to > from)
        .collect()
}

/// What happens in a direction, and how wide the piece or the gap is in which it does.
fn there(list: &[Piece], deg: f64) -> (&str, f64) {
    if let Some((from, to, how)) = list.iter().find(|p| p.0 <= deg && deg < p.1) {
        return (how, to - from);
    }
    let before = list.iter().map(|p| p.1).filter(|to| *to <= deg);
    let after = list.iter().map(|p| p.0).filter(|from| *from > deg);
    let from = before.fold(f64::NEG_INFINITY, f64::max);
    ("miss", after.fold(f64::INFINITY, f64::min) - from)
}

/// Everywhere the same, but for narrow pieces and slivers at edges.
fn same(what: &str, ours: &[Piece], theirs: &[Piece], narrow_deg: f64) {
    let mut cuts: Vec<f64> = ours.iter().chain(theirs).flat_map(|p| [p.0, p.1]).collect();
    cuts.sort_by(f64::total_cmp);
    for pair in cuts.windows(2) {
        if pair[1] - pair[0] <= EDGE_DEG {
            continue;
        }
        let middle = 0.5 * (pair[0] + pair[1]);
        let ((we, wide), (they, wide_there)) = (there(ours, middle), there(theirs, middle));
        assert!(
            we == they || wide.min(wide_there) < narrow_deg,
            "{what}\nfrom {} to {} we say {we}, the other program {they}\nours {ours:?}\ntheirs {theirs:?}",
            pair[0],
            pair[1]
        );
    }
}

/// A question to the other program, what we say to it, and how far the ball is from the pocket, m.
struct Asked {
    question: String,
    ours: Vec<Piece>,
    far_m: f64,
}

/// Asks the other program as many questions as there are cases and holds its answers against ours.
/// `drawn` makes one on a table; none where no ball can lie or nothing drops.
fn asked_of_both(what: &str, drawn: impl Fn(&Gear, &mut Pcg64) -> Option<Asked>) {
    let mut rng = fresh(what);
    let (mut lines, mut kept) = (String::new(), Vec::new());
    while kept.len() < cases() {
        let gear = drawn_gear(&mut rng);
        let Some(asked) = drawn(&gear, &mut rng) else {
            continue;
        };
        lines += &settings(&gear);
        writeln!(lines, "{}", asked.question).unwrap();
        kept.push((gear.name, asked));
    }
    let answer = ask(lines);
    let mut answer = answer.lines();
    for (gear, asked) in kept {
        let theirs = pieces(&mut answer);
        let narrow_deg = (NARROW_M / asked.far_m).to_degrees();
        let what = format!("{gear}: {}", asked.question);
        same(&what, &asked.ours, &theirs, narrow_deg);
    }
}

#[test]
fn another_program_accepts_the_same_directions() {
    asked_of_both("acceptance", |gear, rng| {
        let body = BallBody::object(gear);
        let (kind, name, widest) = if rng.random() {
            (PocketKind::Corner, "corner", 40.0)
        } else {
            (PocketKind::Side, "side", 60.0)
        };
        let approach_deg = rng.random_range(-widest..widest);
        let (pace_m_s, far_m) = (rng.random_range(0.2..4.0), rng.random_range(0.15..2.5));
        let object = (-far_m * Vec2::from_angle(f64::to_radians(approach_deg))).to_point();
        let shape = PocketShape::new(gear, kind, &body);
        // Too near a rail no ball can lie.
        let accepted = accept(&shape, &gear.cloth, &body, object, pace_m_s);
        let accepted = accepted.ok()?.ok()?;
        Some(Asked {
            question: format!("accept {name} {approach_deg:?} {pace_m_s:?} {far_m:?}"),
            ours: ours(&accepted, 90.0),
            far_m,
        })
    });
}

#[test]
fn another_program_sees_the_same_on_the_whole_bed() {
    asked_of_both("whole bed", |gear, rng| {
        let pocket = PocketName::ALL[rng.random_range(0..6)];
        let object = Point::new(
            rng.random_range(0.0..gear.bed.length_m),
            rng.random_range(0.0..gear.bed.width_m),
        );
        let pace_m_s = rng.random_range(0.3..3.0);
        // In a rail, behind the pocket's mouth, or nothing drops.
        let accepted = Bed::new(gear).accept(pocket, object, pace_m_s);
        let accepted = accepted.ok()?.ok()?;
        let far_m = accepted.distance_m;
        let listed_deg = (LISTED_M / far_m).atan().to_degrees();
        Some(Asked {
            question: format!(
                "bed {} {:?} {:?} {pace_m_s:?}",
                pocket.name(),
                object.x,
                object.y
            ),
            ours: ours(&accepted, listed_deg),
            far_m,
        })
    });
}

#[test]
fn another_program_brings_the_same_stroke_to_the_ball() {
    let mut rng = fresh("stick");
    let (mut lines, mut kept) = (String::new(), Vec::new());
    while kept.len() < 20 * cases() {
        let gear = drawn_gear(&mut rng);
        let radius_m = gear.cue_radius_m();
        let (tip, round) = (rng.random_range(0.0..0.5), rng.random_range(0.0..360.0));
        let at = tip * Vec2::from_angle(f64::to_radians(round));
        let elevation_deg = rng.random_range(0.0..12.0);
        let stick = Stick {
            speed_m_s: rng.random_range(0.5..6.0),
            across_m: at.x * radius_m,
            height_m: at.y * radius_m,
            elevation_rad: f64::to_radians(elevation_deg),
            pivot_m: rng.random_range(0.2..0.6),
        };
        let apart_m = gear.contact_distance_m() * rng.random_range(1.3..30.0);
        let beside_m = gear.contact_distance_m() * rng.random_range(-0.9..0.9);
        let object = Point::new(apart_m, beside_m);
        let Some(struck) = reach(&gear, &stick, Point::ORIGIN, object, 0.0) else {
            continue; // the curve or the cloth kept it from the ball
        };
        let question = format!(
            "stick {:?} {:?} {:?} {elevation_deg:?} {:?} {apart_m:?} {beside_m:?}",
            stick.speed_m_s, at.x, at.y, stick.pivot_m
        );
        lines += &settings(&gear);
        writeln!(lines, "{question}").unwrap();
        kept.push((gear.name, question, struck));
    }
    let answer = ask(lines);
    for ((gear, question, struck), line) in kept.into_iter().zip(answer.lines()) {
        let theirs = line
            .strip_prefix("met ")
            .unwrap_or_else(|| panic!("{gear}: {question}: {line}"));
        let arrival = struck.arrival;
        let ours = [
            arrival.direction_rad.to_degrees(),
            arrival.at.x,
            arrival.at.y,
            arrival.speed_m_s,
            arrival.roll,
            arrival.side_right,
            struck.cut_rad.to_degrees(),
            struck.object_rad.to_degrees(),
            struck.object_speed_m_s,
        ];
        // A graze turns a small difference of the way into a large one of the cut.
        let allowed = STROKE / struck.cut_rad.cos().max(1e-3);
        let theirs: Vec<f64> = theirs.split(' ').map(|n| n.parse().unwrap()).collect();
        assert_eq!(ours.len(), theirs.len());
        for (we, they) in ours.into_iter().zip(theirs) {
            assert!(
                (we - they).abs() <= allowed * we.abs().max(1.0),
                "{gear}: {question}: we say {ours:?}, the other program {line}"
            );
        }
    }
}
