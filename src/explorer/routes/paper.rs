//! `POST /api/v1/sheet`, `/preview` and `/keep`: a ladder or a marks sheet on paper, as pictures of
//! its pages, and kept in the practice log under its code.

use axum::Json;
use axum::extract::State;
use axum::http::{Method, header};
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::Route;
use super::ask::{Sent, gear_properties};
use super::charts::paper;
use super::heavy::off_thread;
use crate::charts::pdf::Stamp;
use crate::explorer::fault::ApiFault;
use crate::explorer::schema::{
    Schema, file, list, number, object, options, reference, text, truth,
};
use crate::explorer::state::{GearRequest, Setup, Shared};
use crate::ladder::{LadderAnswer, MarksAnswer};
use crate::log::{SheetKind, ShotEntered};
use crate::request::{PlacesRequest, ShotRequest, StrokeRequest};
use crate::sheets::booklet::{Booklet, ladder_sheet};
use crate::sheets::marks::marks_sheet;
use crate::sheets::{Sheet, Style};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Ask {
    ladder: Option<LadderAnswer>,
    marks: Option<MarksAnswer>,
    code: Option<String>,
    paper: Option<String>,
    #[serde(default)]
    plain: bool,
    #[serde(default)]
    stroke: StrokeRequest,
    gear: Option<String>,
    #[serde(default)]
    set: Vec<String>,
}

/// What is printed or kept.
enum Subject<'a> {
    Ladder(&'a LadderAnswer),
    Marks(&'a MarksAnswer),
}

impl Ask {
    fn subject(&self) -> Result<Subject<'_>, ApiFault> {
        match (&self.ladder, &self.marks) {
            (Some(ladder), None) => Ok(Subject::Ladder(ladder)),
            (None, Some(marks)) => Ok(Subject::Marks(marks)),
            _ => Err(ApiFault::value(
                "give ladder or marks, as /api/v1/ladder or /api/v1/marks answered",
            )),
        }
    }

    fn gear(&self) -> GearRequest {
        GearRequest {
            gear: self.gear.clone(),
            set: self.set.clone(),
        }
    }

    fn sheet(&self, setup: &Setup) -> Result<Sheet, ApiFault> {
        let gear = setup.gear(&self.gear())?;
        let style = Style {
            paper: paper(self.paper.clone())?,
            plain: self.plain,
            units: setup.units,
        };
        Ok(match self.subject()? {
            Subject::Ladder(ladder) => {
                let mut booklet = Booklet::new(ladder);
                booklet.code = self.code.clone().or(booklet.code);
                ladder_sheet(&gear.gear, &booklet, &style)?
            }
            Subject::Marks(marks) => {
                let mut marks = marks.clone();
                marks.code = self.code.clone().or(marks.code);
                marks_sheet(&gear.gear, &marks, &style)?
            }
        })
    }

    /// The shots as the log keeps them.
    fn keep(&self, setup: &Setup) -> Result<String, ApiFault> {
        let entered = |cue: &str, object: &str, pocket: &str| -> ShotEntered {
            let places = PlacesRequest {
                cue: Some(cue.to_owned()),
                object: Some(object.to_owned()),
                pocket: Some(pocket.to_owned()),
                ..PlacesRequest::default()
            };
            let stroke = self.stroke.clone();
            setup.entered(ShotRequest { places, stroke }, &self.gear())
        };
        let (kind, title, shots) = match self.subject()? {
            Subject::Ladder(l) if !l.obstacles.is_empty() => {
                return Err(ApiFault::value(
                    "a ladder with balls in the way is kept on the command line: thincut ladder --keep",
                ));
            }
            Subject::Ladder(l) => {
                let shots = l.rungs.iter();
                let shots = shots.map(|r| (None, entered(&r.cue, &r.object, &r.pocket)));
                let title = format!("{} for {}", l.practise, l.player);
                (SheetKind::Ladder, title, shots.collect())
            }
            Subject::Marks(m) => {
                let shots = m.marks.iter().map(|mark| {
                    let shot = entered(&mark.cue, &m.object, &m.pocket);
                    (Some(mark.student.clone()), shot)
                });
                let title = format!("marks at {:.1} in 10", m.asked_in_ten);
                (SheetKind::Marks, title, shots.collect())
            }
        };
        let sheet = crate::log::Sheet::of_shots(kind, title, shots)?;
        setup.desk()?.write(|log| log.save_sheet(&sheet))
    }
}

async fn sheet(State(shared): State<Shared>, sent: Sent<Ask>) -> Result<Response, ApiFault> {
    let Json(ask) = sent?;
    let bytes = off_thread(move || Ok(ask.sheet(&shared)?.pdf(Stamp::from_env()?)?)).await?;
    Ok(([(header::CONTENT_TYPE, "application/pdf")], bytes).into_response())
}

#[derive(Debug, Serialize)]
struct Preview {
    pages: Vec<String>,
}

async fn preview(State(shared): State<Shared>, sent: Sent<Ask>) -> Result<Json<Preview>, ApiFault> {
    let Json(ask) = sent?;
    let pages = off_thread(move || Ok(ask.sheet(&shared)?.svgs()?)).await?;
    Ok(Json(Preview { pages }))
}

#[derive(Debug, Serialize)]
struct Kept {
    code: String,
    shots: usize,
}

async fn keep(State(shared): State<Shared>, sent: Sent<Ask>) -> Result<Json<Kept>, ApiFault> {
    let Json(ask) = sent?;
    let kept = off_thread(move || {
        Ok(Kept {
            code: ask.keep(&shared)?,
            shots: match ask.subject()? {
                Subject::Ladder(ladder) => ladder.rungs.len(),
                Subject::Marks(marks) => marks.marks.len(),
            },
        })
    })
    .await?;
    Ok(Json(kept))
}

fn asked() -> Vec<(&'static str, Schema)> {
    let mut all = vec![
        ("ladder", reference("Ladder")),
        ("marks", reference("Marks")),
        ("code", text("Code under which the log keeps it")),
        ("paper", text("a4 or letter")),
        ("plain", truth("Large letters, no decimals")),
        ("stroke", reference("Stroke")),
    ];
    all.extend(gear_properties());
    all
}

fn stroke() -> Schema {
    options(&[
        ("pace", text("Speed of the object ball at the pocket")),
        ("roll", text("Roll ratio at contact")),
        ("hit", text("stun, roll, draw or follow")),
        ("side", text("Side spin ratio")),
        ("bridge", text("Length of the bridge")),
    ])
}

fn example() -> Value {
    json!({"marks": {
        "gear": "pool-9ft", "asked_in_ten": 7.0, "object": "6,2", "object_words": "on the foot spot",
        "pocket": "foot-left", "string_to": "0,1", "string_words": "on the head rail", "cut_deg": 20.0,
        "marks": [{"student": "A", "player": "club player, assumed", "distance_mm": 600.0,
            "cue": "1300mm,500mm", "makes_in_ten": 7.0}],
        "rotation": []
    }})
}

fn route(path: &'static str, summary: &'static str) -> Route {
    Route {
        path,
        method: Method::POST,
        summary,
        request: Some(options(&asked())),
        example: Some(example()),
        response: file(&["application/pdf"]),
        components: vec![("Stroke", stroke())],
        handler: post(sheet),
    }
}

pub(super) fn sheet_route() -> Route {
    route("/api/v1/sheet", "A ladder or a marks sheet on paper")
}

pub(super) fn preview_route() -> Route {
    Route {
        response: object(&[("pages", list(text("SVG"), "The pages as pictures"))]),
        handler: post(preview),
        ..route("/api/v1/preview", "The pages of such a sheet as pictures")
    }
}

pub(super) fn keep_route() -> Route {
    Route {
        response: object(&[
            ("code", text("Code to enter tallies by")),
            ("shots", number("How many shots")),
        ]),
        handler: post(keep),
        ..route("/api/v1/keep", "Keeps such a sheet in the practice log")
    }
}
