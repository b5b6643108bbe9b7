//! `POST /api/v1/sheets`, `/tally`, `/tap` and `/untap`: counting at the table, straight into the
//! practice log.
//!
//! A tap is on the disk before it is answered. A phone that hears no answer sends the same tap again
//! and it is not kept twice. Taking back takes back that very tap, whoever tapped since; a phone takes
//! back its own of the last ten minutes, the coach any.

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::routing::post;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::Route;
use super::ask::{Sent, ShotAsk};
use super::heavy::off_thread;
use super::tally_schema::{counted, phone, shot_schema, tap_properties};
use crate::log::{Attempt, EntryKind, Kept, Outcome, Tapped, Undoing, Undone, When};
use crate::page::fault::ApiFault;
use crate::page::guard::{Caller, caller};
use crate::page::schema::{list, number, object, options, reference, text, truth, with_optional};
use crate::page::state::{Setup, Shared};
use crate::page::tally::{Counted, Subject};
use crate::page::taps::secret;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Nothing {}

#[derive(Debug, Serialize)]
struct Sheets {
    sheets: Vec<Kept>,
}

async fn sheets(
    State(shared): State<Shared>,
    sent: Sent<Nothing>,
) -> Result<Json<Sheets>, ApiFault> {
    let Json(Nothing {}) = sent?;
    let sheets = off_thread(move || shared.desk()?.read(|log| log.sheets())).await?;
    Ok(Json(Sheets { sheets }))
}

/// A sheet by its code, or a shot of one's own.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct TallyAsk {
    code: Option<String>,
    shot: Option<ShotAsk>,
}

fn subject(setup: &Setup, code: Option<&str>, shot: Option<&ShotAsk>) -> Result<Subject, ApiFault> {
    match (code, shot) {
        (Some(code), None) => {
            let (code, sheet) = setup.desk()?.read(|log| log.find_sheet(code))?;
            Ok(Subject::Sheet { code, sheet })
        }
        (None, Some(ask)) => {
            ask.nothing_else()?;
            // A gear that cannot be built is said before anything is asked of the log.
            setup.gear(&ask.gear)?;
            Subject::shot(setup.entered(ask.request(), &ask.gear))
        }
        _ => Err(ApiFault::value(
            "give the code of a sheet, or shot with cue, object and pocket",
        )),
    }
}

async fn tally(
    State(shared): State<Shared>,
    sent: Sent<TallyAsk>,
) -> Result<Json<Counted>, ApiFault> {
    let Json(ask) = sent?;
    let counted = off_thread(move || {
        let subject = subject(&shared, ask.code.as_deref(), ask.shot.as_ref())?;
        let today = (shared.clock)()?.day().to_owned();
        let desk = shared.desk()?;
        desk.read(|log| subject.counted(log, &today))
    })
    .await?;
    Ok(Json(counted))
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct TapAsk {
    code: Option<String>,
    shot: Option<ShotAsk>,
    rung: Option<u32>,
    student: String,
    outcome: String,
    when: String,
    phone: Option<String>,
}

#[derive(Debug, Serialize)]
struct TapAnswer {
    entry: i64,
    again: bool,
}

/// Days between two days, whichever is the later.
fn days_apart(a: &When, b: &When) -> Option<i32> {
    let day = |when: &When| when.day().parse::<Date>().ok();
    Some(day(a)?.since(day(b)?).ok()?.get_days().abs())
}

/// A try counted at the table is of today; a day either way leaves room for midnight and for a
/// phone that was without a network.
fn of_today(when: &When, now: &When) -> Result<(), ApiFault> {
    match days_apart(when, now) {
        Some(0 | 1) => Ok(()),
        _ => Err(ApiFault::value(format!(
            "when: {when} is not of today; tries counted here are of {}, a day either way. Enter others in the log itself",
            now.day()
        ))),
    }
}

fn record(setup: &Setup, ask: &TapAsk, caller: Caller) -> Result<Tapped, ApiFault> {
    let phone = match (caller, ask.phone.as_deref()) {
        (Caller::Coach, None) => None,
        (_, phone) => Some(secret(phone)?),
    };
    let outcome: Outcome = ask
        .outcome
        .parse()
        .map_err(|e| ApiFault::value(format!("outcome: {e}")))?;
    let when = ask.when.parse()?;
    let now = (setup.clock)()?;
    of_today(&when, &now)?;
    let subject = subject(setup, ask.code.as_deref(), ask.shot.as_ref())?;
    let tap = subject.tap(&ask.student, ask.rung, when, outcome)?;
    let tapped = setup.desk()?.write(|log| log.tap(tap, &now))?;
    // Sent again, it stays whose it was.
    if let Some(phone) = phone.filter(|_| !tapped.again) {
        setup.taps.counted(tapped.entry, phone, &now);
    }
    Ok(tapped)
}

async fn tap(
    State(shared): State<Shared>,
    sent: Sent<TapAsk>,
) -> Result<Json<TapAnswer>, ApiFault> {
    let Json(ask) = sent?;
    let caller = caller();
    let recorded = off_thread(move || record(&shared, &ask, caller));
    let Tapped { entry, again } = recorded.await?;
    Ok(Json(TapAnswer { entry, again }))
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct UntapAsk {
    entry: i64,
    phone: Option<String>,
}

#[derive(Debug, Serialize)]
struct Untapped {
    entry: i64,
    gone: bool,
}

/// A single try from a table: nothing else is taken back from here.
fn is_tap(undone: &Undone) -> bool {
    let single = |a: &Attempt| a.tries == 1;
    undone.kind == EntryKind::Enter && matches!(undone.attempts.as_slice(), [a] if single(a))
}

/// A phone has a say in its own tries only.
fn may_take_back(
    setup: &Setup,
    caller: Caller,
    entry: i64,
    phone: Option<&str>,
) -> Result<(), ApiFault> {
    match caller {
        Caller::Coach => Ok(()),
        Caller::Phone => setup.taps.own(entry, secret(phone)?, &(setup.clock)()?),
    }
}

async fn untap(
    State(shared): State<Shared>,
    sent: Sent<UntapAsk>,
) -> Result<Json<Untapped>, ApiFault> {
    let Json(UntapAsk { entry, phone }) = sent?;
    let caller = caller();
    let undoing = off_thread(move || {
        may_take_back(&shared, caller, entry, phone.as_deref())?;
        shared
            .desk()?
            .write(|log| match log.undo_if(Some(entry), is_tap) {
                // Asked twice, the first answer lost: it is gone as wanted.
                Err(crate::log::LogError::NoEntry { .. }) => Ok(Undoing::Nothing),
                other => other,
            })
    })
    .await?;
    match undoing {
        Undoing::Done(_) => Ok(Json(Untapped { entry, gone: true })),
        Undoing::Nothing => Ok(Json(Untapped { entry, gone: false })),
        Undoing::Left(_) => Err(ApiFault::value(format!(
            "entry {entry} is not a single try from the table; take it back in the log, by that number"
        ))),
    }
}

pub(super) fn sheets_route() -> Route {
    let kept = object(&[
        ("code", text("Its code")),
        ("kind", text("ladder, marks or lesson")),
        ("title", text("Its title")),
        ("rungs", number("How many rungs")),
    ]);
    Route {
        path: "/api/v1/sheets",
        method: Method::POST,
        summary: "The ladders and marks sheets kept in the practice log",
        request: Some(options(&[])),
        example: Some(json!({})),
        response: object(&[("sheets", list(kept, "The newest first"))]),
        components: Vec::new(),
        handler: post(sheets),
    }
}

fn shot_example() -> serde_json::Value {
    json!({"cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left"})
}

pub(super) fn tally_route() -> Route {
    Route {
        path: "/api/v1/tally",
        method: Method::POST,
        summary: "What was counted today on a sheet, or on a shot of one's own",
        request: Some(options(&[
            ("code", text("Code of a sheet")),
            ("shot", reference("TallyShot")),
        ])),
        example: Some(json!({"shot": shot_example()})),
        response: counted(),
        components: vec![("TallyShot", shot_schema())],
        handler: post(tally),
    }
}

pub(super) fn tap_route() -> Route {
    Route {
        path: "/api/v1/tap",
        method: Method::POST,
        summary: "Records one try; the same try sent again is not kept twice",
        request: Some(options(&tap_properties())),
        example: Some(json!({
            "shot": shot_example(), "student": "A", "outcome": "made",
            "when": "2025-11-25T19:30:00.000+01:00"
        })),
        response: object(&[
            ("entry", number("Number of its entry, to take it back by")),
            ("again", truth("Whether it stood in the log already")),
        ]),
        components: Vec::new(),
        handler: post(tap),
    }
}

pub(super) fn untap_route() -> Route {
    Route {
        path: "/api/v1/untap",
        method: Method::POST,
        summary: "Takes one try back; with the phones' link only its own of the last ten minutes",
        request: Some(with_optional(
            &[("entry", number("As tap answered"))],
            &[phone()],
        )),
        example: Some(json!({"entry": 1_000_000})),
        response: object(&[
            ("entry", number("The entry")),
            ("gone", truth("Whether it was there to take back")),
        ]),
        components: Vec::new(),
        handler: post(untap),
    }
}
