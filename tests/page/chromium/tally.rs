//! The tally on a phone: taps are rows in the log, over reloads and over a program that was away.

use serde_json::json;
use thincut::log::{Filter, Log, Sheet, SheetKind, ShotEntered, Student};
use thincut::page::Options;
use thincut::request::{PlacesRequest, ShotRequest};

use super::PHONE;
use super::browser::{Browser, PATIENCE};
use crate::explorer::{PHONES, Server, TOKEN, log_with, post, with_log};

/// Students A and B, and a ladder of two rungs.
pub(crate) fn evening(log: &mut Log) -> String {
    let day = "2025-11-25".parse().unwrap();
    for label in ["A", "B"] {
        log.set_student(&Student::named(label), &day).unwrap();
    }
    let shot = |cue: &str| ShotEntered {
        request: ShotRequest {
            places: PlacesRequest {
                cue: Some(cue.to_owned()),
                object: Some("6,2.6".to_owned()),
                pocket: Some("foot-left".to_owned()),
                ..PlacesRequest::default()
            },
            ..ShotRequest::default()
        },
        gear: "pool-9ft".to_owned(),
        set: Vec::new(),
    };
    let shots = vec![(None, shot("3,2.3")), (None, shot("2,2"))];
    let sheet = Sheet::of_shots(SheetKind::Ladder, "Tuesday".to_owned(), shots).unwrap();
    log.save_sheet(&sheet).unwrap()
}

/// Taps carry the browser's own time, and the page counts what was tapped today.
pub(crate) fn today(path: &std::path::Path) -> Options {
    Options {
        clock: || {
            jiff::Zoned::now()
                .strftime("%Y-%m-%dT%H:%M:%S%:z")
                .to_string()
                .parse()
        },
        ..with_log(path)
    }
}

pub(crate) fn press(student: &str, outcome: &str) -> String {
    format!("[data-student='{student}'] [data-outcome='{outcome}']")
}

/// Student, rung, made, full, thin, unseen of each row.
pub(crate) type Told = (String, Option<u32>, u32, [u32; 3]);

fn rows(path: &std::path::Path) -> Vec<Told> {
    let log = Log::open_existing(path).unwrap();
    let all = log.attempts(&Filter::default()).unwrap();
    let told = all.into_iter().map(|a| {
        let m = a.misses.unwrap_or_default();
        assert_eq!(a.tries, 1);
        (a.student, a.rung, a.made, [m.full, m.thin, m.not_seen])
    });
    told.collect()
}

/// Waits until the log holds these rows.
pub(crate) async fn logged(path: &std::path::Path, wanted: &[Told]) {
    let started = std::time::Instant::now();
    loop {
        let now = rows(path);
        if now == wanted {
            return;
        }
        assert!(started.elapsed() < PATIENCE, "{now:?}, not {wanted:?}");
        tokio::time::sleep(std::time::Duration::from_millis(30)).await;
    }
}

pub(crate) fn row(student: &str, rung: u32, made: u32, misses: [u32; 3]) -> Told {
    (student.to_owned(), Some(rung), made, misses)
}

#[tokio::test(flavor = "multi_thread")]
async fn makes_and_misses_are_in_the_log() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = evening(log));
    let page = Browser::bare(PHONE, false, today(&path)).await;
    page.visit(&format!("tally?code={}", code.to_lowercase()))
        .await;
    for (student, outcome) in [("A", "made"), ("A", "full"), ("B", "thin"), ("B", "unseen")] {
        page.press(&press(student, outcome)).await;
    }
    page.click("harder").await;
    page.press(&press("A", "made")).await;
    let count = |student: &str| {
        format!("return document.querySelector(\"[data-student='{student}'] .count\").textContent;")
    };
    page.until(&count("A"), json!("1 of 1")).await;
    page.until(
        "return document.getElementById('said').textContent;",
        json!("A, rung 2: made."),
    )
    .await;
    let all = [
        row("A", 1, 1, [0, 0, 0]),
        row("A", 1, 0, [1, 0, 0]),
        row("B", 1, 0, [0, 1, 0]),
        row("B", 1, 0, [0, 0, 1]),
        row("A", 2, 1, [0, 0, 0]),
    ];
    logged(&path, &all).await;
    // By the keys of every program too.
    page.keys("#undo", "\u{e009}z").await;
    page.until(&count("A"), json!("no try yet")).await;
    page.click("redo").await;
    page.until(&count("A"), json!("1 of 1")).await;
    logged(&path, &all).await;
    // A reload keeps rung and counts, and what was tapped can still be taken back.
    page.visit(&format!("tally?code={code}")).await;
    assert_eq!(page.text("title").await, "Rung 2 of 2");
    assert_eq!(page.run(&count("A")).await, "1 of 1");
    page.click("undo").await;
    page.until(&count("A"), json!("no try yet")).await;
    logged(&path, &all[..4]).await;
    page.click("undo").await;
    page.until(
        "return document.getElementById('said').textContent;",
        json!("B, rung 1: missed too thin."),
    )
    .await;
    logged(&path, &all[..3]).await;
    page.fits("tally").await;
    page.accessible("tally").await;
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn tries_wait_while_the_program_is_away_and_a_student_joins() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = evening(log));
    let page = Browser::bare(PHONE, true, today(&path)).await;
    page.visit(&format!("tally?code={code}")).await;
    // As if the program were gone: every request fails on the way.
    let away = |off| json!({"offline": off, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1});
    page.chrome("Network.enable", &json!({})).await;
    page.chrome("Network.emulateNetworkConditions", &away(true))
        .await;
    page.press(&press("A", "made")).await;
    page.press(&press("B", "full")).await;
    page.press(&press("B", "thin")).await;
    let waiting =
        "return document.getElementById('said').textContent.startsWith('3 not in the log yet');";
    page.until(waiting, json!(true)).await;
    assert_eq!(rows(&path), []);
    page.click("undo").await;
    page.until(
        "return document.getElementById('said').textContent.startsWith('2 not');",
        json!(true),
    )
    .await;
    page.chrome("Network.emulateNetworkConditions", &away(false))
        .await;
    page.until("return localStorage.getItem('tally-waiting');", json!("[]"))
        .await;
    let mut all = vec![row("A", 1, 1, [0, 0, 0]), row("B", 1, 0, [1, 0, 0])];
    logged(&path, &all).await;
    // Somebody new comes to the table.
    page.run("document.getElementById('label').value = 'C'; document.querySelector('#add-form button').click();").await;
    page.seen("[data-student='C']").await;
    page.press(&press("C", "made")).await;
    page.until(
        "return document.querySelector(\"[data-student='C'] .count\").textContent;",
        json!("1 of 1"),
    )
    .await;
    page.until("return localStorage.getItem('tally-waiting');", json!("[]"))
        .await;
    all.push(row("C", 1, 1, [0, 0, 0]));
    logged(&path, &all).await;
    // Only the failures on the way were logged.
    let log = page
        .driver_post("se/log", &json!({"type": "browser"}))
        .await;
    for entry in log.as_array().unwrap() {
        assert!(
            entry.to_string().contains("INTERNET_DISCONNECTED"),
            "{entry}"
        );
    }
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_sheet_is_chosen_and_a_shot_of_ones_own_is_counted() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = evening(log));
    let page = Browser::bare(PHONE, true, today(&path)).await;
    page.go("?cue=2,1&object=5,2&pocket=foot-left&level=club")
        .await;
    page.press("#tally-link").await;
    page.seen("html[data-ready] .kept-sheets a").await;
    page.fits("choosing").await;
    page.accessible("choosing a sheet").await;
    let link = page
        .run("return document.querySelector('.kept-sheets a').getAttribute('href');")
        .await;
    assert_eq!(link, format!("/tally?code={code}"));
    page.press("#free").await;
    page.seen("html[data-ready] .player").await;
    page.press(&press("B", "made")).await;
    page.until("return localStorage.getItem('tally-waiting');", json!("[]"))
        .await;
    let log = Log::open_existing(&path).unwrap();
    let all = log.attempts(&Filter::default()).unwrap();
    assert_eq!(all[0].shot.request.places.cue.as_deref(), Some("2,1"));
    assert_eq!((all[0].made, all[0].sheet.as_ref()), (1, None));
    page.accessible("own shot").await;
    page.close().await;
}

/// A rung is shown as well as said.
#[tokio::test(flavor = "multi_thread")]
async fn a_rung_is_a_picture_beside_its_words() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = evening(log));
    let page = Browser::bare(PHONE, false, today(&path)).await;
    page.visit(&format!("tally?code={code}")).await;
    // The middle of each ball, in diamonds.
    let balls = "return ['cue', 'object'].map((k) => document.querySelector(`.thumb .${k}`)).map((c) => c && ['cx', 'cy'].map((a) => Math.round(c.getAttribute(a) / 3.175) / 100));";
    page.until(balls, json!([[3, 2.3], [6, 2.6]])).await;
    page.click("harder").await;
    page.until(balls, json!([[2, 2], [6, 2.6]])).await;
    page.fits("the picture of a rung").await;
    page.accessible("the picture of a rung").await;
    page.close().await;
}

/// A wrong code stays to be mended, and what is wrong stands beside it.
#[tokio::test(flavor = "multi_thread")]
async fn a_wrong_code_stays_in_its_field() {
    let (_folder, path) = log_with(|log| {
        evening(log);
    });
    let page = Browser::bare(PHONE, false, today(&path)).await;
    page.visit("tally?code=wr0ng").await;
    assert_eq!(
        page.run("return document.getElementById('code').value;")
            .await,
        "WR0NG"
    );
    assert!(page.text("fault").await.contains("WR0NG"));
    let beside = "const f = document.getElementById('fault');
         return [f.previousElementSibling.id, f.hidden, document.querySelectorAll('.kept-sheets a').length];";
    assert_eq!(page.run(beside).await, json!(["code-form", false, 1]));
    let log = page
        .driver_post("se/log", &json!({"type": "browser"}))
        .await;
    assert_eq!(log.as_array().unwrap().len(), 1, "only the refusal: {log}");
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn the_grid_has_every_rung_and_who_tried() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = evening(log));
    let page = Browser::bare(PHONE, false, today(&path)).await;
    page.visit(&format!("tally?code={code}")).await;
    assert!(page.text("grid").await.contains("Nobody has tried"));
    page.press(&press("B", "made")).await;
    // Between the try's way into the log and the counts from there the grid may be without it.
    page.until(
        "const g = document.getElementById('grid');
         return [[...g.querySelectorAll('thead th')].map((t) => t.textContent),
           [...g.querySelectorAll('tbody tr')].map((r) => [...r.children].map((c) => c.textContent)),
           g.scrollWidth - g.clientWidth];",
        json!([["Rung", "B"], [["1", "1/1"], ["2", "·"]], 0]),
    )
    .await;
    // No word of a button touches its border.
    let near = page
        .run(
            "return [...document.querySelectorAll('.tap')].map((b) => {
               const r = document.createRange(); r.selectNodeContents(b);
               return b.getBoundingClientRect().right - r.getBoundingClientRect().right; }).filter((d) => d < 4);",
        )
        .await;
    assert_eq!(near, json!([]));
    page.until("return localStorage.getItem('tally-waiting');", json!("[]"))
        .await;
    page.close().await;
}

/// A phone with the phones' link: counts follow the network with nothing touched, what was taken back
/// is put back, and what cannot be kept or is refused is said.
#[tokio::test(flavor = "multi_thread")]
async fn nothing_is_dropped_in_silence() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = evening(log));
    let shared = Options {
        token: Some(TOKEN.to_owned()),
        phones: Some(PHONES.to_owned()),
        ..today(&path)
    };
    let page = Browser::bare(PHONE, false, shared).await;
    page.visit(&format!("tally?code={code}#token={PHONES}"))
        .await;
    let hidden = |id: &str| format!("return document.getElementById('{id}').hidden;");
    assert_eq!(page.run(&hidden("add-form")).await, json!(true));
    let count = |student: &str| {
        format!("return document.querySelector(\"[data-student='{student}'] .count\").textContent;")
    };
    let away = |off| json!({"offline": off, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1});
    let network = async |off| {
        page.chrome("Network.emulateNetworkConditions", &away(off))
            .await;
    };
    page.chrome("Network.enable", &json!({})).await;
    network(true).await;
    page.press(&press("A", "made")).await;
    page.press(&press("B", "full")).await;
    page.until(&count("A"), json!("1 of 1")).await;
    // Meanwhile the coach counts one.
    let now = jiff::Zoned::now().strftime("%Y-%m-%dT%H:%M:%S%.3f%:z");
    let try_of_a = json!({"code": code, "rung": 1, "student": "A", "outcome": "made", "when": now.to_string()});
    let counted = page.server.post_as(TOKEN, "/api/v1/tap", &try_of_a);
    assert_eq!(counted.status, 200, "{}", counted.text());
    network(false).await;
    page.until(&count("A"), json!("2 of 2")).await;
    page.until(&count("B"), json!("0 of 1")).await;
    // Taken back and put back.
    assert_eq!(page.run(&hidden("redo")).await, json!(true));
    page.click("undo").await;
    page.until(&count("B"), json!("no try yet")).await;
    page.until(&hidden("redo"), json!(false)).await;
    page.fits("a try taken back").await;
    page.click("redo").await;
    page.until(&count("B"), json!("0 of 1")).await;
    page.until("return localStorage.getItem('tally-waiting');", json!("[]"))
        .await;
    assert_eq!(rows(&path).len(), 3);
    // As many as a phone can keep: the next is not counted, and that is said.
    network(true).await;
    page.run(&format!(
        "localStorage.setItem('tally-waiting', JSON.stringify(Array.from({{length: 500}}, (_, k) => (
           {{tap: {{code: '{code}', rung: 1, student: 'B', outcome: 'made', when: `2020-01-01T00:00:00.${{100 + k}}Z`}}}}))));"
    ))
    .await;
    page.press(&press("A", "made")).await;
    page.until(
        "return document.getElementById('fault').textContent.startsWith('A’s try is not counted: 500 tries wait');",
        json!(true),
    )
    .await;
    let waiting = "return JSON.parse(localStorage.getItem('tally-waiting')).length;";
    assert_eq!(page.run(waiting).await, 500);
    // What the program refuses stays to be seen, over a reload too.
    page.run("localStorage.setItem('tally-waiting', JSON.stringify(JSON.parse(localStorage.getItem('tally-waiting')).slice(0, 1)));")
        .await;
    network(false).await;
    page.until(&hidden("refused"), json!(false)).await;
    page.visit(&format!("tally?code={code}")).await;
    let told = page.text("refused-tries").await;
    assert!(
        told.contains("B, made, 2020-01-01 00:00: not in the log. when: 2020-01-01T00:00:00.100Z is not of today"),
        "{told}"
    );
    page.fits("a refused try").await;
    page.accessible("a refused try").await;
    page.click("seen").await;
    page.until(&hidden("refused"), json!(true)).await;
    assert_eq!(rows(&path).len(), 3);
    // The table opens too, without what is the coach's.
    page.visit("?cue=3,2.3&object=6,2.6&pocket=foot-left&level=club")
        .await;
    let views =
        "return [...document.querySelectorAll('#views-bar button')].map((b) => b.dataset.view);";
    page.until(views, json!(["shots", "shelf", "charts", "aims", "budget"]))
        .await;
    // Only the failures on the way and the refusal were logged.
    let log = page
        .driver_post("se/log", &json!({"type": "browser"}))
        .await;
    for entry in log.as_array().unwrap() {
        let told = entry.to_string();
        assert!(
            told.contains("INTERNET_DISCONNECTED") || told.contains("status of 422"),
            "{entry}"
        );
    }
    page.close().await;
}

/// What another phone counts, and what a command changes, is on every screen without a touch.
#[tokio::test(flavor = "multi_thread")]
async fn screens_stay_in_step() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| code = evening(log));
    let mut page = Browser::bare(PHONE, false, today(&path)).await;
    page.visit(&format!("tally?code={code}")).await;
    let count = "return document.querySelector(\"[data-student='B'] .count\").textContent;";
    assert_eq!(page.run(count).await, "no try yet");
    let tap = || {
        let when = jiff::Zoned::now().strftime("%Y-%m-%dT%H:%M:%S%.3f%:z");
        json!({
            "code": code, "rung": 1, "student": "B", "outcome": "made", "when": when.to_string(),
            "phone": "0123456789abcdef0123456789abcdef"
        })
    };
    assert_eq!(post(&page.server, "/api/v1/tap", &tap()).status, 200);
    page.until(count, json!("1 of 1")).await;
    assert_eq!(post(&page.server, "/api/v1/tap", &tap()).status, 200);
    page.until(count, json!("2 of 2")).await;
    let undone = std::process::Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(["log", "undo", "--log"])
        .arg(&path)
        .output()
        .unwrap();
    assert!(undone.status.success(), "{undone:?}");
    page.until(count, json!("1 of 1")).await;
    // After the program was away nobody knows what was missed: it is asked for.
    let port = page.server.port();
    page.server = Server::start();
    let mut log = Log::open(&path).unwrap();
    log.undo().unwrap();
    drop(log);
    page.server = Server::run(Options {
        port,
        ..today(&path)
    });
    page.until(count, json!("no try yet")).await;
    let _ = page
        .driver_post("se/log", &json!({"type": "browser"}))
        .await;
    page.close().await;
}
