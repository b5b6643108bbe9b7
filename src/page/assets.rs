//! The page's files, embedded; nothing is read from disk. Scripts and styles of each page go out as
//! one file each, under a path that changes with them, so that a browser keeps them.

use std::fmt::Write as _;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::sync::LazyLock;

use super::bundle::{Module, bundle};

/// A file of the page.
#[derive(Debug, Clone)]
pub(super) struct Asset {
    /// Path it is served under.
    pub(super) path: String,
    /// Media type.
    pub(super) kind: &'static str,
    /// Content.
    pub(super) body: String,
    /// Whether its path changes with its content.
    pub(super) kept: bool,
}

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";

/// Stands in the sources for what changes with any of them.
const VERSION: &str = "@version@";

macro_rules! modules {
    ($($name:literal),* $(,)?) => {
        &[$(Module { name: $name, text: include_str!(concat!("assets/", $name)) }),*]
    };
}

/// All modules.
const MODULES: &[Module] = modules![
    "main.js",
    "answer.js",
    "because.js",
    "change.js",
    "picks.js",
    "period.js",
    "words.js",
    "spoken.js",
    "measure.js",
    "balls.js",
    "others.js",
    "api.js",
    "offline.js",
    "state.js",
    "svg.js",
    "rails.js",
    "table.js",
    "shot.js",
    "inset.js",
    "game.js",
    "paint.js",
    "hands.js",
    "loupe.js",
    "drawer.js",
    "places.js",
    "keep.js",
    "present.js",
    "shelf.js",
    "keeping.js",
    "join.js",
    "dom.js",
    "theme.js",
    "views/views.js",
    "views/picture.js",
    "views/charts.js",
    "views/aims.js",
    "views/budget.js",
    "views/paper.js",
    "views/ladder.js",
    "views/marks.js",
    "views/skill.js",
    "views/own.js",
    "views/shots.js",
    "views/shelf.js",
    "tally/queue.js",
    "tally/thumb.js",
    "tally/series.js",
    "tally/order.js",
    "tally/tally.js",
];

const PAGE_CSS: &str = include_str!("assets/page.css");
const VIEWS_CSS: &str = include_str!("assets/views/views.css");
const TALLY_CSS: &str = include_str!("assets/tally/tally.css");
const INDEX: &str = include_str!("assets/index.html");
const TALLY: &str = include_str!("assets/tally/tally.html");
const WORKER: &str = include_str!("assets/worker.js");
const ICON: &str = include_str!("assets/icon.svg");

/// All of them.
pub(super) static ASSETS: LazyLock<Vec<Asset>> = LazyLock::new(|| {
    let kept = [
        ("main.js", SCRIPT, bundle("main.js", MODULES)),
        ("tally.js", SCRIPT, bundle("tally/tally.js", MODULES)),
        ("page.css", CSS, [PAGE_CSS, VIEWS_CSS].concat()),
        ("tally.css", CSS, [PAGE_CSS, TALLY_CSS].concat()),
        ("icon.svg", "image/svg+xml", ICON.to_owned()),
    ];
    let mut hasher = DefaultHasher::new();
    for (_, _, body) in &kept {
        body.hash(&mut hasher);
    }
    [INDEX, TALLY, WORKER].hash(&mut hasher);
    let version = format!("{:016x}", hasher.finish());
    let mut files = String::new();
    let mut all: Vec<Asset> = Vec::new();
    for (name, kind, body) in kept {
        let path = format!("/{version}/{name}");
        let _ = write!(files, "\"{path}\", ");
        all.push(Asset {
            path,
            kind,
            body: body.replace(VERSION, &version),
            kept: true,
        });
    }
    let plain = |path: &str, kind, text: &str| Asset {
        path: path.to_owned(),
        kind,
        body: text
            .replace(VERSION, &version)
            .replace("\"@files@\"", &files),
        kept: false,
    };
    all.extend([
        plain("/", HTML, INDEX),
        plain("/tally", HTML, TALLY),
        plain("/worker.js", SCRIPT, WORKER),
    ]);
    all
});
