//! The address is the whole state; pictures and numbers are saved whole.

use fantoccini::Locator;
use serde_json::json;

use super::browser::{Browser, PATIENCE, arrived};
use super::{LAPTOP, START};

#[tokio::test(flavor = "multi_thread")]
async fn map_is_drawn_and_a_link_is_the_whole_state() {
    let page = Browser::open(LAPTOP, START, false).await;
    page.click("map").await;
    let map = Locator::Css("#table image.places");
    page.client
        .wait()
        .at_most(PATIENCE)
        .for_element(map)
        .await
        .unwrap();
    page.idle().await;
    assert_eq!(page.text("legend-low").await, "0");
    assert_eq!(
        page.text("legend-high").await.replace('\u{a0}', " "),
        "10 in 10"
    );
    let hatched = "return ['over', 'rest'].map((k) => document.querySelectorAll(`#table .hatch-${k}`).length);";
    assert_eq!(page.run(hatched).await, json!([1, 1]));
    // What makes the dark strips is named.
    let words = page.text("legend-words").await;
    assert!(
        words.contains("the cue is raised over the rail") && words.contains("it takes the rest"),
        "{words}"
    );
    page.drag((3.0, 2.3), (4.0, 1.0)).await;
    let shown = page.settled().await;
    let link = page.address().await;
    assert!(link.contains("map=1"));
    page.client.goto("about:blank").await.unwrap();
    page.go(&link).await;
    assert_eq!(page.settled().await, shown);
    assert_eq!(page.address().await, link);
    page.client
        .wait()
        .at_most(PATIENCE)
        .for_element(map)
        .await
        .unwrap();
    page.close().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn picture_is_saved_whole() {
    let page = Browser::open(LAPTOP, START, false).await;
    let folder = tempfile::tempdir().unwrap();
    let allow = json!({"behavior": "allow", "downloadPath": folder.path()});
    page.chrome("Browser.setDownloadBehavior", &allow).await;
    page.run("document.getElementById('save-svg').click(); return 0;")
        .await;
    let text = arrived(&folder.path().join("shot.svg")).await;
    let text = String::from_utf8(text).unwrap();
    let document = roxmltree::Document::parse(&text).unwrap();
    let polygons = document
        .descendants()
        .filter(|n| n.has_tag_name("polygon"))
        .count();
    // Six cushions, and at least one band and one fan.
    assert!(polygons >= 8, "{polygons}");
    assert!(
        document
            .descendants()
            .all(|n| n.attribute("class").is_none() && n.attribute("style").is_none())
    );
    let title = document
        .descendants()
        .find(|n| n.has_tag_name("title"))
        .unwrap();
    assert!(title.text().unwrap().contains("in 10"));
    page.run("document.getElementById('save-csv').click(); return 0;")
        .await;
    let table = arrived(&folder.path().join("shot.csv")).await;
    let mut rows = csv::Reader::from_reader(table.as_slice());
    let column = rows
        .headers()
        .unwrap()
        .iter()
        .position(|h| h == "clean_total_deg")
        .unwrap();
    let record = rows.records().next().unwrap().unwrap();
    let wanted = page.answer().await["shot"]["clean"]["total_deg"]
        .as_f64()
        .unwrap();
    assert!((record[column].parse::<f64>().unwrap() - wanted).abs() < 1e-12);
    page.run("document.getElementById('save-png').click(); return 0;")
        .await;
    assert!(
        arrived(&folder.path().join("shot.png"))
            .await
            .starts_with(b"\x89PNG")
    );
    page.close().await;
}
