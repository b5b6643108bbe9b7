//! `thincut choose`: which shot to play in a layout.

use std::io::{IsTerminal, Write};
use std::path::PathBuf;

use clap::Args;
use indicatif::ProgressBar;
use rand::SeedableRng;
use rand_pcg::Pcg64Mcg;
use serde::Serialize;
use thincut::layout::{
    Candidate, Choice, ChoiceAnswer, ChooseOptions, Decision, Family, GoOrSafe, Layout,
    LeaveAnswer, Prefer, ReachRequest, RiskAnswer, Table, best_pace, choice_text, choose,
    decision_text, leave_map, risk,
};
use thincut::player::{Level, Player, PlayerRequest};
use thincut::pocket::PocketName;
use thincut::request::{StrokeRequest, number, pocket_name};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::layout::read;
use crate::output::{Format, json};

/// Tries simulated for --risk, from seed 1 so that the answer repeats.
const RISK_TRIES: u32 = 10_000;
/// Columns of the leave map: six a diamond.
const LEAVE_COLUMNS: u32 = 48;

/// Which shot to play, what is in the way, and where the cue ball goes
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut choose five-left.csv --level club\n  \
    thincut choose five-left.csv --targets 7,9 --hand left --prefer control --all\n  \
    thincut choose five-left.csv --win-make 0.7 --win-miss 0.2 --win-safe 0.45\n\n\
    Without a player it answers for a club player (assumed).")]
pub(crate) struct ChooseCommand {
    /// The layout file (see `thincut layout check --help`)
    file: PathBuf,
    /// Balls that may be hit first, such as 1,4 [default: all]
    #[arg(long, value_name = "BALLS", value_delimiter = ',')]
    targets: Vec<String>,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    player: PlayerRequest,
    #[command(flatten)]
    decide: DecideArgs,
    #[command(flatten)]
    gear: GearArgs,
    /// Say every shot, and why the others are not on
    #[arg(long, help_heading = "What to show")]
    all: bool,
    /// text or json
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

/// What to weigh.
#[derive(Debug, Args)]
#[command(next_help_heading = "Deciding")]
struct DecideArgs {
    #[command(flatten)]
    reach: ReachRequest,
    /// make (this shot) or control (this shot and the next) [default: make]
    #[arg(long, value_name = "WHAT")]
    prefer: Option<String>,
    /// Direct shots only: no banks, combinations or kicks
    #[arg(long)]
    direct_only: bool,
    /// Simulate the best shot's errors: make, scratch, miss
    #[arg(long)]
    risk: bool,
    /// Find the stroke that makes the best shot most often
    #[arg(long)]
    best_pace: bool,
    /// What the best shot leaves for a next ball, with roll, stun and draw, such as 7,foot-right
    #[arg(long, value_name = "BALL,POCKET")]
    leave: Option<String>,
    /// Chance to win the game after a make, 0 to 1 (with --win-miss and --win-safe: go or play safe?)
    #[arg(long, value_name = "CHANCE", requires_all = ["win_miss", "win_safe"])]
    win_make: Option<String>,
    /// Chance to win after a miss
    #[arg(long, value_name = "CHANCE", requires = "win_make")]
    win_miss: Option<String>,
    /// Chance to win after a safety
    #[arg(long, value_name = "CHANCE", requires = "win_make")]
    win_safe: Option<String>,
}

impl ChooseCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        if self.format == Format::Csv {
            return Err(Fault::input("--format csv: choose writes text or json"));
        }
        let gear = self.gear.load(defaults)?.gear;
        let layout = read(&self.file, &gear)?;
        let player = self.player.player()?.unwrap_or_else(|| Player {
            error: Level::Club.aim_error(),
            who: Level::Club.spoken(),
            assumed: true,
        });
        let options = self.options(&layout, &player)?;
        let wins = self.decide.wins()?;
        let next = self.decide.next(&layout)?;
        let table = Table::new(&gear, &layout);
        let bar = if std::io::stderr().is_terminal() {
            ProgressBar::new_spinner()
        } else {
            ProgressBar::hidden()
        };
        let choice = choose(&table, &options, &|stage| {
            bar.set_message(stage);
            bar.tick();
        })
        .map_err(Fault::input)?;
        bar.finish_and_clear();
        let answer = ChoiceAnswer::new(&table, &choice, &player.who, options.stroke.pace_m_s);
        let decision = self.decision(&table, &choice, (&options, wins, next))?;
        if self.format == Format::Json {
            return json(out, &Whole { answer, decision });
        }
        out.write_all(choice_text(&answer, &gear, self.units.pick(defaults), self.all).as_bytes())?;
        Ok(out.write_all(decision_text(&decision).as_bytes())?)
    }

    fn options(&self, layout: &Layout, player: &Player) -> Result<ChooseOptions, Fault> {
        let known: Vec<&str> = layout.balls.iter().map(|b| b.label.as_str()).collect();
        let find = |label: &String| {
            layout.index_of(label.trim()).ok_or_else(|| {
                Fault::input(format!(
                    "--targets: there is no ball `{label}`; this layout has {}",
                    known.join(", ")
                ))
            })
        };
        let roundabout = !self.decide.direct_only;
        Ok(ChooseOptions {
            player: player.error,
            stroke: self.stroke.stroke()?,
            reach: self.decide.reach.reach().map_err(Fault::input)?,
            targets: self.targets.iter().map(find).collect::<Result<_, _>>()?,
            banks: roundabout,
            combinations: roundabout,
            kicks: roundabout,
            prefer: self.decide.prefer()?,
        })
    }

    /// What was asked for about the best shot.
    #[expect(
        clippy::type_complexity,
        reason = "what one call needs, named in place"
    )]
    fn decision(
        &self,
        table: &Table<'_>,
        choice: &Choice,
        (options, wins, next): (
            &ChooseOptions,
            Option<[f64; 3]>,
            Option<(usize, PocketName)>,
        ),
    ) -> Result<Decision, Fault> {
        let Some(best) = choice.shots.first() else {
            return Ok(Decision::default());
        };
        let player = (&options.player, best.stance.arm_factor());
        let simulated = self.decide.risk.then(|| {
            let mut rng = Pcg64Mcg::seed_from_u64(1);
            risk(table, &best.shot, player, RISK_TRIES, &mut rng)
        });
        let paced = if self.decide.best_pace && best.shot.family == Family::Direct {
            let (ball, pocket) = (best.shot.ball, best.shot.pocket);
            best_pace(table, ball, pocket, &options.stroke, player)?
        } else {
            None
        };
        Ok(Decision {
            risk: simulated.as_ref().map(RiskAnswer::from),
            best_pace: paced,
            go_or_safe: wins.map(|wins| GoOrSafe::new(wins, best.chance_and_keep)),
            leave: next
                .map(|next| leave(table, &best.shot, next, options))
                .transpose()?,
        })
    }
}

/// What a direct shot leaves for a next ball.
fn leave(
    table: &Table<'_>,
    shot: &Candidate,
    next: (usize, PocketName),
    options: &ChooseOptions,
) -> Result<LeaveAnswer, Fault> {
    let label = &table.layout.balls[next.0].label;
    if next.0 == shot.ball {
        return Err(Fault::input(format!(
            "--leave: shot 1 plays the {label} itself; name a ball that is still there, or choose what is played by --targets"
        )));
    }
    if shot.family != Family::Direct {
        return Err(Fault::input(format!(
            "--leave: shot 1 is a {}; the leave is worked out for direct shots only, so add --direct-only",
            shot.family.name()
        )));
    }
    let map = leave_map(
        table,
        shot,
        next,
        (&options.stroke, &options.player),
        LEAVE_COLUMNS,
    )?;
    Ok(LeaveAnswer::new(label, next.1, map))
}

/// The answer with what was asked for about its best shot.
#[derive(Serialize)]
struct Whole {
    #[serde(flatten)]
    answer: ChoiceAnswer,
    #[serde(flatten)]
    decision: Decision,
}

impl DecideArgs {
    /// Next ball and pocket, when they were given.
    fn next(&self, layout: &Layout) -> Result<Option<(usize, PocketName)>, Fault> {
        let Some(text) = &self.leave else {
            return Ok(None);
        };
        let Some((label, pocket)) = text.rsplit_once(',') else {
            return Err(Fault::input(format!(
                "--leave: `{text}` is not a ball and a pocket, such as 7,foot-right"
            )));
        };
        let Some(ball) = layout.index_of(label.trim()) else {
            return Err(Fault::input(format!(
                "--leave: there is no ball `{label}` in this layout"
            )));
        };
        Ok(Some((ball, pocket_name("--leave", pocket.trim())?)))
    }

    fn prefer(&self) -> Result<Prefer, Fault> {
        match self.prefer.as_deref() {
            None | Some("make") => Ok(Prefer::Make),
            Some("control") => Ok(Prefer::Control),
            Some(other) => Err(Fault::input(format!(
                "--prefer: `{other}` is not one of make, control"
            ))),
        }
    }

    /// The three chances, when they were given.
    fn wins(&self) -> Result<Option<[f64; 3]>, Fault> {
        let read = |option, text: &Option<String>| -> Result<Option<f64>, Fault> {
            let Some(text) = text else { return Ok(None) };
            let value = number(option, text)?;
            if (0.0..=1.0).contains(&value) {
                Ok(Some(value))
            } else {
                Err(Fault::input(format!(
                    "{option}: {value} is no chance; write a number from 0 to 1"
                )))
            }
        };
        let make = read("--win-make", &self.win_make)?;
        let miss = read("--win-miss", &self.win_miss)?;
        let safe = read("--win-safe", &self.win_safe)?;
        Ok(make
            .zip(miss)
            .zip(safe)
            .map(|((make, miss), safe)| [make, miss, safe]))
    }
}
