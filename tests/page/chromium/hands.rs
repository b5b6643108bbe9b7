//! Moving the balls: dragging, tapping, keys, steppers and fields do the same.

use fantoccini::Locator;
use serde_json::json;

use super::browser::{Browser, place_in};
use super::{LAPTOP, PHONE, START};

#[tokio::test(flavor = "multi_thread")]
async fn opens_on_a_half_ball_shot_with_one_number() {
    let page = Browser::open(LAPTOP, "", false).await;
    let (number, words) = page.settled().await;
    assert!(number.ends_with("in 10"), "{number}");
    assert_eq!(words, "assumed");
    assert_eq!(page.text("who").await, "A club player makes it");
    assert!(page.text("lines").await.contains("a half-ball hit"));
    let drawn = page
        .run("return ['.band', '.lane.how-clean', '.fan'].map((c) => document.querySelectorAll('#table ' + c).length);")
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
    page.lies("object", (7.0, 3.0)).await;
    let after = page.settled().await;
    assert_ne!(before, after, "a shot twice as near the pocket");
    // The cue ball as well; and back again, ball by ball.
    page.drag((3.0, 2.3), (5.0, 1.5)).await;
    page.lies("cue", (5.0, 1.5)).await;
    page.settled().await;
    page.click("undo").await;
    page.lies("cue", (3.0, 2.3)).await;
    page.settled().await;
    page.back().await;
    assert_eq!(page.settled().await, before);
    assert_eq!(place_in(&page.address().await, "object"), (6.0, 2.6));
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn tapping_keys_steppers_and_fields_do_the_same() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.tap((2.0, 1.0)).await;
    page.lies("cue", (2.0, 1.0)).await;
    page.settled().await;
    page.run("document.querySelector('input[name=moves][value=object]').click();")
        .await;
    page.tap((5.5, 3.0)).await;
    page.lies("object", (5.5, 3.0)).await;
    page.settled().await;
    page.tap((4.0, 4.15)).await;
    page.until(
        "return location.search.includes('pocket=side-left');",
        json!(true),
    )
    .await;
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

/// A touch screen breaks a drag off where it takes it for scrolling.
#[tokio::test(flavor = "multi_thread")]
async fn a_finger_on_a_ball_moves_it_and_beside_it_the_page() {
    let page = Browser::open(PHONE, START, false).await;
    let touch = json!({"enabled": true, "maxTouchPoints": 2});
    page.chrome("Emulation.setTouchEmulationEnabled", &touch)
        .await;
    page.run("window.ends = []; for (const kind of ['pointerup', 'pointercancel']) document.getElementById('table').addEventListener(kind, (e) => ends.push(`${e.pointerType} ${kind}`));")
        .await;
    for (ball, start) in [("object", (6.0, 2.6)), ("cue", (3.0, 2.3))] {
        let from = page.on_screen(start).await;
        let by = if ball == "cue" {
            (40.0, -140.0)
        } else {
            (-60.0, 150.0)
        };
        page.swipe(from, by).await;
        page.settled().await;
        let to = page.on_screen(place_in(&page.address().await, ball)).await;
        // A pointer lands on whole pixels.
        assert!(
            (to.0 - from.0 - by.0).abs() < 1.5 && (to.1 - from.1 - by.1).abs() < 1.5,
            "{ball} from {from:?} to {to:?}"
        );
    }
    assert_eq!(
        page.run("return [ends, scrollY];").await,
        json!([["touch pointerup", "touch pointerup"], 0])
    );
    let balls = page.address().await;
    page.swipe(page.on_screen((1.0, 0.8)).await, (0.0, -160.0))
        .await;
    page.until("return scrollY > 60;", json!(true)).await;
    assert_eq!(page.address().await, balls);
    page.close().await;
}

/// The fields are what the table is, however it came about, and a step starts from there.
#[tokio::test(flavor = "multi_thread")]
async fn the_drawer_holds_what_was_moved_while_it_was_closed() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.drag((3.0, 2.3), (4.0, 1.5)).await;
    page.settled().await;
    page.click("open-drawer").await;
    let (x, y) = place_in(&page.address().await, "cue");
    let held = "return ['cue-0', 'cue-1'].map((id) => Number(document.getElementById(id).value));";
    assert_eq!(page.run(held).await, json!([x, y]));
    page.press("[aria-label='Cue ball, along, more']").await;
    page.settled().await;
    let (stepped, across) = place_in(&page.address().await, "cue");
    assert!((stepped - x - 0.125).abs() < 1e-9 && (across - y).abs() < 1e-9);
    page.click("undo").await;
    page.until(held, json!([x, y])).await;
    page.settled().await;
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tap_leaves_no_frame_round_the_table() {
    for size in [LAPTOP, PHONE] {
        let page = Browser::open(size, START, false).await;
        // After the keyboard was used, too: then a browser shows what has the focus.
        page.run("document.querySelector('[data-ball=\"cue\"]').focus();")
            .await;
        page.keys("[data-ball='cue']", "\u{e014}").await;
        page.settled().await;
        page.tap((2.0, 1.0)).await;
        page.settled().await;
        let framed = page
            .run("return getComputedStyle(document.getElementById('table')).outlineStyle;")
            .await;
        assert_eq!(framed, "none", "{size:?}");
        page.close().await;
    }
}

/// Undo and redo by buttons, on a phone without keys: redo is there while there is something to redo.
#[tokio::test(flavor = "multi_thread")]
async fn what_was_undone_is_redone_by_a_button() {
    let page = Browser::open(super::PHONE, START, false).await;
    let offered = "return !document.getElementById('redo').hidden;";
    page.keys(".cue-handle", "\u{e014}").await;
    page.settled().await;
    assert_eq!(page.run(offered).await, false);
    page.click("undo").await;
    page.lies("cue", (3.0, 2.3)).await;
    page.until(offered, json!(true)).await;
    page.reload().await;
    page.until(offered, json!(true)).await;
    // On a table that stands, right is towards the right rail.
    page.click("redo").await;
    page.lies("cue", (3.0, 2.175)).await;
    page.until(offered, json!(false)).await;
    // After another step there is nothing to redo.
    page.click("undo").await;
    page.until(offered, json!(true)).await;
    page.keys(".cue-handle", "\u{e013}").await;
    page.lies("cue", (3.125, 2.3)).await;
    page.until(offered, json!(false)).await;
    page.close().await;
}

/// Whoever adds a ball by keys has it under the keys.
#[tokio::test(flavor = "multi_thread")]
async fn a_ball_that_is_added_by_keys_is_moved_by_keys() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.keys("#add-ball", "\u{e007}").await;
    page.until(
        "return document.activeElement.dataset.ball ?? '';",
        json!("other:2"),
    )
    .await;
    page.close().await;
}
