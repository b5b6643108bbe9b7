//! Sizes, colours, accessibility.

use serde_json::json;

use super::browser::{Browser, place_in};
use super::{LAPTOP, PHONE, START};
use crate::explorer::{TOKEN, demo_log, shared_log};

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
    page.settled().await;
    let place = place_in(&page.address().await, "cue");
    // A pixel is three times larger here.
    assert!(
        (place.0 - 2.0).abs() < 0.05 && (place.1 - 1.5).abs() < 0.05,
        "{place:?}"
    );
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
    for (size, dark) in [
        (LAPTOP, false),
        (LAPTOP, true),
        (PHONE, false),
        (PHONE, true),
    ] {
        let page = Browser::open(size, START, dark).await;
        for drawer in [false, true] {
            if drawer {
                page.run("document.getElementById('compare').click(); document.getElementById('map').click();").await;
                page.click("open-drawer").await;
                page.run("document.querySelectorAll('#drawer details').forEach((d) => { d.open = true; });").await;
            }
            page.idle().await;
            page.accessible(&format!("{size:?} dark {dark} drawer {drawer}"))
                .await;
        }
        page.close().await;
    }
}

/// At these sizes nothing runs into a second line that has room in one.
#[tokio::test(flavor = "multi_thread")]
async fn tools_and_bar_keep_to_one_line() {
    let (_folder, log) = demo_log();
    let options = shared_log(&log);
    let page = Browser::bare(LAPTOP, false, options).await;
    for (width, height) in [
        (1920, 1080),
        (1366, 768),
        (1024, 768),
        (768, 1024),
        (740, 360),
    ] {
        let metrics = json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": height < 400});
        page.chrome("Emulation.setDeviceMetricsOverride", &metrics)
            .await;
        for more in ["&ball=7,5,1&ball=9,4.4,3.5", "&student=K"] {
            page.visit(&format!("{START}{more}#token={TOKEN}")).await;
            let rows = page
                .run(
                    "const one = (css) => {
                       const all = [...document.querySelectorAll(css)].filter((e) => e.checkVisibility()).map((e) => e.getBoundingClientRect()).filter((r) => r.width > 1);
                       return Math.max(...all.map((r) => r.top)) < Math.min(...all.map((r) => r.bottom));
                     };
                     return [one('.bar > *'), one('.tools > *'), document.documentElement.scrollWidth <= innerWidth];",
                )
                .await;
            assert_eq!(rows, json!([true, true, true]), "{width}x{height} {more}");
        }
    }
    page.close().await;
}
