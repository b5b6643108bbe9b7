//! The local page in a real Chromium: how long a step of a drag takes from its request to the
//! drawn frame, and how soon after the command the page can be used. Prints what it measured.
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

const STEPS: u32 = 300;
const STARTS: u32 = 10;
const LAPTOP: (u32, u32) = (1366, 768);
const SHOT: &str =
    "?cue=2.5,1.4&object=6,2.6&pocket=foot-left&level=club&called=1&ball=7,5,1&ball=9,4.4,3.5";

/// Notes the time from each request of a shot to the first task after the frame that shows it, and
/// to the end of its layout.
const WATCH: &str = "
    window.steps = []; window.laid = []; let begun = 0; const real = window.fetch;
    window.fetch = (...a) => { if (String(a[0]).endsWith('/shot')) begun = performance.now(); return real(...a); };
    new MutationObserver(() => {
      const from = begun;
      document.body.getBoundingClientRect();
      window.laid.push(performance.now() - from);
      requestAnimationFrame(() => {
        const after = new MessageChannel();
        after.port1.onmessage = () => window.steps.push(performance.now() - from);
        after.port2.postMessage(0);
      });
    }).observe(document.querySelector('.shot-picture'), { childList: true });";

fn main() {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async {
        let page = Browser::open(LAPTOP, SHOT, false).await;
        steps(&page).await;
        usable(&page).await;
    });
}

async fn steps(page: &Browser) {
    page.run(WATCH).await;
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
    actions.extend((1..=STEPS).map(|k| go(f64::from(k) / f64::from(STEPS))));
    actions.push(PointerAction::Up { button: left });
    page.pointer(actions).await;
    for (name, list) in [
        ("drawn (next frame over)", "steps"),
        ("drawn (laid out)", "laid"),
    ] {
        let got = page.run(&format!("return window.{list};")).await;
        let mut took: Vec<f64> = got
            .as_array()
            .unwrap()
            .iter()
            .map(|v| v.as_f64().unwrap())
            .collect();
        took.sort_by(f64::total_cmp);
        let at = |percent: usize| took[(took.len() - 1) * percent / 100];
        println!(
            "{} drag steps, request to {name}: median {:.1} ms, p95 {:.1} ms, most {:.1} ms",
            took.len(),
            at(50),
            at(95),
            at(100)
        );
    }
}

async fn usable(page: &Browser) {
    assert_eq!(options().port, 0);
    let mut took = Vec::new();
    for _ in 0..STARTS {
        page.client.goto("about:blank").await.unwrap();
        let begun = Instant::now();
        let mut program = Command::new(env!("CARGO_BIN_EXE_thincut"))
            .arg("explore")
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
        took.push(begun.elapsed());
        program.kill().unwrap();
        program.wait().unwrap();
    }
    took.sort();
    println!(
        "command to usable page: median {:.0} ms, most {:.0} ms of {STARTS}",
        took[took.len() / 2].as_secs_f64() * 1e3,
        took[took.len() - 1].as_secs_f64() * 1e3
    );
}
