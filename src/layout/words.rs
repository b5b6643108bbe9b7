//! A choice of shots in words: best three, why, where a miss leaves it.

use serde::Serialize;

use super::answer::{
    ChoiceAnswer, EndAnswer, MissAnswer, Place, RefusedAnswer, ShotChoice, StanceAnswer,
};
use crate::answer::{pace_words, stroke_words};
use crate::forwards::Miss;
use crate::gear::Gear;
use crate::player::in_ten;
use crate::units::{Angle, Length, UnitSystem, speak};

/// Shots said unless all are asked for.
const BEST: usize = 3;
/// Parts below this are not worth a sentence (assumption: 1 in 50).
const WORTH_SAYING: f64 = 0.02;
/// Shots below this are no help (assumption: 1 in 20).
const WORTH_TRYING: f64 = 0.05;
/// Above this share of makes nothing is said of other balls (assumption).
const ALWAYS_FREE: f64 = 0.95;
/// Nearer to a rail than this reads as by the rail, diamonds (assumption: about two balls).
const BY_THE_RAIL: f64 = 0.2;

/// The answer as text; `all` says every shot and why the others are not on.
#[must_use]
pub fn choice_text(answer: &ChoiceAnswer, gear: &Gear, system: UnitSystem, all: bool) -> String {
    let mut out = String::new();
    if answer.no_shot {
        out.push_str("No shot worth trying here.");
        match &answer.least_bad {
            Some(hit) => out.push_str(&format!(
                " The easiest legal hit is the {} ({}): play it safe.\n",
                hit.ball,
                in_ten(hit.chance)
            )),
            None => out.push_str(" No ball can be hit straight either: play off a cushion.\n"),
        }
        if !answer.shots.is_empty() {
            out.push_str("The least bad:\n");
        }
    }
    let count = if all { answer.shots.len() } else { BEST };
    for (i, shot) in answer.shots.iter().take(count).enumerate() {
        out.push_str(&shot_lines(i + 1, shot, gear, system));
    }
    if all {
        for refused in &answer.refused {
            out.push_str(&refused_line(refused, answer));
        }
    }
    let how_hard = match (answer.stroke_lengths, answer.pace_m_s) {
        (Some(lengths), _) => format!("every shot {}", stroke_words(lengths)),
        (None, pace) => format!("direct shots at {}", pace_words(pace.unwrap_or(0.0), None)),
    };
    out.push_str(&format!(
        "For {}; {how_hard}. Assumed: bounce of jaws and rails, what a cushion hides from the eye, reach.\n",
        with_article(&answer.player)
    ));
    out
}

/// `a club player, assumed` and `an expert player, assumed`, but `student C, from 485 tries`.
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
    /// `6 in 10 (4 to 8, as the jaws and rails bounce)`.
    pub chance: String,
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
    pub fn new(shot: &ShotChoice, gear: &Gear, system: UnitSystem) -> Self {
        let misses: Vec<String> = told(&shot.misses)
            .iter()
            .map(|m| miss_words(m, (&shot.ball, shot.pocket), gear))
            .collect();
        Self {
            called: called(shot),
            chance: ranged(shot),
            why: why(shot, system),
            then: format!(
                "{}{}{}",
                cue_words(&shot.cue, gear),
                scratch(shot),
                next(shot)
            ),
            miss: misses.join("; "),
        }
    }
}

/// The chance with its range, where the tenths differ and it is worth half a make in ten.
fn ranged(shot: &ShotChoice) -> String {
    let said = in_ten(shot.chance);
    let tenths = |chance: f64| format!("{:.0}", 10.0 * chance);
    match (shot.chance_low, shot.chance_high) {
        (Some(low), Some(high)) if high >= WORTH_TRYING && tenths(low) != tenths(high) => format!(
            "{said} ({} to {}, as the jaws and rails bounce)",
            tenths(low),
            tenths(high)
        ),
        _ => said,
    }
}

fn shot_lines(rank: usize, shot: &ShotChoice, gear: &Gear, system: UnitSystem) -> String {
    let said = SpokenShot::new(shot, gear, system);
    let kept = in_ten(shot.chance_and_keep);
    let kept = if kept == in_ten(shot.chance) {
        String::new()
    } else {
        format!(", {kept} without a scratch")
    };
    let mut out = format!("{rank}. {}: {}{kept}.\n", said.called, said.chance);
    out.push_str(&format!("   Why: {}.\n", said.why));
    out.push_str(&format!("   Then: {}.\n", said.then));
    if !said.miss.is_empty() {
        out.push_str(&format!("   A miss: {}.\n", said.miss));
    }
    out
}

/// "Play the 7 into the foot-right pocket: 6 in 10", as over a picture.
#[must_use]
pub fn shot_title(shot: &ShotChoice) -> String {
    format!("{}: {}", called(shot), in_ten(shot.chance))
}

/// "the 7 into the foot-right pocket, off one cushion".
fn called(shot: &ShotChoice) -> String {
    let into = format!("the {} into the {} pocket", shot.ball, shot.pocket);
    let cushions = if shot.cushions == 1 {
        "one cushion"
    } else {
        "two cushions"
    };
    match shot.family {
        "bank" => format!("Bank {into} off {cushions}"),
        "kick" => format!("Kick {into}, the cue ball off {cushions} first"),
        "combination" => format!("Combination: the {} sends {into}", shot.first),
        _ => format!("Play {into}"),
    }
}

fn why(shot: &ShotChoice, system: UnitSystem) -> String {
    let width: f64 = shot.directions.iter().map(|d| d.to_deg - d.from_deg).sum();
    let at_ghost_mm = width.to_radians() * shot.cue_travel_mm;
    let mut parts = vec![
        format!(
            "{} of room in all at the ghost ball ({})",
            speak::small_length(Length::from_mm(at_ghost_mm), system),
            speak::degrees(Angle::from_deg(width))
        ),
        format!(
            "cue ball {} away",
            speak::distance(Length::from_mm(shot.cue_travel_mm), system)
        ),
    ];
    parts.push(if shot.cut_deg < 0.5 {
        "straight".to_owned()
    } else {
        format!(
            "cut to the {} {}",
            shot.cut_side,
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
        let balls: Vec<String> = shot.blockers.iter().map(|b| format!("the {b}")).collect();
        parts.push(format!(
            "{:.0} % of it blocked by {}",
            100.0 * shot.blocked_share,
            balls.join(" and ")
        ));
    }
    parts.extend(awkward(&shot.stance));
    parts.join(", ")
}

/// What is awkward about a stance.
fn awkward(stance: &StanceAnswer) -> Vec<String> {
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
        parts.push("raised cue over the rail".to_owned());
    }
    parts
}

/// `Needs the rest: the arm scatters 1.4 times as much (assumed).`; nothing where the player
/// stands at ease.
#[must_use]
pub fn stance_words(stance: &StanceAnswer) -> Option<String> {
    let parts = awkward(stance);
    (!parts.is_empty()).then(|| {
        format!(
            "{}: the arm scatters {:.1} times as much (assumed).",
            first_large(&parts.join(", ")),
            stance.arm_factor
        )
    })
}

/// `38 % of the room is blocked by the 7.`; nothing where that is not worth a word.
#[must_use]
pub fn blocked_words(share: f64, blockers: &[String]) -> Option<String> {
    let balls: Vec<String> = blockers.iter().map(|b| format!("the {b}")).collect();
    (share > WORTH_SAYING && share < 1.0).then(|| {
        format!(
            "{:.0} % of the room is blocked by {}.",
            100.0 * share,
            balls.join(" and ")
        )
    })
}

/// With a large first letter.
#[must_use]
pub fn first_large(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Where the cue ball goes: `the cue ball stops 1.3 diamonds from the foot rail`.
#[must_use]
pub fn cue_words(end: &EndAnswer, gear: &Gear) -> String {
    match (end.end, &end.at) {
        ("scratch", Some(pocket)) => {
            format!("aimed right the cue ball scratches in the {pocket} pocket")
        }
        ("ball", Some(ball)) => format!("the cue ball runs into the {ball}"),
        _ => format!("the cue ball stops {}", place_words(gear, end.place)),
    }
}

fn scratch(shot: &ShotChoice) -> String {
    if shot.scratch_chance > WORTH_SAYING {
        let how_often = in_ten(shot.scratch_chance);
        if shot.cue.end == "scratch" {
            return format!(", {how_often} with the aim's scatter");
        }
        format!(", scratching {how_often}")
    } else {
        String::new()
    }
}

fn next(shot: &ShotChoice) -> String {
    shot.next.as_ref().map_or_else(String::new, |n| {
        let free = if n.free_share < ALWAYS_FREE {
            format!(
                " where it runs into no other ball ({} of the makes)",
                in_ten(n.free_share)
            )
        } else {
            String::new()
        };
        let where_not = if shot.cue.end == "scratch" {
            "where it does not, "
        } else {
            ""
        };
        format!(
            "; {where_not}next the {} into the {} pocket, {}{free}",
            n.ball,
            n.pocket,
            in_ten(n.chance)
        )
    })
}

/// The misses worth a sentence; where both sides miss the ball it is said once.
fn told(misses: &[MissAnswer]) -> Vec<MissAnswer> {
    let foul = Miss::NoBall.words();
    let mut out: Vec<MissAnswer> = Vec::with_capacity(misses.len());
    for miss in misses.iter().filter(|m| m.chance > WORTH_SAYING) {
        match out.iter_mut().find(|m| m.side == foul && miss.side == foul) {
            Some(same) => same.chance += miss.chance,
            None => out.push(miss.clone()),
        }
    }
    out
}

fn miss_words(miss: &MissAnswer, (ball, aimed): (&str, &str), gear: &Gear) -> String {
    let lies = match miss.dropped {
        Some(pocket) if pocket == aimed => {
            format!("the {ball} may still drop in the {pocket} pocket, by another way")
        }
        Some(pocket) => format!("the {ball} drops in the {pocket} pocket by luck"),
        // The ball stays where it is; the cue ball's end is all there is to say.
        None if miss.side == Miss::NoBall.words() => {
            return format!(
                "{} ({}){}",
                miss.side,
                in_ten(miss.chance),
                foul_end(&miss.cue)
            );
        }
        None => format!("the {ball} stops {}", place_words(gear, miss.object)),
    };
    let cue = match (miss.cue.end, &miss.cue.at) {
        ("scratch", Some(pocket)) => format!(" and the cue ball in the {pocket} pocket"),
        _ => String::new(),
    };
    format!("{} ({}): {lies}{cue}", miss.side, in_ten(miss.chance))
}

/// Where a cue ball ends that met no ball: said where it scratches.
fn foul_end(cue: &EndAnswer) -> String {
    match (cue.end, &cue.at) {
        ("scratch", Some(pocket)) => format!(", and the cue ball drops in the {pocket} pocket"),
        _ => String::new(),
    }
}

fn refused_line(refused: &RefusedAnswer, answer: &ChoiceAnswer) -> String {
    let instead = if refused.reason == "out-of-reach" {
        instead(&refused.ball, answer)
    } else {
        String::new()
    };
    format!("{}{instead}.\n", refusal_words(refused))
}

/// "Not on: the 5 into the side-left pocket: its way is closed by the 7".
#[must_use]
pub fn refusal_words(refused: &RefusedAnswer) -> String {
    let balls: Vec<String> = refused
        .blockers
        .iter()
        .map(|b| format!("the {b}"))
        .collect();
    let by = if balls.is_empty() {
        "a cushion".to_owned()
    } else {
        balls.join(" and ")
    };
    let why = match refused.reason {
        "object-ball-blocked" => format!("its way is closed by {by}"),
        "cue-ball-blocked" => format!("the cue ball's way is closed by {by}"),
        "out-of-reach" => "no hit is thin enough".to_owned(),
        "too-close" => "the balls are too close to say".to_owned(),
        "too-steep" => {
            "from there the pocket takes no ball straight, however hard or soft".to_owned()
        }
        _ => "it does not drop with this stroke".to_owned(),
    };
    format!(
        "Not on: the {} into the {} pocket: {why}",
        refused.ball, refused.pocket
    )
}

/// What to do with a ball that cannot be cut into a pocket.
fn instead(ball: &str, answer: &ChoiceAnswer) -> String {
    let worth = |shot: &&ShotChoice| shot.ball == ball && shot.chance > WORTH_TRYING;
    match answer.shots.iter().find(worth) {
        Some(shot) => {
            let mut called = called(shot);
            if let Some(first) = called.get_mut(..1) {
                first.make_ascii_lowercase();
            }
            format!("; {called} instead, {}", in_ten(shot.chance))
        }
        None => "; it would have to be played from the other side".to_owned(),
    }
}

/// "1 diamond up from the foot rail, 1½ off the left long rail".
#[must_use]
pub fn place_words(gear: &Gear, place: Place) -> String {
    let (diamond_x, diamond_y) = (gear.bed.length_m / 8.0, gear.bed.width_m / 4.0);
    let (x, y) = (place.x_mm / 1e3 / diamond_x, place.y_mm / 1e3 / diamond_y);
    let (along, end) = if x > 4.0 {
        (8.0 - x, "foot")
    } else {
        (x, "head")
    };
    let (across, side) = if y > 2.0 {
        (4.0 - y, "left")
    } else {
        (y, "right")
    };
    let along = if along < BY_THE_RAIL {
        format!("by the {end} rail")
    } else {
        let unit = if along > 1.02 { "diamonds" } else { "diamond" };
        format!("{} {unit} from the {end} rail", speak::diamonds(along))
    };
    if across < BY_THE_RAIL {
        format!("{along}, by the {side} long rail")
    } else {
        format!(
            "{along}, {} off the {side} long rail",
            speak::diamonds(across)
        )
    }
}
