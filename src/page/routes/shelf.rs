//! `POST /api/v1/shelf`: the shots that are kept by name, and one change of them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::log::{NewShot, ShelfChange, ShelfShot};
use crate::page::fault::ApiFault;
use crate::page::route::{About, Route};
use crate::page::state::Setup;

/// One change, or none.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Ask {
    /// Shots to put behind those that are there.
    #[serde(default)]
    add: Vec<New>,
    /// Another name for a shot.
    rename: Option<Named>,
    /// Number of a shot to take away.
    remove: Option<i64>,
    /// Number of a shot that goes one place forward.
    earlier: Option<i64>,
    /// Number of a shot that goes one place back.
    later: Option<i64>,
}

/// A shot to keep.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "NewShot")]
struct New {
    /// What it is called, up to 60 letters.
    name: String,
    /// As the page's address has it, `?cue=3,2.3&object=6,2.6`.
    shot: String,
}

/// A shot of the shelf.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct Named {
    /// Its number.
    id: i64,
    /// What it is called from now on.
    name: String,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct Row {
    /// Its number, which stays.
    id: i64,
    /// What it is called.
    name: String,
    /// As the page's address has it.
    shot: String,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Shelf")]
struct Answer {
    /// In their order, the change made.
    shots: Vec<Row>,
}

impl Ask {
    fn change(self) -> Result<Option<ShelfChange>, ApiFault> {
        let add = (!self.add.is_empty()).then(|| {
            let shots = self.add.into_iter();
            let new = |New { name, shot }| NewShot { name, shot };
            ShelfChange::Add(shots.map(new).collect())
        });
        let mut changes = [
            add,
            self.rename.map(|n| ShelfChange::Rename(n.id, n.name)),
            self.remove.map(ShelfChange::Remove),
            self.earlier.map(ShelfChange::Earlier),
            self.later.map(ShelfChange::Later),
        ]
        .into_iter()
        .flatten();
        let first = changes.next();
        match changes.next() {
            None => Ok(first),
            Some(_) => Err(ApiFault::value(
                "give one of add, rename, remove, earlier and later at a time",
            )),
        }
    }
}

fn shelf(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    let desk = setup.desk()?;
    if let Some(change) = ask.change()? {
        desk.write(|log| log.change_shelf(&change))?;
    }
    let row = |ShelfShot { id, name, shot }| Row { id, name, shot };
    let shots = desk.read(|log| log.shelf())?;
    Ok(Answer {
        shots: shots.into_iter().map(row).collect(),
    })
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/shelf",
        "The shots kept by name in the practice log, and one change of them",
        json!({"add": [{"name": "Half ball", "shot": "?cue=3,2.3&object=6,2.6&pocket=foot-left"}]}),
    );
    Route::noting(about, shelf)
}
