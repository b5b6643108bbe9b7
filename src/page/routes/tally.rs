//! `POST /api/v1/sheets`, `/tally`, `/tap` and `/untap`: counting at the table, straight into the
//! practice log.
//!
//! A tap is on the disk before it is answered. A phone that hears no answer sends the same tap again
//! and it is not kept twice. Taking back takes back that very tap, whoever tapped since; a phone takes
//! back its own of the last ten minutes, the coach any.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::log::{Attempt, EntryKind, Kept, Outcome, Undoing, Undone, When};
use crate::page::ask::{Nothing, ShotAsk};
use crate::page::callers::Caller;
use crate::page::fault::ApiFault;
use crate::page::route::{About, Route};
use crate::page::state::Setup;
use crate::page::tally::{Counted, Subject};
use crate::page::taps::secret;

#[derive(Debug, Serialize, JsonSchema)]
struct Sheets {
    /// The newest first.
    sheets: Vec<Kept>,
}

fn sheets(setup: &Setup, _: Nothing) -> Result<Sheets, ApiFault> {
    let sheets = setup.desk()?.read(|log| log.sheets())?;
    Ok(Sheets { sheets })
}

/// A sheet by its code, or a shot of one's own.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct TallyAsk {
    /// Code of a sheet.
    code: Option<String>,
    /// A shot of one's own.
    shot: Option<ShotAsk>,
}

fn subject(setup: &Setup, code: Option<&str>, shot: Option<&ShotAsk>) -> Result<Subject, ApiFault> {
    match (code, shot) {
        (Some(code), None) => {
            let (code, sheet) = setup.desk()?.read(|log| log.find_sheet(code))?;
            Ok(Subject::Sheet { code, sheet })
        }
        (None, Some(ask)) => {
            ask.rest.none()?;
            // A gear that cannot be built is said before anything is asked of the log.
            setup.gear(&ask.gear)?;
            Subject::shot(setup.entered(ask.request(), &ask.gear))
        }
        _ => Err(ApiFault::value(
            "give the code of a sheet, or shot with cue, object and pocket",
        )),
    }
}

fn tally(setup: &Setup, ask: TallyAsk) -> Result<Counted, ApiFault> {
    let subject = subject(setup, ask.code.as_deref(), ask.shot.as_ref())?;
    let today = (setup.clock)()?.day().to_owned();
    setup.desk()?.read(|log| subject.counted(log, &today))
}

/// A try.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct TapAsk {
    /// Code of a sheet.
    code: Option<String>,
    /// A shot of one's own.
    shot: Option<ShotAsk>,
    /// Rung of the sheet, from 1.
    rung: Option<u32>,
    /// Whose try.
    student: String,
    /// `made`, `full`, `thin`, `short`, `scratch` or `unseen`.
    outcome: String,
    /// The time to the millisecond, with its offset; of today, a day either way.
    when: String,
    /// 22 to 64 letters and digits that are this phone's own; with the phones' link needed.
    phone: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct TapAnswer {
    /// Number of its entry, to take it back by.
    entry: i64,
    /// Whether it stood in the log already.
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

fn tap(setup: &Setup, ask: TapAsk) -> Result<TapAnswer, ApiFault> {
    let phone = match (setup.caller, ask.phone.as_deref()) {
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
    setup.live.changed();
    // Sent again, it stays whose it was.
    if let Some(phone) = phone.filter(|_| !tapped.again) {
        setup.taps.counted(tapped.entry, phone, &now);
    }
    Ok(TapAnswer {
        entry: tapped.entry,
        again: tapped.again,
    })
}

/// A try to take back.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct UntapAsk {
    /// As `/api/v1/tap` answered.
    entry: i64,
    /// The phone that counted it; with the phones' link needed.
    phone: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Untapped {
    /// As asked.
    entry: i64,
    /// Whether it was there to take back.
    gone: bool,
}

/// A single try from a table: nothing else is taken back from here.
fn is_tap(undone: &Undone) -> bool {
    let single = |a: &Attempt| a.tries == 1;
    undone.kind == EntryKind::Enter && matches!(undone.attempts.as_slice(), [a] if single(a))
}

/// A phone has a say in its own tries only.
fn may_take_back(setup: &Setup, entry: i64, phone: Option<&str>) -> Result<(), ApiFault> {
    match setup.caller {
        Caller::Coach => Ok(()),
        Caller::Phone => setup.taps.own(entry, secret(phone)?, &(setup.clock)()?),
    }
}

fn untap(setup: &Setup, UntapAsk { entry, phone }: UntapAsk) -> Result<Untapped, ApiFault> {
    may_take_back(setup, entry, phone.as_deref())?;
    let undoing = setup
        .desk()?
        .write(|log| match log.undo_if(Some(entry), is_tap) {
            // Asked twice, the first answer lost: it is gone as wanted.
            Err(crate::log::LogError::NoEntry { .. }) => Ok(Undoing::Nothing),
            other => other,
        })?;
    setup.live.changed();
    match undoing {
        Undoing::Done(_) => Ok(Untapped { entry, gone: true }),
        Undoing::Nothing => Ok(Untapped { entry, gone: false }),
        Undoing::Left(_) => Err(ApiFault::value(format!(
            "entry {entry} is not a single try from the table; take it back in the log, by that number"
        ))),
    }
}

pub(super) fn sheets_route() -> Route {
    let about = About::new(
        "/api/v1/sheets",
        "The ladders and marks sheets kept in the practice log",
        json!({}),
    );
    Route::noting(about, sheets)
}

fn shot_example() -> serde_json::Value {
    json!({"cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left"})
}

pub(super) fn tally_route() -> Route {
    let about = About::new(
        "/api/v1/tally",
        "What was counted today on a sheet, or on a shot of one's own",
        json!({"shot": shot_example()}),
    );
    Route::noting(about, tally)
}

pub(super) fn tap_route() -> Route {
    let about = About::new(
        "/api/v1/tap",
        "Records one try; the same try sent again is not kept twice",
        json!({
            "shot": shot_example(), "student": "A", "outcome": "made",
            "when": "2025-11-25T19:30:00.000+01:00"
        }),
    );
    Route::noting(about, tap)
}

pub(super) fn untap_route() -> Route {
    let about = About::new(
        "/api/v1/untap",
        "Takes one try back; with the phones' link only its own of the last ten minutes",
        json!({"entry": 1_000_000}),
    );
    Route::noting(about, untap)
}
