//! What is said about a way: one sentence for a shot, one for a distance.

use super::bench::{MAX_CUT_DEG, Reach};
use super::verdict::{Drops, Verdict};
use crate::speech::Speech;
use crate::units::{Angle, Length, speak};

/// Below this nobody corrects, mm (assumption: a twentieth of a millimetre cannot be aimed).
const NOT_WORTH_MM: f64 = 0.05;

/// `right`, `aim 2 mm thinner`, `aim 1.2 mm fuller`, from an error at the ghost ball in mm.
fn correction(too_full_mm: f64, speech: Speech) -> String {
    if too_full_mm.abs() < NOT_WORTH_MM {
        return "needs no correction".into();
    }
    let by = speak::small_length(Length::from_mm(too_full_mm.abs()), speech);
    let way = if too_full_mm > 0.0 {
        "thinner"
    } else {
        "fuller"
    };
    format!("aim {by} {way}")
}

/// One shot: `2 mm too full at the ghost ball (0.19°): still goes in off the jaws; aim 2 mm thinner`.
#[must_use]
pub fn verdict_sentence(verdict: &Verdict, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let mm = verdict.too_full_m * 1e3;
    let fate = match verdict.drops {
        Drops::Clean => "goes in clean",
        Drops::Direct => "still goes in off the jaws",
        Drops::Drop => &format!("still goes in off the {}", speech.nouns().rail),
        Drops::No => "misses if played exactly so",
    };
    if mm.abs() < NOT_WORTH_MM {
        return format!("exactly right: {fate}");
    }
    let off = speak::small_length(Length::from_mm(mm.abs()), speech);
    let degrees = speak::degrees(Angle::from_rad(verdict.too_full_rad.abs()));
    let lean = verdict.lean();
    // A correction never costs the player who is spoken of.
    let then = if verdict.is_mended() {
        correction(mm, speech)
    } else {
        "leave it: aimed at the middle it goes in less often".to_owned()
    };
    format!("{off} {lean} at the ghost ball ({degrees}): {fate}; {then}")
}

/// One pair of distances: `good to 40° (untouched to 35°), then aim 2 mm thinner`.
#[must_use]
pub fn reach_sentence(reach: &Reach, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let degrees = |deg: f64| speak::degrees(Angle::from_deg(deg));
    if reach.looked_to_deg <= 0.0 && reach.drops.is_empty() {
        return "gives no line here".into();
    }
    let Some(good_to) = reach.good_to_deg() else {
        return scattered(reach, speech);
    };
    if good_to >= reach.looked_to_deg - 1e-9 {
        let untouched = match reach.clean_to_deg() {
            Some(clean) if clean < good_to - 0.5 => format!(" (clean to {})", degrees(clean)),
            _ => String::new(),
        };
        let all = if reach.looked_to_deg >= MAX_CUT_DEG {
            "good at every cut"
        } else {
            "good at every cut that can be played"
        };
        return format!("{all} to {}{untouched}", degrees(good_to));
    }
    if reach.drops.len() > 1 {
        return scattered(reach, speech);
    }
    let untouched = match reach.clean_to_deg() {
        Some(clean) if clean < good_to - 0.5 => format!(" (clean to {})", degrees(clean)),
        Some(_) => String::new(),
        None => " (never clean)".into(),
    };
    let then = reach
        .past_end_mm
        .map(|mm| format!(", then {}", correction(mm, speech)))
        .unwrap_or_default();
    let grows = grown(reach, speech).unwrap_or_default();
    format!("good to {}{untouched}{then}{grows}", degrees(good_to))
}

/// `, 28 mm by 80°` where the error keeps growing on the same side.
fn grown(reach: &Reach, speech: Speech) -> Option<String> {
    let (past, worst, at) = (reach.past_end_mm?, reach.worst_mm?, reach.worst_at_deg?);
    let more = worst * past.signum() > MUCH_MORE * past.abs() && at > reach.good_to_deg()?;
    more.then(|| {
        format!(
            ", {} by {}",
            speak::small_length(Length::from_mm(worst.abs()), speech),
            speak::degrees(Angle::from_deg(at))
        )
    })
}

/// An error this many times larger is worth saying (assumption).
const MUCH_MORE: f64 = 1.5;

/// Several runs, or none that starts straight.
fn scattered(reach: &Reach, speech: Speech) -> String {
    let say = |mm: f64| speak::small_length(Length::from_mm(mm), speech);
    let mend = match (reach.misses_full_mm, reach.misses_thin_mm) {
        (Some(full), Some(thin)) => {
            format!("aim up to {} thinner or {} fuller", say(full), say(thin))
        }
        (Some(full), None) => format!("aim up to {} thinner", say(full)),
        (None, Some(thin)) => format!("aim up to {} fuller", say(thin)),
        (None, None) => "no line".into(),
    };
    if reach.drops.is_empty() {
        return format!("good at no cut: {mend}");
    }
    let runs: Vec<String> = reach
        .drops
        .iter()
        .map(|r| {
            format!(
                "{:.0}–{}",
                r.from_deg,
                speak::degrees(Angle::from_deg(r.to_deg))
            )
        })
        .collect();
    format!("good at {}; elsewhere {mend}", runs.join(", "))
}

/// Room left: `room left 1.2 mm on the full side, 0.3 mm on the thin side`, or by how much it is
/// beyond; `None` where nothing drops.
#[must_use]
pub fn room_sentence(
    verdict: &Verdict,
    ghost_m: impl Fn(f64) -> f64,
    speech: impl Into<Speech>,
) -> Option<String> {
    let speech = speech.into();
    let room = verdict.room?;
    let say = |rad: f64| speak::small_length(Length::from_m(ghost_m(rad).abs()), speech);
    let of = match room.part {
        Drops::Clean => "clean",
        Drops::Direct => "off the jaws",
        Drops::Drop => &format!("off the {}", speech.nouns().rail),
        Drops::No => return None,
    };
    Some(match (room.full_rad < 0.0, room.thin_rad < 0.0) {
        (true, _) => format!("{} too full to go in {of}", say(room.full_rad)),
        (_, true) => format!("{} too thin to go in {of}", say(room.thin_rad)),
        _ => format!(
            "margin left to go in {of}: {} on the full side, {} on the thin side",
            say(room.full_rad),
            say(room.thin_rad)
        ),
    })
}

/// How far a method reaches at one distance between the balls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reached<'a> {
    /// The method.
    pub way: &'a str,
    /// Between the balls, mm.
    pub apart_mm: f64,
    /// Goes in up to this cut, starting straight; none when not even straight.
    pub good_to_deg: Option<f64>,
    /// Largest cut looked at.
    pub looked_to_deg: f64,
}

/// What the reaches of all methods come to: three lines.
#[derive(Debug, Clone)]
pub struct Summary<'a> {
    /// How far each method reaches.
    pub reaches: Vec<Reached<'a>>,
    /// How many fixed aims have every cut, see [`super::fixed_aims`], from so far from the pocket, mm.
    pub fixed: Option<(f64, f64)>,
}

/// Methods named in a line at most.
const MOST_NAMED: usize = 3;

impl Summary<'_> {
    /// The three lines: what works at every cut from farthest away, where the others stop, how many fixed
    /// aims would do; nothing where there is no method.
    #[must_use]
    pub fn lines(&self, speech: impl Into<Speech>) -> Vec<String> {
        let speech = speech.into();
        let far_mm = self.reaches.iter().map(|r| r.apart_mm).fold(0.0, f64::max);
        let mut far: Vec<&Reached<'_>> = self
            .reaches
            .iter()
            .filter(|r| r.apart_mm >= far_mm - 1e-6)
            .collect();
        if far.is_empty() {
            return Vec::new();
        }
        let good = |r: &Reached<'_>| r.good_to_deg.unwrap_or(-1.0);
        far.sort_by(|a, b| good(b).total_cmp(&good(a)));
        let away = speak::distance(Length::from_mm(far_mm), speech);
        let every = |r: &&&Reached<'_>| good(r) >= r.looked_to_deg - 1e-9;
        let whole: Vec<&str> = far.iter().filter(every).map(|r| r.way).collect();
        let first = match &whole[..] {
            [] => format!("With {away} between the balls no method is good at every cut."),
            names => format!(
                "Good at every cut with {away} between the balls: {}.",
                some(names)
            ),
        };
        let mut lines = vec![first];
        let ends: Vec<String> = far
            .iter()
            .skip(whole.len())
            .map(|r| match r.good_to_deg {
                Some(deg) => format!("{} to {}", r.way, speak::degrees(Angle::from_deg(deg))),
                None => format!("{} not even straight", r.way),
            })
            .collect();
        let ends: Vec<&str> = ends.iter().map(String::as_str).collect();
        if !ends.is_empty() {
            lines.push(format!("The others work only so far: {}.", some(&ends)));
        }
        if let Some((count, to_pocket_mm)) = self.fixed {
            lines.push(format!(
                "With fixed aims alone, {} to the pocket, it takes about {count:.0} of them to cover every cut, jaws counted.",
                speak::distance(Length::from_mm(to_pocket_mm), speech)
            ));
        }
        lines
    }
}

/// The first few, and how many more.
fn some(names: &[&str]) -> String {
    let shown = names.len().min(MOST_NAMED);
    let more = names.len() - shown;
    let list = names[..shown].join(", ");
    match more {
        0 => list,
        n => format!("{list} and {n} more"),
    }
}
