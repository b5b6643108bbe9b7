//! Speed of charts: solving the places of a cue ball, and each chart from solving to its file.
//!
//! Run with `cargo bench --bench charts`.

use divan::Bencher;
use thincut::answer::{compare_gears, usual_shots};
use thincut::charts::places::rooms;
use thincut::charts::{self, Request, Subject};
use thincut::draw::pdf::Stamp;
use thincut::draw::render::{Format, encode};
use thincut::draw::{Paper, Size};
use thincut::gear::Gear;
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};
use thincut::window::Shot;

fn main() {
    divan::main();
}

fn gear() -> Gear {
    Gear::preset("pool-9ft").expect("the default preset is embedded")
}

fn shot() -> Shot {
    let request = ShotRequest {
        places: PlacesRequest {
            cue: Some("3,1".to_owned()),
            object: Some("5,2.4".to_owned()),
            pocket: Some("foot-left".to_owned()),
            ..PlacesRequest::default()
        },
        stroke: StrokeRequest::default(),
    };
    request.shot(&gear()).expect("a shot")
}

fn request(chart: &str) -> Request {
    let mut request = Request::new(gear(), Size::default());
    match charts::find(chart).expect("registered").subject() {
        Subject::Shot | Subject::Pocket => request.shot = Some(shot()),
        Subject::Gears => {
            let seven = Gear::preset("pool-7ft").expect("embedded");
            let gears = [("9 ft".to_owned(), gear()), ("7 ft".to_owned(), seven)];
            let shots = usual_shots(&StrokeRequest::default());
            request.compared = Some(compare_gears(&gears, &shots, None).expect("compared"));
        }
        Subject::Grid | Subject::Hits | Subject::Gear => {}
    }
    request
}

/// 200 × 100 places of the cue ball on two cores (target 30 ms).
#[divan::bench]
fn places_solved_on_two_cores(bencher: Bencher) {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(2).build();
    let (pool, gear, shot) = (pool.expect("threads"), gear(), shot());
    bencher.bench_local(|| pool.install(|| rooms(&gear, &shot.frame, &shot)));
}

const CHARTS: [&str; 8] = [
    "by-cut", "grid", "pocket", "pace", "places", "shot", "why", "gear",
];

/// Solving and drawing.
#[divan::bench(args = CHARTS)]
fn svg(bencher: Bencher, chart: &str) {
    let (request, chart) = (request(chart), charts::find(chart).expect("registered"));
    bencher.bench_local(|| chart.draw(&request));
}

fn encoded(bencher: Bencher, chart: &str, format: Format) {
    let picture = charts::find(chart)
        .and_then(|c| c.draw(&request(chart)))
        .expect("drawn");
    bencher.bench_local(|| encode(&picture, format, Paper::A4, Stamp::default()));
}

/// From SVG to PNG.
#[divan::bench(args = CHARTS)]
fn png(bencher: Bencher, chart: &str) {
    encoded(bencher, chart, Format::Png);
}

/// From SVG to PDF.
#[divan::bench(args = CHARTS)]
fn pdf(bencher: Bencher, chart: &str) {
    encoded(bencher, chart, Format::Pdf);
}
