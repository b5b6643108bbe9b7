//! Readings that cannot be: one clear error each, naming what would work; nothing written.

use std::fs;

use rand::SeedableRng as _;
use rand_pcg::Pcg64;
use thincut::gear::LoadedGear;
use thincut::measure::strokes::{rolling_time_s, run_time_s};
use thincut::measure::{
    Instruments, MeasureError, MeasuredTable, Quantity, Reading, drawn_chances, read_form,
    readings, usual_shots,
};
use thincut::player::Level;
use thincut::pocket::PocketKind;
use thincut::request::StrokeRequest;
use thincut::window::StrokeError;

use super::{output, read, thincut};

/// Options, and what the message must name: the option, the value, what would work.
const BAD: &[(&[&str], &[&str])] = &[
    (&[], &["nothing is measured", "--corner-mouth", "--form"]),
    (
        &["--corner-mouth", "4.5"],
        &["--corner-mouth", "\"4.5\" has no unit", "write 4.5in"],
    ),
    (
        &["--corner-mouth", "116"],
        &["--corner-mouth", "\"116\" has no unit", "write 116mm"],
    ),
    (
        &["--corner-mouth", "116cm"],
        &[
            "--corner-mouth 116cm",
            "1160 mm",
            "50 mm to 250 mm",
            "116mm",
        ],
    ),
    (
        &["--corner-mouth=-116mm"],
        &["--corner-mouth -116mm", "50 mm to 250 mm"],
    ),
    (
        &["--corner-mouth", "115,5mm"],
        &["--corner-mouth 115,5mm", "write 115.5mm with a point"],
    ),
    (
        &["--corner-mouth", "50mm"],
        &["pocket.corner.mouth", "no wider than the ball", "more than"],
    ),
    (
        &["--ball-diameter", "5.7mm"],
        &["--ball-diameter 5.7mm", "20 mm to 100 mm", "5.7cm"],
    ),
    (
        &[
            "--ball-diameter",
            "99mm",
            "--side-mouth",
            "98mm",
            "--corner-mouth",
            "150mm",
        ],
        &[
            "pocket.side.mouth",
            "no wider than the ball",
            "more than 99",
        ],
    ),
    (
        &["--ball-weight", "170"],
        &["--ball-weight", "\"170\" has no unit", "write 170g"],
    ),
    (
        &["--ball-weight", "170kg"],
        &["--ball-weight 170kg", "10 g to 1000 g", "170g"],
    ),
    (
        &["--corner-throat", "100mm", "--corner-shelf", "40mm"],
        &["--corner-throat needs --corner-mouth"],
    ),
    (
        &["--corner-mouth", "116mm", "--corner-throat", "106mm"],
        &[
            "--corner-throat needs --corner-throat-depth",
            "3 mm or more",
        ],
    ),
    (
        &[
            "--corner-mouth",
            "116mm",
            "--corner-throat",
            "119mm",
            "--corner-shelf",
            "40mm",
        ],
        &[
            "--corner-throat 119 mm",
            "wider than the mouth (116 mm)",
            "at most 116 mm",
        ],
    ),
    (
        &["--side-throat-depth", "40mm"],
        &["--side-throat-depth needs --side-throat"],
    ),
    (
        &["--corner-gap", "-2mm"],
        &["--corner-gap -2mm", "0 mm to 100 mm"],
    ),
    (
        &["--corner-gap", "30mm", "--corner-mouth", "116mm"],
        &["--corner-gap 30 mm", "--corner-mouth says 116 mm", "again"],
    ),
    (
        &["--table-length", "2540mm, 2498mm"],
        &[
            "--table-length ([table] length in the form)",
            "2498mm and 2540mm are 42 mm apart",
            "one of them is probably misread",
        ],
    ),
    (
        &["--corner-mouth", "116mm, 115mm", "--corner-mouth", "126mm"],
        &[
            "--corner-mouth",
            "115mm and 126mm are 11 mm apart",
            "within 9.7 mm",
        ],
    ),
    (
        &["--ball-weight", "170g, 107g"],
        &["--ball-weight", "107g and 170g are 63 g apart", "misread"],
    ),
    (
        &["--roll-out", "3.2m 0s"],
        &["--roll-out 3.2m 0s", "the time of 0 s", "0.5 to 60 s"],
    ),
    (
        &["--roll-out", "3.2m"],
        &["--roll-out", "\"3.2m\"", "way and time", "3.2m 8.1s"],
    ),
    (
        &["--roll-out", "3.2m 8.1m"],
        &["--roll-out", "\"8.1m\"", "no unit for a time"],
    ),
    (
        &["--roll-out", "-3.2m 8s"],
        &["--roll-out -3.2m 8s", "the way of -3.2 m", "0.3 to 10 m"],
    ),
    (
        &["--roll-out", "10m 1s"],
        &[
            "--roll-out 10m 1s",
            "rolling friction of 2.0394",
            "10 m take",
        ],
    ),
    (
        &["--roll-lengths", "4lengths 8.8s"],
        &["--roll-lengths needs --roll-out", "cloth and cushions"],
    ),
    (
        &["--roll-out", "2.5m 7.1s", "--roll-lengths", "4lengths 30s"],
        &[
            "--roll-lengths 4lengths 30s",
            "no cushion does that",
            "4 lengths take",
        ],
    ),
    (
        &["--roll-out", "2.5m 7.1s", "--roll-lengths", "4 8.8s"],
        &["--roll-lengths", "\"4\"", "4.2lengths"],
    ),
    (
        &["--throw", "half-ball 1m 48mm"],
        &["--throw", "cut, path of the object ball"],
    ),
    (
        &["--throw", "half-ball 1m 200mm 1.5m/s"],
        &["--throw half-ball 1m 200mm 1.5m/s", "grip", "hit harder"],
    ),
    (
        &["--corner-mouth", "116mm", "--good-to", "ruler=1mm"],
        &["--good-to ruler", "rule, feeler, calliper"],
    ),
    (
        &["--corner-mouth", "116mm", "--good-to", "rule=0mm"],
        &["--good-to rule 0mm", "0.01mm to 100mm"],
    ),
    (
        &["--corner-mouth", "116mm", "--good-to", "rule=1"],
        &["--good-to rule", "\"1\" has no unit", "1mm"],
    ),
    (
        &["--corner-mouth", "116mm", "--date", "Tuesday"],
        &["--date \"Tuesday\"", "2025-11-25"],
    ),
    (
        &["--corner-mouth", "116mm", "--name", "../hall"],
        &["../hall", "letters, digits"],
    ),
    (
        &["--corner-mouth", "116mm", "--cut", "half-ball"],
        &["--cue-to-object", "missing"],
    ),
    (
        &["--corner-mouth", "116mm", "--table", "pool-9f"],
        &["pool-9f", "did you mean pool-9ft?"],
    ),
    (&["none.toml"], &["none.toml", "--form"]),
];

#[test]
fn what_cannot_be_is_one_clear_message() {
    let folder = tempfile::tempdir().unwrap();
    for (args, words) in BAD {
        let mut command = thincut(folder.path());
        command
            .args(["table", "measure", "--out", "hall.toml"])
            .args(*args);
        let (out, err) = output(&mut command, 2);
        assert!(out.is_empty(), "{args:?}: {out}");
        assert!(
            err.starts_with("error: ") && err.lines().count() == 1,
            "{args:?}: {err}"
        );
        for word in *words {
            assert!(err.contains(word), "{args:?}: {word} missing in {err}");
        }
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

/// Lines of a form, and what the message must name.
const BAD_FORMS: &[(&str, &[&str])] = &[
    (
        "[corner]\nmouth = 116\n",
        &["[corner] mouth = 116", "in quotes"],
    ),
    (
        "[corner]\nmuoth = \"116mm\"\n",
        &["[corner] muoth", "mouth, gap"],
    ),
    (
        "[middle]\nmouth = \"116mm\"\n",
        &["[middle] mouth", "[corner], [side]"],
    ),
    ("nmae = \"hall\"\n", &["nmae", "name, base, date"]),
    ("name = hall\n", &["line 1", "in quotes"]),
    (
        "[strokes]\nroll-out = \"3m 0s\"\n",
        &["form.toml", "[strokes] roll-out 3m 0s"],
    ),
    ("[good-to]\nrule = \"9m\"\n", &["[good-to] rule 9m"]),
    ("name = \"hall\"\n", &["nothing is measured"]),
    (
        "base = \"pool-9f\"\n[corner]\nmouth = \"116mm\"\n",
        &["did you mean pool-9ft?"],
    ),
];

#[test]
fn a_form_that_cannot_be_read_names_its_line() {
    let folder = tempfile::tempdir().unwrap();
    for (text, words) in BAD_FORMS {
        fs::write(folder.path().join("form.toml"), text).unwrap();
        let mut command = thincut(folder.path());
        command.args(["table", "measure", "form.toml"]);
        let (out, err) = output(&mut command, 2);
        assert!(out.is_empty() && err.lines().count() == 1, "{text}: {err}");
        for word in *words {
            assert!(err.contains(word), "{text}: {word} missing in {err}");
        }
    }
}

/// Readings that table and instrument explain are taken, and a poor instrument explains more.
#[test]
fn readings_a_little_apart_are_taken() {
    let base = LoadedGear::load("pool-9ft", &[]).unwrap();
    let two = |quantity, a: f64, b: f64| [read(quantity, &[a]), read(quantity, &[b])];
    let taken = |given: &[(Quantity, Reading)], instruments: &Instruments| {
        MeasuredTable::new(base.clone(), given, instruments).map(|_| ())
    };
    let corner = Quantity::Mouth(PocketKind::Corner);
    let usual = Instruments::default();
    // 4 mm between pockets and 4√2 of a rule good to 1 mm: 9.66 mm.
    assert!(taken(&two(corner, 0.112, 0.1215), &usual).is_ok());
    let error = taken(&two(corner, 0.112, 0.1218), &usual).unwrap_err();
    assert!(matches!(error, MeasureError::Misread { .. }), "{error}");
    let mut by_eye = usual;
    by_eye.set("rule", "3mm").unwrap();
    assert!(taken(&two(corner, 0.112, 0.1218), &by_eye).is_ok());
    // 5 mm between rails and 4√2 of a tape good to 5 mm: 33.3 mm.
    assert!(taken(&two(Quantity::TableLength, 2.54, 2.572), &usual).is_ok());
    assert!(taken(&two(Quantity::TableLength, 2.54, 2.574), &usual).is_err());
    // Lags of different strokes differ as they like.
    let lags = [
        read(Quantity::Lag, &[1.0, 4.5]),
        read(Quantity::Lag, &[2.5, 7.1]),
    ];
    assert!(taken(&lags, &usual).is_ok());
}

#[test]
fn each_fault_of_a_reading_is_of_its_kind() {
    let base = LoadedGear::load("pool-9ft", &[]).unwrap();
    let corner = PocketKind::Corner;
    let fault = |quantity, text| readings(quantity, text).unwrap_err();
    let table = |given: &[(Quantity, Reading)], instruments: &Instruments| {
        MeasuredTable::new(base.clone(), given, instruments).unwrap_err()
    };
    let usual = Instruments::default();
    assert!(matches!(
        fault(Quantity::Mouth(corner), "116"),
        MeasureError::Unit { .. }
    ));
    assert!(matches!(
        fault(Quantity::Lag, "3m"),
        MeasureError::Parts { .. }
    ));
    assert!(matches!(
        fault(Quantity::Mouth(corner), "9m"),
        MeasureError::Impossible { .. }
    ));
    assert!(matches!(
        read_form("x = 1", "form").unwrap_err(),
        MeasureError::Form { .. }
    ));
    assert!(matches!(table(&[], &usual), MeasureError::Nothing));
    let depth = [read(Quantity::ThroatDepth(corner), &[0.04])];
    assert!(matches!(table(&depth, &usual), MeasureError::Needs { .. }));
    // Twelve lengths on a slow cloth take the hardest stroke there is; two more are beyond it.
    let slow = base
        .gear
        .with_overrides(&["cloth.rolling_friction=0.0956".to_owned()]);
    let time_s = run_time_s(&slow.unwrap(), 0.96, 12.0 * base.gear.bed.length_m).unwrap();
    let given = [
        read(Quantity::Lag, &[0.3, rolling_time_s(0.3, 0.0956)]),
        read(Quantity::Run, &[12.0, time_s]),
    ];
    let mut counted_badly = usual;
    counted_badly.set("count", "2").unwrap();
    assert!(matches!(
        table(&given, &counted_badly),
        MeasureError::Run(StrokeError::Lengths { .. })
    ));
}

#[test]
fn readings_that_leave_no_table_are_refused() {
    let base = LoadedGear::load("pool-9ft", &[]).unwrap();
    let mut blunt = Instruments::default();
    blunt.set("rule", "100mm").unwrap();
    let given = [
        read(Quantity::Mouth(PocketKind::Corner), &[0.116]),
        read(Quantity::Shelf(PocketKind::Corner), &[0.04]),
        read(Quantity::Mouth(PocketKind::Side), &[0.127]),
        read(Quantity::Shelf(PocketKind::Side), &[0.01]),
        read(Quantity::Throat(PocketKind::Corner), &[0.104]),
        read(Quantity::Throat(PocketKind::Side), &[0.122]),
    ];
    let table = MeasuredTable::new(base, &given, &blunt).unwrap();
    let shots = usual_shots(&StrokeRequest::default());
    let player = Level::Club.aim_error();
    let mut rng = Pcg64::seed_from_u64(1);
    let error = drawn_chances(&table, &shots, &player, 1000, &mut rng).unwrap_err();
    assert!(matches!(error, MeasureError::Unsure { .. }), "{error}");
    assert!(error.to_string().contains("say good-to smaller"), "{error}");
}

#[test]
fn a_form_names_its_own_keys() {
    for (text, says) in [
        (
            "[corner]\nmouth = \"116\"",
            "[corner] mouth: \"116\" has no unit",
        ),
        ("[good-to]\nrule = \"9m\"", "[good-to] rule 9m: "),
    ] {
        let error = read_form(text, "form.toml").unwrap_err().to_string();
        assert!(
            error.starts_with("form.toml: ") && error.contains(says),
            "{error}"
        );
    }
}
