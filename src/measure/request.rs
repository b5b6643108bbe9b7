//! Readings as options.

use super::quantity::Quantity;
use super::reading::{Instruments, MeasureError, Reading, readings};
use crate::pocket::PocketKind::{Corner, Side};

/// Readings given as options; each may be repeated or hold several, separated by commas.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(
    feature = "cli",
    command(next_help_heading = "Readings, each as often as you like")
)]
pub struct ReadingsRequest {
    /// Corner: jaw point to jaw point, such as "116mm, 115.5mm"
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub corner_mouth: Vec<String>,
    /// Corner: the gap between two balls side by side in the mouth, one on each jaw point
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub corner_gap: Vec<String>,
    /// Corner: between the facings, corner-throat-depth behind the mouth
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub corner_throat: Vec<String>,
    /// Corner: how deep the throat was measured [default: as deep as the shelf]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub corner_throat_depth: Vec<String>,
    /// Corner: middle of the mouth to the front edge of the slate's cut
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub corner_shelf: Vec<String>,
    /// Corner with rounded jaws, instead of the mouth: between the facings at the edge of the slate's cut
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub corner_fall: Vec<String>,
    /// Corner: radius of its rounded jaws, by the gauges of the measuring form
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub corner_rounding: Vec<String>,
    /// Side pocket: jaw point to jaw point
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub side_mouth: Vec<String>,
    /// Side pocket: the gap between two balls side by side in the mouth
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub side_gap: Vec<String>,
    /// Side pocket: between the facings, side-throat-depth behind the mouth
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub side_throat: Vec<String>,
    /// Side pocket: how deep the throat was measured [default: as deep as the shelf]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub side_throat_depth: Vec<String>,
    /// Side pocket: middle of the mouth to the front edge of the slate's cut
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub side_shelf: Vec<String>,
    /// Side pocket with rounded jaws, instead of the mouth: between the facings at the edge of the slate's cut
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub side_fall: Vec<String>,
    /// Side pocket: radius of its rounded jaws, by the gauges of the measuring form
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub side_rounding: Vec<String>,
    /// The mouth of the head-left pocket alone, where it differs from its kind
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub head_left_mouth: Vec<String>,
    /// The mouth of the head-right pocket alone, where it differs from its kind
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub head_right_mouth: Vec<String>,
    /// The mouth of the side-left pocket alone, where it differs from its kind
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub side_left_mouth: Vec<String>,
    /// The mouth of the side-right pocket alone, where it differs from its kind
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub side_right_mouth: Vec<String>,
    /// The mouth of the foot-left pocket alone, where it differs from its kind
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub foot_left_mouth: Vec<String>,
    /// The mouth of the foot-right pocket alone, where it differs from its kind
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub foot_right_mouth: Vec<String>,
    /// Diameter of an object ball, and of the cue ball unless it has its own
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub ball_diameter: Vec<String>,
    /// Weight of an object ball, and of the cue ball unless it has its own
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MASS", allow_hyphen_values = true)
    )]
    pub ball_weight: Vec<String>,
    /// Diameter of a cue ball that differs
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub cue_ball_diameter: Vec<String>,
    /// Weight of a cue ball that differs
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MASS", allow_hyphen_values = true)
    )]
    pub cue_ball_weight: Vec<String>,
    /// Head nose to foot nose
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub table_length: Vec<String>,
    /// Nose to nose across
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    pub table_width: Vec<String>,
    /// A rolling ball timed from a mark until it rests, no cushion on the way: "3.2m 8.1s"
    #[cfg_attr(
        feature = "cli",
        arg(
            long = "roll-out",
            value_name = "LENGTH TIME",
            allow_hyphen_values = true
        )
    )]
    pub lag: Vec<String>,
    /// Cue ball from the head spot up and down the middle until it rests: "4.2lengths 8.8s"
    #[cfg_attr(
        feature = "cli",
        arg(
            long = "roll-lengths",
            value_name = "LENGTHS TIME",
            allow_hyphen_values = true
        )
    )]
    pub run: Vec<String>,
    /// A stunned cut: cut, path of the object ball, how far off its line it arrives, speed: "half-ball 1m 48mm 1.5m/s"
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "CUT PATH OFF SPEED", allow_hyphen_values = true)
    )]
    pub throw: Vec<String>,
    /// How near the truth two readings in three are: rule=0.5mm; also gauge, feeler, calliper, scale, tape, watch, count (of lengths)
    #[cfg_attr(feature = "cli", arg(long, value_name = "INSTRUMENT=AMOUNT"))]
    pub good_to: Vec<String>,
}

impl ReadingsRequest {
    fn given(&self, quantity: Quantity) -> &[String] {
        match quantity {
            Quantity::TableLength => &self.table_length,
            Quantity::TableWidth => &self.table_width,
            Quantity::BallDiameter => &self.ball_diameter,
            Quantity::BallWeight => &self.ball_weight,
            Quantity::CueBallDiameter => &self.cue_ball_diameter,
            Quantity::CueBallWeight => &self.cue_ball_weight,
            Quantity::Mouth(Corner) => &self.corner_mouth,
            Quantity::Gap(Corner) => &self.corner_gap,
            Quantity::Throat(Corner) => &self.corner_throat,
            Quantity::ThroatDepth(Corner) => &self.corner_throat_depth,
            Quantity::Shelf(Corner) => &self.corner_shelf,
            Quantity::Fall(Corner) => &self.corner_fall,
            Quantity::Rounding(Corner) => &self.corner_rounding,
            Quantity::Mouth(Side) => &self.side_mouth,
            Quantity::Gap(Side) => &self.side_gap,
            Quantity::Throat(Side) => &self.side_throat,
            Quantity::ThroatDepth(Side) => &self.side_throat_depth,
            Quantity::Shelf(Side) => &self.side_shelf,
            Quantity::Fall(Side) => &self.side_fall,
            Quantity::Rounding(Side) => &self.side_rounding,
            Quantity::MouthOf(index) => [
                &self.head_left_mouth,
                &self.head_right_mouth,
                &self.side_left_mouth,
                &self.side_right_mouth,
                &self.foot_left_mouth,
                &self.foot_right_mouth,
            ][index],
            Quantity::Lag => &self.lag,
            Quantity::Run => &self.run,
            Quantity::Throw => &self.throw,
        }
    }

    /// All readings.
    ///
    /// # Errors
    /// [`MeasureError`] naming the option.
    pub fn readings(&self) -> Result<Vec<(Quantity, Reading)>, MeasureError> {
        let mut out = Vec::new();
        for quantity in Quantity::ALL {
            for text in self.given(quantity) {
                let own = readings(quantity, text)?;
                out.extend(own.into_iter().map(|reading| (quantity, reading)));
            }
        }
        Ok(out)
    }

    /// Lays what was said over how good instruments are.
    ///
    /// # Errors
    /// [`MeasureError`] naming the instrument.
    pub fn instruments(&self, over: Instruments) -> Result<Instruments, MeasureError> {
        let mut out = over;
        for text in &self.good_to {
            let (name, amount) = text.split_once('=').unwrap_or((text, ""));
            out.set(name, amount)?;
        }
        Ok(out)
    }
}
