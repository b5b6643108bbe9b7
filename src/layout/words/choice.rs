//! Shots of a layout in words: why, where a miss leaves it, why another is not on.

use serde::Serialize;

use super::place::stop_words;
use crate::answer::{pace_words, stroke_words};
use crate::forwards::Miss;
use crate::game::ruling_words;
use crate::gear::Gear;
use crate::layout::answer::{
    End, EndAnswer, MissAnswer, NextAnswer, NotOn, RefusedAnswer, ShotChoice, StanceAnswer,
};
use crate::layout::candidate::Family;
use crate::player::in_ten;
use crate::speech::{Speech, WordSet, first_large};
use crate::units::{Angle, Length, speak};

/// Parts below this are not worth a sentence (assumption: 1 in 50).
const WORTH_SAYING: f64 = 0.02;
/// Shots below this are no help (assumption: 1 in 20).
const WORTH_TRYING: f64 = 0.05;
/// Above this share of makes nothing is said of other balls (assumption).
const ALWAYS_FREE: f64 = 0.95;

/// `a club player, assumed` and `an expert player, assumed`, but `student M, from 485 tries`.
pub(crate) fn with_article(player: &str) -> String {
    let article = match player.chars().next() {
        Some('a' | 'e' | 'i' | 'o' | 'u') => "an",
        _ => "a",
    };
    if player.contains(" player") {
        format!("{article} {player}")
    } else {
        player.to_owned()
    }
}

/// One shot of a choice in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct SpokenShot {
    /// `Play the 7 into the foot-right pocket`.
    pub called: String,
    /// `6 in 10 (4 to 8, depending on how jaws and rails bounce)`.
    pub chance: String,
    /// In a game, what the rules say of it: `7 points`, `a foul (WPA): …`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// What makes it that hard.
    pub why: String,
    /// Where the cue ball goes, and what is next.
    pub then: String,
    /// What misses leave; empty where none is worth a word.
    pub miss: String,
}

impl SpokenShot {
    /// A shot in words.
    #[must_use]
    pub fn new(shot: &ShotChoice, gear: &Gear, speech: impl Into<Speech>) -> Self {
        let speech = speech.into();
        let misses: Vec<String> = told(&shot.misses)
            .iter()
            .map(|m| miss_words(m, shot, gear, speech))
            .collect();
        Self {
            called: called(shot, speech),
            chance: ranged(shot, speech),
            rule: shot
                .ruling
                .as_ref()
                .and_then(|ruling| ruling_words(&ruling.said, speech)),
            why: why(shot, speech),
            then: format!(
                "{}{}{}",
                cue_words(&shot.cue, gear, speech),
                scratch(shot, speech),
                next(shot, speech)
            ),
            miss: misses.join("; "),
        }
    }
}

/// The chance with its range, where the tenths differ and it is worth half a make in ten.
pub(crate) fn ranged(shot: &ShotChoice, speech: Speech) -> String {
    let said = in_ten(shot.chance);
    let tenths = |chance: f64| format!("{:.0}", 10.0 * chance);
    match (shot.chance_low, shot.chance_high) {
        (Some(low), Some(high)) if high >= WORTH_TRYING && tenths(low) != tenths(high) => format!(
            "{said} ({} to {}, depending on how jaws and {} bounce)",
            tenths(low),
            tenths(high),
            speech.nouns().rails
        ),
        _ => said,
    }
}

/// "Play the 7 into the foot-right pocket: 6 in 10", as over a picture.
#[must_use]
pub fn shot_title(shot: &ShotChoice, speech: impl Into<Speech>) -> String {
    format!("{}: {}", called(shot, speech.into()), in_ten(shot.chance))
}

/// "the 7 into the foot-right pocket, off one cushion".
pub(crate) fn called(shot: &ShotChoice, speech: Speech) -> String {
    let pocket = speech.pocket_name(shot.pocket);
    let into = format!("the {} into the {pocket} pocket", shot.ball);
    let nouns = speech.nouns();
    let off = |cushions: u8| match cushions {
        1 => "off one cushion",
        _ => "off two cushions",
    };
    match shot.family {
        Family::Bank { cushions } => {
            format!("{} {into} {}", first_large(nouns.bank), off(cushions))
        }
        Family::Kick { cushions } if speech.words == WordSet::Uk => format!(
            "{} {into}, the cue ball {} first",
            first_large(nouns.to_make),
            off(cushions)
        ),
        Family::Kick { cushions } => format!(
            "{} {into}, the cue ball {} first",
            first_large(nouns.kick),
            off(cushions)
        ),
        Family::Combination { .. } => format!(
            "{}: the {} sends {into}",
            first_large(nouns.combination),
            shot.first
        ),
        Family::Direct => format!("{} {into}", speech.pick("Play", "Pot")),
    }
}

/// "the 7 and the 5".
fn the_balls(labels: &[String]) -> String {
    let balls: Vec<String> = labels.iter().map(|b| format!("the {b}")).collect();
    balls.join(" and ")
}

fn why(shot: &ShotChoice, speech: Speech) -> String {
    let width: f64 = shot.directions.iter().map(|d| d.to_deg - d.from_deg).sum();
    let at_ghost_mm = width.to_radians() * shot.cue_travel_mm;
    let mut parts = vec![
        format!(
            "{} of margin in all at the ghost ball ({})",
            speak::small_length(Length::from_mm(at_ghost_mm), speech),
            speak::degrees(Angle::from_deg(width))
        ),
        format!(
            "cue ball {} away",
            speak::distance(Length::from_mm(shot.cue_travel_mm), speech)
        ),
    ];
    parts.push(if shot.cut_deg < 0.5 {
        "straight".to_owned()
    } else {
        format!(
            "cut to the {} {}",
            shot.cut_side.name(),
            speak::degrees(Angle::from_deg(shot.cut_deg))
        )
    });
    // both ways of saying how hard
    match (shot.stroke_lengths, shot.pace_m_s) {
        (Some(lengths), Some(pace)) => parts.push(format!(
            "{} ({})",
            stroke_words(lengths),
            pace_words(pace, None)
        )),
        (Some(lengths), None) => parts.push(stroke_words(lengths)),
        (None, _) => {}
    }
    if shot.blocked_share > WORTH_SAYING {
        parts.push(format!(
            "{:.0} % of it blocked by {}",
            100.0 * shot.blocked_share,
            the_balls(&shot.blockers)
        ));
    }
    parts.extend(awkward(&shot.stance, speech));
    parts.join(", ")
}

/// What is awkward about a stance.
fn awkward(stance: &StanceAnswer, speech: Speech) -> Vec<String> {
    let mut parts = Vec::new();
    if stance.needs_rest {
        let or = if stance.other_hand_reaches {
            " (or the cue in the other hand)"
        } else {
            ""
        };
        parts.push(format!("needs the rest{or}"));
    }
    if let Some(ball) = &stance.over_ball {
        parts.push(format!("raised cue over the {ball}"));
    } else if stance.over_rail {
        parts.push(format!("raised cue over the {}", speech.nouns().rail));
    }
    parts
}

/// `Needs the rest: the arm scatters 1.4 times as much (assumed).`; nothing where the player
/// stands at ease.
#[must_use]
pub fn stance_words(stance: &StanceAnswer, speech: impl Into<Speech>) -> Option<String> {
    let parts = awkward(stance, speech.into());
    (!parts.is_empty()).then(|| {
        format!(
            "{}: the stroke scatters {:.1} times as much (assumed).",
            first_large(&parts.join(", ")),
            stance.arm_factor
        )
    })
}

/// `38 % of the room is blocked by the 7.`; nothing where that is not worth a word.
#[must_use]
pub fn blocked_words(share: f64, blockers: &[String]) -> Option<String> {
    (share > WORTH_SAYING && share < 1.0).then(|| {
        format!(
            "{:.0} % of the margin is blocked by {}.",
            100.0 * share,
            the_balls(blockers)
        )
    })
}

/// Where the cue ball goes: `the cue ball stops 1.3 diamonds from the foot rail`.
#[must_use]
pub fn cue_words(end: &EndAnswer, gear: &Gear, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let scratches = speech.nouns().scratches;
    match (end.end, &end.at) {
        (End::Scratch, Some(pocket)) => {
            let pocket = speech.pocket_named(pocket);
            format!("aimed right the cue ball {scratches} in the {pocket} pocket")
        }
        (End::Ball, Some(ball)) => format!("the cue ball runs into the {ball}"),
        _ => format!(
            "the cue ball stops {}",
            stop_words(end.place, &gear.bed, speech)
        ),
    }
}

fn scratch(shot: &ShotChoice, speech: Speech) -> String {
    if shot.scratch_chance > WORTH_SAYING {
        let how_often = in_ten(shot.scratch_chance);
        if shot.cue.end == End::Scratch {
            return format!(", {how_often} with the aim's scatter");
        }
        format!(", {} {how_often}", speech.nouns().scratching)
    } else {
        String::new()
    }
}

fn next(shot: &ShotChoice, speech: Speech) -> String {
    shot.next.as_ref().map_or_else(String::new, |n| {
        let free = if n.free_share < ALWAYS_FREE {
            format!(
                " where it runs into no other ball ({} of the {})",
                in_ten(n.free_share),
                speech.nouns().makes
            )
        } else {
            String::new()
        };
        // A make of one counts as any other.
        let worth = match n.points {
            Some(points) if points > 1 => format!(" for {points} points"),
            _ => String::new(),
        };
        let where_not = if shot.cue.end == End::Scratch {
            "where it does not, "
        } else {
            ""
        };
        format!(
            "; {where_not}next the {} into the {} pocket, {}{worth}{free}",
            n.ball,
            speech.pocket_name(n.pocket),
            in_ten(n.chance)
        ) + &then(n, speech)
    })
}

/// What could follow after the next shot.
fn then(next: &NextAnswer, speech: Speech) -> String {
    next.then.as_ref().map_or_else(String::new, |then| {
        format!(
            ", then the {} into the {} pocket, {} with the next aimed right",
            then.ball,
            speech.pocket_name(then.pocket),
            in_ten(then.chance)
        )
    })
}

/// The misses worth a sentence; where both sides miss the ball it is said once.
fn told(misses: &[MissAnswer]) -> Vec<MissAnswer> {
    let mut out: Vec<MissAnswer> = Vec::with_capacity(misses.len());
    for miss in misses.iter().filter(|m| m.chance > WORTH_SAYING) {
        let foul = |m: &MissAnswer| m.side == Miss::NoBall;
        match out.iter_mut().find(|m| foul(m) && foul(miss)) {
            Some(same) => same.chance += miss.chance,
            None => out.push(miss.clone()),
        }
    }
    out
}

/// Which way a shot misses.
fn side_words(side: Miss, speech: Speech) -> &'static str {
    match side {
        Miss::TooFull => speech.pick("too full", "too thick"),
        Miss::TooThin => "too thin",
        Miss::NoBall => "misses the ball: a foul",
    }
}

fn miss_words(miss: &MissAnswer, shot: &ShotChoice, gear: &Gear, speech: Speech) -> String {
    let ball = &shot.ball;
    let head = format!(
        "{} ({})",
        side_words(miss.side, speech),
        in_ten(miss.chance)
    );
    let lies = match miss.dropped {
        Some(pocket) if pocket == shot.pocket => {
            let pocket = speech.pocket_name(pocket);
            format!("the {ball} may still drop in the {pocket} pocket, by another way")
        }
        Some(pocket) => format!(
            "the {ball} drops in the {} pocket by luck",
            speech.pocket_name(pocket)
        ),
        // The ball stays where it is; the cue ball's end is all there is to say.
        None if miss.side == Miss::NoBall => {
            return format!("{head}{}", foul_end(&miss.cue, speech));
        }
        None => format!(
            "the {ball} stops {}",
            stop_words(miss.object, &gear.bed, speech)
        ),
    };
    let cue = match (miss.cue.end, &miss.cue.at) {
        (End::Scratch, Some(pocket)) => {
            format!(
                " and the cue ball in the {} pocket",
                speech.pocket_named(pocket)
            )
        }
        _ => String::new(),
    };
    format!("{head}: {lies}{cue}")
}

/// Where a cue ball ends that met no ball: said where it scratches.
fn foul_end(cue: &EndAnswer, speech: Speech) -> String {
    match (cue.end, &cue.at) {
        (End::Scratch, Some(pocket)) => {
            format!(
                ", and the cue ball drops in the {} pocket",
                speech.pocket_named(pocket)
            )
        }
        _ => String::new(),
    }
}

/// Why a shot is not on, and what to do with its ball instead.
pub(crate) fn refusal_line<'a>(
    refused: &RefusedAnswer,
    shots: impl IntoIterator<Item = &'a ShotChoice>,
    speech: Speech,
) -> String {
    let instead = if refused.reason == NotOn::OutOfReach {
        instead(&refused.ball, shots, speech)
    } else {
        String::new()
    };
    format!("{}{instead}.\n", refusal_words(refused, speech))
}

/// "Not on: the 5 into the side-left pocket: its way is closed by the 7".
#[must_use]
pub fn refusal_words(refused: &RefusedAnswer, speech: impl Into<Speech>) -> String {
    let by = if refused.blockers.is_empty() {
        "a cushion".to_owned()
    } else {
        the_balls(&refused.blockers)
    };
    let why = match refused.reason {
        NotOn::ObjectBallBlocked => format!("its path is blocked by {by}"),
        NotOn::CueBallBlocked => format!("the cue ball's path is blocked by {by}"),
        NotOn::OutOfReach => "no hit is thin enough".to_owned(),
        NotOn::TooClose => "the balls are too close to say".to_owned(),
        NotOn::TooSteep => {
            "from there the pocket takes no ball straight, however hard or soft".to_owned()
        }
        NotOn::NoDrop => "it does not drop with this stroke".to_owned(),
    };
    format!(
        "Not on: the {} into the {} pocket: {why}",
        refused.ball,
        speech.into().pocket_name(refused.pocket)
    )
}

/// What to do with a ball that cannot be cut into a pocket.
fn instead<'a>(
    ball: &str,
    shots: impl IntoIterator<Item = &'a ShotChoice>,
    speech: Speech,
) -> String {
    let worth = |shot: &&ShotChoice| shot.ball == ball && shot.chance > WORTH_TRYING;
    match shots.into_iter().find(worth) {
        Some(shot) => {
            let mut called = called(shot, speech);
            if let Some(first) = called.get_mut(..1) {
                first.make_ascii_lowercase();
            }
            format!("; {called} instead, {}", in_ten(shot.chance))
        }
        None => "; it would have to be played from the other side".to_owned(),
    }
}
