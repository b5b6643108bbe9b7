//! Gear: presets, files, overrides, and every way a file can be wrong.
//!
//! Published sizes: WPA Tournament Table & Equipment Specifications, 2001; WPBSA rules of snooker;
//! WEPF equipment rules. Ball and throw constants: Alciatore, Colorado State University.

use std::fs;
use std::path::Path;

use approx::assert_relative_eq;
use kurbo::Point;
use proptest::prelude::*;
use thincut::error::GearError;
use thincut::gear::{DEFAULT_PRESET, Gear, LoadedGear, Origin};
use thincut::motion::BallBody;
use thincut::pocket::{PocketKind, PocketShape, accept};
use thincut::units::Position;

/// Two roundings of an f64, relative.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

/// The plan contact radius is quoted to a micrometre.
const QUOTED_M: f64 = 0.6e-6;

const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data");

fn set(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|text| (*text).to_owned()).collect()
}

/// Each value of the default table as its source prints it, and the mark it stands under: what is printed
/// for this equipment, what is carried over from other, what is ours.
#[test]
fn each_value_of_the_default_table_stands_under_its_own_mark() {
    let loaded = LoadedGear::load(DEFAULT_PRESET, &[]).unwrap();
    let gear = &loaded.gear;
    assert_eq!(gear.name, "pool-9ft");
    let values = [
        ("bed.length", gear.bed.length_m, 2.54, "published: WPA"),
        ("bed.width", gear.bed.width_m, 1.27, "published: WPA"),
        (
            "ball.object_diameter",
            gear.balls.object_diameter_m,
            0.057_15,
            "published: WPA",
        ),
        (
            "ball.cue_mass",
            gear.balls.cue_mass_kg,
            0.17,
            "published: WPA, 156 to 170 g",
        ),
        (
            "ball.contact.restitution",
            gear.contact.restitution,
            0.95,
            "published: Alciatore",
        ),
        (
            "ball.contact.friction_floor",
            gear.contact.friction_floor,
            9.951e-3,
            "published: Alciatore, TP A.14",
        ),
        (
            "ball.contact.friction_span",
            gear.contact.friction_span,
            0.108,
            "published: Alciatore, TP A.14",
        ),
        (
            "ball.contact.friction_decay",
            gear.contact.friction_decay_s_m,
            1.088,
            "published: Alciatore, TP A.14",
        ),
        (
            "ball.contact.friction_scale",
            gear.contact.friction_scale,
            1.0,
            "derived",
        ),
        (
            "cloth.sliding_friction",
            gear.cloth.sliding_friction,
            0.2,
            "published: Alciatore",
        ),
        (
            "cloth.rolling_friction",
            gear.cloth.rolling_friction,
            0.01,
            "published: Alciatore",
        ),
        (
            "cloth.spin_decay",
            gear.cloth.spin_decay_rad_s2,
            10.0,
            "published: Alciatore",
        ),
        (
            "cushion.nose_height_ratio",
            gear.cushion.nose_height_ratio,
            0.635,
            "published: WPA",
        ),
        (
            "cushion.restitution",
            gear.cushion.restitution,
            0.85,
            "assumption: within the published range",
        ),
        (
            "cushion.friction",
            gear.cushion.friction,
            0.14,
            "carried over: a snooker table's",
        ),
        (
            "pocket.corner.mouth",
            gear.corner.mouth_m,
            4.5625 * 0.0254,
            "published: WPA, middle",
        ),
        (
            "pocket.corner.facing_angle",
            gear.corner.facing_angle_rad.to_degrees(),
            142.0,
            "published: WPA",
        ),
        (
            "pocket.corner.shelf",
            gear.corner.shelf_m,
            1.625 * 0.0254,
            "published: WPA, middle",
        ),
        (
            "pocket.corner.cutout_radius",
            gear.corner.cutout_radius_m,
            2.75 * 0.0254,
            "assumption",
        ),
        (
            "pocket.side.mouth",
            gear.side.mouth_m,
            5.0625 * 0.0254,
            "published: WPA, middle",
        ),
        (
            "pocket.side.facing_angle",
            gear.side.facing_angle_rad.to_degrees(),
            104.0,
            "published: WPA",
        ),
        (
            "pocket.side.shelf",
            gear.side.shelf_m,
            0.1875 * 0.0254,
            "published: WPA, middle",
        ),
        (
            "pocket.side.cutout_radius",
            gear.side.cutout_radius_m,
            3.0 * 0.0254,
            "assumption",
        ),
        (
            "pocket.side.facing_restitution",
            gear.side.facing_restitution,
            0.7,
            "assumption",
        ),
        (
            "pocket.side.facing_friction",
            gear.side.facing_friction,
            0.14,
            "assumption",
        ),
    ];
    for (key, have, want, mark) in values {
        assert_relative_eq!(have, want, max_relative = ROUNDING);
        let row = loaded.rows.iter().find(|row| row.key == key).expect(key);
        let source = row.source.as_deref().unwrap_or_default();
        assert!(source.starts_with(mark), "{key}: {source}");
    }
    // Derived: ρ = R·√(1 − 0.27²) = 0.96286 R = 27.514 mm; equal balls touch at one diameter.
    assert!((gear.object_contact_radius_m() - 0.027_514).abs() < QUOTED_M);
    assert_relative_eq!(gear.contact_distance_m(), 0.057_15, max_relative = ROUNDING);
}

/// A built-in table is read line by line; read as a file of TOML it is the same.
#[test]
fn presets_are_read_as_their_files() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/gear/presets");
    for name in Gear::preset_names() {
        let built_in = LoadedGear::load(name, &[]).unwrap();
        let file = LoadedGear::load(&format!("{folder}/{name}.toml"), &[]).unwrap();
        assert_eq!((&built_in.gear, &built_in.note), (&file.gear, &file.note));
        assert_eq!(built_in.rows.len(), file.rows.len());
        for (ours, theirs) in built_in.rows.iter().zip(&file.rows) {
            assert_eq!(ours.key, theirs.key);
            assert_eq!((&ours.value, &ours.source), (&theirs.value, &theirs.source));
            assert!(ours.source.is_some(), "{name} {}", ours.key);
        }
    }
}

#[test]
fn every_preset_loads_and_says_where_each_value_comes_from() {
    let marks = [
        "published",
        "derived",
        "carried over",
        "common practice",
        "memory",
        "assumption",
    ];
    let beds_m = [
        (2.54, 1.27),
        (92.0 * 0.0254, 46.0 * 0.0254),
        (88.0 * 0.0254, 44.0 * 0.0254),
        (78.0 * 0.0254, 39.0 * 0.0254),
        (3.569, 1.778),
        (2.1336, 1.0668),
    ];
    assert_eq!(Gear::preset_names().len(), beds_m.len());
    for (name, (length_m, width_m)) in Gear::preset_names().iter().zip(beds_m) {
        let loaded = LoadedGear::load(name, &[]).unwrap_or_else(|e| panic!("{name}: {e}"));
        assert_eq!(loaded.gear.name, *name);
        assert!(loaded.note.is_some(), "{name} has no note");
        assert_relative_eq!(loaded.gear.bed.length_m, length_m, max_relative = ROUNDING);
        assert_relative_eq!(loaded.gear.bed.width_m, width_m, max_relative = ROUNDING);
        for row in &loaded.rows {
            let source = row.source.as_deref().unwrap_or_default();
            assert!(
                marks.iter().any(|m| source.starts_with(m)),
                "{name} {}: {source}",
                row.key
            );
            assert!(matches!(row.origin, Origin::Preset(_)));
        }
    }
    let small = Gear::preset("smallball-7ft").unwrap();
    // Unequal balls touch in plan at the geometric mean of the diameters.
    assert_relative_eq!(
        small.contact_distance_m(),
        (0.0508_f64 * 0.0476).sqrt(),
        max_relative = ROUNDING
    );
    assert!(small.cue_contact_radius_m() < small.object_contact_radius_m());
}

#[test]
fn reference_files_load_over_their_base() {
    let tight = LoadedGear::load(&format!("{DATA}/tight.toml"), &[]).unwrap();
    assert_eq!(tight.gear.name, "tight");
    assert_relative_eq!(tight.gear.corner.mouth_m, 0.107_95, max_relative = ROUNDING);
    assert_relative_eq!(
        tight.gear.corner.shelf_m,
        1.9 * 0.0254,
        max_relative = ROUNDING
    );
    assert_eq!(tight.gear.balls, Gear::preset("pool-9ft").unwrap().balls);
    let loose = Gear::load(&format!("{DATA}/loose.toml")).unwrap();
    assert_relative_eq!(loose.corner.mouth_m, 0.127, max_relative = ROUNDING);
    let origin = |key: &str| {
        tight
            .rows
            .iter()
            .find(|row| row.key == key)
            .map(|row| row.origin.to_string())
            .unwrap()
    };
    assert!(origin("pocket.corner.mouth").ends_with("tight.toml"));
    assert_eq!(origin("pocket.corner.jaw_radius"), "preset pool-9ft");
}

/// Answers name a pocket's values without `pocket.`; an override may, too.
#[test]
fn an_override_may_leave_out_the_word_pocket() {
    let of = |set: &str| LoadedGear::load("pool-9ft", &[set.to_owned()]).unwrap();
    let (short, full) = (
        of("corner.mouth=4.125in"),
        of("pocket.corner.mouth=4.125in"),
    );
    assert_eq!(short.gear, full.gear);
}

#[test]
fn what_is_shown_can_be_loaded_back() {
    for name in Gear::preset_names() {
        let loaded = LoadedGear::load(name, &[]).unwrap();
        assert_eq!(Gear::from_toml_str(&loaded.to_toml()).unwrap(), loaded.gear);
        assert_eq!(
            Gear::from_toml_str(&loaded.gear.to_toml()).unwrap(),
            loaded.gear
        );
    }
    let odd = set(&["bed.length=8' 4 1/16\"", "name=Millpond table 3"]);
    let loaded = LoadedGear::load("pool-9ft", &odd).unwrap();
    assert_eq!(Gear::from_toml_str(&loaded.to_toml()).unwrap(), loaded.gear);
    assert_eq!(loaded.gear.name, "Millpond table 3");
}

#[test]
fn overrides_come_last_and_are_checked() {
    let loaded = LoadedGear::load(
        "pool-8ft",
        &set(&["ball.contact.friction_scale=0", "bed.width=1.1m"]),
    )
    .unwrap();
    assert_eq!(
        loaded.gear.contact.friction_scale.to_bits(),
        0.0_f64.to_bits()
    );
    assert_relative_eq!(loaded.gear.bed.width_m, 1.1);
    let from_set: Vec<&str> = loaded
        .rows
        .iter()
        .filter(|r| r.origin == Origin::Set)
        .map(|r| r.key)
        .collect();
    assert_eq!(from_set, ["bed.width", "ball.contact.friction_scale"]);
    let again = Gear::preset("pool-8ft").unwrap();
    assert_eq!(
        again
            .with_overrides(&set(&["ball.contact.friction_scale=0", "bed.width=1.1m"]))
            .unwrap(),
        loaded.gear
    );
    let said = |text: &str| again.with_overrides(&set(&[text])).unwrap_err().to_string();
    assert!(said("friction").starts_with("set friction: write KEY=VALUE"));
    assert!(said("bed.width=").starts_with("set bed.width=: write KEY=VALUE"));
    assert!(said("base=pool-9ft").contains("write KEY=VALUE"));
    assert_eq!(
        said("bed.lenght=3m"),
        "unknown key bed.lenght in set: did you mean bed.length?"
    );
    // A forgotten unit: one with which the value is much like the old one.
    for (text, hint) in [
        ("bed.length=3", "so write 3m"),
        ("bed.length=88", "so write 88in"),
        ("pocket.corner.mouth=4", "so write 4in"),
        ("pocket.corner.shelf=4", "so write 4cm"),
        ("ball.object_diameter=57", "so write 57mm"),
        ("ball.object_mass=6", "so write 6oz"),
        ("pocket.corner.facing_angle=142", "so write 142deg"),
        ("pocket.side.jaw_radius=3", "so write 3mm or 3in"),
    ] {
        let (key, value) = text.split_once('=').unwrap();
        let words = format!("{key} in set: \"{value}\" has no unit");
        let error = said(text);
        assert!(error.contains(&words) && error.ends_with(hint), "{error}");
    }
    assert!(said("cushion.restitution=1.5").contains("0.2 to 1"));
}

#[test]
fn a_table_without_friction_is_allowed() {
    // The mirror law needs it: cushion e = 1, no friction at cushion or cloth.
    let mirror = set(&[
        "cushion.restitution=1",
        "cushion.friction=0",
        "cloth.sliding_friction=0",
    ]);
    assert!(LoadedGear::load("pool-9ft", &mirror).is_ok());
    let sharp_gate = set(&["cushion.nose_height_ratio=0.5", "pocket.corner.mouth=4.5in"]);
    let gear = LoadedGear::load("pool-9ft", &sharp_gate).unwrap().gear;
    assert_relative_eq!(gear.object_contact_radius_m(), gear.object_radius_m());
}

#[test]
fn names_that_do_not_exist() {
    let said = |name: &str| Gear::load(name).unwrap_err().to_string();
    assert!(
        said("pool-9f").contains("did you mean pool-9ft?"),
        "{}",
        said("pool-9f")
    );
    assert!(said("snooker").contains("did you mean snooker-12ft?"));
    assert!(said("zzz").contains("built in are pool-9ft, pool-8ft-pro"));
    assert!(!said("zzz").contains("did you mean"));
    assert!(matches!(
        Gear::load("none/such.toml"),
        Err(GearError::Unreadable { .. })
    ));
    assert!(matches!(
        Gear::load(DATA),
        Err(GearError::Unreadable { .. })
    ));
    assert!(matches!(
        Gear::from_toml_str("base = \"pool-9ft\""),
        Err(GearError::MissingKey { .. })
    ));
}

#[test]
fn a_file_without_a_name_is_called_after_itself() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hall-2.toml");
    fs::write(&path, "base = \"sub/first.toml\"\n").unwrap();
    fs::create_dir(folder.path().join("sub")).unwrap();
    let first = "name = \"first\"\nbase = \"pool-7ft\"\n[cushion]\nrestitution = \"0.8\"\n";
    fs::write(folder.path().join("sub/first.toml"), first).unwrap();
    let gear = Gear::load(&path.display().to_string()).unwrap();
    assert_eq!(gear.name, "hall-2");
    assert_relative_eq!(gear.cushion.restitution, 0.8);
    assert_relative_eq!(gear.bed.length_m, 78.0 * 0.0254, max_relative = ROUNDING);
}

#[test]
fn every_bad_file_is_refused_with_its_words() {
    let (mut seen, mut accepted) = (0, Vec::new());
    for entry in fs::read_dir(Path::new(DATA).join("bad-gear")).unwrap() {
        let path = entry.unwrap().path();
        let text = fs::read_to_string(&path).unwrap();
        let words = text
            .lines()
            .next()
            .and_then(|l| l.strip_prefix("# expect: "))
            .unwrap();
        match Gear::load(&path.display().to_string()) {
            Ok(_) => accepted.push(path.clone()),
            Err(error) => {
                let said = error.to_string();
                assert!(
                    said.contains(words),
                    "{}\nsaid: {said}\nwant: {words}",
                    path.display()
                );
                assert!(!said.contains('\n'), "more than one line: {said}");
            }
        }
        seen += 1;
    }
    assert!(accepted.is_empty(), "accepted: {accepted:?}");
    assert!(seen >= 30, "only {seen} bad files found");
}

#[test]
fn places_are_found_on_the_bed() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let rho_m = gear.object_contact_radius_m();
    let spot = gear
        .bed
        .locate("foot-spot".parse::<Position>().unwrap(), rho_m)
        .unwrap();
    assert_relative_eq!(spot.x, 1.905);
    assert_relative_eq!(spot.y, 0.635);
}

#[test]
fn rounded_jaws_end_rail_and_facing_by_the_tangent_length() {
    let mut spec = Gear::preset("pool-9ft").unwrap().side;
    spec.jaw_radius_m = 0.01;
    spec.facing_angle_rad = std::f64::consts::FRAC_PI_2;
    // Exact: in a square corner the tangent length is the radius.
    assert_relative_eq!(spec.jaw_tangent_m(), 0.01, max_relative = ROUNDING);
}

#[test]
fn a_straight_ball_goes_in_untouched_at_every_pocket_of_every_preset() {
    for name in Gear::preset_names() {
        let gear = Gear::preset(name).unwrap();
        let body = BallBody::object(&gear);
        for kind in [PocketKind::Corner, PocketKind::Side] {
            let shape = PocketShape::new(&gear, kind, &body);
            let ball = Point::new(-0.4, 0.0);
            let acceptance = accept(&shape, &gear.cloth, &body, ball, 1.0)
                .unwrap()
                .unwrap();
            let clean = acceptance
                .clean
                .unwrap_or_else(|| panic!("{name} {kind:?}"));
            let size_mm = 1000.0 * acceptance.effective_size_m(&clean);
            // Two mirror-image edges, and room of at least 5 mm but never the whole mouth.
            assert!(
                (clean.from_rad + clean.to_rad).abs() < 1e-8,
                "{name} {kind:?}: {clean:?}"
            );
            let mouth_mm = 1000.0 * kind.spec(&gear).mouth_m;
            assert!(
                size_mm > 5.0 && size_mm < mouth_mm,
                "{name} {kind:?}: {size_mm} mm"
            );
            println!("{name} {kind:?}: clean {size_mm:.1} mm of {mouth_mm:.1} mm");
        }
    }
}

proptest! {
    /// Whatever passes is written and read back as the same gear, and a ball fits through.
    #[test]
    fn accepted_gear_survives_a_file(
        mouth_in in 1.5_f64..8.0,
        facing_deg in 130.0_f64..170.0,
        shelf_in in 0.0_f64..4.0,
        cutout_in in 0.5_f64..5.0,
        jaw_mm in 0.0_f64..60.0,
    ) {
        let overrides = vec![
            format!("pocket.corner.mouth={mouth_in}in"),
            format!("pocket.corner.facing_angle={facing_deg}deg"),
            format!("pocket.corner.shelf={shelf_in}in"),
            format!("pocket.corner.cutout_radius={cutout_in}in"),
            format!("pocket.corner.jaw_radius={jaw_mm}mm"),
        ];
        if let Ok(loaded) = LoadedGear::load("pool-9ft", &overrides) {
            let gear = &loaded.gear;
            prop_assert_eq!(&Gear::from_toml_str(&gear.to_toml()).unwrap(), gear);
            prop_assert_eq!(&Gear::from_toml_str(&loaded.to_toml()).unwrap(), gear);
            // Exact: throat at depth s is mouth − 2 s tan β, for a ball offset by ρ/cos β.
            let beta = gear.corner.facing_angle_rad - 0.75 * std::f64::consts::PI;
            let half = 0.5 * gear.corner.mouth_m - gear.corner.shelf_m * beta.tan()
                - gear.object_contact_radius_m() / beta.cos();
            prop_assert!(half > 0.0, "closed by {half} m");
        }
    }
}
