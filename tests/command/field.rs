//! Inputs are called by whoever speaks.

use thincut::field::{Face, Field, Fields, Hint, spoken_by};

const DASHED: Face = Face {
    field: |field, f| write!(f, "-{}", field.name()),
    hint: |hint, f| write!(f, "; {hint:?}"),
};

#[test]
fn whoever_speaks_names_the_fields() {
    let both = || format!("{} {}", Field::ToPocket, Hint::SeeBand);
    assert_eq!(both(), "to-pocket ");
    spoken_by(DASHED, || {
        assert_eq!(both(), "-to-pocket ; SeeBand");
        assert_eq!(spoken_by(Face::PLAIN, both), "to-pocket ");
        assert_eq!(both(), "-to-pocket ; SeeBand");
    });
    assert_eq!(both(), "to-pocket ");
}

#[test]
fn a_face_that_panics_keeps_no_word() {
    let caught = std::panic::catch_unwind(|| spoken_by(DASHED, || panic!("on purpose")));
    assert!(caught.is_err());
    assert_eq!(Field::Cue.to_string(), "cue");
}

#[test]
fn fields_are_listed_as_people_list() {
    assert_eq!(Fields::ON_TABLE.to_string(), "cue, object and pocket");
    assert_eq!(format!("{:#}", Fields::ON_TABLE), "cue object pocket");
    assert_eq!(
        Fields(&[Field::Arm, Field::Picture]).to_string(),
        "stroke-spread and sighting-spread"
    );
}

#[test]
fn every_name_is_plain_and_its_own() {
    for (k, field) in Field::ALL.iter().enumerate() {
        let name = field.name();
        assert!(
            // An angle may stand in a name: `at-45`.
            name.chars()
                .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'),
            "{name}"
        );
        assert!(!name.starts_with('-'), "{name}");
        assert!(
            Field::ALL[..k].iter().all(|other| other.name() != name),
            "{name}"
        );
    }
}
