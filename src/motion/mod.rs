//! One ball on the cloth: sliding, rolling, meeting cushions, dropping or coming to rest.
//!
//! Limits of the model: the ball stays on the slate; impacts are instantaneous; spin about the
//! vertical does not bend the path (no swerve); friction follows Coulomb's law with constant
//! coefficients. References: model in DEVELOPERS.md; cushion impact in the form of a Newton
//! restitution in plan with Coulomb friction at the nose.

mod feature;
mod impact;
mod leg;
mod meet;
pub(crate) mod outline;
mod phase;
mod ray;
pub(crate) mod roots;
pub(crate) mod surroundings;
pub(crate) mod trace;

pub use feature::{Feature, FeatureKind, Shape};
pub use impact::rebound;
pub use leg::Leg;
pub use phase::{
    BallBody, BallState, Moving, pace_for_start_speed_m_s, start_speed_for_pace_m_s,
    stopping_distance_m,
};
pub use ray::straight_hit;
pub use trace::{End, MotionFault, Step, trace};

pub(crate) use meet::is_straight;
pub(crate) use outline::{Grouped, Held, Met, Outline, Way};
pub(crate) use surroundings::Surroundings;
pub(crate) use trace::{Watch, trace_among, trace_sent_off};
