//! Other balls on the table, the cue ball's way, layouts, ranked shots, hand and reach.

use fantoccini::Locator;
use serde_json::{Value, json};

use super::browser::{Browser, arrived, near, place_in};
use super::{LAPTOP, PHONE, START};

const OTHERS: &str = "&ball=7,5,1&ball=9,4.4,3.4&called=1";

/// The other balls in the address, name and place.
fn others(address: &str) -> Vec<String> {
    let pairs = address.trim_start_matches('?').split('&');
    pairs
        .filter_map(|p| p.strip_prefix("ball="))
        .map(str::to_owned)
        .collect()
}

/// A place of another ball in the address, diamonds.
fn other_at(address: &str, name: &str) -> (f64, f64) {
    let rows = others(address);
    let row = rows
        .iter()
        .find_map(|r| r.strip_prefix(&format!("{name},")));
    let (x, y) = row.unwrap().split_once(',').unwrap();
    (x.parse().unwrap(), y.parse().unwrap())
}

/// A pocket as people say it.
fn spoken(pocket: &str) -> String {
    match pocket.split_once('-').unwrap() {
        ("side", side) => format!("{side} side pocket"),
        (end, side) => format!("{side} {end} corner"),
    }
}

async fn count(page: &Browser, css: &str) -> u64 {
    let script = format!("return document.querySelectorAll('{css}').length;");
    page.run(&script).await.as_u64().unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_ball_is_added_moved_every_way_and_removed() {
    let page = Browser::open(LAPTOP, START, false).await;
    let free = page.settled().await;
    // Added by a button, it stands in the way once dragged there.
    page.click("add-ball").await;
    page.settled().await;
    let put = others(&page.address().await);
    assert_eq!(put.len(), 1);
    assert!(
        put[0].starts_with("2,"),
        "the object ball is the 1: {put:?}"
    );
    let place = other_at(&page.address().await, "2");
    page.drag(place, (4.5, 2.45)).await;
    let blocked = page.settled().await;
    assert!(near(other_at(&page.address().await, "2"), (4.5, 2.45)));
    assert_eq!(blocked.0, "Blocked");
    assert_eq!(
        blocked.1,
        "the 2 closes the path of the cue ball to the object ball"
    );
    assert_eq!(count(&page, ".handle.blocking").await, 1);
    assert_eq!(
        page.text("was").await.replace('\u{a0}', " "),
        format!("was {}", free.0)
    );
    // A tap moves the chosen ball, keys move it, so do its fields.
    page.tap((2.0, 0.5)).await;
    assert_eq!(page.settled().await, free);
    assert!(near(other_at(&page.address().await, "2"), (2.0, 0.5)));
    page.run("document.querySelector('[data-ball=\"other:2\"]').focus();")
        .await;
    let before = other_at(&page.address().await, "2");
    page.keys("[data-ball='other:2']", "\u{e008}\u{e014}").await;
    page.settled().await;
    let after = other_at(&page.address().await, "2");
    assert!(
        (after.0 - before.0 - 0.01).abs() < 1e-9,
        "{before:?} {after:?}"
    );
    page.click("open-drawer").await;
    page.run("const f = document.getElementById('ball-2-1'); f.focus(); f.value = '1.5'; f.dispatchEvent(new Event('change'));").await;
    page.settled().await;
    assert!((other_at(&page.address().await, "2").1 - 1.5).abs() < 1e-9);
    page.click("close-drawer").await;
    // Taken away by a key, brought back by undo, taken away by the button.
    page.keys("[data-ball='other:2']", "\u{e017}").await;
    page.settled().await;
    assert!(others(&page.address().await).is_empty());
    page.click("undo").await;
    page.seen("[data-ball='other:2']").await;
    page.settled().await;
    assert_eq!(others(&page.address().await).len(), 1);
    page.run("document.querySelector('[data-ball=\"other:2\"]').focus();")
        .await;
    page.click("remove-ball").await;
    page.settled().await;
    assert!(others(&page.address().await).is_empty());
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn playing_another_ball_keeps_all_where_they_are() {
    let page = Browser::open(LAPTOP, &format!("{START}{OTHERS}"), false).await;
    page.run("document.querySelector('input[name=moves][value=\"other:7\"]').click();")
        .await;
    page.click("play-ball").await;
    page.settled().await;
    let address = page.address().await;
    assert_eq!(place_in(&address, "object"), (5.0, 1.0));
    assert!(address.contains("called=7"));
    let mut left = others(&address);
    left.sort();
    assert_eq!(left, ["1,6,2.6", "9,4.4,3.4"]);
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_cue_balls_way_is_drawn_and_a_scratch_is_said() {
    // Straight in, hit with follow: the cue ball goes after it.
    let page = Browser::open(
        LAPTOP,
        "?cue=6,2&object=7,3&pocket=foot-left&hit=follow",
        false,
    )
    .await;
    let answer = page.answer().await;
    assert_eq!(answer["cue"]["end"], "scratch");
    assert_eq!(count(&page, "#table .cue-way.cross").await, 1);
    assert_eq!(answer["cue"]["at"], "foot-left");
    assert!(
        page.text("around")
            .await
            .contains("scratches in the left foot corner")
    );
    page.go(START).await;
    assert_eq!(page.answer().await["cue"]["end"], "rest");
    assert_eq!(count(&page, "#table .cue-way.cross").await, 0);
    let drawn = page
        .run("return document.querySelector('#table .cue-way').points.numberOfItems;")
        .await;
    let wanted = page.answer().await["cue"]["path"].as_array().unwrap().len();
    assert_eq!(drawn, json!(wanted));
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn ranked_shots_are_put_on_with_the_same_chance() {
    let page = Browser::open(LAPTOP, &format!("{START}{OTHERS}&view=shots"), false).await;
    let wait = page.client.wait().at_most(super::browser::PATIENCE);
    wait.for_element(Locator::Css(".ranked button.shot-title"))
        .await
        .unwrap();
    page.idle().await;
    let title =
        "const b = document.querySelector('.ranked button.shot-title:not([aria-current=true])');";
    let said = page.run(&format!("{title} return [b.textContent, b.closest('li').querySelector('.shot-chance').textContent, b.closest('li').querySelector('.shot-range').textContent];")).await;
    page.run(&format!("{title} b.click();")).await;
    let shown = page.settled().await;
    assert_eq!(json!(shown.0), said[1], "{said}");
    // Its range follows once the hand is still.
    let range = said[2].as_str().unwrap();
    assert!(range.contains(" to "), "{range}");
    let line = "return document.querySelector('#lines li').textContent";
    page.until(&format!("{line}.includes({});", json!(range)), json!(true))
        .await;
    let address = page.address().await;
    let ball = address
        .split("called=")
        .nth(1)
        .unwrap()
        .split('&')
        .next()
        .unwrap()
        .to_owned();
    let pocket = address
        .split("pocket=")
        .nth(1)
        .unwrap()
        .split('&')
        .next()
        .unwrap()
        .to_owned();
    // The stroke stands behind it.
    let title = said[0].as_str().unwrap();
    assert!(
        title.starts_with(&format!("Play the {ball} into the {}", spoken(&pocket))),
        "{title}"
    );
    assert_eq!(others(&address).len(), 2);
    page.close().await;
}

/// A ball that stands alone has no number; a marked card is put on wherever it is touched.
#[tokio::test(flavor = "multi_thread")]
async fn a_lone_ball_is_the_ball_and_its_cards_are_put_on() {
    let page = Browser::open(LAPTOP, &format!("{START}&view=shots"), false).await;
    page.seen(".ranked .puts-on").await;
    let cards = page.text("view").await;
    assert!(cards.contains("the ball into the"), "{cards}");
    assert!(!cards.contains("the 1 "), "{cards}");
    let marked = page
        .run("return [...document.querySelectorAll('.ranked li')].every((l) => Boolean(l.querySelector('button')) === Boolean(l.querySelector('.put-on')));")
        .await;
    assert_eq!(marked, json!(true));
    // Nothing is asked for that cannot be done.
    let tells = || async { page.text("shots-headline").await.contains("Tap a marked") };
    let others = || async { count(&page, ".ranked .puts-on:not(.chosen-shot)").await };
    assert_eq!(tells().await, others().await > 0);
    page.go("?cue=1,2&object=6,2&pocket=foot-left&level=expert&view=shots")
        .await;
    page.seen(".ranked .puts-on:not(.chosen-shot)").await;
    assert!(tells().await);
    let before = page.address().await;
    page.press(".ranked .puts-on:not(.chosen-shot) .put-on")
        .await;
    page.settled().await;
    assert_ne!(page.address().await, before);
    page.close().await;
}

/// On the wrong side of the ball it is said that it cannot be hit: reach is the arm's.
#[tokio::test(flavor = "multi_thread")]
async fn from_the_wrong_side_it_cannot_be_hit() {
    for size in [LAPTOP, PHONE] {
        let page = Browser::open(size, "?cue=7,3.4&object=6,2.6&pocket=foot-left", false).await;
        let shown = page.settled().await;
        assert_eq!(shown.0, "Cannot be hit from here");
        let all = page
            .run("return document.querySelector('main').textContent;")
            .await;
        assert!(!all.as_str().unwrap().contains("Out of reach"), "{all}");
        page.fits("from the wrong side").await;
        page.close().await;
    }
}

/// Lying or standing, every rail has its name, upright or turned, on the wood.
#[tokio::test(flavor = "multi_thread")]
async fn the_rails_have_names() {
    for (size, first) in [(LAPTOP, "head foot"), (PHONE, "left right")] {
        let page = Browser::open(size, START, false).await;
        let names = page
            .run(
                "const r = [...document.querySelectorAll('#table .rail-name')].map((t) => [t.textContent, t.getBoundingClientRect()]);
                 const b = document.querySelector('#table .board').getBoundingClientRect();
                 const inside = r.every(([, q]) => q.left >= b.left && q.right <= b.right && q.top >= b.top && q.bottom <= b.bottom && q.height >= 9);
                 const across = [...r].sort((p, q) => p[1].left - q[1].left).map(([n]) => n);
                 return [inside, `${across[0]} ${across.at(-1)}`];",
            )
            .await;
        assert_eq!(names, json!([true, first]), "{size:?}");
        page.close().await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_layout_is_saved_loaded_and_shared() {
    let page = Browser::open(LAPTOP, &format!("{START}{OTHERS}"), false).await;
    let folder = tempfile::tempdir().unwrap();
    let allow = json!({"behavior": "allow", "downloadPath": folder.path()});
    page.chrome("Browser.setDownloadBehavior", &allow).await;
    page.run("document.getElementById('save-layout').click(); return 0;")
        .await;
    let saved = String::from_utf8(arrived(&folder.path().join("layout.csv")).await).unwrap();
    assert_eq!(saved, "ball,x,y\ncue,3,2.3\n1,6,2.6\n7,5,1\n9,4.4,3.4\n");
    // The command reads the same file.
    let done = std::process::Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(["choose", "check"])
        .arg(folder.path().join("layout.csv"))
        .output()
        .unwrap();
    assert!(done.status.success());
    let file = std::fs::canonicalize("tests/data/layouts/five-left.csv").unwrap();
    page.click("open-drawer").await;
    page.run("document.querySelectorAll('#drawer details').forEach((d) => { d.open = true; });")
        .await;
    page.keys("#load-layout", file.to_str().unwrap()).await;
    let wait = page.client.wait().at_most(super::browser::PATIENCE);
    wait.for_element(Locator::Css("[data-ball='other:8']"))
        .await
        .unwrap();
    let shown = page.settled().await;
    let link = page.address().await;
    assert_eq!(place_in(&link, "cue"), (3.2, 1.4));
    assert!(
        link.contains("called=2") && others(&link).contains(&"8,6,2".to_owned()),
        "{link}"
    );
    page.go(&link).await;
    assert_eq!(page.settled().await, shown);
    assert_eq!(page.address().await, link);
    page.back().await;
    // A faulty file is refused with its lines, and the table stays.
    let bad = folder.path().join("bad.csv");
    std::fs::write(&bad, "ball,x,y\ncue,2,1\n3,9,2\n").unwrap();
    page.go(&link).await;
    page.click("open-drawer").await;
    page.run("document.querySelectorAll('#drawer details').forEach((d) => { d.open = true; });")
        .await;
    page.keys("#load-layout", bad.to_str().unwrap()).await;
    let told = "return document.getElementById('kept').textContent.includes('line 3');";
    let started = std::time::Instant::now();
    while page.run(told).await != Value::Bool(true) {
        assert!(
            started.elapsed() < super::browser::PATIENCE,
            "{}",
            page.text("kept").await
        );
        tokio::time::sleep(std::time::Duration::from_millis(30)).await;
    }
    assert_eq!(page.address().await, link);
    let log = page
        .driver_post("se/log", &json!({"type": "browser"}))
        .await;
    assert!(
        log.to_string().contains("422"),
        "the refusal is the only thing logged: {log}"
    );
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn hand_reach_and_snapping_count() {
    let page = Browser::open(
        LAPTOP,
        "?cue=4,2&object=6,2.6&pocket=foot-left&level=club&reach=2m",
        false,
    )
    .await;
    let easy = page.answer().await["shot"]["chance"].as_f64().unwrap();
    page.click("open-drawer").await;
    page.run("const f = document.getElementById('field-reach'); f.focus(); f.value = '300mm'; f.dispatchEvent(new Event('change'));").await;
    page.settled().await;
    assert!(page.address().await.contains("reach=300mm"));
    let far = page.answer().await["shot"]["chance"].as_f64().unwrap();
    assert!(far < easy, "{far} {easy}");
    assert!(page.text("around").await.contains("Needs the rest"));
    page.run("document.querySelector('[aria-label=\"Reset Reach\"]').click();")
        .await;
    page.run("const s = document.getElementById('hand'); s.value = 'left'; s.dispatchEvent(new Event('change'));").await;
    page.settled().await;
    assert!(!page.address().await.contains("reach=") && page.address().await.contains("hand=left"));
    page.run("document.getElementById('snap').click();").await;
    page.click("close-drawer").await;
    page.drag((4.0, 2.0), (3.1, 1.6)).await;
    page.settled().await;
    assert_eq!(place_in(&page.address().await, "cue"), (3.0, 1.5));
    page.close().await;
}

/// Every control of the drawer: its field, its unit or choices, its way back.
#[tokio::test(flavor = "multi_thread")]
async fn every_control_has_its_unit_and_its_way_back() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.click("open-drawer").await;
    page.run("document.querySelectorAll('#drawer details').forEach((d) => { d.open = true; });")
        .await;
    for (field, value, key) in [
        ("pace-exact", "2m/s", "pace"),
        ("field-roll", "0.5", "roll"),
        ("field-side", "0.2", "side"),
        ("field-bridge", "8in", "bridge"),
        ("field-arm", "0.3deg", "arm"),
        ("field-picture", "3mm", "picture"),
        ("field-reach", "900mm", "reach"),
        (
            "gear-pocket-corner-mouth",
            "4.5in",
            "set=pocket.corner.mouth",
        ),
        ("gear-pocket-side-mouth", "5in", "set=pocket.side.mouth"),
        (
            "gear-ball-contact-friction-scale",
            "2",
            "set=ball.contact.friction_scale",
        ),
        (
            "gear-cloth-rolling-friction",
            "0.012",
            "set=cloth.rolling_friction",
        ),
        ("gear-cushion-restitution", "0.8", "set=cushion.restitution"),
    ] {
        let hint = page
            .run(&format!(
                "return document.getElementById('{field}-hint').textContent;"
            ))
            .await;
        assert!(
            hint.as_str().is_some_and(|h| h.len() > 5),
            "{field}: {hint}"
        );
        page.run(&format!("const f = document.getElementById('{field}'); f.focus(); f.value = '{value}'; f.dispatchEvent(new Event('change'));")).await;
        let started = std::time::Instant::now();
        let wanted = if key.starts_with("set=") {
            format!("{key}%3D")
        } else {
            format!("{key}=")
        };
        while !page.address().await.contains(&wanted) {
            assert!(
                started.elapsed() < super::browser::PATIENCE,
                "{field} {}",
                page.address().await
            );
            tokio::time::sleep(std::time::Duration::from_millis(30)).await;
        }
        page.run(&format!(
            "document.getElementById('{field}').parentNode.querySelector('button').click();"
        ))
        .await;
        while page.address().await.contains(&wanted) {
            assert!(
                started.elapsed() < super::browser::PATIENCE,
                "{field} {}",
                page.address().await
            );
            tokio::time::sleep(std::time::Duration::from_millis(30)).await;
        }
    }
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_full_table_fits_a_phone() {
    let search = "?cue=3,2.3&object=6,2.6&pocket=foot-left&level=club&called=1&ball=2,1,1&ball=3,2,3&ball=4,5,1&ball=5,5.5,3&ball=6,7,1&ball=7,7.2,2&ball=8,6,2&view=shots";
    let page = Browser::open(PHONE, search, false).await;
    let wait = page.client.wait().at_most(super::browser::PATIENCE);
    wait.for_element(Locator::Css(".ranked li")).await.unwrap();
    let wide = page
        .run("return document.documentElement.scrollWidth;")
        .await;
    assert_eq!(wide, 360);
    assert_eq!(count(&page, "#table .handle").await, 9);
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn nothing_moves_by_itself_where_that_is_not_wanted() {
    let page = Browser::open(LAPTOP, START, false).await;
    let reduce = json!({"features": [{"name": "prefers-reduced-motion", "value": "reduce"}]});
    page.chrome("Emulation.setEmulatedMedia", &reduce).await;
    page.go(START).await;
    page.click("open-drawer").await;
    page.click("map").await;
    page.idle().await;
    let moving = page
        .run(
            "const still = (v) => v.split(',').every((d) => parseFloat(d) === 0);
             return [document.getAnimations().length,
               [...document.querySelectorAll('*')].filter((e) => {
                 const s = getComputedStyle(e);
                 return !still(s.transitionDuration) || !still(s.animationDuration) || s.scrollBehavior !== 'auto';
               }).map((e) => e.id || e.tagName)];",
        )
        .await;
    assert_eq!(moving, json!([0, []]));
    page.close().await;
}
