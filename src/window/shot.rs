//! A shot, checked once.

use kurbo::{Point, Vec2};
use serde::Serialize;
use thiserror::Error;

use crate::field::{Field, Fields};
use crate::gear::Gear;
use crate::motion::BallBody;
use crate::pocket::{PocketFrame, PocketKind, PocketName};
use crate::stroke::{ELEVATION_RAD, Hold, PIVOT_M, Stick, StickError};
use crate::units::{Angle, Length, Side, Speed};

/// How the cue ball is hit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Speed of the object ball at the middle of the mouth, along the centre-pocket line.
    pub pace_m_s: f64,
    /// `R·ω/v` at contact: 1 natural roll, 0 stun, negative draw.
    pub roll: f64,
    /// Side-spin ratio `R·ω_z/v`, positive outside (away from the object ball's way).
    pub side: f64,
    /// What a straight shot counts as when `side` is turned into left and right.
    pub straight_side: Side,
    /// Length of the bridge, for the tip error.
    pub bridge_m: f64,
    /// Where the tip strikes, where that is what is said: roll and side then are what arrives, found
    /// with the window, and the two above are not looked at.
    pub tip: Option<Tip>,
}

/// Where the tip strikes and how the stick is held; the speed follows from the shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tip {
    /// Right of the middle, seen along the stick, m.
    pub across_m: f64,
    /// Above the middle, m.
    pub height_m: f64,
    /// Elevation of the stick, rad.
    pub elevation_rad: f64,
    /// Pivot length from the ball's middle, m.
    pub pivot_m: f64,
}

impl Tip {
    /// In the middle of the ball, the stick as it is usually held.
    pub const CENTRE: Self = Self {
        across_m: 0.0,
        height_m: 0.0,
        elevation_rad: ELEVATION_RAD,
        pivot_m: PIVOT_M,
    };

    /// The same with the cue of a gear, where its pivot was measured.
    #[must_use]
    pub fn centre_on(gear: &Gear) -> Self {
        Self {
            pivot_m: gear.cue_pivot_m.unwrap_or(PIVOT_M),
            ..Self::CENTRE
        }
    }

    /// How the stick is held.
    #[must_use]
    pub fn hold(&self) -> Hold {
        Hold {
            elevation_rad: self.elevation_rad,
            pivot_m: self.pivot_m,
        }
    }

    /// The stick that strikes there and sends the ball off at a speed, m/s.
    #[must_use]
    pub fn stick(&self, speed_m_s: f64) -> Stick {
        Stick {
            speed_m_s,
            across_m: self.across_m,
            height_m: self.height_m,
            elevation_rad: self.elevation_rad,
            pivot_m: self.pivot_m,
        }
    }
}

impl Default for Stroke {
    /// 1 m/s at the pocket, natural roll, no side, a 10 in bridge (assumptions).
    fn default() -> Self {
        Self {
            pace_m_s: 1.0,
            roll: 1.0,
            side: 0.0,
            straight_side: Side::Left,
            bridge_m: 0.254,
            tip: None,
        }
    }
}

impl Stroke {
    /// Struck in the middle of the cue ball: what arrives is found.
    #[must_use]
    pub fn centre_ball() -> Self {
        Self {
            tip: Some(Tip::CENTRE),
            ..Self::default()
        }
    }

    /// The same stroke where this roll and side arrive, wherever the tip has to strike for it.
    #[must_use]
    pub fn arriving(self, roll: f64, side: f64) -> Self {
        Self {
            roll,
            side,
            tip: None,
            ..self
        }
    }

    /// The same stroke on the upright line of the ball.
    #[must_use]
    pub fn without_side(self) -> Self {
        Self {
            side: 0.0,
            tip: self.tip.map(|tip| Tip {
                across_m: 0.0,
                ..tip
            }),
            ..self
        }
    }

    /// The usual stroke at this pace: the object ball's speed at the middle of the mouth.
    #[must_use]
    pub fn at_pace(pace: Speed) -> Self {
        Self {
            pace_m_s: pace.m_s(),
            ..Self::default()
        }
    }
}

/// Words for the roll at contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Hit {
    /// No roll at contact.
    Stun,
    /// Natural roll.
    Roll,
    /// Backspin.
    Draw,
    /// The natural roll that a high ball arrives with: what it has more is gone within a hand's width.
    Follow,
}

impl Hit {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Stun, Self::Roll, Self::Draw, Self::Follow];

    /// The one of a roll ratio, where it has a name.
    #[must_use]
    pub fn of_roll(ratio: f64) -> Option<Self> {
        let same = |hit: &Self| (hit.roll() - ratio).abs() < 1e-9;
        Self::ALL.into_iter().find(same)
    }

    /// As typed: `stun`, `roll`, `draw`, `follow`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Stun => "stun",
            Self::Roll => "roll",
            Self::Draw => "draw",
            Self::Follow => "follow",
        }
    }

    /// Roll ratio: stun 0 and roll 1 by definition; draw −0.5 is an
    /// assumption; follow is roll, since the most a tip gives is 1.25 as the ball leaves it.
    #[must_use]
    pub fn roll(self) -> f64 {
        match self {
            Self::Stun => 0.0,
            Self::Roll | Self::Follow => 1.0,
            Self::Draw => -0.5,
        }
    }
}

/// A shot on the bed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BedShot {
    /// Cue ball, m.
    pub cue: Point,
    /// Object ball, m.
    pub object: Point,
    /// Pocket.
    pub pocket: PocketName,
}

/// A shot without a bed: cut, two distances, approach.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AbstractShot {
    /// Corner or side.
    pub kind: PocketKind,
    /// Throw-free cut for the centre-pocket line, rad, 0 to below π/2.
    pub cut_rad: f64,
    /// Where the object ball is cut to.
    pub cut_side: Side,
    /// Centre to centre of the two balls.
    pub apart_m: f64,
    /// Object-ball centre to the middle of the mouth.
    pub to_pocket_m: f64,
    /// Pocket axis to direction of travel, rad, counter-clockwise positive.
    pub approach_rad: f64,
}

impl AbstractShot {
    /// Into a corner pocket taken straight on, cut to the left.
    ///
    /// ```
    /// use thincut::{AbstractShot, Angle, Length, PocketKind, Side};
    ///
    /// let shot = AbstractShot::new(Angle::from_deg(30.0), Length::from_ft(4.0), Length::from_ft(3.0));
    /// assert_eq!((shot.kind, shot.cut_side), (PocketKind::Corner, Side::Left));
    /// assert_eq!(shot.to_pocket_m, Length::from_ft(3.0).m());
    /// ```
    #[must_use]
    pub fn new(cut: Angle, between_balls: Length, to_pocket: Length) -> Self {
        Self {
            kind: PocketKind::Corner,
            cut_rad: cut.rad(),
            cut_side: Side::Left,
            apart_m: between_balls.m(),
            to_pocket_m: to_pocket.m(),
            approach_rad: 0.0,
        }
    }

    /// The same into a side pocket.
    #[must_use]
    pub fn into_side(self) -> Self {
        Self {
            kind: PocketKind::Side,
            ..self
        }
    }

    /// The same cut to this side.
    #[must_use]
    pub fn cut_to(self, cut_side: Side) -> Self {
        Self { cut_side, ..self }
    }

    /// The same coming in at this angle to the pocket's axis, counter-clockwise positive.
    #[must_use]
    pub fn approached(self, approach: Angle) -> Self {
        Self {
            approach_rad: approach.rad(),
            ..self
        }
    }
}

/// A shot that cannot stand on a table.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ShotError {
    /// A number out of its range.
    #[error("{what} is {value}; it must be {need}")]
    OutOfRange {
        /// Which input.
        what: Field,
        /// As given.
        value: String,
        /// What would work.
        need: &'static str,
    },
    /// The balls overlap.
    #[error(
        "{options}: the cue ball and the object ball are {apart_mm:.2} mm apart, centre to centre; they need at least {need_mm:.2} mm"
    )]
    BallsOverlap {
        /// What to change.
        options: Fields,
        /// Distance given.
        apart_mm: f64,
        /// Contact distance.
        need_mm: f64,
    },
    /// A ball stands in a cushion or off the bed.
    #[error(
        "the {ball} at ({x_mm:.1}, {y_mm:.1}) mm is off the table: its centre must be between {rho_mm:.2} and {max_x_mm:.1} mm from the head rail and between {rho_mm:.2} and {max_y_mm:.1} mm from the right rail"
    )]
    OffTheBed {
        /// Which ball.
        ball: &'static str,
        /// Position.
        x_mm: f64,
        /// Position.
        y_mm: f64,
        /// Nearest a centre can be to a nose.
        rho_mm: f64,
        /// Farthest x.
        max_x_mm: f64,
        /// Farthest y.
        max_y_mm: f64,
    },
    /// The tip slips, or the stick cannot be held so.
    #[error("{field}: {source}", field = Field::Tip)]
    Tip {
        /// What is wrong.
        source: StickError,
    },
    /// The object ball overlaps a cushion of the pocket.
    #[error(transparent)]
    Acceptance(#[from] crate::pocket::AcceptanceError),
}

/// A checked shot in the pocket frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shot {
    /// Where the pocket is on the plan.
    pub frame: PocketFrame,
    /// Cue ball in the pocket frame.
    pub cue: Point,
    /// Object ball in the pocket frame.
    pub object: Point,
    /// How it is hit.
    pub stroke: Stroke,
}

/// Placing error that is rounding (a frozen ball computed in another way), m.
const PLACE_SLACK_M: f64 = 1e-9;

impl Shot {
    /// A shot on the bed.
    ///
    /// ```
    /// use thincut::{BedShot, Gear, PocketName, Position, Preset, Shot, Stroke, solve};
    ///
    /// let gear = Gear::standard(Preset::Pool9Ft)?;
    /// // Diamonds from the head rail and from the right rail.
    /// let object = gear.bed.locate(Position::diamonds(6.0, 2.5), gear.object_contact_radius_m())?;
    /// let cue = gear.bed.locate(Position::diamonds(3.0, 1.0), gear.cue_contact_radius_m())?;
    /// let asked = BedShot { cue, object, pocket: PocketName::FootLeft };
    /// let solution = solve(&gear, &Shot::on_bed(&gear, &asked, Stroke::default())?)?;
    /// assert!(solution.solved().is_ok());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// [`ShotError`] for balls that overlap each other or a cushion, or a stroke out of range.
    pub fn on_bed(gear: &Gear, shot: &BedShot, stroke: Stroke) -> Result<Self, ShotError> {
        check_stroke(gear, &stroke)?;
        check_on_bed(gear, "object ball", shot.object, &BallBody::object(gear))?;
        check_on_bed(gear, "cue ball", shot.cue, &BallBody::cue(gear))?;
        let frame = shot.pocket.frame(gear);
        Self::checked(
            gear,
            frame,
            frame.to_pocket(shot.cue),
            frame.to_pocket(shot.object),
            stroke,
        )
    }

    /// Whether it can be set up on a table of this gear: with one of its pockets of that kind both balls
    /// lie on the bed, clear of the cushions' noses.
    #[must_use]
    pub fn fits_table(&self, gear: &Gear) -> bool {
        let kind = |name: &&PocketName| name.kind() == self.frame.kind;
        PocketName::ALL.iter().filter(kind).any(|name| {
            let frame = name.frame(gear);
            let on = |at, what, body: BallBody| {
                check_on_bed(gear, what, frame.to_plan(at), &body).is_ok()
            };
            on(self.object, "object ball", BallBody::object(gear))
                && on(self.cue, "cue ball", BallBody::cue(gear))
        })
    }

    /// Whether it can be set up there when the ball may come into the pocket at another angle: whether
    /// the table is long enough for its distances. Angles are looked at every 2.5°, to 60° either way.
    #[must_use]
    pub fn fits_table_turned(&self, gear: &Gear) -> bool {
        let turned = |steps: i32| {
            let turn = Vec2::from_angle((2.5 * f64::from(steps)).to_radians());
            let at =
                |p: Point| Point::new(p.x * turn.x - p.y * turn.y, p.x * turn.y + p.y * turn.x);
            Self {
                cue: at(self.cue),
                object: at(self.object),
                ..*self
            }
        };
        (-24..=24).any(|steps| turned(steps).fits_table(gear))
    }

    /// An abstract shot; its plan is the pocket frame itself.
    ///
    /// # Errors
    /// [`ShotError`] for values out of range or balls that overlap.
    pub fn from_angles(
        gear: &Gear,
        shot: &AbstractShot,
        stroke: Stroke,
    ) -> Result<Self, ShotError> {
        check_stroke(gear, &stroke)?;
        check_angles(shot)?;
        let contact = gear.contact_distance_m();
        if shot.apart_m < contact {
            return Err(ShotError::BallsOverlap {
                options: Fields(&[Field::Apart]),
                apart_mm: shot.apart_m * 1e3,
                need_mm: contact * 1e3,
            });
        }
        let travel = Vec2::from_angle(shot.approach_rad);
        let object = Point::ORIGIN - travel * shot.to_pocket_m;
        let cut = shot.cut_side.sign() * shot.cut_rad;
        let aim = Vec2::from_angle(shot.approach_rad - cut);
        // t_c from d² = t² + D² + 2 t D cos φ
        let (sin, cos) = cut.sin_cos();
        let t =
            (shot.apart_m * shot.apart_m - contact * contact * sin * sin).sqrt() - contact * cos;
        let cue = object - travel * contact - aim * t;
        let stroke = Stroke {
            straight_side: shot.cut_side,
            ..stroke
        };
        Self::checked(gear, PocketFrame::alone(shot.kind), cue, object, stroke)
    }

    fn checked(
        gear: &Gear,
        frame: PocketFrame,
        cue: Point,
        object: Point,
        stroke: Stroke,
    ) -> Result<Self, ShotError> {
        let need = gear.contact_distance_m();
        let apart = (object - cue).hypot();
        if apart < need - PLACE_SLACK_M {
            return Err(ShotError::BallsOverlap {
                options: Fields(&[Field::Cue, Field::Object]),
                apart_mm: apart * 1e3,
                need_mm: need * 1e3,
            });
        }
        Ok(Self {
            frame,
            cue,
            object,
            stroke,
        })
    }

    /// Centre to centre of the two balls, m.
    #[must_use]
    pub fn apart_m(&self) -> f64 {
        (self.object - self.cue).hypot()
    }
}

/// Nothing longer than this stands in a hall, m (assumption; keeps typing errors out).
const MAX_LENGTH_M: f64 = 20.0;
/// Fastest pace asked for, m/s (assumption: break shots are near 10).
const MAX_PACE_M_S: f64 = 20.0;

fn check_angles(shot: &AbstractShot) -> Result<(), ShotError> {
    let range = |ok: bool, what, value: f64, unit: &str, need| {
        if ok {
            Ok(())
        } else {
            Err(ShotError::OutOfRange {
                what,
                value: format!("{}{unit}", (value * 1e6).round() / 1e6),
                need,
            })
        }
    };
    let cut = shot.cut_rad;
    range(
        (0.0..std::f64::consts::FRAC_PI_2).contains(&cut),
        Field::Cut,
        cut.to_degrees(),
        "deg",
        "at least 0deg and below 90deg",
    )?;
    range(
        shot.to_pocket_m > 0.0 && shot.to_pocket_m <= MAX_LENGTH_M,
        Field::ToPocket,
        shot.to_pocket_m,
        "m",
        "above 0 and at most 20m",
    )?;
    range(
        shot.apart_m > 0.0 && shot.apart_m <= MAX_LENGTH_M,
        Field::Apart,
        shot.apart_m,
        "m",
        "above 0 and at most 20m",
    )?;
    range(
        shot.approach_rad.abs() < std::f64::consts::FRAC_PI_2,
        Field::Approach,
        shot.approach_rad.to_degrees(),
        "deg",
        "between -90deg and 90deg",
    )?;
    Ok(())
}

fn check_stroke(gear: &Gear, stroke: &Stroke) -> Result<(), ShotError> {
    let range = |ok: bool, what, value: f64, unit: &str, need| {
        if ok {
            Ok(())
        } else {
            Err(ShotError::OutOfRange {
                what,
                value: format!("{value}{unit}"),
                need,
            })
        }
    };
    let s = stroke;
    if let Some(tip) = &s.tip {
        let stick = tip.stick(1.0);
        stick
            .check(gear.cue_radius_m())
            .map_err(|source| ShotError::Tip { source })?;
    }
    range(
        s.pace_m_s > 0.0 && s.pace_m_s <= MAX_PACE_M_S,
        Field::Pace,
        s.pace_m_s,
        "m/s",
        "above 0 and at most 20m/s",
    )?;
    range(
        s.roll.abs() <= 2.0,
        Field::Arrives,
        s.roll,
        "",
        "from -2 to 2",
    )?;
    range(
        s.side.abs() <= 1.25,
        Field::Side,
        s.side,
        "",
        "from -1.25 to 1.25 (beyond that the tip slips off)",
    )?;
    range(
        s.bridge_m > 0.0 && s.bridge_m <= 2.0,
        Field::Bridge,
        s.bridge_m,
        "m",
        "above 0 and at most 2m",
    )
}

/// A centre between the noses on all sides, or within a pocket's mouth.
fn check_on_bed(
    gear: &Gear,
    ball: &'static str,
    at: Point,
    body: &BallBody,
) -> Result<(), ShotError> {
    let (l, w, rho) = (gear.bed.length_m, gear.bed.width_m, body.plan_radius_m);
    let slack = PLACE_SLACK_M;
    let inside = |v: f64, size: f64| v >= rho - slack && v <= size - rho + slack;
    if inside(at.x, l) && inside(at.y, w) {
        return Ok(());
    }
    // past a nose line only in front of a pocket's mouth
    let in_mouth = PocketName::ALL.iter().any(|p| {
        let frame = p.frame(gear);
        let local = frame.to_pocket(at);
        let half = 0.5 * frame.spec(gear).mouth_m;
        local.x.abs() < half && local.y.abs() < half
    });
    if in_mouth {
        return Ok(());
    }
    Err(ShotError::OffTheBed {
        ball,
        x_mm: at.x * 1e3,
        y_mm: at.y * 1e3,
        rho_mm: rho * 1e3,
        max_x_mm: (l - rho) * 1e3,
        max_y_mm: (w - rho) * 1e3,
    })
}
