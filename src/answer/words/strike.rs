//! A struck cue ball in words.

use crate::answer::strike::StrikeAnswer;
use crate::speech::Speech;
use crate::units::{Angle, Length, Speed, speak};

/// Roll this near to 1 is rolling.
const ROLLING: f64 = 1e-3;
/// Less to the side than this is none, of a ball's width.
const NO_SIDE: f64 = 5e-4;
/// Less of an angle is none, rad: a hundredth of a degree.
const NO_ANGLE_RAD: f64 = 1.7e-4;

/// "1.3° left", "straight".
fn turned(deg: f64) -> String {
    if deg.to_radians().abs() < NO_ANGLE_RAD {
        return "straight".to_owned();
    }
    let side = if deg > 0.0 { "left" } else { "right" };
    format!("{} {side}", speak::degrees(Angle::from_deg(deg.abs())))
}

/// "rolling", "sliding with half its roll (0.45)".
fn rolling_words(roll: f64) -> String {
    match roll {
        r if (r - 1.0).abs() < ROLLING => "rolling".to_owned(),
        r if r.abs() < 0.05 => "sliding, stunned".to_owned(),
        r if r < 0.0 => format!("sliding with backspin ({r:.2})"),
        r if r > 1.0 => format!("sliding with topspin ({r:.2})"),
        r => format!("sliding, roll {r:.2}"),
    }
}

fn side_words(side_w: f64, speech: Speech) -> String {
    let english = speech.nouns().the_side.trim_start_matches("the ");
    if side_w.abs() < NO_SIDE {
        return format!("no {english}");
    }
    let side = if side_w > 0.0 { "right" } else { "left" };
    format!("{:.2} {side} {english}", side_w.abs())
}

/// The stroke in words.
#[must_use]
pub fn strike_text(answer: &StrikeAnswer, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let small = |mm: f64| speak::small_length(Length::from_mm(mm.abs()), speech);
    let stick = &answer.stick;
    let place = |mm: f64, plus: &str, minus: &str| {
        (mm.abs() >= 0.05).then(|| format!("{} {}", small(mm), if mm > 0.0 { plus } else { minus }))
    };
    let places: Vec<String> = [
        place(stick.across_mm, "right", "left"),
        place(stick.height_mm, "high", "low"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let place = if places.is_empty() {
        "in the middle".to_owned()
    } else {
        places.join(" and ")
    };
    let mut out = format!(
        "Struck {place} at {}, the cue ball leaves the tip {}",
        speak::speed(Speed::from_m_s(stick.speed_m_s), speech),
        match turned(answer.squirt_deg).as_str() {
            "straight" => "on the stick's line, without squirt,".to_owned(),
            said => format!("{said} of the stick's line (squirt)"),
        },
    );
    if answer.curve_deg.to_radians().abs() < NO_ANGLE_RAD {
        out.push_str(" and runs straight.\n");
    } else {
        let back = answer.curve_deg * answer.squirt_deg < 0.0;
        out.push_str(&format!(
            " and swerves {}{} until it rolls, after {}.\n",
            if back { "back " } else { "" },
            turned(answer.curve_deg),
            speak::distance(Length::from_mm(answer.rolls_after_mm), speech),
        ));
    }
    for (feet, foot) in (1u32..).map(f64::from).zip(&answer.feet) {
        let off = match foot.left_mm {
            mm if mm.abs() < 0.05 => "on the line".to_owned(),
            mm => format!("{} {}", small(mm), if mm > 0.0 { "left" } else { "right" }),
        };
        out.push_str(&format!(
            "  after {}: {off}, {}, {}, {}\n",
            speak::distance(Length::from_ft(feet), speech),
            speak::speed(Speed::from_m_s(foot.speed_m_s), speech),
            rolling_words(foot.roll),
            side_words(foot.side_w, speech)
        ));
    }
    out.push_str(&object_text(answer, speech));
    out.push_str(&format!(
        "Butt raised {}; the stick pivots {} from the ball's middle. Open cloth; left and right are of the stick's line.\n",
        speak::degrees(Angle::from_deg(stick.elevation_deg)),
        speak::small_length(Length::from_mm(stick.pivot_mm), speech)
    ));
    out
}

/// What it does to the object ball; nothing without one.
fn object_text(answer: &StrikeAnswer, speech: Speech) -> String {
    let (Some(cut), Some(object), Some(arrive)) =
        (answer.cut_deg, answer.object_deg, answer.arrive_deg)
    else {
        return match answer.met {
            Some(false) => "It misses the object ball or stops before it.\n".to_owned(),
            _ => String::new(),
        };
    };
    let speed = |m_s: Option<f64>| speak::speed(Speed::from_m_s(m_s.unwrap_or_default()), speech);
    let side = if cut > 0.0 { "left" } else { "right" };
    let thrown = object - (arrive + cut);
    format!(
        "It meets the object ball going {}, at {}, {}, {}: a cut of {} to the {side}.\n\
         The object ball leaves {} at {}; throw turned it {}.\n",
        turned(arrive),
        speed(answer.speed_m_s),
        rolling_words(answer.roll.unwrap_or_default()),
        side_words(answer.side_w.unwrap_or_default(), speech),
        speak::cut(Angle::from_deg(cut.abs())),
        turned(object),
        speed(answer.object_speed_m_s),
        turned(thrown)
    )
}
