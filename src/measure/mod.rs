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
//!
//! Limits: readings of one thing are taken as independent, so a rule that is wrong by itself stays
//! wrong; friction of the cushions, sliding friction, the bounce of facings and jaws and ball on
//! ball stay the standard table's, and the interval knows nothing of them. Uncertainties go by
//! JCGM 100:2008 (shares, values) and JCGM 101:2008 (intervals of chances, by drawing).

pub mod effect;
pub mod form;
pub mod mean;
pub mod quantity;
pub mod reading;
pub mod request;
mod stroke_values;
pub mod strokes;
pub mod table;
pub mod values;
pub mod words;

pub use effect::{DRAWS, ShotEffect, drawn_chances, effects, usual_shots};
pub use form::{Form, empty_form, read_form};
pub use quantity::{Instrument, Quantity};
pub use reading::{Instruments, MeasureError, Reading, readings};
pub use request::ReadingsRequest;
pub use table::MeasuredTable;
pub use values::{TableValue, gear, values};
pub use words::Words;
