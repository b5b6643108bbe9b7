//! The students of the log.

use std::io::Write;

use clap::{Args, Subcommand};
use thincut::field::Field;
use thincut::log::{Student, read_hand};
use thincut::request::quantity;
use thincut::units::{Hand, Length};

use super::{LogCommand, now};
use crate::fault::Fault;
use crate::format::{FormatArgs, TextOrJson};
use crate::log_words::{self, json_students};
use crate::output::json;

/// List the students, or add and change one
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  thincut log students\n  thincut log students set K --hand left --reach 700mm"
)]
pub(super) struct StudentsArgs {
    #[command(subcommand)]
    what: Option<StudentsWhat>,
    #[command(flatten)]
    format: FormatArgs<TextOrJson>,
}

#[derive(Debug, Subcommand)]
pub(super) enum StudentsWhat {
    /// Add a student, or set hand and reach of one
    #[command(after_help = "Example:\n  thincut log students set K --hand left --reach 700mm")]
    Set {
        /// 1 to 12 letters, digits, - and _
        #[arg(value_name = "LABEL")]
        label: String,
        /// left or right
        #[arg(long, value_name = "HAND", value_parser = read_hand)]
        hand: Option<Hand>,
        /// How far over the table
        #[arg(long, value_name = "LENGTH")]
        reach: Option<String>,
    },
}

impl StudentsArgs {
    pub(super) fn run(&self, command: &LogCommand, out: &mut dyn Write) -> Result<(), Fault> {
        let Some(StudentsWhat::Set { label, hand, reach }) = &self.what else {
            let students = command.open_reading()?.students()?;
            return match self.format.asked {
                TextOrJson::Json => json(out, &json_students(&students)),
                TextOrJson::Text => Ok(out.write_all(log_words::students(&students).as_bytes())?),
            };
        };
        let reach_mm = quantity::<Length>(Field::Reach, reach.as_deref())?.map(Length::mm);
        let mut log = command.open()?;
        let known = log.students()?.into_iter().find(|s| s.label == *label);
        let before = known.clone().unwrap_or_else(|| Student::named(label));
        let student = Student {
            label: label.clone(),
            hand: hand.or(before.hand),
            reach_mm: reach_mm.or(before.reach_mm),
        };
        if known.as_ref() == Some(&student) {
            return Ok(writeln!(out, "{label} is as before.")?);
        }
        log.set_student(&student, &now()?)?;
        let what = if known.is_some() { "Changed" } else { "Added" };
        let words = log_words::student(&student);
        Ok(writeln!(
            out,
            "{what} {words}. Take it back with: thincut log undo"
        )?)
    }
}
