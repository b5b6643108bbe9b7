//! `thincut stroke`: where the cue ball goes when it is struck off its middle.

use std::io::Write;

use clap::Args;
use kurbo::Point;
use thincut::answer::{StrikeAnswer, strike_text};
use thincut::charts::in_words_of;
use thincut::charts::stroke::stroke_chart;
use thincut::field::Field;
use thincut::request::quantity;
use thincut::stroke::{ELEVATION_RAD, Stick};
use thincut::units::{Angle, Length, Speed};
use thincut::window::Tip;

use crate::defaults::{Defaults, UnitArgs};
use crate::fault::Fault;
use crate::format::{FormatArgs, TextOrJson};
use crate::output::{PictureArgs, json};
use crate::table::GearArgs;

/// Where does the cue ball go when it is struck off its middle?
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut stroke --speed 2.35m/s --across 11mm --elevation 2deg\n  \
    thincut stroke --speed 2.35m/s --across 11mm --elevation 2deg --object 274mm,29mm --out stroke.svg\n\n\
    The stick points along a line from the cue ball over open cloth; right and left are seen along it.\n\
    Squirt is the angle at which the ball leaves that line; a raised stick makes it curve back.")]
pub(crate) struct StrokeCommand {
    /// Speed of the cue ball off the tip
    #[arg(long, value_name = "SPEED", allow_hyphen_values = true)]
    speed: String,
    /// Where the tip strikes, right of the ball's middle; left with a minus
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "0mm",
        allow_hyphen_values = true
    )]
    across: String,
    /// Where the tip strikes, above the ball's middle; below with a minus
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "0mm",
        allow_hyphen_values = true
    )]
    height: String,
    /// How far the butt is raised [default: 3deg, assumed]
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    elevation: Option<String>,
    /// Pivot length of the cue, from the ball's middle [default: 300mm, assumed]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pivot: Option<String>,
    /// An object ball: how far along the stick's line and how far left of it, as 274mm,29mm
    #[arg(long, value_name = "ALONG,LEFT", allow_hyphen_values = true)]
    object: Option<String>,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    format: FormatArgs<TextOrJson>,
    #[command(flatten)]
    picture: PictureArgs,
    #[command(flatten)]
    units: UnitArgs,
}

impl StrokeCommand {
    pub(crate) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let length = |option, text: Option<&str>, usual: f64| {
            quantity::<Length>(option, text).map(|l| l.map_or(usual, Length::m))
        };
        let elevation = quantity::<Angle>(Field::Elevation, self.elevation.as_deref())?;
        let speed = quantity::<Speed>(Field::Speed, Some(&self.speed))?;
        let stick = Stick {
            speed_m_s: speed.map_or(0.0, Speed::m_s),
            across_m: length(Field::Across, Some(&self.across), 0.0)?,
            height_m: length(Field::Height, Some(&self.height), 0.0)?,
            elevation_rad: elevation.map_or(ELEVATION_RAD, Angle::rad),
            pivot_m: length(
                Field::Pivot,
                self.pivot.as_deref(),
                Tip::centre_on(&gear).pivot_m,
            )?,
        };
        stick.check(gear.cue_radius_m()).map_err(Fault::input)?;
        let object = self.object.as_deref().map(place).transpose()?;
        if let Some(at) = object {
            let (apart_m, need_m) = (at.to_vec2().hypot(), gear.contact_distance_m());
            if apart_m < need_m {
                return Err(Fault::input(format!(
                    "--object: the balls are {:.1} mm apart, centre to centre; they need at least {:.1} mm",
                    1e3 * apart_m,
                    1e3 * need_m
                )));
            }
        }
        let plan = self.picture.plan()?;
        let answer = StrikeAnswer::new(&gear, &stick, object).ok_or_else(|| {
            Fault::input(
                "the ball never stops on this cloth: cloth.rolling_friction must be above 0",
            )
        })?;
        let units = self.units.pick(defaults, &gear);
        match self.format.asked {
            TextOrJson::Json => json(out, &answer)?,
            TextOrJson::Text => {
                out.write_all(units.said(&strike_text(&answer, units)).as_bytes())?
            }
        }
        if let Some(plan) = plan {
            let draw = || stroke_chart(&gear, &stick, object, plan.size);
            let picture = in_words_of(units.words, draw)?;
            let path = plan.keep(&picture)?;
            if self.format.asked == TextOrJson::Text {
                writeln!(out, "{path}")?;
            }
        }
        Ok(())
    }
}

/// `274mm,29mm`: along the stick's line and left of it.
fn place(text: &str) -> Result<Point, Fault> {
    let Some((along, left)) = text.split_once(',') else {
        return Err(Fault::input(format!(
            "--object {text}: give how far along the stick's line and how far left of it, such as 274mm,29mm"
        )));
    };
    let read = |part: &str| {
        quantity::<Length>(Field::Object, Some(part.trim())).map(|l| l.map_or(0.0, Length::m))
    };
    Ok(Point::new(read(along)?, read(left)?))
}
