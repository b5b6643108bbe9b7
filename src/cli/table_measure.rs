//! `thincut table measure`: your own table, from rule and watch to a file.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use serde_json::json;
use thincut::answer::or_club;
use thincut::files::TABLE_BYTES;
use thincut::gear::LoadedGear;
use thincut::measure::{
    DRAWS, Form, MeasuredTable, ReadingsRequest, ShotEffect, TableValue, Words, effects,
    empty_form, gear, read_form, usual_shots, values,
};
use thincut::player::Player;
use thincut::request::{PlacesRequest, ShotRequest};
use thincut::units::Side;

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{FormatArgs, TextOrJson};
use crate::input;
use crate::output::json as write_json;
use crate::simulation::SeedArgs;
use crate::student::WhoArgs;
use crate::table::GearArgs;
use crate::table_file::FileArgs;

/// Measure your own table with rule and watch: a file of it, and what it does to a shot
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:\n  \
    thincut table measure --form > readings.toml\n  \
    thincut table measure --corner-mouth \"114mm, 113mm\" --roll-out \"3.2m 8.1s\" --out our.toml\n  \
    thincut shot --table our.toml --cut half-ball --cue-to-object 4ft --to-pocket 3ft\n\n\
    Ten minutes: mouth, throat and shelf of a corner and a side pocket with a rule, a ball with a\n\
    calliper, a few lags and runs with a watch. Print the form, fill it in (it is a file too), and give\n\
    the file back: thincut table measure readings.toml. Values not measured stay those of --table.\n\
    Without a shot, three usual ones are compared; without a player a club player is assumed.")]
pub(crate) struct MeasureCommand {
    /// A filled-in form; options add to it
    #[arg(value_name = "FORM")]
    file: Option<PathBuf>,
    /// Print an empty form to fill in, and nothing else
    #[arg(long, conflicts_with = "file")]
    form: bool,
    #[command(flatten)]
    readings: ReadingsRequest,
    #[command(flatten)]
    to: FileArgs,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    seed: SeedArgs,
    #[command(flatten)]
    format: FormatArgs<TextOrJson>,
    #[command(flatten)]
    units: UnitArgs,
}

/// The answer, before it is said.
struct Answer<'a> {
    measured: &'a LoadedGear,
    values: &'a [TableValue],
    effects: &'a [ShotEffect],
    player: &'a Player,
    day: &'a str,
}

impl MeasureCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        if self.form {
            return Ok(out.write_all(empty_form().as_bytes())?);
        }
        self.to.check()?;
        let form = self.filled_in()?;
        let instruments = self.readings.instruments(form.instruments)?;
        let mut readings = form.readings.clone();
        readings.extend(self.readings.readings()?);
        let table = MeasuredTable::new(self.base(&form, defaults)?, &readings, &instruments)?;
        let (day, name) = (self.to.day(&form.date)?, self.to.name(&form.name));
        let values = values(&table);
        let measured = gear(&table, &values, &name, &day)?;
        let player = self.player()?;
        let shots = if self.request.places == PlacesRequest::default() {
            usual_shots(&self.request.stroke)
        } else {
            vec![self.request.clone()]
        };
        let mut rng = Pcg64::seed_from_u64(self.seed.seed);
        let effects = effects(&table, &shots, &player.error, DRAWS, &mut rng)?;
        self.to.write(&measured)?;
        if self.format.asked == TextOrJson::Json {
            let answer = Answer {
                measured: &measured,
                values: &values,
                effects: &effects,
                player: &player,
                day: &day,
            };
            return self.json(&answer, &table, out);
        }
        let words = Words {
            table: &table,
            values: &values,
            effects: &effects,
            who: &player.who,
            instruments: &instruments,
            speech: self.units.pick(defaults, &table.base.gear),
        };
        out.write_all(words.speech.said(&words.text()).as_bytes())?;
        self.to.say(out)
    }

    fn filled_in(&self) -> Result<Form, Fault> {
        let Some(path) = &self.file else {
            return Ok(Form::default());
        };
        let text = input::text(path, TABLE_BYTES).map_err(|fault| {
            Fault::input(format!(
                "cannot read the form {}: {fault}; `thincut table measure --form` prints an empty one",
                path.display()
            ))
        })?;
        Ok(read_form(&text, &path.display().to_string())?)
    }

    /// The flag, else the form, else what holds everywhere.
    fn base(&self, form: &Form, defaults: &Defaults) -> Result<LoadedGear, Fault> {
        if self.gear.gear.is_some() || form.base.is_empty() {
            return Ok(self.gear.load(defaults)?);
        }
        let folder = self.file.as_deref().map(input::folder);
        let folder = folder.unwrap_or_default();
        Ok(LoadedGear::load_beside(
            &folder,
            &form.base,
            &self.gear.set,
        )?)
    }

    fn player(&self) -> Result<Player, Fault> {
        Ok(or_club(self.who.player(Side::Left)?))
    }

    fn json(
        &self,
        answer: &Answer<'_>,
        table: &MeasuredTable,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        write_json(
            out,
            &json!({
                "gear": answer.measured.gear.name,
                "standard": table.base.gear.name,
                "date": answer.day,
                "player": answer.player.who,
                "seed": self.seed.seed,
                "draws": DRAWS,
                "values": answer.values,
                "shots": answer.effects,
                "file": self.to.out,
            }),
        )
    }
}
