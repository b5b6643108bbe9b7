//! Options that name a grid of shots.

use clap::Args;
use thincut::field::Field;
use thincut::gear::Gear;
use thincut::request::{StrokeRequest, cuts, lengths, pocket_kind, quantity};
use thincut::survey::Grid;
use thincut::units::Angle;

use crate::fault::Fault;

/// Cuts and distances.
#[derive(Debug, Clone, Default, PartialEq, Eq, Args)]
pub(crate) struct GridArgs {
    /// Cuts, a list `0deg,half-ball` or a range `0deg..80deg/5deg` [default: 0deg..80deg/5deg]
    #[arg(long, value_name = "CUTS", allow_hyphen_values = true)]
    pub(crate) cut: Option<String>,
    /// Distances between the balls [default: 1ft,2ft,3ft,4ft,6ft,8ft]
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    pub(crate) cue_to_object: Option<String>,
    /// Distances to the pocket [default: 1ft,2ft,3ft,4ft,5ft]
    #[arg(long, value_name = "LENGTHS", allow_hyphen_values = true)]
    pub(crate) to_pocket: Option<String>,
}

impl GridArgs {
    /// The grid, of one kind of pocket from one angle with one stroke, for nobody yet.
    pub(crate) fn grid(
        &self,
        kind: Option<&str>,
        approach: Option<&str>,
        stroke: &StrokeRequest,
        gear: &Gear,
    ) -> Result<Grid, Fault> {
        let default = Grid::default();
        let m = |option, text: &Option<String>, default: Vec<f64>| -> Result<Vec<f64>, Fault> {
            match text {
                Some(t) => Ok(lengths(option, t)?.into_iter().map(|l| l.m()).collect()),
                None => Ok(default),
            }
        };
        Ok(Grid {
            cuts_rad: match &self.cut {
                Some(t) => cuts(Field::Cut, t)?.into_iter().map(Angle::rad).collect(),
                None => default.cuts_rad,
            },
            aparts_m: m(Field::Apart, &self.cue_to_object, default.aparts_m)?,
            to_pockets_m: m(Field::ToPocket, &self.to_pocket, default.to_pockets_m)?,
            kind: pocket_kind(kind)?,
            approach_rad: quantity::<Angle>(Field::Approach, approach)?.map_or(0.0, Angle::rad),
            stroke: stroke.stroke(gear)?,
            player: None,
        })
    }
}
