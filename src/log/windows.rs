//! The windows a shot had when it was tried, kept with the try: a fit never solves, so an old log
//! means the same after the gear file has changed. A new edition of the solver solves them once again.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::directions::Directions;
use crate::player::Observation;
use crate::pocket::{Acceptance, How};
use crate::shown::quoted;
use crate::units::Side;
use crate::window::{AimWindow, Window};

/// Edition of the solver whose windows this version stores: 1 had rails without end and a cue ball
/// that rolls, 2 has the whole bed and the stick.
pub(super) const EDITION: i64 = 2;

/// Windows of an earlier edition, or of nobody knows which.
pub(super) const EARLIER: i64 = 1;

/// Room on both sides of the aim, degrees of cue-ball direction.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Room {
    /// Towards a fuller hit; negative when the edge lies on the other side of the aim.
    pub thick_deg: f64,
    /// Towards a thinner hit.
    pub thin_deg: f64,
}

/// Cue-ball directions that make the shot in one way, degrees relative to the aim,
/// counter-clockwise positive. Written `clean:-0.12:0.1`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Allowed {
    /// How the object ball drops.
    pub how: How,
    /// Lower end.
    pub from_deg: f64,
    /// Upper end.
    pub to_deg: f64,
}

/// What made the shot possible.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Windows {
    /// Goes in untouched.
    pub clean: Option<Room>,
    /// Goes in untouched or off the jaws.
    pub direct: Option<Room>,
    /// Goes in at all.
    pub drop: Option<Room>,
    /// The cue ball's travel to the ghost ball, mm.
    pub cue_travel_mm: f64,
    /// Throw-free cut at the target, degrees, never negative.
    pub cut_deg: f64,
    /// Speed of the cue ball at contact, m/s.
    pub cue_speed_m_s: f64,
    /// Every direction that makes it, sorted and disjoint (touching allowed).
    pub allowed: Vec<Allowed>,
}

impl Windows {
    /// The windows of a solved shot.
    #[must_use]
    pub fn of(window: &AimWindow, acceptance: &Acceptance) -> Self {
        Self::with(window, allowed(window, acceptance))
    }

    /// The windows of a shot of which other balls leave only these directions of the cue ball,
    /// rad relative to the aim.
    #[must_use]
    pub fn left_open(window: &AimWindow, open: &Directions<How>) -> Self {
        let parts = open.spans().iter().map(|s| Allowed {
            how: s.tag,
            from_deg: s.from_rad.to_degrees(),
            to_deg: s.to_rad.to_degrees(),
        });
        Self::with(window, parts.collect())
    }

    fn with(window: &AimWindow, allowed: Vec<Allowed>) -> Self {
        let room = |w: Option<Window>| {
            w.map(|w| Room {
                thick_deg: w.thick_rad.to_degrees(),
                thin_deg: w.thin_rad.to_degrees(),
            })
        };
        Self {
            clean: room(window.clean),
            direct: room(window.direct),
            drop: room(window.drop),
            cue_travel_mm: 1e3 * window.aim.travel_m,
            cut_deg: window.cut_rad.to_degrees().abs(),
            cue_speed_m_s: window.cue_speed_m_s,
            allowed,
        }
        .normal()
    }

    /// As the fit wants them, before anybody has tried.
    #[must_use]
    pub fn observation(&self, cut: Side) -> Observation {
        Observation {
            intervals_rad: self
                .allowed
                .iter()
                .map(|a| (a.from_deg.to_radians(), a.to_deg.to_radians()))
                .collect(),
            cue_travel_m: 1e-3 * self.cue_travel_mm,
            cue_speed_m_s: self.cue_speed_m_s,
            cut,
            cut_told: true,
            tries: 0,
            made: 0,
            sides: None,
        }
    }

    /// Zeros without a sign: a file keeps none.
    #[must_use]
    pub(super) fn normal(mut self) -> Self {
        let plain = |x: &mut f64| *x += 0.0;
        for room in [&mut self.clean, &mut self.direct, &mut self.drop]
            .into_iter()
            .flatten()
        {
            plain(&mut room.thick_deg);
            plain(&mut room.thin_deg);
        }
        plain(&mut self.cue_travel_mm);
        plain(&mut self.cut_deg);
        plain(&mut self.cue_speed_m_s);
        for part in &mut self.allowed {
            plain(&mut part.from_deg);
            plain(&mut part.to_deg);
        }
        self
    }

    /// What is wrong with them, if anything.
    pub(super) fn problem(&self) -> Option<String> {
        let rooms = [self.clean, self.direct, self.drop];
        let numbers = rooms
            .iter()
            .flatten()
            .flat_map(|r| [r.thick_deg, r.thin_deg])
            .chain([self.cue_travel_mm, self.cut_deg, self.cue_speed_m_s])
            .chain(self.allowed.iter().flat_map(|a| [a.from_deg, a.to_deg]));
        if let Some(bad) = numbers.into_iter().find(|x| !x.is_finite()) {
            return Some(format!("{bad} in the windows: every number must be finite"));
        }
        if self.cue_travel_mm <= 0.0 {
            let mm = self.cue_travel_mm;
            return Some(format!("cue_travel_mm = {mm}: it must be more than 0"));
        }
        if self.cue_speed_m_s < 0.0 || !(0.0..90.0).contains(&self.cut_deg) {
            return Some(format!(
                "cue_speed_m_s = {}, cut_deg = {}: a speed is 0 or more, a cut from 0 to below 90",
                self.cue_speed_m_s, self.cut_deg
            ));
        }
        let parts = &self.allowed;
        let sorted = parts.windows(2).all(|p| p[0].to_deg <= p[1].from_deg);
        if !sorted || parts.iter().any(|a| a.from_deg >= a.to_deg) {
            let text = quoted(&allowed_text(parts));
            return Some(format!(
                "allowed = {text}: the intervals must rise and not overlap"
            ));
        }
        None
    }
}

/// Pieces of the acceptance as cue-ball directions.
fn allowed(window: &AimWindow, acceptance: &Acceptance) -> Vec<Allowed> {
    let cue = window.cue_directions(&acceptance.pieces);
    let parts = cue.spans().iter().map(|piece| Allowed {
        how: piece.tag,
        from_deg: piece.from_rad.to_degrees(),
        to_deg: piece.to_rad.to_degrees(),
    });
    parts.filter(|a| a.from_deg < a.to_deg).collect()
}

/// `clean:-0.12:0.1 jaw:0.1:0.2`.
pub(super) fn allowed_text(parts: &[Allowed]) -> String {
    let texts: Vec<String> = parts.iter().map(Allowed::to_string).collect();
    texts.join(" ")
}

impl fmt::Display for Allowed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // The shortest decimal that reads back as the same number: nothing is lost in a file.
        write!(f, "{}:{}:{}", self.how.name(), self.from_deg, self.to_deg)
    }
}

impl FromStr for Allowed {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let fault = || {
            format!(
                "\"{}\" is no interval: write HOW:FROM:TO with clean, jaw or rail and degrees, such as clean:-0.12:0.1",
                quoted(text)
            )
        };
        let mut parts = text.split(':');
        let how = match parts.next() {
            Some("clean") => How::Clean,
            Some("jaw") => How::Jaw,
            Some("rail") => How::Rail,
            _ => return Err(fault()),
        };
        let mut number = || parts.next().and_then(|t| t.parse::<f64>().ok());
        let (from_deg, to_deg) = (
            number().ok_or_else(fault)? + 0.0,
            number().ok_or_else(fault)? + 0.0,
        );
        match parts.next() {
            Some(_) => Err(fault()),
            None => Ok(Self {
                how,
                from_deg,
                to_deg,
            }),
        }
    }
}

impl TryFrom<String> for Allowed {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        text.parse()
    }
}

impl From<Allowed> for String {
    fn from(part: Allowed) -> Self {
        part.to_string()
    }
}
