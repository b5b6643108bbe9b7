//! `thincut level`: who the levels are, and which is nearest to what somebody made.

use std::io::Write;

use clap::Args;
use thincut::answer::{LevelAnswer, Made, levels_text, nearest_level_text};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{FormatArgs, TextOrJson};
use crate::output::json;
use crate::table::GearArgs;

/// Who is a club player? Each level by a shot anybody can set up, and the one nearest to you
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut level\n  \
    thincut level --made 6/10\n  \
    thincut level --made 6/10 --four-feet\n\n\
    The shot: straight into a corner pocket, two feet between the balls and two feet to the pocket.")]
pub(crate) struct LevelCommand {
    /// How many you made of how many, such as 6/10
    #[arg(long, value_name = "MADE/TRIES")]
    made: Option<String>,
    /// They were of the longer shot: four feet and four feet
    #[arg(long, requires = "made")]
    four_feet: bool,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    format: FormatArgs<TextOrJson>,
    #[command(flatten)]
    units: UnitArgs,
}

/// More tries than anybody counts.
const MOST_TRIES: u32 = 10_000;

impl LevelCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let made = self.made.as_deref().map(made).transpose()?;
        let gear = self.gear.load(defaults)?.gear;
        let answer = LevelAnswer::new(&gear, made, self.four_feet)?;
        if self.format.asked == TextOrJson::Json {
            return json(out, &answer);
        }
        let speech = self.units.pick(defaults, &gear);
        if let Some(text) = nearest_level_text(&answer, speech) {
            out.write_all(text.as_bytes())?;
        }
        Ok(out.write_all(levels_text(&answer, speech).as_bytes())?)
    }
}

/// Reads `6/10`.
fn made(text: &str) -> Result<Made, Fault> {
    let refused = || {
        Fault::input(format!(
            "--made {text}: write how many of how many, such as 6/10 (at most {MOST_TRIES} tries)"
        ))
    };
    let (made, of) = text.split_once('/').ok_or_else(refused)?;
    let count = |text: &str| text.trim().parse::<u32>().map_err(|_| refused());
    let (made, of) = (count(made)?, count(of)?);
    if of == 0 || of > MOST_TRIES || made > of {
        return Err(refused());
    }
    Ok(Made { made, of })
}
