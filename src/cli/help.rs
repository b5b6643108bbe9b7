//! Help that fits a screen and a half: what a command takes by itself, and the options that many
//! share under a page of their own.

use clap::{Arg, Args as _, Command};
use thincut::aims::WaysRequest;
use thincut::answer::{LevelAnswer, levels_text};
use thincut::game::GameRequest;
use thincut::gear::{Gear, Preset};
use thincut::layout::ReachRequest;
use thincut::measure::ReadingsRequest;
use thincut::player::PlayerRequest;
use thincut::request::{PlacesRequest, StrokeRequest};
use thincut::units::UnitSystem;

use crate::student::StudentArgs;
use crate::table::GearArgs;

/// The commands in groups, the page first.
pub(crate) const COMMANDS: &str = "\
At the table:
  explore  a page in the browser: drag the balls, see margin and chance
  shot     one shot: how far may the aim be off, and how often does it go in?
  choose   which shot to play; checks and draws layouts too

Teaching:
  lesson   draw up a lesson, or check one
  ladder   drills that step up evenly; marks and a fair start for games
  aims     where does an aiming method work, and what mends it?
  stroke   where does the cue ball go, struck off its middle?
  chart    one picture into a file
  sheet    paper at true size: posters, booklets, cards

Students:
  log      keep attempts: add, enter, list, export, undo
  skill    is a student getting better, and what causes the misses?
  budget   what to practise for a shot, and what it gains
  level    what level somebody plays at, by a test shot

Your table:
  survey   tables and charts over cuts and distances
  table    list, show, check, pockets, compare, measure, jaws, rails, cue

For programs:
  batch    a file of shots, a row each

Each has --help with examples. Shell completions and manual pages: thincut completions --help,
thincut man --help.";

/// Lines a page of help may have: a screen and a half.
const MOST_LINES: usize = 45;

/// Pages of options that many commands share.
struct Page {
    /// `thincut help NAME`.
    name: &'static str,
    /// Headings of its options.
    headings: &'static [&'static str],
    /// Options that stay where they are.
    kept: &'static [&'static str],
    /// Its options.
    of: fn(Command) -> Command,
}

const PAGES: &[Page] = &[
    Page {
        name: "shot-options",
        headings: &["The shot, on the table or by angles"],
        kept: &["cue", "object", "pocket", "cut", "apart", "to_pocket"],
        of: PlacesRequest::augment_args,
    },
    Page {
        name: "stroke-options",
        headings: &["The stroke"],
        kept: &["pace", "arrives"],
        of: StrokeRequest::augment_args,
    },
    Page {
        name: "player-options",
        headings: &[
            "The player",
            "The player, from the practice log",
            "How the player stands",
        ],
        kept: &["level", "student"],
        of: |page| {
            let page = PlayerRequest::augment_args(page);
            ReachRequest::augment_args(StudentArgs::augment_args(page))
        },
    },
    Page {
        name: "table-options",
        headings: &["The table"],
        kept: &["gear"],
        of: GearArgs::augment_args,
    },
    Page {
        name: "game-options",
        headings: &["The game"],
        kept: &["game", "on", "group"],
        of: GameRequest::augment_args,
    },
    Page {
        name: "method-options",
        headings: &["Aiming methods"],
        kept: &["ways", "own"],
        of: WaysRequest::augment_args,
    },
    Page {
        name: "reading-options",
        headings: &["Readings, each as often as you like"],
        kept: &["corner_mouth", "corner_throat", "corner_shelf", "lag"],
        of: ReadingsRequest::augment_args,
    },
];

/// The page of shared options that is asked for: `thincut help player-options`.
pub(crate) fn page(words: &[&str]) -> Option<String> {
    let ["help", name] = words else {
        return None;
    };
    let page = PAGES.iter().find(|page| page.name == *name)?;
    let command = (page.of)(Command::new(page.name)).disable_help_flag(true);
    let text = command
        .help_template("Options of many commands\n\n{all-args}")
        .render_help();
    let more = match page.name {
        "player-options" => levels().unwrap_or_default(),
        "shot-options" => PLACES.to_owned(),
        _ => String::new(),
    };
    Some(format!("{text}\n{more}"))
}

/// Who the levels are, by shots anybody can set up.
fn levels() -> Option<String> {
    let gear = Gear::standard(Preset::Pool9Ft).ok()?;
    let levels = LevelAnswer::new(&gear, None, false).ok()?;
    let text = levels_text(&levels, UnitSystem::default());
    Some(format!(
        "Who the levels are. {text}On another table, and which you are: thincut level --help\n"
    ))
}

/// How places are typed, on every table.
const PLACES: &str = "\
Places, on every table in either trade's words:
  6,2                              diamonds from the head rail, then from the right rail
  50in,40cm                        lengths from the same rails
  frozen-left, tight-left          on a rail, for one of the two: tight-top,30cm-from-left
  30cm-from-top,20cm-from-left     from named cushions: baulk, top (head, foot), left, right
  level-brown,25cm-from-left       level with a spot: level-black, level-blue, level-eight-ball
  head-spot, centre-spot, foot-spot                              spots of pool
  yellow-spot, green-spot, brown-spot, blue-spot, pink-spot, black-spot   of snooker
  eight-ball-spot                                                of English pool
Pockets: foot-left or top-left, side-left or middle-left, head-left or baulk-left, and right.
The bottom of a table is one end to some and the other to others, so it is refused.
";

/// Which pages are left out whole, one after the other, where that is needed.
const LEFT_OUT: [&str; 7] = [
    "table-options",
    "player-options",
    "stroke-options",
    "game-options",
    "reading-options",
    "method-options",
    "shot-options",
];

/// A command, and those in it, with help that fits: first without what is seldom asked of the shared
/// options, then without as many of them as it takes.
pub(crate) fn fitted(command: Command) -> Command {
    let command = command.mut_subcommands(fitted);
    if lines(&command) <= MOST_LINES {
        return command;
    }
    let mut briefer = (0..LEFT_OUT.len()).map(|k| without(command.clone(), &LEFT_OUT[..k]));
    briefer
        .find(|brief| lines(brief) <= MOST_LINES)
        .unwrap_or_else(|| without(command, &LEFT_OUT))
}

fn lines(command: &Command) -> usize {
    let help = command.clone().render_help().to_string();
    help.lines().count()
}

/// Without the options that stand on a page of their own: those of some pages whole, of others but for
/// what is usually kept.
fn without(command: Command, whole: &[&str]) -> Command {
    let hidden = |page: &Page, arg: &Arg| {
        let under = arg.get_help_heading().unwrap_or_default();
        let kept = !whole.contains(&page.name) && page.kept.contains(&arg.get_id().as_str());
        page.headings.contains(&under) && !kept
    };
    let pages = PAGES
        .iter()
        .filter(|page| command.get_arguments().any(|arg| hidden(page, arg)));
    let pages: Vec<&Page> = pages.collect();
    if pages.is_empty() {
        return command;
    }
    let names: Vec<&str> = pages.iter().map(|page| page.name).collect();
    let more = format!("More options (thincut help NAME): {}", names.join(", "));
    let after = command
        .get_after_help()
        .map_or_else(String::new, |text| format!("{text}\n\n"));
    command
        .mut_args(|arg| {
            let hide = pages.iter().any(|page| hidden(page, &arg));
            if hide { arg.hide(true) } else { arg }
        })
        .after_help(format!("{after}{more}"))
}
