//! What spread explains these tries?
//!
//! Tries are [`observation`]s; [`aim_model`] gives their likelihood, [`likelihood`] climbs to its
//! top, [`profile`] takes intervals off it and [`mod@goodness`] says whether the model holds. The
//! answer is an [`aim_fit`].

pub mod aim_fit;
pub mod aim_model;
pub mod goodness;
pub mod likelihood;
pub mod observation;
mod outcomes;
pub mod profile;
pub mod proportion;
mod ratio;
pub mod regression;

pub use likelihood::{
    Evaluation, Likelihood, MAX_PARAMETERS, Matrix, Maximum, Theta, maximise, observed_covariance,
};
