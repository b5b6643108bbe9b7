//! What a class gets of the coach's page: the link and its code, what is shown on phones, and the way to the tally and
//! back, which loses nothing.

use serde_json::json;

use super::browser::Browser;
use super::{LAPTOP, PHONE, START};
use crate::explorer::{PHONES, TOKEN, demo_log, shared_log};

/// The phones' link in large: as text, and as squares that say the same.
#[tokio::test(flavor = "multi_thread")]
async fn showing_on_phones_shows_their_link_and_lasts_over_a_visit_to_the_tally() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(LAPTOP, false, shared_log(&log)).await;
    page.visit(&format!("{START}&view=shelf#token={TOKEN}"))
        .await;
    page.keys(".cue-handle", "\u{e014}").await;
    page.lies("cue", (3.125, 2.3)).await;
    page.idle().await;
    page.click("show-phones").await;
    page.seen("#join[open]").await;
    let link = format!("http://{}/#token={PHONES}", page.server.host());
    let shown = "return document.getElementById('join-link').value;";
    assert_eq!(page.run(shown).await, link);
    // Dark squares of a code: three corners of seven by seven, and about half of the rest.
    let squares = page
        .run(
            "const svg = document.getElementById('join-code'), side = svg.viewBox.baseVal.width;
             const dark = new Set([...svg.querySelector('path').getAttribute('d').matchAll(/M(\\d+) (\\d+)/g)].map(([, x, y]) => `${x},${y}`));
             const corner = (x, y) => [...Array(7).keys()].every((k) => dark.has(`${x + k},${y}`) && dark.has(`${x},${y + k}`));
             return [corner(4, 4), corner(side - 11, 4), corner(4, side - 11), dark.has('3,4'), dark.size / (side - 8) ** 2];",
        )
        .await;
    assert_eq!(
        json!([squares[0], squares[1], squares[2], squares[3]]),
        json!([true, true, true, false])
    );
    let share = squares[4].as_f64().unwrap();
    assert!((0.3..0.7).contains(&share), "{share}");
    page.accessible("the phones' link").await;
    page.keys("#join-close", "\u{e00c}").await;
    page.until(
        "return [document.getElementById('join').open, document.activeElement.id];",
        json!([false, "show-phones"]),
    )
    .await;
    // To the tally, a page further there, and back: shown still, the view open, the step to be undone.
    let address = page.address().await;
    page.click("tally-link").await;
    page.seen("html[data-ready] #choose:not([hidden])").await;
    page.click("free").await;
    page.seen("html[data-ready] #playing:not([hidden])").await;
    page.click("back").await;
    page.seen("html[data-ready] #views-bar").await;
    page.idle().await;
    assert_eq!(page.address().await, address);
    let kept = "return [document.getElementById('show-phones').getAttribute('aria-pressed'), document.getElementById('undo').getAttribute('aria-disabled'), document.getElementById('view').dataset.view, document.getElementById('join').open];";
    page.until(kept, json!(["true", "false", "shelf", false]))
        .await;
    // Pressed again it ends, and stays so.
    page.click("show-phones").await;
    page.reload().await;
    let shows = "return document.getElementById('show-phones').getAttribute('aria-pressed');";
    assert_eq!(page.run(shows).await, "false");
    page.close().await;
}

/// A hall's address is no secure one, and browsers give such a page no clipboard: the link then stands selected
/// beside its button.
#[tokio::test(flavor = "multi_thread")]
async fn without_a_clipboard_the_link_stands_beside_its_button() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(PHONE, true, shared_log(&log)).await;
    page.visit(&format!("{START}#token={TOKEN}")).await;
    page.click("open-drawer").await;
    page.run("document.querySelectorAll('#drawer details').forEach((d) => { d.open = true; });")
        .await;
    page.run("navigator.clipboard.writeText = () => Promise.reject(new Error('none')); document.execCommand = () => false;")
        .await;
    page.click("copy-link").await;
    page.until(
        "return document.getElementById('kept-here').textContent.startsWith('Copy the link from this field. It opens on any device');",
        json!(true),
    )
    .await;
    let field = page
        .run(
            "const f = document.getElementById('link'), b = document.getElementById('copy-link');
             return [f.value, f.selectionEnd - f.selectionStart, document.activeElement.id,
               Math.abs(f.getBoundingClientRect().top - b.getBoundingClientRect().bottom) < 160];",
        )
        .await;
    let link = field[0].as_str().unwrap();
    assert!(link.ends_with(&format!("#token={PHONES}")), "{link}");
    assert_eq!(
        json!([field[1], field[2], field[3]]),
        json!([link.len(), "link", true])
    );
    page.accessible("the link beside its button").await;
    page.close().await;
}
