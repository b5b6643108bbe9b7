//! One shot as data.

use serde::{Deserialize, Serialize};

use crate::gear::Gear;
use crate::player::{Player, Straights, awkward_chance_by};
use crate::pocket::{Acceptance, Component};
use crate::window::{
    AimWindow, Band, NoWindow, Range, Shot, Solution, Window, stroke_lengths, why,
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

/// The factors of the first-order window.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct WhyAnswer {
    /// Which window is explained.
    pub of: String,
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
    /// Roll ratio at contact.
    pub roll: f64,
    /// Side ratio, outside positive.
    pub side: f64,
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
    /// Spread of the player's aim on this shot.
    pub sigma_deg: Option<f64>,
    /// Chance to make it, times ten.
    pub makes_in_ten: Option<f64>,
    /// Direction that is best for this player, within the untouched part.
    pub best_aim_deg: Option<f64>,
    /// What that gains over `aim_deg`, times ten.
    pub best_aim_gain_in_ten: Option<f64>,
    /// As hard as a straight shot with this between the balls and this to the pocket; null when
    /// nearer or farther than any on the table.
    pub equal_straight_mm: Option<f64>,
    /// What to know: truncated, too-fast, no-clean-part, out-of-reach, too-close, no-drop, in-the-jaws, blocked.
    pub flags: Vec<String>,
    /// Goes in untouched.
    pub clean: Option<WindowAnswer>,
    /// Untouched or off the jaws.
    pub direct: Option<WindowAnswer>,
    /// At all.
    pub drop: Option<WindowAnswer>,
    /// The factors.
    pub why: Option<WhyAnswer>,
    /// Over the assumptions, when asked for.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub band: Option<BandAnswer>,
    /// All accepted directions.
    pub pieces: Vec<PieceAnswer>,
}

impl ShotAnswer {
    /// The answer to a solved shot.
    #[must_use]
    pub fn new(gear: &Gear, shot: &Shot, solution: &Solution, band: Option<&Band>) -> Self {
        Self {
            band: band.map(band_answer),
            pieces: pieces(shot, solution),
            stroke_lengths: solution.window.as_ref().ok().and_then(|w| {
                stroke_lengths(gear, w.cue_speed_m_s, w.law.roll, w.aim.travel_m).ok()
            }),
            ..Self::brief(gear, shot, solution.acceptance.as_ref(), &solution.window)
        }
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
            pace_m_s: shot.stroke.pace_m_s,
            stroke_lengths: None,
            roll: shot.stroke.roll,
            side: shot.stroke.side,
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
            player: None,
            sigma_deg: None,
            makes_in_ten: None,
            equal_straight_mm: None,
            best_aim_deg: None,
            best_aim_gain_in_ten: None,
            flags: match window {
                Ok(w) => w.flags.names().map(str::to_owned).collect(),
                Err(no) => vec![no.name().to_owned()],
            },
            clean: part(|w| w.clean),
            direct: part(|w| w.direct),
            drop: part(|w| w.drop),
            band: None,
            pieces: Vec::new(),
            why: found.and_then(why).map(|w| WhyAnswer {
                of: w.of.to_owned(),
                pocket_opening_deg: w.pocket_opening_rad.to_degrees(),
                distance_factor: w.distance_factor,
                cut_factor: w.cut_factor,
                throw_factor: w.throw_factor,
                first_order_deg: w.first_order_rad().to_degrees(),
            }),
        }
    }
}

impl ShotAnswer {
    /// Adds what a player makes of it. A shot without a window keeps its nulls but for the name,
    /// and a chance of 0 where it cannot be made.
    #[must_use]
    pub fn with_player(
        self,
        gear: &Gear,
        shot: &Shot,
        solution: &Solution,
        player: &Player,
    ) -> Self {
        self.with_stance(gear, shot, solution, (player, 1.0))
    }

    /// The same from a stance that widens the arm's part of the player's error by a factor.
    #[must_use]
    pub fn with_stance(
        self,
        gear: &Gear,
        shot: &Shot,
        solution: &Solution,
        (player, arm_factor): (&Player, f64),
    ) -> Self {
        let straights = Straights::new(gear, &player.error, &shot.stroke);
        self.with_stance_by(&straights, shot, solution, (player, arm_factor))
    }

    /// The same with this player's straight shots with this stroke at hand.
    #[must_use]
    pub fn with_stance_by(
        mut self,
        straights: &Straights,
        shot: &Shot,
        solution: &Solution,
        (player, arm_factor): (&Player, f64),
    ) -> Self {
        self.player = Some(player.who.clone());
        let Ok(solved) = solution.solved() else {
            self.makes_in_ten = chance_without(&solution.window);
            return self;
        };
        let window = solved.window;
        let aimed = (&player.error, arm_factor);
        let c = awkward_chance_by(straights, solved, aimed);
        self.sigma_deg = Some(c.sigma_rad.to_degrees());
        self.makes_in_ten = Some(10.0 * c.chance);
        self.equal_straight_mm = c.equal.distance_m().map(|m| m * 1e3);
        self.best_aim_deg = c.best.map(|b| {
            degrees_0_360(shot.frame.axis_rad + window.aim_in_pocket_frame_rad() + b.shift_rad)
        });
        self.best_aim_gain_in_ten = c.best.map(|b| 10.0 * b.gain);
        self
    }
}

/// Makes in ten where there is no window: 0 when nothing drops, unknown when almost anything does
/// or the balls are too close to tell.
pub(crate) fn chance_without(window: &Result<AimWindow, NoWindow>) -> Option<f64> {
    match window {
        Err(NoWindow::NoDrop | NoWindow::OutOfReach | NoWindow::Blocked) => Some(0.0),
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
