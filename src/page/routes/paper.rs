//! `POST /api/v1/sheet`, `/preview` and `/keep`: a ladder or a marks sheet on paper, as pictures of
//! its pages, and kept in the practice log under its code.

use kurbo::Point;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use crate::draw::pdf::Stamp;
use crate::field::Field;
use crate::gear::Gear;
use crate::ladder::{LadderAnswer, MarksAnswer};
use crate::layout::{Ball, Layout, Table, direct};
use crate::log::{self, PassMark, Rung, SheetKind, ShotEntered, Windows, solve_entered};
use crate::motion::BallBody;
use crate::page::ask::{OBJECT, Rest, paper};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::route::{About, File, Route};
use crate::page::state::{GearRequest, Setup};
use crate::request::{Places, PlacesRequest, ShotRequest, StrokeRequest, pocket_name};
use crate::sheets::booklet::{Booklet, ladder_sheet};
use crate::sheets::marks::{kept_marks_sheet, marks_sheet};
use crate::sheets::{Sheet, Style};
use crate::units::{Position, Side};

/// A ladder or marks, and how to print or keep them.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(default, expecting = "an object")]
struct Ask {
    /// As `/api/v1/ladder` answered.
    ladder: Option<LadderAnswer>,
    /// As `/api/v1/marks` answered.
    marks: Option<MarksAnswer>,
    /// Code under which the log keeps it.
    code: Option<String>,
    /// `a4` or `letter`.
    paper: Option<String>,
    /// Large letters, no decimals.
    plain: bool,
    stroke: StrokeRequest,
    #[serde(flatten)]
    gear: GearRequest,
    #[serde(flatten)]
    rest: Rest,
}

/// What is printed or kept.
enum Subject<'a> {
    Ladder(&'a LadderAnswer),
    Marks(&'a MarksAnswer),
}

impl Ask {
    fn subject(&self) -> Result<Subject<'_>, ApiFault> {
        self.rest.none()?;
        match (&self.ladder, &self.marks) {
            (Some(ladder), None) => Ok(Subject::Ladder(ladder)),
            (None, Some(marks)) => Ok(Subject::Marks(marks)),
            _ => Err(ApiFault::value(
                "give ladder or marks, as /api/v1/ladder or /api/v1/marks answered",
            )),
        }
    }

    fn sheet(&self, setup: &Setup) -> Result<Sheet, ApiFault> {
        let gear = setup.gear(&self.gear)?;
        let style = Style {
            paper: paper(self.paper.clone())?,
            plain: self.plain,
            units: setup.units,
            words: setup.words,
        };
        Ok(match self.subject()? {
            Subject::Ladder(ladder) => {
                let mut booklet = Booklet::new(ladder);
                booklet.kept = self.code.is_some();
                booklet.code = self.code.clone().or(booklet.code);
                ladder_sheet(&gear.gear, &booklet, &style)?
            }
            Subject::Marks(marks) => {
                let mut marks = marks.clone();
                if self.code.is_some() {
                    marks.code.clone_from(&self.code);
                    kept_marks_sheet(&gear.gear, &marks, &style)?
                } else {
                    marks_sheet(&gear.gear, &marks, &style)?
                }
            }
        })
    }

    /// A shot as the log keeps it; a stroke in lengths gives each shot its own pace.
    fn entered(&self, setup: &Setup, typed: Places<'_>, own_pace: Option<f64>) -> ShotEntered {
        let places = PlacesRequest::from(typed);
        let stroke = match own_pace {
            Some(pace) => StrokeRequest {
                stroke: None,
                pace: Some(format!("{pace}m/s")),
                ..self.stroke.clone()
            },
            None => self.stroke.clone(),
        };
        setup.entered(ShotRequest { places, stroke }, &self.gear)
    }

    /// The rungs of a ladder; with balls in the way the windows are what they leave.
    fn rungs(&self, setup: &Setup, ladder: &LadderAnswer) -> Result<Vec<Rung>, ApiFault> {
        let gear = setup.gear(&self.gear)?;
        let rungs = ladder.rungs.iter().map(|r| {
            let places = Places {
                cue: &r.cue,
                object: &r.object,
                pocket: &r.pocket,
            };
            let own_pace = ladder.stroke_lengths.map(|_| r.pace_m_s);
            let shot = self.entered(setup, places, own_pace);
            let (cut, windows) = if ladder.obstacles.is_empty() {
                let solved = solve_entered(&shot)?;
                (solved.cut, solved.windows)
            } else {
                left_open(&gear.gear, &shot, places, &ladder.obstacles)?
            };
            Ok(Rung {
                student: None,
                shot,
                cut,
                windows,
                pass: Some(PassMark {
                    makes: r.pass.makes,
                    tries: r.pass.tries,
                }),
            })
        });
        rungs.collect()
    }

    /// The shots as the log keeps them.
    fn keep(&self, setup: &Setup) -> Result<String, ApiFault> {
        let sheet = match self.subject()? {
            Subject::Ladder(l) => log::Sheet {
                kind: SheetKind::Ladder,
                title: format!("{} for {}", l.practise.name(), l.player),
                rungs: self.rungs(setup, l)?,
                gone: Vec::new(),
            },
            Subject::Marks(m) => {
                let shots = m.marks.iter().map(|mark| {
                    let places = Places {
                        cue: &mark.cue,
                        object: &m.object,
                        pocket: &m.pocket,
                    };
                    let shot = self.entered(setup, places, None);
                    (Some(mark.student.clone()), shot)
                });
                let title = format!("marks at {:.1} in 10", m.asked_in_ten);
                log::Sheet::of_shots(SheetKind::Marks, title, shots.collect())?
            }
        };
        setup.desk()?.write(|log| log.save_sheet(&sheet))
    }
}

/// Which way a rung with balls in the way cuts, and the windows they leave.
fn left_open(
    gear: &Gear,
    entered: &ShotEntered,
    typed: Places<'_>,
    obstacles: &[String],
) -> Result<(Side, Option<Windows>), ApiFault> {
    let stroke = entered.request.stroke.stroke(gear)?;
    let pocket = pocket_name(Field::Pocket, typed.pocket)?;
    let at = |text: &str, body: BallBody| -> Result<Point, ApiFault> {
        let place: Position = text.parse()?;
        Ok(gear.bed.locate(place, body.plan_radius_m)?)
    };
    let objects = std::iter::once(typed.object).chain(obstacles.iter().map(String::as_str));
    let balls = objects.enumerate().map(|(k, text)| {
        Ok(Ball {
            label: k.to_string(),
            at: at(text, BallBody::object(gear))?,
        })
    });
    let layout = Layout {
        cue: at(typed.cue, BallBody::cue(gear))?,
        balls: balls.collect::<Result<_, ApiFault>>()?,
    };
    let table = Table::new(gear, &layout);
    let set = table.drop_set(OBJECT, pocket, stroke.pace_m_s)?;
    let played = set.ok().and_then(|s| direct(&table, Ok(&s), &stroke).ok());
    Ok(match played.as_ref().and_then(|p| Some((p, p.window()?))) {
        Some((played, window)) => (
            window.cut_side,
            Some(Windows::left_open(window, &played.directions)),
        ),
        None => (solve_entered(entered)?.cut, None),
    })
}

fn sheet(setup: &Setup, ask: Ask) -> Result<File, ApiFault> {
    let pdf = ask.sheet(setup)?.pdf(Stamp::from_env()?)?;
    Ok(("application/pdf", pdf))
}

#[derive(Debug, Serialize, JsonSchema)]
struct Preview {
    /// The pages as SVG.
    pages: Vec<String>,
}

fn preview(setup: &Setup, ask: Ask) -> Result<Preview, ApiFault> {
    let pages = ask.sheet(setup)?.svgs()?;
    Ok(Preview { pages })
}

#[derive(Debug, Serialize, JsonSchema)]
struct Kept {
    /// Code to enter tallies by.
    code: String,
    /// How many shots.
    shots: usize,
}

fn keep(setup: &Setup, ask: Ask) -> Result<Kept, ApiFault> {
    Ok(Kept {
        code: ask.keep(setup)?,
        shots: match ask.subject()? {
            Subject::Ladder(ladder) => ladder.rungs.len(),
            Subject::Marks(marks) => marks.marks.len(),
        },
    })
}

fn example() -> Value {
    json!({"marks": {
        "gear": "pool-9ft", "asked_in_ten": 7.0, "object": "6,2", "object_words": "on the foot spot",
        "pocket": "foot-left", "string_to": "0,1", "string_words": "on the head rail", "cut_deg": 20.0,
        "marks": [{"student": "A", "player": "club player, assumed", "distance_mm": 600.0,
            "cue": "1300mm,500mm", "chance": 0.7}],
        "rotation": []
    }})
}

pub(super) fn sheet_route() -> Route {
    let about = About::new(
        "/api/v1/sheet",
        "A ladder or a marks sheet on paper",
        example(),
    );
    Route::drawing(about, &["application/pdf"], sheet)
}

pub(super) fn preview_route() -> Route {
    let about = About::new(
        "/api/v1/preview",
        "The pages of such a sheet as pictures",
        example(),
    );
    Route::solving(about, Lane::Long, preview)
}

pub(super) fn keep_route() -> Route {
    let about = About::new(
        "/api/v1/keep",
        "Keeps such a sheet in the practice log",
        example(),
    );
    Route::noting(about, keep)
}
