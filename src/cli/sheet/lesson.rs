//! `thincut sheet lesson`.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use thincut::gear::Gear;
use thincut::log::{SheetKind, ShotEntered};
use thincut::sheets::lesson::{lesson_sheet, shots};

use super::PrintArgs;
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::input;
use crate::ladder_log::{KeepArgs, NewSheet, rung_of};
use crate::lesson::read;

/// The pack of a lesson: question, pictures, diagrams, shots with boxes, homework, a page to take home
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    thincut lesson new --student K=starting --topic thin-cuts --out lesson.toml\n  \
    thincut sheet lesson lesson.toml --keep --out lesson.pdf")]
pub(crate) struct Command {
    /// The lesson file, as thincut lesson new writes it
    #[arg(value_name = "LESSON.toml")]
    lesson: PathBuf,
    #[command(flatten)]
    keep: KeepArgs,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(
        long,
        value_name = "FILE",
        env = "THINCUT_LOG",
        help_heading = "The practice log"
    )]
    log: Option<PathBuf>,
    #[command(flatten)]
    print: PrintArgs,
}

impl Command {
    /// The lesson's gear as the log keeps it: found again from the working folder.
    fn table(&self, name: &str) -> String {
        let path = input::folder(&self.lesson).join(name);
        if !Gear::preset_names().contains(&name) && path.is_file() {
            path.display().to_string()
        } else {
            name.to_owned()
        }
    }

    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        self.print.check()?;
        let at = |e: &dyn std::fmt::Display| input::fault(&self.lesson, e);
        let (lesson, gear) = read(&self.lesson)?;
        let name = self.table(&lesson.gear);
        let style = self.print.style(defaults);
        let draw =
            |code: Option<&str>| lesson_sheet(&gear, &lesson, code, &style).map_err(|e| at(&e));
        let mut sheet = draw(None)?;
        // Kept only when it prints.
        let entered = shots(&lesson).map(|one| {
            let shot = ShotEntered {
                request: one.request(),
                gear: name.clone(),
                set: Vec::new(),
            };
            rung_of(one.student.clone(), shot)
        });
        let kept = self.keep.keep(
            NewSheet {
                kind: SheetKind::Lesson,
                title: lesson.title.clone(),
                rungs: entered.collect::<Result<Vec<_>, _>>()?,
            },
            self.log.as_ref(),
        )?;
        // A code that the log does not know would lead nowhere.
        let code = Some(kept).filter(|kept| kept.kept).map(|kept| kept.code);
        if code.is_some() {
            sheet = draw(code.as_deref())?;
        }
        self.print.write(sheet, out)?;
        match code {
            Some(code) => {
                let student = lesson.students.first().map_or("K", String::as_str);
                Ok(writeln!(
                    out,
                    "Code {code}: thincut log enter {code} \"3: {student} 6/10\""
                )?)
            }
            None => Ok(()),
        }
    }
}
