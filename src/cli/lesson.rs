//! `thincut lesson`: a lesson as a file to edit, and whether such a file is good.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use thincut::PocketName;
use thincut::diagnosis::{Drill, Kind, Shared, shared, shared_line};
use thincut::field::Field;
use thincut::files::{TABLE_BYTES, write_whole};
use thincut::gear::{DEFAULT_PRESET, Gear, LoadedGear};
use thincut::ladder::{LadderError, Student, Topic};
use thincut::lesson::{Lesson, LessonWishes, PartKind, lesson, topic_of};
use thincut::log::{Since, diagnosis_of};
use thincut::speech::Speech;

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::input;
use crate::student::{self, open_for_fits};
use crate::table::GearArgs;

/// What to do with lessons.
#[derive(Debug, Subcommand)]
pub(crate) enum LessonCommand {
    New(Box<NewLesson>),
    /// Say whether a lesson file is good: minutes add up, every shot can be played as written
    #[command(after_help = "Example:\n  thincut lesson check lesson.toml")]
    Check {
        /// The lesson file
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
}

/// Draw up a lesson: warm-up, test shots, topic, drills, homework
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut lesson new --student K --minutes 60 --out lesson.toml    as the practice log knows K\n  \
    thincut lesson new --group K,L,M=starting --playing-on 2 --out tuesday.toml\n  \
    thincut lesson new --student K=starting --topic thin-cuts --out lesson.toml\n\n\
    The file is yours to edit; thincut lesson check says whether it still adds up.")]
pub(crate) struct NewLesson {
    /// One student: K as the practice log knows K, or K=starting, K=0.3deg/2mm
    #[arg(long, value_name = "STUDENT", conflicts_with = "group")]
    student: Option<String>,
    /// Several students, a list; they get a fair game from marks of their own too
    #[arg(long, value_name = "LIST")]
    group: Option<String>,
    /// Minutes at the table
    #[arg(long, value_name = "MINUTES", default_value_t = 60)]
    minutes: u32,
    /// Tables for a group
    #[arg(long, value_name = "COUNT", default_value_t = 1)]
    playing_on: u32,
    /// thin-cuts (40° and more), long-straight (at most 8°, three diamonds of way and more), side-pocket, along-the-rail or mixed [default: the largest weakness the log shows]
    #[arg(long, value_name = "TOPIC")]
    topic: Option<String>,
    /// Of tries in the log only those from this day on, also "this month", or all [default: since the change that the log shows]
    #[arg(long, value_name = "DATE", value_parser = student::since)]
    since: Option<Since>,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
    /// Write it to this file [default: standard output]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Replace a file that exists
    #[arg(long)]
    force: bool,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    units: UnitArgs,
}

impl LessonCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        match self {
            Self::New(new) => new.run(defaults, out),
            Self::Check { file } => check(file, out),
        }
    }
}

impl NewLesson {
    fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        if !self.gear.set.is_empty() {
            return Err(Fault::input(
                "--set: a lesson names its table; write a file of it (thincut table show --set …) and give that",
            ));
        }
        let name = self.gear.gear.as_deref().or(defaults.gear.as_deref());
        let name = name.unwrap_or(DEFAULT_PRESET);
        let gear = self.gear.load(defaults)?.gear;
        let name = &name_beside(name, self.out.as_deref())?;
        if self.student.is_none() && self.group.is_none() {
            return Err(Fault::input(
                "for whom? give --student K, or --group K,L,M for several",
            ));
        }
        let texts: Vec<String> = self.student.iter().chain(&self.group).cloned().collect();
        let group = student::group(&texts, self.log.as_ref(), &self.since())?;
        let About {
            topic,
            pocket,
            because,
        } = self.topic(&group)?;
        let wishes = LessonWishes {
            topic,
            pocket,
            because,
            minutes: self.minutes,
            tables: self.playing_on,
            units: self.units.units_alone(defaults),
        };
        let speech = self.units.pick(defaults, &gear);
        let lesson = lesson(&gear, name, &group, &wishes)?.said(speech);
        let text = lesson.to_toml()?;
        if group.len() > 1 && !lesson.parts.iter().any(|p| p.kind == PartKind::Marks) {
            // Nothing is left to tell if even standard error is gone.
            let _ = writeln!(
                std::io::stderr(),
                "No game from marks: these students are too far apart for one string (thincut ladder marks says why). Its minutes go to the drill."
            );
        }
        match &self.out {
            None => Ok(out.write_all(text.as_bytes())?),
            Some(path) => {
                write_whole(path, text.as_bytes(), self.force)?;
                Ok(writeln!(out, "{}", path.display())?)
            }
        }
    }
}

impl NewLesson {
    fn since(&self) -> Since {
        self.since.clone().unwrap_or_default()
    }

    /// The topic asked for, or what the log shows of these students, with the words for it.
    fn topic(&self, group: &[Student]) -> Result<About, Fault> {
        if let Some(text) = &self.topic {
            let topic = text.parse().map_err(|e| match e {
                LadderError::Word { value, choices, .. } => LadderError::Word {
                    option: Field::Topic,
                    value,
                    choices,
                },
                other => other,
            })?;
            return Ok(About::of(topic));
        }
        // whoever was named with a skill may be in no log at all
        let Ok(log) = open_for_fits(self.log.as_ref()) else {
            return Ok(About::of(Topic::Mixed));
        };
        let known = log.students()?;
        let in_log = |g: &&Student| known.iter().any(|k| k.label == g.label);
        // whoever is named with a skill is not as the log has them
        let asked = group
            .iter()
            .filter(in_log)
            .filter(|g| g.who.starts_with("student "));
        let mut found = Vec::new();
        for student in asked {
            let practice = log.practice(&student.label, None)?;
            found.push(diagnosis_of(&student.label, &practice, &self.since())?);
        }
        let about = shared(&found).map(|shared| About::told(&shared));
        Ok(about.unwrap_or_else(|| About::of(Topic::Mixed)))
    }
}

/// The gear as a lesson names it: a preset, or a file in the lesson's own folder.
fn name_beside(gear: &str, lesson: Option<&Path>) -> Result<String, Fault> {
    let path = Path::new(gear);
    if Gear::preset_names().contains(&gear) {
        return Ok(gear.to_owned());
    }
    let Some(name) = path.file_name().and_then(|n| n.to_str()) else {
        return Ok(gear.to_owned());
    };
    if let Some(lesson) = lesson {
        let beside = input::folder(lesson).join(name);
        let real = |path: &Path| path.canonicalize().ok();
        if real(&beside).is_none() || real(&beside) != real(path) {
            return Err(Fault::input(format!(
                "--out {}: a lesson names a table file beside it, and {gear} lies elsewhere; write the lesson into that folder, or copy the table file",
                lesson.display()
            )));
        }
    }
    Ok(name.to_owned())
}

/// What a lesson is about.
struct About {
    topic: Topic,
    pocket: Option<PocketName>,
    because: Option<String>,
}

impl About {
    fn of(topic: Topic) -> Self {
        Self {
            topic,
            pocket: None,
            because: None,
        }
    }

    /// What costs the students most.
    fn told(shared: &Shared) -> Self {
        let pocket = match shared.drill {
            Drill::Of(Kind::Pocket(pocket)) => Some(pocket),
            _ => None,
        };
        Self {
            topic: topic_of(shared.drill),
            pocket,
            because: Some(shared_line(shared, Speech::default())),
        }
    }
}

/// A lesson and the gear it names: a preset, or a file beside it.
pub(crate) fn read(file: &Path) -> Result<(Lesson, Gear), Fault> {
    let at = |e: &dyn std::fmt::Display| input::fault(file, e);
    let text = input::text(file, TABLE_BYTES).map_err(|e| at(&e))?;
    let lesson = Lesson::read(&text).map_err(|e| at(&e))?;
    let gear = LoadedGear::load_beside(&input::folder(file), &lesson.gear, &[]);
    Ok((lesson, gear.map_err(|e| at(&e))?.gear))
}

fn check(file: &Path, out: &mut dyn Write) -> Result<(), Fault> {
    let (lesson, gear) = read(file)?;
    lesson.check(&gear).map_err(|e| input::fault(file, &e))?;
    let shots: usize = lesson.parts.iter().map(|p| p.shots.len()).sum();
    Ok(writeln!(
        out,
        "{} is good: {} of {} minutes in {} parts, {shots} shots.",
        input::source(file),
        lesson.minutes_of_parts(),
        lesson.minutes,
        lesson.parts.len()
    )?)
}
