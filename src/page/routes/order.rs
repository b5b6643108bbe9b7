//! `POST /api/v1/order`: who plays at which table and who is next. The coach says who is there and how many
//! tables there are; any phone calls the next one.

use axum::http::StatusCode;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::page::ask::at_most;
use crate::page::callers::Caller;
use crate::page::fault::ApiFault;
use crate::page::route::{About, Route};
use crate::page::state::{Setup, held};

/// Students and tables of one lesson at most (assumption: two school classes in a large hall).
const MOST_STUDENTS: usize = 60;
const MOST_TABLES: u32 = 30;

/// Nothing asks how things stand.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Ask {
    /// Who is there, in the order they play; with tables, and with the coach's link only.
    students: Option<Vec<String>>,
    /// How many tables there are, up to 30; with students.
    tables: Option<u32>,
    /// Calls the next one to this table, from 1.
    next: Option<usize>,
    /// Who is at that table now: called twice, one comes.
    from: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "OrderOfPlay")]
struct Answer {
    /// Who is at each table; null where nobody is left for it.
    tables: Vec<Option<String>>,
    /// Who waits, the next one first.
    waiting: Vec<String>,
}

fn order(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    match (ask.students, ask.tables, ask.next) {
        (None, None, None) => {}
        (Some(students), Some(tables), None) => seat(setup, students, tables)?,
        (None, None, Some(table)) => {
            held(&setup.order).next(table, ask.from.as_deref());
            setup.live.ordered();
        }
        _ => {
            return Err(ApiFault::value(
                "give students with tables, or next with from, or nothing",
            ));
        }
    }
    let order = held(&setup.order);
    Ok(Answer {
        tables: order.tables.clone(),
        waiting: order.waiting.iter().cloned().collect(),
    })
}

fn seat(setup: &Setup, students: Vec<String>, tables: u32) -> Result<(), ApiFault> {
    if setup.caller != Caller::Coach {
        return Err(ApiFault::new(
            StatusCode::FORBIDDEN,
            "who is there and how many tables there are is the coach's to say; a phone calls the next one",
        ));
    }
    at_most("students", students.len(), MOST_STUDENTS)?;
    if tables > MOST_TABLES {
        return Err(ApiFault::value(format!(
            "tables: {tables}; a lesson has at most {MOST_TABLES}"
        )));
    }
    let desk = setup.desk()?;
    let mut once: Vec<String> = Vec::new();
    for label in students {
        desk.read(|log| log.student(&label))?;
        if !once.contains(&label) {
            once.push(label);
        }
    }
    held(&setup.order).seat(&once, usize::try_from(tables).unwrap_or_default());
    setup.live.ordered();
    Ok(())
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/order",
        "Who plays at which table and who is next",
        json!({}),
    );
    Route::noting(about, order)
}
