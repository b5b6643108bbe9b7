//! What commands share that read rolls from a ramp: which table, which shots, what is said and written.

use std::io::Write;

use clap::Args;
use serde_json::{Map, Value, json};
use thincut::answer::or_club;
use thincut::field::Field;
use thincut::gear::LoadedGear;
use thincut::measure::bounce::Said;
use thincut::measure::words::bounce as words;
use thincut::measure::{
    Bounce, MeasureError, RampRun, RangeEffect, Rubber, range_effects, telling_shots,
};
use thincut::player::Player;
use thincut::request::{PlacesRequest, ShotRequest};
use thincut::speech::Speech;
use thincut::units::Side;

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{FormatArgs, TextOrJson};
use crate::output::json as write_json;
use crate::student::WhoArgs;
use crate::table::GearArgs;
use crate::table_file::FileArgs;

/// The ramp, the file, the shots and who plays them.
#[derive(Debug, Clone, Args)]
pub(crate) struct RollsArgs {
    /// How far a ball ran from the ramp on the open cloth, and from which share of the height: "1.28m 1/4" [default: as the test asks for]
    #[arg(
        long,
        value_name = "LENGTH SHARE",
        help_heading = "The test",
        allow_hyphen_values = true
    )]
    ramp_run: Option<String>,
    #[command(flatten)]
    pub(crate) to: FileArgs,
    #[command(flatten)]
    pub(crate) gear: GearArgs,
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    format: FormatArgs<TextOrJson>,
    #[command(flatten)]
    units: UnitArgs,
}

/// What was found, with the shots it was held against.
pub(crate) struct Found {
    pub(crate) base: LoadedGear,
    pub(crate) measured: LoadedGear,
    pub(crate) shots: Vec<ShotRequest>,
    pub(crate) player: Player,
    bounce: Bounce,
    rubber: Rubber,
    from: String,
    effects: Vec<RangeEffect>,
    day: String,
}

/// What one of these commands says besides.
pub(crate) struct More {
    /// After the shots.
    pub(crate) text: String,
    /// Beside what all such answers have.
    pub(crate) fields: Value,
}

impl RollsArgs {
    pub(crate) fn is_json(&self) -> bool {
        self.format.asked == TextOrJson::Json
    }

    pub(crate) fn speech(&self, defaults: &Defaults, base: &LoadedGear) -> Speech {
        self.units.pick(defaults, &base.gear)
    }

    /// The ramp's run, or that of a test at a speed.
    pub(crate) fn run_at(
        &self,
        base: &LoadedGear,
        speed_m_s: f64,
    ) -> Result<RampRun, MeasureError> {
        match &self.ramp_run {
            Some(text) => RampRun::read(text),
            None => Ok(RampRun::that_fits(&base.gear, speed_m_s)),
        }
    }

    /// Whether the file may be written; refused while there is nothing to write.
    pub(crate) fn check(&self, nothing: bool, needs: Field, example: &str) -> Result<(), Fault> {
        if nothing && self.to.out.is_some() {
            return Err(Fault::input(format!(
                "--out: there is nothing to write yet; give what was rolled with {needs} \"{example}\""
            )));
        }
        self.to.check()
    }

    /// Lays what was found over the table, holds the shots against it and writes the file.
    pub(crate) fn found(
        &self,
        base: LoadedGear,
        bounce: Bounce,
        rubber: Rubber,
        from: String,
    ) -> Result<Found, Fault> {
        let player = or_club(self.who.player(Side::Left)?);
        let (name, day) = (self.to.name(""), self.to.day("")?);
        let what = match rubber {
            Rubber::Facings => "Jaws",
            Rubber::Cushions => "Cushions",
        };
        let (note, value) = (
            format!("{what} measured on {day}."),
            format!("{day}, {from}"),
        );
        let said = Said {
            note: &note,
            value: &value,
            reach: "half width, 95 in 100",
        };
        let measured = bounce.written(&base, rubber, &name, &said)?;
        let shots = if self.request.places == PlacesRequest::default() {
            telling_shots(&self.request.stroke)
        } else {
            vec![self.request.clone()]
        };
        let effects = range_effects(&base.gear, &measured.gear, &shots, &player.error)?;
        self.to.write(&measured)?;
        Ok(Found {
            base,
            measured,
            shots,
            player,
            bounce,
            rubber,
            from,
            effects,
            day,
        })
    }

    /// Says it.
    pub(crate) fn say(
        &self,
        found: &Found,
        more: More,
        speech: Speech,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        if self.is_json() {
            let mut all = Map::new();
            let common = json!({
                "gear": found.measured.gear.name,
                "standard": found.base.gear.name,
                "date": found.day,
                "found": found.bounce,
                "player": found.player.who,
                "shots": found.effects,
                "file": self.to.out,
            });
            for part in [common, more.fields] {
                if let Value::Object(part) = part {
                    all.extend(part);
                }
            }
            return write_json(out, &Value::Object(all));
        }
        let mut text = words::found_line(&found.bounce, found.rubber, &found.from, speech);
        text.push_str(&format!("Chances for: {}.\n", found.player.who));
        text.push_str(&words::effect_lines(&found.effects));
        text.push_str(&more.text);
        out.write_all(speech.said(&text).as_bytes())?;
        self.to.say(out)
    }
}
