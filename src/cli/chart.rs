//! `thincut chart`: one picture into one file.

use std::fmt::Display;
use std::io::Write;

use clap::Args;
use thincut::answer::{compare_gears, usual_shots};
use thincut::charts::behind::{EYE_HEIGHTS_M, USUAL_EYE_M};
use thincut::charts::in_words_of;
use thincut::charts::{self, Chart, Choice, Options, Over, Request, RoomUnit, Subject};
use thincut::field::Field;
use thincut::gear::Gear;
use thincut::player::Player;
use thincut::request::{PlacesRequest, ShotRequest, quantity};
use thincut::units::{Length, Side};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::grid::GridArgs;
use crate::output::PictureArgs;
use crate::student::WhoArgs;
use crate::table::GearsArgs;

/// Draw one chart into a file; `thincut chart list` shows all and what each answers
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut chart shot --cue 3,1 --object 5,2.4 --pocket foot-left --out shot.svg\n  \
    thincut chart shot --cue 3,1 --object 5,2.4 --pocket foot-left --behind --out seen.png\n  \
    thincut chart places --cue 3,1 --object 5,2.4 --pocket foot-left --level club --out places.png\n  \
    thincut chart pocket --kind side --out side.pdf --paper letter\n  \
    thincut chart grid --margin mm --over to-pocket --out grid.svg\n  \
    thincut chart gear --table pool-9ft --table pool-7ft --out gear.svg\n\n\
    The file's ending chooses the format. Charts of a shot take --cue, --object and --pocket, or\n\
    --cut, --cue-to-object and --to-pocket; by-cut and grid take several of these, as lists or\n\
    ranges (--cut 0deg..80deg/5deg); gear takes --table twice or more, with a shot or with the 24 usual ones.")]
pub(crate) struct ChartCommand {
    /// Which chart, or `list`
    #[arg(value_name = "NAME")]
    name: String,
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    drawing: DrawingArgs,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    gears: GearsArgs,
    #[command(flatten)]
    units: UnitArgs,
    #[command(flatten)]
    picture: PictureArgs,
}

/// How to draw, where a chart leaves a choice.
#[derive(Debug, Args)]
#[command(next_help_heading = "How to draw it")]
struct DrawingArgs {
    /// Unit of the margin in by-cut, grid and gear [default: degrees, mm in gear]
    #[arg(long = "margin", value_name = "UNIT")]
    room: Option<RoomWord>,
    /// The distance that varies in by-cut and grid [default: cue-to-object]
    #[arg(long, value_name = "DISTANCE")]
    over: Option<OverWord>,
    /// Distances by ratio: each line of by-cut twice as far as the one before, the distance axis of grid logarithmic
    #[arg(long)]
    log_distance: bool,
    /// The margin in by-cut on a linear axis instead of a logarithmic one
    #[arg(long)]
    linear: bool,
    /// The shot seen from behind the cue ball, with the eyes 35 cm above the cloth
    #[arg(long)]
    behind: bool,
    /// The same from another height of the eyes above the cloth, 10 cm to 2 m
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    eye_height: Option<String>,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum RoomWord {
    Degrees,
    Mm,
}

#[derive(Debug, Clone, Copy, clap::ValueEnum)]
enum OverWord {
    #[value(name = "cue-to-object", alias = "apart")]
    Apart,
    ToPocket,
}

impl DrawingArgs {
    fn options(&self) -> Result<Options, Fault> {
        Ok(Options {
            room: self.room.map(|r| match r {
                RoomWord::Degrees => RoomUnit::Degrees,
                RoomWord::Mm => RoomUnit::Mm,
            }),
            over: match self.over {
                Some(OverWord::ToPocket) => Over::ToPocket,
                Some(OverWord::Apart) | None => Over::Apart,
            },
            log_distance: self.log_distance,
            linear: self.linear,
            eye_height_m: self.eye_height_m()?,
            mark_shot: false,
        })
    }

    fn eye_height_m(&self) -> Result<Option<f64>, Fault> {
        let (low, high) = EYE_HEIGHTS_M;
        match quantity::<Length>(Field::EyeHeight, self.eye_height.as_deref())?.map(Length::m) {
            Some(m) if (low..=high).contains(&m) => Ok(Some(m)),
            Some(m) => Err(Fault::input(format!(
                "--eye-height {m} m is no height to look from; give {low} m to {high} m above the cloth"
            ))),
            None => Ok(self.behind.then_some(USUAL_EYE_M)),
        }
    }

    /// What is asked for, by option.
    fn given(&self) -> [(Choice, &'static str, bool); 6] {
        [
            (Choice::Room, "--margin", self.room.is_some()),
            (Choice::Over, "--over", self.over.is_some()),
            (Choice::LogDistance, "--log-distance", self.log_distance),
            (Choice::Linear, "--linear", self.linear),
            (Choice::EyeHeight, "--behind", self.behind),
            (Choice::EyeHeight, "--eye-height", self.eye_height.is_some()),
        ]
    }
}

impl ChartCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        if self.name == "list" {
            for chart in charts::asked() {
                writeln!(out, "{:<8} {}", chart.name(), chart.question())?;
            }
            return Ok(());
        }
        let chart = charts::find(&self.name).map_err(Fault::input)?;
        let plan = self.picture.plan()?.ok_or_else(|| {
            Fault::input("--out is missing: give a file ending in .svg, .png or .pdf")
        })?;
        self.check(chart)?;
        let gears = self.gears.load(defaults)?;
        let player = self.who.player(Side::Left)?;
        if player.is_some() {
            offers(chart, Choice::Player, "a player")?;
        }
        let mut request = Request::new(gears[0].1.clone(), plan.size);
        request.options = self.drawing.options()?;
        request.units = self.units.units_alone(defaults);
        self.fill(chart, &gears, player.as_ref(), &mut request)?;
        request.player = player;
        let words = self.units.pick(defaults, &gears[0].1).words;
        in_words_of(words, || plan.write(chart, &request, out))
    }

    /// Refuses options that would change nothing.
    fn check(&self, chart: &dyn Chart) -> Result<(), Fault> {
        for (choice, option, given) in self.drawing.given() {
            if given {
                offers(chart, choice, option)?;
            }
        }
        let about = |subjects: &[Subject]| subjects.contains(&chart.subject());
        let useless = |option: &dyn Display, instead: &str| {
            Fault::input(format!(
                "{option} does not go with chart {}: {instead}",
                chart.name()
            ))
        };
        let places = &self.request.places;
        if !about(&[Subject::Grid])
            && let Some((option, text)) = first_several(places)
        {
            return Err(Fault::input(format!(
                "{option} {text}: chart {} takes one; by-cut and grid take several",
                chart.name()
            )));
        }
        if about(&[Subject::Grid])
            && let Some(option) = first_on_table(places)
        {
            return Err(useless(
                &option,
                "it draws many shots; give --cut, --cue-to-object, --to-pocket, --kind or --approach",
            ));
        }
        let but_distance = PlacesRequest {
            to_pocket: None,
            ..places.clone()
        };
        if about(&[Subject::Hits])
            && let Some(option) = first_place(&but_distance)
        {
            return Err(useless(
                &option,
                "it draws usual hits and distances; give --kind, --to-pocket or --approach",
            ));
        }
        if about(&[Subject::Pocket]) && first_place(places).is_none() && places.approach.is_some() {
            return Err(useless(&Field::Approach, "it draws every approach"));
        }
        let whole = ShotRequest::default();
        if about(&[Subject::Gear]) && self.request != whole {
            return Err(useless(&"a shot or a stroke", "it draws the table alone"));
        }
        Ok(())
    }

    /// What the chart is about.
    fn fill(
        &self,
        chart: &dyn Chart,
        gears: &[(String, Gear)],
        player: Option<&Player>,
        request: &mut Request,
    ) -> Result<(), Fault> {
        let subject = chart.subject();
        if subject != Subject::Gears && gears.len() > 1 {
            return Err(Fault::input(format!(
                "--table: chart {} draws one table; give it once, or draw chart gear",
                chart.name()
            )));
        }
        let (gear, places) = (&gears[0].1, &self.request.places);
        match subject {
            Subject::Shot if *places == PlacesRequest::default() => {}
            Subject::Shot => request.shot = Some(self.request.shot(gear)?),
            Subject::Pocket if first_place(places).is_some() => {
                request.shot = Some(self.request.shot(gear)?);
            }
            Subject::Grid | Subject::Hits | Subject::Pocket => {
                let (kind, approach) = (places.kind.as_deref(), places.approach.as_deref());
                request.grid = many(places).grid(kind, approach, &self.request.stroke, gear)?;
            }
            Subject::Gears if gears.len() > 1 => {
                let shots = if *places == PlacesRequest::default() {
                    usual_shots(&self.request.stroke)
                } else {
                    vec![self.request.clone()]
                };
                request.compared = Some(compare_gears(gears, &shots, player)?);
            }
            Subject::Gears | Subject::Gear => {}
        }
        Ok(())
    }
}

/// The options of many shots, which are those of one by angles.
fn many(places: &PlacesRequest) -> GridArgs {
    GridArgs {
        cut: places.cut.clone(),
        cue_to_object: places.apart.clone(),
        to_pocket: places.to_pocket.clone(),
    }
}

/// The first option given with a list or a range.
fn first_several(places: &PlacesRequest) -> Option<(Field, &str)> {
    [
        (Field::Cut, &places.cut),
        (Field::Apart, &places.apart),
        (Field::ToPocket, &places.to_pocket),
    ]
    .into_iter()
    .filter_map(|(option, value)| Some((option, value.as_deref()?)))
    .find(|(_, text)| text.contains(',') || text.contains(".."))
}

/// The first option given that belongs to one shot only.
fn first_on_table(places: &PlacesRequest) -> Option<Field> {
    [
        (Field::Cue, &places.cue),
        (Field::Object, &places.object),
        (Field::Pocket, &places.pocket),
        (Field::CutSide, &places.cut_side),
    ]
    .into_iter()
    .find_map(|(option, value)| value.as_ref().map(|_| option))
}

/// The first option given that says where the balls are.
fn first_place(places: &PlacesRequest) -> Option<Field> {
    [
        (Field::Cue, &places.cue),
        (Field::Object, &places.object),
        (Field::Pocket, &places.pocket),
        (Field::Cut, &places.cut),
        (Field::Apart, &places.apart),
        (Field::ToPocket, &places.to_pocket),
        (Field::CutSide, &places.cut_side),
    ]
    .into_iter()
    .find_map(|(option, value)| value.as_ref().map(|_| option))
}

/// "places, why and gear".
fn listed(names: &[&str]) -> String {
    match names {
        [most @ .., last] if !most.is_empty() => format!("{} and {last}", most.join(", ")),
        names => names.concat(),
    }
}

/// Refuses a choice that the chart does not offer, naming the charts that do.
fn offers(chart: &dyn Chart, choice: Choice, option: &str) -> Result<(), Fault> {
    if chart.choices().contains(&choice) {
        return Ok(());
    }
    let others: Vec<&str> = charts::asked()
        .filter(|c| c.choices().contains(&choice))
        .map(|c| c.name())
        .collect();
    Err(Fault::input(format!(
        "{option} does not go with chart {}; it goes with {}",
        chart.name(),
        listed(&others)
    )))
}
