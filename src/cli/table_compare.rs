//! `thincut table compare`: the same shots on two or more tables.

use std::io::Write;

use clap::Args;
use thincut::answer::{
    CompareAnswer, compare_gears, differences_text, pocket_differences, usual_shots,
};
use thincut::charts::Request;
use thincut::charts::gear::GearChart;
use thincut::charts::in_words_of;
use thincut::gear::Gear;
use thincut::request::{PlacesRequest, ShotRequest};
use thincut::speech::Speech;
use thincut::units::Side;

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{Format, FormatArgs};
use crate::output::{PictureArgs, json};
use crate::student::WhoArgs;
use crate::table::GearsArgs;

/// How much harder is another table, or a dirty ball? The same shots on two or more tables
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut table compare --table pool-9ft --table pool-9ft+pocket.corner.mouth=4.125in --level club\n  \
    thincut table compare --table pool-9ft --table pool-9ft+ball.contact.friction_scale=1.3 --arrives stun\n  \
    thincut table compare --table pool-9ft --table pool-7ft --out seven-foot.svg\n\n\
    A table may carry changes after plus signs; --set changes all of them. Without a shot, 24 usual\n\
    ones are compared, from straight to 60°, corner and side; the largest loss comes first.")]
pub(crate) struct CompareCommand {
    #[command(flatten)]
    gears: GearsArgs,
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    who: WhoArgs,
    /// Show every shot
    #[arg(long, help_heading = "What to show")]
    all: bool,
    #[command(flatten)]
    format: FormatArgs<Format>,
    #[command(flatten)]
    units: UnitArgs,
    #[command(flatten)]
    picture: PictureArgs,
}

/// Shots listed without --all.
const SHOWN: usize = 8;

impl CompareCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gears = self.gears.load(defaults)?;
        if gears.len() < 2 {
            return Err(Fault::input(
                "--table: give two tables or more, such as --table pool-9ft --table pool-7ft",
            ));
        }
        let plan = self.picture.plan()?;
        let shots = if self.request.places == PlacesRequest::default() {
            usual_shots(&self.request.stroke)
        } else {
            vec![self.request.clone()]
        };
        let player = self.who.player(Side::Left)?;
        let answer = compare_gears(&gears, &shots, player.as_ref())?;
        let speech = self.units.pick(defaults, &gears[0].1);
        self.print(&answer, &gears, speech, out)?;
        if let Some(plan) = plan {
            let mut request = Request::new(gears[0].1.clone(), plan.size);
            request.compared = Some(answer);
            request.player = player;
            // Data on standard output stay data.
            let mut nowhere = std::io::sink();
            let told: &mut dyn Write = match self.format.asked {
                Format::Text => out,
                Format::Json | Format::Csv => &mut nowhere,
            };
            in_words_of(speech.words, || plan.write(&GearChart, &request, told))?;
        }
        Ok(())
    }

    fn print(
        &self,
        answer: &CompareAnswer,
        gears: &[(String, Gear)],
        speech: Speech,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        match self.format.asked {
            Format::Json => json(out, answer),
            Format::Csv => {
                let mut writer = csv::Writer::from_writer(out);
                for record in answer.records() {
                    writer.write_record(record)?;
                }
                Ok(writer.flush()?)
            }
            Format::Text => {
                let most = if self.all { usize::MAX } else { SHOWN };
                if let Some(who) = &answer.player {
                    writeln!(out, "Chances for: {who}.")?;
                }
                out.write_all(speech.said(&answer.text(most, speech)).as_bytes())?;
                for (name, gear) in gears {
                    let differ = pocket_differences(gear);
                    if !differ.is_empty() {
                        let text = differences_text(&differ, speech);
                        let told = format!("On {name}:\n{text}");
                        out.write_all(speech.said(&told).as_bytes())?;
                    }
                }
                Ok(())
            }
        }
    }
}
