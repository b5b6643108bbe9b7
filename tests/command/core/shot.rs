//! `thincut shot`: fields, numbers, every typed outcome, words.

use serde_json::Value;

use super::{ABSTRACT, ON_TABLE, json, run};

const FIELDS: [&str; 26] = [
    "gear",
    "pocket",
    "kind",
    "pace_m_s",
    "roll",
    "side",
    "approach_deg",
    "cut_deg",
    "cut_side",
    "apart_mm",
    "cue_travel_mm",
    "object_to_mouth_mm",
    "centre_pocket_line_deg",
    "target_offset_deg",
    "aim_deg",
    "centre_pocket_aim_deg",
    "throw_deg",
    "cue_speed_m_s",
    "object_speed_m_s",
    "ghost_ball_mm",
    "flags",
    "clean",
    "direct",
    "drop",
    "pieces",
    "why",
];
const WINDOW_FIELDS: [&str; 12] = [
    "thick_deg",
    "thin_deg",
    "total_deg",
    "thick_ghost_mm",
    "thin_ghost_mm",
    "thick_contact_mm",
    "thin_contact_mm",
    "thick_tip_mm",
    "thin_tip_mm",
    "from_deg",
    "to_deg",
    "effective_pocket_mm",
];
const WHY_FIELDS: [&str; 5] = [
    "pocket_opening_deg",
    "distance_factor",
    "cut_factor",
    "throw_factor",
    "first_order_deg",
];
const PIECE_FIELDS: [&str; 5] = ["from_deg", "to_deg", "how", "aim_from_deg", "aim_to_deg"];

#[track_caller]
fn has_fields(value: &Value, fields: &[&str]) {
    for field in fields {
        assert!(value.get(field).is_some(), "{field} missing in {value}");
    }
}

#[test]
fn json_of_a_shot_has_every_field_both_ways() {
    for line in [ABSTRACT, ON_TABLE] {
        let shot = json(&format!("{line} --band"));
        has_fields(&shot, &FIELDS);
        for part in ["clean", "direct", "drop"] {
            has_fields(&shot[part], &WINDOW_FIELDS);
            has_fields(&shot["band"][part], &["low_deg", "high_deg"]);
        }
        has_fields(&shot["first_order"], &WHY_FIELDS);
        for piece in shot["pieces"].as_array().unwrap() {
            has_fields(piece, &PIECE_FIELDS);
            let how = piece["how"].as_str().unwrap();
            assert!(["clean", "jaw", "rail"].contains(&how));
        }
        assert_eq!(shot["ghost_ball_mm"].as_array().unwrap().len(), 2);
        assert_eq!(shot["flags"], Value::Array(Vec::new()));
        assert!(json(line).get("band").is_none(), "only with --band");
    }
    assert_eq!(json(ABSTRACT)["pocket"], Value::Null);
    assert_eq!(json(ON_TABLE)["pocket"], "foot-left");
}

/// Numbers in JSON are full doubles; lengths in mm lose the last digits to the unit.
const DIGITS: f64 = 1e-9;

#[test]
fn numbers_of_a_shot_agree_with_each_other() {
    let shot = json(ABSTRACT);
    let n = |path: &str| shot.pointer(path).unwrap().as_f64().unwrap();
    let near = |a: f64, b: f64| assert!((a - b).abs() < DIGITS * b.abs().max(1.0), "{a} {b}");
    near(n("/cut_deg"), 30.0);
    near(n("/apart_mm"), 4.0 * 304.8);
    near(n("/object_to_mouth_mm"), 3.0 * 304.8);
    let clean = |field: &str| n(&format!("/clean/{field}"));
    near(clean("thick_deg") + clean("thin_deg"), clean("total_deg"));
    // ghost ball: t_c tan δ; tip: bridge · tan δ, ten inches by default
    let tan = clean("thick_deg").to_radians().tan();
    near(clean("thick_ghost_mm"), n("/cue_travel_mm") * tan);
    near(clean("thick_tip_mm"), 254.0 * tan);
    let span = clean("to_deg").to_radians().tan() - clean("from_deg").to_radians().tan();
    near(
        clean("effective_pocket_mm"),
        n("/object_to_mouth_mm") * span,
    );
    let why = |field: &str| n(&format!("/first_order/{field}"));
    near(
        why("pocket_opening_deg")
            * why("distance_factor")
            * why("cut_factor")
            * why("throw_factor"),
        why("first_order_deg"),
    );
}

#[test]
fn a_mirrored_shot_on_the_table_reads_the_same() {
    let left = json("shot --cue 3,1 --object 5,2.4 --pocket foot-left");
    let right = json("shot --cue 3,3 --object 5,1.6 --pocket foot-right");
    for field in ["thick_deg", "thin_deg", "thick_ghost_mm"] {
        let (a, b) = (&left["clean"][field], &right["clean"][field]);
        assert!(
            (a.as_f64().unwrap() - b.as_f64().unwrap()).abs() < 1e-6,
            "{a} {b}"
        );
    }
    assert_ne!(left["cut_side"], right["cut_side"]);
}

#[test]
fn csv_of_a_shot_keeps_its_columns_without_a_window() {
    let header = |line: &str| {
        let (out, _) = run(&format!("{line} --format csv"), 0);
        let lines: Vec<&str> = out.lines().collect();
        assert_eq!(lines.len(), 2, "{out}");
        assert_eq!(lines[0].matches(',').count(), lines[1].matches(',').count());
        lines[0].to_owned()
    };
    let full = header(ABSTRACT);
    assert!(full.contains("clean_thick_deg") && full.contains("ghost_ball_x_mm"));
    let nothing = header(&format!("{ABSTRACT} --pace 0.004m/s"));
    assert_eq!(full, nothing);
}

/// Line, flag, words of the text, and whether there is a window all the same.
const OUTCOMES: [(&str, &str, &str, bool); 8] = [
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft --pace 0.004m/s",
        "no-drop",
        "Does not drop",
        false,
    ),
    (
        "shot --cue 3,1 --object 7.98,3.96 --pocket foot-left",
        "in-the-jaws",
        "A hanger",
        false,
    ),
    (
        "shot --cue 7,3 --object 5,2 --pocket foot-left",
        "out-of-reach",
        "Out of reach",
        false,
    ),
    (
        "shot --cut 89.5deg --cue-to-object 1ft --to-pocket 1ft --pace 0.3m/s",
        "out-of-reach",
        "It would go in clean",
        true,
    ),
    (
        "shot --cut 0deg --cue-to-object 60mm --to-pocket 3ft --arrives stun --pace 0.3m/s",
        "too-close",
        "Too close",
        false,
    ),
    (
        "shot --cut 89deg --cue-to-object 2ft --to-pocket 1ft --pace 0.3m/s",
        "truncated",
        "It would go in clean",
        true,
    ),
    (
        "shot --cut 75deg --cue-to-object 3ft --to-pocket 3ft --pace 3m/s",
        "too-fast",
        "Not playable: the cue ball would need",
        true,
    ),
    (
        "shot --cut 10deg --cue-to-object 1m --to-pocket 1m --kind side --approach 68deg --pace 0.5m/s",
        "no-clean-part",
        "Never clean",
        true,
    ),
];

/// Every typed outcome: an answer with exit code 0, its flag, words of its own and nulls.
#[test]
fn outcomes_of_a_shot_are_answers() {
    for (line, flag, words, has_window) in OUTCOMES {
        let answer = json(line);
        has_fields(&answer, &FIELDS);
        let flags = answer["flags"].as_array().unwrap();
        assert!(flags.iter().any(|f| f == flag), "{line}: {flags:?}");
        for field in [
            "aim_deg",
            "throw_deg",
            "cut_deg",
            "drop",
            "ghost_ball_mm",
            "why",
        ] {
            assert_eq!(!answer[field].is_null(), has_window, "{line}: {field}");
        }
        if flag == "no-clean-part" {
            assert!(answer["clean"].is_null() && !answer["drop"].is_null());
        }
        let (text, err) = run(line, 0);
        assert!(text.contains(words) && err.is_empty(), "{line}: {text}");
    }
}

#[test]
fn text_of_a_shot_is_six_lines_untouched_first() {
    for line in [
        ABSTRACT.to_owned(),
        ON_TABLE.to_owned(),
        format!("{ABSTRACT} --units inches"),
        format!("{ABSTRACT} --arrives stun --side 0.3 --table snooker-12ft"),
    ] {
        let (text, err) = run(&line, 0);
        assert!(err.is_empty(), "{err}");
        assert!(text.lines().count() <= 6, "{text}");
        assert!(
            text.starts_with("Goes in clean with a margin of about "),
            "{text}"
        );
        // people read "table"
        assert!(!text.contains(" bed"), "{text}");
    }
    let (inches, _) = run(&format!("{ABSTRACT} --units inches"), 0);
    assert!(inches.contains(" in either side"), "{inches}");
    let (why, _) = run(&format!("{ABSTRACT} --why --band"), 0);
    assert!(
        why.contains("pocket opening") && why.contains("off the jaws"),
        "{why}"
    );
}

/// The reason is named by what weighs, also where that is no cut and no cue ball's distance.
#[test]
fn the_reason_is_the_one_that_weighs() {
    for (line, reason) in [
        (
            "shot --cut 0deg --cue-to-object 8in --to-pocket 8ft",
            "Mainly the object ball's distance from the pocket",
        ),
        (
            "shot --kind side --approach 55deg --cut 30deg --cue-to-object 2ft --to-pocket 1ft",
            "Mainly the angle into the pocket",
        ),
        (
            "shot --cut 0deg --cue-to-object 8ft --to-pocket 2ft",
            "Mainly the cue ball's distance",
        ),
        (
            "shot --cut 75deg --cue-to-object 2ft --to-pocket 2ft",
            "Mainly the cut",
        ),
        (
            "shot --cut 0deg --cue-to-object 2ft --to-pocket 3ft --approach 40deg --pace 3m/s",
            "Mainly the pace",
        ),
        (
            "shot --cut 0deg --cue-to-object 1ft --to-pocket 1ft",
            "Nothing makes it hard",
        ),
    ] {
        let (text, _) = run(line, 0);
        assert!(text.contains(reason), "{line}: {text}");
    }
}

/// A shot by angles that the table has no place for says so first, and has no makes in ten.
#[test]
fn a_shot_beyond_the_table_is_flagged() {
    let beyond = "shot --cut 0deg --cue-to-object 8ft --to-pocket 5ft --level club";
    let (text, _) = run(beyond, 0);
    assert!(text.starts_with("Cannot be set up on this table"), "{text}");
    assert!(!text.contains(" in 10"), "{text}");
    let flags = json(beyond)["flags"].clone();
    assert!(
        flags
            .as_array()
            .is_some_and(|f| f.contains(&"off-table".into())),
        "{flags}"
    );
    // Ten feet in one line stand on the larger table, not on nine feet.
    let across = "shot --cut 0deg --cue-to-object 6ft --to-pocket 4ft";
    let flags = json(across)["flags"].clone();
    assert!(flags.to_string().contains("off-table"), "{flags}");
    let on = &format!("{across} --table snooker-12ft");
    let flags = json(on)["flags"].clone();
    assert!(!flags.to_string().contains("off-table"), "{flags}");
}
