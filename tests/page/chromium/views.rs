//! More about this shot: every view in a browser, with students of a practice log, and its files.

use std::process::Command;

use serde_json::{Value, json};
use thincut::log::Log;

use super::browser::{Browser, arrived, place_in};
use super::{LAPTOP, PHONE, START};
use crate::explorer::{demo_log, post, with_log};

/// Numbers stay on one line with their units.
const NO_BREAK: char = '\u{a0}';

/// What each view shows once it has its answer.
const SHOWN: [(&str, &str); 7] = [
    ("charts", "#view img[src^='blob:']"),
    ("aims", "#view .way-card"),
    ("budget", "#view table tbody tr"),
    ("ladder", "#view .rungs li"),
    ("marks", "#view table tbody tr"),
    ("skill", "#view .said li"),
    ("own", "#view .own-pocket"),
];

/// Opens a view by its button and draws up what is drawn up by hand.
async fn open_view(page: &Browser, name: &str, shown: &str) {
    page.press(&format!("[data-view='{name}']")).await;
    if matches!(name, "ladder" | "marks") {
        page.run(&format!(
            "const n = document.getElementById('ladder-rungs'); if (n) n.value = 3;
             const g = document.getElementById('marks-students'); if (g) g.value = 'A=starting, B=club';
             document.getElementById('{name}-draw').click();"
        ))
        .await;
    }
    page.seen(shown).await;
    page.until(
        "return document.getElementById('view').getAttribute('aria-busy');",
        json!("false"),
    )
    .await;
    page.until(
        "return document.getElementById('view-fault').hidden;",
        json!(true),
    )
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn views_show_what_the_program_answers_and_follow_the_balls() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(LAPTOP, false, with_log(&log)).await;
    page.go(START).await;
    open_view(&page, "budget", "#view table tbody tr").await;
    let headline = || async { page.text("budget-headline").await.replace(NO_BREAK, " ") };
    let mut body =
        json!({"cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club"});
    let wanted = post(&page.server, "/api/v1/budget", &body).json()["headline"].clone();
    assert_eq!(json!(headline().await), wanted);
    // The number on top counts the aim alone, and that is said.
    let alone = page.answer().await["shot"]["chance"].as_f64().unwrap();
    let told = page.text("budget-alone").await.replace(NO_BREAK, " ");
    assert!(
        told.ends_with(&format!("it is {:.1} in 10.", 10.0 * alone)),
        "{told} {alone}"
    );
    // The balls move, the view follows; and it is in the link.
    page.run("scrollTo(0, 0);").await;
    page.drag((6.0, 2.6), (7.0, 3.0)).await;
    page.lies("object", (7.0, 3.0)).await;
    let (x, y) = place_in(&page.address().await, "object");
    body["object"] = json!(format!("{x},{y}"));
    let wanted = post(&page.server, "/api/v1/budget", &body).json()["headline"].clone();
    page.until(
        "return document.getElementById('budget-headline').textContent.replaceAll('\u{a0}', ' ');",
        wanted,
    )
    .await;
    let link = page.address().await;
    assert!(link.contains("view=budget"), "{link}");
    page.client.goto("about:blank").await.unwrap();
    page.go(&link).await;
    page.seen("#view table tbody tr").await;
    page.press("[data-view='budget']").await;
    page.until(
        "return document.getElementById('view').hidden;",
        json!(true),
    )
    .await;
    page.client.back().await.unwrap();
    page.seen("#view table tbody tr").await;
    page.close().await;
}

/// What was opened is to be seen without scrolling.
async fn in_sight(page: &Browser, name: &str) {
    let sees = "const r = document.getElementById('view').getBoundingClientRect(); return r.top >= 0 && (r.top < 0.5 * innerHeight || r.bottom <= innerHeight);";
    assert_eq!(page.run(sees).await, true, "{name}");
}

/// Nothing on the page is called as the program calls it.
async fn no_identifiers(page: &Browser, name: &str) {
    let found = page
        .run(
            r"const seen = document.body.innerText + [...document.querySelectorAll('option')].map((o) => o.textContent).join(' ');
              return seen.match(/\b(pool-\dft|(foot|head|side)-(left|right)|roll \d|\d+\.\d{3,},\d|0\.3333)\b/g) ?? [];",
        )
        .await;
    assert_eq!(found, json!([]), "{name}");
}

#[tokio::test(flavor = "multi_thread")]
async fn every_view_fits_is_accessible_and_has_no_faults() {
    let (_folder, log) = demo_log();
    for (size, dark) in [(PHONE, true), (LAPTOP, false)] {
        let page = Browser::bare(size, dark, with_log(&log)).await;
        page.go(START).await;
        for (name, shown) in SHOWN {
            open_view(&page, name, shown).await;
            page.fits(name).await;
            in_sight(&page, name).await;
            no_identifiers(&page, name).await;
            page.accessible(&format!("{name} {size:?} dark {dark}"))
                .await;
        }
        page.close().await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_student_of_the_log_is_the_player() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(LAPTOP, false, with_log(&log)).await;
    page.go(START).await;
    let club = page.settled().await;
    page.choose("player", "student:N").await;
    let shown = page.settled().await;
    assert_eq!(page.text("who").await, "Student N makes it");
    assert!(shown.1.starts_with("from "), "{shown:?}");
    assert_ne!(
        shown.0, club.0,
        "N's arm scatters more than a club player's"
    );
    assert!(page.address().await.contains("student=N"));
    // The drawer shows the arm and the picture that were fitted.
    let all = post(&page.server, "/api/v1/students", &json!({})).json();
    let n = all["students"]
        .as_array()
        .unwrap()
        .iter()
        .find(|s| s["label"] == "N")
        .unwrap()
        .clone();
    let hint = page
        .run("return document.getElementById('field-arm').placeholder;")
        .await;
    assert_eq!(hint, n["arm"]);
    page.choose("player", "club").await;
    assert_eq!(page.settled().await, club);
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_shown_is_handed_out_as_pdf_and_png() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(LAPTOP, false, with_log(&log)).await;
    let folder = tempfile::tempdir().unwrap();
    page.download_to(folder.path()).await;
    page.go(START).await;
    let at = |name: &str| folder.path().join(name);
    page.run("document.getElementById('save-pdf').click();")
        .await;
    open_pdf(&at("shot.pdf")).await;
    open_view(&page, "charts", "#view img[src^='blob:']").await;
    page.choose("chart-name", "places").await;
    page.until(
        "return document.querySelector('#view img').alt.startsWith('From where');",
        json!(true),
    )
    .await;
    page.press("#view [data-as='pdf']").await;
    open_pdf(&at("places.pdf")).await;
    page.press("#view [data-as='png']").await;
    assert!(arrived(&at("places.png")).await.starts_with(b"\x89PNG"));
    page.press("#view [data-as='svg']").await;
    assert!(arrived(&at("places.svg")).await.starts_with(b"<svg"));
    page.close().await;
}

/// A PDF that opens: one page or more, and something drawn on the first.
async fn open_pdf(path: &std::path::Path) {
    arrived(path).await;
    let picture = path.with_extension("");
    let ran = Command::new("pdftoppm")
        .args(["-png", "-singlefile", "-r", "40"])
        .args([path, &picture])
        .output()
        .expect("pdftoppm is missing: run bash tests/run.sh, which installs it");
    assert!(
        ran.status.success(),
        "{}",
        String::from_utf8_lossy(&ran.stderr)
    );
    let png = std::fs::read(picture.with_extension("png")).unwrap();
    // A blank page of this size is far smaller.
    assert!(png.len() > 3000, "{}: {} bytes", path.display(), png.len());
    std::fs::remove_file(picture.with_extension("png")).unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn a_ladder_is_drawn_up_put_on_the_table_and_kept() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(LAPTOP, false, with_log(&log)).await;
    let folder = tempfile::tempdir().unwrap();
    page.download_to(folder.path()).await;
    page.go(START).await;
    open_view(&page, "ladder", "#view .rungs li").await;
    page.seen("#view img.page").await;
    page.press("#view .rungs li:nth-child(2) button").await;
    page.settled().await;
    let address = page.address().await;
    let asked = json!({"level": "club", "rungs": "3", "from": "9", "to": "3", "practise": "mixed", "hand": "right"});
    let wanted = post(&page.server, "/api/v1/ladder", &asked).json();
    let object = wanted["rungs"][1]["object"].as_str().unwrap();
    assert!(address.contains(&format!("object={object}")), "{address}");
    page.click("keep-ladder").await;
    page.seen("#view .kept .code").await;
    let code = page
        .run("return document.querySelector('#view .kept .code').textContent;")
        .await;
    let (_, sheet) = Log::open_existing(&log)
        .unwrap()
        .find_sheet(code.as_str().unwrap())
        .unwrap();
    assert_eq!(sheet.rungs.len(), 3);
    // After a reload it is the same ladder, and known to be kept under its code.
    let shown =
        "return [...document.querySelectorAll('#view .rungs li')].map((li) => li.textContent);";
    let rungs = page.run(shown).await;
    page.reload().await;
    page.seen("#view img.page").await;
    assert_eq!(page.run(shown).await, rungs);
    assert_eq!(
        page.run("return document.querySelector('#view .kept .code').textContent;")
            .await,
        code
    );
    page.press("#view [data-plain='false']").await;
    open_pdf(&folder.path().join("ladder.pdf")).await;
    // From there to the table.
    page.press("#view .kept a").await;
    page.seen("html[data-ready] .players .player").await;
    assert_eq!(page.text("title").await, "Rung 1 of 3");
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn charts_scale_to_a_phone() {
    let page = Browser::open(PHONE, START, false).await;
    open_view(&page, "charts", "#view img[src^='blob:']").await;
    let names = page
        .run("return [...document.getElementById('chart-name').options].map((o) => o.value);")
        .await;
    for name in names.as_array().unwrap() {
        let name = name.as_str().unwrap();
        page.run("document.querySelector('#view img').alt = '';")
            .await;
        page.choose("chart-name", name).await;
        page.until(
            "const i = document.querySelector('#view img'); return i.alt !== '' && i.complete && i.naturalWidth > 0;",
            json!(true),
        )
        .await;
        // Shown as large as it was drawn, so that no letter shrinks, and whole.
        let size = page
            .run(
                "const i = document.querySelector('#view img'), b = i.parentNode;
                 return [i.naturalWidth / i.getBoundingClientRect().width, b.scrollWidth - b.clientWidth];",
            )
            .await;
        let shrunk = size[0].as_f64().unwrap();
        assert!((shrunk - 1.0).abs() < 0.05, "{name}: {shrunk}");
        assert_eq!(size[1], 0, "{name}");
        page.fits(name).await;
    }
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn numbers_of_budget_and_ways_are_saved_as_csv() {
    let page = Browser::open(LAPTOP, START, false).await;
    let folder = tempfile::tempdir().unwrap();
    page.download_to(folder.path()).await;
    let body = json!({"cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club", "hand": "right"});
    for (view, shown, file) in [
        ("budget", "#view table tbody tr", "budget.csv"),
        ("aims", "#view .way-card", "aims.csv"),
    ] {
        open_view(&page, view, shown).await;
        page.press("#view [aria-label='Save these numbers as CSV']")
            .await;
        let saved = arrived(&folder.path().join(file)).await;
        let answer = post(&page.server, &format!("/api/v1/{view}"), &body).json();
        let rows: Vec<Value> = if view == "budget" {
            answer["budget"]["inputs"].as_array().unwrap().clone()
        } else {
            let ways = answer["ways"].as_array().unwrap();
            ways.iter().map(|w| w["row"].clone()).collect()
        };
        let mut table = csv::Reader::from_reader(saved.as_slice());
        let heads = table.headers().unwrap().clone();
        let records: Vec<_> = table.records().map(Result::unwrap).collect();
        assert!(records.len() > 3 && records.len() == rows.len(), "{file}");
        for (record, row) in records.iter().zip(&rows) {
            assert_eq!(heads.len(), row.as_object().unwrap().len());
            for (head, cell) in heads.iter().zip(record) {
                let same = match &row[head] {
                    Value::Null => cell.is_empty(),
                    Value::Number(n) => cell.parse::<f64>().ok() == n.as_f64(),
                    Value::String(s) => cell == s,
                    Value::Bool(b) => cell == if *b { "true" } else { "false" },
                    other => panic!("{file} {head}: {other} is no cell"),
                };
                assert!(same, "{file} {head}: {cell} {}", row[head]);
            }
        }
    }
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_ladder_goes_past_the_other_balls_and_is_kept() {
    let (_folder, log) = demo_log();
    let page = Browser::bare(LAPTOP, false, with_log(&log)).await;
    page.go(&format!("{START}&called=1&ball=7,4,2")).await;
    page.press("[data-view='ladder']").await;
    page.until(
        "return document.getElementById('ladder-others')?.checkVisibility() ?? false;",
        json!(true),
    )
    .await;
    page.run("document.getElementById('ladder-rungs').value = 2; document.getElementById('ladder-others').click(); document.getElementById('ladder-draw').click();")
        .await;
    page.seen("#view .rungs li").await;
    page.until(
        "return document.querySelector('#view .finding').textContent.includes('Balls in the way: level with the side pockets');",
        json!(true),
    )
    .await;
    page.seen("#view img.page").await;
    page.click("keep-ladder").await;
    page.seen("#view .kept .code").await;
    page.close().await;
}

/// Types into a box of the form and goes on to the next.
async fn fill(page: &Browser, id: &str, text: &str) {
    page.run(&format!(
        "const box = document.getElementById('{id}'); box.value = '{text}'; box.dispatchEvent(new Event('change', {{ bubbles: true }}));"
    ))
    .await;
}

#[tokio::test(flavor = "multi_thread")]
async fn your_own_table_is_measured_on_the_page_and_played_on() {
    let page = Browser::open(PHONE, START, false).await;
    let folder = tempfile::tempdir().unwrap();
    page.download_to(folder.path()).await;
    open_view(&page, "own", "#view .own-pocket").await;
    let before = page.settled().await;
    // Every box has a label that names its pocket, and every sketch says what it shows.
    let bare = page
        .run(
            "return [...document.querySelectorAll('.own-form input')].filter((i) => !i.labels.length).length
               + [...document.querySelectorAll('.own-form img')].filter((i) => !i.alt).length;",
        )
        .await;
    assert_eq!(bare, 0);
    fill(&page, "own-corner-mouth-foot-left", "98").await;
    page.until(
        "return document.getElementById('own-corner-mouth-foot-left').getAttribute('aria-invalid');",
        json!("true"),
    )
    .await;
    let wrong = page.text("own-corner-mouth-foot-left-fault").await;
    assert!(wrong.contains("98\" has no unit"), "{wrong}");
    page.choose("own-unit", "mm").await;
    page.until(
        "return document.getElementById('own-use').getAttribute('aria-disabled');",
        json!("false"),
    )
    .await;
    fill(&page, "own-corner-shelf-foot-left", "60").await;
    fill(&page, "own-name", "back-room").await;
    page.until(
        "return document.querySelector('.own-status').textContent.includes('corner shelf');",
        json!(false),
    )
    .await;
    let status = page
        .run("return document.querySelector('.own-status').textContent;")
        .await;
    assert!(
        status.as_str().unwrap().contains("corner throat"),
        "{status}"
    );
    page.accessible("your own table, filled in").await;
    page.fits("own, filled in").await;
    page.click("own-save").await;
    let saved = String::from_utf8(arrived(&folder.path().join("back-room.toml")).await).unwrap();
    assert!(
        saved.contains("name = \"back-room\"") && saved.contains("98"),
        "{saved}"
    );
    // Played on at once: the number on top and the link go by it.
    page.click("own-use").await;
    page.until(
        "return document.getElementById('own-used').textContent.startsWith('The page plays on your table now');",
        json!(true),
    )
    .await;
    let link = page.address().await;
    assert!(link.contains("set=pocket.corner.mouth%3D98"), "{link}");
    let now = page.settled().await;
    assert_ne!(now.0, before.0, "so tight a corner takes less");
    // What was typed stays over a reload, and so does what it makes.
    page.reload().await;
    page.until(
        "return document.getElementById('own-corner-mouth-foot-left')?.value ?? '';",
        json!("98"),
    )
    .await;
    page.until(
        "return document.getElementById('own-used').textContent.startsWith('The page plays on your table now');",
        json!(true),
    )
    .await;
    page.click("own-back").await;
    page.until("return location.search.includes('set=');", json!(false))
        .await;
    page.close().await;
}
