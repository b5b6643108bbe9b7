//! The committed tables and charts are what the program makes today.
//!
//! `THINCUT_UPDATE=1 cargo test --test repository fresh` writes anew what is stale, and leaves alone what
//! differs in a last digit only.

use std::path::Path;

use resvg::tiny_skia::Pixmap;
use thincut::answer::{compare_gears, usual_shots};
use thincut::charts::by_cut::ByCutChart;
use thincut::charts::gear::GearChart;
use thincut::charts::grid::GridChart;
use thincut::charts::pace::PaceChart;
use thincut::charts::places::PlacesChart;
use thincut::charts::shot::ShotChart;
use thincut::charts::why_thin::WhyThinChart;
use thincut::charts::{Chart, Request};
use thincut::draw::{Size, png};
use thincut::gear::{DEFAULT_PRESET, Gear, LoadedGear};
use thincut::player::PlayerRequest;
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};
use thincut::survey::{Grid, SurveyCsv, survey};

/// Largest difference of a number from the committed one: one unit in the last digit written (six
/// decimals for angles, four for lengths), since machines' mathematical functions differ there.
const LAST_DIGIT: f64 = 1.1e-4;

fn table(name: &str) -> String {
    let gear = Gear::preset(name).expect("an embedded preset");
    let grid = Grid::default();
    let mut csv = SurveyCsv::new(Vec::new(), &gear, &grid).expect("memory");
    survey(
        &gear,
        &grid,
        |row| -> Result<(), Box<dyn std::error::Error>> { Ok(csv.write(row)?) },
    )
    .expect("the default grid");
    String::from_utf8(csv.finish().expect("memory")).expect("UTF-8")
}

#[test]
fn tables_are_fresh() {
    for name in Gear::preset_names() {
        let path = format!("{}/tables/survey-{name}.csv", env!("CARGO_MANIFEST_DIR"));
        let now = table(name);
        let held = read(&path).and_then(|kept| compare(&kept, &now, LAST_DIGIT));
        mended(held, &path, &[(path.as_str(), now.as_bytes())]);
    }
}

pub(crate) fn read(path: &str) -> Result<String, String> {
    std::fs::read_to_string(path).map_err(|e| e.to_string())
}

/// What is stale is written anew where that is asked for, and fails otherwise.
pub(crate) fn mended(held: Result<(), String>, path: &str, files: &[(&str, &[u8])]) {
    let Err(stale) = held else { return };
    assert!(
        std::env::var_os("THINCUT_UPDATE").is_some(),
        "{path} is stale: {stale}; run THINCUT_UPDATE=1 cargo test --test repository fresh"
    );
    for (file, now) in files {
        std::fs::write(file, now).expect("the folder is writable");
    }
}

/// Two tables, numbers as near as `last_digit`.
pub(crate) fn compare(kept: &str, now: &str, last_digit: f64) -> Result<(), String> {
    let lines = kept.lines().count();
    if lines != now.lines().count() {
        return Err(format!("{lines} lines"));
    }
    for (line, (a, b)) in kept.lines().zip(now.lines()).enumerate() {
        let (a, b): (Vec<&str>, Vec<&str>) = (a.split(',').collect(), b.split(',').collect());
        if a.len() != b.len() {
            return Err(format!("line {} has {} cells", line + 1, a.len()));
        }
        for (x, y) in a.iter().zip(&b) {
            let same = x == y
                || matches!((x.parse::<f64>(), y.parse::<f64>()), (Ok(x), Ok(y)) if (x - y).abs() <= last_digit);
            if !same {
                return Err(format!("in line {} {x} is now {y}", line + 1));
            }
        }
    }
    Ok(())
}

/// Numbers in a picture may differ by this much: a twentieth of a pixel, or a thousandth.
const DRAWN: f64 = 0.05;

/// Share of a PNG's pixels that may differ visibly from the one kept: smoothing along edges that
/// moved by a fraction of a pixel.
const PIXELS: f64 = 0.002;

/// Tables whose pockets, balls and cloth differ, so that their charts of shots by angles do: the default
/// first, then each that is not like one before.
fn different() -> Vec<(&'static str, Gear)> {
    let mut names: Vec<&str> = Gear::preset_names().to_vec();
    names.sort_by_key(|name| *name != DEFAULT_PRESET);
    let mut kept: Vec<(&str, Gear)> = Vec::new();
    for name in names {
        let gear = Gear::preset(name).expect("an embedded preset");
        let like = |other: &Gear| {
            gear.corner == other.corner && gear.side == other.side && gear.balls == other.balls
        };
        if !kept.iter().any(|(_, other)| like(other)) {
            kept.push((name, gear));
        }
    }
    kept
}

#[test]
fn charts_are_fresh() {
    let different = different();
    assert!(different.len() >= 3, "{}", different.len());
    for (name, gear) in different {
        let mut request = Request::new(gear, Size::default());
        fresh(&format!("7-grid-{name}"), &GridChart, &request);
        // As `survey` draws it.
        request.options.log_distance = true;
        fresh(&format!("6-by-cut-{name}"), &ByCutChart, &request);
    }
}

/// The pictures README shows beside those of the survey.
#[test]
fn pictures_of_the_readme_are_fresh() {
    let gear = Gear::preset("pool-9ft").expect("preset");
    let asked = ShotRequest {
        places: PlacesRequest {
            cue: Some("3,1".to_owned()),
            object: Some("5,2.4".to_owned()),
            pocket: Some("foot-left".to_owned()),
            ..PlacesRequest::default()
        },
        stroke: StrokeRequest::default(),
    };
    let mut request = Request::new(gear.clone(), Size::default());
    request.shot = Some(asked.shot(&gear).expect("a shot"));
    fresh("1-why-thin", &WhyThinChart, &request);
    fresh("2-shot", &ShotChart, &request);
    fresh("4-pace", &PaceChart, &request);
    let level = PlayerRequest {
        level: Some("club".to_owned()),
        ..PlayerRequest::default()
    };
    request.player = level.player().expect("a level");
    fresh("3-places-club", &PlacesChart, &request);
    // As the command names them.
    let change = "pocket.corner.mouth=4.125in".to_owned();
    let tight = LoadedGear::load("pool-9ft", &[change])
        .expect("a mouth")
        .gear;
    let gears = [gear, tight].map(|gear| (gear.name.clone(), gear));
    let shots = usual_shots(&asked.stroke);
    request.player = None;
    request.compared = Some(compare_gears(&gears, &shots, None).expect("compared"));
    fresh("5-gear", &GearChart, &request);
    let readme = include_str!("../../README.md");
    assert!(
        readme.contains("](charts/1-why-thin.png)"),
        "it opens with the poster"
    );
}

/// A chart against its files in charts/, or the files written anew.
fn fresh(name: &str, chart: &dyn Chart, request: &Request) {
    let now = chart.draw(request).expect("it draws").svg;
    let pixels = png(&now, 1.0).expect("it renders");
    let path = format!("{}/charts/{name}.svg", env!("CARGO_MANIFEST_DIR"));
    let png_path = path.replace(".svg", ".png");
    let held = read(&path)
        .and_then(|kept| same_structure(&kept, &now))
        .and_then(|()| same_pixels(&png_path, &pixels));
    mended(
        held,
        &path,
        &[
            (path.as_str(), now.as_bytes()),
            (png_path.as_str(), pixels.as_slice()),
        ],
    );
}

fn same_pixels(path: &str, now: &[u8]) -> Result<(), String> {
    let kept = std::fs::read(path).map_err(|e| e.to_string())?;
    let [kept, now] = [kept.as_slice(), now].map(|b| Pixmap::decode_png(b).expect("a PNG"));
    if kept.pixels().len() != now.pixels().len() {
        return Err("its PNG has another size".to_owned());
    }
    let differ = kept.pixels().iter().zip(now.pixels());
    let differ = differ.filter(|(a, b)| a.green().abs_diff(b.green()) > 64);
    let differ = f64::from(u32::try_from(differ.count()).expect("small"));
    if differ > PIXELS * f64::from(now.width() * now.height()) {
        return Err(format!("its PNG differs in {differ} pixels"));
    }
    Ok(())
}

/// Words and marks equal, numbers close: machines' mathematical functions differ in last digits.
fn same_structure(kept: &str, now: &str) -> Result<(), String> {
    let (a, b) = (pieces(kept), pieces(now));
    if a.len() != b.len() {
        return Err(format!("{} pieces are now {}", a.len(), b.len()));
    }
    for (x, y) in a.iter().zip(&b) {
        let close = match (x.parse::<f64>(), y.parse::<f64>()) {
            (Ok(x), Ok(y)) => (x - y).abs() <= DRAWN.max(1e-3 * x.abs()),
            _ => x == y,
        };
        if !close {
            return Err(format!("{x} is now {y}"));
        }
    }
    Ok(())
}

/// A text cut into numbers and what stands between them.
fn pieces(text: &str) -> Vec<&str> {
    let numeric = |c: char| c.is_ascii_digit() || c == '.' || c == '-';
    let mut out = Vec::new();
    let mut start = 0;
    let mut was = None;
    for (at, c) in text.char_indices() {
        let is = numeric(c);
        if was.is_some_and(|w| w != is) {
            out.push(&text[start..at]);
            start = at;
        }
        was = Some(is);
    }
    out.push(&text[start..]);
    out
}

/// Both folders open with an index that names every file, each once, and nothing else.
#[test]
fn folders_open_with_an_index() {
    for (folder, ending) in [("charts", "png"), ("tables", "csv")] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        let index = folder.join("README.md");
        let index = std::fs::read_to_string(&index).expect("an index");
        let mut named: Vec<&str> = index
            .split("](")
            .skip(1)
            .filter_map(|rest| rest.split(')').next())
            .filter(|file| file.ends_with(ending))
            .collect();
        named.sort_unstable();
        let mut kept: Vec<String> = std::fs::read_dir(&folder)
            .expect("a folder")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .filter(|file| file.ends_with(ending))
            .collect();
        kept.sort_unstable();
        assert_eq!(
            named,
            kept,
            "{}: its README.md names each file, and no other",
            folder.display()
        );
    }
}
