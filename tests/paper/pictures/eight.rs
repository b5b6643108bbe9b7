//! The eight charts a coach shows, each for a corner, a side and a thin long shot.

use thincut::answer::{compare_gears, usual_shots};
use thincut::charts::behind::USUAL_EYE_M;
use thincut::charts::{self, Options, Over, Request, RoomUnit, Subject};
use thincut::draw::pdf::Stamp;
use thincut::draw::render::{Format, encode};
use thincut::draw::{Paper, Picture, png};
use thincut::gear::Gear;
use thincut::player::Level;
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};

use super::paper::{output, pdf_file};
use super::svg::{assert_shapes_stay_inside, assert_texts_are_clear, labels, parse};

/// Cue ball, object ball, pocket.
pub(crate) const SHOTS: [(&str, [&str; 3]); 3] = [
    ("corner", ["3,1", "5,2.4", "foot-left"]),
    ("side", ["2.2,1", "4.4,3", "side-left"]),
    ("thin-long", ["0.5,3.3", "6.8,2.2", "foot-left"]),
];

pub(crate) fn gear() -> Gear {
    Gear::preset("pool-9ft").expect("preset")
}

/// The request for a shot on the table.
pub(crate) fn asked([cue, object, pocket]: [&str; 3]) -> ShotRequest {
    ShotRequest {
        places: PlacesRequest {
            cue: Some(cue.to_owned()),
            object: Some(object.to_owned()),
            pocket: Some(pocket.to_owned()),
            ..PlacesRequest::default()
        },
        stroke: StrokeRequest::default(),
    }
}

/// Gears that differ as tables in two halls do.
pub(crate) fn gears() -> Vec<(String, Gear)> {
    let tight = Gear::preset("pool-9ft")
        .and_then(|g| g.with_overrides(&["pocket.corner.mouth=4.125in".to_owned()]))
        .expect("a tighter corner");
    let seven = Gear::preset("pool-7ft").expect("preset");
    vec![
        ("pool-9ft".to_owned(), gear()),
        ("pool-9ft with 4⅛ in corners".to_owned(), tight),
        ("pool-7ft".to_owned(), seven),
    ]
}

/// A chart's request for one of the shots; charts of many shots take its kind of pocket.
pub(crate) fn request(chart: &str, places: [&str; 3], size: &str) -> Request {
    let asked = asked(places);
    let shot = asked.shot(&gear()).expect("a shot");
    let mut request = Request::new(gear(), size.parse().expect("size"));
    match charts::find(chart).expect("registered").subject() {
        Subject::Shot | Subject::Pocket => request.shot = Some(shot),
        Subject::Grid | Subject::Hits => request.grid.kind = shot.frame.kind,
        Subject::Gears => {
            let compared = compare_gears(&gears()[..2], &usual_shots(&asked.stroke), None);
            request.compared = Some(compared.expect("compared"));
        }
        Subject::Gear => {}
    }
    request
}

/// Every variant of the eight charts, by the name of its snapshot.
pub(crate) fn variants(chart: &str) -> Vec<(&'static str, Options)> {
    let plain = Options::default();
    let millimetres = Options {
        room: Some(RoomUnit::Mm),
        over: Over::ToPocket,
        log_distance: true,
        ..plain
    };
    let linear = Options {
        linear: true,
        ..millimetres
    };
    let behind = Options {
        eye_height_m: Some(USUAL_EYE_M),
        ..plain
    };
    match chart {
        "by-cut" => vec![("", plain), ("-mm-linear", linear)],
        "grid" => vec![("", plain), ("-mm", millimetres)],
        "shot" => vec![("", plain), ("-behind", behind)],
        _ => vec![("", plain)],
    }
}

pub(crate) const EIGHT: [&str; 8] = [
    "by-cut", "grid", "pocket", "pace", "places", "shot", "why", "gear",
];

/// Each chart, variant and shot at a size, with a name.
pub(crate) fn each(size: &str, mut see: impl FnMut(&str, &Picture)) {
    for chart in EIGHT {
        for (suffix, options) in variants(chart) {
            for (shot, places) in SHOTS {
                let mut request = request(chart, places, size);
                request.options = options;
                let picture = charts::find(chart).expect("registered").draw(&request);
                let name = format!("{chart}{suffix}-{shot}");
                let picture = picture.unwrap_or_else(|e| panic!("{name} at {size}: {e}"));
                see(&name, &picture);
            }
        }
    }
}

#[test]
fn all_eight_are_listed() {
    for name in EIGHT {
        assert!(charts::ALL.iter().any(|c| c.name() == name), "{name}");
    }
}

#[test]
fn nothing_leaves_the_picture_and_no_words_meet() {
    // The last is a chart of the page on a phone.
    for size in ["1200x800", "800x1200", "640x480", "336x437"] {
        each(size, |name, picture| {
            if std::env::var_os("PICTURES_OUT").is_some() {
                eprintln!("{name} {size}");
            }
            assert_texts_are_clear(&picture.svg);
            assert_shapes_stay_inside(&picture.svg);
            let doc = parse(&picture.svg);
            let said = |tag: &str| {
                let node = doc.descendants().find(|n| n.has_tag_name(tag));
                node.and_then(|n| n.text()).unwrap_or_default().to_owned()
            };
            assert_eq!(said("title"), picture.title, "{name}");
            assert!(said("desc").len() > 20, "{name}: {}", said("desc"));
        });
    }
}

#[test]
fn every_png_has_its_size_and_something_on_it() {
    each("900x600", |name, picture| {
        let bytes = png(&picture.svg, 1.0).expect("png");
        let pixels = resvg::tiny_skia::Pixmap::decode_png(&bytes).expect("decodes");
        assert_eq!((pixels.width(), pixels.height()), (900, 600), "{name}");
        let dark = pixels.pixels().iter().filter(|p| p.red() < 128).count();
        assert!(dark > 1000, "{name}: {dark} dark pixels");
        keep(name, "png", &bytes);
    });
}

/// A PDF page as pdftoppm draws it: as dark as the PNG, and nothing in its margin.
#[test]
fn every_pdf_opens_and_shows_the_picture() {
    each("900x600", |name, picture| {
        let make = || encode(picture, Format::Pdf, Paper::A4, Stamp::default()).expect("pdf");
        let bytes = make();
        assert!(bytes == make(), "{name}: bytes differ");
        keep(name, "pdf", &bytes);
        let file = pdf_file(&bytes);
        let pages = tempfile::tempdir().expect("a folder");
        let root = pages.path().join("page");
        let root = root.to_str().expect("a plain path");
        output(
            "pdftoppm",
            &["-r", "60", "-png", "-singlefile", file.path_str(), root],
        );
        let page = std::fs::read(format!("{root}.png")).expect("a page");
        let page = resvg::tiny_skia::Pixmap::decode_png(&page).expect("decodes");
        // A4 on its side at 60 dots an inch: 297 mm and 210 mm.
        assert!(page.width().abs_diff(702) <= 1 && page.height().abs_diff(496) <= 1);
        let (mut dark, mut margin) = (0, 0);
        // 12 mm of margin less one dot of smoothing.
        let edge = 27;
        for (k, p) in page.pixels().iter().enumerate() {
            let k = u32::try_from(k).expect("small");
            let (x, y) = (k % page.width(), k / page.width());
            let white = p.red() > 250 && p.green() > 250 && p.blue() > 250;
            let inside = x >= edge && y >= edge;
            let inside = inside && x < page.width() - edge && y < page.height() - edge;
            margin += usize::from(!white && !inside);
            dark += usize::from(p.red() < 128);
        }
        assert!(dark > 300, "{name}: {dark} dark dots");
        assert_eq!(margin, 0, "{name}: the picture reaches into the margin");
    });
}

/// For a person to look at: `PICTURES_OUT=DIR cargo test --test paper eight`.
fn keep(name: &str, ending: &str, bytes: &[u8]) {
    if let Some(folder) = std::env::var_os("PICTURES_OUT") {
        let path = std::path::Path::new(&folder).join(format!("{name}.{ending}"));
        std::fs::write(path, bytes).expect("kept");
    }
}

/// All words of each chart, in the order drawn, against the file kept.
/// `THINCUT_UPDATE=1` writes the files anew.
#[test]
fn words_are_those_kept() {
    let update = std::env::var_os("THINCUT_UPDATE").is_some();
    each("1200x800", |name, picture| {
        let doc = parse(&picture.svg);
        let now: String = labels(&doc)
            .into_iter()
            .map(|l| format!("{}\n", l.content))
            .collect();
        let path = format!(
            "{}/tests/data/charts/{name}.txt",
            env!("CARGO_MANIFEST_DIR")
        );
        if update {
            std::fs::write(&path, &now).expect("tests/data/charts is writable");
        }
        let kept = std::fs::read_to_string(&path)
            .unwrap_or_else(|e| panic!("{path}: {e}; run with THINCUT_UPDATE=1"));
        assert_eq!(
            kept, now,
            "{name}: the words changed; look, then THINCUT_UPDATE=1"
        );
    });
}

#[test]
fn chances_are_drawn_where_a_player_is_given() {
    let shot = SHOTS[0].1;
    let player = thincut::player::Player {
        who: "club player, assumed".to_owned(),
        error: Level::Club.aim_error(),
        assumed: true,
    };
    let mut places = request("places", shot, "1200x800");
    places.player = Some(player.clone());
    let mut gear = request("gear", shot, "1200x800");
    let compared = compare_gears(
        &gears(),
        &usual_shots(&StrokeRequest::default()),
        Some(&player),
    );
    gear.compared = Some(compared.expect("compared"));
    for (chart, request) in [("places", places), ("gear", gear)] {
        let picture = charts::find(chart).expect("registered").draw(&request);
        let svg = picture.expect("drawn").svg;
        assert_texts_are_clear(&svg);
        assert!(svg.contains("club player, assumed"), "{chart}");
        assert!(svg.contains(">makes in ten<"), "{chart}");
    }
}
