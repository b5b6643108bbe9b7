//! `thincut budget`: which error costs most on a shot, and what to practise.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use serde_json::{Value, json};
use thincut::answer::{budget_label, budget_text};
use thincut::charts::budget::budget_chart;
use thincut::charts::render::Size;
use thincut::files::Batch;
use thincut::gear::Gear;
use thincut::player::budget::{Budget, Disturbed, Source, budget};
use thincut::player::error::Level;
use thincut::player::spreads::SpreadsRequest;
use thincut::player::{Player, PlayerRequest};
use thincut::pocket::Acceptance;
use thincut::request::ShotRequest;
use thincut::units::{Angle, Length, UnitSystem, speak};
use thincut::window::{AimWindow, NoWindow, solve};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::output::{Format, OutArgs, json, keep_picture};
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
    files: OutArgs,
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
        let units = self.units.pick(defaults);
        let held = held(&gear, window, acceptance, units);
        let written = self.files(&result, &player, (&assumed, &held))?;
        match self.format {
            Format::Json => json(out, &self.as_json(&result, &player, &assumed)?),
            Format::Csv => csv_rows(&result, &assumed, out),
            Format::Text => {
                out.write_all(budget_text(&result, &player.who, &assumed, units).as_bytes())?;
                for path in written {
                    writeln!(out, "{}", path.display())?;
                }
                Ok(())
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

    /// Table and chart, when a folder was given.
    fn files(
        &self,
        result: &Budget,
        player: &Player,
        (assumed, held): (&[Source], &str),
    ) -> Result<Vec<PathBuf>, Fault> {
        let Some(folder) = &self.files.out else {
            return Ok(Vec::new());
        };
        let mut files = Batch::new(folder, self.files.force)?;
        let mut table = files.file("budget.csv")?;
        csv_rows(result, assumed, &mut table)?;
        drop(table);
        let names: Vec<&str> = assumed.iter().map(|s| budget_label(*s)).collect();
        let footer = if names.is_empty() {
            "Spreads as given.".to_owned()
        } else {
            format!("Spreads assumed: {}.", names.join(", "))
        };
        let words = (player.who.as_str(), held, footer.as_str());
        let picture = budget_chart(result, words, Size::default())?;
        keep_picture(&mut files, "budget", &picture)?;
        Ok(files.keep()?)
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

/// The shot in a few words.
fn held(gear: &Gear, window: &AimWindow, acceptance: &Acceptance, units: UnitSystem) -> String {
    let far = |m| speak::distance(Length::from_m(m), units);
    format!(
        "{} cut, {} between the balls, {} to the pocket, {}",
        speak::degrees(Angle::from_rad(window.cut_rad.abs())),
        far(window.approach.apart_m),
        far(acceptance.distance_m),
        gear.name
    )
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
