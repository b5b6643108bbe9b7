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

fn side_words(side_w: f64) -> String {
    if side_w.abs() < NO_SIDE {
        return "no side".to_owned();
    }
    let side = if side_w > 0.0 { "right" } else { "left" };
    format!("{:.2} {side} side", side_w.abs())
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
        "Struck {place} at {}, the cue ball leaves the tip {} (squirt)",
        speak::speed(Speed::from_m_s(stick.speed_m_s), speech),
        match turned(answer.squirt_deg).as_str() {
            "straight" => "on the stick's line".to_owned(),
            said => format!("{said} of the stick's line"),
        },
    );
    if answer.curve_deg.to_radians().abs() < NO_ANGLE_RAD {
        out.push_str(" and runs straight.\n");
    } else {
        let back = answer.curve_deg * answer.squirt_deg < 0.0;
        out.push_str(&format!(
            " and curves {} {}until it rolls, after {}.\n",
            turned(answer.curve_deg),
            if back { "back " } else { "" },
            speak::distance(Length::from_mm(answer.rolls_after_mm), speech),
        ));
    }
    for (k, foot) in answer.feet.iter().enumerate() {
        let off = match foot.left_mm {
            mm if mm.abs() < 0.05 => "on the line".to_owned(),
            mm => format!("{} {}", small(mm), if mm > 0.0 { "left" } else { "right" }),
        };
        out.push_str(&format!(
            "  after {} ft: {off}, {}, {}, {}\n",
            k + 1,
            speak::speed(Speed::from_m_s(foot.speed_m_s), speech),
            rolling_words(foot.roll),
            side_words(foot.side_w)
        ));
    }
    out.push_str(&object_text(answer, speech));
    out.push_str(&format!(
        "A stick {} up, its pivot {} from the ball's middle; open cloth. Lengths across are from the stick's line.\n",
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
        "It meets the object ball going {}, at {}, {} with {}: a cut of {} to the {side}.\n\
         The object ball leaves {} at {}; throw turned it {}.\n",
        turned(arrive),
        speed(answer.speed_m_s),
        rolling_words(answer.roll.unwrap_or_default()),
        side_words(answer.side_w.unwrap_or_default()),
        speak::cut(Angle::from_deg(cut.abs())),
        turned(object),
        speed(answer.object_speed_m_s),
        turned(thrown)
    )
}
