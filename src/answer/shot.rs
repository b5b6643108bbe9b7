//! One shot as data.

use serde::{Deserialize, Serialize};

use super::held::StickShot;
use crate::columns::Columns;
use crate::gear::{Gear, MeasuredBounce};
use crate::player::chance::EqualStraight;
use crate::player::factors::{By, Factor, Factors, Hardness, Verdict};
use crate::player::{Aimed, Player, Straights, shot_chance};
use crate::pocket::{Acceptance, Component};
use crate::window::{
    AimWindow, Band, Flags, NoWindow, Part, Range, Shot, Solution, Window, lengths_for_speed,
    solve, why,
};

/// One of the three windows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct WindowAnswer {
    /// Room towards a fuller hit, degrees of cue-ball direction.
    pub thick_deg: f64,
    /// Room towards a thinner hit.
    pub thin_deg: f64,
    /// Both together.
    pub total_deg: f64,
    /// The same at the ghost ball, mm.
    pub thick_ghost_mm: f64,
    /// The same at the ghost ball, mm.
    pub thin_ghost_mm: f64,
    /// Shift of the contact point on the object ball, mm.
    pub thick_contact_mm: f64,
    /// Shift of the contact point on the object ball, mm.
    pub thin_contact_mm: f64,
    /// Error at the tip for the bridge, mm.
    pub thick_tip_mm: f64,
    /// Error at the tip for the bridge, mm.
    pub thin_tip_mm: f64,
    /// Object-ball directions relative to the centre-pocket line, degrees.
    pub from_deg: f64,
    /// Object-ball directions relative to the centre-pocket line, degrees.
    pub to_deg: f64,
    /// Effective pocket size of the part, mm.
    pub effective_pocket_mm: f64,
}

/// A part of the accepted directions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct PieceAnswer {
    /// Relative to the centre-pocket line, degrees.
    pub from_deg: f64,
    /// Relative to the centre-pocket line, degrees.
    pub to_deg: f64,
    /// `clean`, `jaw` or `rail`.
    pub how: String,
    /// Direction to send the cue ball for `from_deg`, as `aim_deg`; null out of reach.
    pub aim_from_deg: Option<f64>,
    /// The same for `to_deg`.
    pub aim_to_deg: Option<f64>,
}

/// Why the shot is as hard as it is: its window over its spread against that of a plain shot (straight,
/// straight in, 2 ft and 2 ft, 1 m/s).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct WhyAnswer {
    /// What multiplies to `product`; each is 1 for the plain shot.
    pub factors: Factors,
    /// All of them together.
    pub product: f64,
    /// The factors to name, the one that costs most first; none when nothing makes it hard.
    pub main: Vec<Factor>,
    /// Most of what drops does so off the jaws and the rail.
    pub mostly_jaws: bool,
}

impl From<Verdict> for WhyAnswer {
    fn from(verdict: Verdict) -> Self {
        Self {
            factors: verdict.factors,
            product: verdict.product,
            main: verdict.main,
            mostly_jaws: verdict.mostly_jaws,
        }
    }
}

/// The factors of the first-order window.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct FirstOrderAnswer {
    /// Which part of the window is explained.
    pub of: Part,
    /// Opening of the pocket in object-ball directions.
    pub pocket_opening_deg: f64,
    /// `D/t_c`.
    pub distance_factor: f64,
    /// `cos φ`.
    pub cut_factor: f64,
    /// What throw does.
    pub throw_factor: f64,
    /// The product.
    pub first_order_deg: f64,
}

/// Lowest and highest width.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct RangeAnswer {
    /// Lowest total.
    pub low_deg: f64,
    /// Highest total.
    pub high_deg: f64,
}

/// Widths over the assumed cushions and facings.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct BandAnswer {
    /// Untouched.
    pub clean: Option<RangeAnswer>,
    /// Untouched or off the jaws.
    pub direct: Option<RangeAnswer>,
    /// At all.
    pub drop: Option<RangeAnswer>,
}

/// How a stroke was said.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum StrokeBy {
    /// By what arrives at the object ball.
    #[default]
    Arrives,
    /// By where the tip strikes the cue ball.
    Tip,
}

/// The flag of a shot that cannot be set up on its table.
pub(super) const OFF_TABLE: &str = "off-table";

/// One shot, solved. Null where there is no number; `flags` says why. The order of the fields is that of
/// the columns of tables.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct ShotAnswer {
    /// Name of the gear.
    pub gear: String,
    /// Pocket on the bed; null for a shot by angles.
    pub pocket: Option<String>,
    /// `corner` or `side`.
    pub kind: String,
    /// Object-ball speed at the mouth.
    pub pace_m_s: f64,
    /// The same stroke in table lengths: how far it would send the cue ball up and down with nothing in
    /// the way; null without a window, and in tables of many shots.
    #[serde(default)]
    pub stroke_lengths: Option<f64>,
    /// Roll ratio at contact: as asked for, or what arrives of the stroke.
    pub roll: f64,
    /// Side ratio there, outside positive.
    pub side: f64,
    /// Whether these are what was asked to arrive or what comes of where the tip strikes.
    #[serde(default)]
    pub stroke_by: StrokeBy,
    /// Pocket axis to the centre-pocket line, counter-clockwise positive.
    pub approach_deg: f64,
    /// Throw-free cut at the target.
    pub cut_deg: Option<f64>,
    /// `left` or `right`.
    pub cut_side: Option<String>,
    /// Centre to centre of the balls.
    pub apart_mm: f64,
    /// Cue ball to ghost ball.
    pub cue_travel_mm: Option<f64>,
    /// Object ball to the middle of the mouth.
    pub object_to_mouth_mm: f64,
    /// Direction of that line on the bed; by angles, from the pocket's axis.
    pub centre_pocket_line_deg: f64,
    /// Target relative to that line.
    pub target_offset_deg: Option<f64>,
    /// Direction to send the cue ball.
    pub aim_deg: Option<f64>,
    /// Direction that sends the object ball along the centre-pocket line.
    pub centre_pocket_aim_deg: Option<f64>,
    /// Throw, positive when it makes the cut fuller.
    pub throw_deg: Option<f64>,
    /// Cue-ball speed at contact.
    pub cue_speed_m_s: Option<f64>,
    /// Object-ball speed after contact.
    pub object_speed_m_s: Option<f64>,
    /// Ghost-ball centre on the bed; by angles, in the pocket's frame.
    pub ghost_ball_mm: Option<[f64; 2]>,
    /// Who aims; null when nobody is named.
    pub player: Option<String>,
    /// Spread of the cue ball's direction on this shot: stroke, sighting, and what side adds.
    pub sigma_deg: Option<f64>,
    /// Chance to make it, 0 to 1.
    pub chance: Option<f64>,
    /// The least it is over the assumed bounce of jaws and rails; null where that was not worked out.
    #[serde(default)]
    pub chance_low: Option<f64>,
    /// The most it is.
    #[serde(default)]
    pub chance_high: Option<f64>,
    /// The chance of the same stroke without side, where it has some; null in answers without a range,
    /// and where other balls stand in the way.
    #[serde(default)]
    pub chance_without_side: Option<f64>,
    /// The side makes the throw larger, where there is a chance without it.
    #[serde(skip)]
    pub side_adds_throw: bool,
    /// How often the stroke is too soft to bring the ball in, 0 to 1.
    #[serde(default)]
    pub dies_short: Option<f64>,
    /// Direction that is best for this player, within the untouched part.
    pub best_aim_deg: Option<f64>,
    /// What that gains in chance over `aim_deg`, 0 to 1.
    pub best_aim_gain: Option<f64>,
    /// As hard as a straight shot with this between the balls and this to the pocket; null when
    /// nearer or farther than any on the table.
    pub equal_straight_mm: Option<f64>,
    /// The same with which it is where it is null.
    #[serde(skip)]
    pub equal_straight: Option<EqualStraight>,
    /// What to know: off-table (it cannot be set up on this table), truncated, too-fast, no-clean-part, out-of-reach, cannot-arrive, too-close, no-drop, in-the-jaws, blocked.
    pub flags: Vec<String>,
    /// Goes in untouched.
    pub clean: Option<WindowAnswer>,
    /// Untouched or off the jaws.
    pub direct: Option<WindowAnswer>,
    /// At all.
    pub drop: Option<WindowAnswer>,
    /// Factors of the window to first order.
    pub first_order: Option<FirstOrderAnswer>,
    /// Over the assumptions, when asked for.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub band: Option<BandAnswer>,
    /// The stick that does it; null without a window, in tables of many shots, and where none brings
    /// the cue ball as asked.
    #[serde(default)]
    pub stick: Option<StickShot>,
    /// Why no stick does, where none does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cannot_arrive: Option<String>,
    /// Why it is hard; null in tables of many shots.
    #[serde(default)]
    pub why: Option<WhyAnswer>,
    /// What that rests on, whoever plays.
    #[serde(skip)]
    pub hardness: Option<Hardness>,
    /// What of jaws and rails was measured on this table.
    #[serde(skip)]
    pub measured: MeasuredBounce,
    /// All accepted directions.
    pub pieces: Vec<PieceAnswer>,
}

impl ShotAnswer {
    /// The columns of it in tables. The factors of the first order stand under the name they had before
    /// there were reasons beside them, which are for JSON.
    #[must_use]
    pub fn columns() -> Columns {
        Columns::of::<Self>()
            .without("why")
            .called("first_order", "why")
    }

    /// The answer to a solved shot.
    #[must_use]
    pub fn new(gear: &Gear, shot: &Shot, solution: &Solution, band: Option<&Band>) -> Self {
        let solved = solution.solved().ok();
        let hardness = solved.and_then(|solved| Hardness::of(gear, shot, solved));
        let mut answer = Self {
            band: band.map(band_answer),
            pieces: pieces(shot, solution),
            stroke_lengths: solution
                .window
                .as_ref()
                .ok()
                .and_then(|w| lengths_for_speed(gear, w.tip_speed_m_s(&gear.cloth)).ok()),
            why: hardness.map(|hard| hard.verdict(None).into()),
            hardness,
            ..Self::brief(gear, shot, solution.acceptance.as_ref(), &solution.window)
        };
        if shot.frame.name.is_none() && !shot.fits_table_turned(gear) {
            answer.flags.push(OFF_TABLE.to_owned());
        }
        if let Ok(window) = &solution.window {
            match StickShot::new(gear, shot, window) {
                Ok(stick) => answer.stick = Some(stick),
                Err(why) => {
                    if !window.flags.has(Flags::CANNOT_ARRIVE) {
                        answer.flags.push(CANNOT_ARRIVE.to_owned());
                    }
                    answer.cannot_arrive = Some(why.to_string());
                }
            }
        }
        answer
    }

    /// The answer without band and pieces, for many shots.
    pub(crate) fn brief(
        gear: &Gear,
        shot: &Shot,
        acceptance: Option<&Acceptance>,
        window: &Result<AimWindow, NoWindow>,
    ) -> Self {
        let window = window.as_ref();
        let found = window.ok();
        let base = shot.frame.axis_rad;
        let line = (-shot.object.y).atan2(-shot.object.x);
        let on_plan = |rad: f64| degrees_0_360(base + rad);
        let part = |pick: fn(&AimWindow) -> Option<Window>| {
            found.and_then(|w| pick(w).map(|p| window_answer(w, &p, shot)))
        };
        Self {
            gear: gear.name.clone(),
            pocket: shot.frame.name.map(|n| n.name().to_owned()),
            kind: shot.frame.kind.name().to_owned(),
            measured: gear.measured,
            pace_m_s: shot.stroke.pace_m_s,
            roll: found.map_or(shot.stroke.roll, |w| w.law.roll),
            side: found.map_or(shot.stroke.side, |w| {
                w.cut_side.sign() * w.law.side_right + 0.0
            }),
            stroke_by: match shot.stroke.tip {
                Some(_) => StrokeBy::Tip,
                None => StrokeBy::Arrives,
            },
            // + 0.0 turns a negative zero into zero
            approach_deg: line.to_degrees() + 0.0,
            cut_deg: found.map(|w| w.cut_rad.abs().to_degrees()),
            cut_side: found.map(|w| w.cut_side.name().to_owned()),
            apart_mm: shot.apart_m() * 1e3,
            cue_travel_mm: found.map(|w| w.aim.travel_m * 1e3),
            object_to_mouth_mm: shot.object.to_vec2().hypot() * 1e3,
            centre_pocket_line_deg: on_plan(line),
            target_offset_deg: found.map(|w| w.target_rad.to_degrees()),
            aim_deg: found.map(|w| on_plan(w.aim_in_pocket_frame_rad())),
            centre_pocket_aim_deg: found
                .and_then(|w| w.centre_aim_rad().map(|a| on_plan(w.approach.base_rad + a))),
            throw_deg: found.map(|w| w.throw_fuller_rad().to_degrees()),
            cue_speed_m_s: found.map(|w| w.cue_speed_m_s),
            object_speed_m_s: acceptance.map(|a| a.object_speed_m_s),
            ghost_ball_mm: found.map(|w| {
                let p = shot.frame.to_plan(w.ghost(shot.object, &w.aim));
                [p.x * 1e3, p.y * 1e3]
            }),
            flags: match window {
                Ok(w) => w.flags.names().map(str::to_owned).collect(),
                Err(no) => vec![no.name().to_owned()],
            },
            clean: part(|w| w.clean),
            direct: part(|w| w.direct),
            drop: part(|w| w.drop),
            first_order: found.and_then(why).map(|w| FirstOrderAnswer {
                of: w.of,
                pocket_opening_deg: w.pocket_opening_rad.to_degrees(),
                distance_factor: w.distance_factor,
                cut_factor: w.cut_factor,
                throw_factor: w.throw_factor,
                first_order_deg: w.first_order_rad().to_degrees(),
            }),
            // what asks for more than a window
            ..Self::default()
        }
    }
}

/// A shot and its solution.
#[derive(Debug, Clone, Copy)]
pub struct Solving<'a> {
    /// What was asked.
    pub shot: &'a Shot,
    /// What was found.
    pub solution: &'a Solution,
}

impl ShotAnswer {
    /// Adds what a player makes of it, with its range over the assumed bounce of jaws and rails. A shot
    /// without a window keeps its nulls but for the name, and a chance of 0 where it cannot be made.
    #[must_use]
    pub fn with_player(
        self,
        gear: &Gear,
        shot: &Shot,
        solution: &Solution,
        player: &Player,
    ) -> Self {
        let straights = Straights::new(gear, &player.error, &shot.stroke);
        let aims = Aims {
            player,
            arm_times: 1.0,
            open_rad: None,
            with_range: true,
        };
        self.with_aims(gear, &straights, &Solving { shot, solution }, &aims)
    }

    /// Adds what a player makes of it from a stance, with this player's straight shots with this stroke
    /// at hand.
    #[must_use]
    pub fn with_aims(
        mut self,
        gear: &Gear,
        straights: &Straights,
        of: &Solving<'_>,
        aims: &Aims<'_>,
    ) -> Self {
        let Solving { shot, solution } = *of;
        let player = aims.player;
        self.player = Some(player.who.clone());
        let Some(aimed) = Aimed::of(gear, shot, solution) else {
            self.chance = chance_without(&solution.window);
            self.chance_low = self.chance;
            self.chance_high = self.chance;
            return self;
        };
        let aimed = Aimed {
            arm_times: aims.arm_times,
            open_rad: aims.open_rad,
            ..aimed
        };
        let c = shot_chance(&aimed, &player.error, straights, aims.with_range);
        self.sigma_deg = Some(c.spread.total_rad().to_degrees());
        self.chance = Some(c.chance);
        self.chance_low = c.range.map(|r| r.low);
        self.chance_high = c.range.map(|r| r.high);
        self.dies_short = Some(c.dies_short);
        // What stands in the way is known for the aim with side alone.
        if aims.with_range && aims.open_rad.is_none() && self.side.abs() > NO_SIDE {
            let without = without_side(gear, shot, &aimed, player);
            self.chance_without_side = without.map(|w| w.chance);
            self.side_adds_throw =
                without.is_some_and(|w| aimed.window.throw_rad.abs() > w.throw_rad.abs());
        }
        self.equal_straight_mm = c.equal.distance_m().map(|m| m * 1e3);
        self.equal_straight = Some(c.equal);
        self.best_aim_deg = c.best.map(|b| {
            let aim = aimed.window.aim_in_pocket_frame_rad();
            degrees_0_360(shot.frame.axis_rad + aim + b.shift_rad)
        });
        self.best_aim_gain = c.best.map(|b| b.gain);
        let by = By {
            player: &player.error,
            sigma_rad: c.spread.total_rad(),
            dies_short: c.dies_short,
        };
        self.why = self.hardness.map(|hard| hard.verdict(Some(by)).into());
        self
    }
}

/// Who aims, from which stance, and whether the range of the chance is wanted.
#[derive(Debug, Clone, Copy)]
pub struct Aims<'a> {
    /// The player.
    pub player: &'a Player,
    /// What the stance widens the arm's part by; 1 at ease.
    pub arm_times: f64,
    /// What other balls leave open, see [`Aimed::open_rad`].
    pub open_rad: Option<&'a [(f64, f64)]>,
    /// Whether the chance is worked out over the assumed bounce of jaws and rails: nine times the work.
    pub with_range: bool,
}

/// Less side than this is none (assumption: it turns no shot by a hundredth of a degree).
pub(super) const NO_SIDE: f64 = 0.02;

/// The same stroke without side.
#[derive(Debug, Clone, Copy)]
struct WithoutSide {
    chance: f64,
    throw_rad: f64,
}

fn without_side(
    gear: &Gear,
    shot: &Shot,
    aimed: &Aimed<'_>,
    player: &Player,
) -> Option<WithoutSide> {
    let mut plain = *shot;
    plain.stroke = plain.stroke.without_side();
    let solution = solve(gear, &plain).ok()?;
    let without = Aimed {
        arm_times: aimed.arm_times,
        ..Aimed::of(gear, &plain, &solution)?
    };
    Some(WithoutSide {
        chance: without.chance(&player.error).chance,
        throw_rad: without.window.throw_rad,
    })
}

/// Name of the flag of a stroke that no stick makes.
const CANNOT_ARRIVE: &str = "cannot-arrive";

/// Chance where there is no window: 0 when nothing drops, unknown when almost anything does
/// or the balls are too close to tell.
pub(crate) fn chance_without(window: &Result<AimWindow, NoWindow>) -> Option<f64> {
    match window {
        Err(NoWindow::NoDrop | NoWindow::TooSteep | NoWindow::OutOfReach | NoWindow::Blocked) => {
            Some(0.0)
        }
        Err(NoWindow::InTheJaws | NoWindow::TooClose) | Ok(_) => None,
    }
}

fn degrees_0_360(rad: f64) -> f64 {
    let deg = rad.to_degrees().rem_euclid(360.0);
    // rem_euclid of a tiny negative number rounds to 360 itself
    if deg >= 360.0 { 0.0 } else { deg }
}

fn window_answer(window: &AimWindow, part: &Window, shot: &Shot) -> WindowAnswer {
    let ghost = |rad: f64| window.ghost_offset_m(rad) * 1e3;
    let tip = |rad: f64| shot.stroke.bridge_m * rad.tan() * 1e3;
    let Component { from_rad, to_rad } = part.object;
    let to_mouth_mm = shot.object.to_vec2().hypot() * 1e3;
    WindowAnswer {
        thick_deg: part.thick_rad.to_degrees(),
        thin_deg: part.thin_rad.to_degrees(),
        total_deg: part.total_rad().to_degrees(),
        thick_ghost_mm: ghost(part.thick_rad),
        thin_ghost_mm: ghost(part.thin_rad),
        thick_contact_mm: part.thick_contact_m * 1e3,
        thin_contact_mm: part.thin_contact_m * 1e3,
        thick_tip_mm: tip(part.thick_rad),
        thin_tip_mm: tip(part.thin_rad),
        from_deg: from_rad.to_degrees(),
        to_deg: to_rad.to_degrees(),
        effective_pocket_mm: to_mouth_mm * (to_rad.tan() - from_rad.tan()),
    }
}

fn pieces(shot: &Shot, solution: &Solution) -> Vec<PieceAnswer> {
    let Some(acceptance) = &solution.acceptance else {
        return Vec::new();
    };
    let aim = |theta: f64| {
        let window = solution.window.as_ref().ok()?;
        let delta = window.aim_for_rad(theta)?;
        Some(degrees_0_360(
            shot.frame.axis_rad + window.aim_in_pocket_frame_rad() + delta,
        ))
    };
    acceptance
        .pieces
        .spans()
        .iter()
        .map(|s| PieceAnswer {
            from_deg: s.from_rad.to_degrees(),
            to_deg: s.to_rad.to_degrees(),
            how: s.tag.name().to_owned(),
            aim_from_deg: aim(s.from_rad),
            aim_to_deg: aim(s.to_rad),
        })
        .collect()
}

fn band_answer(band: &Band) -> BandAnswer {
    let range = |r: &Option<Range>| {
        r.map(|r| RangeAnswer {
            low_deg: r.low_rad.to_degrees(),
            high_deg: r.high_rad.to_degrees(),
        })
    };
    BandAnswer {
        clean: range(&band.clean),
        direct: range(&band.direct),
        drop: range(&band.drop),
    }
}
