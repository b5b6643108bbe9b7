//! `thincut stroke`: the table of strokes through the program, words, picture, errors.

use super::{folder, json, output, run, thincut};

/// Rows of `tests/data/stroke.csv` that the program is asked about, by name of column.
fn rows() -> Vec<std::collections::HashMap<String, String>> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/stroke.csv");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap();
    reader.deserialize().map(|row| row.unwrap()).collect()
}

#[test]
fn the_program_answers_as_the_table_of_strokes() {
    // A pool ball's radius, mm.
    const RADIUS_MM: f64 = 28.575;
    for row in rows().iter().step_by(3) {
        let n = |column: &str| -> f64 { row[column].parse().unwrap() };
        let answer = json(&format!(
            "stroke --speed {}m/s --across={:.9}mm --height={:.9}mm --elevation {}deg --pivot {}mm --object={}m,{}m",
            row["v0_m_s"],
            n("across_R") * RADIUS_MM,
            n("height_R") * RADIUS_MM,
            row["elevation_deg"],
            1e3 * n("pivot_m"),
            row["object_x_m"],
            row["object_y_m"]
        ));
        for (column, within) in [
            ("arrive_deg", 1e-4),
            ("cut_deg", 2e-3),
            ("object_deg", 2e-3),
            ("speed_m_s", 1e-4),
            ("roll", 1e-4),
            ("side_w", 1e-4),
            ("object_speed_m_s", 1e-4),
        ] {
            let got = answer[column].as_f64().unwrap();
            assert!(
                (got - n(column)).abs() < within,
                "case {} {column}",
                row["case"]
            );
        }
        assert_eq!(answer["met"], true);
    }
}

#[test]
fn words_say_squirt_curve_and_the_ball_after_each_foot() {
    let (out, _) = run("stroke --speed 2.35m/s --across 11mm --elevation 2deg", 0);
    for said in [
        "Struck 11 mm right at 2.35 m/s",
        "left of the stick's line (squirt)",
        "swerves back",
        "until it rolls",
        "after 30 cm:",
        "after 1.22 m:",
        "right english",
    ] {
        assert!(out.contains(said), "{said} in {out}");
    }
    let (out, _) = run("stroke --speed 2m/s --elevation 0deg", 0);
    assert!(
        out.contains("on the stick's line, without squirt, and runs straight"),
        "{out}"
    );
    let (out, _) = run(
        "stroke --speed 2.35m/s --across 11mm --elevation 2deg --object 274mm,29mm",
        0,
    );
    assert!(
        out.contains("It meets the object ball") && out.contains("throw turned it"),
        "{out}"
    );
    let (out, _) = run("stroke --speed 2m/s --object 300mm,200mm", 0);
    assert!(out.contains("misses the object ball"), "{out}");
}

#[test]
fn a_picture_is_written_once() {
    let folder = folder();
    let words = [
        "stroke", "--speed", "2m/s", "--across", "10mm", "--out", "s.svg",
    ];
    let (out, _) = output(thincut(folder.path()).args(words), 0);
    assert!(out.contains("s.svg"), "{out}");
    let svg = std::fs::read_to_string(folder.path().join("s.svg")).unwrap();
    assert!(svg.contains("rolls from here"));
    output(thincut(folder.path()).args(words), 2);
}

#[test]
fn what_cannot_be_struck_is_said() {
    for (line, said) in [
        ("stroke --speed 2m/s --across 16mm", "slip off"),
        ("stroke --speed 2m/s --across 10", "--across"),
        ("stroke --speed 0m/s", "--speed"),
        ("stroke --speed 2m/s --elevation 80deg", "--elevation"),
        ("stroke --speed 2m/s --pivot 100mm", "--pivot"),
        ("stroke --speed 2m/s --object 274mm", "--object"),
        ("stroke --speed 2m/s --object 20mm,0mm", "--object"),
        ("stroke --speed 2m/s --format csv", "csv"),
    ] {
        let (out, err) = run(line, 2);
        assert!(out.is_empty() && err.contains(said), "{line}: {err}");
    }
}
