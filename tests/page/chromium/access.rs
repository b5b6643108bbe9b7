//! For whoever does not look, or looks otherwise: keys that do not lose their place, the system's own colours,
//! paper.

use serde_json::json;
use thincut::log::Log;
use thincut::page::Options;

use super::browser::Browser;
use super::photos::{SHOT, VIEWS, played, sized};
use super::tally::{evening, press, today};
use super::{LAPTOP, PHONE, START};
use crate::explorer::{TOKEN, demo_log, log_with, shared_log};

const FOCUS: &str = "return document.activeElement.id;";

/// A button that has nothing to do any more keeps the focus: the keys go on from where they were.
#[tokio::test(flavor = "multi_thread")]
async fn a_button_that_has_done_all_it_can_keeps_the_focus() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.keys(".cue-handle", "\u{e014}").await;
    page.settled().await;
    page.keys("#undo", "\u{e007}").await;
    page.lies("cue", (3.0, 2.3)).await;
    page.settled().await;
    let undo = "const u = document.getElementById('undo'); return [document.activeElement.id, u.getAttribute('aria-disabled')];";
    page.until(undo, json!(["undo", "true"])).await;
    // The way back of a field under Controls.
    page.click("open-drawer").await;
    page.run("document.querySelectorAll('#drawer details').forEach((d) => { d.open = true; });")
        .await;
    page.run("const f = document.getElementById('field-side'); f.value = '0.2'; f.dispatchEvent(new Event('change'));").await;
    page.settled().await;
    page.keys("[aria-label='Reset Side spin']", "\u{e007}")
        .await;
    page.settled().await;
    let reset = "return [document.activeElement.getAttribute('aria-label'), document.activeElement.getAttribute('aria-disabled')];";
    page.until(reset, json!(["Reset Side spin", "true"])).await;
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_tally_goes_by_keys_alone() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log: &mut Log| code = evening(log));
    let page = Browser::bare(PHONE, false, today(&path)).await;
    page.visit(&format!("tally?code={code}")).await;
    page.keys(&press("A", "made"), "\u{e007}").await;
    let count = "return document.querySelector(\"[data-student='A'] .count\").textContent;";
    page.until(count, json!("1 of 1")).await;
    page.until("return localStorage.getItem('tally-waiting');", json!("[]"))
        .await;
    page.keys("#undo", "\u{e007}").await;
    page.until(count, json!("no try yet")).await;
    page.until(
        "return document.getElementById('undo').getAttribute('aria-disabled');",
        json!("true"),
    )
    .await;
    assert_eq!(page.run(FOCUS).await, "undo");
    page.keys("#undo", "\u{e007}").await;
    page.keys("#redo", "\u{e007}").await;
    page.until(count, json!("1 of 1")).await;
    page.until(
        "return document.getElementById('redo').hidden;",
        json!(true),
    )
    .await;
    assert_eq!(page.run(FOCUS).await, "undo");
    // At the last rung the way up has nothing to do, and keeps the focus too.
    page.keys("#harder", "\u{e007}\u{e007}").await;
    assert_eq!(page.text("title").await, "Rung 2 of 2");
    assert_eq!(page.run(FOCUS).await, "harder");
    page.accessible("the tally at the last rung").await;
    page.close().await;
}

/// The colours of the system: what is chosen is seen without ours, and balls are told from the cloth.
#[tokio::test(flavor = "multi_thread")]
async fn the_systems_own_colours_are_enough() {
    let page = Browser::open(LAPTOP, &format!("{START}&game=8-ball&ball=12,5,1"), false).await;
    let forced = json!({"features": [{"name": "forced-colors", "value": "active"}, {"name": "prefers-color-scheme", "value": "dark"}]});
    page.chrome("Emulation.setEmulatedMedia", &forced).await;
    page.click("map").await;
    page.press("[data-view='aims']").await;
    page.seen("#view .way-card").await;
    page.idle().await;
    let style = |css: &str, what: &str| {
        format!("return getComputedStyle(document.querySelector(\"{css}\"))['{what}'];")
    };
    for css in ["#map", "[data-view='aims']", ".choice input:checked + span"] {
        assert_eq!(
            page.run(&style(css, "outlineStyle")).await,
            "solid",
            "{css}"
        );
    }
    let cloth = page.run(&style(".cloth", "fill")).await;
    for ball in [".cue.ball", ".object.ball", ".other.ball"] {
        let edge = page.run(&style(ball, "stroke")).await;
        assert_ne!(edge, cloth, "{ball}");
    }
    let number = page.run(&style("#table-names .name", "fill")).await;
    let ball = page.run(&style(".other.ball", "fill")).await;
    assert_ne!(number, ball);
    // Our colours stay where they are what is told, and there are words for them.
    assert_eq!(
        page.run(&style("#legend-bar", "forcedColorAdjust")).await,
        "none"
    );
    assert!(
        page.text("legend-words")
            .await
            .contains("Easiest with the cue ball"),
        "{}",
        page.text("legend-words").await
    );
    page.close().await;
}

/// Paper is white also where the screen is dark, without what only a screen has.
#[tokio::test(flavor = "multi_thread")]
async fn what_is_printed_is_dark_on_white_and_has_no_tools() {
    let page = Browser::open(LAPTOP, &format!("{START}&view=charts"), true).await;
    page.seen("#view .sheet img[src]").await;
    page.idle().await;
    page.chrome(
        "Emulation.setEmulatedMedia",
        &json!({"media": "print", "features": [{"name": "prefers-color-scheme", "value": "dark"}]}),
    )
    .await;
    let shown = "return ['.tools', '.bar button', '.pick', '.views-bar', '.view-top', '.row', '#table', '#number', '#lines li', '#view .sheet img']
        .map((css) => document.querySelector(css).checkVisibility());";
    assert_eq!(
        page.run(shown).await,
        json!([
            false, false, false, false, false, false, true, true, true, true
        ])
    );
    let inks = "const light = (c) => c.match(/\\d+/g).slice(0, 3).map(Number).reduce((a, b) => a + b) / 765;
        const of = (css, what) => light(getComputedStyle(document.querySelector(css))[what]);
        return [of('body', 'backgroundColor') > 0.95, of('#number', 'color') < 0.3, of('#lines li', 'color') < 0.3,
          getComputedStyle(document.querySelector('#view .sheet img')).filter];";
    assert_eq!(page.run(inks).await, json!([true, true, true, "none"]));
    page.close().await;
}

/// Every view on a laptop, a phone and at 400 %, without a fault of accessibility and no wider than the window.
async fn everywhere(dark: bool) {
    let (_folder, path) = demo_log();
    let code = played(&path);
    let options = Options {
        clock: today(&path).clock,
        ..shared_log(&path)
    };
    let page = Browser::bare(LAPTOP, dark, options).await;
    let shelf = json!({"add": [
        {"name": "Half ball", "shot": START}, {"name": "Thin and far", "shot": "?cue=1,3.3&object=6,2.6&pocket=foot-left&level=club"}
    ]});
    let kept = page.server.post_as(TOKEN, "/api/v1/shelf", &shelf);
    assert_eq!(kept.status, 200, "{}", kept.text());
    // Nothing is to wait for where a hundred tries come at once.
    let still = json!({"features": [
        {"name": "prefers-reduced-motion", "value": "reduce"},
        {"name": "prefers-color-scheme", "value": if dark { "dark" } else { "light" }}
    ]});
    page.chrome("Emulation.setEmulatedMedia", &still).await;
    for size in [
        (LAPTOP.0, LAPTOP.1, 1),
        (PHONE.0, PHONE.1, 1),
        (320, 256, 4),
    ] {
        sized(&page, size).await;
        for (name, more, script, seen) in VIEWS {
            let what = format!("{name} {size:?} dark {dark}");
            page.visit("tally").await;
            page.run("sessionStorage.clear();").await;
            page.visit(&format!("{SHOT}{more}#token={TOKEN}")).await;
            page.run(script).await;
            page.seen(seen).await;
            page.idle().await;
            page.fits(&what).await;
            page.accessible(&what).await;
        }
        for (name, path) in [
            ("choose", "tally".to_owned()),
            ("tally", format!("tally?code={code}")),
        ] {
            page.visit(&format!("{path}#token={TOKEN}")).await;
            page.run("document.getElementById('order-set').open = true;")
                .await;
            let what = format!("{name} {size:?} dark {dark}");
            page.fits(&what).await;
            page.accessible(&what).await;
        }
    }
    // What filled the screen was pressed by no hand, and the first visit had no token: the browser remarks on both.
    page.driver_post("se/log", &json!({"type": "browser"}))
        .await;
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn every_view_is_accessible_at_every_size_in_the_light() {
    everywhere(false).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn every_view_is_accessible_at_every_size_in_the_dark() {
    everywhere(true).await;
}
