//! `thincut chart`: one picture into one file.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use thincut::charts::pdf::Stamp;
use thincut::charts::render::{Format, Paper, RenderError, Size, encode};
use thincut::charts::{self, ChartError, Request};
use thincut::files::write_whole;
use thincut::player::{Cut, PlayerRequest};
use thincut::request::{PlacesRequest, ShotRequest};

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::student::StudentArgs;

/// Draw one chart of a shot or of a pocket into a file; `thincut chart list` shows all
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut chart shot --cue 3,1 --object 5,2.4 --pocket foot-left --out shot.svg\n  \
    thincut chart places --cue 3,1 --object 5,2.4 --pocket foot-left --level club --out places.png\n  \
    thincut chart pocket --out corner.pdf --paper letter\n\n\
    The file's ending chooses the format. The charts over cuts and distances come with thincut survey.")]
pub(crate) struct ChartCommand {
    /// Which chart, or `list`
    #[arg(value_name = "NAME")]
    name: String,
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    player: PlayerRequest,
    #[command(flatten)]
    student: StudentArgs,
    #[command(flatten)]
    gear: GearArgs,
    /// The file, ending in .svg, .png or .pdf
    #[arg(long, value_name = "FILE", help_heading = "The picture")]
    out: Option<PathBuf>,
    /// Width x height in pixels
    #[arg(
        long,
        value_name = "SIZE",
        default_value = "1200x800",
        help_heading = "The picture"
    )]
    size: String,
    /// Paper of a PDF: a4 or letter
    #[arg(
        long,
        value_name = "PAPER",
        default_value = "a4",
        help_heading = "The picture"
    )]
    paper: String,
    /// Replace the file if it exists
    #[arg(long, help_heading = "The picture")]
    force: bool,
}

impl ChartCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        if self.name == "list" {
            for chart in charts::ALL {
                writeln!(out, "{:<8} {}", chart.name(), chart.question())?;
            }
            return Ok(());
        }
        let chart = charts::find(&self.name).map_err(Fault::input)?;
        let path = self.out.as_ref().ok_or_else(|| {
            Fault::input("--out is missing: give a file ending in .svg, .png or .pdf")
        })?;
        let format = Format::from_path(path).map_err(Fault::input)?;
        let size: Size = self.size.parse().map_err(Fault::input)?;
        let paper: Paper = self.paper.parse().map_err(Fault::input)?;
        let stamp = Stamp::from_env().map_err(Fault::input)?;
        let gear = self.gear.load(defaults)?.gear;
        let shot = if self.request.places == PlacesRequest::default() {
            None
        } else {
            Some(self.request.shot(&gear)?)
        };
        let player = self.student.player(&self.player, Cut::Left)?;
        if player.is_some() && !chart.takes_player() {
            return Err(Fault::input(format!(
                "chart {} draws no player's chances; leave the player out, or draw chart places",
                chart.name()
            )));
        }
        let request = Request {
            gear,
            size,
            shot,
            player,
        };
        let picture = chart.draw(&request).map_err(|e| match e {
            ChartError::Drawing(_) => Fault::running(e),
            other => Fault::input(other),
        })?;
        let bytes =
            encode(&picture, format, paper, stamp).map_err(|e: RenderError| Fault::running(e))?;
        write_whole(path, &bytes, self.force)?;
        Ok(writeln!(out, "{}", path.display())?)
    }
}
