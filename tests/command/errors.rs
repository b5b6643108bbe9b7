//! Every public error can be had, and says what it says.
//!
//! The variants are read off the source by a parser of Rust, so a new one fails here until it is
//! reached: by a command whose words must be the variant's own, by a test whose code names the
//! variant (a comment does not count), or it is a fault of the system or of a library, listed with
//! what would have to happen.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::Command;

use kurbo::{Point, Vec2};
use proc_macro2::{TokenStream, TokenTree};
use syn::punctuated::Punctuated;
use syn::{Attribute, Item, ItemEnum, LitStr, Token, Visibility};
use thincut::aims::{AimsError, Fractions};
use thincut::draw::theme::{Board, Caption};
use thincut::draw::{DrawError, Size};
use thincut::files::{FileError, ReadError, text, text_from, write_whole};
use thincut::gear::{Cloth, Gear};
use thincut::ladder::{LadderError, PassRule, spot};
use thincut::log::code::{CodeError, read_code};
use thincut::log::{Log, LogError, Sheet, SheetKind, ShelfChange, ShotEntered, Student};
use thincut::motion::{BallBody, BallState, MotionFault, trace};
use thincut::player::fit::{Evaluation, Likelihood, MAX_PARAMETERS, Theta, maximise};
use thincut::player::propagate::Inputs;
use thincut::player::{Level, Player, PlayerError};
use thincut::pocket::{AcceptanceError, PocketKind, PocketName, PocketShape, accept};
use thincut::request::{PlacesRequest, ShotRequest};
use thincut::sheets::BookletError;
use thincut::sheets::kept::{Climbs, kept_ladder};
use thincut::window::{BedShot, NoWindow, Shot, Stroke, StrokeError, pace_for_stroke};

/// `Enum::Variant` and the text of its message before anything is put in; `transparent` for one that
/// says what it holds.
type Variants = BTreeMap<String, String>;

fn files(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            files(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

fn read_all(folder: &str) -> Vec<(PathBuf, String)> {
    let mut paths = Vec::new();
    files(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join(folder),
        &mut paths,
    );
    paths.sort();
    let read = |p: PathBuf| (fs::read_to_string(&p).expect("readable"), p);
    paths.into_iter().map(read).map(|(t, p)| (p, t)).collect()
}

/// The public enums that derive `Error`: `Enum::Variant` with the message's text.
fn variants() -> Variants {
    let mut out = Variants::new();
    for (path, text) in read_all("src") {
        if path.components().any(|c| c.as_os_str() == "cli") {
            continue;
        }
        let file = syn::parse_file(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        read_items(&file.items, &mut out);
    }
    assert!(out.len() > 150, "only {} variants were found", out.len());
    out
}

fn read_items(items: &[Item], out: &mut Variants) {
    for item in items {
        match item {
            Item::Mod(inner) => {
                if let Some((_, items)) = &inner.content {
                    read_items(items, out);
                }
            }
            Item::Enum(found) if is_error(found) => {
                for variant in &found.variants {
                    let name = format!("{}::{}", found.ident, variant.ident);
                    let text = message(&variant.attrs).or_else(|| message(&found.attrs));
                    let text = text.unwrap_or_else(|| panic!("{name} says nothing"));
                    let twin = out.insert(name.clone(), text);
                    assert!(twin.is_none(), "two enums have a {name}");
                }
            }
            _ => {}
        }
    }
}

fn is_error(found: &ItemEnum) -> bool {
    let derives = |a: &&Attribute| a.path().is_ident("derive");
    let mut named = found.attrs.iter().filter(derives).flat_map(|a| {
        let paths = Punctuated::<syn::Path, Token![,]>::parse_terminated;
        a.parse_args_with(paths).expect("a list of traits")
    });
    let public = matches!(found.vis, Visibility::Public(_));
    public && named.any(|p| p.segments.last().is_some_and(|s| s.ident == "Error"))
}

/// What `#[error(…)]` says.
fn message(attributes: &[Attribute]) -> Option<String> {
    let said = attributes.iter().find(|a| a.path().is_ident("error"))?;
    let text = said.parse_args_with(|input: syn::parse::ParseStream| {
        let text = if input.peek(LitStr) {
            input.parse::<LitStr>()?.value()
        } else {
            input.parse::<syn::Ident>()?.to_string()
        };
        // Arguments of the message.
        input.parse::<TokenStream>().map(|_| text)
    });
    Some(text.expect("a message, or the word transparent"))
}

/// Every `A::B` in code and every text in quotes.
fn named(code: TokenStream, out: &mut BTreeSet<String>) {
    let all: Vec<TokenTree> = code.into_iter().collect();
    for (at, tree) in all.iter().enumerate() {
        match tree {
            TokenTree::Group(group) => named(group.stream(), out),
            TokenTree::Literal(literal) => {
                if let Ok(text) = syn::parse_str::<LitStr>(&literal.to_string()) {
                    out.insert(text.value());
                }
            }
            TokenTree::Ident(first) => {
                let colon = |k: usize| matches!(all.get(at + k), Some(TokenTree::Punct(p)) if p.as_char() == ':');
                if let (true, true, Some(TokenTree::Ident(second))) =
                    (colon(1), colon(2), all.get(at + 3))
                {
                    out.insert(format!("{first}::{second}"));
                }
            }
            TokenTree::Punct(_) => {}
        }
    }
}

/// Files the commands below read.
const FILES: &[(&str, &str)] = &[
    ("list.toml", "name = [1]\n"),
    ("name.toml", "base = \"pool-9ft\"\nname = \"a/b\"\n"),
    ("open.toml", "x = [\n"),
    ("circle.toml", "base = \"circle.toml\"\n"),
    ("missing.toml", "[bed]\nlength = \"2m\"\n"),
    ("header.csv", "ball,x\n"),
    ("values.csv", "ball,x,y\ncue,2\n"),
    ("label.csv", "ball,x,y\n,2,2\n"),
    ("duplicate.csv", "ball,x,y\ncue,2,2\n1,6,2\n1,5,2\n"),
    ("coordinate.csv", "ball,x,y\ncue,2,2\n1,6,9\n"),
    ("cushion.csv", "ball,x,y\ncue,2,2\n1,0.01,2\n"),
    ("dropped.csv", "ball,x,y\ncue,2,2\n1,8,4\n"),
    ("overlap.csv", "ball,x,y\ncue,2,2\n1,2.05,2\n"),
    ("no-cue.csv", "ball,x,y\n1,2,2\n"),
    ("two.csv", "ball,x,y\ncue,2,2\n1,6,2\n"),
    ("no-balls.csv", "ball,x,y\ncue,2,2\n"),
    ("lesson.toml", "x\n"),
    ("misspelt.csv", "cut,apart,to-pockett\n"),
    ("twice.csv", "cut,apart,to-pocket,cut\n"),
    ("no-shot.csv", "a,b\n"),
    ("one-shot.csv", "cut,apart,to-pocket\n30deg,4ft,3ft\n"),
    ("black.csv", "ball,x,y\ncue,2,2\nblack,6,2\n"),
    ("two-blacks.csv", "ball,x,y\ncue,2,2\nblack,6,2\n8,5,2\n"),
    (
        "misspelt-state.csv",
        "# game: 9-ball\n# brek: 2\nball,x,y\ncue,2,2\n1,6,2\n",
    ),
    ("own-broken.toml", "offset = 3\n"),
    (
        "own-twice.toml",
        "[[offset]]\ncut = \"30deg\"\naim = \"28mm\"\n[[offset]]\ncut = \"30deg\"\naim = \"27mm\"\n",
    ),
    (
        "own-short.toml",
        "[[offset]]\ncut = \"10deg\"\naim = \"8mm\"\n[[offset]]\ncut = \"20deg\"\naim = \"17mm\"\n",
    ),
    (
        "own-beyond.toml",
        "[[offset]]\ncut = \"30deg\"\naim = \"2m\"\n",
    ),
    ("taken.svg", ""),
    (
        "beside.csv",
        "cut,apart,to-pocket,gear\nhalf-ball,4ft,3ft,/dev/zero\n",
    ),
    (
        "long-label.csv",
        "ball,x,y\ncue,2,2\nthe-ball-in-the-very-middle,6,2\n",
    ),
];

/// Variant, command, and words of the message that are in the variant's text. `SHOT` stands for a
/// shot, `CODE` for a sheet in the log, a colon after a label for a space.
const COMMANDS: &[(&str, &str, &str)] = &[
    (
        "UnitError::MissingUnit",
        "shot --cut 30 --cue-to-object 4ft --to-pocket 3ft",
        "has no unit",
    ),
    (
        "UnitError::NotAQuantity",
        "shot --cut 30deg --cue-to-object far --to-pocket 3ft",
        "write a number and a unit",
    ),
    (
        "UnitError::UnknownUnit",
        "shot --cut 30deg --cue-to-object 4mph --to-pocket 3ft",
        "is no unit for",
    ),
    (
        "UnitError::NotFinite",
        "shot --cut 30deg --cue-to-object 1e400m --to-pocket 3ft",
        "is too large for",
    ),
    (
        "UnitError::NotANumber",
        "shot SHOT --side x",
        "is not a number",
    ),
    (
        "UnitError::DecimalComma",
        "shot SHOT --side 0,5",
        "has a comma in a number",
    ),
    (
        "UnitError::NotACut",
        "shot --cut 5-ball --cue-to-object 4ft --to-pocket 3ft",
        "is no cut",
    ),
    (
        "UnitError::NotAPosition",
        "shot --cue there --object 5,2 --pocket foot-left",
        "is no place on the table",
    ),
    (
        "UnitError::NotACoordinate",
        "shot --cue 3,frozen-head --object 5,2 --pocket foot-left",
        "is no coordinate",
    ),
    (
        "UnitError::OffTheTable",
        "shot --cue 3,9 --object 5,2 --pocket foot-left",
        "is off the table: the table reaches",
    ),
    (
        "UnitError::NotAUnitSystem",
        "shot SHOT --units furlongs",
        "is no choice of units",
    ),
    (
        "GearError::UnknownGear",
        "shot SHOT --table pool-9f",
        "no table is called",
    ),
    (
        "GearError::Unreadable",
        "shot SHOT --table none.toml",
        "cannot read the table file",
    ),
    (
        "GearError::Syntax",
        "shot SHOT --table open.toml",
        "is not valid TOML",
    ),
    (
        "GearError::UnknownKey",
        "shot SHOT --set bed.lenght=2m",
        "unknown key",
    ),
    (
        "GearError::WrongType",
        "shot SHOT --table list.toml",
        ": write ",
    ),
    (
        "GearError::BadValue",
        "shot SHOT --set bed.length=2",
        " in ",
    ),
    (
        "GearError::MissingKey",
        "shot SHOT --table missing.toml",
        "is missing in",
    ),
    (
        "GearError::BadName",
        "shot SHOT --table name.toml",
        "will not do: use 1 to 60 letters",
    ),
    (
        "GearError::BaseCycle",
        "shot SHOT --table circle.toml",
        "go round in a circle",
    ),
    (
        "GearError::BadOverride",
        "shot SHOT --set ball",
        "write KEY=VALUE",
    ),
    (
        "GearError::OutOfRange",
        "shot SHOT --set cushion.restitution=1.5",
        "is out of range",
    ),
    (
        "GearError::DoesNotFit",
        "shot SHOT --set pocket.side.mouth=2in",
        "does not fit the rest",
    ),
    (
        "RequestError::Word",
        "shot SHOT --arrives smash",
        "is not one of",
    ),
    (
        "RequestError::NotLengths",
        "shot SHOT --lengths long",
        "is no stroke: write table lengths",
    ),
    ("RequestError::NoShot", "shot", "the shot is missing: give "),
    (
        "RequestError::OutOfRange",
        "budget SHOT --level club --tip-spread 9mm",
        "; it must be",
    ),
    (
        "RequestError::Missing",
        "shot --cut 30deg",
        "is missing: give ",
    ),
    (
        "RequestError::Mixed",
        "shot SHOT --cue 3,1",
        "do not go together",
    ),
    (
        "RequestError::Twice",
        "shot SHOT --arrives stun --tip centre",
        "say the same thing twice",
    ),
    (
        "RequestError::StrokeWithoutShot",
        "survey --lengths 2lengths",
        "gives every shot its own pace",
    ),
    (
        "StrokeError::Lengths",
        "shot SHOT --lengths 99lengths",
        "the hardest stroke on this table runs",
    ),
    (
        "StrokeError::TooSoft",
        "shot SHOT --lengths 0.01lengths",
        "too soft for this shot",
    ),
    ("ShotError::Tip", "shot SHOT --tip 15mm-low", ": "),
    (
        "ShotError::OutOfRange",
        "shot SHOT --pace 0m/s",
        "; it must be",
    ),
    (
        "ShotError::BallsOverlap",
        "shot --cut 30deg --cue-to-object 1cm --to-pocket 3ft",
        "centre to centre; they need at least",
    ),
    (
        "ShotError::OffTheBed",
        "shot --cue 0,0 --object 5,2 --pocket foot-left",
        "its centre must be between",
    ),
    (
        "AcceptanceError::Overlap",
        "shot --cut 30deg --cue-to-object 1ft --to-pocket 1ft --approach 80deg",
        "move it at least that far away",
    ),
    (
        "PlayerError::UnknownLevel",
        "shot SHOT --level clubb",
        "no level called",
    ),
    (
        "PlayerError::OutOfRange",
        "shot SHOT --sighting-spread -1mm",
        ": it must be",
    ),
    (
        "AimsError::UnknownWay",
        "aims --methods ghost-bal",
        "is no aiming method",
    ),
    (
        "AimsError::Fraction",
        "aims --methods fractions --fractions 0,2",
        "is no part of a ball",
    ),
    (
        "AimsError::NoOwnList",
        "aims --methods own",
        "needs its list",
    ),
    (
        "AimsError::OwnList",
        "aims --methods own --own own-broken.toml",
        "list of offsets cannot be read",
    ),
    (
        "AimsError::OwnRepeats",
        "aims --methods own --own own-twice.toml",
        "twice: keep one of the two",
    ),
    (
        "BatchError::Misspelt",
        "batch misspelt.csv",
        "is no option of a shot; did you mean",
    ),
    (
        "BatchError::Twice",
        "batch twice.csv",
        "stands twice in the header",
    ),
    (
        "BatchError::NoShot",
        "batch no-shot.csv",
        "the header names no shot",
    ),
    (
        "LayoutFault::Header",
        "choose check header.csv",
        "the first line must be the header",
    ),
    (
        "LayoutFault::Values",
        "choose check values.csv",
        "values; write ball,x,y",
    ),
    (
        "LayoutFault::NoLabel",
        "choose check label.csv",
        "the ball has no name",
    ),
    (
        "LayoutFault::Duplicate",
        "choose check duplicate.csv",
        "each ball has its own name",
    ),
    (
        "LayoutFault::Coordinate",
        "choose check coordinate.csv",
        ": ",
    ),
    (
        "LayoutFault::InCushion",
        "choose check cushion.csv",
        "its centre needs",
    ),
    (
        "LayoutFault::Dropped",
        "choose check dropped.csv",
        "is already over the hole",
    ),
    (
        "LayoutFault::Overlap",
        "choose check overlap.csv",
        "overlap: ",
    ),
    (
        "LayoutFault::NoCue",
        "choose check no-cue.csv",
        "there is no cue ball",
    ),
    (
        "LayoutFault::NoBalls",
        "choose check no-balls.csv",
        "there is no object ball",
    ),
    (
        "LayoutFault::TooMany",
        "choose check many.csv",
        "object balls; at most",
    ),
    (
        "UnitError::Bottom",
        "shot --cue 30cm-from-bottom,20cm-from-left --object 5,2 --pocket foot-left",
        "bottom is the baulk end in the rule books",
    ),
    (
        "UnitError::UnknownWords",
        "shot SHOT --words fr",
        "is no choice of words: write us or uk",
    ),
    (
        "GearError::UnknownMarks",
        "shot SHOT --set marks=stars",
        "write diamonds, snooker or english",
    ),
    (
        "NoColumn::Unknown",
        "batch one-shot.csv --columns cutt",
        "is no column; the nearest are",
    ),
    (
        "NoColumn::Twice",
        "batch one-shot.csv --columns cut_deg,cut_deg",
        "stands there twice",
    ),
    (
        "ShotSheetError::NoGap",
        "sheet why-thin --pace 0.001m/s --out s.pdf",
        "there is no margin to draw",
    ),
    (
        "GameError::Word",
        "choose check two.csv --game golf",
        "is not one of",
    ),
    (
        "GameError::NoGame",
        "choose check two.csv --on red",
        "this is part of a game, so say which",
    ),
    (
        "GameError::NoSuchBall",
        "choose check two.csv --game snooker",
        "; it has ",
    ),
    (
        "GameError::TooMany",
        "choose check two-blacks.csv --game english",
        "of the balls called",
    ),
    (
        "GameError::CannotBe",
        "choose check two.csv --game 9-ball --on 1",
        "; ",
    ),
    (
        "GameError::NoBallOn",
        "choose check two.csv --game 8-ball --group stripes",
        "no ball is on: ",
    ),
    (
        "GameError::Header",
        "choose check misspelt-state.csv",
        "is no line of a state of play: did you mean",
    ),
    (
        "GameError::NoRules",
        "choose check black.csv --game english",
        "is played by three sets of rules that differ after a foul",
    ),
    ("ChartError::Unknown", "chart foo", "no chart is called"),
    (
        "ChartError::NeedsShot",
        "chart shot --out a.svg",
        "draws one shot",
    ),
    (
        "RenderError::Format",
        "chart shot SHOT --out x.gif",
        "does not end in .svg, .png or .pdf",
    ),
    (
        "RenderError::Size",
        "chart shot SHOT --out x.png --size 10x10",
        "write width x height in pixels",
    ),
    (
        "RenderError::Paper",
        "chart shot SHOT --out x.pdf --paper a5",
        "is not known; use a4, letter or a3",
    ),
    (
        "FileError::Exists",
        "chart shot SHOT --out taken.svg",
        "choose another place",
    ),
    (
        "FileError::NoFolder",
        "chart shot SHOT --out missing/a.svg",
        "there is no folder",
    ),
    (
        "GearError::NotBeside",
        "batch beside.csv",
        "is a path, and a file may only name a built-in table",
    ),
    (
        "LayoutFault::Label",
        "choose check long-label.csv",
        "will not do; use at most",
    ),
    (
        "LadderError::Word",
        "ladder --practise jumps",
        "will not do; it takes",
    ),
    (
        "LadderError::NotDown",
        "ladder --from 4 --to 8",
        "a ladder gets harder",
    ),
    (
        "LadderError::NoPocketForTopic",
        "ladder --practise side-pocket --pockets foot-left",
        "cannot be played into ",
    ),
    (
        "LadderError::NoShot",
        "ladder --cuts 1deg..1.0001deg --object 7.9,0.1 --rungs 2",
        "no shot on this table fits",
    ),
    (
        "LadderError::TooFewTries",
        "ladder --level expert --rungs 3 --tries 2",
        "would not show it at",
    ),
    (
        "LadderError::EmptyGroup",
        "ladder marks --students ,",
        "no students: name some",
    ),
    (
        "LadderError::Twice",
        "ladder marks --students K=club,K=club",
        "is named twice",
    ),
    (
        "LadderError::UnknownStudent",
        "ladder marks --students K",
        "say how good",
    ),
    (
        "LadderError::NoLine",
        "ladder marks --students K=first-evening,L=expert --chance 9.9 --object 4,2 --pocket foot-left",
        "no line of cue-ball places gives every student",
    ),
    (
        "LadderError::TooShort",
        "lesson new --student K=club --minutes 1",
        "minutes are too few",
    ),
    (
        "LessonError::Toml",
        "lesson check lesson.toml",
        "not a lesson file",
    ),
    (
        "LogError::Missing",
        "log list --log none.sqlite",
        "there is no log at",
    ),
    (
        "LogError::LabelTaken",
        "log students set k",
        "would be mistaken for",
    ),
    (
        "LogError::UnknownStudent",
        "log list --student Q",
        "no student is called",
    ),
    (
        "LogError::NotEmpty",
        "log demo",
        "the demo does not mix with real ones",
    ),
    (
        "LogError::UnknownSheet",
        "log enter 2222 K:1/2",
        "no sheet has the code",
    ),
    (
        "StudentError::Label",
        "log students set a/b",
        "is no label: use 1 to",
    ),
    (
        "StudentError::Hand",
        "log students set K --hand up",
        "is no hand",
    ),
    (
        "StudentError::Reach",
        "log students set K --reach 9m",
        "a reach of",
    ),
    (
        "CodeError::Character",
        "log enter I K:1/2",
        "is not used in codes",
    ),
    (
        "StickError::Miscue",
        "stroke --speed 2m/s --across 20mm --height 0mm",
        "half the ball's radius",
    ),
    (
        "StickError::OutOfRange",
        "stroke --speed 200m/s --across 0mm --height 0mm",
        "it must be",
    ),
    (
        "ExplorerError::TokenNeeded",
        "explore --bind 0.0.0.0",
        "can be reached from other machines",
    ),
    (
        "ExplorerError::WeakToken",
        "explore --bind 0.0.0.0 --token x",
        "use at least",
    ),
    (
        "ExplorerError::BadHost",
        "explore --host a/b",
        "give a plain host name",
    ),
    (
        "ExplorerError::Listen",
        "explore --bind 192.0.2.1 --token 0123456789abcdef012345",
        "cannot listen at",
    ),
    (
        "AimsError::LampTooLow",
        "aims SHOT --methods shadow --lamp-height 1mm",
        "a lamp must hang higher than the top of a ball",
    ),
    (
        "AimsError::LampNeedsTable",
        "aims SHOT --lamp-at 3,2",
        " needs a shot on the table (",
    ),
    (
        "AimsError::OutOfRange",
        "aims SHOT --eye-behind 9m",
        "; it must be",
    ),
    (
        "AimsError::OwnEntry",
        "aims SHOT --methods own --own own-beyond.toml",
        "in the list of offsets is",
    ),
    (
        "CannotAim::LampBehindPlayer",
        "aims SHOT --methods shadow --lamp-ahead -2m",
        "where the player stands in its light",
    ),
    (
        "CannotAim::MarkTooClose",
        "aims --cut 60deg --cue-to-object 59mm --to-pocket 3ft --methods shadow",
        "the mark lies beside or behind the cue ball",
    ),
    (
        "CannotAim::OutsideList",
        "aims SHOT --methods own --own own-short.toml",
        "the list of offsets covers cuts",
    ),
    (
        "ChartError::OffTheTable",
        "chart shot --cut 30deg --cue-to-object 3m --to-pocket 2m --out a.svg",
        "of this shot would lie off the table",
    ),
    (
        "ChartError::NoRoom",
        "chart shot SHOT --pace 0.001m/s --out a.svg",
        "this shot has no margin to draw",
    ),
    (
        "RenderError::Epoch",
        "SOURCE_DATE_EPOCH=x chart shot SHOT --out x.pdf",
        "is not a time",
    ),
    (
        "FileError::Folder",
        "chart shot SHOT --out /proc/a.svg",
        "cannot write into",
    ),
    (
        "SheetError::OutOfRange",
        "sheet scale --distance 9m --out s.pdf",
        "; it must be",
    ),
    (
        "ChartError::NeedsGears",
        "chart gear --out a.svg",
        "compares tables",
    ),
    (
        "ChartError::NeedsRange",
        "chart by-cut --cut 30deg --out a.svg",
        "needs two different values",
    ),
    (
        "ReachError::OutOfRange",
        "choose two.csv --level club --reach 10m",
        "is no reach: write more than 0 and at most",
    ),
    (
        "Unknown::NotTold",
        "shot SHOT --student K",
        "nothing can be said of student",
    ),
    (
        "LogError::NotLast",
        "log undo --entry 1",
        "brought or changed students or sheets",
    ),
    (
        "BookletError::Kind",
        "sheet ladder MARKS --level club --out l.pdf",
        " sheet",
    ),
    (
        "BookletError::Gear",
        "sheet ladder ladder.json --out l.pdf --table pool-7ft",
        "this was drawn up for",
    ),
    (
        "BookletError::Place",
        "sheet ladder ladder-place.json --out l.pdf",
        "",
    ),
    (
        "BookletError::Pocket",
        "sheet ladder ladder-pocket.json --out l.pdf",
        "",
    ),
    (
        "PlayerError::TooFewValues",
        "skill K --stroke-test 1,2 --stroke-distance 2m",
        "given, at least",
    ),
    (
        "LessonError::Problem",
        "lesson check lesson-spoilt.toml",
        ": ",
    ),
    ("RequestError::Unit", "shot SHOT --side x", ": "),
    ("LogError::Tally", "log enter CODE 9:K:1/2", "sheet "),
];

/// What a test cannot bring about, and what would have to happen.
const OF_THE_SYSTEM: &[(&str, &str)] = &[
    (
        "DrawError::Drawing",
        "the drawing library refuses a picture",
    ),
    (
        "RenderError::Svg",
        "the SVG library cannot read what was drawn here",
    ),
    ("RenderError::Encode", "the PNG or PDF library fails"),
    ("LayoutFault::Csv", "the CSV library refuses text in memory"),
    (
        "CannotAim::SpotHidden",
        "an eye or a lamp below the top of the balls, which their ranges rule out",
    ),
    (
        "ExplorerError::Io",
        "the system closes a socket that listens",
    ),
    ("LogError::Busy", "another program holds the log for 20 s"),
    (
        "LogError::Full",
        "a full disk (src/log/store.rs tests it with a log that may not grow)",
    ),
    ("LogError::NoPlace", "a system without home folders"),
];

/// What only the library can be asked.
#[test]
fn the_library_says_its_errors() {
    let gear = Gear::preset("pool-9ft").expect("embedded");
    let (body, cloth) = (BallBody::object(&gear), gear.cloth);
    let shape = PocketShape::new(&gear, PocketKind::Corner, &body);
    let before = Point::new(-0.5, 0.0);
    let standing = accept(&shape, &cloth, &body, before, 0.0).expect_err("no pace");
    assert!(
        matches!(standing, AcceptanceError::BadPace(_)),
        "{standing}"
    );

    let apart = ShotEntered {
        request: ShotRequest {
            places: PlacesRequest {
                cut: Some("30deg".to_owned()),
                apart: Some("1m".to_owned()),
                to_pocket: Some("1m".to_owned()),
                ..PlacesRequest::default()
            },
            ..ShotRequest::default()
        },
        gear: "pool-9ft".to_owned(),
        set: Vec::new(),
    };
    let title = "angles for A".to_owned();
    let kept = Sheet::of_shots(SheetKind::Ladder, title, vec![(None, apart)]).expect("a shot");
    let player = Player {
        error: Level::Club.aim_error(),
        who: "a club player".to_owned(),
        assumed: true,
    };
    let unprinted = kept_ladder(
        &gear,
        "K7QXX",
        &kept,
        &Climbs {
            player: &player,
            right: None,
        },
        &PassRule::default(),
    )
    .expect_err("no places");
    assert!(
        matches!(unprinted, BookletError::Shot { .. }),
        "{unprinted}"
    );

    let ice = Cloth {
        rolling_friction: 0.0,
        ..cloth
    };
    let start = BallState::sliding(before, Vec2::new(1.0, 0.0));
    let on = trace(&[], &body, &ice, start, |_| {}).expect_err("it rolls on");
    assert!(matches!(on, MotionFault::NeverRests), "{on}");

    let away = BedShot {
        cue: Point::new(2.2, 0.95),
        object: Point::new(1.6, 0.6),
        pocket: PocketName::FootLeft,
    };
    let away = Shot::on_bed(&gear, &away, Stroke::default()).expect("a shot");
    let never = pace_for_stroke(&gear, &away, 2.0).expect_err("out of reach");
    assert!(
        matches!(never, StrokeError::NoWindow(NoWindow::OutOfReach)),
        "{never}"
    );

    let nowhere = write_whole(Path::new("/"), b"", false).expect_err("no name");
    assert!(matches!(nowhere, FileError::NoName(_)), "{nowhere}");
    let device = write_whole(Path::new("/dev/null"), b"", true).expect_err("a device");
    assert!(matches!(device, FileError::NotAFile { .. }), "{device}");
    let device = text(Path::new("/dev/zero"), 1).expect_err("a device");
    assert!(matches!(device, ReadError::NotAFile { .. }), "{device}");
    let gone = text(Path::new("nowhere"), 1).expect_err("no such file");
    assert!(matches!(gone, ReadError::System(_)), "{gone}");
    let large = text(Path::new(file!()), 1).expect_err("this file");
    assert!(matches!(large, ReadError::TooLarge { .. }), "{large}");
    let long = text_from(&b"ab"[..], 1).expect_err("two bytes");
    assert!(matches!(long, ReadError::TooLong { .. }), "{long}");
    let binary = text_from(&b"\xff"[..], 1).expect_err("no text");
    assert!(matches!(binary, ReadError::NotText), "{binary}");
    let short = read_code("K").expect_err("too short");
    assert!(matches!(short, CodeError::Length { .. }), "{short}");

    let full = Log::write_csv(&[], &[], &[], &mut Broken).expect_err("no margin");
    assert!(matches!(full, LogError::Export(_)), "{full}");
    let folder = tempfile::tempdir().expect("a folder");
    let mut log = Log::open(&folder.path().join("practice.sqlite")).expect("a log");
    let day = "2025-11-25".parse().expect("a day");
    log.set_student(&Student::named("K"), &day).expect("kept");
    let period = log.ask_period("K", Some("soon"), &day).expect_err("no day");
    assert!(matches!(period, LogError::Period(_)), "{period}");
    let unnamed = ShelfChange::Rename(1, String::new());
    let unnamed = log.change_shelf(&unnamed).expect_err("no name");
    assert!(matches!(unnamed, LogError::Shelf { .. }), "{unnamed}");
    let size = Size {
        width_px: 320,
        height_px: 240,
    };
    let board = Board::new(size, &Caption::default());
    let small = board.need(400.0, 100.0).expect_err("too small");
    assert!(matches!(small, DrawError::TooSmall { .. }), "{small}");

    let without = Fractions::new("fractions", Vec::new()).expect_err("no fractions");
    assert!(matches!(without, AimsError::Empty { .. }), "{without}");
    let game = spot(0.001, 0.9, 5).expect_err("never made");
    assert!(matches!(game, LadderError::NoGame { .. }), "{game}");

    let none = Inputs::new(Vec::new()).expect_err("no inputs");
    assert!(matches!(none, PlayerError::BadInputs(_)), "{none}");
    let flat = maximise(&Odd { rises: false }).expect_err("flat");
    assert!(matches!(flat, PlayerError::Flat { .. }), "{flat}");
    let endless = maximise(&Odd { rises: true }).expect_err("endless");
    assert!(
        matches!(endless, PlayerError::NoMaximum { .. }),
        "{endless}"
    );
}

/// A file on a full disk.
struct Broken;

impl Write for Broken {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(io::ErrorKind::StorageFull.into())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// A likelihood of one parameter without a top: the same everywhere, or rising for ever.
struct Odd {
    rises: bool,
}

impl Likelihood for Odd {
    fn parameters(&self) -> usize {
        1
    }

    fn name(&self, _: usize) -> String {
        "nothing".to_owned()
    }

    fn start(&self) -> Theta {
        [0.0; MAX_PARAMETERS]
    }

    fn evaluate(&self, theta: &Theta) -> Evaluation {
        let mut at = Evaluation::empty();
        if self.rises {
            at.ln_likelihood = theta[0];
            at.gradient[0] = 1.0;
            at.information[0][0] = 1.0;
        }
        at
    }
}

fn prepared() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in FILES {
        fs::write(folder.path().join(name), text).expect("written");
    }
    let mut many = String::from("ball,x,y\ncue,0.5,0.5\n");
    for k in 0..23 {
        many.push_str(&format!(
            "{k},{},{}.5\n",
            1.0 + 0.5 * f64::from(k % 8),
            k / 8
        ));
    }
    fs::write(folder.path().join("many.csv"), many).expect("written");
    let folder_path = folder.path();
    assert!(run(folder_path, "log students set K").is_empty());
    assert!(run(folder_path, "log students set M").is_empty());
    let kept = [
        ("code", "ladder --level club --rungs 2 --keep"),
        (
            "marks-code",
            "ladder marks --students K=club,L=club --chance 5 --keep",
        ),
    ];
    for (file, line) in kept {
        let sheet = command(folder_path).args(line.split(' ')).output();
        let text = String::from_utf8(sheet.expect("it runs").stdout).expect("UTF-8");
        let code = text.lines().find_map(|l| l.strip_prefix("Code "));
        let code = code
            .and_then(|c| c.split_once([':', '.']))
            .expect("a code")
            .0;
        fs::write(folder_path.join(file), code).expect("written");
    }
    let json = command(folder_path)
        .args([
            "ladder", "--level", "club", "--rungs", "2", "--format", "json",
        ])
        .output()
        .expect("it runs");
    let good = String::from_utf8(json.stdout).expect("UTF-8");
    for (name, key, spoilt) in [
        ("ladder.json", "", ""),
        ("ladder-place.json", "\"object\": \"", "\"object\": \"9"),
        ("ladder-pocket.json", "\"pocket\": \"", "\"pocket\": \"x"),
    ] {
        let text = if key.is_empty() {
            good.clone()
        } else {
            good.replacen(key, spoilt, 1)
        };
        fs::write(folder_path.join(name), text).expect("written");
    }
    // A good lesson, but for one chance.
    run(
        folder_path,
        "lesson new --student K=club --out lesson-spoilt.toml",
    );
    let lesson = folder_path.join("lesson-spoilt.toml");
    let text = fs::read_to_string(&lesson).expect("a lesson");
    fs::write(
        &lesson,
        text.replacen("makes_in_ten = ", "makes_in_ten = 1", 1),
    )
    .expect("written");
    folder
}

/// The code of a kept sheet, or nothing before it is kept.
fn code(folder: &Path, name: &str) -> String {
    fs::read_to_string(folder.join(name)).unwrap_or_default()
}

/// What the command says on standard error.
fn run(folder: &Path, line: &str) -> String {
    let line = line
        .replace(
            "SHOT",
            "--cut half-ball --cue-to-object 4ft --to-pocket 3ft",
        )
        .replace("CODE", &code(folder, "code"))
        .replace("MARKS", &code(folder, "marks-code"));
    let mut command = command(folder);
    let line = match line.split_once("SOURCE_DATE_EPOCH=x ") {
        Some((_, line)) => {
            command.env("SOURCE_DATE_EPOCH", "x");
            line
        }
        None => &line,
    };
    let out = command
        .args(line.split(' ').map(|w| w.replace("K:", "K ")))
        .output()
        .expect("it runs");
    String::from_utf8_lossy(&out.stderr).into_owned()
}

fn command(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_thincut"));
    command
        .current_dir(folder)
        .env("THINCUT_LOG", folder.join("log.sqlite"))
        .env("HOME", folder);
    command
}

#[test]
fn every_command_says_its_error() {
    let (all, folder) = (variants(), prepared());
    for (variant, line, words) in COMMANDS {
        let text = all.get(*variant).unwrap_or_else(|| panic!("no {variant}"));
        // A text made by a function is seen only as it is told.
        assert!(
            text == "{}" || text.contains(words),
            "{variant} says {text}"
        );
        let told = run(folder.path(), line);
        assert!(
            told.starts_with("error: ") && told.contains(words),
            "{variant}: `{line}` says {told}"
        );
    }
}

#[test]
fn every_public_error_is_reached() {
    let mut tests = BTreeSet::new();
    for (path, text) in read_all("tests") {
        let code = text.parse::<TokenStream>();
        named(
            code.unwrap_or_else(|e| panic!("{}: {e}", path.display())),
            &mut tests,
        );
    }
    let all = variants();
    let missing: Vec<&String> = all
        .iter()
        .filter(|(variant, text)| *text != "transparent" && !tests.contains(*variant))
        .map(|(variant, _)| variant)
        .collect();
    assert!(missing.is_empty(), "never reached: {missing:#?}");
    for (listed, _) in OF_THE_SYSTEM {
        assert!(all.contains_key(*listed), "{listed} is gone");
    }
}
