//! Formats, and writing whole files or none.

use std::io::{IsTerminal, Write};
use std::path::PathBuf;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use serde::Serialize;
use thincut::charts::render::png;
use thincut::charts::{ChartError, Picture};
use thincut::files::Batch;

use crate::fault::Fault;

/// How results are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, clap::ValueEnum)]
pub(crate) enum Format {
    /// Sentences for people
    #[default]
    Text,
    /// Stable, documented, for programs
    Json,
    /// For spreadsheets
    Csv,
}

impl Format {
    /// Whether the raw arguments ask for JSON, so that even usage errors come as JSON.
    pub(crate) fn json_asked_for(args: impl Iterator<Item = String>) -> bool {
        let args: Vec<String> = args.collect();
        args.iter().any(|a| a == "--format=json")
            || args
                .windows(2)
                .any(|w| w[0] == "--format" && w[1] == "json")
    }
}

/// Pretty JSON with a line end.
pub(crate) fn json(out: &mut dyn Write, value: &impl Serialize) -> Result<(), Fault> {
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

impl From<ChartError> for Fault {
    fn from(error: ChartError) -> Self {
        Self::running(error)
    }
}
