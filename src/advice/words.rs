//! Advice in words: best three, two lines each, and whether to go for the first.

use super::advise::Because;
use super::answer::{
    AdviceAnswer, AdvisedShot, GoAnswer, InsteadAnswer, MissLeftAnswer, SafetyAnswer, StrokeAnswer,
    WhyNotAnswer,
};
use super::legal::{AfterFoul, Scores};
use super::safety::IN_DOUBT;
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
use crate::units::{Length, Position, Side, speak};
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
/// Balls nearer than this are said to touch, mm (assumption: nobody sees light between them).
const TOUCHING_MM: f64 = 0.5;
/// A combination over no more than this is played because it is short, mm (assumption: a foot).
const SHORT_MM: f64 = 305.0;
/// A ball that is left nearer than this to where it lay hardly moved, mm (assumption: about its width).
const HARDLY_MM: f64 = 60.0;

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
    match (stroke, shot.family) {
        (Some(stroke), Family::Direct) => how.extend(arrival(stroke, speech)),
        (Some(stroke), Family::Combination { .. }) if stroke.centre_ball => {
            how.push(speech.pick("centre ball", "plain ball").to_owned());
        }
        _ => {}
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
    then.extend(why_combination(shot, stroke, speech));
    then.extend(why_stroke(shot, stroke, speech));
    then.extend(misses(&stroke.misses_leave, speech));
    then.join(". ")
}

/// "Combination, because the 3 and the 9 touch: the 9 leaves along the line through both": why it is played.
fn why_combination(shot: &ShotChoice, stroke: &StrokeAnswer, speech: Speech) -> Option<String> {
    let (first, ball) = (&shot.first, &shot.ball);
    let because = match stroke.between_mm? {
        mm if mm < TOUCHING_MM => format!(
            "the {first} and the {ball} touch: the {ball} leaves along the line through both, however the {first} is hit"
        ),
        mm if mm < SHORT_MM => format!(
            "the {ball} is only {} behind the {first}",
            speak::distance(Length::from_mm(mm), speech)
        ),
        _ => return None,
    };
    let it = first_large(speech.nouns().combination);
    Some(format!("{it}, because {because}"))
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
    let goes = match (shot.cue.end, &shot.cue.at) {
        (End::Scratch, Some(pocket)) => format!(
            "the cue ball heads for the {} pocket",
            speech.pocket_named(pocket)
        ),
        // It has gone by then: nobody can say how far the cue ball goes after it.
        (End::Ball, Some(ball)) if stroke.between_mm.is_some() && *ball == shot.ball => {
            return format!("the cue ball follows the {ball}");
        }
        _ => cue_words(&shot.cue, gear, speech),
    };
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
    let scratches = speech.nouns().scratches;
    match shot.cue.end {
        _ if shot.scratch_chance <= WORTH_SAYING => String::new(),
        End::Scratch => format!(" and {scratches} {often}"),
        _ => format!(", but {scratches} {often}"),
    }
}

/// What a foul gives the opponent, in the words of its game; nothing where play goes on from where all lies.
fn foul_gives(gives: AfterFoul, speech: Speech) -> Option<&'static str> {
    Some(match gives {
        AfterFoul::InHand => "ball in hand",
        AfterFoul::BehindTheString => speech.pick(
            "ball in hand behind the head string",
            "ball in hand behind the baulk line",
        ),
        AfterFoul::FromTheD => "ball in hand in the D",
        AfterFoul::TwoVisits => "two visits",
        AfterFoul::TwoVisitsFromBaulk => "two visits with ball in hand in baulk",
        AfterFoul::FreeShot => "a free shot",
        AfterFoul::AsItLies => return None,
    })
}

/// "4 points and ball in hand in the D": what the foul of a miss gives away.
fn given_away(miss: &MissLeftAnswer, gives: AfterFoul, speech: Speech) -> String {
    let leaves = || format!("leaves {}", in_ten(miss.opponent));
    let points = match miss.penalty {
        0 => None,
        1 => Some("1 point".to_owned()),
        n => Some(format!("{n} points")),
    };
    match (points, foul_gives(gives, speech)) {
        (Some(points), Some(gives)) => format!("gives away {points} and {gives}"),
        (None, Some(gives)) => format!("gives away {gives}"),
        (Some(points), None) => format!("gives away {points} and {}", leaves()),
        (None, None) => format!("is a foul and {}", leaves()),
    }
}

/// "missed too full it leaves the opponent 4 in 10", "missing the ball gives away ball in hand".
fn one_miss(miss: &MissLeftAnswer, speech: Speech) -> String {
    let how = match miss.side {
        Miss::TooFull => Some(speech.pick("too full", "too thick")),
        Miss::TooThin => Some("too thin"),
        Miss::NoBall => None,
    };
    let leaves = miss.gives.map_or_else(
        || format!("leaves the opponent {}", in_ten(miss.opponent)),
        |gives| given_away(miss, gives, speech),
    );
    match how {
        Some(how) => format!("missed {how} it {leaves}"),
        None => format!("missing the ball altogether {leaves}"),
    }
}

/// "Missed too full it leaves the opponent 4 in 10, too thin 1 in 10".
fn misses(left: &[MissLeftAnswer], speech: Speech) -> Option<String> {
    let told: Vec<&MissLeftAnswer> = left.iter().filter(|m| m.chance > MISS).collect();
    let plain = |m: &MissLeftAnswer| m.gives.is_none() && m.side != Miss::NoBall;
    match told.as_slice() {
        [] => None,
        [a, b, ..] if plain(a) && plain(b) => {
            let (one, other) = (in_ten(a.opponent), in_ten(b.opponent));
            // Off a cushion both ways of missing may be as full.
            Some(match (one == other, a.side == b.side) {
                (true, _) => format!("A miss leaves the opponent {one}"),
                (false, true) => format!("A miss leaves the opponent {one} or {other}"),
                (false, false) => {
                    let too = match b.side {
                        Miss::TooFull => speech.pick("too full", "too thick"),
                        Miss::TooThin | Miss::NoBall => "too thin",
                    };
                    format!("{}, {too} {other}", first_large(&one_miss(a, speech)))
                }
            })
        }
        [a, b, ..] => {
            let (one, other) = (one_miss(a, speech), one_miss(b, speech));
            // Past the ball on either side is one way of missing: the likelier is said.
            Some(if a.side == b.side {
                first_large(if a.chance < b.chance { &other } else { &one })
            } else {
                format!("{}; {other}", first_large(&one))
            })
        }
        [one] => Some(first_large(&one_miss(one, speech))),
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
            "it leaves you {} on average, the {first} {}",
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

/// "one rail", "two rails".
fn cushions_words(count: u32, speech: Speech) -> String {
    let nouns = speech.nouns();
    let number = match count {
        1 => return format!("one {}", nouns.rail),
        2 => "two",
        3 => "three",
        4 => "four",
        _ => "five or more",
    };
    format!("{number} {}", nouns.rails)
}

/// "The cue ball comes off one rail and stops behind the 5".
fn cue_stops(s: &SafetyAnswer, gear: &Gear, speech: Speech) -> String {
    let off = match s.cue_cushions {
        0 => String::new(),
        n => format!("comes off {} and ", cushions_words(n, speech)),
    };
    let stops = match &s.behind {
        Some(ball) => format!("stops behind the {ball}"),
        None => format!("stops {}", stop_words(s.cue, &gear.bed, speech)),
    };
    format!("The cue ball {off}{stops}")
}

/// "The 7 runs two rails and stops by the head rail, 1 off the left side rail".
fn object_stops(s: &SafetyAnswer, gear: &Gear, speech: Speech) -> String {
    let runs = match (&s.object_meets, s.object_cushions) {
        (Some(other), _) => format!("runs into the {other} and "),
        (None, 0) => String::new(),
        (None, n) => format!(
            "{} {} and ",
            speech.pick("runs", "comes off"),
            cushions_words(n, speech)
        ),
    };
    let stops = match s.object_over {
        Some(pocket) => {
            let pocket = speech.pocket_name(pocket);
            let hangs = speech.pick("hangs in", "is left over");
            format!("{hangs} the {pocket} pocket")
        }
        None if runs.is_empty() && s.object_moved_mm < HARDLY_MM => "hardly moves".to_owned(),
        None => format!("stops {}", stop_words(s.object, &gear.bed, speech)),
    };
    format!("The {} {runs}{stops}", s.ball)
}

/// What a stroke off its speed leaves: "it leaves a shot of 3 in 10", after another "one of 3 in 10".
fn off_speed_leaves(chance: Option<f64>, after_a_shot: bool) -> String {
    match chance {
        None => "it is a foul".to_owned(),
        Some(c) if c <= MISS => "it leaves next to nothing".to_owned(),
        Some(c) if after_a_shot => format!("one of {}", in_ten(c)),
        Some(c) => format!("it leaves a shot of {}", in_ten(c)),
    }
}

/// "Struck 10 % too hard it leaves a shot of 3 in 10, too soft it is a foul": where that is not about the same.
fn off_speed(s: &SafetyAnswer) -> Option<String> {
    let told = |chance: Option<f64>| {
        let far = chance.is_none_or(|c| (c - s.best_chance).abs() > MOVES);
        far && chance.is_none_or(|c| in_ten(c) != in_ten(s.best_chance))
    };
    let leaves = |chance| off_speed_leaves(chance, false);
    match (told(s.if_hard), told(s.if_soft)) {
        (false, false) => None,
        (true, false) => Some(format!("Struck 10 % too hard {}", leaves(s.if_hard))),
        (false, true) => Some(format!("Struck 10 % too soft {}", leaves(s.if_soft))),
        (true, true) if leaves(s.if_hard) == leaves(s.if_soft) => Some(format!(
            "Struck 10 % too hard or too soft {}",
            leaves(s.if_hard)
        )),
        (true, true) => Some(format!(
            "Struck 10 % too hard {}, too soft {}",
            leaves(s.if_hard),
            off_speed_leaves(s.if_soft, s.if_hard.is_some_and(|c| c > MISS))
        )),
    }
}

/// "hit the 7 half full on its left side, one and a half lengths. The cue ball stops behind the 5. …": a
/// sentence for each thing, the last one open.
fn safety_words(s: &SafetyAnswer, gear: &Gear, speech: Speech) -> String {
    let best = match (&s.best_ball, s.best_pocket) {
        (Some(ball), Some(pocket)) => format!(
            "The opponent's best is the {ball} into the {} pocket, {}",
            speech.pocket_name(pocket),
            in_ten(s.best_chance)
        ),
        _ if s.hidden => speech
            .pick("The opponent is hooked", "The opponent is snookered")
            .to_owned(),
        _ => "The opponent has no direct shot".to_owned(),
    };
    let mut said = vec![
        format!(
            "{}, {}",
            hit_words(s, gear, speech),
            lengths_words(s.stroke_lengths)
        ),
        cue_stops(s, gear, speech),
        object_stops(s, gear, speech),
        best,
    ];
    if s.pushed_back > IN_DOUBT {
        said.push("The pack pushes back, so where the cue ball stops is a guess".to_owned());
    }
    said.extend(off_speed(s));
    if s.foul > WORTH_SAYING {
        said.push(format!("You foul {}", in_ten(s.foul)));
    }
    said.join(". ")
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
