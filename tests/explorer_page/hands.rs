//! Moving the balls: dragging, tapping, keys, steppers and fields do the same.

use fantoccini::Locator;

use crate::browser::{Browser, near, place_in};
use crate::{LAPTOP, PHONE, START};

#[tokio::test(flavor = "multi_thread")]
async fn opens_on_a_half_ball_shot_with_one_number() {
    let page = Browser::open(LAPTOP, "", false).await;
    let (number, words) = page.settled().await;
    assert!(number.ends_with("in 10"), "{number}");
    assert_eq!(words, "for a club player, assumed");
    assert!(page.text("lines").await.contains("a half-ball hit"));
    let drawn = page
        .run("return ['.wedge', '.ghost.fullest', '.ghost.thinnest', '.fan'].map((c) => document.querySelectorAll('#table ' + c).length);")
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
    assert!(
        near(place_in(&page.address().await, "object"), (7.0, 3.0)),
        "{}",
        page.address().await
    );
    let after = page.settled().await;
    assert_ne!(before, after, "a shot twice as near the pocket");
    // The cue ball as well; and back again, ball by ball.
    page.drag((3.0, 2.3), (5.0, 1.5)).await;
    assert!(near(place_in(&page.address().await, "cue"), (5.0, 1.5)));
    page.settled().await;
    page.click("undo").await;
    page.settled().await;
    assert!(near(place_in(&page.address().await, "cue"), (3.0, 2.3)));
    page.client.back().await.unwrap();
    assert_eq!(page.settled().await, before);
    assert_eq!(place_in(&page.address().await, "object"), (6.0, 2.6));
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn tapping_keys_steppers_and_fields_do_the_same() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.tap((2.0, 1.0)).await;
    assert!(near(place_in(&page.address().await, "cue"), (2.0, 1.0)));
    page.settled().await;
    page.run("document.querySelector('input[name=moves][value=object]').click();")
        .await;
    page.tap((5.5, 3.0)).await;
    assert!(near(place_in(&page.address().await, "object"), (5.5, 3.0)));
    page.settled().await;
    page.tap((4.0, 4.15)).await;
    assert!(
        page.address().await.contains("pocket=side-left"),
        "{}",
        page.address().await
    );
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
