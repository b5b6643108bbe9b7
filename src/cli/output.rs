//! Writing whole files or none.

use std::io::{IsTerminal, Write};
use std::path::PathBuf;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use serde::Serialize;
use thincut::charts::{Chart, Request};
use thincut::draw::pdf::Stamp;
use thincut::draw::render::{self, encode};
use thincut::draw::{Paper, Picture, Size, png};
use thincut::files::{Batch, may_write, write_whole};

use crate::fault::Fault;

/// Pretty JSON with a line end.
pub(crate) fn json<W: Write + ?Sized>(out: &mut W, value: &impl Serialize) -> Result<(), Fault> {
    serde_json::to_writer_pretty(&mut *out, value)?;
    Ok(writeln!(out)?)
}

/// A progress bar on a terminal, nothing elsewhere or where the size is not known.
pub(crate) fn progress(size: Option<u64>, template: &str) -> ProgressBar {
    let Some(size) = size.filter(|_| std::io::stderr().is_terminal()) else {
        return ProgressBar::hidden();
    };
    let bar = ProgressBar::with_draw_target(Some(size), ProgressDrawTarget::stderr_with_hz(10));
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style);
    }
    bar
}

/// Both files of a picture, SVG and PNG.
pub(crate) fn keep_picture(files: &mut Batch, name: &str, picture: &Picture) -> Result<(), Fault> {
    files.put(&format!("{name}.svg"), picture.svg.as_bytes())?;
    let bytes = png(&picture.svg, 1.0).map_err(Fault::running)?;
    Ok(files.put(&format!("{name}.png"), &bytes)?)
}

/// One picture into one file.
#[derive(Debug, Clone, clap::Args)]
#[command(next_help_heading = "The picture")]
pub(crate) struct PictureArgs {
    /// The file, ending in .svg, .png or .pdf
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Width x height in pixels
    #[arg(long, value_name = "SIZE", default_value = "1200x800")]
    size: String,
    /// Paper of a PDF: a4, letter or a3
    #[arg(long, value_name = "PAPER", default_value = "a4")]
    paper: String,
    /// Replace the file if it exists
    #[arg(long)]
    force: bool,
}

impl PictureArgs {
    /// What the options say, checked before anything is drawn; `None` without a file.
    pub(crate) fn plan(&self) -> Result<Option<PicturePlan>, Fault> {
        let size = self.size.parse().map_err(Fault::input)?;
        let paper = self.paper.parse().map_err(Fault::input)?;
        let Some(path) = self.out.clone() else {
            return Ok(None);
        };
        may_write(&path, self.force)?;
        Ok(Some(PicturePlan {
            format: render::Format::from_path(&path).map_err(Fault::input)?,
            stamp: Stamp::from_env().map_err(Fault::input)?,
            force: self.force,
            path,
            size,
            paper,
        }))
    }
}

/// A picture's file before it is drawn.
#[derive(Debug)]
pub(crate) struct PicturePlan {
    path: PathBuf,
    format: render::Format,
    pub(crate) size: Size,
    paper: Paper,
    stamp: Stamp,
    force: bool,
}

impl PicturePlan {
    /// Draws a chart into the file and says where it is.
    pub(crate) fn write(
        &self,
        chart: &dyn Chart,
        request: &Request,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let picture = chart.draw(request)?;
        let path = self.keep(&picture)?;
        Ok(writeln!(out, "{path}")?)
    }

    /// Writes a finished picture into the file; its path for saying so.
    pub(crate) fn keep(&self, picture: &Picture) -> Result<String, Fault> {
        let bytes = encode(picture, self.format, self.paper, self.stamp).map_err(Fault::running)?;
        write_whole(&self.path, &bytes, self.force)?;
        Ok(self.path.display().to_string())
    }
}

/// `--out` and `--force` of commands that write pictures when asked.
#[derive(Debug, Clone, Default, clap::Args)]
#[command(next_help_heading = "What to show")]
pub(crate) struct OutArgs {
    /// Write table and charts into this folder
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Replace files that exist
    #[arg(long, requires = "out")]
    pub(crate) force: bool,
}
