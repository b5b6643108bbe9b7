//! `thincut ladder`: graded drills, marks for a group, a fair race.

use std::io::Write;

use clap::{Args, Subcommand};
use thincut::field::Field;
use thincut::gear::{DEFAULT_PRESET, Gear};
use thincut::ladder::{
    Ladder, LadderAnswer, LadderRequest, PassRule, QUESTIONED_TRIES, ScoreSheet, ladder,
    ladder_text, write_csv,
};
use thincut::layout::ReachRequest;
use thincut::log::{PassMark, Rung, SheetKind, ShotEntered};
use thincut::request::{Places, ShotRequest, StrokeRequest, number};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{Format, FormatArgs};
use crate::ladder_log::{Coded, KeepArgs, NewSheet, NextCommand, rung_of, rung_past};
use crate::marks::{MarksCommand, SpotCommand};
use crate::output::json;
use crate::play::question_reach;
use crate::student::WhoArgs;
use crate::table::GearArgs;

/// Which shots lead a player up evenly, from easy to hard?
#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Examples:\n  \
        thincut ladder --level club\n  \
        thincut ladder --level starting --practise thin-cuts --rungs 6 --from 8 --to 3\n  \
        thincut ladder --student K --keep    for a student of the practice log, with a code for tallies\n  \
        thincut ladder --level club --obstacle 4,2 --hand left --reach 700mm --lengths 2\n  \
        thincut ladder marks --students K=starting,L=club,M=league --chance 7"
)]
pub(crate) struct LadderCommand {
    #[command(subcommand)]
    other: Option<Other>,
    #[command(flatten)]
    request: LadderRequest,
    #[command(flatten)]
    pass: PassArgs,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    reach: ReachRequest,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    keep: KeepArgs,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    format: FormatArgs<Format>,
    #[command(flatten)]
    units: UnitArgs,
}

#[derive(Debug, Subcommand)]
enum Other {
    Marks(Box<MarksCommand>),
    Next(Box<NextCommand>),
    Spot(Box<SpotCommand>),
}

/// `--tries`, `--confidence`, `--weaker-by`.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "When a rung is passed")]
pub(crate) struct PassArgs {
    /// Tries a rung
    #[arg(long, value_name = "COUNT", default_value_t = 10)]
    tries: u32,
    /// How sure to be, percent
    #[arg(
        long,
        value_name = "PERCENT",
        default_value = "80",
        allow_hyphen_values = true
    )]
    confidence: String,
    /// Rule out a player this many makes in ten weaker
    #[arg(
        long,
        value_name = "MAKES",
        default_value = "2",
        allow_hyphen_values = true
    )]
    weaker_by: String,
}

impl PassArgs {
    pub(crate) fn rule(&self) -> Result<PassRule, Fault> {
        if self.tries > QUESTIONED_TRIES {
            writeln!(
                std::io::stderr(),
                "--tries {}: is that right? More than {QUESTIONED_TRIES} in a sitting is hard on wrist, elbow and back; split them over days.",
                self.tries
            )?;
        }
        let confidence = number(Field::Confidence, &self.confidence)?;
        let margin = number(Field::WeakerBy, &self.weaker_by)?;
        Ok(PassRule::new(self.tries, 0.01 * confidence, 0.1 * margin)?)
    }
}

impl LadderCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        match &self.other {
            Some(Other::Marks(c)) => return c.run(defaults, out),
            Some(Other::Next(c)) => return c.run(out),
            Some(Other::Spot(c)) => return c.run(defaults, out),
            None => {}
        }
        let gear = self.gear.load(defaults)?.gear;
        question_reach(&self.reach)?;
        let climber = self.who.climber()?;
        let mut wishes = self
            .request
            .wishes(&gear, climber.player.error, &self.stroke)?;
        wishes.right = climber.right;
        wishes.reach = self.reach.reach_or(climber.reach).map_err(Fault::input)?;
        wishes.pass = self.pass.rule()?;
        if self.format.asked == Format::Csv && !wishes.obstacles.is_empty() {
            return Err(Fault::input(
                "--format csv: a row of a file cannot say that a ball stands in the way; leave --obstacle out, or use --keep and enter tallies by the code",
            ));
        }
        let ladder = ladder(&gear, &wishes)?;
        let mut answer = LadderAnswer::new(
            &gear,
            &ladder,
            &climber.player,
            self.units.pick(defaults, &gear),
        );
        let kept = self.kept(defaults, &gear, &ladder, &answer)?;
        answer.code = Some(kept.code.clone());
        match self.format.asked {
            Format::Text => {
                let speech = self.units.pick(defaults, &gear);
                out.write_all(
                    speech
                        .said(&ladder_text(&answer, &gear.bed, speech))
                        .as_bytes(),
                )?;
                let who = self.who.student.label().unwrap_or("K");
                let tally = format!("\"3: {who} 6/10\"");
                Ok(writeln!(out, "{}", kept.line_below(&tally))?)
            }
            Format::Json => json(out, &answer),
            Format::Csv => {
                let sheet = ScoreSheet {
                    stroke: &self.stroke,
                    gear: gear_name(&self.gear, defaults),
                    set: &self.gear.set,
                    kept: kept.kept,
                };
                Ok(write_csv(out, &answer, &sheet)?)
            }
        }
    }

    /// The code, and whether the log knows it.
    fn kept(
        &self,
        defaults: &Defaults,
        gear: &Gear,
        ladder: &Ladder,
        answer: &LadderAnswer,
    ) -> Result<Coded, Fault> {
        let mut rungs = Vec::with_capacity(ladder.rungs.len());
        for (rung, said) in ladder.rungs.iter().zip(&answer.rungs) {
            // a stroke in lengths gives each shot its own pace, which is what the log keeps
            let stroke = match answer.stroke_lengths {
                Some(_) => StrokeRequest {
                    stroke: None,
                    pace: Some(format!("{}m/s", said.pace_m_s)),
                    ..self.stroke.clone()
                },
                None => self.stroke.clone(),
            };
            let places = Places {
                cue: &said.cue,
                object: &said.object,
                pocket: &said.pocket,
            };
            let shot = entered(&self.gear, defaults, &stroke, places);
            let kept = if answer.obstacles.is_empty() {
                rung_of(None, shot)?
            } else {
                rung_past(gear, &ladder.wishes, &rung.shot, shot)?
            };
            let pass = Some(PassMark {
                makes: said.pass.makes,
                tries: said.pass.tries,
            });
            rungs.push(Rung { pass, ..kept });
        }
        let title = format!("{} for {}", answer.practise.name(), answer.player);
        let kind = SheetKind::Ladder;
        let sheet = NewSheet { kind, title, rungs };
        self.keep.keep(sheet, self.who.student.log())
    }
}

/// The gear as named.
pub(crate) fn gear_name<'a>(gear: &'a GearArgs, defaults: &'a Defaults) -> &'a str {
    let name = gear.gear.as_deref().or(defaults.gear.as_deref());
    name.unwrap_or(DEFAULT_PRESET)
}

/// A shot of the sheet as the log keeps it.
pub(crate) fn entered(
    gear: &GearArgs,
    defaults: &Defaults,
    stroke: &StrokeRequest,
    places: Places<'_>,
) -> ShotEntered {
    ShotEntered {
        request: ShotRequest {
            places: places.into(),
            stroke: stroke.clone(),
        },
        gear: gear_name(gear, defaults).to_owned(),
        set: gear.set.clone(),
    }
}
