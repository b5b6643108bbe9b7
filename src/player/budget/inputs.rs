//! The error budget of one shot: which input does most harm, and what halving it gains.
//!
//! The result is the object ball's direction off the target. Inputs: the arm, the picture, the
//! tip's offset, the speed and the condition of the balls, all independent and Normal. Their
//! parts add up linearly (JCGM 100:2008, [`super::propagate`]) and are drawn beside it (JCGM
//! 101:2008, [`super::monte_carlo`]); the drawn shots are judged by the directions the pocket
//! accepts, so the rate of makes is simulated, and that of a player with one input halved on
//! the same draws.
//!
//! Limits: speed acts through throw alone (a faster ball is also accepted less), the arm's
//! growth with speed is taken at the intended speed, and the tip acts sideways only. The arm of
//! a player fitted from results already holds what the tip does: there the tip counts twice.

use std::borrow::Cow;

use rand::Rng;
use serde::{Deserialize, Serialize};

use super::monte_carlo::{Agreement, Drawn, compare, draw};
use super::propagate::{Input, Inputs, Linear, linear_with};
use super::spreads::Spreads;
use crate::gear::Gear;
use crate::player::chance::aim_error::{AimError, Balance, Larger};
use crate::player::chance::normal::Z_95;
use crate::player::chance::ratios::Parts;
use crate::player::chance::shot::makes as catches;
use crate::player::fault::PlayerError;
use crate::window::Solved;

/// Tip to the point about which the cue ball's line turns with an offset (pivot length), m.
/// Assumption.
pub const PIVOT_M: f64 = 0.300;
/// Significant digits meant by the linear uncertainty: practice is not steered by the second.
/// Assumption.
const DIGITS: u32 = 1;
/// A gain is told from drawing when it is this many standard errors. Common practice.
const TOLD_ERRORS: f64 = 3.0;
/// Slowest and least rubbed a drawn shot may be, as shares: keeps far tails from turning round.
/// Assumption.
const LEAST_SHARE: f64 = 0.02;
/// Most halvings of a step that sends the cue ball past the object ball.
const MAX_HALVINGS: u32 = 60;
/// How far a cue ball rolls off by the object ball at most, m: a tenth of an inch (published: B. Jewett,
/// "Thin Hits", Billiards Digest, 2004).
const ROLL_OFF_M: f64 = 2.54e-3;
/// Places of it looked at.
const TURNS: u32 = 64;
/// Step where an input does not scatter, in its unit (deg, mm, share).
const SMALL_STEP: f64 = 1e-4;

/// The inputs in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Source {
    /// The stroke's direction.
    Arm,
    /// Seeing the ghost ball.
    Picture,
    /// Where the tip meets the cue ball.
    Tip,
    /// The stroke's speed.
    Speed,
    /// The condition of the balls.
    Balls,
    /// The steady lean of the aim; it does not scatter.
    Lean,
}

impl Source {
    /// Those that scatter, in the order of the inputs.
    pub const SCATTERING: [Self; 5] = [
        Self::Arm,
        Self::Picture,
        Self::Tip,
        Self::Speed,
        Self::Balls,
    ];

    /// As in JSON and CSV.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Arm => "arm",
            Self::Picture => "picture",
            Self::Tip => "tip",
            Self::Speed => "speed",
            Self::Balls => "balls",
            Self::Lean => "lean",
        }
    }

    /// Unit of its spread: `deg`, `mm`, or a share `1`.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Arm | Self::Lean => "deg",
            Self::Picture | Self::Tip => "mm",
            Self::Speed | Self::Balls => "1",
        }
    }
}

/// One shot of one player, ready to be disturbed.
#[derive(Debug, Clone, Copy)]
pub struct Disturbed<'a> {
    /// The shot.
    pub solved: Solved<'a>,
    /// The cue ball's radius, m.
    pub cue_radius_m: f64,
    /// Pivot length of the cue, m.
    pub pivot_m: f64,
    /// The lean of the aim, rad.
    pub bias_rad: f64,
}

/// A cue ball sent with errors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sent {
    /// Object-ball direction relative to the centre-pocket line, rad; past a grazing hit the
    /// direction of that hit, so that it never jumps.
    pub theta_rad: f64,
    /// Whether the cue ball met the object ball at all.
    pub hit: bool,
}

impl<'a> Disturbed<'a> {
    /// From a solved shot.
    #[must_use]
    pub fn new(gear: &Gear, solved: Solved<'a>, bias_rad: f64) -> Self {
        Self {
            solved,
            cue_radius_m: gear.cue_radius_m(),
            pivot_m: gear.cue_pivot_m.unwrap_or(PIVOT_M),
            bias_rad,
        }
    }

    /// Sends the cue ball with errors in the order of [`Source::SCATTERING`]: degrees, mm, mm,
    /// share, share.
    #[must_use]
    pub fn sent(&self, errors: &[f64; 5]) -> Sent {
        let [arm_deg, picture_mm, tip_mm, speed, balls] = *errors;
        let mut window = *self.solved.window;
        let tip_m = 1e-3 * tip_mm;
        // A tip to the right turns the cue ball left by b/L_p and adds right english of 2.5 b/R.
        let turn_rad = self.bias_rad
            + arm_deg.to_radians()
            + 1e-3 * picture_mm / window.aim.travel_m
            + tip_m / self.pivot_m;
        window.law.side_right += 2.5 * tip_m / self.cue_radius_m;
        window.law.speed_m_s *= (1.0 + speed).max(LEAST_SHARE);
        window.law.contact.friction_scale *= (1.0 + balls).max(0.0);
        match window.object_direction_rad(turn_rad) {
            Some(theta_rad) => Sent {
                theta_rad,
                hit: true,
            },
            None => {
                // Turned left past the object ball it would have gone right, and the other way.
                let limit = window
                    .approach
                    .reach_rad()
                    .copysign(-(window.aim.aim_rad + turn_rad));
                let grazing = window.approach.at(limit);
                let (direction, _) = window.approach.object_direction(&window.law, &grazing);
                Sent {
                    theta_rad: direction - window.centre_line_rad,
                    hit: false,
                }
            }
        }
    }

    /// Whether such a shot drops.
    #[must_use]
    pub fn made(&self, sent: Sent) -> bool {
        sent.hit
            && self
                .solved
                .acceptance
                .pieces
                .tag_at(sent.theta_rad)
                .is_some()
    }

    /// Off the target, degrees.
    fn off_deg(&self, sent: Sent) -> f64 {
        (sent.theta_rad - self.solved.window.target_rad).to_degrees()
    }

    /// ∂(direction in degrees)/∂(input) by central differences over one standard uncertainty,
    /// less where that far the cue ball misses.
    fn slope(&self, input: usize, standard_uncertainty: f64) -> f64 {
        let mut step = if standard_uncertainty > 0.0 {
            standard_uncertainty
        } else {
            SMALL_STEP
        };
        let at = |by: f64| {
            let mut errors = [0.0; 5];
            errors[input] = by;
            self.sent(&errors)
        };
        for _ in 0..MAX_HALVINGS {
            let (above, below) = (at(step), at(-step));
            if above.hit && below.hit {
                return (above.theta_rad - below.theta_rad).to_degrees() / (2.0 * step);
            }
            step *= 0.5;
        }
        0.0
    }
}

/// What one input does.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct BudgetRow {
    /// The input.
    pub source: Source,
    /// Unit of its spread: `deg`, `mm` or `1` (a share).
    pub unit: Cow<'static, str>,
    /// Standard uncertainty in that unit.
    pub standard_uncertainty: f64,
    /// Whether nobody gave that spread; whoever asks says so.
    pub assumed: bool,
    /// Degrees of object-ball direction per unit.
    pub sensitivity_deg: f64,
    /// |sensitivity| times spread, degrees of object-ball direction.
    pub contribution_deg: f64,
    /// Share of the variance of the object ball's direction.
    pub share: f64,
    /// Rate of makes with this spread halved, simulated on the same draws.
    pub makes_if_halved: f64,
    /// What that gains.
    pub gain: f64,
    /// Standard error of the gain.
    pub gain_error: f64,
}

/// The change that gains most.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Practise {
    /// What to work on: halve its spread, or for a lean take it away.
    pub source: Source,
    /// Rate of makes then.
    pub makes: f64,
    /// What it gains.
    pub gain: f64,
    /// Standard error of the gain.
    pub gain_error: f64,
}

/// The budget of a shot.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Budget {
    /// The change that gains most; `None` when none gains more than drawing explains.
    pub practise: Option<Practise>,
    /// Whether the player's stroke and sighting are known apart; where not, neither is named as what to
    /// practise.
    pub told_apart: bool,
    /// Rate of makes, simulated with all inputs.
    pub makes: f64,
    /// Its standard error.
    pub makes_error: f64,
    /// Chance with arm, picture and lean alone, from the window.
    pub makes_by_aim_alone: f64,
    /// The same on a table, or with a ball, that turns: by up to a tenth of an inch either way at the
    /// object ball, every place as likely (B. Jewett, "Thin Hits", Billiards Digest, 2004).
    pub makes_if_it_turns: f64,
    /// Each input.
    pub inputs: Vec<BudgetRow>,
    /// The object ball's direction off the target without errors (the lean's doing), degrees.
    pub off_target_deg: f64,
    /// Standard uncertainty of the direction, added up, degrees.
    pub linear_deg: f64,
    /// 95 % interval of that, degrees off the target.
    pub linear_95_deg: (f64, f64),
    /// The simulation, degrees off the target. A missed object ball counts as a grazing hit.
    pub drawn_deg: Drawn,
    /// Share of simulated shots that missed the object ball.
    pub missed_ball: f64,
    /// Whether the two agree.
    pub agreement: Agreement,
}

/// The budget of a solved shot for one player.
///
/// # Errors
/// [`PlayerError::TooFewValues`] under a thousand trials; [`PlayerError::BadInputs`] for spreads
/// that are not finite or negative.
pub fn budget<R: Rng + ?Sized>(
    shot: &Disturbed<'_>,
    player: &AimError,
    spreads: &Spreads,
    trials: usize,
    rng: &mut R,
) -> Result<Budget, PlayerError> {
    let inputs = inputs_of(shot, player, spreads)?;
    let sensitivities: Vec<f64> = inputs
        .items()
        .iter()
        .enumerate()
        .map(|(i, input)| shot.slope(i, input.standard_uncertainty))
        .collect();
    let linear = linear_with(&inputs, shot.off_deg(shot.sent(&[0.0; 5])), &sensitivities);
    let mut tally = Tally {
        aimed: 1.0 - player.wild_share,
        ..Tally::default()
    };
    let ratios = Drawing::new(player);
    let drawn = draw(&inputs, trials, rng, |point| {
        let errors = ratios.errors(tally.trials, point);
        tally.one(shot, &errors)
    })?;
    let inputs = rows(&inputs, &linear, &tally);
    let makes = tally.rate(tally.made);
    let reach = Z_95 * linear.standard_uncertainty;
    let catching = catches(shot.solved);
    let (travel_m, speed_m_s) = (
        shot.solved.window.aim.travel_m,
        shot.solved.window.cue_speed_m_s,
    );
    let caught = |turn_rad: f64| {
        AimError {
            bias_rad: shot.bias_rad + turn_rad,
            ..*player
        }
        .caught(&catching, travel_m, speed_m_s)
    };
    let larger = match player.balance {
        Balance::Given => Named::Both,
        Balance::Between { .. } => player
            .larger(travel_m, speed_m_s)
            .map_or(Named::Neither, Named::One),
    };
    Ok(Budget {
        practise: most(&inputs, &tally, larger),
        told_apart: larger != Named::Neither,
        makes,
        makes_error: (makes * (1.0 - makes) / f64::from(tally.trials.max(1))).sqrt(),
        makes_by_aim_alone: caught(0.0),
        makes_if_it_turns: (0..TURNS)
            .map(|k| {
                let share = (f64::from(k) + 0.5) / f64::from(TURNS);
                let turn_rad = (2.0 * share - 1.0) * ROLL_OFF_M / travel_m;
                caught(turn_rad)
            })
            .sum::<f64>()
            / f64::from(TURNS),
        inputs,
        off_target_deg: linear.value,
        linear_deg: linear.standard_uncertainty,
        linear_95_deg: (linear.value - reach, linear.value + reach),
        agreement: agreement(&linear, &drawn),
        drawn_deg: drawn,
        missed_ball: tally.share(tally.missed_ball),
    })
}

fn inputs_of(
    shot: &Disturbed<'_>,
    player: &AimError,
    spreads: &Spreads,
) -> Result<Inputs, PlayerError> {
    let (arm, picture) = Drawing::new(player).spread();
    let spread = [
        arm * player
            .arm_at_rad(shot.solved.window.cue_speed_m_s)
            .to_degrees(),
        1e3 * picture * player.picture_m,
        1e3 * spreads.tip_m,
        spreads.speed_share,
        spreads.balls_share,
    ];
    Inputs::new(
        Source::SCATTERING
            .iter()
            .zip(spread)
            .map(|(source, u)| Input::normal(source.name(), 0.0, u))
            .collect(),
    )
}

/// Which of stroke and sighting may be named as what to practise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Named {
    /// The player is given or assumed: whichever gains more.
    Both,
    /// The one that the tries show to be the larger.
    One(Larger),
    /// The tries do not tell.
    Neither,
}

/// Errors drawn over the ratios of picture to arm that the tries allow.
struct Drawing {
    ratios: Vec<Parts>,
}

/// Step between draws that spreads them evenly over shares, however many there are: the golden ratio's
/// fraction.
const EVENLY: f64 = 0.618_033_988_749_894_9;

impl Drawing {
    fn new(player: &AimError) -> Self {
        Self {
            ratios: if player.told_apart {
                vec![Parts::AS_THEY_ARE]
            } else {
                player.ratios.iter().copied().collect()
            },
        }
    }

    /// Factors on arm and picture whose squares are the means of the squares.
    fn spread(&self) -> (f64, f64) {
        let mean = |part: fn(&Parts) -> f64| {
            let squares = self.ratios.iter().map(|p| p.weight * part(p).powi(2));
            squares.sum::<f64>().sqrt()
        };
        (mean(|p| p.arm), mean(|p| p.picture))
    }

    /// The errors of a draw: with a ratio of its own.
    fn errors(&self, trial: u32, point: &[f64]) -> [f64; 5] {
        let mut errors: [f64; 5] = std::array::from_fn(|i| point.get(i).copied().unwrap_or(0.0));
        if let [_, _, ..] = self.ratios[..] {
            let mut left = (f64::from(trial) * EVENLY).fract();
            let found = self.ratios.iter().find(|p| {
                left -= p.weight;
                left < 0.0
            });
            let (arm, picture) = self.spread();
            let at = found.or(self.ratios.last()).unwrap_or(&Parts::AS_THEY_ARE);
            errors[0] *= at.arm / arm;
            errors[1] *= at.picture / picture;
        }
        errors
    }
}

/// Makes of the drawn shots: as they are, with each input halved, and without the lean.
#[derive(Debug, Default)]
struct Tally {
    trials: u32,
    made: u32,
    missed_ball: u32,
    /// Share of strokes that do not go wild.
    aimed: f64,
    /// Makes gained and lost by each change.
    gained: [u32; 6],
    lost: [u32; 6],
}

impl Tally {
    fn one(&mut self, shot: &Disturbed<'_>, errors: &[f64; 5]) -> f64 {
        let sent = shot.sent(errors);
        let made = shot.made(sent);
        self.trials += 1;
        self.made += u32::from(made);
        self.missed_ball += u32::from(!sent.hit);
        let straight = Disturbed {
            bias_rad: 0.0,
            ..*shot
        };
        for change in 0..6 {
            let then = match errors.get(change) {
                Some(_) => {
                    let mut halved = *errors;
                    halved[change] *= 0.5;
                    shot.made(shot.sent(&halved))
                }
                None => straight.made(straight.sent(errors)),
            };
            self.gained[change] += u32::from(then && !made);
            self.lost[change] += u32::from(made && !then);
        }
        shot.off_deg(sent)
    }

    fn share(&self, count: u32) -> f64 {
        f64::from(count) / f64::from(self.trials.max(1))
    }

    /// As a share of all strokes, the wild ones too.
    fn rate(&self, count: u32) -> f64 {
        self.aimed * self.share(count)
    }

    /// Gain of a change and its standard error; shots are the same, so only changes count.
    fn gain(&self, change: usize) -> (f64, f64) {
        let (up, down) = (self.rate(self.gained[change]), self.rate(self.lost[change]));
        let gain = up - down;
        let variance = up + down - gain * gain;
        (gain, (variance / f64::from(self.trials.max(1))).sqrt())
    }
}

fn rows(inputs: &Inputs, linear: &Linear, tally: &Tally) -> Vec<BudgetRow> {
    let makes = tally.rate(tally.made);
    Source::SCATTERING
        .iter()
        .zip(inputs.items().iter().zip(&linear.contributions))
        .enumerate()
        .map(|(i, (&source, (input, part)))| {
            let (gain, gain_error) = tally.gain(i);
            BudgetRow {
                source,
                unit: source.unit().into(),
                standard_uncertainty: input.standard_uncertainty,
                assumed: false,
                sensitivity_deg: part.sensitivity,
                contribution_deg: part.contribution,
                share: part.share,
                makes_if_halved: makes + gain,
                gain,
                gain_error,
            }
        })
        .collect()
}

/// The change that gains most, if drawing does not explain it.
fn most(rows: &[BudgetRow], tally: &Tally, named: Named) -> Option<Practise> {
    let (lean_gain, lean_error) = tally.gain(Source::SCATTERING.len());
    // Which of stroke and sighting it is may rest on a ratio that nobody knows.
    let known = |source: Source| {
        !matches!(
            (source, named),
            (Source::Arm, Named::One(Larger::Picture) | Named::Neither)
                | (Source::Picture, Named::One(Larger::Arm) | Named::Neither)
        )
    };
    rows.iter()
        .map(|row| (row.source, row.gain, row.gain_error))
        .chain([(Source::Lean, lean_gain, lean_error)])
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|(source, gain, error)| known(*source) && *gain > TOLD_ERRORS * error)
        .map(|(source, gain, gain_error)| Practise {
            source,
            makes: tally.rate(tally.made) + gain,
            gain,
            gain_error,
        })
}

/// Compares as JCGM 101 §8 and says it in degrees.
fn agreement(linear: &Linear, drawn: &Drawn) -> Agreement {
    let reach = Z_95 * linear.standard_uncertainty;
    let mut agreement = compare(linear, drawn, DIGITS);
    if !agreement.agrees {
        agreement.warning = Some(format!(
            "adding up gives {} to {}, the simulation {} to {} (95 in 100): they disagree, so trust the simulation",
            aside(linear.value - reach),
            aside(linear.value + reach),
            aside(drawn.symmetric_95.0),
            aside(drawn.symmetric_95.1)
        ));
    }
    agreement
}

/// Degrees off the target in words: `3.1° left`.
pub(crate) fn aside(deg: f64) -> String {
    format!(
        "{:.1}° {}",
        deg.abs(),
        if deg > 0.0 { "left" } else { "right" }
    )
}
