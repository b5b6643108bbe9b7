//! `thincut gear`: which equipment there is, what is in it, whether a file is good, your own table.

use std::io::Write;

use clap::{Args, Subcommand};
use serde_json::json;
use thincut::error::GearError;
use thincut::gear::{DEFAULT_PRESET, Gear, LoadedGear};

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::gear_measure::MeasureCommand;

/// `--gear` and `--set` of every command.
#[derive(Debug, Clone, Default, Args)]
#[command(next_help_heading = "The equipment")]
pub(crate) struct GearArgs {
    /// Equipment: a preset (`thincut gear list`) or a gear file [default: pool-9ft, or what thincut.toml says]
    #[arg(long, value_name = "NAME|FILE", env = "THINCUT_GEAR")]
    pub(crate) gear: Option<String>,
    /// Change one value of the gear, such as ball.contact.friction_scale=0; may be repeated
    #[arg(long, value_name = "KEY=VALUE")]
    pub(crate) set: Vec<String>,
}

impl GearArgs {
    /// The equipment these flags, the environment and the defaults ask for.
    pub(crate) fn load(&self, defaults: &Defaults) -> Result<LoadedGear, GearError> {
        LoadedGear::load(&self.name(defaults), &self.set)
    }

    /// Its preset or file.
    pub(crate) fn name(&self, defaults: &Defaults) -> String {
        let name = self.gear.as_deref().or(defaults.gear.as_deref());
        name.unwrap_or(DEFAULT_PRESET).to_owned()
    }
}

/// `--gear`, repeated, and `--set` of commands that take several.
#[derive(Debug, Clone, Default, Args)]
#[command(next_help_heading = "The equipment")]
pub(crate) struct GearsArgs {
    /// Equipment: a preset (`thincut gear list`) or a gear file, with changes of its own as NAME+KEY=VALUE [default: pool-9ft, or what thincut.toml says]; repeat it to compare, the first is compared with
    #[arg(long, value_name = "GEAR", env = "THINCUT_GEAR")]
    gear: Vec<String>,
    /// Change one value of every gear, such as ball.contact.friction_scale=0; may be repeated
    #[arg(long, value_name = "KEY=VALUE")]
    set: Vec<String>,
}

impl GearsArgs {
    /// The gears with their names; one at least.
    pub(crate) fn load(&self, defaults: &Defaults) -> Result<Vec<(String, Gear)>, GearError> {
        if self.gear.is_empty() {
            let name = defaults.gear.as_deref().unwrap_or(DEFAULT_PRESET);
            return Ok(vec![self.one(name)?]);
        }
        self.gear.iter().map(|g| self.one(g)).collect()
    }

    /// A gear by name or file, with its own changes and those for all.
    fn one(&self, text: &str) -> Result<(String, Gear), GearError> {
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

/// What to do with gear.
#[derive(Debug, Clone, Subcommand)]
pub(crate) enum GearCommand {
    /// List the presets
    #[command(after_help = "Example:\n  thincut gear list")]
    List,
    /// Write a gear as a file, each value with where it comes from
    #[command(after_help = "Example: a file of your own to start from\n  \
        thincut gear show pool-8ft --set name=hall --set pocket.corner.mouth=4.25in > hall.toml\n  \
        thincut shot --gear hall.toml --cut half-ball --apart 4ft --to-pocket 3ft")]
    Show {
        /// A preset or a gear file [default: the gear in use]
        #[arg(value_name = "NAME|FILE")]
        name: Option<String>,
        #[command(flatten)]
        gear: GearArgs,
    },
    /// Say whether a gear file is good, or what to change
    #[command(after_help = "Example:\n  thincut gear check hall.toml")]
    Check {
        /// The gear file
        #[arg(value_name = "FILE")]
        file: String,
    },
    Measure(Box<MeasureCommand>),
}

impl GearCommand {
    /// Runs it; `as_json` for `--format json`.
    pub(crate) fn run(
        &self,
        defaults: &Defaults,
        as_json: bool,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        match self {
            Self::List => list(as_json, out),
            Self::Show { name, gear } => {
                let mut args = gear.clone();
                if name.is_some() {
                    args.gear.clone_from(name);
                }
                show(&args.load(defaults)?, as_json, out)
            }
            Self::Check { file } => check(file, as_json, out),
            Self::Measure(command) => command.run(defaults, as_json, out),
        }
    }
}

fn list(as_json: bool, out: &mut dyn Write) -> Result<(), Fault> {
    let mut rows = Vec::new();
    for name in Gear::preset_names() {
        rows.push((*name, LoadedGear::load(name, &[])?.note.unwrap_or_default()));
    }
    if as_json {
        let rows: Vec<_> = rows
            .iter()
            .map(|(name, note)| json!({"name": name, "note": note, "default": *name == DEFAULT_PRESET}))
            .collect();
        writeln!(out, "{}", serde_json::to_string_pretty(&rows)?)?;
        return Ok(());
    }
    let widest = rows
        .iter()
        .map(|(name, _)| name.len())
        .max()
        .unwrap_or_default();
    for (name, note) in rows {
        let mark = if name == DEFAULT_PRESET {
            " (the default)"
        } else {
            ""
        };
        writeln!(out, "{name:widest$}  {note}{mark}")?;
    }
    Ok(())
}

fn show(loaded: &LoadedGear, as_json: bool, out: &mut dyn Write) -> Result<(), Fault> {
    if !as_json {
        out.write_all(loaded.to_toml().as_bytes())?;
        return Ok(());
    }
    let values: Vec<_> = loaded
        .rows
        .iter()
        .map(|row| {
            json!({
                "key": row.key,
                "value": row.value,
                "from": row.origin.to_string(),
                "source": row.source,
            })
        })
        .collect();
    let gear = json!({"name": loaded.gear.name, "note": loaded.note, "values": values});
    writeln!(out, "{}", serde_json::to_string_pretty(&gear)?)?;
    Ok(())
}

fn check(file: &str, as_json: bool, out: &mut dyn Write) -> Result<(), Fault> {
    let loaded = LoadedGear::load(file, &[])?;
    let name = &loaded.gear.name;
    let mut origins: Vec<(String, usize)> = Vec::new();
    for row in &loaded.rows {
        let origin = row.origin.to_string();
        match origins.iter_mut().find(|(known, _)| *known == origin) {
            Some((_, count)) => *count += 1,
            None => origins.push((origin, 1)),
        }
    }
    if as_json {
        let from: Vec<_> = origins
            .iter()
            .map(|(from, values)| json!({"from": from, "values": values}))
            .collect();
        let answer = json!({"name": name, "good": true, "origins": from});
        writeln!(out, "{}", serde_json::to_string_pretty(&answer)?)?;
        return Ok(());
    }
    let origins: Vec<String> = origins
        .iter()
        .map(|(from, count)| {
            format!(
                "{count} value{} from {from}",
                if *count == 1 { "" } else { "s" }
            )
        })
        .collect();
    writeln!(out, "{name} is good: {}.", origins.join(", "))?;
    Ok(())
}
