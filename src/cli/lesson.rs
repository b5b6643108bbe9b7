//! `thincut lesson`: a lesson as a file to edit, and whether such a file is good.

use std::io::Write;
use std::path::PathBuf;

use clap::{Args, Subcommand};
use thincut::files::write_whole;
use thincut::gear::DEFAULT_PRESET;
use thincut::ladder::{LadderError, Lesson, Student, Topic, lesson, students};

use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::gear::GearArgs;

/// What to do with lessons.
#[derive(Debug, Subcommand)]
pub(crate) enum LessonCommand {
    New(NewLesson),
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
#[command(after_help = "Example:\n  \
    thincut lesson new --student A=starting --topic thin-cuts --minutes 60 --out lesson.toml")]
pub(crate) struct NewLesson {
    /// One student and how good: A=starting, A=0.3deg/2mm
    #[arg(
        long,
        value_name = "STUDENT",
        conflicts_with = "group",
        required_unless_present = "group"
    )]
    student: Option<String>,
    /// Several students, a list
    #[arg(long, value_name = "LIST")]
    group: Option<String>,
    /// Minutes at the table
    #[arg(long, value_name = "MINUTES", default_value_t = 60)]
    minutes: u32,
    /// thin-cuts, long-straight, side-pocket, along-the-rail or mixed
    #[arg(long, value_name = "TOPIC", default_value = "mixed")]
    topic: String,
    /// Write it to this file [default: standard output]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Replace a file that exists
    #[arg(long)]
    force: bool,
    #[command(flatten)]
    gear: GearArgs,
}

impl LessonCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        match self {
            Self::New(new) => new.run(defaults, out),
            Self::Check { file } => check(file, defaults, out),
        }
    }
}

impl NewLesson {
    fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        if !self.gear.set.is_empty() {
            return Err(Fault::input(
                "--set: a lesson names its gear; write a gear file (thincut gear show --set …) and give that",
            ));
        }
        let name = self.gear.gear.as_deref().or(defaults.gear.as_deref());
        let name = name.unwrap_or(DEFAULT_PRESET);
        let gear = self.gear.load(defaults)?.gear;
        let texts: Vec<String> = self.student.iter().chain(&self.group).cloned().collect();
        let unknown = |_: &str| Err("nothing is known of that student".to_owned());
        let group: Vec<Student> = students(&texts, &unknown)?;
        let topic: Topic = self.topic.parse().map_err(|e| match e {
            LadderError::Word { value, choices, .. } => LadderError::Word {
                option: "--topic",
                value,
                choices,
            },
            other => other,
        })?;
        let text = lesson(&gear, name, &group, topic, self.minutes)?.to_toml()?;
        match &self.out {
            None => Ok(out.write_all(text.as_bytes())?),
            Some(path) => {
                write_whole(path, text.as_bytes(), self.force)?;
                Ok(writeln!(out, "{}", path.display())?)
            }
        }
    }
}

fn check(file: &PathBuf, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
    let at = |e: &dyn std::fmt::Display| Fault::input(format!("{}: {e}", file.display()));
    let text = std::fs::read_to_string(file).map_err(|e| at(&e))?;
    let lesson = Lesson::read(&text).map_err(|e| at(&e))?;
    let gear = GearArgs {
        gear: Some(lesson.gear.clone()),
        set: Vec::new(),
    };
    lesson
        .check(&gear.load(defaults)?.gear)
        .map_err(|e| at(&e))?;
    let shots: usize = lesson.parts.iter().map(|p| p.shots.len()).sum();
    Ok(writeln!(
        out,
        "{} is good: {} of {} minutes in {} parts, {shots} shots.",
        file.display(),
        lesson.minutes_of_parts(),
        lesson.minutes,
        lesson.parts.len()
    )?)
}
