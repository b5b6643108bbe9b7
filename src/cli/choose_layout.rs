//! `thincut choose check` and `draw`: whether a layout file is good, what is in it, and a drawing of it.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use kurbo::Point;
use thincut::advice::AdviceOptions;
use thincut::charts::in_words_of;
use thincut::charts::layout::{MOST_SHOTS, Pictured, draw_layout};
use thincut::draw::pdf::Stamp;
use thincut::draw::{Paper, Size, render};
use thincut::field::Field;
use thincut::files::{LAYOUT_BYTES, may_write, write_whole};
use thincut::game::{CueLies, GameRequest, Situation, state_words};
use thincut::gear::Gear;
use thincut::layout::{
    Choice, ChoiceAnswer, Layout, RankedShot, Table, refusal_words, shot_title, stop_words,
};
use thincut::pocket::PocketName;
use thincut::request::pocket_name;
use thincut::speech::Speech;

use crate::choose::search;
use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{FormatArgs, TextOrJson};
use crate::input;
use crate::output::json;
use crate::play::{PlayArgs, ball_index};
use crate::table::GearArgs;

/// What to do with a layout.
#[derive(Debug, Subcommand)]
pub(crate) enum LayoutCommand {
    /// Check a layout file and say where its balls lie
    #[command(after_help = "Example:\n  thincut choose check five-left.csv\n\n\
        A layout is CSV with the header ball,x,y: x in diamonds from the head rail (0 to 8), y from the\n\
        right rail (0 to 4), or lengths such as 50in, or frozen-left, 30cm-from-top, level-brown and so on;\n\
        or a ball and a spot: 8,foot-spot, black,black-spot. All places: thincut help shot-options.\n\
        The cue ball is called cue. Lines that start with # are comments, but # game: english,\n\
        # rules: world, # group: reds and so on say what is played, as the options do; without --table\n\
        it is played on that game's table. English pool needs its rules.")]
    Check {
        /// The layout file; - for standard input
        file: PathBuf,
        #[command(flatten)]
        gear: GearArgs,
        #[command(flatten)]
        game: Box<GameRequest>,
        #[command(flatten)]
        format: FormatArgs<TextOrJson>,
        #[command(flatten)]
        units: UnitArgs,
    },
    /// Draw a layout to scale, with up to three shots on it
    Draw(Box<DrawArgs>),
}

/// What to draw, and where.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut choose draw five-left.csv --out five-left.svg\n  \
    thincut choose draw five-left.csv --shot best --level club --out best.png\n  \
    thincut choose draw five-left.csv --shot 9:foot-right --shot 7:foot-right --out two.pdf\n\n\
    A shot named by ball and pocket is the most likely way of playing it, direct or not; one that is not on\n\
    is drawn with what closes it. The file's ending chooses the format.")]
pub(crate) struct DrawArgs {
    /// The layout file (see `thincut choose check --help`); - for standard input
    file: PathBuf,
    /// A shot to draw: best, or a ball and a pocket such as 9:foot-right; up to three times
    #[arg(long, value_name = "SHOT")]
    shot: Vec<String>,
    #[command(flatten)]
    play: PlayArgs,
    #[command(flatten)]
    game: GameRequest,
    #[command(flatten)]
    gear: GearArgs,
    /// The file, ending in .svg, .png or .pdf
    #[arg(long, value_name = "FILE", help_heading = "The picture")]
    out: PathBuf,
    /// Width x height in pixels
    #[arg(
        long,
        value_name = "SIZE",
        default_value = "1200x800",
        help_heading = "The picture"
    )]
    size: String,
    /// Paper of a PDF: a4, letter or a3
    #[arg(
        long,
        value_name = "PAPER",
        default_value = "a4",
        help_heading = "The picture"
    )]
    paper: String,
    /// Replace the file if it exists
    #[arg(long, help_heading = "The picture")]
    force: bool,
    #[command(flatten)]
    units: UnitArgs,
}

/// A shot as asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Wanted {
    Best,
    Named(usize, PocketName),
}

impl DrawArgs {
    fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let format = render::Format::from_path(&self.out).map_err(Fault::input)?;
        let size: Size = self.size.parse().map_err(Fault::input)?;
        let paper: Paper = self.paper.parse().map_err(Fault::input)?;
        let stamp = Stamp::from_env().map_err(Fault::input)?;
        may_write(&self.out, self.force)?;
        let on = On {
            gear: &self.gear,
            game: &self.game,
            defaults,
        };
        let laid = read(&self.file, &on)?;
        let (layout, gear) = (&laid.layout, &laid.gear);
        let wanted = self.wanted(layout)?;
        let speech = self.units.pick(defaults, gear);
        let table = Table::new(gear, layout).in_game(laid.situation(&self.game)?);
        let (options, who) = self.play.options(gear)?;
        let picture = if wanted.is_empty() {
            in_words_of(speech.words, || draw_layout(&table, &[], &who, size))
        } else {
            let options = AdviceOptions {
                open: self.play.open(),
                safeties: false,
                ..AdviceOptions::new(&table, options)
            };
            let choice = search(&table, &options)?.choice();
            let answer = ChoiceAnswer::new(&table, &choice, &who, &options.choose);
            let shots = wanted
                .iter()
                .map(|w| pictured(&choice, &answer, *w, speech))
                .collect::<Result<Vec<_>, _>>()?;
            let draw = || draw_layout(&table, &shots, &answer.player, size);
            in_words_of(speech.words, draw)
        };
        let picture = picture?;
        let bytes = render::encode(&picture, format, paper, stamp).map_err(Fault::running)?;
        write_whole(&self.out, &bytes, self.force)?;
        Ok(writeln!(out, "{}", self.out.display())?)
    }

    fn wanted(&self, layout: &Layout) -> Result<Vec<Wanted>, Fault> {
        if self.shot.len() > MOST_SHOTS {
            return Err(Fault::input(format!(
                "--shot: {} shots in one picture cannot be told apart; give at most {MOST_SHOTS}",
                self.shot.len()
            )));
        }
        let read = |text: &String| match text.rsplit_once(':') {
            None if text == "best" => Ok(Wanted::Best),
            None => Err(Fault::input(format!(
                "--shot: `{text}` is neither best nor a ball and a pocket such as 9:foot-right"
            ))),
            Some((ball, pocket)) => Ok(Wanted::Named(
                ball_index(Field::Shot, layout, ball)?,
                pocket_name(Field::Shot, pocket.trim())?,
            )),
        };
        self.shot.iter().map(read).collect()
    }
}

/// The shot asked for among those found, or why it is not on.
fn pictured<'a>(
    choice: &'a Choice,
    answer: &ChoiceAnswer,
    wanted: Wanted,
    speech: Speech,
) -> Result<Pictured<'a>, Fault> {
    let found = match wanted {
        Wanted::Best => choice.shots.first().map(|_| 0),
        Wanted::Named(ball, pocket) => {
            let is = |s: &RankedShot| s.shot.ball == ball && s.shot.pocket == pocket;
            let those = (0..choice.shots.len()).filter(|&i| is(&choice.shots[i]));
            those.max_by(|&a, &b| choice.shots[a].chance.total_cmp(&choice.shots[b].chance))
        }
    };
    if let Some(i) = found {
        let title = shot_title(&answer.shots[i], speech);
        return Ok(Pictured::on(&choice.shots[i], title));
    }
    let Wanted::Named(ball, pocket) = wanted else {
        return Err(Fault::input(
            "--shot best: there is no shot in this layout; `thincut choose` says what to do",
        ));
    };
    let refused = choice
        .refused
        .iter()
        .position(|(b, p, _)| (*b, *p) == (ball, pocket));
    match refused {
        Some(i) => Ok(Pictured::not_on(
            ball,
            &choice.refused[i].2,
            refusal_words(&answer.refused[i], speech),
        )),
        None => Err(Fault::input(format!(
            "--shot: the cue ball would have to be faster than anyone controls to send that ball into the {pocket} pocket"
        ))),
    }
}

impl LayoutCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let (file, gear, game, format, units) = match self {
            Self::Check {
                file,
                gear,
                game,
                format,
                units,
            } => (file, gear, game, format, units),
            Self::Draw(draw) => return draw.run(defaults, out),
        };
        let on = On {
            gear,
            game,
            defaults,
        };
        let laid = read(file, &on)?;
        let situation = laid.situation(game)?;
        let Laid { layout, gear, .. } = laid;
        if format.asked == TextOrJson::Json {
            return json(out, &layout);
        }
        let speech = units.pick(defaults, &gear);
        let widest = layout.labels().map(str::len).max().unwrap_or(0).max(4);
        let mut line = |label: &str, at: Point| {
            writeln!(
                out,
                "{label:>widest$}  {}",
                stop_words(at.into(), &gear.bed, speech)
            )
        };
        line("cue", layout.cue)?;
        for ball in &layout.balls {
            line(&ball.label, ball.at)?;
        }
        writeln!(
            out,
            "{} balls and the cue ball, all in good places.",
            layout.balls.len()
        )?;
        match situation {
            Some(situation) => Ok(writeln!(out, "{}", state_words(&situation, speech))?),
            None => Ok(()),
        }
    }
}

/// A layout with its table and its state of play.
pub(crate) struct Laid {
    pub(crate) layout: Layout,
    pub(crate) gear: Gear,
    game: GameRequest,
    source: String,
}

impl Laid {
    /// The state of play: options over the file's header lines.
    pub(crate) fn situation(&self, asked: &GameRequest) -> Result<Option<Situation>, Fault> {
        let gear = &self.gear;
        let game = asked.over(&self.game);
        game.situation(
            self.layout.labels(),
            Some(CueLies {
                at: self.layout.cue,
                bed: &gear.bed,
            }),
        )
        .map_err(|e| {
            if asked.is_empty() {
                Fault::input(format!("{}: {e}", self.source))
            } else {
                Fault::input(e)
            }
        })
    }
}

/// On which table a layout lies, and what is played.
pub(crate) struct On<'a> {
    pub(crate) gear: &'a GearArgs,
    pub(crate) game: &'a GameRequest,
    pub(crate) defaults: &'a Defaults,
}

/// Reads a layout file; every fault with its line. Where no table is named, the game says which.
pub(crate) fn read(file: &Path, on: &On<'_>) -> Result<Laid, Fault> {
    let source = input::source(file).to_string();
    let text = input::text(file, LAYOUT_BYTES)
        .map_err(|e| Fault::input(format!("cannot read the layout {source}: {e}")))?;
    let game = GameRequest::of_text(&text).map_err(|e| Fault::input(format!("{source}: {e}")));
    let played = game
        .as_ref()
        .ok()
        .and_then(|game| on.game.over(game).named_game());
    let gear = on.gear.load_for(on.defaults, played)?.gear;
    let layout =
        Layout::parse(&text, &gear).map_err(|e| Fault::input(format!("{source}:\n{e}")))?;
    let game = game?;
    Ok(Laid {
        layout,
        gear,
        game,
        source,
    })
}
