//! Pictures of every view at every size, light and dark, to be looked at: into the folder that
//! `THINCUT_PHOTOS` names.
//!
//! `THINCUT_PHOTOS=photos cargo test --test page every_view_is_photographed -- --ignored`

use std::path::Path;

use serde_json::json;
use thincut::log::{Log, PassMark, Sheet, SheetKind, ShotEntered};
use thincut::page::Options;
use thincut::request::PlacesRequest;

use super::browser::{Browser, PATIENCE};
use super::tally::today;
use crate::explorer::{PHONES, TOKEN, demo_log, shared_log};

/// Width, height and zoom: phone upright and on its side, tablet, laptop, projector, laptop at 200 and 400 %.
const SIZES: [(u32, u32, u32); 7] = [
    (360, 740, 1),
    (740, 360, 1),
    (768, 1024, 1),
    (1366, 768, 1),
    (1920, 1080, 1),
    (683, 384, 2),
    (320, 256, 4),
];

/// Of these, views are taken from top to bottom too.
const WHOLE: [(u32, u32, u32); 2] = [(360, 740, 1), (1366, 768, 1)];

pub(super) const SHOT: &str =
    "?cue=3,2.3&object=6,2.6&pocket=foot-left&level=club&ball=7,5,1&ball=9,4.4,3.5";

/// A view: its name, the address, what is done there, and what has to be seen then.
pub(super) type View = (&'static str, &'static str, &'static str, &'static str);

/// `document.getElementById` of each, pressed in turn.
pub(super) const VIEWS: &[View] = &[
    ("first", "", "", "#number"),
    (
        "drag",
        "",
        "const b = document.querySelector('.cue-handle'); b.focus(); b.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowRight', bubbles: true}));",
        "#was[data-way]",
    ),
    ("student", "&student=K", "", "#period"),
    (
        "controls",
        "",
        "document.getElementById('open-drawer').click();",
        "#drawer:not([hidden])",
    ),
    ("map", "&map=1", "", "#legend:not([hidden])"),
    (
        "compare",
        "",
        "document.getElementById('compare').click();",
        "#before:not([hidden])",
    ),
    ("shots", "&view=shots", "", ".ranked li"),
    ("shelf", "&view=shelf", "", ".shelf-shot"),
    ("charts", "&view=charts", "", "#view .sheet img[src]"),
    ("aims", "&view=aims", "", ".way-card"),
    ("budget", "&view=budget", "", "#view table"),
    (
        "ladder",
        "&view=ladder",
        "document.getElementById('ladder-draw').click();",
        "#view .page",
    ),
    (
        "marks",
        "&view=marks",
        "document.getElementById('marks-draw').click();",
        "#view .page",
    ),
    (
        "skill",
        "&view=skill&student=K",
        "",
        "#view .sheet:not([hidden]) img[src]",
    ),
    ("own", "&view=own", "", "#view .own-pocket"),
    (
        "own-rails",
        "&view=own",
        "document.getElementById('own-straight').scrollIntoView();",
        "#own-straight",
    ),
    (
        "present",
        "",
        "document.getElementById('present').click();",
        "html[data-present]",
    ),
    (
        "tries",
        "",
        "document.getElementById('present').click(); document.getElementById('present-all').click();",
        "#tries-usual:not(:empty)",
    ),
    ("snooker", "&game=snooker", "", "#number"),
    (
        "english",
        "&game=english&rules=international",
        "",
        "#number",
    ),
    ("eight", "&game=8-ball&group=solids", "", "#number"),
    ("blocked", "&ball=2,4.5,2.45", "", "#number"),
    ("fast", "&pace=9m/s", "", "#number"),
    (
        "join",
        "",
        "document.getElementById('show-phones').click();",
        "#join[open]",
    ),
];

pub(super) async fn sized(page: &Browser, (width, height, zoom): (u32, u32, u32)) {
    let metrics = json!({"width": width, "height": height, "deviceScaleFactor": zoom, "mobile": width.min(height) < 370});
    page.chrome("Emulation.setDeviceMetricsOverride", &metrics)
        .await;
}

/// Where pictures go, and of what they are.
struct Photos<'a> {
    page: &'a Browser,
    folder: &'a Path,
    size: (u32, u32, u32),
    dark: bool,
}

impl Photos<'_> {
    /// Waits until a script says yes: ladders and advice take their time, and there is no hurry here.
    async fn patient(&self, script: &str) {
        let started = std::time::Instant::now();
        while self.page.run(script).await != true {
            assert!(started.elapsed() < 5 * PATIENCE, "{script}");
            tokio::time::sleep(PATIENCE / 100).await;
        }
    }

    async fn take(&self, name: &str) {
        // What moves has come to rest, and pictures are drawn.
        self.patient(
            "return unanswered() === 0 && [...document.images].every((i) => i.complete) && !document.querySelector('[aria-busy=\"true\"]');",
        )
        .await;
        let picture = self.page.client.screenshot().await.unwrap();
        self.keep(name, &picture);
    }

    /// All of a page that is longer than the window.
    async fn take_whole(&self, name: &str) {
        let shot = json!({"captureBeyondViewport": true, "format": "png"});
        let metrics = self.page.chrome("Page.getLayoutMetrics", &json!({})).await;
        let size = &metrics["cssContentSize"];
        let mut shot = shot;
        shot["clip"] =
            json!({"x": 0, "y": 0, "width": size["width"], "height": size["height"], "scale": 1});
        let picture = self.page.chrome("Page.captureScreenshot", &shot).await;
        let bytes = base64(picture["data"].as_str().unwrap());
        self.keep(&format!("{name}-whole"), &bytes);
    }

    fn keep(&self, name: &str, picture: &[u8]) {
        let (width, height, zoom) = self.size;
        let theme = if self.dark { "dark" } else { "light" };
        let zoomed = if zoom > 1 { "-zoomed" } else { "" };
        let file = format!("{name}-{width}x{height}{zoomed}-{theme}.png");
        std::fs::write(self.folder.join(file), picture).unwrap();
    }
}

/// Which views are wanted: all, or those that `THINCUT_PHOTOS_OF` names.
fn wanted(name: &str) -> bool {
    let only = std::env::var("THINCUT_PHOTOS_OF").unwrap_or_default();
    only.is_empty() || only.split(',').any(|o| o == name)
}

/// A ladder of three rungs with marks, partly played today.
pub(super) fn played(path: &Path) -> String {
    let mut log = Log::open(path).unwrap();
    let places = ["4,2.4", "3,2.3", "1,3.3"].map(|cue| {
        let mut shot = ShotEntered {
            gear: "pool-9ft".to_owned(),
            ..ShotEntered::default()
        };
        shot.request.places = PlacesRequest {
            cue: Some(cue.to_owned()),
            object: Some("6,2.6".to_owned()),
            pocket: Some("foot-left".to_owned()),
            ..PlacesRequest::default()
        };
        (None, shot)
    });
    let title = "mixed for club player, assumed".to_owned();
    let mut sheet = Sheet::of_shots(SheetKind::Ladder, title, places.into()).unwrap();
    for (rung, makes) in sheet.rungs.iter_mut().zip([9, 8, 6]) {
        rung.pass = Some(PassMark { makes, tries: 10 });
    }
    log.save_sheet(&sheet).unwrap()
}

#[tokio::test(flavor = "multi_thread")]
#[ignore = "takes minutes, and somebody has to look at the pictures"]
async fn every_view_is_photographed() {
    let folder = std::env::var("THINCUT_PHOTOS").expect("THINCUT_PHOTOS names a folder");
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).unwrap();
    for dark in [false, true] {
        let (_folder, path) = demo_log();
        let code = played(&path);
        let options = Options {
            clock: today(&path).clock,
            ..shared_log(&path)
        };
        let page = Browser::bare((1366, 768), dark, options).await;
        let shelf = json!({"add": [
            {"name": "Half ball", "shot": "?cue=3,2.3&object=6,2.6&pocket=foot-left&level=club"},
            {"name": "Thin and far", "shot": "?cue=1,3.3&object=6,2.6&pocket=foot-left&level=club"},
            {"name": "Down the rail", "shot": "?cue=4,3.5&object=6.5,3.8&pocket=foot-left&level=club"}
        ]});
        assert_eq!(
            page.server.post_as(TOKEN, "/api/v1/shelf", &shelf).status,
            200
        );
        for size in SIZES {
            sized(&page, size).await;
            let photos = Photos {
                page: &page,
                folder,
                size,
                dark,
            };
            page.visit(&format!("{SHOT}#token={TOKEN}")).await;
            page.run("sessionStorage.removeItem('showing');").await;
            for (name, more, script, seen) in VIEWS.iter().filter(|v| wanted(v.0)) {
                page.run("sessionStorage.clear();").await;
                let link = format!("http://{}/{SHOT}{more}#token={TOKEN}", page.server.host());
                page.client.goto(&link).await.unwrap();
                page.seen("html[data-ready]").await;
                page.run(script).await;
                let there = format!("return document.querySelector({}) !== null;", json!(seen));
                photos.patient(&there).await;
                if more.contains("view=") {
                    page.run("document.getElementById('views-bar').scrollIntoView();")
                        .await;
                }
                photos.take(name).await;
                if more.contains("view=") && WHOLE.contains(&size) {
                    page.run("scrollTo(0, 0);").await;
                    photos.take_whole(name).await;
                }
            }
            if wanted("printed") {
                printed(&photos).await;
            }
            lesson(&photos, &code).await;
        }
        // What filled the screen was pressed by no hand, which the browser remarks on.
        page.driver_post("se/log", &json!({"type": "browser"}))
            .await;
        page.close().await;
    }
}

/// Base 64 as the browser sends it (RFC 4648, §4).
fn base64(text: &str) -> Vec<u8> {
    const ALPHABET: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let six = |c: u8| ALPHABET.iter().position(|a| *a == c);
    let (mut bits, mut held, mut out) = (0usize, 0, Vec::new());
    for value in text.bytes().filter_map(six) {
        bits = (bits << 6 | value) & 0xffff;
        held += 6;
        if held >= 8 {
            held -= 8;
            out.push(u8::try_from(bits >> held & 0xff).unwrap());
        }
    }
    out
}

/// The page as it goes to a printer, and the hand-out.
async fn printed(photos: &Photos<'_>) {
    let page = photos.page;
    let link = format!("{SHOT}&view=budget#token={TOKEN}");
    page.visit(&link).await;
    photos
        .patient("return document.querySelector('#view table') !== null;")
        .await;
    let scheme = if photos.dark { "dark" } else { "light" };
    for media in ["print", ""] {
        let features = json!([{"name": "prefers-color-scheme", "value": scheme}]);
        let emulated = json!({"media": media, "features": features});
        page.chrome("Emulation.setEmulatedMedia", &emulated).await;
        if media == "print" {
            photos.take("printed").await;
        }
    }
    let shots = json!({"title": "Tuesday at Millpond Hall", "shots": [
        {"name": "Half ball", "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club",
         "link": "http://192.0.2.7:8147/?cue=3,2.3&object=6,2.6&pocket=foot-left&level=club"},
        {"name": "Thin and far", "cue": "1,3.3", "object": "6,2.6", "pocket": "foot-left", "level": "club"}
    ]});
    let paper = page.server.post_as(TOKEN, "/api/v1/hand-out", &shots);
    assert_eq!(paper.status, 200, "{}", paper.text());
    std::fs::write(photos.folder.join("hand-out.pdf"), &paper.body).unwrap();
}

/// The tally: choosing, playing, with the order of play, and on a phone at a table.
async fn lesson(photos: &Photos<'_>, code: &str) {
    let page = photos.page;
    if wanted("choose") {
        page.visit(&format!("tally#token={TOKEN}")).await;
        photos.take("choose").await;
    }
    if !wanted("tally") {
        return;
    }
    let seated = json!({"students": ["K", "L", "M", "N", "P"], "tables": 2});
    assert_eq!(
        page.server.post_as(TOKEN, "/api/v1/order", &seated).status,
        200
    );
    for (student, made) in [("K", "oooooooxoo"), ("L", "oxxoxo"), ("M", "oooxxoxoxo")] {
        for (k, o) in made.chars().enumerate() {
            let at = format!("%Y-%m-%dT00:00:00.{k:03}%:z");
            let when = jiff::Zoned::now().strftime(&at);
            let outcome = if o == 'o' { "made" } else { "thin" };
            let tap = json!({"code": code, "rung": 1, "student": student, "outcome": outcome, "when": when.to_string()});
            let reply = page.server.post_as(TOKEN, "/api/v1/tap", &tap);
            assert_eq!(reply.status, 200, "{}", reply.text());
        }
    }
    page.visit(&format!("tally?code={code}#token={TOKEN}"))
        .await;
    photos.take("tally").await;
    page.run("document.getElementById('order').scrollIntoView(); document.getElementById('order-set').open = true;").await;
    photos.take("tally-order").await;
    page.run("document.getElementById('so-far').scrollIntoView();")
        .await;
    photos.take("tally-table").await;
    // Another token alone opens no page anew.
    page.client.goto("about:blank").await.unwrap();
    page.visit(&format!("tally?code={code}#token={PHONES}"))
        .await;
    page.choose("my-table", "1").await;
    page.run("scrollTo(0, 0);").await;
    photos.take("tally-phone").await;
    page.choose("my-table", "0").await;
}
