//! `thincut aims`: ways of aiming, judged against the window.

mod grid;
mod moves;
mod pictures;
mod shot;
mod words;

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use thincut::aims::{AimRow, OwnOffsets, ReachRow, Shots, Way, WaysRequest, reach_csv, reach_rows};
use thincut::charts::in_words_of;
use thincut::field::Field;
use thincut::files::{Batch, TABLE_BYTES, text};
use thincut::gear::Gear;
use thincut::player::{Player, PlayerRequest};
use thincut::request::{ShotRequest, lengths, side_of_cut};
use thincut::speech::Speech;
use thincut::units::{Length, Side};
use thincut::window::Shot;

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{Format, FormatArgs};
use crate::table::GearArgs;
use pictures::Drawn;

/// Where does each aiming method still work, and what mends it?
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut aims --cut 40deg --cue-to-object 3ft --to-pocket 3ft --level club\n  \
    thincut aims --methods contact-point,quarters --cue-to-object 1ft,3ft,6ft\n  \
    thincut aims --moves ghost-ball --cut half-ball --cue-to-object 3ft --to-pocket 3ft\n  \
    thincut aims --out aims\n\n\
    Without a shot all cuts are judged; --cut, --cue-to-object and --to-pocket take lists and\n\
    ranges there. The line judged is the cue ball's, not the\n\
    stick's; --moves shows the stick's own correction. A list of your own (--own) holds entries\n\
    [[offset]] with cut = \"30deg\" and aim = \"28mm\" beside the object ball's centre.")]
pub(crate) struct AimsCommand {
    #[command(flatten)]
    request: ShotRequest,
    #[command(flatten)]
    ways: WaysRequest,
    /// A list of your own, a TOML file of offsets by cut
    #[arg(long, value_name = "FILE", help_heading = "Aiming methods")]
    own: Option<PathBuf>,
    #[command(flatten)]
    player: PlayerRequest,
    #[command(flatten)]
    gear: GearArgs,
    /// What moves the aim: one method and one shot over strokes, side, balls and sizes
    #[arg(
        long,
        value_name = "METHOD",
        help_heading = "What moves the aim",
        conflicts_with = "ways"
    )]
    moves: Option<String>,
    /// Pivot length of the stick, for squirt [default: 300mm, assumed]
    #[arg(
        long,
        value_name = "LENGTH",
        allow_hyphen_values = true,
        help_heading = "What moves the aim"
    )]
    pivot: Option<String>,
    /// Squirt at side 1, instead of --pivot
    #[arg(
        long,
        value_name = "ANGLE",
        allow_hyphen_values = true,
        help_heading = "What moves the aim",
        conflicts_with = "pivot"
    )]
    squirt: Option<String>,
    /// Write tables and charts into this folder
    #[arg(long, value_name = "DIR", help_heading = "What to show")]
    out: Option<PathBuf>,
    /// Replace files that exist
    #[arg(long, help_heading = "What to show")]
    force: bool,
    #[command(flatten)]
    format: FormatArgs<Format>,
    #[command(flatten)]
    units: UnitArgs,
}

impl AimsCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let player = self.player.player()?;
        let units = self.units.pick(defaults, &gear);
        if self.format.asked != Format::Text {
            return self.answered(&gear, player.as_ref(), units, out);
        }
        let mut text = Vec::new();
        self.answered(&gear, player.as_ref(), units, &mut text)?;
        Ok(out.write_all(units.said(&String::from_utf8_lossy(&text)).as_bytes())?)
    }

    /// Answers in whatever form; charts in the words asked for.
    fn answered(
        &self,
        gear: &Gear,
        player: Option<&Player>,
        units: Speech,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        in_words_of(units.words, || match &self.moves {
            Some(name) => self.what_moves(gear, name, units, out),
            None if self.has_shot() => self.one_shot(gear, player, units, out),
            None => self.grid(gear, player, units, out),
        })
    }

    /// Whether one shot is asked for: on the table, or by angles with one value each.
    fn has_shot(&self) -> bool {
        let p = &self.request.places;
        let several = |text: &Option<String>| {
            let text = text.as_deref().unwrap_or_default();
            text.contains(',') || text.contains("..")
        };
        let on_table = [&p.cue, &p.object, &p.pocket].iter().any(|v| v.is_some());
        let by_angles = [&p.cut, &p.apart, &p.to_pocket];
        let one = |text: &&Option<String>| text.is_some() && !several(text);
        on_table || by_angles.iter().all(one)
    }

    fn ways(
        &self,
        request: &WaysRequest,
        gear: &Gear,
        shot: Option<&Shot>,
    ) -> Result<Vec<Box<dyn Way>>, Fault> {
        let own = match &self.own {
            Some(path) => {
                let text = text(path, TABLE_BYTES).map_err(|e| {
                    Fault::input(format!("--own {}: cannot be read: {e}", path.display()))
                })?;
                let list = OwnOffsets::from_toml(&text)
                    .map_err(|e| Fault::input(format!("--own {}: {e}", path.display())))?;
                Some(list)
            }
            None => None,
        };
        let on_table = shot.filter(|s| s.frame.name.is_some());
        Ok(request.ways(gear, on_table, own)?)
    }

    /// Which way the object ball is cut on a grid.
    fn cut_side(&self) -> Result<Side, Fault> {
        Ok(side_of_cut(self.request.places.cut_side.as_deref())?)
    }

    /// Writes `aims.csv`, `aims-reach.csv` and the charts when a folder was given.
    fn keep_files(
        &self,
        rows: &[AimRow],
        reaches: &[ReachRow],
        drawn: &[Drawn<'_>],
    ) -> Result<Vec<PathBuf>, Fault> {
        let Some(folder) = &self.out else {
            return Ok(Vec::new());
        };
        let mut files = Batch::new(folder, self.force)?;
        csv_rows(rows.iter(), &mut files.file("aims.csv")?)?;
        let mut file = files.file("aims-reach.csv")?;
        reach_csv(reaches, &mut file)?;
        file.flush()?;
        drop(file);
        for drawn in drawn {
            drawn.write(&mut files)?;
        }
        Ok(files.keep()?)
    }
}

fn metres(option: Field, text: &str) -> Result<Vec<f64>, Fault> {
    Ok(lengths(option, text)?.into_iter().map(Length::m).collect())
}

fn reaches(
    gear: &Gear,
    ways: &[Box<dyn Way>],
    shots: &[Shots<'_>],
    units: Speech,
) -> Result<Vec<ReachRow>, Fault> {
    let mut out = Vec::new();
    for shots in shots {
        out.extend(reach_rows(gear, ways, shots, units)?);
    }
    Ok(out)
}

fn csv_rows<'a, T: serde::Serialize + 'a>(
    rows: impl Iterator<Item = &'a T>,
    out: &mut dyn Write,
) -> Result<(), Fault> {
    let mut writer = csv::Writer::from_writer(out);
    for row in rows {
        writer.serialize(row)?;
    }
    Ok(writer.flush()?)
}
