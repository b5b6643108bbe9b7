//! `thincut survey`: tables and charts over cuts and distances.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use thincut::charts::Picture;
use thincut::charts::render::Size;
use thincut::charts::survey::{SurveyChartError, by_cut, map};
use thincut::files::Batch;
use thincut::gear::Gear;
use thincut::player::PlayerRequest;
use thincut::request::{StrokeRequest, cuts, lengths, pocket_kind, quantity};
use thincut::survey::{Grid, Row, SurveyCsv, story, survey};
use thincut::units::Angle;

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::output::{keep_picture, progress};
use crate::student::{StudentArgs, cut};

/// Why are thin cuts over long distances hard? Tables and charts over a grid of shots.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut survey\n  \
    thincut survey --gear pool-7ft --cuts 0deg..75deg/15deg --aparts 2ft,4ft --out seven-foot --force\n\n\
    Writes survey-GEAR.csv and charts into --out. Columns: thincut survey --columns")]
pub(crate) struct SurveyCommand {
    /// Cuts, a list `0deg,half-ball` or a range `0deg..80deg/5deg` [default: 0deg..80deg/5deg]
    #[arg(long, value_name = "CUTS", allow_hyphen_values = true)]
    cuts: Option<String>,
    /// Distances between the balls [default: 1ft,2ft,3ft,4ft,6ft,8ft]
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    aparts: Option<String>,
    /// Distances to the pocket [default: 1ft,2ft,3ft,4ft,5ft]
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    to_pockets: Option<String>,
    /// corner or side [default: corner]
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,
    /// Angle from square in to the ball's way [default: 0deg]
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    approach: Option<String>,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    player: PlayerRequest,
    #[command(flatten)]
    student: StudentArgs,
    #[command(flatten)]
    gear: GearArgs,
    /// Folder for the files
    #[arg(long, value_name = "DIR", default_value = "survey")]
    out: PathBuf,
    /// Replace files that exist
    #[arg(long)]
    force: bool,
    /// all, none, or a list of by-cut and map
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
            return Ok(out.write_all(COLUMNS.as_bytes())?);
        }
        let gear = self.gear.load(defaults)?.gear;
        let grid = self.grid()?;
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
        let no_chart = self.draw(&gear, &grid, charts, &mut files)?;
        for line in story(&told, self.units.pick(defaults)) {
            writeln!(out, "{line}")?;
        }
        for reason in no_chart {
            writeln!(out, "{reason}")?;
        }
        for path in files.keep()? {
            writeln!(out, "{}", path.display())?;
        }
        Ok(())
    }

    /// Which charts, by name.
    fn charts(&self) -> Result<&'static [NamedChart], Fault> {
        match self.charts.as_str() {
            "all" => Ok(&CHARTS),
            "none" => Ok(&[]),
            "by-cut" => Ok(&CHARTS[..1]),
            "map" => Ok(&CHARTS[1..]),
            "by-cut,map" | "map,by-cut" => Ok(&CHARTS),
            other => Err(Fault::input(format!(
                "--charts {other}: it must be all, none, by-cut, map or by-cut,map"
            ))),
        }
    }

    /// Draws into the batch; gives the reasons for charts this grid is too small for.
    fn draw(
        &self,
        gear: &Gear,
        grid: &Grid,
        charts: &[NamedChart],
        files: &mut Batch,
    ) -> Result<Vec<String>, Fault> {
        let size = CHART_SIZE.parse::<Size>().map_err(Fault::running)?;
        let mut reasons = Vec::new();
        for (name, draw) in charts {
            match draw(gear, grid, size) {
                Ok(picture) => {
                    keep_picture(
                        files,
                        &format!("{name}-{}", file_name(&gear.name)),
                        &picture,
                    )?;
                }
                Err(why) => reasons.push(format!("No chart {name}: {why}.")),
            }
        }
        Ok(reasons)
    }

    fn grid(&self) -> Result<Grid, Fault> {
        let default = Grid::default();
        let m = |option, text: &Option<String>, default: Vec<f64>| -> Result<Vec<f64>, Fault> {
            match text {
                Some(t) => Ok(lengths(option, t)?.into_iter().map(|l| l.m()).collect()),
                None => Ok(default),
            }
        };
        let stroke = self.stroke.stroke()?;
        Ok(Grid {
            cuts_rad: match &self.cuts {
                Some(t) => cuts("--cuts", t)?.into_iter().map(Angle::rad).collect(),
                None => default.cuts_rad,
            },
            aparts_m: m("--aparts", &self.aparts, default.aparts_m)?,
            to_pockets_m: m("--to-pockets", &self.to_pockets, default.to_pockets_m)?,
            kind: pocket_kind(self.kind.as_deref())?,
            approach_rad: quantity::<Angle>("--approach", self.approach.as_deref())?
                .map_or(0.0, Angle::rad),
            stroke,
            player: self
                .student
                .player(&self.player, cut(stroke.straight_is_left))?
                .map(|p| p.error),
        })
    }
}

/// A survey's chart and its name.
type NamedChart = (
    &'static str,
    fn(&Gear, &Grid, Size) -> Result<Picture, SurveyChartError>,
);

const CHARTS: [NamedChart; 2] = [("by-cut", by_cut), ("map", map)];
const CHART_SIZE: &str = "1200x800";

/// Larger grids are written but not retold: the story needs them in memory.
const MOST_TOLD: u64 = 100_000;

/// A gear's name as part of a file name.
fn file_name(name: &str) -> String {
    let kept = |c: char| c.is_alphanumeric() || "-_.".contains(c);
    let words = name.split(|c| !kept(c)).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-")
}

const COLUMNS: &str = "\
gear              name of the equipment
kind              corner or side
approach_deg      pocket axis to the object ball's way, counter-clockwise positive
pace_m_s          speed of the object ball at the mouth
roll              roll of the cue ball at contact: 1 rolling, 0 stun
cut_deg           cut as asked for, before throw, for the middle of the pocket
apart_mm          cue ball to object ball, centre to centre
to_pocket_mm      object ball to the middle of the mouth
cue_travel_mm     cue ball to ghost ball
cue_speed_m_s     speed of the cue ball at contact that this pace needs
throw_deg         throw at the aim, positive when it makes the cut fuller
clean_thick_deg   room towards a fuller hit, untouched
clean_thin_deg    room towards a thinner hit, untouched
clean_total_deg   both
clean_ghost_mm    both, at the ghost ball
direct_total_deg  untouched or off the jaws
direct_ghost_mm   the same at the ghost ball
drop_thick_deg    untouched, off the jaws or off the rail, fuller side
drop_thin_deg     the same, thinner side
drop_total_deg    both
drop_ghost_mm     both, at the ghost ball
share_of_straight direct_total_deg over that of the straight shot at the same distances
status            ok, too-fast, out-of-reach, too-close, no-drop or in-the-jaws
makes_in_ten      with a player: chance to make it, times ten
equal_straight_mm with a player: as hard as a straight shot this long twice
Numbers are empty where there are none.
";
