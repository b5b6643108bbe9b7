//! On a snooker table the page speaks the words of snooker, all of it; back on a pool table those of pool.

use serde_json::json;
use thincut::gear::LoadedGear;
use thincut::page::Options;

use super::LAPTOP;
use super::browser::Browser;
use crate::explorer::options;
use crate::trades::{UK, US, none_of};

/// All that can be read on the page, by eyes or aloud, shown or not.
const READ: &str = "const all = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT);
  for (let node = walk.currentNode; node; node = walk.nextNode()) {
    if (node.nodeType === Node.TEXT_NODE) all.push(node.data);
    else for (const name of ['aria-label', 'title', 'placeholder']) if (node.getAttribute(name)) all.push(node.getAttribute(name));
  }
  return all.join('\\n');";

#[tokio::test(flavor = "multi_thread")]
async fn the_page_of_a_snooker_table_speaks_snooker() {
    let gear = LoadedGear::load("snooker-12ft", &[]).unwrap();
    let start = Options {
        gear,
        asked: ("snooker-12ft".to_owned(), Vec::new()),
        ..options()
    };
    let page = Browser::bare(LAPTOP, false, start).await;
    page.go("?level=club").await;
    let read = async |what: &str, foreign: &[&str]| {
        page.idle().await;
        let text = page.run(READ).await;
        let text = text.as_str().unwrap().replace('\u{a0}', " ");
        assert!(text.len() > 1000, "{what}: {text}");
        none_of(foreign, &text, what);
        text
    };
    let first = read("the page", &US).await;
    assert!(
        first.contains("baulk") && first.contains("screw"),
        "{first}"
    );
    assert!(first.contains("cm from the baulk cushion"), "{first}");
    for view in ["shots", "charts", "aims", "budget", "marks"] {
        page.press(&format!("[data-view='{view}']")).await;
        page.seen("#view").await;
        if view == "marks" {
            page.run(
                "document.getElementById('marks-students').value = 'K=starting, L=club';
                 document.getElementById('marks-draw').click();",
            )
            .await;
        }
        page.until(
            "return document.getElementById('view').getAttribute('aria-busy');",
            json!("false"),
        )
        .await;
        read(view, &US).await;
    }
    // Places are typed in centimetres.
    let along = page
        .run("return Number(document.getElementById('object-0').value);")
        .await;
    assert!(along.as_f64().unwrap() > 8.0, "{along}");
    page.go("?level=club&gear=pool-9ft").await;
    let pool = read("a pool table", &UK).await;
    assert!(
        pool.contains("foot rail") && pool.contains("draw"),
        "{pool}"
    );
    page.close().await;
}
