//! `thincut table rails`: how the cushions bounce and rub, from two rolls and a tape.

use std::io::Write;

use clap::Args;
use serde_json::json;
use thincut::field::Field;
use thincut::measure::rails::SPEED_M_S;
use thincut::measure::words::bounce as words;
use thincut::measure::{
    Instrument, Instruments, ReadingsRequest, Rubber, rail_fit, read_at_45, read_straight,
};

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::output::json as write_json;
use crate::table_rolls::{More, RollsArgs};

/// Roll a ball off a rail and measure where it rests: how cushions bounce and rub
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:\n  \
    thincut table rails\n  \
    thincut table rails --straight \"58cm, 59cm\" --at-45 \"1.12m 44cm\" --out our.toml\n\n\
    Without rolls it says where the ramp stands. The file it writes has cushions as they were found, and \
    every chance on that table then has the smaller range.")]
pub(crate) struct RailsCommand {
    /// Rolled straight at a rail: from the nose to the near side of the ball at rest; may be repeated
    #[arg(
        long,
        value_name = "LENGTH",
        help_heading = "The test",
        allow_hyphen_values = true
    )]
    straight: Vec<String>,
    /// Rolled at 45°: along the rail from level with the ramp's foot, and out from the nose, "1.24m 26cm"
    #[arg(
        long = "at-45",
        value_name = "LENGTH LENGTH",
        help_heading = "The test",
        allow_hyphen_values = true
    )]
    at_45: Vec<String>,
    /// How near the truth two readings in three are: tape=3mm
    #[arg(long, value_name = "INSTRUMENT=AMOUNT", help_heading = "The test")]
    good_to: Vec<String>,
    #[command(flatten)]
    args: RollsArgs,
}

impl RailsCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let args = &self.args;
        let base = args.gear.load(defaults)?;
        let run = args.run_at(&base, SPEED_M_S)?;
        let speed_m_s = run.speed_m_s(&base.gear, SPEED_M_S)?;
        let speech = args.speech(defaults, &base);
        let nothing = self.straight.is_empty() && self.at_45.is_empty();
        args.check(nothing, Field::RailStraight, "60cm")?;
        if nothing {
            if args.is_json() {
                return write_json(
                    out,
                    &json!({
                        "gear": base.gear.name,
                        "speed_m_s": speed_m_s,
                        "run_m": run.run_m,
                        "run_from_height": run.share,
                    }),
                );
            }
            let text = words::rails_plan(&run, speech);
            out.write_all(speech.said(&text).as_bytes())?;
            writeln!(
                out,
                "Then: thincut table rails --table {} --straight \"…\" --at-45 \"… …\" --ramp-run \"1.3m 1/2\" --out my-table.toml",
                args.gear.name(defaults)
            )?;
            return Ok(());
        }
        let mut rolls = read_straight(&self.straight)?;
        rolls.extend(read_at_45(&self.at_45)?);
        let said = ReadingsRequest {
            good_to: self.good_to.clone(),
            ..ReadingsRequest::default()
        };
        let instruments = said.instruments(Instruments::default())?;
        let bounce = rail_fit(&base.gear, &run, &rolls, &instruments)?;
        let count = rolls.len();
        let from = format!("{count} rolls off a rail");
        let found = args.found(base, bounce, Rubber::Cushions, from)?;
        let tape_m = instruments.good_to(Instrument::Tape);
        let text = words::rails_assumed(speed_m_s, tape_m, speech);
        let fields = json!({
            "speed_m_s": speed_m_s,
            "rolls": rolls,
        });
        args.say(&found, More { text, fields }, speech, out)
    }
}
