//! The command line: arguments, gear, solve, write.

#![warn(clippy::too_many_lines, clippy::unwrap_used)]

mod aims;
mod batch;
mod budget;
mod chart;
mod choose;
mod choose_layout;
mod defaults;
mod explore;
mod face;
mod fault;
mod format;
mod grid;
mod help;
mod input;
mod interrupt;
mod ladder;
mod ladder_log;
mod lesson;
mod level;
mod log;
mod log_words;
mod marks;
mod output;
mod package;
mod play;
mod renamed;
mod sheet;
mod shot;
mod simulation;
mod skill;
mod stroke;
mod student;
mod survey;
mod table;
mod table_compare;
mod table_cue;
mod table_file;
mod table_jaws;
mod table_measure;
mod table_pockets;
mod table_rails;
mod table_rolls;

use std::ffi::{OsStr, OsString};
use std::io::{IsTerminal, Write};
use std::process::ExitCode;

use clap::{Args as _, CommandFactory as _, FromArgMatches as _, Parser, Subcommand};
use thincut::field::spoken_by;
use thincut::shown::Plain;

use defaults::Defaults;
use face::COMMAND_LINE;
use fault::Fault;
use format::json_asked_for;

const FIRST_STEPS: &str = "\
thincut says how far off an aim may be and the shot still go. Three commands to start with:

  thincut explore --open                                     a page in the browser: drag the balls
  thincut shot --cue 3,1 --object 5,2.4 --pocket foot-left    one shot on the table
  thincut survey                                             tables and charts over cuts and distances

Each has --help with an example. All commands: thincut --help
";

/// How far off may a cue-ball aim be, and the object ball still drop?
#[derive(Debug, Parser)]
#[command(
    name = "thincut",
    version,
    about,
    help_template = "{about}\n\n{usage-heading} {usage}{after-help}\n",
    after_help = help::COMMANDS.to_owned() + "\n\nExample:\n  thincut shot --cut half-ball --cue-to-object 4ft --to-pocket 3ft\n\n\
        Exit codes: 0 done (an answer such as \"out of reach\" is an answer), 1 a fault while running, 2 bad usage or input.\n\
        Results go to standard output, everything else to standard error."
)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    Explore(explore::ExploreCommand),
    Shot(shot::ShotCommand),
    Choose(Box<choose::ChooseCommand>),
    /// Draw up a lesson, or check one
    Lesson {
        #[command(subcommand)]
        command: Box<lesson::LessonCommand>,
    },
    Ladder(Box<ladder::LadderCommand>),
    Aims(aims::AimsCommand),
    Stroke(stroke::StrokeCommand),
    Chart(chart::ChartCommand),
    /// Print paper at true size: pockets, margins at the ghost ball, cards, booklets
    Sheet {
        #[command(subcommand)]
        command: sheet::SheetCommand,
    },
    Log(log::LogCommand),
    Skill(Box<skill::SkillCommand>),
    Budget(budget::BudgetCommand),
    Level(level::LevelCommand),
    Survey(survey::SurveyCommand),
    /// The table: list, show, check, compare, its pockets, or measure your own
    #[command(
        after_help = "Examples:\n  thincut table list\n  thincut table show pool-9ft\n  \
        thincut table pockets\n  thincut table measure --form\n\n\
        Every command takes --table NAME|FILE and --set KEY=VALUE; `table show` lists the keys with their values, units and sources. What --set changes stands in the name of the table wherever it is shown."
    )]
    Table {
        #[command(subcommand)]
        command: Box<table::TableCommand>,
    },
    Batch(batch::BatchCommand),
    #[command(hide = true)]
    Completions(package::CompletionsCommand),
    #[command(hide = true)]
    Man(package::ManCommand),
}

impl Command {
    /// Whether its output holds other people's cells that must come out as they went in.
    fn writes_data(&self) -> bool {
        matches!(self, Self::Batch(_) | Self::Log(_))
    }
}

fn main() -> ExitCode {
    spoken_by(COMMAND_LINE, ran)
}

fn ran() -> ExitCode {
    let wants_json = json_asked_for(std::env::args());
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    if let Some(page) = help::page(&words) {
        let mut out = std::io::stdout().lock();
        // Nobody who reads it is no error.
        let _ = out.write_all(page.as_bytes());
        return ExitCode::SUCCESS;
    }
    let cli = match parsed() {
        Ok(cli) => cli,
        Err(error) => {
            return match renamed::told(&error) {
                Some(message) => Fault::Input(message).report(wants_json),
                None => fault::usage(&error, wants_json),
            };
        }
    };
    // The page stops in its own way: it lets whoever is connected finish. What writes no file leaves
    // none behind.
    let by_itself = matches!(
        cli.command,
        Some(Command::Explore(_) | Command::Shot(_) | Command::Stroke(_)) | None
    );
    if !by_itself {
        interrupt::leave_nothing_behind();
    }
    let out = std::io::stdout().lock();
    // Cells and answers for programs go out as they are; nobody's file drives a terminal.
    let raw = cli.command.as_ref().is_some_and(Command::writes_data);
    let mut out: Box<dyn Write> = if raw && !out.is_terminal() {
        Box::new(out)
    } else {
        Box::new(Plain::new(out))
    };
    let done = run(cli, &mut *out).and_then(|()| out.flush().map_err(Fault::from));
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => fault.report(wants_json),
    }
}

/// The command line; a variable of the environment that is empty counts as not set.
fn parsed() -> Result<Cli, clap::Error> {
    fn without_empty(command: clap::Command) -> clap::Command {
        let empty = |name: &std::ffi::OsStr| std::env::var_os(name).is_some_and(|v| v.is_empty());
        command
            .mut_args(|arg| match arg.get_env() {
                Some(name) if empty(name) => arg.env(None::<&str>),
                _ => arg,
            })
            .mut_subcommands(without_empty)
    }
    let typed: Vec<OsString> = std::env::args_os().collect();
    // Drawing up the arguments of every command, and help that fits, takes longer than most answers. What
    // one command alone does not take (help, a slip) goes to all of them, who know what to say.
    if let Some(command) = typed.get(1).and_then(|name| one_command(name)) {
        let program = clap::Command::new("thincut").subcommand(without_empty(command));
        if let Ok(matches) = program.try_get_matches_from(&typed)
            && let Ok(cli) = Cli::from_arg_matches(&matches)
        {
            return Ok(cli);
        }
    }
    let mut command = help::fitted(without_empty(Cli::command()));
    let matches = command.try_get_matches_from_mut(typed)?;
    Cli::from_arg_matches(&matches).map_err(|e| e.format(&mut command))
}

/// One command by itself.
fn one_command(name: &OsStr) -> Option<clap::Command> {
    let name = name.to_str()?;
    let arguments: fn(clap::Command) -> clap::Command = match name {
        "explore" => explore::ExploreCommand::augment_args,
        "shot" => shot::ShotCommand::augment_args,
        "choose" => choose::ChooseCommand::augment_args,
        "lesson" => lesson::LessonCommand::augment_subcommands,
        "ladder" => ladder::LadderCommand::augment_args,
        "aims" => aims::AimsCommand::augment_args,
        "stroke" => stroke::StrokeCommand::augment_args,
        "chart" => chart::ChartCommand::augment_args,
        "sheet" => sheet::SheetCommand::augment_subcommands,
        "log" => log::LogCommand::augment_args,
        "skill" => skill::SkillCommand::augment_args,
        "budget" => budget::BudgetCommand::augment_args,
        "level" => level::LevelCommand::augment_args,
        "survey" => survey::SurveyCommand::augment_args,
        "table" => table::TableCommand::augment_subcommands,
        "batch" => batch::BatchCommand::augment_args,
        _ => return None,
    };
    Some(arguments(clap::Command::new(name.to_owned())))
}

fn run(cli: Cli, out: &mut dyn Write) -> Result<(), Fault> {
    let Some(command) = cli.command else {
        return Ok(out.write_all(FIRST_STEPS.as_bytes())?);
    };
    let defaults = Defaults::read()?;
    match command {
        Command::Shot(c) => c.run(&defaults, out),
        Command::Choose(c) => c.run(&defaults, out),
        Command::Stroke(c) => c.run(&defaults, out),
        Command::Survey(c) => c.run(&defaults, out),
        Command::Chart(c) => c.run(&defaults, out),
        Command::Batch(c) => c.run(&defaults, out),
        Command::Budget(c) => c.run(&defaults, out),
        Command::Level(c) => c.run(&defaults, out),
        Command::Aims(c) => c.run(&defaults, out),
        Command::Log(c) => c.run(&defaults, out),
        Command::Skill(c) => c.run(&defaults, out),
        Command::Completions(c) => c.run(out),
        Command::Man(c) => c.run(out),
        Command::Explore(c) => c.run(&defaults, out),
        Command::Ladder(c) => c.run(&defaults, out),
        Command::Lesson { command } => command.run(&defaults, out),
        Command::Sheet { command } => command.run(&defaults, out),
        Command::Table { command } => command.run(&defaults, out),
    }
}
