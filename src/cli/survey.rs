//! `thincut survey`: tables and charts over cuts and distances.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use serde_json::Value;
use thincut::charts::by_cut::ByCutChart;
use thincut::charts::grid::GridChart;
use thincut::charts::in_words_of;
use thincut::charts::{Chart, Request};
use thincut::draw::Size;
use thincut::files::Batch;
use thincut::gear::Gear;
use thincut::request::StrokeRequest;
use thincut::survey::{Grid, PlayedAnswer, Row, RowAnswer, SurveyCsv, story, survey};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::grid::GridArgs;
use crate::output::{keep_picture, progress};
use crate::student::WhoArgs;
use crate::table::GearArgs;

/// Why are thin cuts over long distances hard? Tables and charts over a grid of shots.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut survey\n  \
    thincut survey --table pool-7ft --cut 0deg..75deg/15deg --cue-to-object 2ft,4ft --out seven-foot --force\n\n\
    Writes survey-TABLE.csv and charts into --out. Columns: thincut survey --columns")]
pub(crate) struct SurveyCommand {
    #[command(flatten)]
    grid: GridArgs,
    /// corner or side [default: corner]
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,
    /// Angle off straight in of the object ball's path [default: 0deg]
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    approach: Option<String>,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    gear: GearArgs,
    /// Folder for the files
    #[arg(long, value_name = "DIR", default_value = "survey")]
    out: PathBuf,
    /// Replace files that exist
    #[arg(long)]
    force: bool,
    /// all, none, or a list of by-cut and grid
    #[arg(long, value_name = "LIST", default_value = "all")]
    charts: String,
    /// Explain the columns of the table and stop
    #[arg(long)]
    columns: bool,
    #[command(flatten)]
    units: UnitArgs,
}

impl SurveyCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        if self.columns {
            return Ok(out.write_all(explained().as_bytes())?);
        }
        let gear = self.gear.load(defaults)?.gear;
        let grid = self.grid(&gear)?;
        let charts = self.charts()?;
        thincut::survey::check(&gear, &grid)?;
        let mut files = Batch::new(&self.out, self.force)?;
        let table = files.file(&format!("survey-{}.csv", file_name(&gear.name)))?;
        let bar = progress(Some(grid.len()), "{bar:40} {pos}/{len} shots, {eta} left");
        let mut csv = SurveyCsv::new(table, &gear, &grid)?;
        let mut told: Vec<Row> = Vec::new();
        survey(&gear, &grid, |row| -> Result<(), Fault> {
            bar.inc(1);
            if grid.len() <= MOST_TOLD {
                told.push(row.clone());
            }
            Ok(csv.write(row)?)
        })?;
        bar.finish_and_clear();
        csv.finish()?;
        let speech = self.units.pick(defaults, &gear);
        let draw = || Self::draw(&gear, &grid, &charts, &mut files);
        let no_chart = in_words_of(speech.words, draw)?;
        for line in story(&told, speech) {
            writeln!(out, "{}", speech.said(&line))?;
        }
        for reason in no_chart {
            writeln!(out, "{}", speech.said(&reason))?;
        }
        for path in files.keep()? {
            writeln!(out, "{}", path.display())?;
        }
        Ok(())
    }

    /// Which charts, by name; each once.
    fn charts(&self) -> Result<Vec<&'static dyn Chart>, Fault> {
        let wanted: Vec<&str> = match self.charts.trim() {
            "all" => return Ok(CHARTS.to_vec()),
            "none" => return Ok(Vec::new()),
            list => list.split(',').map(str::trim).collect(),
        };
        if let Some(wrong) = wanted
            .iter()
            .find(|w| CHARTS.iter().all(|c| c.name() != **w))
        {
            let names = CHARTS.map(|c| c.name());
            return Err(Fault::input(format!(
                "--charts {wrong}: it must be all, none, or a list of {}",
                names.join(" and ")
            )));
        }
        let of = |c: &&dyn Chart| wanted.contains(&c.name());
        Ok(CHARTS.into_iter().filter(of).collect())
    }

    /// Draws into the batch; gives the reasons for charts this grid is too small for.
    fn draw(
        gear: &Gear,
        grid: &Grid,
        charts: &[&'static dyn Chart],
        files: &mut Batch,
    ) -> Result<Vec<String>, Fault> {
        let mut request = Request::new(gear.clone(), Size::default());
        request.grid = grid.clone();
        let mut reasons = Vec::new();
        for chart in charts {
            // Lines read best when each is twice as far as the one before.
            request.options.log_distance = chart.name() == ByCutChart.name();
            let name = format!("{}-{}", chart.name(), file_name(&gear.name));
            match chart.draw(&request) {
                Ok(picture) => keep_picture(files, &name, &picture)?,
                Err(why) => reasons.push(format!("No chart {}: {why}.", chart.name())),
            }
        }
        Ok(reasons)
    }

    fn grid(&self, gear: &Gear) -> Result<Grid, Fault> {
        let (kind, approach) = (self.kind.as_deref(), self.approach.as_deref());
        let grid = self.grid.grid(kind, approach, &self.stroke, gear)?;
        let side = grid.stroke.straight_side;
        Ok(Grid {
            player: self.who.player(side)?.map(|p| p.error),
            ..grid
        })
    }
}

/// The charts over a grid.
const CHARTS: [&dyn Chart; 2] = [&ByCutChart, &GridChart];

/// Larger grids are written but not retold: the story needs them in memory.
const MOST_TOLD: u64 = 100_000;

/// A gear's name as part of a file name.
fn file_name(name: &str) -> String {
    let kept = |c: char| c.is_alphanumeric() || "-_.".contains(c);
    let words = name.split(|c| !kept(c)).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-")
}

/// Each column and what it is.
fn explained() -> String {
    let mut all = String::new();
    for (of, played) in [
        (schemars::schema_for!(RowAnswer), ""),
        (schemars::schema_for!(PlayedAnswer), "With a player. "),
    ] {
        let columns = of.get("properties").and_then(Value::as_object);
        for (name, column) in columns.into_iter().flatten() {
            let says = column["description"].as_str().unwrap_or_default();
            all.push_str(&format!(
                "{name:<17} {played}{}\n",
                says.trim_end_matches('.')
            ));
        }
    }
    all + "Numbers are empty where there are none.\n"
}
