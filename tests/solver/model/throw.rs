//! Throw, and fractions of a ball.

use thincut::contact::ThrowLaw;
use thincut::units::parse_cut;

use super::{EXACT, THREE_DECIMALS, near, pool};

fn law(speed_m_s: f64, roll: f64, side_right: f64) -> ThrowLaw {
    let mut contact = pool().contact;
    contact.restitution = 1.0;
    ThrowLaw {
        contact,
        speed_m_s,
        roll,
        side_right,
    }
}

fn throw_deg(law: &ThrowLaw, cut_deg: f64) -> f64 {
    let (s, c) = cut_deg.to_radians().sin_cos();
    law.throw(s, c).angle_rad.to_degrees()
}

/// Largest throw of any cut, degrees: how much, at which cut.
fn most_throw(law: &ThrowLaw) -> (f64, f64) {
    (0..90_000)
        .map(|k| f64::from(k) * 1e-3)
        .map(|cut| (throw_deg(law, cut), cut))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap()
}

/// Exact values of the published law (TP A.14) with its published constants, e_b = 1, stun, at
/// 1, 3 and 7 mph.
#[test]
fn throw_of_a_stun_shot() {
    let table: [(f64, &[(f64, f64)]); 3] = [
        (
            0.4470,
            &[
                (10.0, 1.443),
                (20.0, 2.976),
                (30.0, 4.715),
                (45.0, 4.945),
                (60.0, 4.621),
            ],
        ),
        (1.3411, &[(30.0, 3.549), (45.0, 2.773), (60.0, 2.318)]),
        (3.1293, &[(30.0, 1.697), (60.0, 0.894)]),
    ];
    for (speed, rows) in table {
        for &(cut, want) in rows {
            near(
                throw_deg(&law(speed, 0.0, 0.0), cut),
                want,
                THREE_DECIMALS,
                "throw",
            );
            near(
                throw_deg(&law(speed, 0.0, 0.0), -cut),
                -want,
                THREE_DECIMALS,
                "right cut",
            );
        }
    }
    // the cuts of the largest throw are given to 0.1°
    for (speed, want, at) in [(0.4470, 5.303, 33.0), (1.3411, 3.876, 25.4)] {
        let (most, cut) = most_throw(&law(speed, 0.0, 0.0));
        near(most, want, THREE_DECIMALS, "largest throw");
        near(cut, at, 0.051, "its cut");
    }
}

/// Exact values of the same law for natural roll at a half-ball hit.
#[test]
fn throw_of_a_rolling_ball() {
    for (speed, want) in [(0.4470, 2.186), (1.3411, 1.004), (3.1293, 0.388)] {
        near(
            throw_deg(&law(speed, 1.0, 0.0), 30.0),
            want,
            THREE_DECIMALS,
            "roll",
        );
        // only the amount of roll counts
        near(
            throw_deg(&law(speed, -1.0, 0.0), 30.0),
            want,
            THREE_DECIMALS,
            "draw",
        );
    }
}

/// Exact: with outside english side = sin φ the surfaces gear, and nothing is thrown.
#[test]
fn gearing_english_throws_nothing() {
    for cut in [5.0_f64, 20.0, 45.0, 70.0] {
        for roll in [0.0, 0.5, 1.0] {
            let gearing = law(1.0, roll, cut.to_radians().sin());
            near(throw_deg(&gearing, cut), 0.0, EXACT, "gearing");
        }
    }
}

/// Published: the cap of the law is a seventh (TP A.14), tan T = tan φ/7 for thick stun shots.
#[test]
fn thick_hits_are_thrown_a_seventh() {
    let law = law(0.4470, 0.0, 0.0);
    for cut in [1.0_f64, 5.0, 15.0] {
        let (s, c) = cut.to_radians().sin_cos();
        let throw = law.throw(s, c);
        assert!(throw.gripping);
        near(throw.angle_rad.tan(), s / c / 7.0, EXACT, "cap");
    }
}

/// Published, coarse: most throw is about an inch per foot, 4.76°, for slow stun near half ball and
/// beyond; a slow rolling ball about half of that (Alciatore, Colorado State, throw tutorial).
#[test]
fn most_throw_is_about_an_inch_a_foot() {
    let (stun, cut) = most_throw(&law(0.4470, 0.0, 0.0));
    assert!(
        (4.0..=5.6).contains(&stun) && (25.0..=45.0).contains(&cut),
        "{stun} at {cut}"
    );
    let half = throw_deg(&law(0.4470, 1.0, 0.0), 30.0) / throw_deg(&law(0.4470, 0.0, 0.0), 30.0);
    assert!((0.35..=0.65).contains(&half), "{half}");
}

/// Trade facts (common practice; exact by sin φ = 1 − fraction): a ¾-ball hit cuts 14.478°, a half
/// ball 30°, a quarter ball 48.590°.
#[test]
fn fractions_of_a_ball() {
    for (words, deg) in [
        ("3/4-ball", 14.478),
        ("half-ball", 30.0),
        ("quarter-ball", 48.590),
    ] {
        near(parse_cut(words).unwrap().deg(), deg, THREE_DECIMALS, words);
    }
}
