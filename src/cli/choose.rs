//! `thincut choose`: which shot to play in a layout.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;
use rand::SeedableRng;
use rand_pcg::Pcg64Mcg;
use serde::Serialize;
use thincut::advice::{Advice, AdviceAnswer, AdviceOptions, Ahead, advice_text, advise};
use thincut::charts::in_words_of;
use thincut::charts::layout::{Pictured, draw_layout};
use thincut::charts::leave::{LeaveScene, draw_leave};
use thincut::draw::Size;
use thincut::field::Field;
use thincut::files::Batch;
use thincut::game::GameRequest;
use thincut::gear::Gear;
use thincut::layout::{
    Choice, ChooseOptions, Decision, Family, GoOrSafe, Layout, LeaveAnswer, LeaveMap, NextBall,
    Plays, Prefer, Progress, RankedShot, RiskAnswer, Table, best_pace, decision_text, leave_map,
    risk, shot_title,
};
use thincut::player::{AimError, Level};
use thincut::request::{number, pocket_name};
use thincut::speech::Speech;
use thincut::window::Stroke;

use crate::choose_layout::{LayoutCommand, On, read};
use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{FormatArgs, TextOrJson};
use crate::interrupt::stop_first;
use crate::output::{json, keep_picture, progress};
use crate::play::{PlayArgs, ball_index};
use crate::table::GearArgs;

/// Tries simulated for --risk, from seed 1 so that the answer repeats.
const RISK_TRIES: u32 = 10_000;
/// Shots said unless all are asked for.
const BEST: usize = 3;
/// What is said of a layout of English pool that names no game.
const ENGLISH_POOL: &str = "No game is named, so any ball counts. For English pool: --game english --rules world \
    (or international, blackball), and --group reds or yellows.\n";
/// Columns of the leave map: eight a diamond.
const LEAVE_COLUMNS: u32 = 65;

/// Which shot to play, what is in the way, and where the cue ball goes
#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    subcommand_negates_reqs = true,
    after_help = "Examples:\n  \
    thincut choose five-left.csv --level club\n  \
    thincut choose five-left.csv --level club --opponent league --ahead 2\n  \
    thincut choose five-left.csv --targets 7,9 --hand left --prefer control --all\n  \
    thincut choose five-left.csv --lengths 2 --leave 7,foot-right --charts pictures\n  \
    thincut choose draw five-left.csv --out five-left.svg\n\n\
    The stroke is found, and a club player assumed, where none is given. English pool needs --rules."
)]
pub(crate) struct ChooseCommand {
    #[command(subcommand)]
    layout: Option<LayoutCommand>,
    /// The layout file (see `thincut choose check --help`); - for standard input
    #[arg(required = true)]
    file: Option<PathBuf>,
    /// Balls that may be hit first, such as 1,4 [default: all]
    #[arg(long, value_name = "BALLS", value_delimiter = ',')]
    targets: Vec<String>,
    #[command(flatten)]
    play: PlayArgs,
    #[command(flatten)]
    game: GameRequest,
    #[command(flatten)]
    decide: DecideArgs,
    #[command(flatten)]
    gear: GearArgs,
    /// Say every shot, and why the others are not on
    #[arg(long, help_heading = "What to show")]
    all: bool,
    /// Draw each shot that is said, and the leave where it is asked for, into this folder (SVG and PNG)
    #[arg(long, value_name = "DIR", help_heading = "What to show")]
    charts: Option<PathBuf>,
    /// Replace pictures that exist
    #[arg(long, requires = "charts", help_heading = "What to show")]
    force: bool,
    #[command(flatten)]
    format: FormatArgs<TextOrJson>,
    #[command(flatten)]
    units: UnitArgs,
}

/// What to weigh.
#[derive(Debug, Args)]
#[command(next_help_heading = "Deciding")]
struct DecideArgs {
    /// run (this shot and those after it), make (this shot) or control (the leave counts fully) [default: run]
    #[arg(long, value_name = "WHAT")]
    prefer: Option<String>,
    /// Balls to look ahead: 1 or 2 (slower)
    #[arg(long, value_name = "BALLS", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=2))]
    ahead: u8,
    /// Who plays next, as a level [default: as good as the player]
    #[arg(long, value_name = "LEVEL")]
    opponent: Option<String>,
    /// Look for no safeties
    #[arg(long)]
    no_safeties: bool,
    /// Direct shots only: no banks, combinations or kicks
    #[arg(long)]
    direct_only: bool,
    /// Simulate the best shot's errors: make, scratch, miss
    #[arg(long)]
    risk: bool,
    /// Find the stroke that makes the best shot most often
    #[arg(long)]
    best_pace: bool,
    /// What the best shot leaves for a next ball, such as 7,foot-right
    #[arg(long, value_name = "BALL,POCKET")]
    leave: Option<String>,
    /// Chance to win after a make, 0 to 1: go or play safe?
    #[arg(long, value_name = "CHANCE", requires_all = ["win_miss", "win_safe"])]
    win_make: Option<String>,
    /// Chance to win after a miss
    #[arg(long, value_name = "CHANCE", requires = "win_make")]
    win_miss: Option<String>,
    /// Chance to win after a safety
    #[arg(long, value_name = "CHANCE", requires = "win_make")]
    win_safe: Option<String>,
}

/// What is said of balls of English pool where no game is named.
fn no_game_named(table: &Table<'_>) -> &'static str {
    let english = GameRequest::looks_english(table.layout.labels());
    if table.situation.is_none() && english {
        ENGLISH_POOL
    } else {
        ""
    }
}

/// What is asked about the best shot, read.
struct Decided {
    /// Chance to win after a make, a miss and a safety.
    wins: Option<[f64; 3]>,
    next: Option<NextBall>,
}

/// The shots of a layout, and what is said of them.
struct Found<'a> {
    table: &'a Table<'a>,
    choice: &'a Choice,
    answer: &'a AdviceAnswer,
    speech: Speech,
}

impl ChooseCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        if let Some(layout) = &self.layout {
            return layout.run(defaults, out);
        }
        let on = On {
            gear: &self.gear,
            game: &self.game,
            defaults,
        };
        let file = self.file.as_deref().unwrap_or(Path::new("-"));
        let laid = read(file, &on)?;
        let (layout, gear) = (&laid.layout, &laid.gear);
        let (options, who) = self.options(gear, layout)?;
        let asked = Decided {
            wins: self.decide.wins()?,
            next: self.decide.next(layout)?,
        };
        let opponent = self.decide.opponent()?;
        let table = Table::new(gear, layout)
            .in_game(laid.situation(&self.game)?)
            .until(stop_first());
        let speech = self.units.pick(defaults, gear);
        let aims = opponent.as_ref().map(|(aims, _)| *aims);
        let options = self.weighing(&table, options, aims);
        let advice = search(&table, &options)?;
        let choice = advice.choice();
        let against = opponent.as_ref().map(|(_, who)| who.as_str());
        let answer = AdviceAnswer::new(&table, &advice, &options, &who, against);
        let (decision, map) = self.decision(&table, &choice, &options.choose, &asked)?;
        let pictures = match &self.charts {
            Some(folder) => {
                let found = Found {
                    table: &table,
                    choice: &choice,
                    answer: &answer,
                    speech,
                };
                in_words_of(speech.words, || self.draw(folder, &found, map.as_ref()))?
            }
            None => Vec::new(),
        };
        if self.format.asked == TextOrJson::Json {
            json(out, &Whole { answer, decision })?;
        } else {
            let text = advice_text(&answer, gear, speech, self.all) + no_game_named(&table);
            out.write_all(speech.said(&text).as_bytes())?;
            out.write_all(speech.said(&decision_text(&decision, speech)).as_bytes())?;
            for path in pictures
                .iter()
                .filter(|p| p.extension().is_some_and(|e| e == "svg"))
            {
                writeln!(out, "{}", path.display())?;
            }
        }
        if advice.stopped {
            out.flush()?;
            return Err(Fault::Interrupted);
        }
        Ok(())
    }

    /// What the adviser is to weigh.
    fn weighing(
        &self,
        table: &Table<'_>,
        choose: ChooseOptions,
        opponent: Option<AimError>,
    ) -> AdviceOptions {
        let usual = AdviceOptions::new(table, choose);
        AdviceOptions {
            open: self.play.open(),
            ahead: if self.decide.ahead > 1 {
                Ahead::Two
            } else {
                Ahead::One
            },
            safeties: !self.decide.no_safeties,
            opponent: opponent.unwrap_or(usual.opponent),
            ..usual
        }
    }

    fn options(&self, gear: &Gear, layout: &Layout) -> Result<(ChooseOptions, String), Fault> {
        let (options, who) = self.play.options(gear)?;
        let find = |label: &String| ball_index(Field::Targets, layout, label);
        let roundabout = !self.decide.direct_only;
        let options = ChooseOptions {
            targets: self.targets.iter().map(find).collect::<Result<_, _>>()?,
            banks: roundabout,
            combinations: roundabout,
            kicks: roundabout,
            prefer: self.decide.prefer()?,
            ..options
        };
        Ok((options, who))
    }

    /// A picture for each shot said, and one of the leave.
    fn draw(
        &self,
        folder: &Path,
        found: &Found<'_>,
        map: Option<&LeaveMap>,
    ) -> Result<Vec<PathBuf>, Fault> {
        let Found {
            table,
            choice,
            answer,
            speech,
        } = *found;
        let mut files = Batch::new(folder, self.force)?;
        let count = if self.all { choice.shots.len() } else { BEST };
        for (k, shot) in choice.shots.iter().take(count).enumerate() {
            let title = shot_title(&answer.shots[k].shot, speech);
            let pictured = Pictured::on(shot, title);
            let picture = draw_layout(table, &[pictured], &answer.player, Size::default())?;
            keep_picture(&mut files, &format!("shot-{}", k + 1), &picture)?;
        }
        if let (Some(map), Some(best)) = (map, choice.shots.first()) {
            let scene = LeaveScene {
                table,
                shot: &best.shot,
                map,
                who: &answer.player,
            };
            keep_picture(&mut files, "leave", &draw_leave(&scene, Size::default())?)?;
        }
        Ok(files.keep()?)
    }

    /// What was asked for about the best shot.
    fn decision(
        &self,
        table: &Table<'_>,
        choice: &Choice,
        options: &ChooseOptions,
        asked: &Decided,
    ) -> Result<(Decision, Option<LeaveMap>), Fault> {
        let Some(best) = choice.shots.first() else {
            return Ok((Decision::default(), None));
        };
        let plays = Plays {
            aims: options.aims(&best.shot),
            arm_factor: best.stance.arm_factor(),
        };
        let simulated = self.decide.risk.then(|| {
            let mut rng = Pcg64Mcg::seed_from_u64(1);
            risk(table, &best.shot, &plays, RISK_TRIES, &mut rng)
        });
        let paced = if self.decide.best_pace && best.shot.family == Family::Direct {
            let (ball, pocket) = (best.shot.ball, best.shot.pocket);
            let stroke = Stroke {
                pace_m_s: best.shot.pace_m_s.unwrap_or(options.stroke.pace_m_s),
                ..options.stroke
            };
            best_pace(table, ball, pocket, &stroke, &plays)?
        } else {
            None
        };
        let map = match asked.next {
            Some(next) => leave(table, best, next, options)?,
            None => None,
        };
        let decision = Decision {
            risk: simulated.as_ref().map(RiskAnswer::from),
            best_pace: paced,
            go_or_safe: asked
                .wins
                .map(|wins| GoOrSafe::new(wins, best.chance_and_keep)),
            leave: asked.next.map(|next| {
                let label = &table.layout.balls[next.ball].label;
                LeaveAnswer::new(label, next.pocket, map.clone())
            }),
        };
        Ok((decision, map))
    }
}

/// Looks at every shot, with a bar for each part on a terminal.
pub(crate) fn search(table: &Table<'_>, options: &AdviceOptions) -> Result<Advice, Fault> {
    let bar = progress(Some(0), "{msg:16} {bar:40} {pos}/{len}");
    let advice = advise(table, options, &|stage| match stage {
        Progress::Begins(what, steps) => {
            bar.set_position(0);
            bar.set_length(u64::try_from(steps).unwrap_or(u64::MAX));
            bar.set_message(what);
        }
        Progress::Step => bar.inc(1),
    })
    .map_err(Fault::input);
    bar.finish_and_clear();
    advice
}

/// What a direct shot leaves for a next ball.
fn leave(
    table: &Table<'_>,
    best: &RankedShot,
    next: NextBall,
    options: &ChooseOptions,
) -> Result<Option<LeaveMap>, Fault> {
    let (shot, label) = (&best.shot, &table.layout.balls[next.ball].label);
    if next.ball == shot.ball {
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
    Ok(leave_map(table, shot, next, options, LEAVE_COLUMNS)?)
}

/// The answer with what was asked for about its best shot.
#[derive(Serialize)]
struct Whole {
    #[serde(flatten)]
    answer: AdviceAnswer,
    #[serde(flatten)]
    decision: Decision,
}

impl DecideArgs {
    /// Next ball and pocket, when they were given.
    fn next(&self, layout: &Layout) -> Result<Option<NextBall>, Fault> {
        let Some(text) = &self.leave else {
            return Ok(None);
        };
        let Some((label, pocket)) = text.rsplit_once(',') else {
            return Err(Fault::input(format!(
                "--leave: `{text}` is not a ball and a pocket, such as 7,foot-right"
            )));
        };
        let ball = ball_index(Field::Leave, layout, label)?;
        let pocket = pocket_name(Field::Leave, pocket.trim())?;
        Ok(Some(NextBall { ball, pocket }))
    }

    fn prefer(&self) -> Result<Prefer, Fault> {
        match self.prefer.as_deref() {
            None | Some("run") => Ok(Prefer::Run),
            Some("make") => Ok(Prefer::Make),
            Some("control") => Ok(Prefer::Control),
            Some(other) => Err(Fault::input(format!(
                "--prefer: `{other}` is not one of run, make, control"
            ))),
        }
    }

    /// The other player's aim, and who that is.
    fn opponent(&self) -> Result<Option<(AimError, String)>, Fault> {
        let Some(level) = &self.opponent else {
            return Ok(None);
        };
        let named: Level = level
            .parse()
            .map_err(|e| Fault::input(format!("--opponent: {e}")))?;
        Ok(Some((named.aim_error(), named.spoken())))
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
        let make = read(Field::WinMake, &self.win_make)?;
        let miss = read(Field::WinMiss, &self.win_miss)?;
        let safe = read(Field::WinSafe, &self.win_safe)?;
        Ok(make
            .zip(miss)
            .zip(safe)
            .map(|((make, miss), safe)| [make, miss, safe]))
    }
}
