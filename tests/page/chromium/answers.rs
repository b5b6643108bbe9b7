//! The answer on top: every move is answered in words, comparing has one before, and where there is
//! no shot nothing empty is shown.

use serde_json::json;

use super::browser::Browser;
use super::{LAPTOP, PHONE, START};
use crate::explorer::{demo_log, with_log};

/// A ball that closes the cue ball's way.
const BLOCKED: &str =
    "?cue=3,2.3&object=6,2.6&pocket=foot-left&level=club&called=1&ball=7,4.5,2.45";

/// The line that says how the answer differs, with plain spaces.
async fn change(page: &Browser) -> String {
    page.text("was").await.replace('\u{a0}', " ")
}

async fn tenths(page: &Browser) -> f64 {
    10.0 * page.answer().await["shot"]["chance"].as_f64().unwrap()
}

async fn drag_cue(page: &Browser, from: (f64, f64), to: (f64, f64)) {
    page.drag(from, to).await;
    page.settled().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn every_move_is_answered_in_words() {
    let page = Browser::open(LAPTOP, START, false).await;
    assert_eq!(change(&page).await, "Drag a ball: how much harder is it?");
    let start = tenths(&page).await;
    // A nudge that the rounded number does not show.
    let number = page.text("number").await;
    drag_cue(&page, (3.0, 2.3), (3.05, 2.3)).await;
    assert_eq!(page.text("number").await, number);
    let nudged = tenths(&page).await;
    let wanted = if format!("{start:.1}") == format!("{nudged:.1}") {
        format!("as hard as before: {nudged:.1} in 10")
    } else {
        format!("about as hard: {start:.1} → {nudged:.1} in 10")
    };
    assert_eq!(change(&page).await, wanted);
    // Half the way nearer, then far away: the words follow the chances.
    let mut from = (3.05, 2.3);
    let mut before = nudged;
    for to in [(4.6, 2.2), (4.2, 2.25), (0.5, 3.4)] {
        let at = super::browser::place_in(&page.address().await, "cue");
        assert!(super::browser::near(at, from), "{at:?} {from:?}");
        drag_cue(&page, at, to).await;
        let now = tenths(&page).await;
        let said = change(&page).await;
        let way = if now < before { "harder" } else { "easier" };
        let size = match (now - before).abs() {
            d if d < 0.15 => panic!("{to:?} changes too little: {d}"),
            d if d < 1.0 => "a little ",
            d if d < 2.5 => "",
            _ => "much ",
        };
        // From nearly twice on, below five in ten, it is so many times.
        let (high, low) = (before.max(now), before.min(now));
        let word = match high / low {
            ratio if high > 5.0 || ratio < 1.75 => format!("{size}{way}"),
            ratio => {
                let names = ["twice", "three times", "four times", "five times"];
                let nearest = (2..).zip(names).find(|(n, _)| ratio < f64::from(*n) + 0.5);
                let (_, name) = nearest.unwrap();
                match (now > before, name) {
                    (true, _) => format!("goes in {name} as often"),
                    (false, "twice") => "twice as hard".to_owned(),
                    (false, _) => format!("{name} harder"),
                }
            }
        };
        assert_eq!(said, format!("{word}: {before:.1} → {now:.1} in 10"));
        let why = page.text("because").await;
        assert!(why.starts_with("because "), "{to:?}: {why}");
        (from, before) = (to, now);
    }
    // Without a player the room is compared.
    page.choose("player", "nobody").await;
    page.settled().await;
    let at = super::browser::place_in(&page.address().await, "cue");
    drag_cue(&page, at, (4.2, 2.25)).await;
    assert!(change(&page).await.contains("more margin: was "));
    page.close().await;
}

/// What changed is named by size and by way.
#[tokio::test(flavor = "multi_thread")]
async fn the_part_that_changed_is_named() {
    let page = Browser::open(LAPTOP, "?cue=5,2&object=6,2&pocket=foot-left", false).await;
    let was = page.answer().await;
    page.run("const f = document.getElementById('cue-0'); f.value = '2'; f.dispatchEvent(new Event('change'));").await;
    page.settled().await;
    let now = page.answer().await;
    let travel = |answer: &serde_json::Value| answer["shot"]["cue_travel_mm"].as_f64().unwrap();
    let farther = (travel(&now) - travel(&was)) / 10.0;
    let why = page.text("because").await.replace('\u{a0}', " ");
    assert!(
        why.starts_with(&format!("because the cue ball is {farther:.0} cm farther")),
        "{why}"
    );
    page.run("const f = document.getElementById('cue-1'); f.value = '0.5'; f.dispatchEvent(new Event('change'));").await;
    page.settled().await;
    let cut = |answer: &serde_json::Value| answer["shot"]["cut_deg"].as_f64().unwrap();
    let fuller = cut(&now) - cut(&page.answer().await);
    let why = page.text("because").await;
    assert!(
        why.contains(&format!("the cut is {fuller:.0}° fuller")),
        "{why}"
    );
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn comparing_has_one_before_and_moves_nothing() {
    for size in [PHONE, LAPTOP] {
        let page = Browser::open(size, START, false).await;
        let pinned = page.settled().await;
        page.drag((3.0, 2.3), (4.0, 2.0)).await;
        page.settled().await;
        let place = "const r = document.getElementById('table').getBoundingClientRect(); return [r.top, r.left, r.width];";
        let before = page.run(place).await;
        // What was there before the last move is held beside what it led to.
        let moved = change(&page).await;
        page.click("compare").await;
        assert_eq!(page.run(place).await, before, "{size:?}");
        assert_eq!(page.text("before-number").await, pinned.0);
        assert_eq!(change(&page).await, moved);
        let at = super::browser::place_in(&page.address().await, "cue");
        page.drag(at, (1.5, 3.0)).await;
        page.settled().await;
        assert_eq!(page.run(place).await, before, "{size:?}");
        assert_eq!(page.text("before-number").await, pinned.0);
        // The change is that against what is pinned, also after another move.
        let was = change(&page).await;
        let at = super::browser::place_in(&page.address().await, "cue");
        page.drag(at, (1.5, 2.0)).await;
        page.settled().await;
        let told = |text: &str| text.split(": ").nth(1).map(|t| t[..3].to_owned());
        assert_eq!(told(&was), told(&change(&page).await), "{size:?}");
        // Before any move the shot itself is held, and that is said.
        page.go(START).await;
        page.click("compare").await;
        assert!(change(&page).await.starts_with("Held as"));
        assert_eq!(page.text("before-number").await, pinned.0);
        page.close().await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn where_there_is_no_shot_it_is_said_and_nothing_empty_is_shown() {
    let (_folder, log) = demo_log();
    for (size, dark) in [(LAPTOP, false), (PHONE, true)] {
        let page = Browser::bare(size, dark, with_log(&log)).await;
        page.go(BLOCKED).await;
        assert_eq!(page.text("number").await, "Blocked");
        let shown =
            "return getComputedStyle(document.getElementById('at-ghost').parentNode).display;";
        assert_eq!(page.run(shown).await, "none");
        for (view, text) in [
            ("aims", "#aims-headline"),
            ("budget", "#budget-headline"),
            ("charts", "#view .nothing"),
        ] {
            page.press(&format!("[data-view='{view}']")).await;
            if view == "charts" {
                // The first chart is of many shots and has something to show.
                let known = "return !!document.querySelector('#chart-name [value=shot]');";
                page.until(known, json!(true)).await;
                page.choose("chart-name", "shot").await;
            }
            page.until(
                &format!("return document.querySelector('{text}')?.textContent.includes('closes the path') ?? false;"),
                json!(true),
            )
            .await;
            page.idle().await;
            let left = page
                .run(
                    "return [...document.querySelectorAll('#view table, #view .ways li, #view img, #view button, #view svg')]
                       .filter((e) => e.checkVisibility()).map((e) => e.outerHTML.slice(0, 60));",
                )
                .await;
            assert_eq!(left, json!([]), "{view}");
            page.fits(view).await;
            page.accessible(&format!("{view} without a shot")).await;
        }
        // The ball out of the way, the view is there by itself.
        page.press("[data-view='aims']").await;
        page.run("scrollTo(0, 0);").await;
        page.drag((4.5, 2.45), (1.0, 0.5)).await;
        page.seen("#view .way-card").await;
        page.close().await;
    }
}

/// A stroke that nobody can make is no shot: said in large, without a chance and without a path of the cue ball.
#[tokio::test(flavor = "multi_thread")]
async fn a_stroke_that_is_too_hard_is_said_to_be_none() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.keys(".cue-handle", "\u{e014}").await;
    page.settled().await;
    page.click("open-drawer").await;
    page.run("document.querySelectorAll('#drawer details').forEach((d) => { d.open = true; }); const f = document.getElementById('pace-exact'); f.value = '15m/s'; f.dispatchEvent(new Event('change'));").await;
    let (number, words) = page.settled().await;
    assert_eq!(number, "Not playable");
    assert!(
        words.starts_with("the cue ball would need ")
            && words.ends_with("faster than anyone can control"),
        "{words}"
    );
    assert_eq!(change(&page).await, "was 5 in 10");
    let drawn = "return [document.querySelectorAll('#table .cue-way').length, document.querySelectorAll('#table .band').length, document.getElementById('lines').textContent.includes(' in 10')];";
    assert_eq!(page.run(drawn).await, json!([0, 1, false]));
    // On the list of strokes it is no bare number.
    let stroke = page
        .run("const s = document.getElementById('pace'); return s.options[s.selectedIndex].text;")
        .await;
    assert_eq!(stroke, "15\u{a0}m/s at the pocket");
    page.close().await;
}

/// Another pocket is why, where the balls stayed.
#[tokio::test(flavor = "multi_thread")]
async fn another_pocket_is_named_as_the_reason() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.run("document.querySelector(\"[data-pocket='foot-right']\").dispatchEvent(new KeyboardEvent('keydown', {key: 'Enter', bubbles: true}));").await;
    page.settled().await;
    let why = page.text("because").await;
    assert!(
        why.starts_with("because it goes into the right foot corner: "),
        "{why}"
    );
    page.close().await;
}
