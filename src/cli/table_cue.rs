//! `thincut table cue`: how much your own cue squirts, from the pivot-length test.

use std::io::Write;

use clap::Args;
use serde_json::json;
use thincut::answer::or_club;
use thincut::field::Field;
use thincut::gear::Gear;
use thincut::measure::words::pivot as words;
use thincut::measure::{PivotTest, range_effects, read_pivot_sets, usual_shots};
use thincut::request::{PlacesRequest, ShotRequest, quantity};
use thincut::units::{Length, Side, Speed};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{FormatArgs, TextOrJson};
use crate::output::json as write_json;
use crate::student::WhoArgs;
use crate::table::GearArgs;
use crate::table_file::FileArgs;

/// Turn the cue about the bridge and read where the ball arrives: how much your own cue squirts
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:\n  \
    thincut table cue\n  \
    thincut table cue --pivot-test \"20cm R -4,-8,-5 L 6,9,4\" --out our.toml\n\n\
    Without readings it says how to play the test; thincut sheet cue prints its scale. The file it writes \
    has the cue's pivot, and what is said of side and squirt on that table then is this cue's.")]
pub(crate) struct CueCommand {
    /// The bridge from the ball's middle, and where balls arrived struck right and left of it, mm, left plus: "25cm R 12,9 L -10,-8"; may be repeated
    #[arg(
        long,
        value_name = "READINGS",
        help_heading = "The test",
        allow_hyphen_values = true
    )]
    pivot_test: Vec<String>,
    /// From the front of the ball to the nose with the scale [default: 1m]
    #[arg(
        long,
        value_name = "LENGTH",
        help_heading = "The test",
        allow_hyphen_values = true
    )]
    distance: Option<String>,
    /// How far off the ball's middle the tip struck [default: half a tip]
    #[arg(
        long,
        value_name = "LENGTH",
        help_heading = "The test",
        allow_hyphen_values = true
    )]
    tip_off: Option<String>,
    /// Speed of the cue ball [default: 3m/s]
    #[arg(long, value_name = "SPEED", help_heading = "The test")]
    speed: Option<String>,
    #[command(flatten)]
    to: FileArgs,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    format: FormatArgs<TextOrJson>,
    #[command(flatten)]
    units: UnitArgs,
}

impl CueCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let base = self.gear.load(defaults)?;
        let test = self.test(&base.gear)?;
        test.check(&base.gear)?;
        let speech = self.units.pick(defaults, &base.gear);
        if self.pivot_test.is_empty() {
            if self.to.out.is_some() {
                return Err(Fault::input(
                    "--out: there is nothing to write yet; give readings with --pivot-test \"25cm R 12,9 L -10,-8\"",
                ));
            }
            let text = words::plan(&test, speech);
            out.write_all(speech.said(&text).as_bytes())?;
            writeln!(
                out,
                "Then: thincut table cue --pivot-test \"20cm R … L …\" --pivot-test \"40cm R … L …\" --out my-table.toml"
            )?;
            return Ok(());
        }
        self.to.check()?;
        let sets = read_pivot_sets(&self.pivot_test)?;
        let found = test.fit(&base.gear, &sets)?;
        let (name, day) = (self.to.name(""), self.to.day("")?);
        let measured = found.written(&base, &name, &day)?;
        let shots = self.shots();
        let player = or_club(self.who.player(Side::Left)?);
        let effects = range_effects(&base.gear, &measured.gear, &shots, &player.error)?;
        self.to.write(&measured)?;
        if self.format.asked == TextOrJson::Json {
            return write_json(
                out,
                &json!({
                    "gear": measured.gear.name,
                    "standard": base.gear.name,
                    "date": day,
                    "cue": found,
                    "sets": sets,
                    "player": player.who,
                    "shots": effects,
                    "file": self.to.out,
                }),
            );
        }
        let effect = words::Effect {
            who: &player.who,
            shots: &effects,
        };
        let text = words::found(&base.gear, &test, &found, &effect, speech);
        out.write_all(speech.said(&text).as_bytes())?;
        self.to.say(out)
    }
    /// The test as it was played.
    fn test(&self, gear: &Gear) -> Result<PivotTest, Fault> {
        let length = |field, text: Option<&str>, usual: f64| {
            quantity::<Length>(field, text).map(|l| l.map_or(usual, Length::m))
        };
        let speed = quantity::<Speed>(Field::Speed, self.speed.as_deref())?;
        let usual = PivotTest::usual(gear);
        Ok(PivotTest {
            distance_m: length(Field::Distance, self.distance.as_deref(), usual.distance_m)?,
            tip_m: length(Field::TipOff, self.tip_off.as_deref(), usual.tip_m)?,
            speed_m_s: speed.map_or(usual.speed_m_s, Speed::m_s),
        })
    }

    /// Whose chances are shown: what was asked for, or the usual shots, with side.
    fn shots(&self) -> Vec<ShotRequest> {
        let mut stroke = self.request.stroke.clone();
        if stroke.tip.is_none() {
            stroke.tip = Some("half a tip right".to_owned());
        }
        if self.request.places == PlacesRequest::default() {
            usual_shots(&stroke)
        } else {
            vec![ShotRequest {
                stroke,
                ..self.request.clone()
            }]
        }
    }
}
