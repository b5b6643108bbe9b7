//! The error budget of a shot: sensitivities by closed form, the simulation against the exact
//! chance, the warning, and `thincut budget` itself.

use approx::assert_relative_eq;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use serde_json::Value;
use thincut::gear::Gear;
use thincut::player::budget::{Budget, Disturbed, PIVOT_M, Source, budget};
use thincut::player::spreads::{Spreads, TIP_M_PER_RAD};
use thincut::player::{AimError, Level};
use thincut::player::{chance, makes};
use thincut::pocket::PocketKind;
use thincut::units::Side;
use thincut::window::{AbstractShot, Shot, Solution, Stroke, solve};

use crate::program::{ran, thincut};

/// Central differences over a step of a thousandth of a degree or millimetre: truncation is the
/// square of that, far below this.
const SLOPE: f64 = 1e-5;
/// Standard errors of a simulated rate that are put down to drawing.
const ERRORS: f64 = 4.0;
const NONE: Spreads = Spreads {
    tip_m: 0.0,
    speed_share: 0.0,
    balls_share: 0.0,
};

fn gear(set: &[&str]) -> Gear {
    let set: Vec<String> = set.iter().map(|s| (*s).to_owned()).collect();
    thincut::gear::LoadedGear::load("pool-9ft", &set)
        .expect("a built-in table")
        .gear
}

fn solved(gear: &Gear, cut_deg: f64, cut_side: Side, stroke: Stroke) -> Solution {
    let shot = AbstractShot {
        kind: PocketKind::Corner,
        cut_rad: cut_deg.to_radians(),
        cut_side,
        apart_m: 0.8,
        to_pocket_m: 0.7,
        approach_rad: 0.0,
    };
    let shot = Shot::from_angles(gear, &shot, stroke).expect("it stands");
    solve(gear, &shot).expect("it can be solved")
}

fn run(
    gear: &Gear,
    solution: &Solution,
    player: AimError,
    spreads: Spreads,
    trials: usize,
) -> Budget {
    let solved = solution.solved().expect("a window");
    let shot = Disturbed::new(gear, solved, player.bias_rad);
    let mut rng = Pcg64::seed_from_u64(7);
    budget(&shot, &player, &spreads, trials, &mut rng).expect("a budget")
}

/// The chance by the window alone.
fn by_window(solution: &Solution, player: &AimError) -> f64 {
    let solved = solution.solved().expect("a window");
    let window = solved.window;
    let sigma = player.sigma_rad(window.aim.travel_m, window.cue_speed_m_s);
    chance(&makes(solved), sigma, player.bias_rad)
}

fn small() -> AimError {
    AimError::new(1e-3_f64.to_radians(), 1e-6)
        .and_then(|p| p.with_growth(0.0))
        .expect("a player")
}

/// Without throw dθ/dα = 1 − d cos a/(D cos φ) = −t_c/(D cos φ) [derived].
#[test]
fn arm_and_picture_without_throw_by_closed_form() {
    let gear = gear(&["ball.contact.friction_scale=0"]);
    for cut in [0.0, 20.0, 45.0, 60.0] {
        let solution = solved(&gear, cut, Side::Left, Stroke::default());
        let window = solution.window.as_ref().expect("a window");
        let result = run(&gear, &solution, small(), NONE, 1000);
        let slope = -window.aim.travel_m / (window.approach.contact_m * window.aim.cos_cut);
        assert_relative_eq!(
            result.inputs[0].sensitivity_deg,
            slope,
            max_relative = SLOPE
        );
        // A millimetre at the ghost ball is 1/t_c of aim, in degrees 180/π.
        let per_mm = slope * (1e-3 / window.aim.travel_m).to_degrees();
        assert_relative_eq!(
            result.inputs[1].sensitivity_deg,
            per_mm,
            max_relative = SLOPE
        );
        for without in [3, 4] {
            assert!(result.inputs[without].sensitivity_deg.abs() < 1e-9);
        }
    }
}

/// A straight stun shot grips: tan T = κ(sin φ − w)/cos φ with κ = (2/7)/(1 + e_b), so
/// dθ/dα = 1 − (d/D)(1 − κ) and dθ/dw = κ; the tip does both, added before squaring [derived].
#[test]
fn tip_turns_the_aim_and_spins_the_ball_at_once() {
    let gear = gear(&[]);
    let stroke = Stroke {
        roll: 0.0,
        ..Stroke::default()
    };
    let solution = solved(&gear, 0.0, Side::Left, stroke);
    let window = solution.window.as_ref().expect("a window");
    let spreads = Spreads {
        tip_m: 1e-6,
        ..NONE
    };
    let result = run(&gear, &solution, small(), spreads, 1000);
    let grip = (2.0 / 7.0) / (1.0 + gear.contact.restitution);
    let turn = 1.0 - window.approach.apart_m / window.approach.contact_m * (1.0 - grip);
    let expected = (1e-3 * (turn / PIVOT_M + grip * 2.5 / gear.cue_radius_m())).to_degrees();
    let tip = &result.inputs[2];
    assert_eq!(tip.source, Source::Tip);
    assert_relative_eq!(tip.sensitivity_deg, expected, max_relative = SLOPE);
    // The two work against each other: squared apart they would add up to more.
    assert!(tip.sensitivity_deg.abs() < (1e-3 * turn / PIVOT_M).abs().to_degrees());
}

#[test]
fn shares_add_up_and_mirror() {
    let gear = gear(&[]);
    let club = Level::Club.aim_error();
    let spreads = Spreads::assumed(&club);
    assert_relative_eq!(spreads.tip_m, 0.20_f64.to_radians() * TIP_M_PER_RAD);
    let left = run(
        &gear,
        &solved(&gear, 30.0, Side::Left, Stroke::default()),
        club,
        spreads,
        1000,
    );
    let right = run(
        &gear,
        &solved(&gear, 30.0, Side::Right, Stroke::default()),
        club,
        spreads,
        1000,
    );
    let total: f64 = left.inputs.iter().map(|row| row.share).sum();
    assert_relative_eq!(total, 1.0, max_relative = 1e-12);
    let variance: f64 = left
        .inputs
        .iter()
        .map(|row| row.contribution_deg.powi(2))
        .sum();
    assert_relative_eq!(left.linear_deg, variance.sqrt(), max_relative = 1e-12);
    for (a, b) in left.inputs.iter().zip(&right.inputs) {
        assert_relative_eq!(a.contribution_deg, b.contribution_deg, max_relative = 1e-6);
        assert!(a.contribution_deg > 0.0, "{} does nothing", a.source.name());
    }
}

/// A million simulated shots judged by the pocket against Σ Φ − Φ over the pulled-back window.
#[test]
fn simulated_makes_are_the_chance() {
    let gear = gear(&[]);
    for (cut, left, bias_deg) in [
        (0.0, Side::Left, 0.0),
        (30.0, Side::Left, 0.15),
        (60.0, Side::Right, -0.1),
    ] {
        let solution = solved(&gear, cut, left, Stroke::default());
        let player = Level::Club
            .aim_error()
            .with_bias(f64::to_radians(bias_deg))
            .expect("a bias");
        let result = run(&gear, &solution, player, NONE, 1_000_000);
        let gap = (result.makes - result.makes_by_aim_alone).abs();
        assert!(
            gap <= ERRORS * result.makes_error,
            "cut {cut}: {} simulated, {} by the window",
            result.makes,
            result.makes_by_aim_alone
        );
        let mut halved = player;
        halved.arm_rad *= 0.5;
        let expected = by_window(&solution, &halved);
        let row = &result.inputs[0];
        let error = result.makes_error.hypot(row.gain_error);
        assert!((row.makes_if_halved - expected).abs() <= ERRORS * error);
        if let Some(lean) = result.practise.filter(|p| p.source == Source::Lean) {
            halved = player;
            halved.bias_rad = 0.0;
            let expected = by_window(&solution, &halved);
            assert!((lean.makes - expected).abs() <= ERRORS * error.hypot(lean.gain_error));
        }
    }
}

#[test]
fn leads_with_what_gains_most() {
    let gear = gear(&[]);
    let solution = solved(&gear, 20.0, Side::Left, Stroke::default());
    let of = |arm_deg: f64, picture_mm: f64, bias_deg: f64| {
        let player = AimError::new(arm_deg.to_radians(), 1e-3 * picture_mm)
            .and_then(|p| p.with_bias(bias_deg.to_radians()))
            .expect("a player");
        let result = run(&gear, &solution, player, NONE, 20_000);
        let best = result.practise.expect("something to practise");
        for row in &result.inputs {
            assert!(row.gain <= best.gain);
        }
        best.source
    };
    assert_eq!(of(0.4, 0.5, 0.0), Source::Arm);
    assert_eq!(of(0.05, 5.0, 0.0), Source::Picture);
    assert_eq!(of(0.05, 0.5, 0.5), Source::Lean);
}

/// A lean to the left makes a left cut fuller, so the object ball goes right of the middle.
#[test]
fn lean_moves_the_object_ball_the_other_way() {
    let gear = gear(&[]);
    let solution = solved(&gear, 30.0, Side::Left, Stroke::default());
    let player = Level::Expert
        .aim_error()
        .with_bias(0.1_f64.to_radians())
        .expect("a bias");
    let result = run(&gear, &solution, player, NONE, 1000);
    assert!(result.off_target_deg < 0.0);
    assert!((result.drawn_deg.mean - result.off_target_deg).abs() < 0.5);
}

/// Near a grazing hit the direction is no longer a straight line in the aim: the warning fires,
/// and misses of the object ball are counted. A steady hand on a straight shot raises none.
#[test]
fn warns_where_adding_up_fails() {
    let gear = gear(&[]);
    let thin = solved(&gear, 78.0, Side::Left, Stroke::default());
    let club = Level::Club.aim_error();
    let bad = run(&gear, &thin, club, Spreads::assumed(&club), 20_000);
    assert!(!bad.agreement.agrees);
    let warning = bad.agreement.warning.expect("a warning");
    assert!(warning.contains("trust the simulation"), "{warning}");
    assert!(bad.missed_ball > 0.2);
    let expert = Level::Expert.aim_error();
    let straight = solved(&gear, 0.0, Side::Left, Stroke::default());
    let good = run(&gear, &straight, expert, Spreads::assumed(&expert), 20_000);
    assert!(good.agreement.agrees, "{:?}", good.agreement);
    assert!(good.missed_ball <= 0.0);
}

fn typed(arguments: &[&str]) -> (i32, String, String) {
    let folder = tempfile::tempdir().expect("a folder");
    ran(thincut(folder.path()).args(arguments))
}

const SHOT: [&str; 7] = [
    "budget",
    "--cut",
    "half-ball",
    "--cue-to-object",
    "4ft",
    "--to-pocket",
    "3ft",
];

#[test]
fn command_gives_text_json_and_csv_alike() {
    let with = |more: &[&str]| {
        let (code, out, err) = typed(&[&SHOT[..], more].concat());
        assert_eq!(code, 0, "{err}");
        out
    };
    let text = with(&["--trials", "20000"]);
    assert!(text.starts_with("Practise a straight stroke: "), "{text}");
    assert!(text.contains("club player, assumed"));
    assert_eq!(text.matches("spread assumed").count(), 5);
    let json: Value =
        serde_json::from_str(&with(&["--trials", "20000", "--format", "json"])).expect("JSON");
    let makes = json["makes"].as_f64().expect("a rate");
    assert!(
        text.contains(&format!("Made {:.1} in 10", 10.0 * makes)),
        "{text}"
    );
    assert_eq!(json["practise"]["source"], "arm");
    let csv = with(&["--trials", "20000", "--format", "csv"]);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.expect("a row")).collect();
    assert_eq!(rows.len(), 5);
    for (row, input) in rows.iter().zip(json["inputs"].as_array().expect("inputs")) {
        assert_eq!(row.get(0), input["source"].as_str());
        let share: f64 = row.get(6).and_then(|t| t.parse().ok()).expect("a number");
        assert_relative_eq!(share, input["share"].as_f64().expect("a share"));
    }
    let given = with(&[
        "--stroke-spread",
        "0.1deg",
        "--sighting-spread",
        "1mm",
        "--tip-spread",
        "0.2mm",
    ]);
    assert_eq!(given.matches("spread assumed").count(), 2, "{given}");
}

#[test]
fn seed_decides_the_simulation() {
    let with = |seed| {
        typed(
            &[
                &SHOT[..],
                &["--trials", "5000", "--seed", seed, "--format", "json"],
            ]
            .concat(),
        )
        .1
    };
    assert_eq!(with("3"), with("3"));
    assert_ne!(with("3"), with("4"));
}

#[test]
fn bad_input_is_named() {
    for (more, wanted) in [
        (&["--tip-spread", "9mm"][..], "--tip-spread"),
        (&["--tip-spread", "0.5"], "--tip-spread"),
        (&["--speed-spread", "0.9"], "--speed-spread"),
        (&["--ball-spread", "-0.1"], "--ball-spread"),
        (&["--trials", "10"], "--trials"),
        (&["--level", "clubb"], "club"),
        (&["--pace", "1mm"], "--pace"),
    ] {
        let (code, out, err) = typed(&[&SHOT[..], more].concat());
        assert_eq!(code, 2, "{more:?}: {err}");
        assert!(out.is_empty());
        assert!(err.contains(wanted), "{more:?}: {err}");
    }
    let unreachable = [
        "budget",
        "--cue",
        "4,3",
        "--object",
        "4.2,2",
        "--pocket",
        "head-left",
    ];
    let (code, _, err) = typed(&unreachable);
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("no window"), "{err}");
}
