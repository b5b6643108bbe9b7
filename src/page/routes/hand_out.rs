//! `POST /api/v1/hand-out`: a shot or a shelf of them on paper, to take along.

use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::json;

use super::shot;
use crate::draw::pdf::Stamp;
use crate::page::ask::{ShotAsk, at_most, paper};
use crate::page::fault::ApiFault;
use crate::page::qr::qr_squares;
use crate::page::route::{About, File, Route};
use crate::page::state::Setup;
use crate::sheets::Style;
use crate::sheets::hand_out::{Handed, MOST_SHOTS, Squares, hand_out};

/// Most letters of a name.
const LONGEST_NAME: usize = 60;

/// Shots, and how to print them.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Ask {
    /// Over the page.
    title: String,
    /// The shots, in their order.
    shots: Vec<Named>,
    /// `a4` or `letter`.
    #[serde(default)]
    paper: Option<String>,
    /// Large letters.
    #[serde(default)]
    plain: bool,
}

/// A shot with its name.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(expecting = "an object")]
struct Named {
    /// What it is called.
    name: String,
    /// Opens it, as a code to scan.
    link: Option<String>,
    #[serde(flatten)]
    shot: ShotAsk,
}

fn drawn(setup: &Setup, ask: Ask) -> Result<File, ApiFault> {
    at_most("shots", ask.shots.len(), MOST_SHOTS)?;
    let shots = ask.shots.into_iter().map(|named| handed(setup, named));
    let shots: Vec<Handed> = shots.collect::<Result<_, _>>()?;
    let style = Style {
        paper: paper(ask.paper)?,
        plain: ask.plain,
        units: setup.units,
        words: setup.words,
    };
    let title = short("title", &ask.title)?;
    let sheet = hand_out(title, &shots, &style)?;
    Ok(("application/pdf", sheet.pdf(Stamp::default())?))
}

fn short<'a>(what: &str, text: &'a str) -> Result<&'a str, ApiFault> {
    let text = text.trim();
    if text.is_empty() || text.chars().count() > LONGEST_NAME {
        return Err(ApiFault::value(format!(
            "{what}: give 1 to {LONGEST_NAME} letters"
        )));
    }
    Ok(text)
}

fn handed(setup: &Setup, Named { name, link, shot }: Named) -> Result<Handed, ApiFault> {
    let name = short("name", &name)?.to_owned();
    let code = link.as_deref().map(code).transpose()?;
    let (asked, said) = shot::said(setup, shot)?;
    let Some(pocket) = asked.shot.frame.name else {
        return Err(ApiFault::value(
            "a hand-out shows a shot on the table: give cue, object and pocket",
        ));
    };
    Ok(Handed {
        name,
        gear: asked.gear.gear.clone(),
        layout: asked.layout,
        pocket,
        who: said.headline.who,
        number: said.headline.number,
        adds: said.headline.words,
        lines: said.lines,
        code,
    })
}

/// A code for a link; one that is too long for paper is refused.
fn code(link: &str) -> Result<Squares, ApiFault> {
    qr_squares(link).ok_or_else(|| ApiFault::value("link: it is too long for a code"))
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/hand-out",
        "Shots on paper to take along: table, chance and for whom, places in words, a code that opens each",
        json!({"title": "Tuesday", "shots": [
            {"name": "Half ball", "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club"}
        ]}),
    );
    Route::drawing(about, &["application/pdf"], drawn)
}
