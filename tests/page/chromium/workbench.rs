//! The page as a place to work at: table and answer in sight at every size, what happens while the
//! program is away, links that ask for what is not there, and how often the program is asked.

use serde_json::{Value, json};

use super::browser::Browser;
use super::{LAPTOP, PHONE, START};
use crate::explorer::{PHONES, Server, TOKEN, demo_log, options, shared_log};

/// Phone upright and on its side, tablet, laptop, the same at 200 % zoom, projector, and 400 % zoom
/// of a window 1280 wide (WCAG 1.4.10).
const SIZES: [(u32, u32); 7] = [
    (360, 740),
    (740, 360),
    (768, 1024),
    (1366, 768),
    (683, 384),
    (1920, 1080),
    (320, 256),
];

/// Width and height of the table as drawn, and whether it and the number are wholly in the window.
const IN_SIGHT: &str = "const of = (s) => document.querySelector(s).getBoundingClientRect();
    const inside = (r) => r.top >= -1 && r.bottom <= innerHeight + 1 && r.left >= -1 && r.right <= innerWidth + 1;
    const board = of('#table .board');
    return [Math.round(board.width), Math.round(board.height), inside(board), inside(of('#number'))];";

async fn in_sight(page: &Browser, what: &str) {
    let seen = page.run(IN_SIGHT).await;
    assert_eq!(json!([seen[2], seen[3]]), json!([true, true]), "{what}");
    let (wide, high) = (seen[0].as_u64().unwrap(), seen[1].as_u64().unwrap());
    let (long, short) = (wide.max(high), wide.min(high));
    assert!(long >= 220 && short >= 120, "{what}: table {wide} × {high}");
}

#[tokio::test(flavor = "multi_thread")]
async fn table_and_answer_stay_in_sight_together() {
    for size in SIZES {
        let page = Browser::open(size, START, false).await;
        let what = |when: &str| format!("{size:?} {when}");
        in_sight(&page, &what("at first")).await;
        page.fits(&what("at first")).await;
        // Beside the panel the table stays while it is read; below each other where something is open.
        let beside = size.0 > size.1 && size.0 >= 480;
        if beside {
            page.run("scrollTo(0, document.body.scrollHeight);").await;
            in_sight(&page, &what("at the end of the page")).await;
        }
        // At 400 % there is no room for both; the table is one step away.
        if size.1 < 300 {
            page.close().await;
            continue;
        }
        page.run("scrollTo(0, 0);").await;
        page.click("open-drawer").await;
        page.run("document.querySelector('#drawer details:last-of-type summary').click(); scrollTo(0, document.body.scrollHeight);").await;
        page.idle().await;
        in_sight(&page, &what("beside the controls")).await;
        page.click("close-drawer").await;
        page.press("[data-view='aims']").await;
        page.seen("#view .way-card").await;
        page.idle().await;
        in_sight(&page, &what("as a view opens")).await;
        page.run("scrollTo(0, document.body.scrollHeight);").await;
        in_sight(&page, &what("beside a view")).await;
        page.fits(&what("beside a view")).await;
        page.close().await;
    }
}

/// While the hand still holds the ball, what is open beside the table follows.
#[tokio::test(flavor = "multi_thread")]
async fn a_drag_moves_the_view_beside_the_table() {
    let page = Browser::open(LAPTOP, &format!("{START}&view=aims"), false).await;
    page.seen("#view .way-card").await;
    page.idle().await;
    let text = "return document.getElementById('view').textContent;";
    let before = page.run(text).await;
    let (x, y) = page.on_screen((3.0, 2.3)).await;
    let mouse = |kind: &str, (x, y): (f64, f64)| json!({"type": kind, "x": x, "y": y, "button": "left", "buttons": 1, "clickCount": 1});
    page.chrome("Input.dispatchMouseEvent", &mouse("mousePressed", (x, y)))
        .await;
    for k in 1..=8 {
        let to = (x - 8.0 * f64::from(k), y + 9.0 * f64::from(k));
        page.chrome("Input.dispatchMouseEvent", &mouse("mouseMoved", to))
            .await;
    }
    page.until(
        &format!("return document.getElementById('view').textContent !== {before};"),
        json!(true),
    )
    .await;
    let held = "return document.querySelectorAll('.handle.held').length;";
    assert_eq!(page.run(held).await, 1);
    page.chrome(
        "Input.dispatchMouseEvent",
        &mouse("mouseReleased", (x - 64.0, y + 72.0)),
    )
    .await;
    page.settled().await;
    page.close().await;
}

/// Faults of the network that a test brought about.
async fn forget_faults(page: &Browser) -> String {
    let log = page
        .driver_post("se/log", &json!({"type": "browser"}))
        .await;
    log.to_string()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_program_that_stops_is_said_and_the_page_opens_without_it() {
    let mut page = Browser::open(LAPTOP, START, false).await;
    let number = page.text("number").await;
    page.until(
        "return navigator.serviceWorker.controller !== null;",
        json!(true),
    )
    .await;
    let port = page.server.port();
    // The server is stopped by another in its place.
    page.server = Server::start();
    page.run("document.querySelector('.cue-handle').focus();")
        .await;
    page.keys(".cue-handle", "\u{e014}").await;
    page.seen("#stage.gone").await;
    assert!(page.text("gone").await.contains("has stopped"));
    let grey = "return getComputedStyle(document.getElementById('number')).color;";
    assert_eq!(page.run(grey).await, "rgb(125, 119, 104)");
    assert_eq!(page.text("number").await, number);
    page.accessible("while the program is away").await;
    // Opened anew it shows the last table and number, and says so.
    page.client.refresh().await.unwrap();
    page.seen("html[data-ready]").await;
    page.seen("#stage.gone").await;
    page.seen("#table .board").await;
    // And it goes on by itself.
    page.server = Server::run(thincut::page::Options { port, ..options() });
    page.seen("#stage:not(.gone)").await;
    page.seen("html[data-ready]").await;
    page.settled().await;
    let faults = forget_faults(&page).await;
    assert!(!faults.contains("TypeError"), "{faults}");
    page.close().await;
}

/// What a link asks for and is not there is said; the rest of it is shown.
#[tokio::test(flavor = "multi_thread")]
async fn a_link_to_what_is_not_there_is_mended() {
    let page = Browser::bare(LAPTOP, false, options()).await;
    let said = "return document.getElementById('mended').hidden ? '' : document.getElementById('mended-words').textContent;";
    for (search, told, kept, gone) in [
        (
            "?cue=2,1.5&gear=pool-11ft&level=expert",
            "pool-11ft",
            "level=expert",
            "pool-11ft",
        ),
        (
            "?cue=2,1.5&student=Zeno&pace=2m/s",
            "without its student",
            "cue=2,1.5",
            "student",
        ),
        (
            "?cue=2,1.5&level=wizard",
            "without its player",
            "cue=2,1.5",
            "wizard",
        ),
        (
            "?cue=2,1.5&pace=fast",
            "without its stroke",
            "cue=2,1.5",
            "pace=fast",
        ),
        (
            "?cue=2,1.5&view=palmistry",
            "a view",
            "cue=2,1.5",
            "palmistry",
        ),
        (
            "?cue=2,1.5&pocket=nowhere&level=expert",
            "without its balls",
            "level=expert",
            "nowhere",
        ),
    ] {
        page.visit(search).await;
        let words = page.run(said).await;
        assert!(words.as_str().unwrap().contains(told), "{search}: {words}");
        assert!(page.text("number").await.contains(" in "), "{search}");
        assert_eq!(
            page.run("return document.getElementById('fault').hidden;")
                .await,
            true
        );
        // From here on the link is a good one.
        page.run("document.getElementById('snap').click();").await;
        page.until("return location.search.includes('snap=1');", json!(true))
            .await;
        let address = page.address().await;
        assert!(
            address.contains(kept) && !address.contains(gone),
            "{address}"
        );
        page.idle().await;
        page.accessible(search).await;
        page.click("mended-seen").await;
        assert_eq!(page.run(said).await, "");
        forget_faults(&page).await;
    }
    page.close().await;
}

/// On the second visit the page itself, what it opens with and the shot are asked for, no more.
#[tokio::test(flavor = "multi_thread")]
async fn a_visit_asks_three_times() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.until(
        "return navigator.serviceWorker.controller !== null;",
        json!(true),
    )
    .await;
    page.go(START).await;
    let asked = page
        .run(
            "return [...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]
               .filter((e) => e.initiatorType === 'navigation' || e.initiatorType === 'fetch' || e.transferSize > 0)
               .map((e) => new URL(e.name).pathname);",
        )
        .await;
    assert_eq!(asked, json!(["/", "/api/v1/open", "/api/v1/shot"]));
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn undo_keeps_the_focus_and_keys_go_back_and_forth() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.keys(".cue-handle", "\u{e014}").await;
    page.settled().await;
    let moved = page.address().await;
    page.run("document.getElementById('undo').focus();").await;
    page.keys("#undo", "\u{e007}").await;
    page.lies("cue", (3.0, 2.3)).await;
    page.settled().await;
    page.until(
        "return [document.activeElement.id, document.getElementById('undo').getAttribute('aria-disabled')];",
        json!(["undo", "true"]),
    )
    .await;
    // Control-Shift-Z goes forth again, Control-Z back.
    page.keys("#undo", "\u{e009}\u{e008}z").await;
    page.until(
        &format!("return location.search === {};", json!(moved)),
        json!(true),
    )
    .await;
    page.settled().await;
    page.keys("#undo", "\u{e009}z").await;
    page.lies("cue", (3.0, 2.3)).await;
    page.settled().await;
    page.close().await;
}

/// What was pinned, asked and drawn up is there after a reload.
#[tokio::test(flavor = "multi_thread")]
async fn a_reload_loses_nothing() {
    let page = Browser::open(LAPTOP, START, false).await;
    let pinned = page.settled().await;
    page.click("compare").await;
    page.drag((3.0, 2.3), (1.0, 3.3)).await;
    page.settled().await;
    let change = page.text("was").await;
    page.press("[data-view='marks']").await;
    page.idle().await;
    page.run("const f = document.getElementById('marks-students'); f.value = 'K=starting, L=club'; document.getElementById('marks-chance').value = '5'; document.getElementById('marks-here').checked = true; f.dispatchEvent(new Event('change', {bubbles: true}));").await;
    page.click("marks-draw").await;
    let rows = "return [...document.querySelectorAll('#view tbody tr')].map((r) => r.textContent);";
    page.seen("#view tbody tr").await;
    page.idle().await;
    let drawn = page.run(rows).await;
    assert_eq!(drawn.as_array().unwrap().len(), 2);
    page.client.refresh().await.unwrap();
    page.seen("html[data-ready]").await;
    page.settled().await;
    assert_eq!(page.text("before-number").await, pinned.0);
    assert_eq!(page.text("was").await, change);
    page.until(rows, drawn).await;
    // A chart that was asked for as well.
    page.press("[data-view='charts']").await;
    page.until(
        "return !!document.querySelector('#chart-name [value=pocket]');",
        json!(true),
    )
    .await;
    page.idle().await;
    page.run("const s = document.getElementById('chart-name'); s.value = 'pocket'; s.dispatchEvent(new Event('change', {bubbles: true}));").await;
    page.idle().await;
    page.client.refresh().await.unwrap();
    page.seen("html[data-ready]").await;
    page.until(
        "return document.getElementById('chart-name')?.value;",
        json!("pocket"),
    )
    .await;
    page.idle().await;
    page.close().await;
}

/// Under a finger the place is seen beside it; balls are told by numbers that can be read.
#[tokio::test(flavor = "multi_thread")]
async fn a_finger_has_a_loupe_and_numbers_can_be_read() {
    let page = Browser::open(PHONE, &format!("{START}&called=1&ball=7,5,1"), false).await;
    let touch = json!({"enabled": true, "maxTouchPoints": 2});
    page.chrome("Emulation.setTouchEmulationEnabled", &touch)
        .await;
    page.run("window.seen = []; new MutationObserver(() => { const l = document.querySelector('.loupe'); const r = l.getBoundingClientRect(); if (r.width) seen.push([r.left >= 0 && r.top >= 0 && r.right <= innerWidth && r.bottom <= innerHeight, l.querySelectorAll('use').length]); }).observe(document.querySelector('.loupe'), {attributes: true});")
        .await;
    let from = page.on_screen((3.0, 2.3)).await;
    page.swipe(from, (30.0, -120.0)).await;
    page.settled().await;
    let seen = page.run("return seen;").await;
    assert!(!seen.as_array().unwrap().is_empty());
    assert!(
        seen.as_array()
            .unwrap()
            .iter()
            .all(|s| *s == json!([true, 2])),
        "{seen}"
    );
    let hidden = "return getComputedStyle(document.querySelector('.loupe')).display;";
    assert_eq!(page.run(hidden).await, "none");
    let small: Value = page
        .run("return [...document.querySelectorAll('#table .name')].map((t) => t.getBoundingClientRect().height).filter((h) => h < 11);")
        .await;
    assert_eq!(small, json!([]));
    page.close().await;
}

/// Steps of an eighth of a diamond and of a millimetre.
#[tokio::test(flavor = "multi_thread")]
async fn steps_are_an_eighth_of_a_diamond_and_a_millimetre() {
    let page = Browser::open(PHONE, START, false).await;
    page.click("open-drawer").await;
    for (label, along) in [
        ("Cue ball, along, more", 3.125),
        ("Cue ball, along, 1 mm more", 3.128),
        ("Cue ball, along, 1 mm less", 3.125),
        ("Cue ball, along, less", 3.0),
    ] {
        page.press(&format!("[aria-label='{label}']")).await;
        page.settled().await;
        let place = super::browser::place_in(&page.address().await, "cue");
        assert!((place.0 - along).abs() < 1e-9, "{label}: {place:?}");
    }
    page.close().await;
}

/// Signed in is the browser, not the tab; a copied link lets others look, and never more.
#[tokio::test(flavor = "multi_thread")]
async fn a_copied_link_lets_others_look_and_a_sign_in_survives_tabs() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(LAPTOP, false, shared_log(&log)).await;
    page.visit(&format!("{START}#token={TOKEN}")).await;
    let views = "return [...document.querySelectorAll('#views-bar button')].map((b) => b.dataset.view).includes('ladder');";
    assert_eq!(page.run(views).await, true);
    let tab = page.client.new_window(true).await.unwrap();
    page.client.switch_to_window(tab.handle).await.unwrap();
    let own = format!("http://{}/{START}", page.server.host());
    page.client.goto(&own).await.unwrap();
    page.seen("html[data-ready]").await;
    assert_eq!(page.run(views).await, true);
    page.run("navigator.clipboard.writeText = async (text) => { window.copied = text; }; document.getElementById('copy-link').click();")
        .await;
    page.until(
        "return document.getElementById('kept-here').textContent.startsWith('The link is copied. It opens on any device');",
        json!(true),
    )
    .await;
    let link = page.run("return window.copied;").await;
    let link = link.as_str().unwrap().to_owned();
    assert!(link.contains(PHONES) && !link.contains(TOKEN), "{link}");
    assert!(
        link.starts_with(&format!("http://{}/?cue=3,2.3", page.server.host())),
        "{link}"
    );
    // On another device.
    page.run("localStorage.clear(); sessionStorage.clear();")
        .await;
    page.client.goto("about:blank").await.unwrap();
    page.client.goto(&link).await.unwrap();
    page.seen("html[data-ready]").await;
    assert_eq!(page.run(views).await, false);
    assert!(page.text("number").await.contains(" in "));
    page.close().await;
}
