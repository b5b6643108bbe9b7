//! Structs as columns of a table, and numbers as text.

use rand::{Rng, SeedableRng};
use serde::{Deserialize, Serialize};
use thincut::columns::{Cell, Columns};
use thincut::inside::{read, shortest};

#[test]
fn numbers_are_written_as_the_standard_library_does() {
    let mut random = rand_pcg::Pcg64Mcg::seed_from_u64(1);
    let plain = [
        0.0,
        -0.0,
        1.0,
        -1.5,
        1e15,
        1e16,
        1e21,
        1e-5,
        1e-7,
        f64::MAX,
        f64::MIN_POSITIVE,
    ];
    let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];
    let any = (0..20_000).map(|k| {
        let x = f64::from_bits(random.random());
        if k % 2 == 0 {
            x
        } else {
            random.random_range(-1e3..1e3)
        }
    });
    for x in plain.into_iter().chain(odd).chain(any) {
        let (ours, theirs) = (shortest(x), x.to_string());
        // Between two texts equally near and equally short either is right.
        if ours != theirs {
            assert_eq!(ours.len(), theirs.len(), "{ours} for {theirs}");
            assert_eq!(
                ours.parse::<f64>().unwrap().to_bits(),
                x.to_bits(),
                "{ours}"
            );
        }
    }
}

#[derive(Default, Serialize, Deserialize)]
struct Room {
    thick_deg: f64,
    how: String,
}

#[derive(Default, Serialize, Deserialize)]
#[serde(default)]
struct Shot {
    gear: String,
    #[serde(rename = "cut-side", alias = "was")]
    cut_side: Option<String>,
    ball_mm: Option<[f64; 2]>,
    flags: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    clean: Option<Room>,
    rooms: Vec<Room>,
    tries: u32,
}

fn cells(shot: &Shot) -> Vec<String> {
    let mut all = Vec::new();
    Columns::of::<Shot>().cells(shot, |cell| all.push(cell.csv()));
    all
}

#[test]
fn fields_are_columns() {
    let columns = Columns::of::<Shot>();
    let names: Vec<&str> = columns.names().collect();
    let expected = [
        "gear",
        "cut-side",
        "ball_x_mm",
        "ball_y_mm",
        "flags",
        "clean_thick_deg",
        "clean_how",
        "tries",
    ];
    assert_eq!(names, expected);
    let numbers: Vec<bool> = columns.are_numbers().collect();
    assert_eq!(
        numbers,
        [false, false, true, true, false, true, false, true]
    );
}

#[test]
fn what_is_absent_is_an_empty_cell() {
    let mut shot = Shot {
        tries: 3,
        ..Shot::default()
    };
    assert_eq!(cells(&shot), ["", "", "", "", "", "", "", "3"]);
    shot.flags = vec!["too-fast".into(), "too-close".into()];
    shot.ball_mm = Some([1.5, -2.0]);
    shot.rooms = vec![Room::default()];
    assert_eq!(
        cells(&shot),
        ["", "", "1.5", "-2", "too-fast too-close", "", "", "3"]
    );
    shot.clean = Some(Room {
        thick_deg: 0.25,
        how: "clean".into(),
    });
    assert_eq!(cells(&shot)[5..], ["0.25", "clean", "3"]);
}

/// Picked columns come in the order they were picked in, and bad names are told with those most alike.
#[test]
fn columns_are_picked_by_name() {
    let shot = Shot {
        gear: "pool-9ft".into(),
        ball_mm: Some([1.5, -2.0]),
        clean: Some(Room {
            thick_deg: 0.25,
            how: "clean".into(),
        }),
        tries: 3,
        ..Shot::default()
    };
    let all = Columns::of::<Shot>();
    let picked = |names: &[&str]| all.clone().picked(names.iter().copied());
    let cells = |names: &[&str]| {
        let mut cells = Vec::new();
        let columns = picked(names).unwrap();
        columns.named_cells(&shot, |name, cell| {
            cells.push(format!("{name} {}", cell.csv()));
        });
        cells
    };
    assert_eq!(
        cells(&["tries", "cut-side", "clean-how", "ball_y_mm"])[..],
        ["tries 3", "cut-side ", "clean_how clean", "ball_y_mm -2"]
    );
    assert_eq!(
        cells(&["gear", " Ball_x_mm", "tries"])[..],
        ["gear pool-9ft", "ball_x_mm 1.5", "tries 3"]
    );
    let told = |names: &[&str]| picked(names).unwrap_err().to_string();
    assert!(
        told(&["gear", "mm"]).starts_with("`mm` is no column; the nearest are ball_"),
        "{}",
        told(&["mm"])
    );
    assert!(told(&["thick"]).contains("are clean_thick_deg, "));
    assert!(told(&["geer"]).contains("are gear, "));
    assert_eq!(told(&["tries", "tries"]), "`tries` stands there twice");
}

#[test]
fn cells_are_read_by_name() {
    let pairs = [("cut-side", "left"), ("gear", "pool-9ft"), ("other", "1")];
    let shot: Shot = read(pairs.into_iter()).unwrap();
    assert_eq!(shot.cut_side.as_deref(), Some("left"));
    assert_eq!(shot.gear, "pool-9ft");
    let old: Shot = read([("was", "right")].into_iter()).unwrap();
    assert_eq!(old.cut_side.as_deref(), Some("right"));
    assert!(read::<Shot>([("tries", "3")].into_iter()).is_err());
    assert_eq!(Cell::Absent.csv(), "");
}
