//! Quantities with units: what each text means, what is refused and with which words.
//!
//! Factors: International Yard and Pound Agreement, 1959 (inch 25.4 mm, pound 0.45359237 kg).
//! Ball fractions (¾ 14.478°, ½ 30°, ¼ 48.590°): trade facts, sin φ = 1 − fraction.

use approx::assert_relative_eq;
use proptest::prelude::*;
use thincut::error::UnitError;
use thincut::units::{
    Angle, Axis, Coordinate, InverseSpeed, Length, Mass, Position, Rail, Speed, SpinDecay, Time,
    UnitSystem, parse_cut, parse_number, speak,
};

/// Two roundings of an f64, relative.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

/// Trade facts are quoted to a thousandth of a degree.
const QUOTED_DEG: f64 = 0.0006;

fn mm(text: &str) -> f64 {
    text.parse::<Length>()
        .unwrap_or_else(|e| panic!("{text}: {e}"))
        .mm()
}

#[test]
fn lengths_in_every_unit_and_spelling() {
    let cases = [
        ("2.25in", 57.15),
        ("57.15mm", 57.15),
        ("4ft", 1219.2),
        ("1.2m", 1200.0),
        ("12cm", 120.0),
        ("4' 6\"", 1371.6),
        ("4'6\"", 1371.6),
        ("4′ 6″", 1371.6),
        ("4’ 6”", 1371.6),
        ("4ft 6in", 1371.6),
        ("4ft6in", 1371.6),
        ("4 ft 6 1/2 in", 1384.3),
        ("4' 6''", 1371.6),
        ("4 9/16in", 4.5625 * 25.4),
        ("4-9/16in", 4.5625 * 25.4),
        ("9/16in", 0.5625 * 25.4),
        ("4½in", 114.3),
        ("4 ½ in", 114.3),
        ("¼in", 6.35),
        ("2¾\"", 69.85),
        ("  57.15  mm ", 57.15),
        ("57.15\u{a0}mm", 57.15),
        ("1e3mm", 1000.0),
        ("5.715e-2 m", 57.15),
        (".5in", 12.7),
        ("3 Feet", 914.4),
        ("+3mm", 3.0),
        ("-3mm", -3.0),
        ("−1' 6\"", -457.2),
    ];
    for (text, expected_mm) in cases {
        assert_relative_eq!(mm(text), expected_mm, max_relative = ROUNDING);
    }
}

#[test]
fn other_quantities() {
    let deg = |t: &str| t.parse::<Angle>().unwrap().deg();
    assert_relative_eq!(deg("30deg"), 30.0, max_relative = ROUNDING);
    assert_relative_eq!(deg("30°"), 30.0, max_relative = ROUNDING);
    assert_relative_eq!(deg("-12.5 °"), -12.5, max_relative = ROUNDING);
    assert_relative_eq!("0.5rad".parse::<Angle>().unwrap().rad(), 0.5);
    let m_s = |t: &str| t.parse::<Speed>().unwrap().m_s();
    assert_relative_eq!(m_s("1.5m/s"), 1.5);
    // 1 mph = 0.44704 m/s exactly
    assert_relative_eq!(m_s("3mph"), 1.341_12, max_relative = ROUNDING);
    assert_relative_eq!(m_s("18km/h"), 5.0, max_relative = ROUNDING);
    assert_relative_eq!(m_s("10 ft/s"), 3.048, max_relative = ROUNDING);
    let kg = |t: &str| t.parse::<Mass>().unwrap().kg();
    assert_relative_eq!(kg("170g"), 0.17);
    assert_relative_eq!(kg("0.17kg"), 0.17);
    assert_relative_eq!(kg("6oz"), 0.170_097_138_75, max_relative = ROUNDING);
    assert_relative_eq!("1.5min".parse::<Time>().unwrap().s(), 90.0);
    assert_relative_eq!("10rad/s2".parse::<SpinDecay>().unwrap().rad_s2(), 10.0);
    assert_relative_eq!("10 rad/s²".parse::<SpinDecay>().unwrap().rad_s2(), 10.0);
    assert_relative_eq!("1.088s/m".parse::<InverseSpeed>().unwrap().s_m(), 1.088);
    assert_relative_eq!(parse_number("1 1/2").unwrap(), 1.5);
}

#[test]
fn a_bare_number_is_told_its_unit() {
    let said = |r: Result<Length, UnitError>| r.unwrap_err().to_string();
    assert_eq!(
        said("57.15".parse()),
        "\"57.15\" has no unit: a length needs one, so write 57.15mm or 57.15in"
    );
    assert_eq!(
        "30".parse::<Angle>().unwrap_err().to_string(),
        "\"30\" has no unit: an angle needs one, so write 30deg or 30rad"
    );
    assert!(said("4 9/16".parse()).contains("4 9/16mm or 4 9/16in"));
    assert!(
        "1.5"
            .parse::<Speed>()
            .unwrap_err()
            .to_string()
            .contains("1.5m/s or 1.5mph")
    );
    assert!(
        "170"
            .parse::<Mass>()
            .unwrap_err()
            .to_string()
            .contains("170g or 170oz")
    );
    assert!(
        "3".parse::<Time>()
            .unwrap_err()
            .to_string()
            .contains("3s or 3min")
    );
}

#[test]
fn what_is_no_quantity_is_refused() {
    for text in [
        "",
        "mm",
        "nanm",
        "infm",
        "NaN mm",
        "abc",
        "4/0in",
        "4..5mm",
        "--4mm",
        "1m 20cm",
        "6in 4ft",
        "4mm 5",
        "4' 6\" 3\"",
        "1/2/3in",
        "5 & 6mm",
        "4½½in",
        "é",
        "½½",
    ] {
        assert!(text.parse::<Length>().is_err(), "{text:?} was read");
    }
    let error = "1e999m".parse::<Length>().unwrap_err();
    assert!(matches!(error, UnitError::NotFinite { .. }), "{error}");
    let error = "30deg".parse::<Length>().unwrap_err();
    assert_eq!(
        error.to_string(),
        "\"30deg\": \"deg\" is no unit for a length: use one of mm, m, in, ft, cm"
    );
    let error = "57,15mm".parse::<Length>().unwrap_err();
    assert!(matches!(error, UnitError::DecimalComma { .. }), "{error}");
    assert!(matches!(
        parse_number("0,85"),
        Err(UnitError::DecimalComma { .. })
    ));
    assert!(matches!(
        parse_number("inf"),
        Err(UnitError::NotANumber { .. })
    ));
    assert!(matches!(
        parse_number("0.85m"),
        Err(UnitError::NotANumber { .. })
    ));
}

#[test]
fn cuts_as_fractions_of_a_ball() {
    let cases = [
        ("full-ball", 0.0),
        ("3/4-ball", 14.478),
        ("¾-ball", 14.478),
        ("three-quarter-ball", 14.478),
        ("half-ball", 30.0),
        ("1/2-ball", 30.0),
        ("Half-ball hit", 30.0),
        ("half ball", 30.0),
        ("1/4-ball", 48.590),
        ("quarter-ball", 48.590),
        ("0.25-ball", 48.590),
        ("30deg", 30.0),
        ("-20°", -20.0),
    ];
    for (text, deg) in cases {
        let cut = parse_cut(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(
            (cut.deg() - deg).abs() < QUOTED_DEG,
            "{text}: {} not {deg}",
            cut.deg()
        );
    }
    for text in [
        "0/4-ball",
        "5/4-ball",
        "ball",
        "-1/2-ball",
        "thin",
        "some-ball",
    ] {
        let error = parse_cut(text).unwrap_err();
        assert!(
            matches!(error, UnitError::NotACut { .. }),
            "{text}: {error}"
        );
    }
    assert!(matches!(
        parse_cut("30"),
        Err(UnitError::MissingUnit { .. })
    ));
}

#[test]
fn places_on_the_table() {
    let (length_m, width_m, rho_m) = (2.54, 1.27, 0.0275);
    let at = |text: &str| {
        let position: Position = text.parse().unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!(
            position.to_string().parse::<Position>(),
            Ok(position),
            "{text}"
        );
        position
            .resolve(length_m, width_m, rho_m)
            .unwrap_or_else(|e| panic!("{text}: {e}"))
    };
    let cases = [
        ("6,2", 1.905, 0.635),
        ("foot-spot", 1.905, 0.635),
        ("head-spot", 0.635, 0.635),
        ("centre-spot", 1.27, 0.635),
        ("center-spot", 1.27, 0.635),
        ("2.5, 1½", 0.793_75, 0.476_25),
        ("50in,1.2m", 1.27, 1.2),
        ("2 diamonds, 1 diamond", 0.635, 0.3175),
        ("frozen-foot,frozen-left", 2.54 - 0.0275, 1.27 - 0.0275),
        ("frozen-head,frozen-right", 0.0275, 0.0275),
        ("8,4", 2.54, 1.27),
    ];
    for (text, x, y) in cases {
        let point = at(text);
        assert_relative_eq!(point.x, x, max_relative = ROUNDING);
        assert_relative_eq!(point.y, y, max_relative = ROUNDING);
    }
}

#[test]
fn what_is_no_place_on_the_table_is_refused() {
    let (length_m, width_m, rho_m) = (2.54, 1.27, 0.0275);
    for text in [
        "6",
        "6,2,1",
        "spot",
        "",
        "x,2",
        "nan,2",
        "frozen-left,2",
        "3,frozen-foot",
        "1,",
    ] {
        assert!(text.parse::<Position>().is_err(), "{text:?} was read");
    }
    let off: Position = "9,2".parse().unwrap();
    assert_eq!(
        off.resolve(length_m, width_m, rho_m)
            .unwrap_err()
            .to_string(),
        "\"9\" is off the table: the table reaches from 0 to 8 diamonds along the side rails"
    );
    let off: Position = "1,5ft".parse().unwrap();
    assert_eq!(
        off.resolve(length_m, width_m, rho_m)
            .unwrap_err()
            .to_string(),
        "\"5ft\" is off the table: the table reaches from 0 to 50in along the short rails"
    );
    assert!(
        Coordinate::Frozen(Rail::Left)
            .resolve(Axis::Along, 2.54, 0.0275)
            .is_err()
    );
}

#[test]
fn said_to_people() {
    let cut = |deg: f64| speak::cut(Angle::from_deg(deg));
    assert_eq!(cut(30.0), "30°, a half-ball hit");
    assert_eq!(cut(-30.0), "30°, a half-ball hit");
    assert_eq!(cut(0.0), "0°, a full-ball hit");
    assert_eq!(cut(14.478), "14°, a three-quarter-ball hit");
    assert_eq!(cut(40.0), "40°, between a half-ball and a quarter-ball hit");
    assert_eq!(
        cut(5.0),
        "5°, between a full-ball and a three-quarter-ball hit"
    );
    assert_eq!(cut(75.0), "75°, thinner than an eighth-ball hit");
    let degrees = |deg: f64| speak::degrees(Angle::from_deg(deg));
    assert_eq!(degrees(0.0904), "0.09°");
    assert_eq!(degrees(4.76), "4.8°");
    assert_eq!(degrees(-0.001), "0°");
    assert_eq!(degrees(-3.0), "−3°");
    let small = |mm: f64, system| speak::small_length(Length::from_mm(mm), system);
    assert_eq!(small(2.04, UnitSystem::Metric), "2 mm");
    assert_eq!(small(0.619, UnitSystem::Metric), "0.62 mm");
    assert_eq!(small(11.9, UnitSystem::Metric), "12 mm");
    assert_eq!(small(2.04, UnitSystem::Inches), "0.08 in");
    assert_eq!(small(11.9, UnitSystem::Inches), "0.47 in");
    let far = |inches: f64, system| speak::distance(Length::from_in(inches), system);
    assert_eq!(far(36.0, UnitSystem::Inches), "3 ft");
    assert_eq!(far(42.0, UnitSystem::Inches), "3½ ft");
    assert_eq!(far(40.0, UnitSystem::Inches), "3 ft 4 in");
    assert_eq!(far(35.9, UnitSystem::Inches), "3 ft");
    assert_eq!(far(8.0, UnitSystem::Inches), "8 in");
    assert_eq!(far(48.0, UnitSystem::Metric), "1.22 m");
    assert_eq!(far(24.0, UnitSystem::Metric), "61 cm");
    assert_eq!(far(39.3, UnitSystem::Metric), "1 m");
    for (count, said) in [
        (1.5, "1½"),
        (0.25, "¼"),
        (0.0, "0"),
        (3.0, "3"),
        (2.76, "2¾"),
        (1.3, "1.3"),
        (-0.5, "−½"),
    ] {
        assert_eq!(speak::diamonds(count), said);
    }
    assert_eq!("inches".parse::<UnitSystem>(), Ok(UnitSystem::Inches));
    assert!("miles".parse::<UnitSystem>().is_err());
}

proptest! {
    /// What is written is read back as the very same number.
    #[test]
    fn text_loses_nothing(value in -1e6_f64..1e6, inches in -400_i32..400) {
        let length = Length::from_m(value);
        prop_assert_eq!(length.to_string().parse::<Length>(), Ok(length));
        let angle = Angle::from_rad(value);
        prop_assert_eq!(angle.to_string().parse::<Angle>(), Ok(angle));
        let mass = Mass::from_kg(value);
        prop_assert_eq!(mass.to_string().parse::<Mass>(), Ok(mass));
        let speed = Speed::from_m_s(value);
        prop_assert_eq!(speed.to_string().parse::<Speed>(), Ok(speed));
        let sixteenths = Length::from_in(f64::from(inches) / 16.0);
        prop_assert_eq!(sixteenths.to_string().parse::<Length>(), Ok(sixteenths));
    }

    /// No text makes the readers panic.
    #[test]
    fn any_text_is_read_or_refused(text in "[-+0-9./ a-z'\"°½¼,]{0,12}") {
        if let Ok(length) = text.parse::<Length>() {
            prop_assert!(length.is_finite());
        }
        if let Ok(cut) = parse_cut(&text) {
            prop_assert!(cut.is_finite());
        }
        if let Ok(position) = text.parse::<Position>() {
            let _ = position.resolve(2.54, 1.27, 0.0275);
        }
    }
}

#[test]
fn no_more_decimals_than_it_takes() {
    for (value, most, said) in [
        (1.5, 3, "1.5"),
        (2.0, 3, "2"),
        (100.0, 0, "100"),
        (-0.0004, 3, "0"),
        (-0.5, 1, "-0.5"),
    ] {
        assert_eq!(thincut::units::decimals(value, most), said);
    }
}
