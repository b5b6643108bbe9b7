//! Links and waiting tries of earlier editions (`tests/data/editions`).

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};
use tempfile::TempDir;
use thincut::log::{Filter, Log};

use super::browser::Browser;
use super::{LAPTOP, PHONE};
use crate::explorer::with_log;

/// Each edition's folder, and a copy of its log.
fn editions() -> Vec<(PathBuf, TempDir, PathBuf)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/editions");
    let folders = fs::read_dir(root).unwrap().map(|e| e.unwrap().path());
    let found: Vec<_> = folders
        .filter(|p| p.is_dir())
        .map(|edition| {
            let folder = tempfile::tempdir().unwrap();
            let log = folder.path().join("practice.sqlite");
            fs::copy(edition.join("practice.sqlite"), &log).unwrap();
            (edition, folder, log)
        })
        .collect();
    assert!(!found.is_empty());
    found
}

#[tokio::test(flavor = "multi_thread")]
async fn a_link_shows_the_shot_it_showed() {
    for (edition, _folder, log) in editions() {
        let page = Browser::bare(LAPTOP, false, with_log(&log)).await;
        let links = fs::read_to_string(edition.join("links.jsonl")).unwrap();
        for line in links.lines() {
            let then: Value = serde_json::from_str(line).unwrap();
            let link = then["link"].as_str().unwrap();
            page.visit(link).await;
            page.until(
                "return document.getElementById('number').textContent !== '…' && document.getElementById('fault').hidden;",
                json!(true),
            )
            .await;
            let asked = page.run("return window.lastShot;").await;
            for (key, value) in then["shot"].as_object().unwrap() {
                // The table went by another name then.
                let now = if key == "gear" { "table" } else { key };
                assert_eq!(&asked[now], value, "{link}: {key}");
            }
            let places =
                "return ['cue', 'object'].map((b) => new URLSearchParams(location.search).get(b));";
            let shot = &then["shot"];
            assert_eq!(page.run(places).await, json!([shot["cue"], shot["object"]]));
        }
        page.close().await;
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn tries_that_wait_in_a_phone_are_sent() {
    for (edition, _folder, log) in editions() {
        let codes = fs::read_to_string(edition.join("codes.txt")).unwrap();
        let code = codes.lines().next().unwrap();
        let waiting = fs::read_to_string(edition.join("waiting.json")).unwrap();
        let count = || {
            let log = Log::open_existing(&log).unwrap();
            log.attempts(&Filter::default()).unwrap().len()
        };
        let before = count();
        let page = Browser::bare(PHONE, false, with_log(&log)).await;
        page.visit("tally").await;
        let keep = format!("localStorage.setItem('tally-waiting', {});", json!(waiting));
        page.run(&keep).await;
        page.visit(&format!("tally?code={code}")).await;
        page.until("return localStorage.getItem('tally-waiting');", json!("[]"))
            .await;
        let all = Log::open_existing(&log).unwrap();
        let all = all.attempts(&Filter::default()).unwrap();
        assert_eq!(all.len(), before + 2);
        let mut sent: Vec<_> = all
            .iter()
            .filter(|a| a.student == "M" && a.sheet.as_deref() == Some(code))
            .map(|a| (a.rung, a.tries, a.made, a.when.as_str()))
            .collect();
        sent.sort_by_key(|s| s.3);
        assert_eq!(
            sent,
            [
                (Some(4), 1, 1, "2025-11-25T19:30:00.125+01:00"),
                (Some(4), 1, 0, "2025-11-25T19:30:09.250+01:00"),
            ]
        );
        page.close().await;
    }
}
