//! `thincut table pockets`: what a pocket takes, by approach angle.

use std::io::Write;

use clap::Args;
use thincut::answer::{PocketAnswer, differences_text, fall_text, pocket_differences, pocket_text};
use thincut::columns::write_rows;
use thincut::field::Field;
use thincut::pocket::PocketKind;
use thincut::request::{angles, pace_m_s, pocket_kind, quantity};
use thincut::units::{Length, Speed};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{Format, FormatArgs};
use crate::output::json;
use crate::table::GearArgs;

/// Which directions do the pockets take, and how big are they from there?
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut table pockets\n  \
    thincut table pockets --kind corner --pace 2m/s --approaches=-45deg..45deg/5deg --format csv\n\n\
    Without --kind and --approaches: straight in, 20° and 45° for both kinds.\n\
    Effective size is how wide the pocket is for the ball's centre, seen from the ball.")]
pub(crate) struct PocketsCommand {
    /// corner or side [default: both]
    #[arg(long, value_name = "KIND")]
    kind: Option<String>,
    /// Speed of the object ball at the pocket, or dead-weight (0.4 m/s), medium (1 m/s) or firm (2 m/s)
    #[arg(
        long,
        value_name = "SPEED",
        default_value = "1m/s",
        allow_hyphen_values = true
    )]
    pace: String,
    /// Object ball to the middle of the mouth
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "0.8m",
        allow_hyphen_values = true
    )]
    distance: String,
    /// Approach angles, a list `0deg,20deg` or a range `-45deg..45deg/5deg`
    #[arg(
        long,
        value_name = "ANGLES",
        default_value = "0deg,20deg,45deg",
        allow_hyphen_values = true
    )]
    approaches: String,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    format: FormatArgs<Format>,
    #[command(flatten)]
    units: UnitArgs,
}

impl PocketsCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let kinds = match &self.kind {
            Some(word) => vec![pocket_kind(Some(word))?],
            None => vec![PocketKind::Corner, PocketKind::Side],
        };
        let pace = Speed::from_m_s(pace_m_s(Field::Pace, &self.pace)?);
        let distance =
            quantity::<Length>(Field::Distance, Some(&self.distance))?.unwrap_or(Length::ZERO);
        let approaches = angles(Field::Approaches, &self.approaches)?;
        let answer = PocketAnswer::solve(&gear, &kinds, pace, distance, &approaches)?;
        match self.format.asked {
            Format::Json => json(out, &answer),
            Format::Csv => Ok(write_rows(answer.records(), out)?),
            Format::Text => {
                let speech = self.units.pick(defaults, &gear);
                let mut text = pocket_text(&answer, speech);
                text.push_str(&fall_text(&gear, speech));
                text.push_str(&differences_text(&pocket_differences(&gear), speech));
                Ok(out.write_all(speech.said(&text).as_bytes())?)
            }
        }
    }
}
