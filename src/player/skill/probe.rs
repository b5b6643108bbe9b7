//! Tell me more: the shots whose outcome says most about a player.
//!
//! A try tells most where its chance is neither sure nor hopeless and where the parameters
//! pull apart. Shots are taken one after another, each time the one that adds most to
//! `ln det I` (D-optimality), with `I` the information already in the log. Every cut, side and
//! pocket already on the list counts against a shot, so that the list does not repeat itself.

use serde::Serialize;

use crate::player::chance::aim_error::AimError;
use crate::player::fault::PlayerError;
use crate::player::fit::aim_model::{AimModel, BiasForm, Spread};
use crate::player::fit::likelihood::{Likelihood, MAX_PARAMETERS, Matrix, Theta};
use crate::player::fit::observation::{Observation, Recorded};

/// What a shot's gain is multiplied by for every earlier shot on the list that shares a tag
/// with it, once a tag. Assumption: three repeats of one tag halve the gain.
const REPEAT: f64 = 0.8;

/// Standard deviation of what is known beforehand about ln arm and ln picture: a factor e²
/// either way. Keeps the determinant finite with an empty log. Assumption.
const PRIOR_LN_SD: f64 = 2.0;

/// A shot that could be tried.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Candidate {
    /// The shot; its tries and makes do not matter.
    pub shot: Observation,
    /// Cut, as said to people ("half-ball cut").
    pub cut_tag: String,
    /// Side ("left").
    pub side_tag: String,
    /// Pocket ("foot-left").
    pub pocket_tag: String,
}

/// A chosen shot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Probe {
    /// Index among the candidates.
    pub candidate: usize,
    /// Chance the player makes it.
    pub chance: f64,
    /// What one try adds to ln det I, after the shots before it on the list.
    pub gain: f64,
}

/// Picks up to `count` candidates for a player as estimated, given the log so far.
///
/// With a picture part in the estimate, arm and picture are both to be learnt; with sides
/// noted in the log, bias too.
///
/// # Errors
/// [`PlayerError::BadObservation`] for a log row or candidate that cannot be used.
pub fn pick_probes(
    log: &[Observation],
    candidates: &[Candidate],
    estimate: AimError,
    count: usize,
) -> Result<Vec<Probe>, PlayerError> {
    let recorded = Recorded::of(log);
    let sided = recorded != Recorded::Nothing;
    let spread = if estimate.arm_rad > 0.0 && estimate.picture_m > 0.0 {
        Spread::ArmPicture
    } else {
        Spread::Scale
    };
    let bias = match recorded {
        Recorded::Nothing => BiasForm::Given,
        Recorded::FullThin => BiasForm::Fullness,
        Recorded::LeftRight => BiasForm::Common,
    };
    let model = |observations: &[Observation]| {
        AimModel::new(observations, estimate).map(|m| m.with(spread, bias))
    };
    let so_far = model(log)?;
    let mut theta: Theta = so_far.at_scale(0.0);
    theta[spread.parameters()] = estimate.bias_rad;
    let n = so_far.parameters();
    let mut information = so_far.evaluate(&theta).information;
    for (i, row) in information.iter_mut().enumerate().take(n) {
        row[i] += if i < spread.parameters() {
            PRIOR_LN_SD.powi(-2)
        } else {
            // Beforehand a bias is as likely as not within one spread of a metre's shot.
            estimate.sigma_rad(1.0, 0.0).powi(-2)
        };
    }
    let mut tells = Vec::with_capacity(candidates.len());
    for (i, candidate) in candidates.iter().enumerate() {
        candidate.shot.check(i + 1)?;
        let mut shot = candidate.shot.clone();
        (shot.tries, shot.made) = (0, 0);
        shot.sides = sided.then(Default::default);
        tells.push(model(std::slice::from_ref(&shot))?.information_of_one_try(&theta));
    }
    Ok(greedy(
        candidates,
        &tells,
        information,
        Wanted {
            parameters: n,
            count,
            estimate,
        },
    ))
}

/// What is to be picked.
struct Wanted {
    /// Parameters of the model.
    parameters: usize,
    /// Shots on the list.
    count: usize,
    /// Whom they are for.
    estimate: AimError,
}

fn greedy(
    candidates: &[Candidate],
    tells: &[Matrix],
    mut information: Matrix,
    wanted: Wanted,
) -> Vec<Probe> {
    let n = wanted.parameters;
    let mut chosen: Vec<Probe> = Vec::new();
    while chosen.len() < wanted.count {
        let base = ln_det(&information, n);
        let best = (0..candidates.len())
            .filter(|i| chosen.iter().all(|probe| probe.candidate != *i))
            .map(|i| {
                let gain = ln_det(&sum(&information, &tells[i]), n) - base;
                (i, gain, gain * repeats(candidates, &chosen, i))
            })
            .max_by(|a, b| a.2.total_cmp(&b.2));
        let Some((candidate, gain, _)) = best else {
            break;
        };
        information = sum(&information, &tells[candidate]);
        chosen.push(Probe {
            candidate,
            chance: candidates[candidate].shot.chance(&wanted.estimate),
            gain,
        });
    }
    chosen
}

fn repeats(candidates: &[Candidate], chosen: &[Probe], i: usize) -> f64 {
    let own = &candidates[i];
    chosen
        .iter()
        .map(|probe| &candidates[probe.candidate])
        .map(|other| {
            let same = [
                other.cut_tag == own.cut_tag,
                other.side_tag == own.side_tag,
                other.pocket_tag == own.pocket_tag,
            ];
            same.iter()
                .filter(|tag| **tag)
                .fold(1.0, |factor, _| factor * REPEAT)
        })
        .product()
}

fn sum(a: &Matrix, b: &Matrix) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| a[i][j] + b[i][j]))
}

/// ln of the determinant of the leading `n` rows of a positive definite matrix.
fn ln_det(matrix: &Matrix, n: usize) -> f64 {
    let mut lower = [[0.0; MAX_PARAMETERS]; MAX_PARAMETERS];
    let mut total = 0.0;
    for i in 0..n {
        for j in 0..=i {
            let dot: f64 = (0..j).map(|k| lower[i][k] * lower[j][k]).sum();
            let rest = matrix[i][j] - dot;
            if i == j {
                lower[i][i] = rest.max(f64::MIN_POSITIVE).sqrt();
                total += rest.max(f64::MIN_POSITIVE).ln();
            } else {
                lower[i][j] = rest / lower[j][j];
            }
        }
    }
    total
}
