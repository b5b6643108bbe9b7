//! `thincut table`: which tables there are, what is in one, whether a file is good, what its pockets
//! take, how two compare, and your own, measured.

use std::io::Write;

use clap::{Args, Subcommand};
use serde_json::json;
use thincut::error::GearError;
use thincut::game::Game;
use thincut::gear::{DEFAULT_PRESET, Gear, LoadedGear};

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::format::{FormatArgs, TextOrJson};
use crate::table_compare::CompareCommand;
use crate::table_cue::CueCommand;
use crate::table_jaws::JawsCommand;
use crate::table_measure::MeasureCommand;
use crate::table_pockets::PocketsCommand;
use crate::table_rails::RailsCommand;

/// `--table` and `--set` of every command.
#[derive(Debug, Clone, Default, Args)]
#[command(next_help_heading = "The table")]
pub(crate) struct GearArgs {
    /// The table: a built-in one (`thincut table list`) or a file of your own [default: pool-9ft, or what thincut.toml says]
    #[arg(long = "table", value_name = "NAME|FILE", env = "THINCUT_TABLE")]
    pub(crate) gear: Option<String>,
    /// Change one value of the table, such as ball.contact.friction_scale=0; may be repeated
    #[arg(long, value_name = "KEY=VALUE")]
    pub(crate) set: Vec<String>,
}

impl GearArgs {
    /// The equipment these flags, the environment and the defaults ask for.
    pub(crate) fn load(&self, defaults: &Defaults) -> Result<LoadedGear, GearError> {
        LoadedGear::load(&self.name(defaults), &self.set)
    }

    /// The same for a layout: where nothing names a table, its game does.
    pub(crate) fn load_for(
        &self,
        defaults: &Defaults,
        game: Option<Game>,
    ) -> Result<LoadedGear, GearError> {
        match game {
            Some(game) if self.gear.is_none() && defaults.gear.is_none() => {
                LoadedGear::load(game.table().name(), &self.set)
            }
            _ => self.load(defaults),
        }
    }

    /// Its preset or file.
    pub(crate) fn name(&self, defaults: &Defaults) -> String {
        let name = self.gear.as_deref().or(defaults.gear.as_deref());
        name.unwrap_or(DEFAULT_PRESET).to_owned()
    }
}

/// `--table`, repeated, and `--set` of commands that take several.
#[derive(Debug, Clone, Default, Args)]
#[command(next_help_heading = "The table")]
pub(crate) struct GearsArgs {
    /// The table: a built-in one (`thincut table list`) or a file, with changes of its own as NAME+KEY=VALUE [default: pool-9ft, or what thincut.toml says]; repeat it to compare, the first is compared with
    #[arg(long = "table", value_name = "TABLE", env = "THINCUT_TABLE")]
    gear: Vec<String>,
    /// Change one value of every table, such as ball.contact.friction_scale=0; may be repeated
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

/// What to do with tables.
#[derive(Debug, Subcommand)]
pub(crate) enum TableCommand {
    /// List the tables that are built in
    #[command(after_help = "Example:\n  thincut table list")]
    List {
        #[command(flatten)]
        format: FormatArgs<TextOrJson>,
    },
    /// Write a table as a file, each value with where it comes from
    #[command(after_help = "Example: a file of your own to start from\n  \
        thincut table show pool-8ft --set name=hall --set pocket.corner.mouth=4.25in > hall.toml\n  \
        thincut shot --table hall.toml --cut half-ball --cue-to-object 4ft --to-pocket 3ft")]
    Show {
        /// A built-in table or a file [default: the table in use]
        #[arg(value_name = "NAME|FILE")]
        name: Option<String>,
        #[command(flatten)]
        gear: GearArgs,
        #[command(flatten)]
        format: FormatArgs<TextOrJson>,
    },
    /// Say whether a table's file is good, or what to change
    #[command(after_help = "Example:\n  thincut table check hall.toml")]
    Check {
        /// The file
        #[arg(value_name = "FILE")]
        file: String,
        #[command(flatten)]
        format: FormatArgs<TextOrJson>,
    },
    Pockets(PocketsCommand),
    Compare(Box<CompareCommand>),
    Measure(Box<MeasureCommand>),
    Jaws(Box<JawsCommand>),
    Rails(Box<RailsCommand>),
    Cue(Box<CueCommand>),
}

impl TableCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let json = |format: &FormatArgs<TextOrJson>| format.asked == TextOrJson::Json;
        match self {
            Self::List { format } => list(json(format), out),
            Self::Show { name, gear, format } => {
                let mut args = gear.clone();
                if name.is_some() {
                    args.gear.clone_from(name);
                }
                show(&args.load(defaults)?, json(format), out)
            }
            Self::Check { file, format } => check(file, json(format), out),
            Self::Pockets(command) => command.run(defaults, out),
            Self::Compare(command) => command.run(defaults, out),
            Self::Measure(command) => command.run(defaults, out),
            Self::Jaws(command) => command.run(defaults, out),
            Self::Rails(command) => command.run(defaults, out),
            Self::Cue(command) => command.run(defaults, out),
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
