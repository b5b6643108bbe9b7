//! How the command line calls fields and says what to do next.

use std::fmt::{Formatter, Result};

use thincut::field::{Face, Field, Hint};
use thincut::gear::Gear;

/// Options with their dashes, commands to type.
pub(crate) const COMMAND_LINE: Face = Face { field, hint };

fn field(field: Field, f: &mut Formatter<'_>) -> Result {
    write!(f, "--{}", field.name())
}

fn hint(hint: &Hint<'_>, f: &mut Formatter<'_>) -> Result {
    if let Hint::InForm { section, key } = *hint {
        return write!(f, " ([{section}] {key} in the form)");
    }
    f.write_str(match *hint {
        Hint::SeeBand => "; see --band",
        Hint::Replace => "add --force to replace it, or ",
        Hint::ShowAll => ": --all",
        Hint::TellMore => " (--tell-me-more 8)",
        Hint::TestStroke => " (--stroke-test)",
        Hint::SayGoodTo => " (--good-to)",
        Hint::EmptyForm => "; `thincut table measure --form` prints an empty one",
        Hint::ReadCue => {
            "Then: thincut table cue --pivot-test \"20cm R … L …\" --pivot-test \"40cm R … L …\" --out my-table.toml"
        }
        Hint::TypeForm => {
            "Then: thincut table measure --corner-mouth \"114mm, 113.5mm\" --roll-out \"3.2m 8.1s\" --out my-table.toml, or the same in a file that thincut table measure --form prints."
        }
        Hint::TakeForm => "Then: thincut table measure THIS-FILE --out my-table.toml",
        Hint::AskChance => " with thincut shot --cue … --object … --pocket …",
        Hint::PrintAnswer => "; print it from what thincut ladder marks --format json wrote",
        Hint::NameLog => " with --log FILE",
        Hint::Again => "; if it was played once more, add --again",
        Hint::Undo => ", the last one with thincut log undo",
        Hint::ShowKeys => "; `thincut table show pool-9ft` lists the keys",
        Hint::ListCharts => "; `chart list` shows all",
        Hint::ListTables => ": `thincut table list`",
        Hint::CheckLesson => " thincut lesson check FILE says whether it still adds up.",
        Hint::DrawUpLesson => ", or draw up a lesson with thincut lesson new",
        Hint::TakeMarks => "; give what thincut ladder marks wrote",
        Hint::OwnExport => "; an export of your own goes in with --own",
        Hint::RestoreLog => ", or if it was the log put a backup back with thincut log restore",
        Hint::MendLog => {
            "; thincut log restore puts a backup in its place, thincut log salvage FILE saves what can be read into a new log"
        }
        _ => return about(hint, f),
    })
}

/// A table as it is typed: a built-in one by its name, one's own by its file, which only its owner knows.
fn table_named(name: &str) -> &str {
    if Gear::preset_names().contains(&name) {
        name
    } else {
        "FILE.toml"
    }
}

/// Hints about something in particular.
fn about(hint: &Hint<'_>, f: &mut Formatter<'_>) -> Result {
    match *hint {
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
        Hint::SetStudent { label } => write!(f, " with: thincut log students set {label}"),
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
            " What they say of the stroke: thincut skill STUDENT --stroke-test \"4,-2,7,…\" --stroke-distance {distance}"
        ),
        Hint::MeasureGear {
            gear,
            kind,
            throat_depth,
        } => {
            let deep =
                throat_depth.map_or_else(String::new, |d| format!(" --{kind}-throat-depth {d}"));
            let gear = table_named(gear);
            write!(
                f,
                "For a file of your own table: thincut table measure --table {gear} --out my-table.toml, with --{kind}-mouth … --{kind}-throat …{deep} --{kind}-shelf … and what the other page has."
            )
        }
        Hint::TakeRolls { gear, kind, mark } => {
            let at = if kind == "corner" {
                String::new()
            } else {
                format!(" --ramp-at {kind}")
            };
            let gear = table_named(gear);
            write!(
                f,
                "Then: thincut table jaws --table {gear}{at} --rolls \"{mark} 7/10, …\" --ramp-run \"1.3m 1/4\" --out my-table.toml"
            )
        }
        Hint::PrintSheet { kind, code } => {
            // A lesson is printed from its file.
            let what = if kind == "lesson" { "FILE" } else { code };
            write!(f, "; print it with thincut sheet {kind} {what}")
        }
        // A hint of another face.
        _ => Ok(()),
    }
}
