//! Rounded jaws: the width at the fall of the slate and the gauges' radius give the pocket back.

use thincut::gear::{Gear, LoadedGear};
use thincut::measure::{Instruments, MeasuredTable, ReadingsRequest, values};
use thincut::pocket::PocketKind;

use super::{output, thincut};

#[test]
fn the_fall_gives_the_mouth() {
    for name in ["snooker-12ft", "smallball-7ft"] {
        let gear = Gear::preset(name).unwrap();
        let mm = |m: f64| vec![format!("{:.3}mm", 1e3 * m)];
        let fall = |kind: PocketKind| mm(kind.fall_width_m(kind.spec(&gear)).unwrap());
        let request = ReadingsRequest {
            corner_fall: fall(PocketKind::Corner),
            corner_rounding: mm(gear.corner.jaw_radius_m),
            side_fall: fall(PocketKind::Side),
            side_rounding: mm(gear.side.jaw_radius_m),
            ..ReadingsRequest::default()
        };
        // Measured on another table: nothing of the pockets is known before.
        let base = LoadedGear::load(
            name,
            &[
                "corner.mouth=100mm".to_owned(),
                "side.mouth=102mm".to_owned(),
                "corner.jaw_radius=50mm".to_owned(),
            ],
        )
        .unwrap();
        let readings = request.readings().unwrap();
        let table = MeasuredTable::new(base, &readings, &Instruments::default()).unwrap();
        let found = values(&table);
        for (key, want_m) in [
            ("pocket.corner.mouth", gear.corner.mouth_m),
            ("pocket.side.mouth", gear.side.mouth_m),
            ("pocket.corner.jaw_radius", gear.corner.jaw_radius_m),
        ] {
            let value = found.iter().find(|v| v.key == key).expect(key);
            assert!(
                (value.value - 1e3 * want_m).abs() < 0.05,
                "{name} {key}: {value:?}"
            );
            assert!(value.high > value.low, "{name} {key}");
        }
    }
}

#[test]
fn a_fall_beside_a_mouth_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let bad: [(&[&str], &[&str]); 3] = [
        (
            &["--corner-fall", "89mm", "--corner-mouth", "96mm"],
            &["--corner-fall 89 mm", "--corner-mouth was measured too"],
        ),
        (
            &[
                "--side-fall",
                "92mm",
                "--side-throat",
                "95mm",
                "--side-throat-depth",
                "15mm",
            ],
            &["--side-fall 92 mm", "--side-throat was measured too"],
        ),
        (
            &["--corner-rounding", "8"],
            &["--corner-rounding", "no unit", "8mm"],
        ),
    ];
    for (args, words) in bad {
        let mut command = thincut(folder.path());
        command
            .args(["table", "measure", "--table", "snooker-12ft"])
            .args(args);
        let (_, err) = output(&mut command, 2);
        for words in words {
            assert!(err.contains(words), "{args:?}: {words} missing in {err}");
        }
    }
}
