//! `thincut sheet ladder`.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use thincut::log::{Sheet as Kept, SheetKind};
use thincut::player::{Level, PlayerRequest};
use thincut::sheets::Sheet;
use thincut::sheets::booklet::{Booklet, ladder_sheet};
use thincut::sheets::kept::{Climbs, kept_ladder};

use super::PrintArgs;
use super::kept::{answer, code, gear_of};
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::ladder::PassArgs;
use crate::student::{WhoArgs, open_reading};
use crate::table::GearArgs;

/// A booklet of a ladder: a diagram, places in words and boxes for each rung
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut ladder --level club --keep      prints a code, such as 8FSVK\n  \
    thincut sheet ladder 8FSVK --out ladder.pdf\n  \
    thincut ladder --level club --format json | thincut sheet ladder - --out ladder.pdf")]
pub(crate) struct Command {
    /// The code of a kept ladder, or what --format json wrote; - for standard input
    #[arg(value_name = "CODE|FILE.json")]
    ladder: PathBuf,
    #[command(flatten)]
    pass: PassArgs,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl Command {
    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let style = self.print.style(defaults);
        let sheet = match code(&self.ladder) {
            Some(code) => self.kept(code, defaults)?,
            None => {
                let answer = answer(&self.ladder, "thincut ladder")?;
                let gear = self.gear.load(defaults)?.gear;
                ladder_sheet(&gear, &Booklet::new(&answer), &style)?
            }
        };
        self.print.write(sheet, out)
    }

    /// Who plays a kept ladder: whoever is named, else whom it was drawn up for.
    fn who(&self, code: &str, kept: &Kept) -> Result<WhoArgs, Fault> {
        let WhoArgs { request, student } = &self.who;
        let named = student.named() || *request != PlayerRequest::default();
        // Marks need no player: their own error comes first.
        if named || kept.kind != SheetKind::Ladder {
            return Ok(self.who.clone());
        }
        if let Some(label) = kept.drawn_for() {
            return Ok(WhoArgs {
                student: student.of(label),
                ..self.who.clone()
            });
        }
        let is = |level: &Level| {
            let who = format!(" for {}", level.spoken());
            kept.title.ends_with(&who)
        };
        let level = Level::ALL.into_iter().find(is).ok_or_else(|| {
            Fault::input(format!(
                "{code} is {}; say who plays it, with --student, --level or --arm and --picture",
                kept.title
            ))
        })?;
        Ok(WhoArgs {
            request: PlayerRequest {
                level: Some(level.name().to_owned()),
                ..PlayerRequest::default()
            },
            student: student.clone(),
        })
    }

    fn kept(&self, code: &str, defaults: &Defaults) -> Result<Sheet, Fault> {
        let (code, kept) = open_reading(self.who.student.log())?.find_sheet(code)?;
        let who = self.who(&code, &kept)?;
        let gear = gear_of(&kept, defaults)?;
        let climber = who.climber()?;
        let climbs = Climbs {
            player: &climber.player,
            right: climber.right.as_ref(),
        };
        let booklet = kept_ladder(&gear, &code, &kept, &climbs, &self.pass.rule()?)?;
        Ok(ladder_sheet(&gear, &booklet, &self.print.style(defaults))?)
    }
}
