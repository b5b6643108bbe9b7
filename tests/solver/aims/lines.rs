//! Ghost ball, contact point, fractions, shaft widths, paper aid and own lists.

use super::*;
use thincut::units::Side;

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
    for cut_side in Side::BOTH {
        for cut in CUTS {
            let shot = AbstractShot {
                cut_side,
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
    for cut_side in Side::BOTH {
        let shot = AbstractShot {
            cut_side,
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
        assert!(text.contains("shaft") && text.contains("13mm"), "{text}");
    }
    for multiples in [Multiples::Step(0.0), Multiples::List(vec![])] {
        assert!(ShaftWidths::new(0.013, From::Edge, multiples, None).is_err());
    }
}

// ---- parallel lines, back of the ball, fixed aims ----

/// Equal balls touch where the parallels end: the line from contact to contact. For a smaller cue ball
/// the plan's touch is nearer than both radii, and the line a little thin.
#[test]
fn parallel_lines_are_contact_to_contact_for_equal_balls() {
    for cut in CUTS {
        let s = quiet(cut, 0.9);
        let (lines, contact) = (s.judge(&ParallelLines), s.judge(&ContactToContact));
        assert!(
            (lines.aim_rad - contact.aim_rad).abs() < ROUNDING_RAD,
            "{cut}"
        );
        let small = gear(&["ball.contact.friction_scale=0", "ball.cue_diameter=50mm"]);
        let s = Solved::new(&small, &at(cut, 0.9), Stroke::default());
        let thin = s.judge(&ParallelLines).too_full_rad;
        // R_o + R_c beside 2√(R_o R_c): 0.1195 mm more, as the sine of the cut.
        let (object, cue) = (small.object_radius_m(), small.cue_radius_m());
        let more = (object + cue - 2.0 * (object * cue).sqrt()) * cut.to_radians().sin();
        let off_m = -thin.sin() * s.scene().ghost().travel_m;
        assert!((off_m / more - 1.0).abs() < 0.1, "{cut}: {off_m} {more}");
    }
}

/// Straight in the mouth's middle is the middle of what goes in; at an angle the line through the pocket
/// is off by what the opening's middle is.
#[test]
fn back_of_ball_aims_for_the_middle_of_the_mouth() {
    for cut in CUTS {
        let s = quiet(cut, 0.9);
        assert!((s.judge(&BackOfBall).aim_rad - s.judge(&GHOST).aim_rad).abs() < WINDOW_RAD);
        let turned = AbstractShot {
            approach_rad: 25_f64.to_radians(),
            ..at(cut, 0.9)
        };
        let s = Solved::new(&no_throw(), &turned, Stroke::default());
        let target = s.window.target_rad;
        assert!(target.abs() > 1e-3, "{target}");
        let sent = s
            .window
            .approach
            .sent(s.judge(&BackOfBall).aim_rad)
            .unwrap();
        let want = s.window.approach.at(s.window.centre_line_rad);
        assert!((sent.cut_rad() - want.cut_rad()).abs() < WINDOW_RAD);
        assert!((s.judge(&BackOfBall).aim_rad - s.judge(&GHOST).aim_rad).abs() > 1e-4);
    }
}

/// About 19 from 3 ft into a large pocket at an average angle (Alciatore, TP A.13), and twice as many
/// from twice as far.
#[test]
fn fixed_aims_are_about_nineteen_from_three_feet() {
    let large = gear(&["pocket.corner.mouth=5in"]);
    let count = |to_pocket_m: f64| {
        let shot = AbstractShot {
            approach_rad: 22.5_f64.to_radians(),
            to_pocket_m,
            ..at(0.0, 0.9)
        };
        fixed_aims(&Solved::new(&large, &shot, Stroke::default()).acceptance).unwrap()
    };
    let three = count(0.9144);
    assert!((18.0..20.0).contains(&three), "{three}");
    let six = count(1.8288);
    assert!((1.8..2.3).contains(&(six / three)), "{six}");
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
    // What everybody has; the list of one's own is refused below.
    let known: Vec<&str> = way_names().filter(|name| *name != "own").collect();
    let all = ways(&names(&known), &options).unwrap();
    assert_eq!(all.len(), known.len());
    let text = ways(&names(&["gost-ball"]), &options)
        .unwrap_err()
        .to_string();
    assert!(text.contains("did you mean ghost-ball?"), "{text}");
    let text = ways(&names(&["own"]), &options).unwrap_err().to_string();
    assert!(text.contains("give own FILE"), "{text}");
}
