//! A browser with the page open, and a hand on it.

use std::net::{TcpListener, TcpStream};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use fantoccini::actions::{InputSource as _, MouseActions, PointerAction, TouchActions};
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};

use crate::explorer::{Server, options, over, post};
use thincut::page::Options;

/// How long a browser may take to show something before the test calls it missing. Generous: a
/// busy machine is no fault of the page.
pub(crate) const PATIENCE: Duration = Duration::from_secs(20);

/// Runs in every page before its own scripts: `unanswered()` counts questions to the program whose
/// answer the page has not taken in yet, and `lastShot` is the newest shot it asked for.
const COUNTS_QUESTIONS: &str = "(() => {
  if (window.unanswered) return;
  const plain = window.fetch;
  let open = 0;
  // Where the page goes on with an answer it does so before the next task.
  const done = () => setTimeout(() => { open -= 1; });
  window.unanswered = () => open;
  window.fetch = async (...question) => {
    // Listening never ends.
    if (String(question[0]).endsWith('/live')) return plain(...question);
    open += 1;
    if (String(question[0]).endsWith('/shot')) window.lastShot = JSON.parse(question[1].body);
    let answer;
    try { answer = await plain(...question); } catch (error) { done(); throw error; }
    for (const way of ['json', 'blob', 'text', 'arrayBuffer']) {
      const own = answer[way].bind(answer);
      answer[way] = () => own().finally(done);
    }
    return answer;
  };
})();";

/// What a page complains of, where no driver hands over the console.
const KEEPS_FAULTS: &str = "(() => {
  if (window.faults) return;
  window.faults = [];
  for (const kind of ['error', 'unhandledrejection', 'securitypolicyviolation'])
    addEventListener(kind, (e) => window.faults.push(`${kind}: ${e.message ?? e.reason ?? e.violatedDirective}`));
  for (const level of ['warn', 'error']) {
    const plain = console[level].bind(console);
    console[level] = (...said) => { window.faults.push(said.join(' ')); plain(...said); };
  }
})();";

/// Which browser it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Make {
    Chromium,
    Firefox,
}

/// A browser on a page of a server of its own.
pub(crate) struct Browser {
    pub(crate) client: Client,
    make: Make,
    driver: Child,
    port: u16,
    session: String,
    pub(crate) server: Server,
    _profile: tempfile::TempDir,
}

impl Browser {
    /// A browser of this size, on `search`, in light or dark.
    pub(crate) async fn open(size: (u32, u32), search: &str, dark: bool) -> Self {
        let browser = Self::bare(size, dark, options()).await;
        browser.go(search).await;
        browser
    }

    /// The same on a server with these options, and on no page yet.
    pub(crate) async fn bare(size: (u32, u32), dark: bool, options: Options) -> Self {
        let profile = tempfile::tempdir().unwrap();
        let capabilities = json!({
            "goog:chromeOptions": {"args": [
                "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
                format!("--user-data-dir={}", profile.path().display())
            ]},
            "goog:loggingPrefs": {"browser": "ALL"}
        });
        let driver = Command::new("chromedriver");
        let browser = Self::start(Make::Chromium, driver, &capabilities, profile, options).await;
        let watch = json!({"source": COUNTS_QUESTIONS});
        browser
            .chrome("Page.addScriptToEvaluateOnNewDocument", &watch)
            .await;
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
        browser
    }

    /// A Firefox of this size on a server with these options, and on no page yet.
    pub(crate) async fn firefox(size: (u32, u32), dark: bool, options: Options) -> Self {
        let profile = tempfile::tempdir().unwrap();
        let capabilities = json!({"moz:firefoxOptions": {
            "args": ["-headless", format!("--width={}", size.0), format!("--height={}", size.1)],
            "prefs": {"layout.css.prefers-color-scheme.content-override": u8::from(!dark)}
        }});
        let mut driver = Command::new("geckodriver");
        driver.arg("--profile-root").arg(profile.path());
        Self::start(Make::Firefox, driver, &capabilities, profile, options).await
    }

    async fn start(
        make: Make,
        mut driver: Command,
        capabilities: &Value,
        profile: tempfile::TempDir,
        options: Options,
    ) -> Self {
        let free = TcpListener::bind("127.0.0.1:0").unwrap();
        let port = free.local_addr().unwrap().port();
        drop(free);
        driver.arg(format!("--port={port}"));
        driver.stdout(Stdio::null()).stderr(Stdio::null());
        let name = driver.get_program().to_owned();
        let driver = driver.spawn().unwrap_or_else(|e| {
            panic!(
                "{}: {e}; run bash tests/run.sh, which installs it",
                name.display()
            )
        });
        let started = std::time::Instant::now();
        let client = loop {
            let mut builder = ClientBuilder::new(HttpConnector::new());
            builder.capabilities(capabilities.as_object().unwrap().clone());
            match builder.connect(&format!("http://127.0.0.1:{port}")).await {
                Ok(client) => break client,
                Err(error) if started.elapsed() > PATIENCE => panic!("no browser: {error}"),
                Err(_) => tokio::time::sleep(Duration::from_millis(50)).await,
            }
        };
        Self {
            session: client.session_id().await.unwrap().unwrap(),
            client,
            make,
            driver,
            port,
            server: Server::run(options),
            _profile: profile,
        }
    }

    pub(crate) async fn go(&self, search: &str) {
        self.visit(search).await;
        self.settled().await;
    }

    /// Any page of the server, once it is ready.
    pub(crate) async fn visit(&self, path: &str) {
        let link = format!("http://{}/{path}", self.server.host());
        self.client.goto(&link).await.unwrap();
        self.ready().await;
    }

    /// The same page once more, from the server.
    pub(crate) async fn reload(&self) {
        self.client.refresh().await.unwrap();
        self.ready().await;
    }

    async fn ready(&self) {
        self.seen("html[data-ready]").await;
        if self.make == Make::Firefox {
            self.run(COUNTS_QUESTIONS).await;
            self.run(KEEPS_FAULTS).await;
        }
        self.idle().await;
    }

    /// Waits until the page has taken in every answer it asked for.
    pub(crate) async fn idle(&self) {
        self.until("return unanswered();", json!(0)).await;
    }

    /// One step back in the history of one page, and what was there is shown again.
    pub(crate) async fn back(&self) {
        let from = self.address().await;
        self.client.back().await.unwrap();
        self.until(
            &format!("return location.search !== {};", json!(from)),
            json!(true),
        )
        .await;
        self.settled().await;
    }

    /// Waits until a ball lies at a place, diamonds, as near as a pointer can put it.
    pub(crate) async fn lies(&self, ball: &str, wanted: (f64, f64)) {
        let started = std::time::Instant::now();
        loop {
            let address = self.address().await;
            if near(place_in(&address, ball), wanted) {
                return;
            }
            assert!(
                started.elapsed() < PATIENCE,
                "{ball} not at {wanted:?}: {address}"
            );
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    /// Waits for an element.
    pub(crate) async fn seen(&self, css: &str) {
        let waiting = self.client.wait().at_most(PATIENCE);
        let found = waiting.for_element(Locator::Css(css)).await;
        found.unwrap_or_else(|e| panic!("{css}: {e}"));
    }

    /// Waits until a script gives this value.
    pub(crate) async fn until(&self, script: &str, wanted: Value) {
        let started = std::time::Instant::now();
        loop {
            let now = self.run(script).await;
            if now == wanted {
                return;
            }
            assert!(
                started.elapsed() < PATIENCE,
                "{script}: {now}, not {wanted}"
            );
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    /// Presses what a selector finds.
    pub(crate) async fn press(&self, css: &str) {
        // A list that is drawn anew in between takes the element away: then it is looked for once more.
        for last in [false, true] {
            let element = self.client.find(Locator::Css(css)).await.unwrap();
            self.uncover(css).await;
            match element.click().await {
                Err(fault) if !last && fault.is_stale_element_reference() => {}
                clicked => return clicked.unwrap(),
            }
        }
    }

    /// Scrolls to what a selector finds, out from under what stays on top.
    async fn uncover(&self, css: &str) {
        let script = format!(
            "document.querySelector({}).scrollIntoView({{block: 'nearest'}});",
            json!(css)
        );
        self.run(&script).await;
    }

    /// Chooses an option of a list.
    pub(crate) async fn choose(&self, id: &str, value: &str) {
        self.run(&format!(
            "const s = document.getElementById('{id}'); s.value = '{value}'; s.dispatchEvent(new Event('change'));"
        ))
        .await;
    }

    /// Downloads land in this folder.
    pub(crate) async fn download_to(&self, folder: &std::path::Path) {
        let allow = json!({"behavior": "allow", "downloadPath": folder});
        self.chrome("Browser.setDownloadBehavior", &allow).await;
    }

    /// No fault of accessibility on what is shown.
    pub(crate) async fn accessible(&self, what: &str) {
        let checker = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/page/node_modules/axe-core/axe.min.js");
        let checker = std::fs::read_to_string(&checker).unwrap_or_else(|e| {
            panic!(
                "{}: {e}; run bash tests/run.sh, which installs it",
                checker.display()
            )
        });
        self.run(&checker).await;
        let found = self
            .client
            .execute_async(
                "const done = arguments[0];
                 axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']})
                    .then((r) => done(r.violations.map((v) => [v.impact, v.id, v.nodes.map((n) => n.target.join(' ') + ': ' + n.failureSummary)])));",
                Vec::new(),
            )
            .await
            .unwrap();
        assert_eq!(found, json!([]), "{what}");
    }

    /// Nothing is wider than the window.
    pub(crate) async fn fits(&self, what: &str) {
        let wide = self
            .run("return Math.max(0, document.documentElement.scrollWidth - window.innerWidth);")
            .await;
        assert_eq!(wide, 0, "{what} scrolls sideways");
    }

    /// A command of the browser itself.
    pub(crate) async fn chrome(&self, command: &str, parameters: &Value) -> Value {
        self.driver_post(
            "goog/cdp/execute",
            &json!({"cmd": command, "params": parameters}),
        )
        .await
    }

    pub(crate) async fn driver_post(&self, path: &str, body: &Value) -> Value {
        let (session, body) = (&self.session, body.to_string());
        let request = format!(
            "POST /session/{session}/{path} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            body.len()
        );
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        let reply = over(stream, request.as_bytes()).unwrap();
        assert_eq!(reply.status, 200, "{path}: {}", reply.text());
        reply.json()["value"].clone()
    }

    pub(crate) async fn run(&self, script: &str) -> Value {
        self.client.execute(script, Vec::new()).await.unwrap()
    }

    pub(crate) async fn text(&self, id: &str) -> String {
        let script = format!("return document.getElementById('{id}').textContent;");
        self.run(&script).await.as_str().unwrap().to_owned()
    }

    pub(crate) async fn address(&self) -> String {
        self.run("return location.search;")
            .await
            .as_str()
            .unwrap()
            .to_owned()
    }

    /// Waits until the page has taken in every answer and the number on top is what the program
    /// answers for the address shown. The number alone would not do: where a change leaves it as it
    /// was, the rest of the page may still be waiting.
    pub(crate) async fn settled(&self) -> (String, String) {
        let started = std::time::Instant::now();
        loop {
            let wanted = self.answer().await["headline"].clone();
            let waiting = self.run("return unanswered();").await;
            let shown = (self.text("number").await, self.text("words").await);
            if waiting == 0 && shown.0 == wanted["number"] && shown.1 == wanted["words"] {
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
    pub(crate) async fn answer(&self) -> Value {
        let mut body = json!({"cue": "2.859,2.280", "object": "6.000,2.600", "pocket": "foot-left", "level": "club", "hand": "right", "called": "1"});
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
            match key {
                "map" | "snap" | "view" | "before" | "game" | "rules" | "group" | "on" => {}
                "seated" => body["seated"] = json!(true),
                "ball" | "set" => {
                    let all = if key == "ball" { "balls" } else { key };
                    let mut rows = body[all].as_array().cloned().unwrap_or_default();
                    rows.push(json!(value.replace("%3D", "=")));
                    body[all] = json!(rows);
                }
                _ => body[key] = json!(value),
            }
        }
        if body["level"] == "nobody" || !body["student"].is_null() {
            body.as_object_mut().unwrap().remove("level");
        }
        let reply = post(&self.server, "/api/v1/shot", &body);
        assert_eq!(reply.status, 200, "{body}: {}", reply.text());
        reply.json()
    }

    /// Where a place of the table is on the screen.
    pub(crate) async fn on_screen(&self, diamonds: (f64, f64)) -> (f64, f64) {
        let script = format!(
            "const m = document.querySelector('#table > g').getScreenCTM();
             const p = new DOMPoint({} * 317.5, {} * 317.5).matrixTransform(m); return [p.x, p.y];",
            diamonds.0, diamonds.1
        );
        let place = self.run(&script).await;
        (place[0].as_f64().unwrap(), place[1].as_f64().unwrap())
    }

    pub(crate) async fn pointer(&self, actions: Vec<PointerAction>) {
        let mut mouse = MouseActions::new("mouse".to_owned());
        for action in actions {
            mouse = mouse.then(action);
        }
        self.client.perform_actions(mouse).await.unwrap();
        self.client.release_actions().await.unwrap();
    }

    pub(crate) async fn drag(&self, from: (f64, f64), to: (f64, f64)) {
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

    /// A finger put down, moved by so many pixels in steps, and lifted.
    pub(crate) async fn swipe(&self, (x, y): (f64, f64), (dx, dy): (f64, f64)) {
        let by = |share: f64, milliseconds| PointerAction::MoveTo {
            duration: Some(Duration::from_millis(milliseconds)),
            x: x + share * dx,
            y: y + share * dy,
        };
        let mut finger = TouchActions::new("finger".to_owned())
            .then(by(0.0, 0))
            .then(PointerAction::Down { button: 0 });
        for step in 1..=10 {
            finger = finger.then(by(f64::from(step) / 10.0, 30));
        }
        let lifted = finger.then(PointerAction::Up { button: 0 });
        self.client.perform_actions(lifted).await.unwrap();
        self.client.release_actions().await.unwrap();
    }

    pub(crate) async fn tap(&self, place: (f64, f64)) {
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

    pub(crate) async fn keys(&self, css: &str, keys: &str) {
        let started = std::time::Instant::now();
        loop {
            let element = self.client.find(Locator::Css(css)).await.unwrap();
            match element.send_keys(keys).await {
                Ok(()) => return,
                // It was drawn anew after it was found, and nothing was typed.
                Err(error)
                    if started.elapsed() < PATIENCE
                        && format!("{error:?}").contains("StaleElementReference") => {}
                Err(error) => panic!("{css}: {error}"),
            }
        }
    }

    pub(crate) async fn click(&self, id: &str) {
        let element = self.client.find(Locator::Id(id)).await.unwrap();
        self.uncover(&format!("#{id}")).await;
        element.click().await.unwrap();
    }

    /// No error in the console, then the browser is closed.
    pub(crate) async fn close(self) {
        match self.make {
            Make::Chromium => {
                let log = self
                    .driver_post("se/log", &json!({"type": "browser"}))
                    .await;
                let bad =
                    |entry: &&Value| matches!(entry["level"].as_str(), Some("SEVERE" | "WARNING"));
                let errors: Vec<_> = log.as_array().unwrap().iter().filter(bad).collect();
                assert!(errors.is_empty(), "{errors:?}");
            }
            Make::Firefox => assert_eq!(self.run("return window.faults;").await, json!([])),
        }
        self.client.clone().close().await.unwrap();
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        // A driver that is killed leaves its Firefox behind.
        if self.make == Make::Firefox
            && let Ok(stream) = TcpStream::connect(("127.0.0.1", self.port))
        {
            let request = format!(
                "DELETE /session/{} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n",
                self.session, self.port
            );
            let _ = over(stream, request.as_bytes());
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// A place of a ball in the address, diamonds.
pub(crate) fn place_in(address: &str, ball: &str) -> (f64, f64) {
    let text = address
        .trim_start_matches('?')
        .split('&')
        .find_map(|p| p.strip_prefix(&format!("{ball}=")))
        .unwrap();
    let (x, y) = text.split_once(',').unwrap();
    (x.parse().unwrap(), y.parse().unwrap())
}

/// A pointer lands on whole pixels: a fiftieth of a diamond at the sizes tested.
pub(crate) const PIXEL_DIAMONDS: f64 = 0.02;

pub(crate) fn near(a: (f64, f64), b: (f64, f64)) -> bool {
    (a.0 - b.0).abs() < PIXEL_DIAMONDS && (a.1 - b.1).abs() < PIXEL_DIAMONDS
}

/// A download, once it is whole.
pub(crate) async fn arrived(path: &std::path::Path) -> Vec<u8> {
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
