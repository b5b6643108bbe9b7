//! `POST /api/v1/charts`, `/chart` and `/picture`: the library's charts with this shot, to look at
//! and as files.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::skill::answer_of;
use crate::charts::{self, Choice, Entry};
use crate::draw::Size;
use crate::draw::pdf::Stamp;
use crate::draw::render::{Format, encode};
use crate::page::ask::{Nothing, ShotAsk, paper};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::picture::{Drawn, Subject, draw_skill};
use crate::page::route::{About, File, Route};
use crate::page::state::Setup;

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct Known {
    /// As `name` takes it.
    name: &'static str,
    /// The question it answers.
    question: &'static str,
    /// Whether it can draw a player's chances.
    takes_player: bool,
    /// Whether it is of a student of the practice log.
    of_student: bool,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Charts {
    /// All.
    charts: Vec<Known>,
}

fn all(_: &Setup, _: Nothing) -> Result<Charts, ApiFault> {
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
    Ok(Charts {
        charts: known.collect(),
    })
}

/// A chart of a shot, or of a student.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(expecting = "an object")]
struct Ask {
    #[serde(flatten)]
    shot: ShotAsk,
    /// Which chart.
    name: Option<String>,
    /// Width x height in pixels; 1200x800 when absent.
    size: Option<String>,
}

/// A chart as a file.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(expecting = "an object")]
struct FileAsk {
    #[serde(flatten)]
    chart: Ask,
    /// `pdf`, `png` or `svg`; `pdf` when absent.
    #[serde(rename = "as")]
    format: Option<String>,
    /// Of a PDF: `a4` or `letter`.
    paper: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Answer {
    /// Which chart.
    name: String,
    /// The question or the finding.
    title: Option<String>,
    /// The picture in words.
    desc: Option<String>,
    /// The picture.
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

/// Draws it.
fn drawn(setup: &Setup, ask: Ask) -> Result<(String, Drawn), ApiFault> {
    let name = ask
        .name
        .ok_or_else(|| ApiFault::value("name is missing; /api/v1/charts lists all charts"))?;
    let size = match ask.size {
        Some(text) => drawable(text.parse()?)?,
        None => Size::default(),
    };
    let listed = charts::ALL.iter().find(|c| c.name() == name);
    if let Some(Entry::Student(chart)) = listed {
        let label = ask.shot.student;
        let label =
            label.ok_or_else(|| ApiFault::value("this chart is of a student: give student"))?;
        ask.shot.rest.none()?;
        let (answer, _) = answer_of(setup, &label, None)?;
        return Ok((name, Drawn::Picture(draw_skill(*chart, &answer, size)?)));
    }
    let request = ask.shot.request();
    let asked = ask.shot.read(setup)?;
    let past = asked.past()?;
    let drawn =
        Subject::new(&asked, &past, &request, setup.speech(&asked.gear.gear)).draw(&name, size)?;
    Ok((name, drawn))
}

fn chart(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    let (name, drawn) = drawn(setup, ask)?;
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
}

const KINDS: &[&str] = &["application/pdf", "image/png", "image/svg+xml"];

fn picture(setup: &Setup, ask: FileAsk) -> Result<File, ApiFault> {
    let (kind, format) = format(ask.format.as_deref())?;
    let paper = paper(ask.paper)?;
    let (_, drawn) = drawn(setup, ask.chart)?;
    let picture = drawn.picture()?;
    Ok((kind, encode(&picture, format, paper, Stamp::from_env()?)?))
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

pub(super) fn list_route() -> Route {
    let about = About::new("/api/v1/charts", "Which charts there are", json!({}));
    Route::solving(about, Lane::Light, all)
}

pub(super) fn chart_route() -> Route {
    let about = About::new(
        "/api/v1/chart",
        "A chart with this shot, as SVG with title and words",
        json!({
            "name": "pace", "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "size": "640x480"
        }),
    );
    Route::solving(about, Lane::Long, chart)
}

pub(super) fn picture_route() -> Route {
    let about = About::new(
        "/api/v1/picture",
        "A chart with this shot, as a file",
        json!({
            "name": "shot", "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "as": "pdf"
        }),
    );
    Route::drawing(about, KINDS, picture)
}
