//! How far off may a cue-ball aim be, and the object ball still drop?
//!
//! A shot is solved backwards, from the pocket to the cue, as a *set of directions*:
//!
//! ```text
//! Gear ─┐
//! Shot ─┼─► acceptance ─► contact ─► AimWindow ─┬─► survey tables
//! Pace ─┘   (object-ball   (pull-    (cue-ball  ├─► draw, charts, sheets
//!            directions)    back)     directions)├─► player: chance, budget, fit
//!                                                ├─► layout: ranked shots
//!                                                └─► ladder, aims, page
//! ```
//!
//! Each module answers one question and imports only modules before it in this order: `field`, `shown`, `stop`,
//! `files`, `columns`, `error`, `units`, `directions`, `gear`, `motion`, `pocket`, `speech`, `game`, `bed`, `contact`, `forwards`, `stroke`, `window`,
//! `request`, `player`, `diagnosis`, `answer`, `measure`, `layout`, `advice`, `ladder`, `lesson`, `aims`, `log`, `survey`, `batch`,
//! `draw`, `charts`, `sheets`, `page` and, for tests alone, `inside`.
//!
//! One shot, solved: a half-ball cut, 4 ft between the balls and 3 ft to the pocket.
//!
//! ```
//! use thincut::{
//!     AbstractShot, Angle, Gear, Length, Level, Preset, Shot, Speed, Stroke, chance_of_solution, solve,
//! };
//!
//! let gear = Gear::standard(Preset::Pool9Ft)?;
//! let asked = AbstractShot::new(
//!     Angle::from_ball_fraction(0.5),
//!     Length::from_ft(4.0),
//!     Length::from_ft(3.0),
//! );
//! let shot = Shot::from_angles(&gear, &asked, Stroke::at_pace(Speed::from_m_s(1.0)))?;
//! let solution = solve(&gear, &shot)?;
//! let solved = solution.solved().expect("it can be made");
//!
//! // Untouched within about 0.06° to either side, more of it on the full side.
//! let clean = solved.window.clean.expect("it goes in untouched");
//! assert!((clean.thick().deg() - 0.0636).abs() < 1e-3);
//! assert!(clean.thick() > clean.thin());
//!
//! // A club player, assumed.
//! let chance = chance_of_solution(&gear, &shot, &solution, &Level::Club.aim_error());
//! assert!((0.2..0.6).contains(&chance), "{chance}");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Inside, angles are radians, lengths metres and speeds metres per second; a bare number carries its
//! unit in its name (`cut_rad`), and what is met first has [`Angle`], [`Length`] and [`Speed`].

#![warn(
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::too_many_lines,
    clippy::unwrap_used
)]

mod bad_input;

pub mod advice;
pub mod aims;
pub mod answer;
pub mod batch;
pub mod bed;
#[cfg(feature = "paper")]
pub mod charts;
pub mod columns;
pub mod contact;
pub mod diagnosis;
pub mod directions;
#[cfg(feature = "paper")]
pub mod draw;
pub mod error;
pub mod field;
pub mod files;
pub mod forwards;
pub mod game;
pub mod gear;
#[doc(hidden)]
pub mod inside;
pub mod ladder;
pub mod layout;
pub mod lesson;
#[cfg(feature = "log")]
pub mod log;
pub mod measure;
pub mod motion;
#[cfg(feature = "page")]
pub mod page;
pub mod player;
pub mod pocket;
pub mod request;
#[cfg(feature = "paper")]
pub mod sheets;
pub mod shown;
pub mod speech;
pub mod stop;
pub mod stroke;
pub mod survey;
pub mod units;
pub mod window;

pub use contact::ThrowLaw;
pub use error::{GearError, UnitError};
pub use gear::{Gear, Preset};
pub use kurbo::{Point, Vec2};
pub use player::{AimError, Aimed, Level, Player, chance_of_solution, in_ten};
pub use pocket::{Acceptance, NoAcceptance, PocketKind, PocketName};
pub use speech::{Speech, WordSet};
pub use units::{Angle, Hand, Length, Position, Side, Speed, UnitSystem};
pub use window::{
    AbstractShot, AimWindow, BedShot, NoWindow, Shot, ShotError, Solution, Solved, Stroke, Window,
    accept_shot, solve, solve_with,
};
