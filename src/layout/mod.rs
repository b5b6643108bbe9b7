//! A table with all its balls: which shot to play, what is in the way, where the cue ball goes.
//!
//! Every shot is the same pull-back: directions in which the ball to be pocketed drops, minus those
//! blocked by other balls, pulled back through one contact (or two, in a combination) to cue-ball
//! directions, minus those blocked on the cue ball's way. A bank is the same with cushions allowed
//! in between, a kick with cushions before the first contact.
//!
//! Limits: one ball moves at a time. The ball that was hit is out of the way of the cue ball and
//! the cue ball out of its way (no double kisses); a ball that is run into ends the path; a cue ball
//! does not slow down before the first contact (its speed there is what counts). The player's
//! error is in direction only, and the stroke stays the same.
//! References: those of [`crate::window`]; Alciatore, 30° and 90° rules, Colorado State University.

mod answer;
mod bank;
mod candidate;
mod chance;
mod combination;
mod cueball;
mod decide;
pub(crate) mod direct;
mod fault;
mod file;
mod follow;
mod force;
mod kick;
mod leave;
mod legal;
mod miss;
mod obstruct;
mod past;
mod places;
pub(crate) mod play;
mod rank;
mod reach;
mod request;
pub(crate) mod scratch;
mod sectors;
mod stance;
mod table;
mod words;

pub use answer::{
    ChoiceAnswer, End, EndAnswer, GameAnswer, LeastBadAnswer, NotOn, Place, RefusedAnswer,
    ShotChoice, StanceAnswer,
};
pub use bank::{BANK_SPEEDS_M_S, banks};
pub(crate) use candidate::line_m;
pub use candidate::{AimSpread, Candidate, Family, Refusal, Unseen};
pub use chance::{Plays, chance_over_speeds};
pub(crate) use chance::{as_intended, made};
pub use combination::combinations;
pub use cueball::{CueEnd, CueRun, Forward, Outcome, Paths};
pub use decide::{Decision, GoOrSafe, LeaveAnswer, RestingAnswer, RiskAnswer};
pub use direct::direct;
pub use fault::{LayoutError, LayoutFault, Problem};
pub use file::{Ball, Layout};
pub(crate) use follow::after_next;
pub use follow::{AfterThat, FollowUp};
pub(crate) use force::drop_sets;
pub use force::{Tip, played};
pub use kick::{KICK_SPEED_M_S, kicks};
pub use leave::{LeaveCell, LeaveMap, NextBall, RestingArea, leave_map};
pub use legal::LeastBad;
pub(crate) use legal::least_bad;
pub use miss::MissLeave;
pub(crate) use miss::misses;
pub(crate) use obstruct::{sector, turn_rad};
pub use past::{Closed, PastOthers, solve_past};
pub use places::{FromPlace, FromPlaces};
pub use play::{Attempt, BestPace, PaceTry, Risk, attempts, best_pace, break_even, risk};
pub use rank::{Choice, Listener, Progress, RankedShot, choose};
pub(crate) use rank::{detailed, doubted, no_drop, roundabout};
pub use reach::{QUESTIONED_REACH_M, ReachError, ReachRequest};
pub use request::{ChooseOptions, Prefer};
pub use sectors::{BlockedSector, sectors_of_refusal, sectors_of_shot};
pub(crate) use stance::{Around, OVER_BALL, stance_among};
pub use stance::{Reach, Stance, stance, stance_alone};
pub use table::{DropSet, Table};
pub use words::{
    SpokenShot, blocked_words, cue_words, decision_text, leave_words, refusal_words, shot_title,
    stance_words, stop_words,
};
pub(crate) use words::{called, ranged, refusal_line, with_article};
