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
use crate::gear::{Bed, Gear};
use crate::layout::{
    End, Family, LeastBadAnswer, Place, ShotChoice, SpokenShot, called, cue_words, ranged,
    refusal_line, stop_words, with_article,
};
use crate::player::in_ten;
use crate::speech::{Speech, first_large, rail_words};
use crate::units::{Position, Side};
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
/// Another stroke leaves less from here on.
const LEAVES_LESS: f64 = 0.15;

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
        "For {}, against {}{how_hard}. Assumed: bounce of jaws and {}, what a cushion hides from the eye, reach.\n",
        with_article(&answer.player),
        answer
            .opponent
            .as_deref()
            .map_or_else(|| "one as good".to_owned(), with_article),
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

/// Where the cue ball goes, why this stroke, what a miss leaves: a sentence each, the last one open.
fn then_line(shot: &ShotChoice, stroke: &StrokeAnswer, gear: &Gear, speech: Speech) -> String {
    let mut goes = then_words(shot, stroke, gear, speech);
    goes.push_str(&scratch(shot, speech));
    let mut then = vec![goes];
    then.extend(why_stroke(shot, stroke, speech));
    then.extend(misses(&stroke.misses_leave, speech));
    then.join(". ")
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

/// "Stun, because follow scratches 3 in 10 and draw leaves you only 4 in 10": what speaks against the other
/// strokes.
fn why_stroke(shot: &ShotChoice, stroke: &StrokeAnswer, speech: Speech) -> Option<String> {
    let own_next = shot.next.as_ref().map_or(0.0, |n| n.chance * n.free_share);
    let against = |other: &InsteadAnswer| {
        let name = kind_word(other.kind, speech)?;
        let scratches = other.scratch > shot.scratch_chance + MOVES;
        let leaves_less = !stroke.last && other.next < own_next - LEAVES_LESS;
        let harder = other.chance < shot.chance - MOVES;
        let (does, often) = if scratches {
            (speech.nouns().scratches.to_owned(), other.scratch)
        } else if leaves_less {
            ("leaves you only".to_owned(), other.next)
        } else if harder {
            (format!("{} it only", speech.nouns().makes_it), other.chance)
        } else {
            return None;
        };
        Some((other.value, name, does, in_ten(often)))
    };
    let mut all: Vec<_> = stroke.instead.iter().filter_map(against).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let own = kind_word(stroke.kind?, speech)?.trim_start_matches("a ");
    let because = match all.as_slice() {
        [] => return None,
        [(_, name, does, often)] => format!("{name} {does} {often}"),
        [(_, a, does, one), (_, b, also, other), ..] if does == also => {
            format!("{a} {does} {one} and {b} {other}")
        }
        [(_, a, does, one), (_, b, also, other), ..] => {
            format!("{a} {does} {one} and {b} {also} {other}")
        }
    };
    Some(format!("{}, because {because}", first_large(own)))
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
    let nouns = speech.nouns();
    let which = if side > 0.0 {
        nouns.outside_side
    } else {
        nouns.inside_side
    };
    Some(format!("{what} with {which}"))
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

/// ", but scratches 1 in 10".
fn scratch(shot: &ShotChoice, speech: Speech) -> String {
    let often = in_ten(shot.scratch_chance);
    match shot.cue.end {
        _ if shot.scratch_chance <= WORTH_SAYING => String::new(),
        End::Scratch => format!(", {often} as your aim scatters"),
        _ => format!(", but {} {often}", speech.nouns().scratches),
    }
}

/// "Missed too full it leaves the opponent 4 in 10, too thin 1 in 10".
fn misses(left: &[MissLeftAnswer], speech: Speech) -> Option<String> {
    let told: Vec<&MissLeftAnswer> = left.iter().filter(|m| m.chance > MISS).collect();
    let side = |m: &MissLeftAnswer| match m.side {
        Miss::TooFull => speech.pick("too full", "too thick"),
        Miss::TooThin => "too thin",
        Miss::NoBall => "altogether",
    };
    let leaves = |m: &MissLeftAnswer| match (m.foul, m.in_hand, m.penalty) {
        (false, ..) => in_ten(m.opponent),
        (true, _, 0) => speech
            .pick("ball in hand", "the cue ball to place")
            .to_owned(),
        (true, true, points) => format!("{points} points and the D"),
        (true, false, points) => format!("{points} points and {}", in_ten(m.opponent)),
    };
    match told.as_slice() {
        [] => None,
        [one] => Some(format!(
            "Missed {} it leaves the opponent {}",
            side(one),
            leaves(one)
        )),
        [a, b, ..] if leaves(a) == leaves(b) => {
            Some(format!("A miss leaves the opponent {}", leaves(a)))
        }
        // Off a cushion both ways of missing may be as full.
        [a, b, ..] if side(a) == side(b) => Some(format!(
            "A miss leaves the opponent {} or {}",
            leaves(a),
            leaves(b)
        )),
        [a, b, ..] => Some(format!(
            "Missed {} it leaves the opponent {}, {} {}",
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
        f if f > 0.8 => "nearly full",
        f if f > 0.7 => "three quarters full",
        f if f > 0.56 => "just over half full",
        f if f > 0.44 => "half full",
        f if f > 0.3 => "just under half full",
        f if f > 0.2 => "a quarter full",
        _ => "thin",
    };
    format!("{how} on its {side} side")
}

/// Which ball is hit and how: "hit the 7 half full on its left side, with right english", "come off the left
/// side rail, 2 diamonds from the head, onto the 7".
fn hit_words(s: &SafetyAnswer, gear: &Gear, speech: Speech) -> String {
    let hit = match s.off_cushion {
        Some(off) => {
            let rail = rail_words(on_a_rail(off, &gear.bed), &gear.bed, speech);
            format!("come off {rail}, onto the {}", s.ball)
        }
        None => format!("hit the {} {}", s.ball, fullness_words(s)),
    };
    match s.english {
        None => hit,
        Some(side) => {
            let english = speech.pick(" english", "-hand side");
            format!("{hit}, with {}{english}", side.name())
        }
    }
}

/// The place on the nearest rail.
fn on_a_rail(place: Place, bed: &Bed) -> Position {
    let x = 8e-3 * place.x_mm / bed.length_m;
    let y = 4e-3 * place.y_mm / bed.width_m;
    let (end, side) = (
        if x > 4.0 { 8.0 } else { 0.0 },
        if y > 2.0 { 4.0 } else { 0.0 },
    );
    if (x - end).abs() * bed.length_m / 8.0 < (y - side).abs() * bed.width_m / 4.0 {
        Position::diamonds(end, y)
    } else {
        Position::diamonds(x, side)
    }
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
        _ if s.hidden => speech
            .pick("the opponent is hooked", "the opponent is snookered")
            .to_owned(),
        _ => "the opponent has no direct shot".to_owned(),
    };
    let foul = if s.foul > WORTH_SAYING {
        format!("; a foul {}", in_ten(s.foul))
    } else {
        String::new()
    };
    format!(
        "{}, {}: {stops}; {best}{off}{foul}",
        hit_words(s, gear, speech),
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

/// "Shot 1 is 4 in 10; at 6 in 10 you would go for it."
fn flip(go: &GoAnswer, answer: &AdviceAnswer) -> String {
    let counted = match go.scores {
        Scores::Balls => "balls",
        Scores::Points => "points",
    };
    let now = answer.shots.first().map_or(0.0, |s| s.shot.chance_and_keep);
    let turn = match go.from_chance {
        Some(p) if in_ten(now) == in_ten(p) => format!(
            "shot 1 is {}: a little more, and you would go for it",
            in_ten(now)
        ),
        Some(p) => format!(
            "shot 1 is {}; at {} you would go for it",
            in_ten(now),
            in_ten(p)
        ),
        None => "shot 1 would not be worth it however often it went in".to_owned(),
    };
    format!(
        "   {} (counted in {counted} over three visits: this one, the opponent's, your next).\n",
        first_large(&turn)
    )
}
