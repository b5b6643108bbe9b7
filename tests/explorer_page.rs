//! The page in a real Chromium: what a hand, a finger and the keys do, and that the number on top is
//! the library's for that very place. Needs chromedriver, chromium and `tests/page/node_modules`;
//! `bash tests/run.sh` installs them.

#![allow(
    clippy::unwrap_used,
    clippy::too_many_lines,
    reason = "a test stops where something is missing, and lists its cases"
)]

mod explorer;

use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use explorer::{Server, over, post};
use fantoccini::actions::{InputSource as _, MouseActions, PointerAction};
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};

/// How long a browser may take to show something before the test calls it missing. Generous: a
/// busy machine is no fault of the page.
const PATIENCE: Duration = Duration::from_secs(20);

struct Browser {
    client: Client,
    driver: Child,
    port: u16,
    server: Server,
    _profile: tempfile::TempDir,
}

impl Browser {
    /// A browser of this size, on `search`, in light or dark.
    async fn open(size: (u32, u32), search: &str, dark: bool) -> Self {
        let port = TcpListener::bind("127.0.0.1:0")
            .unwrap()
            .local_addr()
            .unwrap()
            .port();
        let driver = Command::new("chromedriver")
            .arg(format!("--port={port}"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromedriver is missing: run bash tests/run.sh, which installs it");
        let profile = tempfile::tempdir().unwrap();
        let capabilities = json!({
            "goog:chromeOptions": {"args": [
                "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
                format!("--user-data-dir={}", profile.path().display())
            ]},
            "goog:loggingPrefs": {"browser": "ALL"}
        });
        let capabilities = capabilities.as_object().unwrap().clone();
        let started = std::time::Instant::now();
        let client = loop {
            let mut builder = ClientBuilder::new(HttpConnector::new());
            builder.capabilities(capabilities.clone());
            match builder.connect(&format!("http://127.0.0.1:{port}")).await {
                Ok(client) => break client,
                Err(error) if started.elapsed() > PATIENCE => panic!("no browser: {error}"),
                Err(_) => tokio::time::sleep(Duration::from_millis(50)).await,
            }
        };
        let browser = Self {
            client,
            driver,
            port,
            server: Server::start(),
            _profile: profile,
        };
        let (width, height) = size;
        let phone = width < 500;
        browser
            .chrome(
                "Emulation.setDeviceMetricsOverride",
                &json!({
                    "width": width, "height": height, "deviceScaleFactor": 1, "mobile": phone
                }),
            )
            .await;
        let scheme = if dark { "dark" } else { "light" };
        browser
            .chrome(
                "Emulation.setEmulatedMedia",
                &json!({
                    "features": [{"name": "prefers-color-scheme", "value": scheme}]
                }),
            )
            .await;
        browser.go(search).await;
        browser
    }

    async fn go(&self, search: &str) {
        let link = format!("http://{}/{search}", self.server.host());
        self.client.goto(&link).await.unwrap();
        let ready = Locator::Css("html[data-ready]");
        self.client
            .wait()
            .at_most(PATIENCE)
            .for_element(ready)
            .await
            .unwrap();
        self.settled().await;
    }

    /// A command of the browser itself.
    async fn chrome(&self, command: &str, parameters: &Value) -> Value {
        self.driver_post(
            "goog/cdp/execute",
            &json!({"cmd": command, "params": parameters}),
        )
        .await
    }

    async fn driver_post(&self, path: &str, body: &Value) -> Value {
        let session = self.client.session_id().await.unwrap().unwrap();
        let body = body.to_string();
        let request = format!(
            "POST /session/{session}/{path} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            body.len()
        );
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        let reply = over(stream, request.as_bytes()).unwrap();
        assert_eq!(reply.status, 200, "{path}: {}", reply.text());
        reply.json()["value"].clone()
    }

    async fn run(&self, script: &str) -> Value {
        self.client.execute(script, Vec::new()).await.unwrap()
    }

    async fn text(&self, id: &str) -> String {
        let script = format!("return document.getElementById('{id}').textContent;");
        self.run(&script).await.as_str().unwrap().to_owned()
    }

    async fn address(&self) -> String {
        self.run("return location.search;")
            .await
            .as_str()
            .unwrap()
            .to_owned()
    }

    /// Waits until the number on top is what the program answers for the address shown.
    async fn settled(&self) -> (String, String) {
        let started = std::time::Instant::now();
        loop {
            let wanted = self.answer().await["headline"].clone();
            let shown = (self.text("number").await, self.text("words").await);
            if shown.0 == wanted["number"] && shown.1 == wanted["words"] {
                return shown;
            }
            assert!(
                started.elapsed() < PATIENCE,
                "shown {shown:?}, answered {wanted}"
            );
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    /// The program's answer for the shot in the address.
    async fn answer(&self) -> Value {
        let mut body = json!({"cue": "2.859,2.280", "object": "6.000,2.600", "pocket": "foot-left", "level": "club"});
        let start = post(&self.server, "/api/v1/gear", &json!({})).json()["start"].clone();
        for (key, value) in start.as_object().unwrap() {
            body[key] = value.clone();
        }
        let address = self.address().await;
        for pair in address
            .trim_start_matches('?')
            .split('&')
            .filter(|p| !p.is_empty())
        {
            let (key, value) = pair.split_once('=').unwrap();
            if !matches!(key, "map" | "snap") {
                body[key] = json!(value);
            }
        }
        if body["level"] == "nobody" {
            body.as_object_mut().unwrap().remove("level");
        }
        let reply = post(&self.server, "/api/v1/shot", &body);
        assert_eq!(reply.status, 200, "{body}: {}", reply.text());
        reply.json()
    }

    /// Where a place of the table is on the screen.
    async fn on_screen(&self, diamonds: (f64, f64)) -> (f64, f64) {
        let script = format!(
            "const m = document.querySelector('#table > g').getScreenCTM();
             const p = new DOMPoint({} * 317.5, {} * 317.5).matrixTransform(m); return [p.x, p.y];",
            diamonds.0, diamonds.1
        );
        let place = self.run(&script).await;
        (place[0].as_f64().unwrap(), place[1].as_f64().unwrap())
    }

    async fn pointer(&self, actions: Vec<PointerAction>) {
        let mut mouse = MouseActions::new("mouse".to_owned());
        for action in actions {
            mouse = mouse.then(action);
        }
        self.client.perform_actions(mouse).await.unwrap();
        self.client.release_actions().await.unwrap();
    }

    async fn drag(&self, from: (f64, f64), to: (f64, f64)) {
        let (a, b) = (self.on_screen(from).await, self.on_screen(to).await);
        let go = |(x, y): (f64, f64)| PointerAction::MoveTo {
            duration: Some(Duration::from_millis(40)),
            x,
            y,
        };
        let half = (0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1));
        let left = fantoccini::actions::MOUSE_BUTTON_LEFT;
        self.pointer(vec![
            go(a),
            PointerAction::Down { button: left },
            go(half),
            go(b),
            PointerAction::Up { button: left },
        ])
        .await;
    }

    async fn tap(&self, place: (f64, f64)) {
        let (x, y) = self.on_screen(place).await;
        let left = fantoccini::actions::MOUSE_BUTTON_LEFT;
        self.pointer(vec![
            PointerAction::MoveTo {
                duration: None,
                x,
                y,
            },
            PointerAction::Down { button: left },
            PointerAction::Up { button: left },
        ])
        .await;
    }

    async fn keys(&self, css: &str, keys: &str) {
        let element = self.client.find(Locator::Css(css)).await.unwrap();
        element.send_keys(keys).await.unwrap();
    }

    async fn click(&self, id: &str) {
        let element = self.client.find(Locator::Id(id)).await.unwrap();
        element.click().await.unwrap();
    }

    /// No error in the console, then the browser is closed.
    async fn close(mut self) {
        let log = self
            .driver_post("se/log", &json!({"type": "browser"}))
            .await;
        let bad = |entry: &&Value| matches!(entry["level"].as_str(), Some("SEVERE" | "WARNING"));
        let errors: Vec<_> = log.as_array().unwrap().iter().filter(bad).collect();
        assert!(errors.is_empty(), "{errors:?}");
        self.client.clone().close().await.unwrap();
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// A place of a ball in the address, diamonds.
fn place_in(address: &str, ball: &str) -> (f64, f64) {
    let text = address
        .trim_start_matches('?')
        .split('&')
        .find_map(|p| p.strip_prefix(&format!("{ball}=")))
        .unwrap();
    let (x, y) = text.split_once(',').unwrap();
    (x.parse().unwrap(), y.parse().unwrap())
}

/// A pointer lands on whole pixels: a fiftieth of a diamond at the sizes tested.
const PIXEL_DIAMONDS: f64 = 0.02;

fn near(a: (f64, f64), b: (f64, f64)) -> bool {
    (a.0 - b.0).abs() < PIXEL_DIAMONDS && (a.1 - b.1).abs() < PIXEL_DIAMONDS
}

const LAPTOP: (u32, u32) = (1366, 768);
const PHONE: (u32, u32) = (360, 800);
const START: &str = "?cue=3,2.3&object=6,2.6&pocket=foot-left&level=club";

#[tokio::test(flavor = "multi_thread")]
async fn opens_on_a_half_ball_shot_with_one_number() {
    let page = Browser::open(LAPTOP, "", false).await;
    let (number, words) = page.settled().await;
    assert!(number.ends_with("in 10"), "{number}");
    assert_eq!(words, "for a club player, assumed");
    assert!(page.text("lines").await.contains("a half-ball hit"));
    let drawn = page
        .run("return ['.wedge', '.ghost.fullest', '.ghost.thinnest', '.fan'].map((c) => document.querySelectorAll('#table ' + c).length);")
        .await;
    assert!(
        drawn
            .as_array()
            .unwrap()
            .iter()
            .all(|n| n.as_u64() > Some(0)),
        "{drawn}"
    );
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn dragging_a_ball_moves_the_number_with_it() {
    let page = Browser::open(LAPTOP, START, false).await;
    let before = page.settled().await;
    page.drag((6.0, 2.6), (7.0, 3.0)).await;
    assert!(
        near(place_in(&page.address().await, "object"), (7.0, 3.0)),
        "{}",
        page.address().await
    );
    let after = page.settled().await;
    assert_ne!(before, after, "a shot twice as near the pocket");
    // The cue ball as well; and back again, ball by ball.
    page.drag((3.0, 2.3), (5.0, 1.5)).await;
    assert!(near(place_in(&page.address().await, "cue"), (5.0, 1.5)));
    page.settled().await;
    page.click("undo").await;
    page.settled().await;
    assert!(near(place_in(&page.address().await, "cue"), (3.0, 2.3)));
    page.client.back().await.unwrap();
    assert_eq!(page.settled().await, before);
    assert_eq!(place_in(&page.address().await, "object"), (6.0, 2.6));
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn tapping_keys_steppers_and_fields_do_the_same() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.tap((2.0, 1.0)).await;
    assert!(near(place_in(&page.address().await, "cue"), (2.0, 1.0)));
    page.settled().await;
    page.run("document.querySelector('input[name=moves][value=object]').click();")
        .await;
    page.tap((5.5, 3.0)).await;
    assert!(near(place_in(&page.address().await, "object"), (5.5, 3.0)));
    page.settled().await;
    page.tap((4.0, 4.15)).await;
    assert!(
        page.address().await.contains("pocket=side-left"),
        "{}",
        page.address().await
    );
    page.settled().await;
    // Keys: an eighth of a diamond, a hundredth with shift.
    page.go(START).await;
    page.keys(".cue-handle", "\u{e014}").await;
    page.settled().await;
    assert_eq!(place_in(&page.address().await, "cue"), (3.125, 2.3));
    page.keys(".cue-handle", "\u{e008}\u{e013}").await;
    page.settled().await;
    assert_eq!(place_in(&page.address().await, "cue"), (3.125, 2.31));
    page.keys(".goal[data-pocket=foot-right]", "\u{e007}").await;
    page.settled().await;
    assert!(page.address().await.contains("pocket=foot-right"));
    // Steppers and number fields, in the drawer.
    page.go(START).await;
    page.click("open-drawer").await;
    let more = page
        .client
        .find(Locator::Css("[aria-label='Cue ball, along, more']"))
        .await
        .unwrap();
    more.click().await.unwrap();
    page.settled().await;
    assert_eq!(place_in(&page.address().await, "cue"), (3.125, 2.3));
    page.run("const f = document.getElementById('object-1'); f.focus(); f.value = '1.25'; f.dispatchEvent(new Event('change'));").await;
    page.settled().await;
    assert_eq!(place_in(&page.address().await, "object"), (6.0, 1.25));
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn pickers_compare_and_gear() {
    let page = Browser::open(LAPTOP, START, false).await;
    let before = page.settled().await;
    page.click("compare").await;
    page.run("const s = document.getElementById('player'); s.value = 'expert'; s.dispatchEvent(new Event('change'));").await;
    let now = page.settled().await;
    assert_ne!(before, now);
    assert_eq!(page.text("before-number").await, before.0);
    assert_eq!(page.text("before-words").await, before.1);
    page.run("const s = document.getElementById('hit'); s.value = 'stun'; s.dispatchEvent(new Event('change'));").await;
    page.settled().await;
    assert!(
        page.address().await.contains("hit=stun") && page.address().await.contains("level=expert")
    );
    page.run("const s = document.getElementById('player'); s.value = 'nobody'; s.dispatchEvent(new Event('change'));").await;
    assert!(page.settled().await.0.ends_with("each side"));
    // A wrong value is said in the program's words, and the shot stays.
    page.click("open-drawer").await;
    page.run("const f = document.getElementById('gear-pocket-corner-mouth'); f.value = '1mm'; f.dispatchEvent(new Event('change'));").await;
    page.client
        .wait()
        .at_most(PATIENCE)
        .for_element(Locator::Css("#fault:not([hidden])"))
        .await
        .unwrap();
    assert!(
        page.text("fault").await.contains("pocket.corner.mouth"),
        "{}",
        page.text("fault").await
    );
    let log = page
        .driver_post("se/log", &json!({"type": "browser"}))
        .await;
    assert!(
        log.to_string().contains("422"),
        "the refusal is the only thing logged: {log}"
    );
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn map_is_drawn_and_a_link_is_the_whole_state() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.click("map").await;
    let map = Locator::Css("#table image.places");
    page.client
        .wait()
        .at_most(PATIENCE)
        .for_element(map)
        .await
        .unwrap();
    assert!(page.text("legend-high").await.contains("nearly always"));
    page.drag((3.0, 2.3), (4.0, 1.0)).await;
    let shown = page.settled().await;
    let link = page.address().await;
    assert!(link.contains("map=1"));
    page.client.goto("about:blank").await.unwrap();
    page.go(&link).await;
    assert_eq!(page.settled().await, shown);
    assert_eq!(page.address().await, link);
    page.client
        .wait()
        .at_most(PATIENCE)
        .for_element(map)
        .await
        .unwrap();
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn picture_is_saved_whole() {
    let page = Browser::open(LAPTOP, START, false).await;
    let folder = tempfile::tempdir().unwrap();
    let allow = json!({"behavior": "allow", "downloadPath": folder.path()});
    page.chrome("Browser.setDownloadBehavior", &allow).await;
    page.run("document.getElementById('save-svg').click(); return 0;")
        .await;
    let text = arrived(&folder.path().join("shot.svg")).await;
    let text = String::from_utf8(text).unwrap();
    let document = roxmltree::Document::parse(&text).unwrap();
    let polygons = document
        .descendants()
        .filter(|n| n.has_tag_name("polygon"))
        .count();
    // Six cushions, and at least one wedge and one fan.
    assert!(polygons >= 8, "{polygons}");
    assert!(
        document
            .descendants()
            .all(|n| n.attribute("class").is_none() && n.attribute("style").is_none())
    );
    let title = document
        .descendants()
        .find(|n| n.has_tag_name("title"))
        .unwrap();
    assert!(title.text().unwrap().contains("in 10"));
    page.run("document.getElementById('save-csv').click(); return 0;")
        .await;
    let table = arrived(&folder.path().join("shot.csv")).await;
    let mut rows = csv::Reader::from_reader(table.as_slice());
    let column = rows
        .headers()
        .unwrap()
        .iter()
        .position(|h| h == "clean_total_deg")
        .unwrap();
    let record = rows.records().next().unwrap().unwrap();
    let wanted = page.answer().await["shot"]["clean"]["total_deg"]
        .as_f64()
        .unwrap();
    assert!((record[column].parse::<f64>().unwrap() - wanted).abs() < 1e-12);
    page.run("document.getElementById('save-png').click(); return 0;")
        .await;
    assert!(
        arrived(&folder.path().join("shot.png"))
            .await
            .starts_with(b"\x89PNG")
    );
    page.close().await;
}

/// A download, once it is whole.
async fn arrived(path: &Path) -> Vec<u8> {
    let started = std::time::Instant::now();
    loop {
        if let Ok(content) = std::fs::read(path)
            && !content.is_empty()
        {
            return content;
        }
        assert!(
            started.elapsed() < PATIENCE,
            "{} never came",
            path.display()
        );
        tokio::time::sleep(Duration::from_millis(30)).await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn fits_a_phone_and_turns_dark() {
    let page = Browser::open(PHONE, START, true).await;
    let wide = page.run("return [document.documentElement.scrollWidth, window.innerWidth, document.documentElement.dataset.theme];").await;
    assert_eq!(wide, json!([360, 360, "dark"]));
    let back = page
        .run("return getComputedStyle(document.body).backgroundColor;")
        .await;
    assert_eq!(back, "rgb(20, 24, 28)");
    // Standing table: the foot is on top, and a drag means the same places.
    page.drag((3.0, 2.3), (2.0, 1.5)).await;
    let place = place_in(&page.address().await, "cue");
    // A pixel is three times larger here.
    assert!(
        (place.0 - 2.0).abs() < 0.05 && (place.1 - 1.5).abs() < 0.05,
        "{place:?}"
    );
    page.settled().await;
    // Everything to touch is at least 24 px.
    page.click("open-drawer").await;
    page.run("document.querySelectorAll('#drawer details').forEach((d) => { d.open = true; });")
        .await;
    let small = page
        .run(
            "return [...document.querySelectorAll('button, select, input:not([type=radio]):not([type=checkbox]), summary, .grip, .choice label, .tick')]
               .map((e) => [e.id || e.getAttribute('class') || e.textContent, e.getBoundingClientRect()])
               .filter(([, r]) => r.width && (r.width < 24 || r.height < 24)).map(([n, r]) => `${n} ${r.width} ${r.height}`);",
        )
        .await;
    assert_eq!(small, json!([]));
    let sideways = page.run("return document.getElementById('drawer').scrollWidth - document.getElementById('drawer').clientWidth;").await;
    assert_eq!(sideways, 0);
    page.click("close-drawer").await;
    page.click("theme").await;
    assert_eq!(
        page.run("return document.documentElement.dataset.theme;")
            .await,
        "light"
    );
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn no_serious_fault_of_accessibility() {
    let checker =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/page/node_modules/axe-core/axe.min.js");
    let checker = std::fs::read_to_string(&checker).unwrap_or_else(|e| {
        panic!(
            "{}: {e}; run bash tests/run.sh, which installs it",
            checker.display()
        )
    });
    for (size, dark) in [
        (LAPTOP, false),
        (LAPTOP, true),
        (PHONE, false),
        (PHONE, true),
    ] {
        let page = Browser::open(size, START, dark).await;
        page.run(&checker).await;
        for drawer in [false, true] {
            if drawer {
                page.run("document.getElementById('compare').click(); document.getElementById('map').click();").await;
                page.click("open-drawer").await;
                page.run("document.querySelectorAll('#drawer details').forEach((d) => { d.open = true; });").await;
            }
            let found = page
                .client
                .execute_async(
                    "const done = arguments[0];
                     axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']})
                        .then((r) => done(r.violations.map((v) => [v.impact, v.id, v.nodes.map((n) => n.target.join(' ') + ': ' + n.failureSummary)])));",
                    Vec::new(),
                )
                .await
                .unwrap();
            assert_eq!(found, json!([]), "{size:?} dark {dark} drawer {drawer}");
        }
        page.close().await;
    }
}
