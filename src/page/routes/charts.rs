//! `POST /api/v1/charts`, `/chart` and `/picture`: the library's charts with this shot, to look at
//! and as files.

use axum::Json;
use axum::extract::State;
use axum::http::{Method, header};
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::Route;
use super::ask::{Sent, ShotAsk, shot_properties};
use super::heavy::{answer, in_lane};
use super::skill::answer_of;
use crate::charts::{self, Choice, Entry};
use crate::draw::pdf::Stamp;
use crate::draw::render::{Format, encode};
use crate::draw::{Paper, Size};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::picture::{Drawn, Subject, draw_skill};
use crate::page::schema::{Schema, file, list, maybe_text, object, options, text, truth};
use crate::page::state::{Setup, Shared};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Nothing {}

#[derive(Debug, Serialize)]
struct Known {
    name: &'static str,
    question: &'static str,
    takes_player: bool,
    of_student: bool,
}

#[derive(Debug, Serialize)]
struct Charts {
    charts: Vec<Known>,
}

async fn all(sent: Sent<Nothing>) -> Result<Json<Charts>, ApiFault> {
    let Json(Nothing {}) = sent?;
    let known = charts::ALL.iter().filter_map(|entry| {
        let (takes_player, of_student) = match entry {
            Entry::Asked(chart) => (chart.choices().contains(&Choice::Player), false),
            Entry::Budget(_) => (true, false),
            Entry::Student(_) => (true, true),
            Entry::Found(_) => return None,
        };
        Some(Known {
            name: entry.name(),
            question: entry.question(),
            takes_player,
            of_student,
        })
    });
    Ok(Json(Charts {
        charts: known.collect(),
    }))
}

#[derive(Debug, Serialize)]
struct Answer {
    name: String,
    title: Option<String>,
    desc: Option<String>,
    svg: Option<String>,
    /// Why there is nothing to draw.
    why: Option<String>,
}

/// Most pixels of a picture (assumption: a sheet of paper at 400 dots an inch; 4 bytes each).
const MOST_PIXELS: u64 = 16_000_000;

/// Refuses a picture that takes more memory than a page should.
fn drawable(size: Size) -> Result<Size, ApiFault> {
    let (width, height) = (size.width_px, size.height_px);
    let pixels = u64::from(width) * u64::from(height);
    if pixels <= MOST_PIXELS {
        return Ok(size);
    }
    Err(ApiFault::value(format!(
        "size: {width}x{height} is {pixels} pixels; the page draws at most {MOST_PIXELS}, such as 4000x4000"
    )))
}

/// Takes name and size out of the request and draws.
fn drawn(setup: &Setup, ask: &mut ShotAsk) -> Result<(String, Drawn), ApiFault> {
    let name: String = ask
        .take("name")?
        .ok_or_else(|| ApiFault::value("name is missing; /api/v1/charts lists all charts"))?;
    let size = match ask.take::<String>("size")? {
        Some(text) => drawable(text.parse()?)?,
        None => Size::default(),
    };
    let listed = charts::ALL.iter().find(|c| c.name() == name);
    if let Some(Entry::Student(chart)) = listed {
        let label = ask.student.take();
        let label =
            label.ok_or_else(|| ApiFault::value("this chart is of a student: give student"))?;
        ask.nothing_else()?;
        let (answer, _) = answer_of(setup, &label, None)?;
        return Ok((name, Drawn::Picture(draw_skill(*chart, &answer, size)?)));
    }
    let request = ask.request();
    let asked = std::mem::take(ask).read(setup)?;
    let past = asked.past()?;
    let drawn = Subject::new(&asked, &past, &request, setup.units).draw(&name, size)?;
    Ok((name, drawn))
}

async fn chart(State(shared): State<Shared>, sent: Sent<ShotAsk>) -> Result<Response, ApiFault> {
    let Json(mut ask) = sent?;
    answer(&shared, Lane::Long, move |setup| {
        let (name, drawn) = drawn(setup, &mut ask)?;
        let (picture, why) = match drawn {
            Drawn::Picture(picture) => (Some(picture), None),
            Drawn::Nothing(why) => (None, Some(why)),
        };
        let (title, desc, svg) = match picture {
            Some(p) => (Some(p.title), Some(p.desc), Some(p.svg)),
            None => (None, None, None),
        };
        Ok(Answer {
            name,
            title,
            desc,
            svg,
            why,
        })
    })
    .await
}

async fn picture(State(shared): State<Shared>, sent: Sent<ShotAsk>) -> Result<Response, ApiFault> {
    let Json(mut ask) = sent?;
    let (kind, format) = format(ask.take::<String>("as")?.as_deref())?;
    let paper = paper(ask.take("paper")?)?;
    let bytes = in_lane(&shared, Lane::Long, move |setup| {
        let (_, drawn) = drawn(setup, &mut ask)?;
        Ok(encode(
            &drawn.picture()?,
            format,
            paper,
            Stamp::from_env()?,
        )?)
    })
    .await?;
    Ok(([(header::CONTENT_TYPE, kind)], bytes).into_response())
}

fn format(word: Option<&str>) -> Result<(&'static str, Format), ApiFault> {
    match word.unwrap_or("pdf") {
        "pdf" => Ok(("application/pdf", Format::Pdf)),
        "png" => Ok(("image/png", Format::Png)),
        "svg" => Ok(("image/svg+xml", Format::Svg)),
        other => Err(ApiFault::value(format!(
            "as: \"{other}\" is none of pdf, png, svg"
        ))),
    }
}

/// A4 unless another one is named.
pub(super) fn paper(word: Option<String>) -> Result<Paper, ApiFault> {
    Ok(match word {
        Some(word) => word.parse()?,
        None => Paper::A4,
    })
}

pub(super) fn list_route() -> Route {
    let known = object(&[
        ("name", text("As name takes it")),
        ("question", text("The question it answers")),
        (
            "takes_player",
            truth("Whether it can draw a player's chances"),
        ),
        (
            "of_student",
            truth("Whether it is of a student of the practice log"),
        ),
    ]);
    Route {
        path: "/api/v1/charts",
        method: Method::POST,
        summary: "Which charts there are",
        request: Some(options(&[])),
        example: Some(json!({})),
        response: object(&[("charts", list(known, "All"))]),
        components: Vec::new(),
        handler: post(all),
    }
}

fn asked() -> Vec<(&'static str, Schema)> {
    let mut asked = shot_properties();
    asked.push(("name", text("Which chart")));
    asked.push((
        "size",
        text("Width x height in pixels; 1200x800 when absent"),
    ));
    asked
}

pub(super) fn chart_route() -> Route {
    Route {
        path: "/api/v1/chart",
        method: Method::POST,
        summary: "A chart with this shot, as SVG with title and words",
        request: Some(options(&asked())),
        example: Some(json!({
            "name": "pace", "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "size": "640x480"
        })),
        response: object(&[
            ("name", text("Which chart")),
            ("title", maybe_text("The question or the finding")),
            ("desc", maybe_text("The picture in words")),
            ("svg", maybe_text("The picture")),
            (
                "why",
                maybe_text("Where the shot leaves nothing to draw: why"),
            ),
        ]),
        components: Vec::new(),
        handler: post(chart),
    }
}

pub(super) fn picture_route() -> Route {
    let mut asked = asked();
    asked.push(("as", text("pdf, png or svg; pdf when absent")));
    asked.push(("paper", text("Of a PDF: a4 or letter")));
    Route {
        path: "/api/v1/picture",
        method: Method::POST,
        summary: "A chart with this shot, as a file",
        request: Some(options(&asked)),
        example: Some(json!({
            "name": "shot", "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "as": "pdf"
        })),
        response: file(&["application/pdf", "image/png", "image/svg+xml"]),
        components: Vec::new(),
        handler: post(picture),
    }
}
