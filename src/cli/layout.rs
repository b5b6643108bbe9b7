//! `thincut layout`: whether a layout file is good, and what is in it.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Subcommand;
use kurbo::Point;
use thincut::gear::Gear;
use thincut::layout::{Layout, place_words};

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::output::{Format, json};

/// What to do with a layout.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum LayoutCommand {
    /// Check a layout file and say where its balls lie
    #[command(after_help = "Example:\n  thincut layout check five-left.csv\n\n\
        A layout is CSV with the header ball,x,y: x in diamonds from the head rail (0 to 8), y from the\n\
        right rail (0 to 4), or lengths such as 50in, or frozen-left, frozen-right, frozen-head, frozen-foot;\n\
        or a ball and a spot: 8,foot-spot. The cue ball is called cue. Lines that start with # are comments.")]
    Check {
        /// The layout file
        file: PathBuf,
        #[command(flatten)]
        gear: GearArgs,
        /// text or json
        #[arg(long, value_enum, default_value_t, hide_possible_values = true)]
        format: Format,
    },
}

impl LayoutCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let Self::Check { file, gear, format } = self;
        let gear = gear.load(defaults)?.gear;
        let layout = read(file, &gear)?;
        if *format == Format::Json {
            return json(out, &layout);
        }
        let mut line =
            |label: &str, at: Point| writeln!(out, "{label:>4}  {}", place_words(&gear, at.into()));
        line("cue", layout.cue)?;
        for ball in &layout.balls {
            line(&ball.label, ball.at)?;
        }
        Ok(writeln!(
            out,
            "{} balls and the cue ball, all in good places.",
            layout.balls.len()
        )?)
    }
}

/// Reads a layout file; every fault with its line.
pub(crate) fn read(file: &Path, gear: &Gear) -> Result<Layout, Fault> {
    let text = std::fs::read_to_string(file)
        .map_err(|e| Fault::input(format!("cannot read the layout {}: {e}", file.display())))?;
    Layout::parse(&text, gear).map_err(|e| Fault::input(format!("{}:\n{e}", file.display())))
}
