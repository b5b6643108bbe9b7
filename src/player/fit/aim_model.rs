//! What a player's makes and misses say about the aim: the likelihood.
//!
//! Per try, the direction error δ is Normal with the σ of [`crate::player::chance::aim_error`]. A try at a window
//! ends in one of three ways: made (δ in the window), too full or too thin (δ beside it, or in
//! a gap, on the one or the other side of the interval aimed into). Where the side of a miss
//! was not noted, only made and missed are told apart; that is sound as long as noting a side
//! does not depend on which side it was. A ball left short or scratched is a miss of no side.

use std::sync::Arc;

use rayon::prelude::*;

use super::goodness::FittedRow;
use super::likelihood::{Evaluation, Likelihood, MAX_PARAMETERS, Matrix, Maximum, Theta};
use super::observation::Observation;
use super::outcomes::{Row, add_up};
use crate::player::chance::aim_error::AimError;
use crate::player::fault::PlayerError;
use crate::units::Side;

/// How far from the reference arm, picture or scale a search may go, in ln: a factor of about
/// 1000, which at the low end is as good as none of it. Assumption.
const LN_RANGE: f64 = 7.0;

/// Largest growth of the arm per m/s that is believed: doubling with every half metre per
/// second. Assumption.
const GROWTH_MAX_PER_M_S: f64 = 2.0;

/// Largest share of wild strokes that is believed: a player with more is no longer a steady one with a
/// few misses. Assumption.
const WILD_MAX: f64 = 0.3;

/// Where the search for it starts: at none at all a wild miss of an easy shot could not have been.
const WILD_START: f64 = 0.02;

/// Shots per piece of work when a long log is spread over the cores: about 0.1 ms. Assumption.
const CHUNK: usize = 1024;

/// What of the spread is fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spread {
    /// One factor on a reference player's arm and picture.
    Scale,
    /// Arm and picture, growth as in the reference.
    ArmPicture,
    /// Arm, picture and the arm's growth with speed.
    ArmPictureGrowth,
}

impl Spread {
    /// Number of parameters.
    #[must_use]
    pub fn parameters(self) -> usize {
        match self {
            Self::Scale => 1,
            Self::ArmPicture => 2,
            Self::ArmPictureGrowth => 3,
        }
    }
}

/// What of the bias is fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BiasForm {
    /// Nothing: the reference player's bias holds.
    Given,
    /// One angle towards the fuller hit, whichever way a shot cuts.
    Fullness,
    /// One angle for all shots; of a shot of which nobody said which way it cuts nothing.
    Common,
    /// One angle for left cuts, one for right cuts.
    ByCut,
}

impl BiasForm {
    /// Number of parameters.
    #[must_use]
    pub fn parameters(self) -> usize {
        match self {
            Self::Given => 0,
            Self::Fullness | Self::Common => 1,
            Self::ByCut => 2,
        }
    }
}

/// A stroke test's say in the arm: `df · (s/a)²` is chi-square with `df` degrees of freedom,
/// with `a` the arm at the test's speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArmEvidence {
    /// Readings less one.
    pub df: f64,
    /// Standard deviation of the readings' directions.
    pub sd_rad: f64,
    /// Cue-ball speed in the test.
    pub cue_speed_m_s: f64,
}

/// The likelihood of a log under a spread and a bias form.
#[derive(Debug, Clone, PartialEq)]
pub struct AimModel {
    rows: Arc<[Row]>,
    reference: AimError,
    spread: Spread,
    bias: BiasForm,
    arm_evidence: Option<ArmEvidence>,
    /// Whether some strokes may go wild; their share is the last parameter.
    wild: bool,
}

impl AimModel {
    /// A model of checked observations; tries at the same shot are added up.
    ///
    /// # Errors
    /// [`PlayerError::BadObservation`] for a row that cannot be used.
    pub fn new(observations: &[Observation], reference: AimError) -> Result<Self, PlayerError> {
        let rows = add_up(observations)?;
        Ok(Self {
            rows: rows.into(),
            reference,
            spread: Spread::Scale,
            bias: BiasForm::Given,
            arm_evidence: None,
            wild: false,
        })
    }

    /// The same tries with other parameters fitted.
    #[must_use]
    pub fn with(&self, spread: Spread, bias: BiasForm) -> Self {
        Self {
            spread,
            bias,
            ..self.clone()
        }
    }

    /// The same tries where some strokes may go wild: a miscue, somebody calls.
    #[must_use]
    pub fn with_wild_strokes(&self) -> Self {
        Self {
            wild: true,
            ..self.clone()
        }
    }

    /// The same tries on a reference player whose ratio of picture to arm is e^`ln_times` of this one's,
    /// at about the same spread.
    pub(super) fn at_ratio(&self, ln_times: f64) -> Self {
        let half = (0.5 * ln_times).exp();
        Self {
            reference: AimError {
                arm_rad: self.reference.arm_rad / half,
                picture_m: self.reference.picture_m * half,
                ..self.reference
            },
            ..self.clone()
        }
    }

    /// The reference player's picture over its arm, m.
    pub(super) fn ratio_m(&self) -> f64 {
        self.reference.picture_m / self.reference.arm_rad
    }

    /// Which parameter is the share of wild strokes.
    pub(super) fn wild_at(&self) -> Option<usize> {
        self.wild
            .then(|| self.spread.parameters() + self.bias.parameters())
    }

    /// The same tries together with a stroke test (only arm and picture models use it).
    pub(crate) fn with_arm_evidence(&self, evidence: ArmEvidence) -> Self {
        Self {
            arm_evidence: Some(evidence),
            ..self.clone()
        }
    }

    /// The player that a parameter vector stands for, for a cut to one side.
    #[must_use]
    pub fn player(&self, theta: &Theta, cut: Side) -> AimError {
        let k = self.spread.parameters();
        let bias_rad = match (self.bias, cut) {
            (BiasForm::Given, _) => self.reference.bias_rad,
            (BiasForm::Common, _) | (BiasForm::Fullness | BiasForm::ByCut, Side::Left) => theta[k],
            // Fuller is to the left of the aim on a left cut, to the right of it on a right cut.
            (BiasForm::Fullness, Side::Right) => -theta[k],
            (BiasForm::ByCut, Side::Right) => theta[k + 1],
        };
        let wild_share = self
            .wild_at()
            .map_or(self.reference.wild_share, |at| theta[at]);
        match self.spread {
            Spread::Scale => AimError {
                bias_rad,
                wild_share,
                ..self.reference.scaled(theta[0].exp())
            },
            Spread::ArmPicture => AimError {
                arm_rad: theta[0].exp(),
                picture_m: theta[1].exp(),
                bias_rad,
                wild_share,
                ..self.reference
            },
            Spread::ArmPictureGrowth => AimError {
                arm_rad: theta[0].exp(),
                picture_m: theta[1].exp(),
                bias_rad,
                wild_share,
                arm_growth_per_m_s: theta[2],
                ..self.reference
            },
        }
    }

    /// Fitted makes and misses by shot, for the statistics.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "counts were whole numbers"
    )]
    pub fn fitted(&self, top: &Maximum) -> Vec<FittedRow> {
        self.rows
            .iter()
            .map(|row| {
                let player = self.player_at(&top.theta, row);
                let cells = row.cells(
                    player.sigma_rad(row.cue_travel_m, row.cue_speed_m_s),
                    player.bias_rad,
                );
                let aimed = 1.0 - player.wild_share;
                FittedRow {
                    tries: row.tries() as u64,
                    made: row.counts.made as u64,
                    chance: aimed * cells.made,
                    miss_chance: aimed * (cells.below + cells.above) + player.wild_share,
                }
            })
            .collect()
    }

    /// What one try at the (first) shot tells, whatever its outcome: the expected information.
    pub(crate) fn information_of_one_try(&self, theta: &Theta) -> Matrix {
        let mut one = Evaluation::empty();
        if let Some(row) = self.rows.first() {
            self.add_row(&mut one, row, &self.player_at(theta, row), 1.0);
        }
        one.information
    }

    /// Shares of arm, speed and picture in the variance of the aim, where the misses happened:
    /// each shot counts by its misses. Speed is what the arm's growth adds to the arm at rest.
    pub(crate) fn shares_of_misses(&self, theta: &Theta) -> [f64; 3] {
        let mut sums = [0.0; 3];
        for row in self.rows.iter() {
            let player = self.player(theta, row.cut);
            let lift = 1.0 + player.arm_growth_per_m_s * row.cue_speed_m_s;
            let arm = player.arm_rad.powi(2);
            let parts = [
                arm,
                arm * (lift * lift - 1.0),
                (player.picture_m / row.cue_travel_m).powi(2),
            ];
            let weight = (row.tries() - row.counts.made) / parts.iter().sum::<f64>();
            for (sum, part) in sums.iter_mut().zip(parts) {
                *sum += weight * part;
            }
        }
        let total: f64 = sums.iter().sum();
        sums.map(|sum| sum / total)
    }

    /// Adds a row played by `player`; `weight_tries` tries' worth of information.
    fn add_row(&self, sum: &mut Evaluation, row: &Row, player: &AimError, weight_tries: f64) {
        let sigma_rad = player.sigma_rad(row.cue_travel_m, row.cue_speed_m_s);
        let score = row.score(sigma_rad, player.bias_rad, player.wild_share, weight_tries);
        sum.ln_likelihood += score.ln_likelihood;
        // From (ln σ, bias, wild) to the parameters: the spread's share in ln σ by their slopes, the
        // others go straight to their own place.
        let k = self.spread.parameters();
        let slopes = self.ln_sigma_slope(player, row, sigma_rad);
        for i in 0..k {
            sum.gradient[i] += slopes[i] * score.gradient[0];
            for j in 0..k {
                sum.information[i][j] += slopes[i] * slopes[j] * score.information[0][0];
            }
        }
        let own = [self.bias_at(row), self.wild_at().map(|at| (at, 1.0))];
        for (along, at) in (1..).zip(own) {
            let Some((at, sign)) = at else {
                continue;
            };
            sum.gradient[at] += sign * score.gradient[along];
            sum.information[at][at] += score.information[along][along];
            for (i, slope) in slopes.iter().enumerate().take(k) {
                sum.information[i][at] += sign * slope * score.information[0][along];
                sum.information[at][i] += sign * slope * score.information[0][along];
            }
        }
        if let [Some((bias, sign)), Some((wild, _))] = own {
            sum.information[bias][wild] += sign * score.information[1][2];
            sum.information[wild][bias] += sign * score.information[1][2];
        }
    }

    /// Which parameter is the bias of a row, and its sign there.
    fn bias_at(&self, row: &Row) -> Option<(usize, f64)> {
        let first = self.spread.parameters();
        match (self.bias, row.cut) {
            (BiasForm::Given, _) => None,
            (BiasForm::Fullness, Side::Left) => Some((first, 1.0)),
            (BiasForm::Fullness, Side::Right) => Some((first, -1.0)),
            (BiasForm::Common | BiasForm::ByCut, _) if !row.cut_told => None,
            (BiasForm::Common, _) => Some((first, 1.0)),
            (BiasForm::ByCut, cut) => Some((first + usize::from(cut == Side::Right), 1.0)),
        }
    }

    /// The player of a row.
    fn player_at(&self, theta: &Theta, row: &Row) -> AimError {
        let player = self.player(theta, row.cut);
        match self.bias_at(row) {
            Some(_) => player,
            None => AimError {
                bias_rad: self.reference.bias_rad,
                ..player
            },
        }
    }

    fn sum_of(&self, rows: &[Row], theta: &Theta) -> Evaluation {
        let mut sum = Evaluation::empty();
        for row in rows {
            self.add_row(&mut sum, row, &self.player_at(theta, row), row.tries());
        }
        sum
    }

    /// ∂ ln σ / ∂ of the spread's parameters.
    fn ln_sigma_slope(&self, player: &AimError, row: &Row, sigma_rad: f64) -> [f64; 3] {
        let lift = 1.0 + player.arm_growth_per_m_s * row.cue_speed_m_s;
        match self.spread {
            Spread::Scale => [1.0, 0.0, 0.0],
            // σ² = (arm·lift)² + (picture/t)²: each part's slope is its share of the variance.
            Spread::ArmPicture | Spread::ArmPictureGrowth => {
                let arm_share = (player.arm_rad * lift / sigma_rad).powi(2);
                [
                    arm_share,
                    1.0 - arm_share,
                    arm_share * row.cue_speed_m_s / lift,
                ]
            }
        }
    }

    fn add_evidence(&self, sum: &mut Evaluation, theta: &Theta) {
        let (Some(evidence), true) = (self.arm_evidence, self.spread != Spread::Scale) else {
            return;
        };
        let player = self.player(theta, Side::Left);
        let lift = 1.0 + player.arm_growth_per_m_s * evidence.cue_speed_m_s;
        let ratio = (evidence.sd_rad / (player.arm_rad * lift)).powi(2);
        // ln L = −df (ln a + s²/2a²), in ln a: slope df (s²/a² − 1), information 2 df.
        sum.ln_likelihood -= evidence.df * ((player.arm_rad * lift).ln() + 0.5 * ratio);
        let mut slope = [0.0; MAX_PARAMETERS];
        slope[0] = 1.0;
        if self.spread == Spread::ArmPictureGrowth {
            slope[2] = evidence.cue_speed_m_s / lift;
        }
        for i in 0..MAX_PARAMETERS {
            sum.gradient[i] += evidence.df * (ratio - 1.0) * slope[i];
            for j in 0..MAX_PARAMETERS {
                sum.information[i][j] += 2.0 * evidence.df * slope[i] * slope[j];
            }
        }
    }

    /// Whether the reference has both an arm and a picture, so that a fit can start there.
    pub(crate) fn has_both_parts(&self) -> bool {
        self.reference.arm_rad > 0.0 && self.reference.picture_m > 0.0
    }

    /// The parameters that stand for the reference player times e^`ln_scale`.
    pub(crate) fn at_scale(&self, ln_scale: f64) -> Theta {
        let mut theta = [0.0; MAX_PARAMETERS];
        match self.spread {
            Spread::Scale => theta[0] = ln_scale,
            Spread::ArmPicture | Spread::ArmPictureGrowth => {
                theta[0] = self.reference.arm_rad.ln() + ln_scale;
                theta[1] = self.reference.picture_m.ln() + ln_scale;
                if self.spread == Spread::ArmPictureGrowth {
                    theta[2] = self.reference.arm_growth_per_m_s;
                }
            }
        }
        if let Some(at) = self.wild_at() {
            theta[at] = WILD_START;
        }
        theta
    }

    /// Parameters for this model from the answer of one with the same spread, or with a factor where this
    /// one has arm and picture: what it had not starts at nothing.
    pub(super) fn start_from(&self, other: &Self, theta: &Theta) -> Theta {
        let mut start = if self.spread == other.spread {
            *theta
        } else {
            self.at_scale(theta[0])
        };
        let (first, had) = (self.spread.parameters(), other.spread.parameters());
        let lean = match other.bias {
            BiasForm::Given => [0.0; 2],
            BiasForm::Common => [theta[had]; 2],
            BiasForm::Fullness => [theta[had], -theta[had]],
            BiasForm::ByCut => [theta[had], theta[had + 1]],
        };
        for (k, lean) in lean.iter().enumerate().take(self.bias.parameters()) {
            start[first + k] = *lean;
        }
        if let Some(at) = self.wild_at() {
            start[at] = other.wild_at().map_or(WILD_START, |at| theta[at]);
        }
        start
    }

    /// Which parameter is the first of the lean.
    pub(super) fn lean_at(&self) -> usize {
        self.spread.parameters()
    }
}

impl Likelihood for AimModel {
    fn parameters(&self) -> usize {
        self.spread.parameters() + self.bias.parameters() + usize::from(self.wild)
    }

    fn name(&self, parameter: usize) -> String {
        let spread: &[&str] = match self.spread {
            Spread::Scale => &["the spread"],
            Spread::ArmPicture | Spread::ArmPictureGrowth => {
                &["the arm", "the picture", "the stroke's growth with speed"]
            }
        };
        if Some(parameter) == self.wild_at() {
            return "the share of wild strokes".to_owned();
        }
        if parameter < self.spread.parameters() {
            spread
                .get(parameter)
                .copied()
                .unwrap_or("the spread")
                .to_owned()
        } else {
            match self.bias {
                BiasForm::ByCut if parameter == self.spread.parameters() => {
                    "the bias on left cuts".to_owned()
                }
                BiasForm::ByCut => "the bias on right cuts".to_owned(),
                BiasForm::Fullness | BiasForm::Common | BiasForm::Given => "the bias".to_owned(),
            }
        }
    }

    fn start(&self) -> Theta {
        // Far from the answer the likelihood is flat, so the search starts at the best of a
        // few scales, each e times the last.
        [-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0]
            .map(|ln_scale| self.at_scale(ln_scale))
            .map(|theta| (self.evaluate(&theta).ln_likelihood, theta))
            .into_iter()
            .fold((f64::NEG_INFINITY, self.at_scale(0.0)), |best, next| {
                if next.0 > best.0 { next } else { best }
            })
            .1
    }

    fn bounds(&self, parameter: usize) -> (f64, f64) {
        let centre = self.at_scale(0.0);
        match self.spread {
            _ if Some(parameter) == self.wild_at() => (0.0, WILD_MAX),
            _ if parameter >= self.spread.parameters() => (f64::NEG_INFINITY, f64::INFINITY),
            Spread::ArmPictureGrowth if parameter == 2 => (0.0, GROWTH_MAX_PER_M_S),
            _ => (centre[parameter] - LN_RANGE, centre[parameter] + LN_RANGE),
        }
    }

    fn evaluate(&self, theta: &Theta) -> Evaluation {
        // Chunks of a fixed size, added in order: the same digits on any number of cores.
        let parts: Vec<Evaluation> = if self.rows.len() > 2 * CHUNK {
            self.rows
                .par_chunks(CHUNK)
                .map(|rows| self.sum_of(rows, theta))
                .collect()
        } else {
            self.rows
                .chunks(CHUNK)
                .map(|rows| self.sum_of(rows, theta))
                .collect()
        };
        let mut sum = Evaluation::empty();
        for part in &parts {
            sum.add(part);
        }
        self.add_evidence(&mut sum, theta);
        sum
    }
}
