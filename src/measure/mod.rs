//! Your own table: from ten minutes with rule and watch to a gear with uncertainties, what they do
//! to a shot, and which reading to repeat.
//!
//! | question | module |
//! |---|---|
//! | what can be measured, with what? | [`quantity`] |
//! | what does a text say that was read? | [`reading`], [`form`], [`request`] |
//! | several readings of one thing? | [`mod@mean`] |
//! | what does a stroke tell? | [`strokes`] |
//! | which table follows? | [`table`], [`mod@values`] |
//! | what does it do to a shot? | [`effect`], in words [`words`] |
//! | how do jaws and facings bounce? | [`jaws`]: balls rolled at the edges of a mouth |
//! | how do cushions bounce and rub? | [`rails`]: two rolls off a rail, with a tape |
//! | how much does a cue squirt? | [`pivot`]: the pivot-length test |
//! | what do rolls tell, and what does it leave of a range? | [`bounce`] |
//!
//! Limits: readings of one thing are taken as independent, so a rule that is wrong by itself stays
//! wrong; sliding friction and ball on ball stay the standard table's, and the interval of readings knows
//! nothing of how jaws and cushions bounce and rub, which rolls tell. Uncertainties go by
//! JCGM 100:2008 (shares, values) and JCGM 101:2008 (intervals of chances, by drawing).

pub mod bounce;
pub mod effect;
pub mod form;
pub mod jaws;
pub mod mean;
pub mod pivot;
pub mod quantity;
pub mod rails;
pub mod reading;
pub mod request;
mod stroke_values;
pub mod strokes;
pub mod table;
pub mod values;
pub mod words;

pub use bounce::{Bounce, RangeEffect, Rubber, Rubs, range_effects, telling_shots};
pub use effect::{DRAWS, ShotEffect, drawn_chances, effects, usual_shots};
pub use form::{Form, empty_form, read_form};
pub use jaws::{JawFit, JawTest, NextRolls, Plan, Ramp, RampRun, Rolls, read_rolls};
pub use pivot::{PivotFound, PivotSet, PivotTest, read_pivot_sets};
pub use quantity::{Instrument, Quantity};
pub use rails::{RailRoll, rail_fit, read_at_45, read_straight};
pub use reading::{Instruments, MeasureError, Reading, readings};
pub use request::ReadingsRequest;
pub use table::MeasuredTable;
pub use values::{TableValue, gear, values};
pub use words::Words;
