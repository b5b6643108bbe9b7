//! A lesson as it is played: pass marks on every screen, who is next at which table, and of which tries a
//! student is known.

use serde_json::json;
use thincut::log::{Log, PassMark};

use super::browser::Browser;
use super::tally::{evening, press, today};
use super::{LAPTOP, PHONE, START};
use crate::explorer::{PHONES, TOKEN, demo_log, log_with, shared_log};
use thincut::page::Options;

/// The evening's ladder with marks: two makes of three pass a rung.
fn marked(log: &mut Log) -> String {
    let code = evening(log);
    let (_, mut sheet) = log.find_sheet(&code).unwrap();
    for rung in &mut sheet.rungs {
        rung.pass = Some(PassMark { makes: 2, tries: 3 });
    }
    log.save_sheet(&sheet).unwrap()
}

fn mark(student: &str) -> String {
    format!(
        "return document.querySelector(\"[data-student='{student}'] .mark\")?.textContent ?? null;"
    )
}

const ROWS: &str =
    "return [...document.querySelectorAll('#order-tables li span')].map((s) => s.textContent);";

#[tokio::test(flavor = "multi_thread")]
async fn a_passed_rung_is_said_on_phone_and_coach_s_screen() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = marked(log));
    let shared = Options {
        token: Some(TOKEN.to_owned()),
        phones: Some(PHONES.to_owned()),
        ..today(&path)
    };
    let page = Browser::bare(LAPTOP, false, shared).await;
    page.visit(&format!("tally?code={code}#token={TOKEN}"))
        .await;
    page.until(&mark("A"), json!("Pass 2 of 3.")).await;
    let coach = page.client.window().await.unwrap();
    let phone = page.client.new_window(true).await.unwrap().handle;
    page.client.switch_to_window(phone.clone()).await.unwrap();
    let link = format!(
        "http://{}/tally?code={code}#token={PHONES}",
        page.server.host()
    );
    page.client.goto(&link).await.unwrap();
    page.seen("html[data-ready]").await;
    for (outcome, told) in [
        ("made", "1 of 1 so far, pass 2 of 3."),
        ("short", "1 of 2 so far, pass 2 of 3."),
        ("scratch", "1 of 3: not yet, pass 2 of 3."),
        ("made", "1 of 1 so far, pass 2 of 3."),
        ("made", "2 of 2: passed, up to rung 2. Rung 2"),
    ] {
        page.press(&press("A", outcome)).await;
        page.until(&mark("A"), json!(told)).await;
    }
    page.until(
        "return document.getElementById('said').textContent;",
        json!("A, rung 1: 2 of 2: passed, up to rung 2."),
    )
    .await;
    let sides = "return document.querySelector(\"[data-student='A'] .who\").textContent;";
    assert_eq!(page.run(sides).await, "A3 of 51 short, 1 scratch");
    page.fits("a passed rung").await;
    page.accessible("a passed rung").await;
    // The coach's screen says so without a touch, in the row, in the table, and for whoever cannot see the tick.
    page.client.switch_to_window(coach).await.unwrap();
    page.until(&mark("A"), json!("2 of 2: passed, up to rung 2. Rung 2"))
        .await;
    page.until(
        "return [...document.querySelectorAll('#grid tbody tr')].map((r) => [...r.children].map((c) => c.textContent));",
        json!([["1", "2/2 ✓passed, today 3/5"], ["2", "·"], ["Up to", "2"]]),
    )
    .await;
    page.accessible("a passed rung on the coach's screen").await;
    // Up, and the last rung.
    page.press("[data-student='A'] .up").await;
    assert_eq!(page.text("title").await, "Rung 2 of 2");
    page.press(&press("A", "made")).await;
    page.press(&press("A", "made")).await;
    page.until(&mark("A"), json!("2 of 2: passed, the whole ladder."))
        .await;
    // On paper it is a row for everybody, and nothing else of the page.
    let evening = "return [...document.querySelectorAll('#evening-table tbody tr')].map((r) => [...r.children].map((c) => c.textContent));";
    let row = [
        "A",
        "5 of 7",
        "rung 1: 3 of 5 ✓, rung 2: 2 of 2 ✓",
        "1 short, 1 scratched",
        "the whole sheet is passed",
    ];
    page.until(evening, json!([row])).await;
    let seen = "return ['#evening', '#evening-table td', '#players', '#grid', '#foot', '.bar'].map((css) => document.querySelector(css).checkVisibility());";
    assert_eq!(
        page.run(seen).await,
        json!([false, false, true, true, true, true])
    );
    page.chrome("Emulation.setEmulatedMedia", &json!({"media": "print"}))
        .await;
    page.until(seen, json!([true, true, false, false, false, false]))
        .await;
    page.chrome("Emulation.setEmulatedMedia", &json!({"media": ""}))
        .await;
    // For the class it is large, without what is for the hand.
    page.click("for-class").await;
    let large = "return [document.querySelector('.taps').checkVisibility(), document.getElementById('grid').checkVisibility(), parseFloat(getComputedStyle(document.querySelector('#title')).fontSize) > 24];";
    page.until(large, json!([false, true, true])).await;
    page.fits("for the class").await;
    page.accessible("for the class").await;
    page.keys("#for-class", "\u{e00c}").await;
    page.until(large, json!([true, true, false])).await;
    page.close().await;
}

/// Who is at a phone's table may be another when the phone comes back to the sheet: it then shows that one's rung.
#[tokio::test(flavor = "multi_thread")]
async fn a_phone_that_comes_back_shows_the_rung_of_who_is_at_its_table() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = marked(log));
    let shared = Options {
        token: Some(TOKEN.to_owned()),
        phones: Some(PHONES.to_owned()),
        ..today(&path)
    };
    let page = Browser::bare(PHONE, false, shared).await;
    let order = |body| {
        assert_eq!(
            page.server.post_as(TOKEN, "/api/v1/order", &body).status,
            200
        )
    };
    order(json!({"students": ["A", "B"], "tables": 1}));
    page.visit(&format!("tally?code={code}#token={PHONES}"))
        .await;
    page.choose("my-table", "1").await;
    for _ in 0..2 {
        page.press(&press("A", "made")).await;
    }
    page.until(
        &mark("A"),
        json!("2 of 2: passed, up to rung 2. Rung 2 Next: B"),
    )
    .await;
    page.press("[data-student='A'] .up").await;
    assert_eq!(page.text("title").await, "Rung 2 of 2");
    page.visit("tally").await;
    order(json!({"next": 1, "from": "A"}));
    page.visit(&format!("tally?code={code}")).await;
    page.until(&mark("B"), json!("Pass 2 of 3. Next: A")).await;
    assert_eq!(page.text("title").await, "Rung 1 of 2");
    // A reload leaves it where somebody turned it to.
    page.click("harder").await;
    page.reload().await;
    assert_eq!(page.text("title").await, "Rung 2 of 2");
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_phone_at_a_table_shows_who_plays_there_and_who_is_next() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| {
        code = marked(log);
        for label in ["C", "D"] {
            log.set_student(
                &thincut::log::Student::named(label),
                &"2025-11-25".parse().unwrap(),
            )
            .unwrap();
        }
    });
    let shared = Options {
        token: Some(TOKEN.to_owned()),
        phones: Some(PHONES.to_owned()),
        ..today(&path)
    };
    let page = Browser::bare(PHONE, false, shared).await;
    page.visit(&format!("tally?code={code}#token={TOKEN}"))
        .await;
    // The coach: A, B and D are here, C is not.
    page.press("#order-set summary").await;
    page.press("#order-students label:has(input[value='C'])")
        .await;
    page.accessible("who is here").await;
    page.fits("who is here").await;
    page.press("#order-form button").await;
    page.until(ROWS, json!(["Table 1: A, rung 1", "Table 2: B, rung 1"]))
        .await;
    assert_eq!(page.text("order-waiting").await, "Then D.");
    page.until(
        "return document.getElementById('order-set').open;",
        json!(false),
    )
    .await;
    let coach = page.client.window().await.unwrap();
    let phone = page.client.new_window(true).await.unwrap().handle;
    page.client.switch_to_window(phone.clone()).await.unwrap();
    let link = format!(
        "http://{}/tally?code={code}#token={PHONES}",
        page.server.host()
    );
    page.client.goto(&link).await.unwrap();
    page.seen("html[data-ready] #order-tables li").await;
    assert_eq!(
        page.run("return document.getElementById('order-set').hidden;")
            .await,
        true
    );
    page.choose("my-table", "1").await;
    let players =
        "return [...document.querySelectorAll('#players .player')].map((p) => p.dataset.student);";
    page.until(players, json!(["A"])).await;
    page.press(&press("A", "made")).await;
    // Within a series nobody is called away; after it the next one is.
    page.until(&mark("A"), json!("1 of 1 so far, pass 2 of 3."))
        .await;
    page.press(&press("A", "made")).await;
    page.until(
        &mark("A"),
        json!("2 of 2: passed, up to rung 2. Rung 2 Next: D"),
    )
    .await;
    page.press("[data-student='A'] .next-up").await;
    page.until(players, json!(["D"])).await;
    page.until(&mark("D"), json!("Pass 2 of 3. Next: A")).await;
    page.fits("a phone at a table").await;
    page.accessible("a phone at a table").await;
    // On the coach's screen too, and A comes back to where A stands.
    page.client.switch_to_window(coach).await.unwrap();
    page.until(ROWS, json!(["Table 1: D, rung 1", "Table 2: B, rung 1"]))
        .await;
    page.until(
        "return document.getElementById('order-waiting').textContent;",
        json!("Then A."),
    )
    .await;
    page.press("#order-tables [data-table='1'] .next-up").await;
    page.client.switch_to_window(phone).await.unwrap();
    page.until(players, json!(["A"])).await;
    page.until(
        "return document.getElementById('title').textContent;",
        json!("Rung 2 of 2"),
    )
    .await;
    // A reload stays at the table, and all of them are back with one choice.
    page.client.refresh().await.unwrap();
    page.seen("html[data-ready] #order-tables li").await;
    page.until(players, json!(["A"])).await;
    page.choose("my-table", "0").await;
    page.until(players, json!(["A", "B", "C", "D"])).await;
    page.close().await;
}

/// All that the coach's shared page has on top fits a phone, upright and on its side, and so does the tally.
#[tokio::test(flavor = "multi_thread")]
async fn a_shared_page_fits_a_phone() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = marked(log));
    let shared = Options {
        token: Some(TOKEN.to_owned()),
        phones: Some(PHONES.to_owned()),
        ..today(&path)
    };
    let page = Browser::bare(PHONE, false, shared).await;
    for (width, height) in [(360, 740), (740, 360), (683, 384)] {
        let metrics =
            json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": false});
        page.chrome("Emulation.setDeviceMetricsOverride", &metrics)
            .await;
        page.visit(&format!("{START}#token={TOKEN}")).await;
        page.fits(&format!("the table at {width}")).await;
        let cut = "return [...document.querySelectorAll('.bar > *')].filter((e) => e.checkVisibility())
            .filter((e) => e.getBoundingClientRect().right > innerWidth + 1).map((e) => e.textContent);";
        assert_eq!(page.run(cut).await, json!([]), "{width}");
        page.visit(&format!("tally?code={code}#token={TOKEN}"))
            .await;
        page.fits(&format!("the tally at {width}")).await;
        // Whoever plays first can be counted without scrolling.
        let made = "const r = document.querySelector('.tap-made').getBoundingClientRect();
            return r.bottom <= document.getElementById('foot').getBoundingClientRect().top;";
        assert_eq!(page.run(made).await, true, "{width}");
    }
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_tries_that_count_are_chosen_for_a_student() {
    let (_folder, path) = demo_log();
    let page = Browser::bare(LAPTOP, false, shared_log(&path)).await;
    page.visit(&format!("{START}&student=K#token={TOKEN}"))
        .await;
    let said = "return document.getElementById('words').textContent;";
    page.choose("period", "all").await;
    page.idle().await;
    let all = page.run(said).await;
    assert!(!all.as_str().unwrap().contains("since"), "{all}");
    page.choose("period", "day").await;
    assert_eq!(
        page.run("return document.activeElement.id;").await,
        "period-day"
    );
    page.run("const d = document.getElementById('period-day'); d.value = '2025-10-28'; d.dispatchEvent(new Event('change'));").await;
    page.until(
        "return document.getElementById('words').textContent.includes('since 2025\u{2011}10\u{2011}28') || document.getElementById('words').textContent.includes('since 2025-10-28');",
        json!(true),
    )
    .await;
    page.accessible("a period").await;
    page.fits("a period").await;
    // The view of the student's skill is of the same tries, and can choose others.
    page.press("[data-view='skill']").await;
    page.idle().await;
    page.choose("skill-student", "K").await;
    page.idle().await;
    let chosen = "return ['skill-period', 'skill-period-day'].map((id) => document.getElementById(id).value);";
    page.until(chosen, json!(["day", "2025-10-28"])).await;
    page.choose("skill-period", "all").await;
    page.idle().await;
    page.until(said, all).await;
    assert_eq!(
        page.run("return document.getElementById('period').value;")
            .await,
        "all"
    );
    // Nobody's period where nobody plays.
    page.choose("player", "club").await;
    page.idle().await;
    assert_eq!(
        page.run("return document.getElementById('period').checkVisibility();")
            .await,
        false
    );
    page.close().await;
}
