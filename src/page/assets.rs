//! The page's files, embedded; nothing is read from disk.

/// A file of the page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asset {
    /// Path it is served under.
    pub(super) path: &'static str,
    /// Media type.
    pub(super) kind: &'static str,
    /// Content.
    pub(super) body: &'static str,
}

const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";

macro_rules! scripts {
    ($($name:literal),* $(,)?) => {
        &[
            Asset { path: "/", kind: "text/html; charset=utf-8", body: include_str!("assets/index.html") },
            Asset { path: "/page.css", kind: CSS, body: include_str!("assets/page.css") },
            Asset { path: "/icon.svg", kind: "image/svg+xml", body: include_str!("assets/icon.svg") },
            Asset { path: "/views.css", kind: CSS, body: include_str!("assets/views/views.css") },
            Asset { path: "/tally.css", kind: CSS, body: include_str!("assets/tally/tally.css") },
            Asset { path: "/tally", kind: "text/html; charset=utf-8", body: include_str!("assets/tally/tally.html") },
            $(Asset { path: concat!("/", $name), kind: SCRIPT, body: include_str!(concat!("assets/", $name)) },)*
        ]
    };
}

/// All of them.
pub(super) const ASSETS: &[Asset] = scripts![
    "main.js",
    "answer.js",
    "because.js",
    "change.js",
    "picks.js",
    "words.js",
    "balls.js",
    "others.js",
    "api.js",
    "state.js",
    "svg.js",
    "rails.js",
    "table.js",
    "shot.js",
    "inset.js",
    "hands.js",
    "drawer.js",
    "places.js",
    "keep.js",
    "keeping.js",
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
    "views/shots.js",
    "tally/queue.js",
    "tally/thumb.js",
    "tally/tally.js",
];
