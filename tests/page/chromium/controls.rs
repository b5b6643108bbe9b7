//! Pickers, the drawer, comparing.

use fantoccini::Locator;
use serde_json::json;

use super::browser::{Browser, PATIENCE};
use super::{LAPTOP, START};

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
    assert!(page.settled().await.0.ends_with("either side"));
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
