//! A game on the page: its table, its balls in their colours, its words, and advice by its rules.

use serde_json::json;

use super::browser::Browser;
use super::{LAPTOP, START};

/// The balls on the table with their colours, as far as they have one.
const BALLS: &str = "return Object.fromEntries([...document.querySelectorAll('.handle')].map((h) => [h.dataset.ball, h.style.getPropertyValue('--paint') || null]));";

#[tokio::test(flavor = "multi_thread")]
async fn snooker_has_its_table_its_balls_and_its_rules() {
    let page = Browser::open(LAPTOP, &format!("{START}&ball=7,5,1"), false).await;
    page.choose("game", "snooker").await;
    page.until(
        "return document.querySelectorAll('.handle').length;",
        json!(9),
    )
    .await;
    page.settled().await;
    let address = page.address().await;
    assert!(
        address.contains("gear=snooker-12ft") && address.contains("game=snooker"),
        "{address}"
    );
    // What was 1 and 7 is red, and the colours lie on their spots.
    assert_eq!(
        page.run(BALLS).await,
        json!({"cue": null, "object": "#b3202a", "other:red-2": "#b3202a", "other:yellow": "#f0c419",
            "other:green": "#1d7a46", "other:brown": "#7b4a23", "other:blue": "#2b62b8",
            "other:pink": "#ec9bb8", "other:black": "#17191c"})
    );
    let off = "const spots = [...document.querySelectorAll('#table .spot')].map((s) => [s.cx.baseVal.value, s.cy.baseVal.value]);
        return ['yellow', 'green', 'brown', 'blue', 'pink', 'black'].filter((c) => {
          const { e, f } = document.querySelector(`[data-ball='other:${c}']`).transform.baseVal[0].matrix;
          return !spots.some(([x, y]) => Math.hypot(x - e, y - f) < 1); });";
    assert_eq!(page.run(off).await, json!([]));
    // One more ball is a red; the text of the page says so.
    page.click("add-ball").await;
    page.seen("[data-ball='other:red-3']").await;
    page.settled().await;
    let label = "return document.querySelector(\"[data-ball='other:red-3']\").getAttribute('aria-label').split(':')[0];";
    assert_eq!(page.run(label).await, "Red 3");
    page.accessible("snooker").await;
    page.fits("snooker").await;
    // Advice is that of the game, in its words: at once, and the state is asked for where balls do not tell it.
    page.press("[data-view='shots']").await;
    let says = async |text: &str| {
        page.until(
            "return document.getElementById('shots-state')?.textContent;",
            json!(text),
        )
        .await;
    };
    says("Snooker: a red is on.").await;
    page.seen(".ranked li").await;
    let rules = "return [...document.querySelectorAll('.ranked li')].some((l) => l.textContent.includes('By the rules:'));";
    assert_eq!(page.run(rules).await, true);
    page.choose("game-on", "black").await;
    says("Snooker: the black is on, nominated.").await;
    // Pool again: on its own table, with numbers.
    page.choose("game", "9-ball").await;
    page.until(
        "return new URLSearchParams(location.search).get('gear');",
        json!("pool-9ft"),
    )
    .await;
    says("9-ball: the 1 is to be hit first.").await;
    let names =
        "return [...document.querySelectorAll('.handle')].map((h) => h.dataset.ball).sort();";
    let names = page.run(names).await;
    assert!(!names.to_string().contains("red"), "{names}");
    page.close().await;
}

/// The game stays over a reload, travels in a link, and goes where the table is another game's.
#[tokio::test(flavor = "multi_thread")]
async fn a_game_travels_with_the_link() {
    let page = Browser::open(LAPTOP, &format!("{START}&game=8-ball&ball=12,5,1"), false).await;
    assert_eq!(
        page.run(BALLS).await,
        json!({"cue": null, "object": "#f0c419", "other:12": "#6a3d97"})
    );
    let striped =
        "return [...document.querySelectorAll('.handle.striped')].map((h) => h.dataset.ball);";
    assert_eq!(page.run(striped).await, json!(["other:12"]));
    page.choose("game-group", "stripes").await;
    page.settled().await;
    page.client.refresh().await.unwrap();
    page.seen("html[data-ready]").await;
    let chosen = "return ['game', 'game-group'].map((id) => document.getElementById(id).value);";
    assert_eq!(page.run(chosen).await, json!(["8-ball", "stripes"]));
    page.choose("gear", "snooker-12ft").await;
    page.until("return document.getElementById('game').value;", json!(""))
        .await;
    page.settled().await;
    assert!(!page.address().await.contains("game"));
    // A link that names the game alone brings its table; English pool says whose rules.
    page.visit("?game=english&level=club").await;
    let chosen = "return ['gear', 'game'].map((id) => document.getElementById(id).value);";
    assert_eq!(page.run(chosen).await, json!(["smallball-7ft", "english"]));
    // One that there is not is said, and the rest of the link is shown.
    page.go("?cue=3,2.3&object=6,2.6&pocket=foot-left&level=club&game=darts")
        .await;
    assert!(
        page.text("mended-words")
            .await
            .contains("no game is called “darts”"),
        "{}",
        page.text("mended-words").await
    );
    page.close().await;
}
