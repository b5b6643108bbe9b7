//! `thincut sheet`: PDF pages at true size.

use std::io::Write;
use std::path::PathBuf;

use clap::{Args, Subcommand};
use thincut::draw::Paper;
use thincut::draw::pdf::Stamp;
use thincut::field::Field;
use thincut::files::{may_write, write_whole};
use thincut::gear::Gear;
use thincut::request::{StrokeRequest, lengths, pocket_kind, quantity};
use thincut::sheets::card::{Card, card_sheet};
use thincut::sheets::pocket::pocket_sheet;
use thincut::sheets::rose::{Rose, rose_sheet};
use thincut::sheets::scale::scale_sheet;
use thincut::sheets::{Sheet, Style};
use thincut::units::{Length, Side, UnitSystem};

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::gear::GearArgs;
use crate::student::WhoArgs;

mod booklets;

use booklets::{LadderSheet, LessonSheet, MarksSheet};

/// What to print.
#[derive(Debug, Subcommand)]
pub(crate) enum SheetCommand {
    Pocket(PocketSheet),
    Rose(Box<RoseSheet>),
    Scale(ScaleSheet),
    Card(Box<CardSheet>),
    Ladder(Box<LadderSheet>),
    Marks(MarksSheet),
    Lesson(LessonSheet),
}

/// Where to and how.
#[derive(Debug, Clone, Args)]
pub(crate) struct PrintArgs {
    /// Write this PDF file
    #[arg(long, value_name = "FILE.pdf")]
    out: PathBuf,
    /// a4 or letter
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
            units: self.units.pick(defaults),
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
        let bytes = sheet.pdf(Stamp::from_env().map_err(Fault::input)?)?;
        write_whole(&self.out, &bytes, self.force)?;
        let s = if pages == 1 { "" } else { "s" };
        Ok(writeln!(
            out,
            "{}: {pages} page{s} of {} paper. Print at actual size, then measure the check bars.",
            self.out.display(),
            match self.paper {
                Paper::A4 => "A4",
                Paper::Letter => "Letter",
            }
        )?)
    }
}

/// The outlines of both kinds of pocket, to cut out and lay into a real one
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut sheet pocket --gear pool-8ft --out pockets.pdf")]
pub(crate) struct PocketSheet {
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

/// A rose of petals around the ghost ball, as wide as the cue ball may be off
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  thincut sheet rose --to-pockets 1ft,2ft,4ft --units inches --out rose.pdf"
)]
pub(crate) struct RoseSheet {
    /// corner or side
    #[arg(long, value_name = "KIND", default_value = "corner")]
    kind: String,
    /// Three distances from the object ball to the pocket, shortest first [default: 40cm,80cm,160cm; in inches 1.5ft,3ft,5ft]
    #[arg(long, value_name = "LENGTHS")]
    to_pockets: Option<String>,
    /// Between the two balls, centre to centre [default: 1m; in inches 3ft]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    apart: Option<String>,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl RoseSheet {
    fn rose(&self, gear: &Gear, units: UnitSystem) -> Result<Rose, Fault> {
        let usual = rounds(units, "40cm,80cm,160cm", "1.5ft,3ft,5ft");
        let to_pockets = self.to_pockets.as_deref().unwrap_or(usual);
        let to_pocket_m: [f64; 3] = exactly(Field::ToPockets, to_pockets, usual)?;
        if !to_pocket_m.is_sorted() {
            return Err(Fault::input(format!(
                "--to-pockets {to_pockets}: not in order; write the shortest first, such as {usual}"
            )));
        }
        Ok(Rose {
            kind: pocket_kind(Some(&self.kind))?,
            to_pocket_m,
            apart_m: one_length(Field::Apart, self.apart.as_deref(), units)?,
            stroke: self.stroke.stroke(gear)?,
        })
    }
}

/// The scale of the stroke test, spacers for gates, room for ten readings
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut sheet scale --distance 1.5m --out stroke.pdf")]
pub(crate) struct ScaleSheet {
    /// From the front of the cue ball to the rail with the scale [default: 1m; in inches 3ft]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    distance: Option<String>,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

/// A card that folds to the size of a bank card: chances of a player, or room
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  thincut sheet card --out room.pdf\n  thincut sheet card --level club --out card.pdf"
)]
pub(crate) struct CardSheet {
    /// Two distances from the object ball to the pocket, one a side [default: 50cm,120cm; in inches 1.5ft,4ft]
    #[arg(long, value_name = "LENGTHS")]
    to_pockets: Option<String>,
    /// Four distances between the balls, the columns; plain cards show three [default: 50cm,100cm,150cm,200cm; in inches 1.5ft,3ft,5ft,6.5ft]
    #[arg(long, value_name = "LENGTHS")]
    aparts: Option<String>,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
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

impl CardSheet {
    fn card(&self, gear: &Gear, units: UnitSystem) -> Result<Card, Fault> {
        let aparts = rounds(units, "50cm,100cm,150cm,200cm", "1.5ft,3ft,5ft,6.5ft");
        let to_pockets = rounds(units, "50cm,120cm", "1.5ft,4ft");
        let given = |own: &Option<String>, usual: &str| own.clone().unwrap_or(usual.to_owned());
        Ok(Card {
            player: self.who.player(Side::Left)?,
            apart_m: exactly(Field::Aparts, &given(&self.aparts, aparts), aparts)?,
            to_pocket_m: exactly(
                Field::ToPockets,
                &given(&self.to_pockets, to_pockets),
                to_pockets,
            )?,
            stroke: self.stroke.stroke(gear)?,
        })
    }
}

impl SheetCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        match self {
            Self::Pocket(c) => {
                let gear = c.gear.load(defaults)?.gear;
                let sheet = pocket_sheet(&gear, &c.print.style(defaults))?;
                c.print.write(sheet, out)
            }
            Self::Scale(c) => {
                let gear = c.gear.load(defaults)?.gear;
                let style = c.print.style(defaults);
                let distance_m = one_length(Field::Distance, c.distance.as_deref(), style.units)?;
                let sheet = scale_sheet(&gear, distance_m, &style)?;
                c.print.write(sheet, out)
            }
            Self::Ladder(c) => c.run(defaults, out),
            Self::Marks(c) => c.run(defaults, out),
            Self::Lesson(c) => c.run(defaults, out),
            Self::Card(c) => {
                let gear = c.gear.load(defaults)?.gear;
                let style = c.print.style(defaults);
                let sheet = card_sheet(&gear, &c.card(&gear, style.units)?, &style)?;
                c.print.write(sheet, out)
            }
            Self::Rose(c) => {
                let gear = c.gear.load(defaults)?.gear;
                let style = c.print.style(defaults);
                let sheet = rose_sheet(&gear, &c.rose(&gear, style.units)?, &style)?;
                c.print.write(sheet, out)
            }
        }
    }
}
