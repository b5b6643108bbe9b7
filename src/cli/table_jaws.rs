//! `thincut table jaws`: how jaws and facings bounce, from balls rolled at the edges of a mouth.

use std::io::Write;

use clap::Args;
use serde_json::json;
use thincut::field::{Field, Hint};
use thincut::gear::LoadedGear;
use thincut::measure::jaws::{SPEED_M_S, mark_name};
use thincut::measure::words::bounce as words;
use thincut::measure::{JawTest, MeasureError, Plan, Ramp, Rubber, read_rolls};
use thincut::pocket::PocketKind;
use thincut::request::pocket_kind;

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::output::json as write_json;
use crate::table_rolls::{More, RollsArgs};

/// Roll balls at the edges of a pocket: how its jaws bounce, and what that leaves of a chance's range
#[derive(Debug, Clone, Args)]
#[command(after_help = "Examples:\n  \
    thincut table jaws\n  \
    thincut table jaws --rolls \"L37 7/10, L39 2/10, R35 8/10, R38 3/10\" --out our.toml\n\n\
    Without rolls it says where ramp and marks go; thincut sheet jaws prints both. The file it writes has \
    jaws as they were found, and every chance on that table then has the smaller range.")]
pub(crate) struct JawsCommand {
    /// What dropped at each mark, such as "L36 7/10, R38 2/10"; may be repeated
    #[arg(long, value_name = "TALLIES", help_heading = "The test")]
    rolls: Vec<String>,
    /// Rolled at a corner or a side pocket
    #[arg(
        long,
        value_name = "KIND",
        default_value = "corner",
        help_heading = "The test"
    )]
    ramp_at: String,
    #[command(flatten)]
    args: RollsArgs,
}

impl JawsCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let args = &self.args;
        let base = args.gear.load(defaults)?;
        let kind = ramp_at(&self.ramp_at)?;
        let run = args.run_at(&base, SPEED_M_S)?;
        let ramp = Ramp {
            kind,
            speed_m_s: run.speed_m_s(&base.gear, SPEED_M_S)?,
        };
        args.check(self.rolls.is_empty(), Field::Rolls, "L36 7/10, R38 2/10")?;
        if self.rolls.is_empty() {
            return self.plan(&Plan::new(&base.gear, ramp), &base, defaults, out);
        }
        let rolls = read_rolls(&self.rolls)?;
        let marks: Vec<f64> = rolls.iter().map(|r| r.mark_mm).collect();
        let test = JawTest::new(&base.gear, &ramp, &marks);
        let fit = test.fit(&rolls)?;
        let speech = args.speech(defaults, &base);
        let from = format!("{} of a {kind} pocket", words::rolls_words(&fit));
        let found = args.found(base, fit.bounce, Rubber::Facings, from)?;
        let next = fit.next(&found.measured.gear, &found.shots, &found.player.error)?;
        let text =
            words::next_line(next, fit.missing_edge()) + &words::jaws_assumed(ramp.speed_m_s);
        let fields = json!({
            "kind": kind.name(),
            "speed_m_s": ramp.speed_m_s,
            "rolls": fit.rolls,
            "next": next.map(|n| json!({
                "mark": mark_name(n.mark_mm),
                "rolls": n.rolls,
                "width_left": n.width_left,
            })),
        });
        args.say(&found, More { text, fields }, speech, out)
    }

    /// Where ramp and marks go.
    fn plan(
        &self,
        plan: &Plan,
        base: &LoadedGear,
        defaults: &Defaults,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let marks: Vec<String> = plan.marks_mm().iter().map(|mm| mark_name(*mm)).collect();
        if self.args.is_json() {
            return write_json(
                out,
                &json!({
                    "gear": base.gear.name,
                    "kind": plan.ramp.kind.name(),
                    "speed_m_s": plan.ramp.speed_m_s,
                    "foot_m": plan.foot_m,
                    "run_m": plan.run.run_m,
                    "run_from_height": plan.run.share,
                    "marks": marks,
                }),
            );
        }
        let speech = self.args.speech(defaults, base);
        let table = self.args.gear.name(defaults);
        let then = Hint::TakeRolls {
            gear: &table,
            kind: plan.ramp.kind.name(),
            mark: marks.first().map_or("L36", String::as_str),
        };
        let text = speech.said(&words::plan_text(plan, speech));
        Ok(out.write_all(format!("{text}{then}\n").as_bytes())?)
    }
}

/// Corner or side.
pub(crate) fn ramp_at(text: &str) -> Result<PocketKind, MeasureError> {
    pocket_kind(Some(text)).map_err(|_| MeasureError::Impossible {
        what: Field::RampAt.into(),
        value: thincut::shown::quoted(text),
        problem: "there are corner and side pockets".to_owned(),
        remedy: "give corner or side".to_owned(),
    })
}
