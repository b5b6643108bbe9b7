//! `thincut sheet card`.

use std::io::Write;

use clap::Args;
use thincut::field::Field;
use thincut::gear::Gear;
use thincut::request::StrokeRequest;
use thincut::sheets::card::{Card, card_sheet};
use thincut::units::{Side, UnitSystem};

use super::{PrintArgs, exactly, rounds};
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::student::WhoArgs;
use crate::table::GearArgs;

/// A card that folds to the size of a bank card: chances of a player, or room
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  thincut sheet card --out room.pdf\n  thincut sheet card --level club --out card.pdf"
)]
pub(crate) struct Command {
    /// Two distances from the object ball to the pocket, one a side [default: 50cm,120cm; in inches 1.5ft,4ft]
    #[arg(long, value_name = "LENGTHS")]
    to_pocket: Option<String>,
    /// Four distances between the balls, the columns; plain cards show three [default: 50cm,100cm,150cm,200cm; in inches 1.5ft,3ft,5ft,6.5ft]
    #[arg(long, value_name = "LENGTHS")]
    cue_to_object: Option<String>,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl Command {
    fn card(&self, gear: &Gear, units: UnitSystem) -> Result<Card, Fault> {
        let aparts = rounds(units, "50cm,100cm,150cm,200cm", "1.5ft,3ft,5ft,6.5ft");
        let to_pockets = rounds(units, "50cm,120cm", "1.5ft,4ft");
        let given = |own: &Option<String>, usual: &str| own.clone().unwrap_or(usual.to_owned());
        Ok(Card {
            player: self.who.player(Side::Left)?,
            apart_m: exactly(Field::Apart, &given(&self.cue_to_object, aparts), aparts)?,
            to_pocket_m: exactly(
                Field::ToPocket,
                &given(&self.to_pocket, to_pockets),
                to_pockets,
            )?,
            stroke: self.stroke.stroke(gear)?,
        })
    }

    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let style = self.print.style(defaults);
        let sheet = card_sheet(&gear, &self.card(&gear, style.units)?, &style)?;
        self.print.write(sheet, out)
    }
}
