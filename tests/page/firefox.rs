//! The page in Firefox: it opens, follows the hand, keeps its state over a reload and counts tries.
//! What it does in full is tested in Chromium; here stands what browsers do differently. Needs
//! geckodriver and Firefox; `bash tests/run.sh` installs them.

#![allow(
    clippy::unwrap_used,
    reason = "a test stops where something is missing"
)]

use serde_json::json;

use crate::browser::{Browser, place_in};
use crate::chromium::tally::{evening, logged, press, row, today};
use crate::chromium::{LAPTOP, START};
use crate::explorer::{demo_log, log_with, options, with_log};

#[tokio::test(flavor = "multi_thread")]
async fn the_number_follows_the_hand_and_a_reload_keeps_it() {
    let page = Browser::firefox(LAPTOP, false, options()).await;
    page.go(START).await;
    let before = page.settled().await;
    page.drag((6.0, 2.6), (7.0, 3.0)).await;
    page.lies("object", (7.0, 3.0)).await;
    let dragged = page.settled().await;
    assert_ne!(before, dragged, "a shot twice as near the pocket");
    page.reload().await;
    assert_eq!(page.settled().await, dragged);
    page.lies("object", (7.0, 3.0)).await;
    // A tap, an arrow key, a field of the drawer.
    page.tap((2.0, 1.0)).await;
    page.lies("cue", (2.0, 1.0)).await;
    page.settled().await;
    let (x, y) = place_in(&page.address().await, "cue");
    page.keys(".cue-handle", "\u{e014}").await;
    page.settled().await;
    let (stepped, across) = place_in(&page.address().await, "cue");
    assert!((stepped - x - 0.125).abs() < 1e-9 && (across - y).abs() < 1e-9);
    page.click("open-drawer").await;
    page.run("const f = document.getElementById('object-1'); f.focus(); f.value = '1.25'; f.dispatchEvent(new Event('change'));").await;
    let shown = page.settled().await;
    let (_, typed) = place_in(&page.address().await, "object");
    assert!((typed - 1.25).abs() < 1e-9, "{typed}");
    page.back().await;
    assert_ne!(page.settled().await, shown);
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn map_and_views_are_drawn_in_light_and_dark() {
    let (_folder, log) = demo_log();
    for dark in [false, true] {
        let page = Browser::firefox(LAPTOP, dark, with_log(&log)).await;
        page.go(START).await;
        page.click("map").await;
        page.seen("#table image.places").await;
        for (view, shown) in [
            ("charts", "#view img[src^='blob:']"),
            ("budget", "#view table tbody tr"),
            ("skill", "#view .said li"),
        ] {
            page.press(&format!("[data-view='{view}']")).await;
            page.seen(shown).await;
            page.fits(view).await;
            page.accessible(view).await;
        }
        let ground = page
            .run("return getComputedStyle(document.body).backgroundColor;")
            .await;
        let light: u32 = ground
            .as_str()
            .unwrap()
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|n| n.parse::<u32>().ok())
            .sum();
        assert_eq!(light < 3 * 128, dark, "{ground}");
        page.close().await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn tries_are_counted_and_taken_back() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = evening(log));
    let page = Browser::firefox(LAPTOP, false, today(&path)).await;
    page.visit(&format!("tally?code={code}")).await;
    page.press(&press("A", "made")).await;
    page.press(&press("B", "thin")).await;
    let both = [row("A", 1, 1, [0, 0, 0]), row("B", 1, 0, [0, 1, 0])];
    logged(&path, &both).await;
    page.reload().await;
    page.until(
        "return document.querySelector(\"[data-student='A'] .count\").textContent;",
        json!("1 of 1"),
    )
    .await;
    page.click("undo").await;
    logged(&path, &both[..1]).await;
    page.close().await;
}
