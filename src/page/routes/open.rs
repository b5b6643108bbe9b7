//! `POST /api/v1/open`: all that the page needs before its first shot, in one go.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::json;

use super::{gear, students};
use crate::page::ask::Nothing;
use crate::page::fault::ApiFault;
use crate::page::qr::qr_squares;
use crate::page::route::{About, Route};
use crate::page::state::Setup;

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Opened")]
struct Answer {
    gear: gear::Answer,
    people: students::Answer,
    /// What makes a link open on another device, with the right to look and to count; absent where the
    /// page is not shared.
    #[serde(skip_serializing_if = "Option::is_none")]
    look: Option<Look>,
}

/// A link for others.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct Look {
    /// `http://192.168.1.7:8080`.
    root: String,
    /// The phones' token.
    token: String,
    /// The link of both as a QR code: a text a row, `#` dark and `.` light; no rows where it is too long for one.
    code: Vec<String>,
}

fn opened(setup: &Setup, ask: gear::Ask) -> Result<Answer, ApiFault> {
    Ok(Answer {
        gear: gear::all_of(setup, ask)?,
        people: students::everybody(setup, Nothing {})?,
        look: setup.phones.as_ref().map(|token| Look {
            root: setup.root.clone(),
            token: token.clone(),
            code: rows(&format!("{}/#token={token}", setup.root)),
        }),
    })
}

/// A link as the rows of a code.
fn rows(link: &str) -> Vec<String> {
    let squares = qr_squares(link).unwrap_or_default();
    let text = |row: &Vec<bool>| {
        row.iter()
            .map(|dark| if *dark { '#' } else { '.' })
            .collect()
    };
    squares.iter().map(text).collect()
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/open",
        "What the page opens with: the equipment and the students, as gear and students tell them",
        json!({"table": "pool-9ft"}),
    );
    Route::noting(about, opened)
}
