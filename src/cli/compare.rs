//! `thincut compare`: the same shots on two or more gears.

use std::io::Write;

use clap::Args;
use thincut::answer::{COMPARE_HEADER, compare_gears, usual_shots};
use thincut::gear::{Gear, LoadedGear};
use thincut::player::{Cut, PlayerRequest};
use thincut::request::{PlacesRequest, ShotRequest};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::output::{Format, json};
use crate::student::StudentArgs;

/// How much harder is another table, or a dirty ball? The same shots on two or more gears
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut compare --gear pool-9ft --gear pool-9ft+pocket.corner.mouth=4.125in --level club\n  \
    thincut compare --gear pool-9ft --gear pool-9ft+ball.contact.friction_scale=1.3 --hit stun\n\n\
    A gear may carry changes after plus signs; --set changes all of them. Without a shot, 24 usual\n\
    ones are compared, from straight to 60°, corner and side; the largest loss of room comes first.")]
pub(crate) struct CompareCommand {
    /// A gear, with changes of its own as NAME+KEY=VALUE; give two or more, the first is compared with
    #[arg(long, value_name = "GEAR", required = true)]
    gear: Vec<String>,
    /// Change one value of every gear; may be repeated
    #[arg(long, value_name = "KEY=VALUE")]
    set: Vec<String>,
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    player: PlayerRequest,
    #[command(flatten)]
    student: StudentArgs,
    /// Show every shot
    #[arg(long, help_heading = "What to show")]
    all: bool,
    /// text, json or csv
    #[arg(
        long,
        value_enum,
        default_value_t,
        hide_possible_values = true,
        help_heading = "What to show"
    )]
    format: Format,
    #[command(flatten)]
    units: UnitArgs,
}

/// Shots listed without --all.
const SHOWN: usize = 8;

impl CompareCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        if self.gear.len() < 2 {
            return Err(Fault::input(
                "--gear: give two gears or more, such as --gear pool-9ft --gear pool-7ft",
            ));
        }
        let gears = self
            .gear
            .iter()
            .map(|g| self.load(g))
            .collect::<Result<Vec<_>, Fault>>()?;
        let shots = if self.request.places == PlacesRequest::default() {
            usual_shots(&self.request.stroke)
        } else {
            vec![self.request.clone()]
        };
        let player = self.student.player(&self.player, Cut::Left)?;
        let who = player.as_ref().map(|p| (p.who.as_str(), &p.error));
        let answer = compare_gears(&gears, &shots, who)?;
        match self.format {
            Format::Json => json(out, &answer),
            Format::Csv => {
                let mut writer = csv::Writer::from_writer(out);
                writer.write_record(COMPARE_HEADER)?;
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
                Ok(out.write_all(answer.text(most, self.units.pick(defaults)).as_bytes())?)
            }
        }
    }

    /// A gear by name or file, with its own changes and those for all.
    fn load(&self, text: &str) -> Result<(String, Gear), Fault> {
        let mut parts = text.split('+');
        let mut name = parts.next().unwrap_or_default().to_owned();
        let mut changes: Vec<String> = Vec::new();
        for part in parts {
            // A plus sign without a change belongs to the file's name.
            if part.contains('=') {
                changes.push(part.to_owned());
            } else {
                name = format!("{name}+{part}");
            }
        }
        let overrides: Vec<String> = self.set.iter().chain(&changes).cloned().collect();
        let gear = LoadedGear::load(&name, &overrides)?.gear;
        Ok((gear.name.clone(), gear))
    }
}
