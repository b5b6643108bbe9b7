//! Ways of aiming against closed forms.

use std::f64::consts::FRAC_PI_2;

use kurbo::Vec2;
use proptest::prelude::*;
use thincut::aims::*;
use thincut::gear::{Gear, LoadedGear};
use thincut::pocket::{Acceptance, PocketKind};
use thincut::units::UnitSystem;
use thincut::window::{AbstractShot, AimWindow, Shot, Stroke, solve};

/// Rounding of a few trigonometric steps, rad.
const ROUNDING_RAD: f64 = 1e-12;
/// The aim window's own accuracy through the pull-back, rad.
const WINDOW_RAD: f64 = 1e-9;

fn gear(sets: &[&str]) -> Gear {
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    LoadedGear::load("pool-9ft", &sets).unwrap().gear
}

fn no_throw() -> Gear {
    gear(&["ball.contact.friction_scale=0"])
}

/// Square into a corner, so that the target is the line to the middle of the pocket.
fn at(cut_deg: f64, apart_m: f64) -> AbstractShot {
    AbstractShot {
        kind: PocketKind::Corner,
        cut_rad: cut_deg.to_radians(),
        cut_left: true,
        apart_m,
        to_pocket_m: 0.9,
        approach_rad: 0.0,
    }
}

struct Solved {
    gear: Gear,
    shot: Shot,
    window: AimWindow,
    acceptance: Acceptance,
}

impl Solved {
    fn new(gear: &Gear, shot: &AbstractShot, stroke: Stroke) -> Self {
        let shot = Shot::from_angles(gear, shot, stroke).unwrap();
        let solution = solve(gear, &shot).unwrap();
        Self {
            gear: gear.clone(),
            shot,
            window: solution.window.unwrap(),
            acceptance: solution.acceptance.unwrap(),
        }
    }

    fn scene(&self) -> Scene<'_> {
        Scene {
            gear: &self.gear,
            shot: &self.shot,
            window: &self.window,
        }
    }

    fn judge(&self, way: &dyn Way) -> Verdict {
        judge(way, &self.scene(), &self.acceptance).unwrap()
    }

    /// Cut that a way makes, rad, in size.
    fn cut_made(&self, way: &dyn Way) -> f64 {
        let aim = way.aim_rad(&self.scene()).unwrap();
        self.window.approach.sent(aim).unwrap().cut_rad().abs()
    }
}

fn quiet(cut_deg: f64, apart_m: f64) -> Solved {
    Solved::new(&no_throw(), &at(cut_deg, apart_m), Stroke::default())
}

const GHOST: GhostBall = GhostBall {
    allowance: Allowance::None,
};

/// Cuts looked at, degrees.
const CUTS: [f64; 7] = [5.0, 15.0, 30.0, 45.0, 60.0, 75.0, 80.0];
/// Distances between the balls, m.
const APARTS: [f64; 3] = [0.3, 0.9, 2.0];

// ---- contact point ----

/// The object ball's centre lies R sin(λ − α) from the line through the contact point, so
/// sin φ = ½ sin(λ − α) with tan α = R sin λ/(d − R cos λ) (plane geometry, equal balls).
#[test]
fn contact_point_cuts_by_its_closed_form_and_always_too_full() {
    for apart in APARTS {
        for cut in CUTS {
            let s = quiet(cut, apart);
            let (d, r) = (apart, s.gear.object_radius_m());
            let wanted = s.scene().wanted_rad().abs();
            let alpha = (r * wanted.sin() / (d - r * wanted.cos())).atan();
            let expected = (0.5 * (wanted + alpha).sin()).asin();
            let made = s.cut_made(&ContactPoint);
            assert!(
                (made - expected).abs() < ROUNDING_RAD * 100.0,
                "cut {cut} apart {apart}: {made} against {expected}"
            );
            let verdict = s.judge(&ContactPoint);
            assert!(verdict.too_full_rad > 0.0 && made < cut.to_radians());
            assert_eq!(verdict.lean(), "too full");
        }
        let straight = quiet(0.0, apart).judge(&ContactPoint);
        assert!(straight.too_full_rad.abs() < WINDOW_RAD);
        assert_eq!(straight.lean(), "right");
        assert_eq!(straight.drops, Drops::Clean);
    }
}

/// From far away half of the sine wanted is made: 30° wanted, asin(¼) = 14.478° made.
#[test]
fn contact_point_from_far_makes_half_the_sine() {
    let s = quiet(30.0, 20.0);
    let made = s.cut_made(&ContactPoint).to_degrees();
    // 57 mm on 20 m leaves 0.1° of parallax
    assert!((made - 14.478).abs() < 0.15, "{made}");
}

#[test]
fn contact_to_contact_is_the_ghost_ball_for_equal_and_unequal_balls() {
    for sets in [
        &[][..],
        &["ball.cue_diameter=50mm"],
        &["ball.cue_diameter=60.3mm"],
    ] {
        let gear = gear(sets);
        for cut in CUTS {
            let s = Solved::new(&gear, &at(cut, 0.8), Stroke::default());
            let (a, b) = (s.judge(&ContactToContact), s.judge(&GHOST));
            assert!((a.aim_rad - b.aim_rad).abs() < ROUNDING_RAD, "{cut}");
        }
    }
}

// ---- ghost ball ----

#[test]
fn ghost_ball_is_exact_without_throw_at_every_angle() {
    for apart in APARTS {
        for cut in [0.0].into_iter().chain(CUTS) {
            let verdict = quiet(cut, apart).judge(&GHOST);
            assert!(verdict.bias_rad.abs() < WINDOW_RAD, "{cut} {apart}");
            assert_eq!(verdict.drops, Drops::Clean);
        }
    }
}

/// With throw the ghost ball sends the object ball T(φ) off the target, towards a fuller cut; its
/// error is that angle pulled back through the contact.
#[test]
fn ghost_ball_errs_by_the_throw_pulled_back() {
    let gear = gear(&[]);
    for cut_left in [true, false] {
        for cut in CUTS {
            let shot = AbstractShot {
                cut_left,
                ..at(cut, 0.9)
            };
            let stun = Stroke {
                roll: 0.0,
                ..Stroke::default()
            };
            let s = Solved::new(&gear, &shot, stun);
            let ghost = s.scene().ghost();
            let throw = s.window.law.throw(ghost.sin_cut, ghost.cos_cut).angle_rad;
            let verdict = s.judge(&GHOST);
            let sent = s.window.object_direction_rad(verdict.bias_rad).unwrap();
            assert!((sent - (s.window.target_rad - throw)).abs() < WINDOW_RAD);
            let pulled_back = s.window.aim_for_rad(s.window.target_rad - throw).unwrap();
            assert!((verdict.bias_rad - pulled_back).abs() < WINDOW_RAD);
            assert!(verdict.too_full_rad > 0.0, "{cut}");
            let exact = GhostBall {
                allowance: Allowance::Exact,
            };
            assert!(s.judge(&exact).bias_rad.abs() < ROUNDING_RAD);
        }
    }
}

#[test]
fn fixed_allowance_moves_the_ghost_ball_thinner() {
    let way = GhostBall {
        allowance: Allowance::Fixed(1f64.to_radians()),
    };
    for cut_left in [true, false] {
        let shot = AbstractShot {
            cut_left,
            ..at(30.0, 0.9)
        };
        let s = Solved::new(&no_throw(), &shot, Stroke::default());
        let verdict = s.judge(&way);
        assert_eq!(verdict.lean(), "too thin");
        let sent = s.window.object_direction_rad(verdict.bias_rad).unwrap();
        let off = (sent - s.window.target_rad).abs().to_degrees();
        assert!((off - 1.0).abs() < 1e-9, "{off}");
    }
}

// ---- fractions ----

/// sin φ = 1 − f: ¾ ball 14.478°, ½ ball 30°, ¼ ball 48.590° (plane geometry; the half-ball hit's
/// 30° is common knowledge of the game).
#[test]
fn fractions_are_exact_at_their_own_angles() {
    let quarters = Fractions::even("quarters", 4).unwrap();
    for apart in APARTS {
        for (fraction, named_deg) in [(0.75, 14.478), (0.5, 30.0), (0.25, 48.590), (1.0, 0.0)] {
            let own_deg = f64::asin(1.0 - fraction).to_degrees();
            assert!((own_deg - named_deg).abs() < 5e-4);
            let s = quiet(own_deg, apart);
            assert!((quarters.nearest(&s.scene()) - fraction).abs() < 1e-12);
            assert!(
                s.judge(&quarters).bias_rad.abs() < WINDOW_RAD,
                "{fraction} {apart}"
            );
            let chosen = Fractions::new("fractions", vec![fraction]).unwrap();
            assert!((s.cut_made(&chosen) - own_deg.to_radians()).abs() < WINDOW_RAD);
        }
    }
}

#[test]
fn a_chosen_fraction_keeps_its_cut_whatever_is_wanted() {
    let half = Fractions::new("fractions", vec![parse_fraction("1/2").unwrap()]).unwrap();
    let (thinner, fuller) = (quiet(45.0, 0.9), quiet(20.0, 0.9));
    assert!((thinner.cut_made(&half).to_degrees() - 30.0).abs() < 1e-9);
    assert_eq!(thinner.judge(&half).lean(), "too full");
    assert_eq!(fuller.judge(&half).lean(), "too thin");
}

#[test]
fn fractions_outside_a_ball_are_refused() {
    for text in ["9/8", "1.01", "0", "-1/2", "1/0", "half", "nan"] {
        let error = parse_fraction(text).unwrap_err().to_string();
        assert!(
            error.contains(text) && error.contains("at most 1"),
            "{error}"
        );
    }
    let error = Fractions::new("fractions", vec![0.5, 1.25]).unwrap_err();
    assert!(error.to_string().contains("1.25"), "{error}");
    assert!(Fractions::new("fractions", vec![]).is_err());
}

// ---- shaft widths ----

#[test]
fn shaft_widths_count_from_centre_and_from_edge() {
    let s = quiet(30.0, 1.0);
    let (d, radius) = (1.0, s.gear.object_radius_m());
    for (from, start) in [(From::Centre, 0.0), (From::Edge, radius)] {
        let one = ShaftWidths::new(0.0125, from, Multiples::List(vec![1.0]), None).unwrap();
        let aim = one.aim_rad(&s.scene()).unwrap();
        // left cut: the aim line passes right of the object ball
        assert!((aim + ((start + 0.0125) / d).atan()).abs() < ROUNDING_RAD);
    }
    // The nearest half width is never farther than a quarter width at the object ball.
    for cut in CUTS {
        let s = quiet(cut, 1.0);
        let halves = ShaftWidths::new(0.0125, From::Centre, Multiples::Step(0.5), None).unwrap();
        let way_m = halves.aim_rad(&s.scene()).unwrap().tan();
        let right_m = s.scene().ghost().aim_rad.tan();
        assert!((way_m - right_m).abs() <= 0.25 * 0.0125 + 1e-12, "{cut}");
    }
}

/// Similar triangles: seen from the eye, widths grow with distance.
#[test]
fn apparent_width_grows_with_the_distance_from_the_eye() {
    let s = quiet(30.0, 1.0);
    let radius = s.gear.cue_radius_m();
    // an eye at ball height: plain ratio of distances along the cloth
    let low = Eye::new(0.7, 0.1).unwrap();
    let up = 0.1 - radius;
    let expected = (1.7f64.powi(2) + up * up).sqrt() / ((0.7 - radius).powi(2) + up * up).sqrt();
    assert!((apparent_factor(&s.scene(), low) - expected).abs() < 1e-12);
    let list = || Multiples::List(vec![1.0]);
    let plain = ShaftWidths::new(0.013, From::Centre, list(), None).unwrap();
    let seen = ShaftWidths::new(0.013, From::Centre, list(), Some(low)).unwrap();
    let ratio = seen.width_m(&s.scene()) / plain.width_m(&s.scene());
    assert!((ratio - expected).abs() < 1e-12);
}

#[test]
fn a_shaft_without_width_is_refused() {
    for (shaft, multiples) in [
        (0.0, Multiples::Step(0.5)),
        (-0.013, Multiples::Step(0.5)),
        (f64::NAN, Multiples::Step(0.5)),
    ] {
        let error = ShaftWidths::new(shaft, From::Centre, multiples, None).unwrap_err();
        let text = error.to_string();
        assert!(text.contains("--shaft") && text.contains("13mm"), "{text}");
    }
    for multiples in [Multiples::Step(0.0), Multiples::List(vec![])] {
        assert!(ShaftWidths::new(0.013, From::Edge, multiples, None).is_err());
    }
}

// ---- shadow ----

fn lamp(gear: &Gear, height_m: f64, ahead_m: f64, left_m: f64) -> Lamp {
    let place = LampPlace::FromObjectBall { ahead_m, left_m };
    Lamp::new(gear, height_m, place).unwrap()
}

#[test]
fn shadow_is_exact_under_the_lamp_and_displaced_away_from_it() {
    let eye = Eye::default();
    for cut in CUTS {
        let s = quiet(cut, 1.0);
        let under = Shadow {
            lamp: lamp(&s.gear, 0.85, 0.0, 0.0),
            eye,
        };
        assert!(s.judge(&under).bias_rad.abs() < WINDOW_RAD, "{cut}");
        // A lamp to the left pushes the shadow, and with it the aim, to the right.
        for (left, sign) in [(0.5, -1.0), (-0.5, 1.0)] {
            let beside = Shadow {
                lamp: lamp(&s.gear, 0.85, 0.0, left),
                eye,
            };
            let bias = s.judge(&beside).bias_rad;
            assert!(bias * sign > 0.0, "{cut} {left} {bias}");
        }
    }
}

/// The light's edges by plain tangents: from a lamp at height H, l beside the base, the lines
/// at β ± κ from the upright, tan β = l/(H − R), sin κ = R/√(l² + (H − R)²).
#[test]
fn shadow_shift_matches_the_tangents() {
    for radius in [0.02, 0.028575] {
        for height in [0.2, 0.5, 0.85, 2.0] {
            for beside in [0.0, 0.1, 0.5, 1.5] {
                let (up, beta) = (height - radius, f64::atan2(beside, height - radius));
                let kappa = f64::asin(radius / f64::hypot(beside, up));
                let near = height * (beta - kappa).tan() - beside;
                let far = height * (beta + kappa).tan() - beside;
                let middle = 0.5 * (near + far);
                let shift = shadow_shift(radius, height, beside);
                assert!((shift - middle).abs() < 1e-12 * (1.0 + far.abs()));
            }
        }
    }
}

#[test]
fn a_lamp_at_ball_height_or_behind_the_player_is_refused() {
    let s = quiet(30.0, 1.0);
    let place = Lamp::DEFAULT_PLACE;
    for height in [0.0, 0.028, s.gear.balls.object_diameter_m] {
        let text = Lamp::new(&s.gear, height, place).unwrap_err().to_string();
        assert!(
            text.contains("--lamp-height") && text.contains("57.15 mm"),
            "{text}"
        );
    }
    assert!(Lamp::new(&s.gear, f64::NAN, place).is_err());
    // 1 m to the cue ball and 0.7 m to the eye: 2 m back is 0.3 m behind the eye.
    let behind = lamp(&s.gear, 0.85, -2.0, 0.0);
    let eye = Eye::default();
    for way in [
        Box::new(Shadow { lamp: behind, eye }) as Box<dyn Way>,
        Box::new(Reflection { lamp: behind, eye }),
    ] {
        let error = way.aim_rad(&s.scene()).unwrap_err();
        assert_eq!(error.name(), "lamp-behind-player");
        let text = error.to_string();
        assert!(
            text.contains("300 mm behind") && text.contains("--lamp-ahead"),
            "{text}"
        );
    }
}

#[test]
fn a_lamp_on_the_plan_is_the_lamp_beside_the_ball() {
    let gear = no_throw();
    for cut_left in [true, false] {
        let shot = AbstractShot {
            cut_left,
            approach_rad: 0.2,
            ..at(35.0, 0.8)
        };
        let s = Solved::new(&gear, &shot, Stroke::default());
        let along = Vec2::from_angle(s.window.approach.base_rad);
        let left = Vec2::new(-along.y, along.x);
        let plan = s
            .shot
            .frame
            .to_plan(s.shot.object + along * 0.3 + left * 0.2);
        let on_table = Lamp::new(&gear, 0.85, LampPlace::OnTable(plan)).unwrap();
        let beside = lamp(&gear, 0.85, 0.3, 0.2);
        let eye = Eye::default();
        let a = s.judge(&Shadow {
            lamp: on_table,
            eye,
        });
        let b = s.judge(&Shadow { lamp: beside, eye });
        assert!((a.aim_rad - b.aim_rad).abs() < ROUNDING_RAD);
    }
}

// ---- reflection ----

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn unit(a: [f64; 3]) -> [f64; 3] {
    let n = dot(a, a).sqrt();
    a.map(|v| v / n)
}

fn less(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

const R: f64 = 0.028575;

#[test]
fn bright_spot_of_equal_distances_is_on_the_bisector() {
    for half_deg in [0.0f64, 10.0, 35.0, 60.0, 80.0] {
        let (sin, cos) = half_deg.to_radians().sin_cos();
        let (lamp, eye) = ([2.0 * cos, 0.0, 2.0 * sin], [2.0 * cos, 0.0, -2.0 * sin]);
        let spot = bright_spot(R, lamp, eye).unwrap();
        assert!(dot(spot.normal, [1.0, 0.0, 0.0]) > 1.0 - 1e-15);
        let expected = (2.0 * sin).atan2(2.0 * cos - R);
        assert!((spot.incidence_rad - expected).abs() < ROUNDING_RAD * 10.0);
    }
}

/// Far lamp and eye: the normal halves the angle between them; the rest shrinks with R/distance.
#[test]
fn bright_spot_of_far_lamp_and_eye_halves_the_angle() {
    for gamma_deg in [20.0f64, 90.0, 150.0] {
        let gamma = gamma_deg.to_radians();
        let mut last = f64::INFINITY;
        for far in [10.0, 1e3, 1e5] {
            let lamp = [3.0 * far * gamma.cos(), 3.0 * far * gamma.sin(), 0.0];
            let spot = bright_spot(R, lamp, [far, 0.0, 0.0]).unwrap();
            let off = (spot.from_eye_rad - 0.5 * gamma).abs();
            assert!(off <= R / far && off < last, "{gamma_deg} {far} {off}");
            last = off;
        }
    }
}

/// Lamp at infinity, eye at E: sin(γ − 2ψ) = (R/E) sin(γ − ψ), the limit of Alhazen's equation.
#[test]
fn lamp_and_eye_on_one_line_reflect_straight_back() {
    let spot = bright_spot(R, [3.0, 0.0, 0.0], [1.0, 0.0, 0.0]).unwrap();
    assert!(spot.incidence_rad.abs() < ROUNDING_RAD);
    assert!((spot.normal[0] - 1.0).abs() < 1e-15);
    // right opposite: the spot would lie behind the edge
    assert!(bright_spot(R, [-3.0, 0.0, 0.0], [1.0, 0.0, 0.0]).is_none());
    assert!(bright_spot(R, [0.01, 0.0, 0.0], [1.0, 0.0, 0.0]).is_none());
}

proptest! {
    /// Law of reflection in space, and Alhazen's equation in the plane.
    #[test]
    fn bright_spot_obeys_the_law_of_reflection(
        lamp in [-2.0..2.0f64, -2.0..2.0, 0.1..2.0],
        eye in [-3.0..-0.3f64, -0.5..0.5, -0.02..1.0],
    ) {
        if let Some(spot) = bright_spot(R, lamp, eye) {
            let n = spot.normal;
            prop_assert!((dot(n, n) - 1.0).abs() < 1e-12);
            let at = n.map(|v| v * R);
            let (to_lamp, to_eye) = (unit(less(lamp, at)), unit(less(eye, at)));
            // to_lamp + to_eye = 2 (n·to_eye) n
            let twice = 2.0 * dot(n, to_eye);
            for k in 0..3 {
                prop_assert!((to_lamp[k] + to_eye[k] - twice * n[k]).abs() < 1e-11);
            }
            prop_assert!(spot.incidence_rad < FRAC_PI_2);
            let (l, e) = (dot(lamp, lamp).sqrt(), dot(eye, eye).sqrt());
            let gamma = (dot(lamp, eye) / (l * e)).clamp(-1.0, 1.0).acos();
            let psi = spot.from_eye_rad;
            let left = l * e * (gamma - 2.0 * psi).sin();
            let right = R * (l * (gamma - psi).sin() - e * psi.sin());
            // acos loses half the digits where lamp and eye lie on one line
            prop_assert!((left - right).abs() < 1e-6);
        }
    }

    /// Left and right cuts are mirror images for every way that has no lamp to one side.
    #[test]
    fn mirror_symmetry(cut in 1.0..75.0f64, apart in 0.2..2.0f64) {
        let gear = gear(&[]);
        let options = WayOptions::usual(&gear).unwrap();
        let solved = |cut_left| {
            let shot = AbstractShot { cut_left, ..at(cut, apart) };
            Solved::new(&gear, &shot, Stroke::default())
        };
        let (left, right) = (solved(true), solved(false));
        for way in ways(&[], &options).unwrap() {
            let (a, b) = (left.judge(&*way), right.judge(&*way));
            prop_assert!((a.aim_rad + b.aim_rad).abs() < 1e-8, "{}", way.name());
            prop_assert!((a.too_full_rad - b.too_full_rad).abs() < 1e-8, "{}", way.name());
            prop_assert_eq!(a.drops, b.drops);
        }
    }
}

/// Lamp straight ahead: the spot lies on the sight line, so the aim is a full ball whatever the cut.
#[test]
fn reflection_of_a_lamp_straight_ahead_is_a_full_ball() {
    for cut in CUTS {
        let s = quiet(cut, 1.0);
        let way = Reflection {
            lamp: lamp(&s.gear, 0.85, 0.5, 0.0),
            eye: Eye::default(),
        };
        assert!(way.aim_rad(&s.scene()).unwrap().abs() < ROUNDING_RAD);
    }
    let s = quiet(20.0, 1.0);
    let way = Reflection {
        lamp: lamp(&s.gear, 0.85, 0.2, 0.6),
        eye: Eye::default(),
    };
    let aim = way.aim_rad(&s.scene()).unwrap();
    assert!(aim > 0.0 && aim < (R / 0.97f64).atan(), "{aim}");
}

// ---- paper aid ----

#[test]
fn paper_aid_without_error_is_the_ghost_ball() {
    for cut in [0.0].into_iter().chain(CUTS) {
        let s = Solved::new(&gear(&[]), &at(cut, 0.9), Stroke::default());
        let (ghost, paper) = (
            s.judge(&GHOST),
            s.judge(&PaperAid::new(0.0, Placing::Full).unwrap()),
        );
        assert!((ghost.aim_rad - paper.aim_rad).abs() < ROUNDING_RAD);
        // misplaced by e, the line passes e beside the ghost ball's centre
        let travel = s.scene().ghost().travel_m;
        let thin = s.judge(&PaperAid::new(0.003, Placing::Thin).unwrap());
        let turn = ghost.too_full_rad - thin.too_full_rad;
        assert!((travel * turn.sin() - 0.003).abs() < 1e-9, "{cut}");
    }
    assert!(PaperAid::new(-0.001, Placing::Full).is_err());
    let close = quiet(0.0, 0.07);
    let error = PaperAid::new(0.05, Placing::Full)
        .unwrap()
        .aim_rad(&close.scene())
        .unwrap_err();
    assert_eq!(error.name(), "placing-too-large");
}

// ---- own list ----

const OWN: &str = r#"
name = "marks"
[[offset]]
cut = "30deg"
aim = "28mm"
[[offset]]
cut = "0deg"
aim = "0mm"
[[offset]]
cut = "60deg"
aim = "50mm"
"#;

#[test]
fn own_list_is_interpolated_and_ends_where_it_ends() {
    let own = OwnOffsets::from_toml(OWN).unwrap();
    assert_eq!(own.name(), "marks");
    for (cut, mm) in [
        (0.0, 0.0),
        (15.0, 14.0),
        (30.0, 28.0),
        (45.0, 39.0),
        (60.0, 50.0),
    ] {
        let offset = own.offset_m(f64::to_radians(cut)).unwrap();
        assert!((offset * 1e3 - mm).abs() < 1e-9, "{cut}: {offset}");
    }
    let s = quiet(30.0, 1.0);
    let aim = own.aim_rad(&s.scene()).unwrap();
    assert!((aim + 0.028f64.atan2(1.0)).abs() < 1e-9);
    let error = own.aim_rad(&quiet(70.0, 1.0).scene()).unwrap_err();
    assert_eq!(error.name(), "outside-list");
    assert!(error.to_string().contains("60.0"), "{error}");
}

#[test]
fn own_lists_that_cannot_be_read_are_refused() {
    let cases = [
        ("", "empty"),
        ("[[offset]]\ncut = 30\naim = \"1mm\"", "30"),
        ("[[offset]]\ncut = \"30deg\"", "aim"),
        ("[[offset]]\ncut = \"95deg\"\naim = \"1mm\"", "95deg"),
        ("[[offset]]\ncut = \"5deg\"\naim = \"1m\"", "100mm"),
        (
            "[[offset]]\ncut = \"5deg\"\naim = \"1mm\"\n[[offset]]\ncut = \"5deg\"\naim = \"2mm\"",
            "twice",
        ),
        ("colour = \"red\"", "colour"),
    ];
    for (text, says) in cases {
        let error = OwnOffsets::from_toml(text).unwrap_err().to_string();
        assert!(error.contains(says), "{text:?}: {error}");
    }
}

// ---- catalogue ----

#[test]
fn ways_by_name() {
    let gear = gear(&[]);
    let options = WayOptions::usual(&gear).unwrap();
    let names = |list: &[&str]| -> Vec<String> { list.iter().map(|s| (*s).to_owned()).collect() };
    let all = ways(&names(&WAY_NAMES), &options).unwrap();
    // the paper aid is there twice: placed too full, placed too thin
    assert_eq!(all.len(), WAY_NAMES.len() + 1);
    let text = ways(&names(&["gost-ball"]), &options)
        .unwrap_err()
        .to_string();
    assert!(text.contains("did you mean ghost-ball?"), "{text}");
    let text = ways(&names(&["own"]), &options).unwrap_err().to_string();
    assert!(text.contains("--own"), "{text}");
}

// ---- over cuts and distances ----

/// Where a way stops, the object ball leaves along an edge of what drops.
#[test]
fn a_way_stops_where_the_object_ball_meets_the_edge() {
    let gear = no_throw();
    let bench = |apart| {
        Bench::new(&gear, at(0.0, apart), Stroke::default())
            .unwrap()
            .unwrap()
    };
    let mut last = f64::INFINITY;
    for apart in APARTS {
        let reach = reach(&bench(apart), &ContactPoint);
        let end = reach.good_to_deg().unwrap();
        let clean = reach.clean_to_deg().unwrap();
        assert!(clean <= end && end > 0.0 && end < 30.0, "{apart}: {end}");
        // nearer balls hide more of the error
        assert!(end < last);
        last = end;
        let s = Solved::new(&gear, &at(end, apart), Stroke::default());
        let bias = s.judge(&ContactPoint).bias_rad;
        let theta = s.window.object_direction_rad(bias).unwrap();
        let nearest = s
            .acceptance
            .pieces
            .spans()
            .iter()
            .flat_map(|p| [p.from_rad, p.to_rad])
            .map(|edge| (edge - theta).abs())
            .fold(f64::INFINITY, f64::min);
        assert!(nearest.to_degrees() < 2e-3, "{apart}: {nearest}");
        let too_full_mm = reach.past_end_mm.unwrap();
        assert!(too_full_mm > 0.0);
        let said = reach_sentence(&reach, UnitSystem::Metric);
        assert!(
            said.starts_with("good to ") && said.ends_with(" thinner"),
            "{said}"
        );
    }
    let exact = reach(&bench(0.9), &GHOST);
    assert!((exact.good_to_deg().unwrap() - 80.0).abs() < 1e-9);
    assert!(exact.worst_mm.unwrap().abs() < 1e-4);
    let said = reach_sentence(&exact, UnitSystem::Metric);
    assert_eq!(said, "good at every cut to 80°");
}

#[test]
fn map_and_bias_agree_with_single_shots() {
    let gear = gear(&[]);
    let stroke = Stroke::default();
    let bench = Bench::new(&gear, at(0.0, 0.9), stroke).unwrap().unwrap();
    let cuts: Vec<f64> = CUTS.iter().map(|c| c.to_radians()).collect();
    let way = Fractions::even("eighths", 8).unwrap();
    let cells = works_map(&bench, &way, &cuts, &APARTS).unwrap();
    assert_eq!(cells.len(), CUTS.len() * APARTS.len());
    for cell in &cells {
        let shot = at(cell.cut_deg, cell.apart_mm / 1e3);
        let verdict = Solved::new(&gear, &shot, stroke).judge(&way);
        assert_eq!(cell.status, verdict.drops.name());
        assert!((cell.too_full_mm.unwrap() - verdict.too_full_m * 1e3).abs() < 1e-6);
    }
    for point in bias_by_cut(&bench, &way, &cuts) {
        let s = Solved::new(&gear, &at(point.cut_deg, 0.9), stroke);
        let verdict = s.judge(&way);
        assert!((point.too_full_deg.unwrap().to_radians() - verdict.too_full_rad).abs() < 1e-9);
        let clean = s.window.clean.unwrap();
        assert!((point.clean_full_deg.unwrap().to_radians() - clean.thick_rad).abs() < 1e-9);
        // the line is inside the clean window exactly when the ball goes in untouched
        let inside =
            verdict.too_full_rad < clean.thick_rad && -verdict.too_full_rad < clean.thin_rad;
        assert_eq!(inside, verdict.drops == Drops::Clean);
        let room = verdict.room.unwrap();
        assert_eq!(inside, room.full_rad > 0.0 && room.thin_rad > 0.0);
    }
    assert!(works_map(&bench, &way, &cuts, &[0.01]).is_err());
}

// ---- what moves the aim ----

#[test]
fn without_friction_only_size_moves_the_aim() {
    let gear = no_throw();
    let shot = Shot::from_angles(&gear, &at(30.0, 0.9), Stroke::default()).unwrap();
    let rows = moves(&gear, &shot, &GHOST, Stick::default()).unwrap();
    for row in rows
        .iter()
        .filter(|r| r.what != "size" && r.what != "balls")
    {
        assert!(row.ball_thinner_deg.unwrap().abs() < 1e-6, "{row:?}");
    }
    let by = |setting: &str| {
        let row = rows.iter().find(|r| r.setting == setting).unwrap();
        row.ball_thinner_mm.unwrap()
    };
    assert!(by("equal balls").abs() < 1e-6);
    // a smaller cue ball has to pass nearer the object ball's centre: a fuller line
    assert!(by("smaller cue ball") < 0.0 && by("larger cue ball") > 0.0);
}

#[test]
fn friction_moves_the_aim_the_way_it_is_taught() {
    let gear = gear(&[]);
    let shot = Shot::from_angles(&gear, &at(30.0, 0.9), Stroke::default()).unwrap();
    let rows = moves(&gear, &shot, &GHOST, Stick::default()).unwrap();
    let row = |setting: &str| rows.iter().find(|r| r.setting == setting).unwrap();
    let throw = |setting: &str| row(setting).throw_deg.unwrap();
    // stun throws more than roll, dirty balls more than polished, soft more than hard
    assert!(throw("stun") > throw("natural roll"));
    assert!(throw("dirty (friction × 1.3)") > throw("polished (friction × 0.5)"));
    assert!(throw("0.5m/s at the pocket") > throw("3m/s at the pocket"));
    // inside english throws more than none, outside near gearing (sin 30° = 0.5) not at all
    assert!(throw("0.5 inside").abs() > 0.0);
    assert!(
        throw("0.5 outside").abs() < 0.05,
        "{}",
        throw("0.5 outside")
    );
    assert!(row("0.5 outside").ball_thinner_deg.unwrap() < 0.0);
    for r in &rows {
        // more throw asks for as much thinner a line; the ghost ball is too full by it
        let diff = r.throw_deg.unwrap() * r.too_full_deg.unwrap();
        assert!(diff >= -1e-9, "{r:?}");
        let stick = r.stick_thinner_deg.unwrap() - r.ball_thinner_deg.unwrap();
        if r.what != "side" || r.setting == "none" {
            assert!(stick.abs() < 1e-12);
        }
    }
}

/// Pivot length: a stick turned about the pivot by the squirt sends the ball along the first line;
/// at ratio 0.5 the tip is 0.2 R = 5.715 mm out, and 5.715/300 is 1.0915°.
#[test]
fn the_stick_points_against_the_squirt() {
    let gear = gear(&[]);
    let stick = Stick::default();
    let squirt = stick.squirt_rad(&gear, 0.5);
    assert!((squirt - 0.005715 / 0.3).abs() < 1e-15 && squirt > 0.0);
    let same = Stick::with_squirt(&gear, 2.0 * squirt).unwrap();
    assert!((same.pivot_m() - 0.3).abs() < 1e-12);
    // Left cut, outside english is right english: the ball squirts left (fuller), so the stick goes
    // right (thinner) of the ball's line. The mirror image does the same.
    for cut_left in [true, false] {
        let shot = AbstractShot {
            cut_left,
            ..at(30.0, 0.9)
        };
        let shot = Shot::from_angles(&gear, &shot, Stroke::default()).unwrap();
        let rows = moves(&gear, &shot, &GHOST, stick).unwrap();
        for (setting, sign) in [("0.5 outside", 1.0), ("0.5 inside", -1.0)] {
            let r = rows.iter().find(|r| r.setting == setting).unwrap();
            let turn = r.stick_thinner_deg.unwrap() - r.ball_thinner_deg.unwrap();
            assert!((turn - sign * squirt.to_degrees()).abs() < 1e-9, "{turn}");
        }
    }
    for bad in [0.0, -0.01] {
        let text = Stick::with_squirt(&gear, bad).unwrap_err().to_string();
        assert!(text.contains("--squirt"), "{text}");
    }
    assert!(Stick::with_pivot(0.0).is_err());
}
