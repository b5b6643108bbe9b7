//! Advice in words: best three, two lines each, and whether to go for the first.

use super::advise::Because;
use super::answer::{
    AdviceAnswer, AdvisedShot, GoAnswer, InsteadAnswer, MissLeftAnswer, SafetyAnswer, StrokeAnswer,
    WhyNotAnswer,
};
use super::legal::Scores;
use super::strokes::Kind;
use crate::answer::{differences_text, pace_words, stroke_words};
use crate::forwards::Miss;
use crate::game::{ruling_words, state_words};
use crate::gear::Gear;
use crate::layout::{
    Family, LeastBadAnswer, ShotChoice, SpokenShot, called, cue_words, ranged, refusal_line,
    stop_words, with_article,
};
use crate::player::in_ten;
use crate::speech::{Speech, first_large};
use crate::units::Side;
use crate::window::{Hit, hit_word};

/// Shots said unless all are asked for.
const BEST: usize = 3;
/// Parts below this are not worth a sentence (assumption: 1 in 50).
const WORTH_SAYING: f64 = 0.02;
/// A miss rarer than this is not spoken of (assumption: 1 in 20).
const MISS: f64 = 0.05;
/// Sides below this are none.
const SIDE: f64 = 0.05;
/// A chance moves by this much before it is said.
const MOVES: f64 = 0.08;

/// The answer as text; `all` says every shot with its details, and why the others are not on.
#[must_use]
pub fn advice_text(
    answer: &AdviceAnswer,
    gear: &Gear,
    speech: impl Into<Speech>,
    all: bool,
) -> String {
    let speech = speech.into();
    let mut out = String::new();
    if let Some(game) = &answer.game {
        out.push_str(&state_words(&game.situation, speech));
        out.push('\n');
    }
    if answer.no_shot {
        let nowhere = answer.safeties.is_empty();
        out.push_str(&no_shot(
            answer.least_bad.as_ref().filter(|_| nowhere),
            nowhere,
        ));
    }
    let safe = answer.go.as_ref().is_none_or(|go| !go.go);
    if safe {
        out.push_str(&safe_lines(answer, gear, speech));
    }
    let legal = answer
        .shots
        .iter()
        .take_while(|s| s.stroke.is_some())
        .count();
    if answer.no_shot && legal > 0 {
        out.push_str("The least bad:\n");
    }
    // What would be a foul is said where all is.
    let count = if all {
        answer.shots.len()
    } else {
        legal.min(BEST)
    };
    for (k, shot) in answer.shots.iter().take(count).enumerate() {
        out.push_str(&shot_lines(k + 1, shot, gear, speech));
        if all {
            out.push_str(&details(shot, gear, speech));
        }
    }
    if let Some(why) = &answer.why_not {
        out.push_str(&why_not(why, answer, speech));
    }
    if !safe {
        out.push_str(&safe_lines(answer, gear, speech));
    }
    if all {
        for refused in &answer.refused {
            let shots = answer.shots.iter().map(|s| &s.shot);
            out.push_str(&refusal_line(refused, shots, speech));
        }
    }
    if answer.stopped {
        out.push_str("Stopped before all was looked at: the best so far.\n");
    }
    out.push_str(&differences_text(&answer.pockets, speech));
    out.push_str(&for_whom(answer, speech));
    out
}

/// Who plays against whom, what was given of the stroke, what is assumed.
fn for_whom(answer: &AdviceAnswer, speech: Speech) -> String {
    let how_hard = match (answer.stroke_lengths, answer.pace_m_s) {
        (Some(lengths), _) => format!("; every shot {}", stroke_words(lengths)),
        (None, Some(pace)) => format!("; direct shots at {}", pace_words(pace, None)),
        (None, None) => String::new(),
    };
    format!(
        "For {}, the opponent {}{how_hard}. Assumed: bounce of jaws and {}, what a cushion hides from the eye, reach.\n",
        with_article(&answer.player),
        answer
            .opponent
            .as_deref()
            .map_or_else(|| "as good".to_owned(), with_article),
        speech.nouns().rails
    )
}

/// Advice in words, part by part.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct SpokenAdvice {
    /// The shots, in their order.
    pub said: Vec<SpokenShot>,
    /// The safety, and whether it is better than the first shot; empty where none was looked for.
    pub safe: String,
    /// Whether the safety is to be played.
    pub play_safe: bool,
    /// Why the easiest ball is not the first; empty where it is.
    pub why_not: String,
}

impl SpokenAdvice {
    /// Advice in words.
    #[must_use]
    pub fn new(answer: &AdviceAnswer, gear: &Gear, speech: impl Into<Speech>) -> Self {
        let speech = speech.into();
        let one = |shot: &AdvisedShot| {
            let said = SpokenShot::new(&shot.shot, gear, speech);
            let Some(stroke) = &shot.stroke else {
                return said;
            };
            SpokenShot {
                called: format!("{}{}", said.called, how(shot, speech)),
                then: {
                    let then = then_line(&shot.shot, stroke, gear, speech);
                    match next_words(shot).strip_prefix(", ") {
                        Some(next) => format!("{}; {then}", next.replacen("then ", "next ", 1)),
                        None => then,
                    }
                },
                ..said
            }
        };
        let joined = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
        Self {
            said: answer.shots.iter().map(one).collect(),
            safe: joined(safe_lines(answer, gear, speech)),
            play_safe: !answer.safeties.is_empty() && answer.go.as_ref().is_none_or(|go| !go.go),
            why_not: answer
                .why_not
                .as_ref()
                .map_or_else(String::new, |why| joined(why_not(why, answer, speech))),
        }
    }
}

/// What to do where no shot is worth trying, with no safety to be said (`nowhere`).
fn no_shot(least_bad: Option<&LeastBadAnswer>, nowhere: bool) -> String {
    let what = match least_bad {
        Some(hit) => format!(
            " The easiest legal hit is the {} ({}): play it safe.",
            hit.ball,
            in_ten(hit.chance)
        ),
        None if nowhere => " No ball can be hit straight either: play off a cushion.".to_owned(),
        None => String::new(),
    };
    format!("No shot worth trying here.{what}\n")
}

/// "1. Play the 5 into the side-left pocket, stun, two lengths: 8 in 10, then the 6 at 9 in 10."
fn shot_lines(rank: usize, shot: &AdvisedShot, gear: &Gear, speech: Speech) -> String {
    let (how, next) = (how(shot, speech), next_words(shot));
    let AdvisedShot { shot, stroke } = shot;
    let ruling = shot.ruling.as_ref();
    let rule = ruling
        .and_then(|ruling| ruling_words(&ruling.said, speech))
        .map_or_else(String::new, |rule| format!("; {rule}"));
    let mut out = format!(
        "{rank}. {}{how}: {}{next}{rule}.\n",
        called(shot, speech),
        ranged(shot, speech)
    );
    if let Some(stroke) = stroke {
        let then = then_line(shot, stroke, gear, speech);
        out.push_str(&format!("   {}.\n", first_large(&then)));
    }
    out
}

/// ", stun, two lengths".
fn how(shot: &AdvisedShot, speech: Speech) -> String {
    let AdvisedShot { shot, stroke } = shot;
    let mut how = Vec::new();
    if let Some(stroke) = stroke.as_ref().filter(|_| shot.family == Family::Direct) {
        how.extend(arrival(stroke, speech));
    }
    how.extend(shot.stroke_lengths.map(lengths_words));
    how.iter().map(|h| format!(", {h}")).collect()
}

/// ", then the 6 at 9 in 10".
fn next_words(shot: &AdvisedShot) -> String {
    let last = shot.stroke.as_ref().is_none_or(|s| s.last);
    shot.shot.next.as_ref().map_or_else(
        || match shot.shot.chance {
            c if c > WORTH_SAYING && !last => ", with no shot after it".to_owned(),
            _ => String::new(),
        },
        |n| {
            // A make of one counts as any other.
            let worth = match n.points {
                Some(points) if points > 1 => format!(" for {points} points"),
                _ => String::new(),
            };
            let after = n.then.as_ref().map_or_else(String::new, |then| {
                format!(", after it the {} at {}", then.ball, in_ten(then.chance))
            });
            format!(
                ", then the {} at {}{worth}{after}",
                n.ball,
                in_ten(n.chance)
            )
        },
    )
}

/// Where the cue ball goes, why this stroke, what a miss leaves.
fn then_line(shot: &ShotChoice, stroke: &StrokeAnswer, gear: &Gear, speech: Speech) -> String {
    let mut then = vec![then_words(shot, stroke, gear, speech)];
    then.extend(scratch(shot.scratch_chance, speech));
    then.extend(why_stroke(shot, stroke, speech));
    then.extend(misses(&stroke.misses_leave, speech));
    then.join("; ")
}

/// A stroke by its name.
fn kind_word(kind: Kind, speech: Speech) -> Option<&'static str> {
    match kind {
        Kind::Centre => Some(speech.pick("a centre ball", "a plain ball")),
        Kind::Stun => Some(hit_word(Hit::Stun, speech)),
        Kind::Draw => Some(hit_word(Hit::Draw, speech)),
        Kind::Follow => Some(hit_word(Hit::Follow, speech)),
        Kind::Other => None,
    }
}

/// "stun, since follow scratches 3 in 10 and after draw the next is 4 in 10": what speaks against the other
/// strokes.
fn why_stroke(shot: &ShotChoice, stroke: &StrokeAnswer, speech: Speech) -> Option<String> {
    let own_next = shot.next.as_ref().map_or(0.0, |n| n.chance * n.free_share);
    let against = |other: &InsteadAnswer| {
        let name = kind_word(other.kind, speech)?;
        let scratches = other.scratch > shot.scratch_chance + MOVES;
        let leaves_less = !stroke.last && other.next < own_next - MOVES;
        let harder = other.chance < shot.chance - MOVES;
        let what = if scratches {
            format!(
                "{name} {} {}",
                speech.nouns().scratches,
                in_ten(other.scratch)
            )
        } else if leaves_less {
            format!("after {name} the next is {}", in_ten(other.next))
        } else if harder {
            format!(
                "{name} {} it {}",
                speech.nouns().makes_it,
                in_ten(other.chance)
            )
        } else {
            return None;
        };
        Some((other.value, what))
    };
    let mut all: Vec<(f64, String)> = stroke.instead.iter().filter_map(against).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let own = kind_word(stroke.kind?, speech)?;
    let said: Vec<String> = all.into_iter().take(2).map(|(_, said)| said).collect();
    (!said.is_empty()).then(|| format!("{own}, since {}", said.join(" and ")))
}

/// Where the cue ball goes: "the cue ball stops …", "the cue ball moves the 7".
fn then_words(shot: &ShotChoice, stroke: &StrokeAnswer, gear: &Gear, speech: Speech) -> String {
    let goes = cue_words(&shot.cue, gear, speech);
    match &stroke.moves {
        Some(ball) if shot.cue.at.as_ref() == Some(ball) => format!("{goes} and moves it"),
        _ => goes,
    }
}

/// "stun", "draw with outside side", "centre ball".
fn arrival(stroke: &StrokeAnswer, speech: Speech) -> Option<String> {
    let word = kind_word(stroke.kind?, speech)?;
    let what = word.trim_start_matches("a ").to_owned();
    let side = stroke.side.unwrap_or(0.0);
    if side.abs() < SIDE {
        return Some(what);
    }
    let which = if side > 0.0 { "outside" } else { "inside" };
    Some(format!("{what} with {which} {}", speech.nouns().side))
}

/// "two lengths", "half a length": to half a length, as strokes are practised.
fn lengths_words(lengths: f64) -> String {
    const WORDS: [&str; 9] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight",
    ];
    let halves = (2.0 * lengths).round().clamp(1.0, 17.0);
    let whole = (0.5 * halves).floor();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 to 8"
    )]
    let word = WORDS.get(whole as usize).copied().unwrap_or("eight");
    let half = halves > 2.0 * whole;
    match (whole, half) {
        (w, true) if w < 1.0 => "half a length".to_owned(),
        (w, false) if w < 1.5 => "one length".to_owned(),
        (_, true) => format!("{word} and a half lengths"),
        (_, false) => format!("{word} lengths"),
    }
}

fn scratch(chance: f64, speech: Speech) -> Option<String> {
    (chance > WORTH_SAYING).then(|| format!("{} {}", speech.nouns().scratching, in_ten(chance)))
}

/// "a miss too full leaves the opponent 4 in 10, too thin 1 in 10".
fn misses(left: &[MissLeftAnswer], speech: Speech) -> Option<String> {
    let told: Vec<&MissLeftAnswer> = left.iter().filter(|m| m.chance > MISS).collect();
    let side = |m: &MissLeftAnswer| match m.side {
        Miss::TooFull => speech.pick(" too full", " too thick"),
        Miss::TooThin => " too thin",
        Miss::NoBall => " of the ball altogether",
    };
    let leaves = |m: &MissLeftAnswer| match (m.foul, m.in_hand, m.penalty) {
        (false, ..) => in_ten(m.opponent),
        (true, _, 0) => speech
            .pick("the ball in hand", "the cue ball in hand")
            .to_owned(),
        (true, true, points) => format!("{points} points and the D"),
        (true, false, points) => format!("{points} points and {}", in_ten(m.opponent)),
    };
    match told.as_slice() {
        [] => None,
        [one] => Some(format!(
            "a miss{} leaves the opponent {}",
            side(one),
            leaves(one)
        )),
        [a, b, ..] if leaves(a) == leaves(b) => {
            Some(format!("a miss leaves the opponent {}", leaves(a)))
        }
        [a, b, ..] => Some(format!(
            "a miss{} leaves the opponent {},{} {}",
            side(a),
            leaves(a),
            side(b),
            leaves(b)
        )),
    }
}

/// What makes it that hard, and where its misses go.
fn details(shot: &AdvisedShot, gear: &Gear, speech: Speech) -> String {
    let said = SpokenShot::new(&shot.shot, gear, speech);
    let mut out = format!("   Chance: {}.\n   Why: {}.\n", said.chance, said.why);
    if !said.miss.is_empty() {
        out.push_str(&format!("   A miss: {}.\n", said.miss));
    }
    out
}

fn why_not(why: &WhyNotAnswer, answer: &AdviceAnswer, speech: Speech) -> String {
    let first = answer.shots.first().map_or("", |s| s.shot.ball.as_str());
    let reason = match why.because {
        Because::Scratch => format!(
            "the cue ball {} {}",
            speech.nouns().scratches,
            in_ten(why.scratch)
        ),
        Because::Waits => format!("it can wait: after the {first} it is the next shot"),
        Because::LeavesLess => format!(
            "what is next then goes {} on average, after the {first} {}",
            in_ten(why.next),
            in_ten(why.next_of_first)
        ),
        Because::ScoresLess => format!("the {first} scores more"),
    };
    format!(
        "Why not the {} first ({} into the {} pocket)? {}.\n",
        why.ball,
        in_ten(why.chance),
        speech.pocket_name(why.pocket),
        first_large(&reason)
    )
}

/// How full a ball is hit: "full", "half full on its left side".
fn fullness_words(s: &SafetyAnswer) -> String {
    let side = match s.side {
        Side::Left => "left",
        Side::Right => "right",
    };
    let how = match s.fullness {
        f if f > 0.95 => return "full".to_owned(),
        f if f > 0.6 => "three quarters full",
        f if f > 0.4 => "half full",
        f if f > 0.2 => "a quarter full",
        _ => "thin",
    };
    format!("{how} on its {side} side")
}

/// "hit the 7 half full on its left side, one and a half lengths: the cue ball stops behind the 5; …".
fn safety_words(s: &SafetyAnswer, gear: &Gear, speech: Speech) -> String {
    let stops = match &s.behind {
        Some(ball) => format!("the cue ball stops behind the {ball}"),
        None => format!(
            "the cue ball stops {}",
            stop_words(s.cue, &gear.bed, speech)
        ),
    };
    let off = |chance: Option<f64>, word: &str| {
        let there = chance.map_or_else(|| "a foul".to_owned(), in_ten);
        let far = chance.is_none_or(|c| (c - s.best_chance).abs() > MOVES);
        (far && there != in_ten(s.best_chance)).then(|| format!("{there} if you are 10 % {word}"))
    };
    let off: Vec<String> = [off(s.if_hard, "hard"), off(s.if_soft, "soft")]
        .into_iter()
        .flatten()
        .collect();
    let off = if off.is_empty() {
        String::new()
    } else {
        format!(" ({})", off.join(", "))
    };
    let best = match (&s.best_ball, s.best_pocket) {
        (Some(_), Some(_)) => format!("the opponent's best is {}", in_ten(s.best_chance)),
        _ => "the opponent has no straight shot".to_owned(),
    };
    let foul = if s.foul > WORTH_SAYING {
        format!("; a foul {}", in_ten(s.foul))
    } else {
        String::new()
    };
    format!(
        "hit the {} {}, {}: {stops}; {best}{off}{foul}",
        s.ball,
        fullness_words(s),
        lengths_words(s.stroke_lengths)
    )
}

/// The safety and what speaks for it or against it.
fn safe_lines(answer: &AdviceAnswer, gear: &Gear, speech: Speech) -> String {
    let best = answer.safeties.first();
    let Some(go) = &answer.go else {
        return best.map_or_else(String::new, |s| {
            format!("Play safe: {}.\n", safety_words(s, gear, speech))
        });
    };
    match (best, go.go) {
        (Some(s), false) => format!(
            "Play safe: {}.\n{}",
            safety_words(s, gear, speech),
            flip(go, answer)
        ),
        (Some(s), true) => format!(
            "Go for it{}: {}.\n",
            go.from_chance.map_or_else(String::new, |p| format!(
                "; below {} you would play safe",
                in_ten(p)
            )),
            safety_words(s, gear, speech)
        ),
        (None, _) => String::new(),
    }
}

/// "Shot 1 is 4 in 10 without a scratch: at 6 in 10 you would go."
fn flip(go: &GoAnswer, answer: &AdviceAnswer) -> String {
    let counted = match go.scores {
        Scores::Balls => "balls",
        Scores::Points => "points",
    };
    let now = answer.shots.first().map_or(0.0, |s| s.shot.chance_and_keep);
    let turn = match go.from_chance {
        Some(p) if in_ten(now) == in_ten(p) => {
            format!(
                "shot 1 is {}: were it a little more, you would go",
                in_ten(now)
            )
        }
        Some(p) => format!("shot 1 is {}, at {} you would go", in_ten(now), in_ten(p)),
        None => "shot 1 would not be worth it however often it went in".to_owned(),
    };
    format!(
        "   {} (in {counted} over this visit, the opponent's and your next; a chance to win is not claimed).\n",
        first_large(&turn)
    )
}
