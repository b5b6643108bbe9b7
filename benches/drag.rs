//! The local page in a real Chromium: how long a step of a drag takes from its request to the
//! drawn frame, alone, with the ranked view open and with the browser's processor slowed down; how long a map
//! takes, and advice; how soon the page is painted and can be used. Prints what it measured.
//! Needs chromedriver and chromium, as the tests do.
//!
//! `cargo bench --bench drag`

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench prints its figures and stops where something is missing"
)]

#[path = "../tests/page/browser.rs"]
#[allow(dead_code, reason = "the tests use all of it")]
mod browser;
#[path = "../tests/page/explorer.rs"]
mod explorer;

use std::io::BufRead as _;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use browser::{Browser, PATIENCE};
use explorer::options;
use fantoccini::Locator;
use fantoccini::actions::PointerAction;
use serde_json::{Value, json};

/// Steps of a drag; with the ranked view, or a processor slowed down, fewer.
const STEPS: u32 = 300;
const FEWER: u32 = 100;
const STARTS: u32 = 10;
const MAPS: u32 = 20;
/// A phone's processor beside this one (as browsers slow theirs down for a trial).
const SLOWED: u32 = 4;
const LAPTOP: (u32, u32) = (1366, 768);
const SHOT: &str =
    "?cue=2.5,1.4&object=6,2.6&pocket=foot-left&level=club&called=1&ball=7,5,1&ball=9,4.4,3.5";

/// Notes the time from each question to the program to the first task after the frame that shows its answer,
/// and to the end of its layout.
const WATCH: &str = "
    window.steps = []; window.laid = []; let begun = 0; const real = window.fetch;
    window.fetch = (...a) => { if (String(a[0]).endsWith('/ASKED')) begun = performance.now(); return real(...a); };
    window.watching?.disconnect();
    window.watching = new MutationObserver(() => {
      const from = begun;
      document.body.getBoundingClientRect();
      window.laid.push(performance.now() - from);
      requestAnimationFrame(() => {
        const after = new MessageChannel();
        after.port1.onmessage = () => window.steps.push(performance.now() - from);
        after.port2.postMessage(0);
      });
    });
    window.watching.observe(document.querySelector('SHOWN'), { childList: true });";

/// Notes when the page can be used, since it was asked for.
const READY: &str = "new MutationObserver(() => {
      if (document.documentElement?.dataset.ready) window.readyAt ??= performance.now();
    }).observe(document, { attributes: true, childList: true, subtree: true });";

fn main() {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async {
        let page = Browser::open(LAPTOP, SHOT, false).await;
        watch(&page, "shot", ".shot-picture").await;
        steps(&page, STEPS, "drag").await;
        page.go(&format!("{SHOT}&view=shots")).await;
        page.seen(".ranked li").await;
        watch(&page, "choose", ".ranked").await;
        steps(&page, FEWER, "drag with the ranked view open, to its list").await;
        page.go(&format!("{SHOT}&view=shots")).await;
        page.seen(".ranked li").await;
        watch(&page, "shot", ".shot-picture").await;
        steps(
            &page,
            FEWER,
            "drag with the ranked view open, to the number",
        )
        .await;
        advice(&page).await;
        page.go(SHOT).await;
        maps(&page).await;
        page.go(SHOT).await;
        slowed(&page, SLOWED).await;
        watch(&page, "shot", ".shot-picture").await;
        steps(&page, FEWER, "drag, the browser's processor slowed 4 times").await;
        slowed(&page, 1).await;
        usable(&page).await;
    });
}

async fn watch(page: &Browser, asked: &str, shown: &str) {
    page.run(&WATCH.replace("ASKED", asked).replace("SHOWN", shown))
        .await;
}

async fn slowed(page: &Browser, times: u32) {
    page.chrome("Emulation.setCPUThrottlingRate", &json!({"rate": times}))
        .await;
}

async fn steps(page: &Browser, count: u32, what: &str) {
    let (from, to) = (
        page.on_screen((2.5, 1.4)).await,
        page.on_screen((4.5, 2.2)).await,
    );
    let left = fantoccini::actions::MOUSE_BUTTON_LEFT;
    let go = |share: f64| PointerAction::MoveTo {
        duration: Some(Duration::from_millis(30)),
        x: from.0 + (to.0 - from.0) * share,
        y: from.1 + (to.1 - from.1) * share,
    };
    let mut actions = vec![go(0.0), PointerAction::Down { button: left }];
    actions.extend((1..=count).map(|k| go(f64::from(k) / f64::from(count))));
    actions.push(PointerAction::Up { button: left });
    page.pointer(actions).await;
    told(page, what).await;
}

async fn told(page: &Browser, what: &str) {
    for (name, list) in [("next frame over", "steps"), ("laid out", "laid")] {
        let took = numbers(&page.run(&format!("return window.{list};")).await);
        println!("{what}, {name}: {}", spread(took));
    }
}

fn numbers(list: &Value) -> Vec<f64> {
    let list = list.as_array().unwrap().iter();
    list.map(|v| v.as_f64().unwrap()).collect()
}

/// Median, 95th percentile and most, ms.
fn spread(mut took: Vec<f64>) -> String {
    if took.is_empty() {
        return "nothing was shown".to_owned();
    }
    took.sort_by(f64::total_cmp);
    let at = |percent: usize| took[(took.len() - 1) * percent / 100];
    format!(
        "median {:.1} ms, p95 {:.1} ms, most {:.1} ms of {}",
        at(50),
        at(95),
        at(100),
        took.len()
    )
}

/// How soon after the view opens the first shots stand in it, and when the advice.
async fn advice(page: &Browser) {
    let (mut first, mut whole) = (Vec::new(), Vec::new());
    for _ in 0..STARTS {
        page.go(SHOT).await;
        page.run(
            "const from = performance.now(); window.first = null;
             new MutationObserver(() => { if (document.querySelector('.ranked li')) window.first ??= performance.now() - from; })
               .observe(document.getElementById('view'), { childList: true, subtree: true });
             window.since = () => performance.now() - from;
             document.querySelector(\"[data-view='shots']\").click();",
        )
        .await;
        page.seen(".ranked li").await;
        page.idle().await;
        first.push(page.run("return window.first;").await.as_f64().unwrap());
        whole.push(page.run("return window.since();").await.as_f64().unwrap());
    }
    println!("ranked view, first shots: {}", spread(first));
    println!("ranked view, with strokes and safeties: {}", spread(whole));
}

async fn maps(page: &Browser) {
    watch(page, "places", "#table .map").await;
    for _ in 0..MAPS {
        page.click("map").await;
        page.idle().await;
        page.seen("#table .map image").await;
        page.click("map").await;
        page.until(
            "return document.querySelector('#table .map').childElementCount;",
            json!(0),
        )
        .await;
        // What takes the map away is no answer.
        page.run("window.steps.pop(); window.laid.pop();").await;
    }
    told(page, "map").await;
}

async fn usable(page: &Browser) {
    assert_eq!(options().port, 0);
    page.chrome(
        "Page.addScriptToEvaluateOnNewDocument",
        &json!({"source": READY}),
    )
    .await;
    let (mut took, mut painted, mut ready, mut asked) =
        (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for _ in 0..STARTS {
        page.client.goto("about:blank").await.unwrap();
        page.chrome("Network.clearBrowserCache", &json!({})).await;
        let begun = Instant::now();
        let mut program = Command::new(env!("CARGO_BIN_EXE_thincut"))
            .args(["explore", "--port", "0"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut link = String::new();
        let mut out = std::io::BufReader::new(program.stdout.take().unwrap());
        out.read_line(&mut link).unwrap();
        page.client.goto(link.trim()).await.unwrap();
        let wait = page
            .client
            .wait()
            .at_most(PATIENCE)
            .every(Duration::from_millis(5));
        wait.for_element(Locator::Css("html[data-ready]"))
            .await
            .unwrap();
        took.push(begun.elapsed().as_secs_f64() * 1e3);
        let seen = page
            .run(
                "const paint = performance.getEntriesByName('first-contentful-paint')[0];
                 return [paint?.startTime ?? 0, window.readyAt, performance.getEntriesByType('resource').length + 1];",
            )
            .await;
        for (list, value) in [&mut painted, &mut ready, &mut asked]
            .into_iter()
            .zip(numbers(&seen))
        {
            list.push(value);
        }
        program.kill().unwrap();
        program.wait().unwrap();
    }
    println!("command to usable page: {}", spread(took));
    println!("page asked for to first paint: {}", spread(painted));
    println!("page asked for to usable: {}", spread(ready));
    let most = asked.into_iter().fold(0.0, f64::max);
    println!("requests of a first visit, most: {most}");
}
