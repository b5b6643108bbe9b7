//! `thincut budget`: which error costs most on a shot, and what to practise.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use thincut::answer::{BudgetAnswer, Trials, budget_text, held_words, or_club};
use thincut::charts::AnswerChart;
use thincut::charts::budget::{BudgetChart, Budgeted};
use thincut::charts::in_words_of;
use thincut::draw::Size;
use thincut::files::Batch;
use thincut::player::spreads::SpreadsRequest;
use thincut::request::ShotRequest;
use thincut::window::{NoWindow, solve};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{Format, FormatArgs};
use crate::output::{OutArgs, json, keep_picture};
use crate::simulation::SeedArgs;
use crate::student::WhoArgs;
use crate::table::GearArgs;

/// What should this player practise for this shot? Errors one by one, and together.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut budget --cut half-ball --cue-to-object 4ft --to-pocket 3ft --level club\n  \
    thincut budget --cue 3,1 --object 5,2.4 --pocket foot-left --arm 0.3deg --picture 1mm --tip-spread 1mm\n\n\
    Spreads are added up by JCGM 100:2008 and simulated by JCGM 101:2008. Without a player a club\n\
    player is assumed. Two shots in three lie within a spread.")]
pub(crate) struct BudgetCommand {
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    spreads: SpreadsRequest,
    #[command(flatten)]
    gear: GearArgs,
    /// Simulated shots, 1000 to 10000000
    #[arg(
        long,
        value_name = "NUMBER",
        default_value_t = 100_000,
        value_parser = clap::value_parser!(u32).range(1000..=10_000_000),
        help_heading = "The simulation"
    )]
    trials: u32,
    #[command(flatten)]
    seed: SeedArgs,
    #[command(flatten)]
    format: FormatArgs<Format>,
    #[command(flatten)]
    files: OutArgs,
    #[command(flatten)]
    units: UnitArgs,
}

impl BudgetCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let shot = self.request.shot(&gear)?;
        let solution = solve(&gear, &shot)?;
        let solved = solution.solved().map_err(no_budget)?;
        let player = or_club(self.who.player(solved.window.cut_side)?);
        let trials = Trials {
            count: self.trials,
            seed: self.seed.seed,
        };
        let spreads = SpreadsRequest {
            speed_spread: self.who.request.speed_spread.clone(),
            ..self.spreads.clone()
        };
        let answer = BudgetAnswer::new(&gear, solved, &player, &spreads, trials)?
            .with_diagnosis(self.who.student.diagnosis()?);
        let units = self.units.pick(defaults, &gear);
        let held = held_words(&gear, solved, units);
        let written = in_words_of(units.words, || self.files(&answer, &held))?;
        match self.format.asked {
            Format::Json => json(out, &answer),
            Format::Csv => csv_rows(&answer, out),
            Format::Text => {
                let text = budget_text(&answer, units);
                out.write_all(units.said(&text).as_bytes())?;
                for path in written {
                    writeln!(out, "{}", path.display())?;
                }
                Ok(())
            }
        }
    }

    /// Table and chart, when a folder was given.
    fn files(&self, answer: &BudgetAnswer, held: &str) -> Result<Vec<PathBuf>, Fault> {
        let Some(folder) = &self.files.out else {
            return Ok(Vec::new());
        };
        let mut files = Batch::new(folder, self.files.force)?;
        let mut table = files.file("budget.csv")?;
        csv_rows(answer, &mut table)?;
        drop(table);
        let of = Budgeted { answer, held };
        if let Some(picture) = BudgetChart.draw(&of, Size::default())? {
            keep_picture(&mut files, "budget", &picture)?;
        }
        Ok(files.keep()?)
    }
}

fn no_budget(no: NoWindow) -> Fault {
    Fault::input(format!(
        "this shot has no window ({}), so no error to share out; `thincut shot` says why",
        no.name()
    ))
}

fn csv_rows(answer: &BudgetAnswer, out: &mut dyn Write) -> Result<(), Fault> {
    Ok(BudgetAnswer::columns().write_rows(&answer.budget.inputs, out)?)
}
