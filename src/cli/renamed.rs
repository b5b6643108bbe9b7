//! Names of the first edition on the command line: refused, with the name of today.
//!
//! Files, logs and links are read under either name (`thincut::field::FIRST_EDITION`); what a person
//! types is told once and then known.

use clap::error::{ContextKind, ContextValue, ErrorKind};

/// Options: of which command (`""` for all), as they were, as they are.
const OPTIONS: &[(&str, &str, &str)] = &[
    ("", "--gear", "--table"),
    ("", "--apart", "--cue-to-object"),
    ("", "--aparts", "--cue-to-object, which takes several"),
    ("", "--to-pockets", "--to-pocket, which takes several"),
    ("", "--cuts", "--cut, which takes several"),
    (
        "",
        "--hit",
        "--arrives roll, stun, follow or draw (or --tip, where the tip strikes)",
    ),
    ("", "--roll", "--arrives, which takes a ratio too"),
    ("skill", "--stroke", "--stroke-test"),
    (
        "",
        "--stroke",
        "--lengths, a number of table lengths such as --lengths 2",
    ),
    ("", "--arm", "--stroke-spread"),
    ("", "--picture", "--sighting-spread"),
    ("", "--sigma", "--aim-spread"),
    ("", "--bias", "--steady-error"),
    ("", "--arm-growth", "--stroke-growth"),
    ("", "--tables", "--playing-on"),
    ("", "--margin", "--weaker-by"),
    ("", "--room", "--margin"),
    ("", "--ways", "--methods"),
    ("", "--lag", "--roll-out"),
    ("", "--run", "--roll-lengths"),
];

/// Commands, as they were and as they are.
const COMMANDS: &[(&str, &str)] = &[
    ("gear", "thincut table"),
    ("pocket", "thincut table pockets"),
    ("compare", "thincut table compare"),
    ("layout", "thincut choose check and thincut choose draw"),
    ("rose", "thincut sheet margin-strip"),
];

/// What to say of a usage error that comes of a name of the first edition.
pub(crate) fn told(error: &clap::Error) -> Option<String> {
    let (kind, list) = match error.kind() {
        ErrorKind::UnknownArgument => (ContextKind::InvalidArg, None),
        ErrorKind::InvalidSubcommand => (ContextKind::InvalidSubcommand, Some(COMMANDS)),
        _ => return None,
    };
    let ContextValue::String(typed) = error.get(kind)? else {
        return None;
    };
    let now = match list {
        Some(commands) => commands.iter().find(|(was, _)| was == typed)?.1,
        None => option(
            typed,
            std::env::args().nth(1).as_deref().unwrap_or_default(),
        )?,
    };
    Some(format!("{typed} is now called {now}"))
}

/// The name of today for an option of a command.
fn option(typed: &str, command: &str) -> Option<&'static str> {
    let of = |(only, was, _): &&(&str, &str, &str)| {
        *was == typed && (only.is_empty() || *only == command)
    };
    OPTIONS.iter().find(of).map(|(_, _, now)| *now)
}
