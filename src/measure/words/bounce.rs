//! What rolls tell of jaws and rails, in words.

use crate::answer::shot_words;
use crate::measure::bounce::{Bounce, RangeEffect, Rubber};
use crate::measure::jaws::{JawFit, NextRolls, Plan, ROLLS, RampRun, mark_name, share_words};
use crate::measure::rails::FOOT_M;
use crate::player::{Ranged, in_ten};
use crate::pocket::PocketKind;
use crate::speech::{Caution, Speech, cautions, first_large};
use crate::units::{Length, speak};

/// What was rolled: `from 120 rolls at 12 marks`.
#[must_use]
pub fn rolls_words(fit: &JawFit<'_>) -> String {
    let rolls: u32 = fit.rolls.iter().map(|r| r.rolls).sum();
    let marks = fit.rolls.len();
    format!(
        "{rolls} roll{} at {marks} mark{}",
        if rolls == 1 { "" } else { "s" },
        if marks == 1 { "" } else { "s" },
    )
}

/// From this correlation on the two are said to be known together.
const TOGETHER: f64 = 0.8;
/// No rubber of the impact law rubs more.
const MOST_FRICTION: f64 = 0.28;

/// What was found: restitution and friction with their ranges.
#[must_use]
pub fn found_line(found: &Bounce, rubber: Rubber, from: &str, speech: Speech) -> String {
    let what = match rubber {
        Rubber::Facings => "Jaws and facings".to_owned(),
        Rubber::Cushions => first_large(speech.nouns().rails),
    };
    let together = if found.together.abs() > TOGETHER {
        " The two together, which is what shots rest on, are known better than each alone."
    } else {
        ""
    };
    format!(
        "{what}, from {from}: they give back {:.2} of the speed ({:.2} to {:.2}) and rub {:.2} ({:.2} to {:.2}), right 95 times in 100.{together}\n",
        found.restitution,
        (found.restitution - found.restitution_reach).max(0.0),
        (found.restitution + found.restitution_reach).min(1.0),
        found.friction,
        (found.friction - found.friction_reach).max(0.0),
        (found.friction + found.friction_reach).min(MOST_FRICTION),
    )
}

/// The shots before and after, one a line: `7 in 10 (4 to 8) becomes 6 in 10 (5 to 7)`.
#[must_use]
pub fn effect_lines(effects: &[RangeEffect]) -> String {
    let line = |effect: &RangeEffect| {
        let kind = effect.shot.places.kind.as_deref().unwrap_or("corner");
        let words = shot_words(&effect.shot, kind);
        let (before, after) = (&effect.before, &effect.after);
        let same = in_ten(before.chance) == in_ten(after.chance);
        let verb = if same { "stays" } else { "becomes" };
        format!(
            "{}: {} {verb} {}.\n",
            first_large(&words),
            with_range(before),
            with_range(after)
        )
    };
    effects.iter().map(line).collect()
}

/// `7 in 10 (4 to 8)`; the range where it is wide enough to be said.
fn with_range(of: &Ranged) -> String {
    let said = in_ten(of.chance);
    let tenths = |p: f64| (10.0 * p).round().clamp(0.0, 10.0);
    let (low, high) = (tenths(of.low), tenths(of.high));
    if of.is_said() && low < high {
        format!("{said} ({low:.0} to {high:.0})")
    } else {
        said
    }
}

/// Where to roll next; what the other edge would do, where nothing was rolled there.
#[must_use]
pub fn next_line(next: Option<NextRolls>, missing_edge: Option<&str>) -> String {
    if let Some(edge) = missing_edge {
        return format!(
            "Next: the {edge} edge. With one edge alone a strip that lies a little off looks like other jaws.\n"
        );
    }
    let Some(next) = next else {
        return String::new();
    };
    let left = 100.0 * next.width_left;
    if left > 98.0 {
        return "Next: more rolls at these edges would hardly narrow it; measure mouth and throat again, or the rails.\n".to_owned();
    }
    format!(
        "Next: {} more at {} tell most; they would leave about {left:.0} % of the width.\n",
        next.rolls,
        mark_name(next.mark_mm),
    )
}

/// What the fit of the jaws takes for granted.
#[must_use]
pub fn jaws_assumed(speed_m_s: f64) -> String {
    format!(
        "Assumed: a roll strays 1.5 mm from its mark and all marks lie off by 1.5 mm (two in three), one roll in a hundred goes astray; {speed_m_s:.2} m/s from the ramp, by the cloth's rolling friction; mouth, throat and shelf as in the table's file; all six pockets of one rubber.\n"
    )
}

/// What the fit of the cushions takes for granted.
#[must_use]
pub fn rails_assumed(speed_m_s: f64, tape_m: f64, speech: Speech) -> String {
    let tape = speak::small_length(Length::from_m(tape_m), speech);
    format!(
        "Assumed: a ball strays by 2 % of its way and 1° from its line, the run from the ramp is off by 2 %, the tape by {tape} (two in three); {speed_m_s:.2} m/s from the ramp, by the cloth's rolling friction; all {} alike.\n",
        speech.nouns().rails
    )
}

/// Where the two rolls off a rail go, on a screen.
#[must_use]
pub fn rails_plan(run: &RampRun, speech: Speech) -> String {
    let say = |m: f64| speak::distance(Length::from_m(m), speech);
    let rail = speech.nouns().rail;
    format!(
        "Two rolls off a {rail}, with a ramp and a tape: how it bounces, and how it rubs.\n\
         Ramp: its foot half a metre of the ball's way from the nose ({} straight, {} at 45°), away from the pockets. Take it away as soon as the ball has left it.\n\
         Height: {}.\n\
         Straight at the {rail}, three times: from the nose to the near side of the ball where it rests.\n\
         At 45°, three times: along the {rail}, from level with the ramp's foot to level with the ball's middle; and from the nose to the near side of the ball.\n\
         {}\n",
        say(FOOT_M),
        say(FOOT_M * std::f64::consts::FRAC_1_SQRT_2),
        run_words(run, speech),
        cautions(&[Caution::Rail], false),
    )
}

/// Where the ramp stands, in a sentence.
#[must_use]
pub fn foot_words(plan: &Plan, speech: Speech) -> String {
    let say = |m: f64| speak::small_length(Length::from_m(m), speech);
    let [a, b] = plan.foot_m.map(say);
    match plan.ramp.kind {
        PocketKind::Corner => format!(
            "the ball's middle leaves it {a} from the nose of the left {rail} and {b} from that of the right one, as you face the pocket",
            rail = speech.nouns().rail
        ),
        PocketKind::Side => format!(
            "the ball's middle leaves it {a} from the nose and {b} right of the middle of the mouth, as you face the pocket"
        ),
    }
}

/// How high the ball is let go from, in a sentence.
#[must_use]
pub fn run_words(run: &RampRun, speech: Speech) -> String {
    let say = |m: f64| speak::distance(Length::from_m(m), speech);
    format!(
        "from {} of the height a ball should run {} on the open cloth; move the mark on the ramp until it nearly does, and write down how far it ran",
        share_words(run.share),
        say(run.run_m)
    )
}

/// The plan on a screen.
#[must_use]
pub fn plan_text(plan: &Plan, speech: Speech) -> String {
    let marks: Vec<String> = plan.marks_mm().iter().map(|mm| mark_name(*mm)).collect();
    format!(
        "Ramp test of a {} pocket: how jaws and facings bounce, in half an hour. The middle of the mouth tells nothing; its edges do.\n\
         Ramp: two cues side by side, or a folded card; {}. Aim it at each mark in turn.\n\
         Height: {}.\n\
         Marks across the mouth, mm from its middle as you face the pocket: {}.\n\
         {ROLLS} rolls at each from the whole height; count those that drop.\n\
         {}\n",
        plan.ramp.kind,
        foot_words(plan, speech),
        run_words(&plan.run, speech),
        marks.join(" "),
        cautions(&[Caution::Rail], false),
    )
}
