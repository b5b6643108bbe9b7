//! Before a class: the shelf of shots, and the shot in large with a hundred tries of the player.

use serde_json::json;

use super::browser::{Browser, arrived};
use super::{LAPTOP, START};
use crate::explorer::{PHONES, TOKEN, demo_log, post, shared_log, with_log};

/// Puts a name in and keeps the shot on the table.
async fn keep(page: &Browser, name: &str) {
    page.keys("#shelf-name", name).await;
    page.press("#shelf-keep").await;
    page.until(
        &format!("return document.getElementById('shelf-said').textContent === 'Kept as {name}.';"),
        json!(true),
    )
    .await;
    page.idle().await;
}

const NAMES: &str =
    "return [...document.querySelectorAll('#shelf-list .shelf-name')].map((i) => i.value);";

#[tokio::test(flavor = "multi_thread")]
async fn shots_are_kept_named_ordered_compared_and_carried_over() {
    let page = Browser::open(LAPTOP, &format!("{START}&view=shelf"), false).await;
    let folder = tempfile::tempdir().unwrap();
    page.download_to(folder.path()).await;
    page.idle().await;
    keep(&page, "Half ball").await;
    let first = page.settled().await;
    page.drag((3.0, 2.3), (1.0, 3.3)).await;
    page.settled().await;
    keep(&page, "Thin and far").await;
    let second = page.settled().await;
    assert_ne!(first.0, second.0);
    page.drag((6.0, 2.6), (7.3, 3.2)).await;
    page.settled().await;
    keep(&page, "Near").await;
    assert_eq!(
        page.run(NAMES).await,
        json!(["Half ball", "Thin and far", "Near"])
    );
    // Each says who makes it how often, as the table does.
    let said = "return [...document.querySelectorAll('#shelf-list .shelf-words p')].map((p) => p.textContent.replaceAll('\u{a0}', ' '));";
    let rows = page.run(said).await;
    assert_eq!(
        rows[0],
        format!("A club player makes it {}, assumed", first.0)
    );
    assert_eq!(
        rows[1],
        format!("A club player makes it {}, assumed", second.0)
    );
    // Order and names; the focus stays with the shot that was moved.
    page.press("[aria-label='Earlier: Near']").await;
    page.until(NAMES, json!(["Half ball", "Near", "Thin and far"]))
        .await;
    page.until(
        "return document.activeElement.getAttribute('aria-label');",
        json!("Earlier: Near"),
    )
    .await;
    page.run("const f = document.querySelector('#shelf-list li:nth-child(2) .shelf-name'); f.value = 'Close'; f.dispatchEvent(new Event('change'));").await;
    page.until(NAMES, json!(["Half ball", "Close", "Thin and far"]))
        .await;
    // Beside each other.
    for name in ["Half ball", "Thin and far"] {
        page.press(&format!("[aria-label='{name} beside others']"))
            .await;
        page.idle().await;
    }
    let numbers = "return [...document.querySelectorAll('#shelf-beside .beside-number')].map((p) => p.textContent);";
    page.until(numbers, json!([first.0, second.0])).await;
    page.accessible("the shelf").await;
    page.fits("the shelf").await;
    // Put on the table, with what is open beside it.
    page.press("[aria-label='Put on the table: Half ball']")
        .await;
    page.lies("cue", (3.0, 2.3)).await;
    assert_eq!(page.settled().await, first);
    assert!(page.address().await.contains("view=shelf"));
    // As a file, and after everything was taken away, from the file.
    page.press("#shelf-save").await;
    let file = folder.path().join("shelf.json");
    arrived(&file).await;
    for name in ["Half ball", "Close", "Thin and far"] {
        page.press(&format!("[aria-label='Take off the shelf: {name}']"))
            .await;
        let there = format!(
            "return [...document.querySelectorAll('#shelf-list .shelf-name')].some((i) => i.value === '{name}');"
        );
        page.until(&there, json!(false)).await;
    }
    page.keys("#shelf-load", file.to_str().unwrap()).await;
    page.until(NAMES, json!(["Half ball", "Close", "Thin and far"]))
        .await;
    // It is there after a reload too; what is no shelf is refused with what would do.
    page.go(&format!("{START}&view=shelf")).await;
    page.until(NAMES, json!(["Half ball", "Close", "Thin and far"]))
        .await;
    let bad = folder.path().join("bad.json");
    std::fs::write(&bad, "{\"shots\": []}").unwrap();
    page.keys("#shelf-load", bad.to_str().unwrap()).await;
    page.until(
        "return document.getElementById('view-fault').textContent;",
        json!("bad.json: no shots of a shelf are in it. Take a file that Save the shelf wrote."),
    )
    .await;
    page.close().await;
}

/// With a practice log the shelf is in it: what this browser kept before goes there, and another one has it.
#[tokio::test(flavor = "multi_thread")]
async fn with_a_log_every_browser_of_the_coach_has_the_shelf() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(LAPTOP, false, with_log(&log)).await;
    page.go(START).await;
    page.run("localStorage.setItem('shelf', JSON.stringify([{name: 'From before', shot: '?cue=2,2&object=6,2.6&pocket=foot-left&level=club'}]));").await;
    page.press("[data-view='shelf']").await;
    page.until(NAMES, json!(["From before"])).await;
    page.idle().await;
    keep(&page, "Half ball").await;
    page.press("[aria-label='Earlier: Half ball']").await;
    page.until(NAMES, json!(["Half ball", "From before"])).await;
    page.idle().await;
    let there = || {
        let shots = post(&page.server, "/api/v1/shelf", &json!({})).json();
        let names = shots["shots"].as_array().unwrap().iter();
        json!(names.map(|s| s["name"].clone()).collect::<Vec<_>>())
    };
    assert_eq!(there(), json!(["Half ball", "From before"]));
    // Another browser: it has kept nothing itself.
    page.run("localStorage.clear();").await;
    page.go(&format!("{START}&view=shelf")).await;
    page.until(NAMES, json!(["Half ball", "From before"])).await;
    page.idle().await;
    page.press("[aria-label='Take off the shelf: From before']")
        .await;
    page.until(NAMES, json!(["Half ball"])).await;
    assert_eq!(there(), json!(["Half ball"]));
    page.close().await;
}

/// What the table shows before a class.
const SPRAY: &str = "return [document.querySelectorAll('#table .try.made').length, document.querySelectorAll('#tries-made i').length, document.querySelectorAll('#tries-missed i').length];";

#[tokio::test(flavor = "multi_thread")]
async fn a_class_sees_the_number_and_a_hundred_tries() {
    let page = Browser::open(LAPTOP, START, false).await;
    let still = json!({"features": [{"name": "prefers-reduced-motion", "value": "reduce"}]});
    page.chrome("Emulation.setEmulatedMedia", &still).await;
    page.press("[data-view='shelf']").await;
    page.idle().await;
    keep(&page, "First").await;
    page.drag((3.0, 2.3), (1.0, 3.3)).await;
    page.settled().await;
    keep(&page, "Second").await;
    page.press("[data-view='shelf']").await;
    page.click("present").await;
    page.seen("html[data-present]").await;
    // The number stands in letters for the last row: a tenth of the window's height and more.
    let sizes = page
        .run(
            "const of = (id) => document.getElementById(id).getBoundingClientRect();
             return [of('number').height / innerHeight, document.querySelector('#table .board').getBoundingClientRect().width / innerWidth,
               of('present-ghost').height > 60, document.querySelector('.panel').checkVisibility()];",
        )
        .await;
    assert!(sizes[0].as_f64().unwrap() > 0.1, "{sizes}");
    assert!(sizes[1].as_f64().unwrap() > 0.6, "{sizes}");
    assert_eq!(json!([sizes[2], sizes[3]]), json!([true, false]));
    // The margin in words and what the colours mean stand there too, in letters for the last row.
    let told = page
        .run(
            "const large = (e) => parseFloat(getComputedStyle(e).fontSize);
             const words = document.getElementById('present-room'), key = document.querySelector('.key');
             return [words.textContent === document.getElementById('room').textContent, words.textContent.includes('margin'),
               large(words) >= 16, key.checkVisibility(), large(key) >= 16, large(document.querySelector('#present-ghost .tip')) * document.getElementById('present-ghost').getScreenCTM().a >= 11.9];",
        )
        .await;
    assert_eq!(told, json!([true, true, true, true, true, true]));
    page.accessible("before a class").await;
    // Where nothing is to move by itself a hundred tries are there at once, makes apart from misses.
    page.click("present-all").await;
    page.until(
        "return document.querySelectorAll('.heap i').length;",
        json!(100),
    )
    .await;
    let shown = page.run(SPRAY).await;
    assert_eq!(
        shown[0], shown[1],
        "a line on the table for each that went in"
    );
    let made = shown[1].as_u64().unwrap();
    assert_eq!(page.text("tries-of").await, format!("{made} of 100 tries"));
    // How far a hundred may be from the number on top is said: two standard deviations.
    let chance = page.answer().await["shot"]["chance"].as_f64().unwrap();
    let off = 2.0 * (100.0 * chance * (1.0 - chance)).sqrt();
    assert_eq!(
        page.text("tries-usual").await,
        format!(
            "Another hundred: anything from {:.0} to {:.0} in is usual.",
            100.0 * chance - off,
            100.0 * chance + off
        )
    );
    // Another hundred is a hundred again; one is one.
    page.click("present-all").await;
    page.idle().await;
    page.until(
        "return document.querySelectorAll('.heap i').length;",
        json!(100),
    )
    .await;
    page.keys("#present-all", "c").await;
    page.until(SPRAY, json!([0, 0, 0])).await;
    page.keys("#present-all", "o").await;
    page.until(
        "return document.querySelectorAll('.heap i').length;",
        json!(1),
    )
    .await;
    // A clicker's keys go through the shelf; the tries were another shot's.
    page.keys("#present-all", "\u{e00f}").await;
    page.lies("cue", (3.0, 2.3)).await;
    page.settled().await;
    page.until(
        "return document.querySelectorAll('.heap i').length;",
        json!(0),
    )
    .await;
    assert_eq!(page.text("present-name").await, "First (1 of 2)");
    page.keys("#present-all", "\u{e00e}").await;
    page.lies("cue", (1.0, 3.3)).await;
    page.settled().await;
    // The shelf's shots beside each other instead of the table, and the table again.
    let beside = "return [...document.querySelectorAll('#beside-each li h3')].map((h) => h.textContent).concat(document.querySelector('#table').checkVisibility());";
    page.keys("#present-all", "b").await;
    page.until(beside, json!(["First", "Second", false])).await;
    page.fits("beside each other before a class").await;
    page.accessible("beside each other before a class").await;
    page.keys("#present-beside", "b").await;
    page.until(beside, json!([true])).await;
    // Escape closes it, and the focus is back where it was opened.
    page.keys("#present-all", "\u{e00c}").await;
    page.until("return [document.documentElement.hasAttribute('data-present'), document.activeElement.id];", json!([false, "present"])).await;
    assert_eq!(
        page.run("return document.querySelector('.panel').checkVisibility();")
            .await,
        true
    );
    page.close().await;
}

/// Where things may move, the tries come one by one.
#[tokio::test(flavor = "multi_thread")]
async fn tries_come_one_by_one() {
    let page = Browser::open(LAPTOP, START, true).await;
    page.click("present").await;
    page.run("window.steps = []; new MutationObserver(() => steps.push(document.querySelectorAll('.heap i').length)).observe(document.getElementById('tries'), {childList: true, subtree: true});").await;
    page.click("present-all").await;
    page.until(
        "return document.querySelectorAll('.heap i').length;",
        json!(100),
    )
    .await;
    let steps = page.run("return new Set(steps).size;").await;
    assert!(steps.as_u64().unwrap() > 50, "{steps}");
    // What was shown is what the player makes, within five standard deviations of a hundred tries.
    let chance = page.answer().await["shot"]["chance"].as_f64().unwrap();
    let made = page
        .run("return document.querySelectorAll('#tries-made i').length;")
        .await
        .as_f64()
        .unwrap();
    let spread = (100.0 * chance * (1.0 - chance)).sqrt();
    assert!(
        (made - 100.0 * chance).abs() < 5.0 * spread,
        "{made} of 100 at {chance}"
    );
    let body = json!({"cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left"});
    assert_eq!(
        post(&page.server, "/api/v1/attempts", &body).status,
        422,
        "nobody plays"
    );
    page.close().await;
}

/// What the coach moves is on the phones that follow; who moves a ball on a phone goes on alone.
#[tokio::test(flavor = "multi_thread")]
async fn phones_follow_the_coach() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(LAPTOP, false, shared_log(&log)).await;
    page.visit(&format!("{START}#token={TOKEN}")).await;
    page.click("show-phones").await;
    page.idle().await;
    let coach = page.client.window().await.unwrap();
    let phone = page.client.new_window(true).await.unwrap().handle;
    page.client.switch_to_window(phone.clone()).await.unwrap();
    let link = format!("http://{}/#token={PHONES}", page.server.host());
    page.client.goto(&link).await.unwrap();
    page.seen("html[data-ready]").await;
    let cue = "return new URLSearchParams(location.search).get('cue');";
    // What is shown already, then what is moved.
    page.until(cue, json!("3,2.3")).await;
    page.client.switch_to_window(coach.clone()).await.unwrap();
    page.keys(".cue-handle", "\u{e014}").await;
    page.until(cue, json!("3.125,2.3")).await;
    page.client.switch_to_window(phone.clone()).await.unwrap();
    page.until(cue, json!("3.125,2.3")).await;
    let follows = "return document.getElementById('follow').getAttribute('aria-pressed');";
    assert_eq!(page.run(follows).await, "true");
    // A ball moved on the phone: it goes on alone, and comes back when asked to.
    page.keys(".cue-handle", "\u{e012}\u{e012}").await;
    page.until(cue, json!("2.875,2.3")).await;
    assert_eq!(page.run(follows).await, "false");
    page.client.switch_to_window(coach.clone()).await.unwrap();
    page.keys(".cue-handle", "\u{e013}").await;
    page.until(cue, json!("3.125,2.425")).await;
    page.client.switch_to_window(phone).await.unwrap();
    assert_eq!(page.run(cue).await, "2.875,2.3");
    page.click("follow").await;
    page.until(cue, json!("3.125,2.425")).await;
    // A phone shows nothing to others.
    let reply = page
        .server
        .post_as(PHONES, "/api/v1/show", &json!({"shot": "?cue=1,1"}));
    assert_eq!(reply.status, 403);
    let reply = page
        .server
        .post_as(TOKEN, "/api/v1/show", &json!({"shot": "no address"}));
    assert_eq!(reply.status, 422);
    page.close().await;
}

/// The shelf is gone through for the student that was chosen, whoever its shots were kept for.
#[tokio::test(flavor = "multi_thread")]
async fn a_shot_of_the_shelf_is_put_on_for_the_student_that_is_chosen() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(LAPTOP, false, with_log(&log)).await;
    let kept = json!({"add": [{"name": "Thin", "shot": "?cue=1,3.3&object=6,2.6&pocket=foot-left&level=club"}]});
    assert_eq!(post(&page.server, "/api/v1/shelf", &kept).status, 200);
    page.go("?cue=3,2.3&object=6,2.6&pocket=foot-left&student=K&view=shelf")
        .await;
    page.press("[aria-label='Put on the table: Thin']").await;
    page.lies("cue", (1.0, 3.3)).await;
    page.settled().await;
    assert_eq!(page.text("who").await, "Student K makes it");
    page.close().await;
}
