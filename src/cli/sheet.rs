//! `thincut sheet`: PDF pages at true size. A sheet has one file here, for what can be asked of it, and a
//! line in the list; its page is drawn in the library.

use std::io::Write;
use std::path::PathBuf;

use clap::{Args, Subcommand};
use thincut::draw::Paper;
use thincut::draw::pdf::Stamp;
use thincut::field::Field;
use thincut::files::{may_write, write_whole};
use thincut::request::{lengths, quantity};
use thincut::sheets::{Sheet, Style};
use thincut::units::{Length, UnitSystem};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;

mod card;
mod cue;
mod jaws;
mod kept;
mod ladder;
mod lesson;
mod margin_strip;
mod marks;
mod pocket;
mod readings;
mod scale;
mod why_thin;

macro_rules! sheets {
    ($($name:ident($file:ident),)*) => {
        /// What to print.
        #[derive(Debug, Subcommand)]
        pub(crate) enum SheetCommand {
            $($name(Box<$file::Command>),)*
        }

        impl SheetCommand {
            pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
                match self {
                    $(Self::$name(sheet) => sheet.run(defaults, out),)*
                }
            }
        }
    };
}

sheets! {
    WhyThin(why_thin),
    Pocket(pocket),
    Readings(readings),
    MarginStrip(margin_strip),
    Scale(scale),
    Jaws(jaws),
    Cue(cue),
    Card(card),
    Ladder(ladder),
    Marks(marks),
    Lesson(lesson),
}

/// Where to and how.
#[derive(Debug, Clone, Args)]
pub(crate) struct PrintArgs {
    /// Write this PDF file
    #[arg(long, value_name = "FILE.pdf")]
    out: PathBuf,
    /// a4, letter, or a3 for the wall
    #[arg(long, value_name = "PAPER", default_value = "a4")]
    paper: Paper,
    /// Large letters, no degrees, no decimals: for children and beginners
    #[arg(long)]
    plain: bool,
    /// Replace a file that exists
    #[arg(long)]
    force: bool,
    #[command(flatten)]
    units: UnitArgs,
}

impl PrintArgs {
    fn style(&self, defaults: &Defaults) -> Style {
        Style {
            paper: self.paper,
            plain: self.plain,
            units: self.units.units_alone(defaults),
            words: self.units.words.or(defaults.words),
        }
    }

    /// Whether the file may be written; asked before anything is kept or drawn.
    fn check(&self) -> Result<(), Fault> {
        let is_pdf = |e: &std::ffi::OsStr| e.eq_ignore_ascii_case("pdf");
        if !self.out.extension().is_some_and(is_pdf) {
            return Err(Fault::input(format!(
                "--out {}: sheets are PDF; write a name that ends in .pdf",
                self.out.display()
            )));
        }
        Ok(may_write(&self.out, self.force)?)
    }

    fn write(&self, sheet: Sheet, out: &mut dyn Write) -> Result<(), Fault> {
        self.check()?;
        let pages = sheet.page_count();
        let sized = sheet.sized_pages();
        let bytes = sheet.pdf(Stamp::from_env().map_err(Fault::input)?)?;
        write_whole(&self.out, &bytes, self.force)?;
        let s = if pages == 1 { "" } else { "s" };
        Ok(writeln!(
            out,
            "{}: {pages} page{s} of {} paper.{}",
            self.out.display(),
            match self.paper {
                Paper::A4 => "A4",
                Paper::A3 => "A3",
                Paper::Letter => "Letter",
            },
            how_to_print(pages, &sized)
        )?)
    }
}

/// Where size matters, and how to check it.
fn how_to_print(pages: usize, sized: &[usize]) -> String {
    let bars = " Print at actual size, then measure the check bars";
    match sized {
        [] => String::new(),
        all if all.len() == pages => format!("{bars}."),
        some => {
            let s = if some.len() == 1 { "" } else { "s" };
            let numbers: Vec<String> = some.iter().map(ToString::to_string).collect();
            format!("{bars} on page{s} {}.", numbers.join(" and "))
        }
    }
}

/// So many lengths, no more and no fewer.
fn exactly<const N: usize>(option: Field, text: &str, example: &str) -> Result<[f64; N], Fault> {
    let all: Vec<f64> = lengths(option, text)?.into_iter().map(Length::m).collect();
    <[f64; N]>::try_from(all).map_err(|all| {
        Fault::input(format!(
            "{option} {text}: {} lengths; it takes {N}, such as {example}",
            all.len()
        ))
    })
}

/// Lengths that are round numbers in the units of the sheet.
fn rounds(units: UnitSystem, metric: &'static str, inches: &'static str) -> &'static str {
    match units {
        UnitSystem::Metric => metric,
        UnitSystem::Inches => inches,
    }
}

/// A length, or the usual one: 1 m, or 3 ft.
fn one_length(option: Field, text: Option<&str>, units: UnitSystem) -> Result<f64, Fault> {
    let text = text.unwrap_or(rounds(units, "1m", "3ft"));
    Ok(quantity::<Length>(option, Some(text))?.map_or(1.0, Length::m))
}
