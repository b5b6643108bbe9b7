//! `thincut sheet ladder`, `marks` and `lesson`: booklets of what other commands drew up.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;
use serde::de::DeserializeOwned;
use thincut::files::LAYOUT_BYTES;
use thincut::gear::Gear;
use thincut::ladder::MarksAnswer;
use thincut::log::{Sheet as Kept, SheetKind, ShotEntered};
use thincut::player::{Level, PlayerRequest};
use thincut::sheets::Sheet;
use thincut::sheets::booklet::{Booklet, ladder_sheet};
use thincut::sheets::kept::{Climbs, kept_ladder, kept_marks};
use thincut::sheets::lesson::{lesson_sheet, shots};
use thincut::sheets::marks::marks_sheet;
use thincut::shown::bounded;

use super::PrintArgs;
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::input;
use crate::ladder::PassArgs;
use crate::ladder_log::{keep, rung_of};
use crate::lesson::read;
use crate::student::{WhoArgs, open_reading};

/// What `--format json` wrote.
fn answer<T: DeserializeOwned>(file: &Path, command: &str) -> Result<T, Fault> {
    let at = |e: &dyn std::fmt::Display| {
        Fault::input(format!(
            "{}: {e}; it must be what {command} --format json wrote",
            input::source(file)
        ))
    };
    let text = input::text(file, LAYOUT_BYTES).map_err(|e| at(&e))?;
    serde_json::from_str(&text).map_err(|e| at(&bounded(&e.to_string())))
}

/// A booklet of a ladder: a diagram, places in words and boxes for each rung
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut ladder --level club --keep      prints a code, such as 8FSVK\n  \
    thincut sheet ladder 8FSVK --out ladder.pdf\n  \
    thincut ladder --level club --format json | thincut sheet ladder - --out ladder.pdf")]
pub(crate) struct LadderSheet {
    /// The code of a kept ladder, or what --format json wrote; - for standard input
    #[arg(value_name = "CODE|FILE.json")]
    ladder: PathBuf,
    #[command(flatten)]
    pass: PassArgs,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

/// The code typed, when it is one: no file, no dash, letters and digits only.
fn code(typed: &Path) -> Option<&str> {
    let text = typed.to_str()?;
    let plain = text.chars().all(|c| c.is_ascii_alphanumeric());
    (plain && !typed.exists()).then_some(text)
}

/// The gear of a kept sheet's first shot.
fn gear_of(kept: &Kept, defaults: &Defaults) -> Result<Gear, Fault> {
    let own = kept.rungs.first().map(|rung| GearArgs {
        gear: Some(rung.shot.gear.clone()),
        set: rung.shot.set.clone(),
    });
    Ok(own.unwrap_or_default().load(defaults)?.gear)
}

impl LadderSheet {
    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let style = self.print.style(defaults);
        let sheet = match code(&self.ladder) {
            Some(code) => self.kept(code, defaults)?,
            None => {
                let answer = answer(&self.ladder, "thincut ladder")?;
                let gear = self.gear.load(defaults)?.gear;
                ladder_sheet(&gear, &Booklet::new(&answer), &style)?
            }
        };
        self.print.write(sheet, out)
    }

    /// Who plays a kept ladder: whoever is named, else whom it was drawn up for.
    fn who(&self, code: &str, kept: &Kept) -> Result<WhoArgs, Fault> {
        let WhoArgs { request, student } = &self.who;
        let named = student.named() || *request != PlayerRequest::default();
        // Marks need no player: their own error comes first.
        if named || kept.kind != SheetKind::Ladder {
            return Ok(self.who.clone());
        }
        if let Some(label) = kept.drawn_for() {
            return Ok(WhoArgs {
                student: student.of(label),
                ..self.who.clone()
            });
        }
        let is = |level: &Level| {
            let who = format!(" for {}", level.spoken());
            kept.title.ends_with(&who)
        };
        let level = Level::ALL.into_iter().find(is).ok_or_else(|| {
            Fault::input(format!(
                "{code} is {}; say who plays it, with --student, --level or --arm and --picture",
                kept.title
            ))
        })?;
        Ok(WhoArgs {
            request: PlayerRequest {
                level: Some(level.name().to_owned()),
                ..PlayerRequest::default()
            },
            student: student.clone(),
        })
    }

    fn kept(&self, code: &str, defaults: &Defaults) -> Result<Sheet, Fault> {
        let (code, kept) = open_reading(self.who.student.log())?.find_sheet(code)?;
        let who = self.who(&code, &kept)?;
        let gear = gear_of(&kept, defaults)?;
        let climber = who.climber()?;
        let climbs = Climbs {
            player: &climber.player,
            right: climber.right.as_ref(),
        };
        let booklet = kept_ladder(&gear, &code, &kept, &climbs, &self.pass.rule()?)?;
        Ok(ladder_sheet(&gear, &booklet, &self.print.style(defaults))?)
    }
}

/// A marks sheet: one shot, a mark for each student, boxes, turns
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut ladder marks --students A=starting,B=club --keep      prints a code, such as M4T9X\n  \
    thincut sheet marks M4T9X --out marks.pdf\n  \
    thincut ladder marks --students A=starting,B=club --tables 1 --minutes 20 --format json | thincut sheet marks - --out marks.pdf\n\n\
    The log keeps no turns: print those from --format json.")]
pub(crate) struct MarksSheet {
    /// The code of kept marks, or what --format json wrote; - for standard input
    #[arg(value_name = "CODE|FILE.json")]
    marks: PathBuf,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl MarksSheet {
    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let style = self.print.style(defaults);
        let sheet = match code(&self.marks) {
            Some(code) => {
                let (code, kept) = open_reading(self.log.as_ref())?.find_sheet(code)?;
                let gear = gear_of(&kept, defaults)?;
                kept_marks(&gear, &code, &kept, &style)?
            }
            None => {
                let marks: MarksAnswer = answer(&self.marks, "thincut ladder marks")?;
                let gear = self.gear.load(defaults)?.gear;
                marks_sheet(&gear, &marks, &style)?
            }
        };
        self.print.write(sheet, out)
    }
}

/// The pack of a lesson: question, pictures, diagrams, shots with boxes, homework, a page to take home
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  \
    thincut lesson new --student A=starting --topic thin-cuts --out lesson.toml\n  \
    thincut sheet lesson lesson.toml --keep --out lesson.pdf")]
pub(crate) struct LessonSheet {
    /// The lesson file, as thincut lesson new writes it
    #[arg(value_name = "LESSON.toml")]
    lesson: PathBuf,
    /// Keep its shots in the practice log and print the code for `thincut log enter`
    #[arg(long, help_heading = "The practice log")]
    keep: bool,
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

impl LessonSheet {
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
        let code = if self.keep {
            let rungs = entered.collect::<Result<Vec<_>, _>>()?;
            let title = lesson.title.clone();
            let log = Some(self.log.as_ref());
            Some(keep(SheetKind::Lesson, title, rungs, log)?.code)
        } else {
            None
        };
        if code.is_some() {
            sheet = draw(code.as_deref())?;
        }
        self.print.write(sheet, out)?;
        match code {
            Some(code) => Ok(writeln!(
                out,
                "Code {code}: thincut log enter {code} \"3: A 6/10\""
            )?),
            None => Ok(()),
        }
    }
}
