//! How the command line calls fields and says what to do next.

use std::fmt::{Formatter, Result};

use thincut::field::{Face, Field, Hint};

/// Options with their dashes, commands to type.
pub(crate) const COMMAND_LINE: Face = Face { field, hint };

fn field(field: Field, f: &mut Formatter<'_>) -> Result {
    write!(f, "--{}", field.name())
}

fn hint(hint: &Hint<'_>, f: &mut Formatter<'_>) -> Result {
    match *hint {
        Hint::SeeBand => f.write_str("; see --band"),
        Hint::Replace => f.write_str("add --force to replace it, or "),
        Hint::ShowAll => f.write_str(": --all"),
        Hint::TellMore => f.write_str(" (--tell-me-more 8)"),
        Hint::TestStroke => f.write_str(" (--stroke)"),
        Hint::Record {
            student,
            cue,
            object,
            pocket,
        } => write!(
            f,
            "thincut log add \"{student} M/10\" --cue {cue} --object {object} --pocket {pocket}"
        ),
        Hint::AskSkill { student } => {
            write!(f, "`thincut skill {student}` says what would tell, or ")
        }
        Hint::SayGoodTo => f.write_str(" (--good-to)"),
        Hint::EmptyForm => f.write_str("; `thincut gear measure --form` prints an empty one"),
        Hint::TakeForm => f.write_str("Then: thincut gear measure THIS-FILE --out my-table.toml"),
        Hint::AskChance => f.write_str(" with thincut shot --cue … --object … --pocket …"),
        Hint::PrintAnswer => {
            f.write_str("; print it from what thincut ladder marks --format json wrote")
        }
        Hint::EnterTally { code, tally, kept } => {
            let once = if kept {
                ""
            } else {
                " (once kept there, with --keep)"
            };
            write!(
                f,
                " For the practice log: thincut log enter {code} {tally}{once}"
            )
        }
        Hint::ReadStroke { distance } => write!(
            f,
            " What they say of the arm: thincut skill STUDENT --stroke \"4,-2,7,…\" --stroke-distance {distance}"
        ),
        Hint::MeasureGear {
            gear,
            kind,
            throat_depth,
        } => {
            let deep =
                throat_depth.map_or_else(String::new, |d| format!(" --{kind}-throat-depth {d}"));
            write!(
                f,
                "For a gear of your own: thincut gear measure --gear {gear} --out my-table.toml, with --{kind}-mouth … --{kind}-throat …{deep} --{kind}-shelf … and what the other page has."
            )
        }
        Hint::NameLog => f.write_str(" with --log FILE"),
        Hint::RestoreLog => {
            f.write_str(", or if it was the log put a backup back with thincut log restore")
        }
        Hint::MendLog => f.write_str(
            "; thincut log restore puts a backup in its place, thincut log salvage FILE saves what can be read into a new log",
        ),
        Hint::Again => f.write_str("; if it was played once more, add --again"),
        Hint::SetStudent { label } => write!(f, " with: thincut log students set {label}"),
        Hint::Undo => f.write_str(", the last one with thincut log undo"),
        Hint::ShowKeys => f.write_str("; `thincut gear show pool-9ft` lists the keys"),
        Hint::ListCharts => f.write_str("; `chart list` shows all"),
        Hint::PrintSheet { kind, code } => {
            // A lesson is printed from its file.
            let what = if kind == "lesson" { "FILE" } else { code };
            write!(f, "; print it with thincut sheet {kind} {what}")
        }
        // A hint of another face.
        _ => Ok(()),
    }
}
