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
//! `files`, `columns`, `error`, `units`, `directions`, `gear`, `motion`, `pocket`, `speech`, `bed`, `contact`, `stroke`, `window`,
//! `forwards`, `request`, `player`, `answer`, `measure`, `layout`, `ladder`, `aims`, `log`, `survey`, `batch`,
//! `draw`, `charts`, `sheets`,
//! `page`.
//!
//! One shot, solved:
//!
//! ```
//! use thincut::gear::Gear;
//! use thincut::request::ShotRequest;
//! use thincut::window::solve;
//!
//! let gear = Gear::preset("pool-9ft")?;
//! let mut request = ShotRequest::default();
//! request.places.cut = Some("half-ball".into());
//! request.places.apart = Some("4ft".into());
//! request.places.to_pocket = Some("3ft".into());
//! let solution = solve(&gear, &request.shot(&gear)?)?;
//! let clean = solution.window.ok().and_then(|w| w.clean).expect("it goes in untouched");
//! // about 0.06° to either side, more of it on the full side
//! assert!((clean.thick_rad.to_degrees() - 0.0636).abs() < 1e-3);
//! assert!(clean.thick_rad > clean.thin_rad);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![warn(
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::too_many_lines,
    clippy::unwrap_used
)]

mod bad_input;

pub mod aims;
pub mod answer;
pub mod batch;
pub mod bed;
#[cfg(feature = "paper")]
pub mod charts;
pub mod columns;
pub mod contact;
pub mod directions;
#[cfg(feature = "paper")]
pub mod draw;
pub mod error;
pub mod field;
pub mod files;
pub mod forwards;
pub mod gear;
pub mod ladder;
pub mod layout;
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
