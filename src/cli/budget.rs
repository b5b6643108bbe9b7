//! `thincut budget`: which error costs most on a shot, and what to practise.

use std::io::Write;

use clap::Args;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use serde_json::{Value, json};
use thincut::answer::budget_text;
use thincut::player::budget::{Budget, Disturbed, Source, budget};
use thincut::player::error::Level;
use thincut::player::spreads::SpreadsRequest;
use thincut::player::{Player, PlayerRequest};
use thincut::request::ShotRequest;
use thincut::window::{NoWindow, solve};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::output::{Format, json};
use crate::student::{StudentArgs, cut};

/// What should this player practise for this shot? Errors one by one, and together.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut budget --cut half-ball --apart 4ft --to-pocket 3ft --level club\n  \
    thincut budget --cue 3,1 --object 5,2.4 --pocket foot-left --arm 0.3deg --picture 1mm --tip 1mm\n\n\
    Spreads are added up by JCGM 100:2008 and simulated by JCGM 101:2008. Without a player a club\n\
    player is assumed. Two shots in three lie within a spread.")]
pub(crate) struct BudgetCommand {
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    player: PlayerRequest,
    #[command(flatten)]
    student: StudentArgs,
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
    /// Start of the random numbers: the same number gives the same answer
    #[arg(
        long,
        value_name = "NUMBER",
        default_value_t = 1,
        help_heading = "The simulation"
    )]
    seed: u64,
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

impl BudgetCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let shot = self.request.shot(&gear)?;
        let solution = solve(&gear, &shot)?;
        let (acceptance, window) = match (&solution.acceptance, &solution.window) {
            (Some(acceptance), Ok(window)) => (acceptance, window),
            (_, window) => return Err(no_budget(window.as_ref().err().copied())),
        };
        let named = self.student.player(&self.player, cut(window.cut_left))?;
        let player = named.unwrap_or_else(|| Player {
            error: Level::Club.aim_error(),
            who: Level::Club.spoken(),
            assumed: true,
        });
        let spreads = self.spreads.spreads(player.error.arm_rad)?;
        let disturbed = Disturbed::new(&gear, acceptance, window, player.error.bias_rad);
        let mut rng = Pcg64::seed_from_u64(self.seed);
        let trials = usize::try_from(self.trials).map_err(Fault::running)?;
        let result = budget(&disturbed, &player.error, &spreads, trials, &mut rng)?;
        let assumed = self.assumed(&player);
        match self.format {
            Format::Json => json(out, &self.as_json(&result, &player, &assumed)?),
            Format::Csv => csv_rows(&result, &assumed, out),
            Format::Text => {
                let units = self.units.pick(defaults);
                Ok(out.write_all(budget_text(&result, &player.who, &assumed, units).as_bytes())?)
            }
        }
    }

    /// Inputs whose spread nobody gave.
    fn assumed(&self, player: &Player) -> Vec<Source> {
        let aim = player.assumed;
        let [tip, speed, balls] = self.spreads.assumed();
        Source::SCATTERING
            .into_iter()
            .zip([aim, aim, tip, speed, balls])
            .filter_map(|(source, assumed)| assumed.then_some(source))
            .collect()
    }

    /// The budget with what is needed to repeat it.
    fn as_json(
        &self,
        result: &Budget,
        player: &Player,
        assumed: &[Source],
    ) -> Result<Value, Fault> {
        let mut value = json!({
            "player": player.who,
            "assumed": assumed,
            "trials": self.trials,
            "seed": self.seed,
        });
        if let (Value::Object(all), Value::Object(rest)) =
            (&mut value, serde_json::to_value(result)?)
        {
            all.extend(rest);
        }
        Ok(value)
    }
}

fn no_budget(no: Option<NoWindow>) -> Fault {
    Fault::input(format!(
        "this shot has no window ({}), so no error to share out; `thincut shot` says why",
        no.map_or("no-drop", NoWindow::name)
    ))
}

fn csv_rows(result: &Budget, assumed: &[Source], out: &mut dyn Write) -> Result<(), Fault> {
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record([
        "input",
        "unit",
        "standard_uncertainty",
        "assumed",
        "sensitivity_deg",
        "contribution_deg",
        "share",
        "makes_if_halved",
        "gain",
        "gain_error",
    ])?;
    for row in &result.inputs {
        let numbers = [
            row.sensitivity_deg,
            row.contribution_deg,
            row.share,
            row.makes_if_halved,
            row.gain,
            row.gain_error,
        ];
        writer.write_field(row.source.name())?;
        writer.write_field(row.unit)?;
        writer.write_field(row.standard_uncertainty.to_string())?;
        writer.write_field(assumed.contains(&row.source).to_string())?;
        for number in numbers {
            writer.write_field(number.to_string())?;
        }
        writer.write_record(None::<&[u8]>)?;
    }
    Ok(writer.flush()?)
}
