//! What is said of a cue ball struck off its middle, with nothing but one object ball round it.

use kurbo::Point;
use serde::Serialize;

use crate::gear::Gear;
use crate::stroke::{Arrival, FootMark, Stick, Struck, feet, reach, roam};
use crate::units::{Angle, Length, Speed, UnitSystem, speak};

/// A foot, m: the ball is looked at after each.
const FOOT_M: f64 = 0.3048;
/// At most so many feet are told; a ball that runs farther is told of at these and where it rests.
const MOST_FEET: u32 = 8;
/// Roll this near to 1 is rolling.
const ROLLING: f64 = 1e-3;
/// Less to the side than this is none, of a ball's width.
const NO_SIDE: f64 = 5e-4;
/// Less of an angle is none, rad: a hundredth of a degree.
const NO_ANGLE_RAD: f64 = 1.7e-4;

/// The stroke as it was asked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StickAnswer {
    /// Horizontal speed of the cue ball off the tip.
    pub speed_m_s: f64,
    /// Where the tip strikes, right of the middle.
    pub across_mm: f64,
    /// Above the middle.
    pub height_mm: f64,
    /// Elevation of the stick.
    pub elevation_deg: f64,
    /// Pivot length, from the ball's middle.
    pub pivot_mm: f64,
}

/// The ball after so much way along the stick's line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FootAnswer {
    /// Along the stick's line.
    pub along_mm: f64,
    /// Left of it.
    pub left_mm: f64,
    /// Direction of travel off the stick's line, counter-clockwise.
    pub direction_deg: f64,
    /// Speed.
    pub speed_m_s: f64,
    /// Roll ratio: 1 rolls, 0 is stun.
    pub roll: f64,
    /// Side ratio, right positive.
    pub side_w: f64,
}

/// All of it. Angles are off the stick's line, counter-clockwise (left) positive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StrikeAnswer {
    /// Table whose balls and cloth it is.
    pub gear: String,
    /// The stroke.
    pub stick: StickAnswer,
    /// Direction off the tip.
    pub squirt_deg: f64,
    /// Direction in which it rolls in the end.
    pub final_deg: f64,
    /// What the path curves after the tip.
    pub curve_deg: f64,
    /// Where it begins to roll, along the stick's line; 0 from the tip on.
    pub rolls_after_mm: f64,
    /// The ball after each foot.
    pub feet: Vec<FootAnswer>,
    /// Whether it meets the object ball; `null` without one.
    pub met: Option<bool>,
    /// Direction of travel at the contact.
    pub arrive_deg: Option<f64>,
    /// Signed cut there, positive when the object ball lies left of the way.
    pub cut_deg: Option<f64>,
    /// Direction of the object ball, throw included.
    pub object_deg: Option<f64>,
    /// Speed of the cue ball at the contact.
    pub speed_m_s: Option<f64>,
    /// Its roll ratio there.
    pub roll: Option<f64>,
    /// Its side ratio there, right positive.
    pub side_w: Option<f64>,
    /// Speed of the object ball.
    pub object_speed_m_s: Option<f64>,
}

impl StrikeAnswer {
    /// Follows the stroke along +x from the origin; `object` is the object ball's place (m), if there
    /// is one. `None` on a cloth on which the ball never stops.
    #[must_use]
    pub fn new(gear: &Gear, stick: &Stick, object: Option<Point>) -> Option<Self> {
        let run = roam(gear, stick, Point::ORIGIN, 0.0)?;
        let squirt = stick.squirt_rad(gear.cue_radius_m());
        let leaves = squirt.tan() / stick.elevation_rad.cos();
        let last = run.legs.last()?.start.v;
        let (start_rad, final_rad) = (leaves.atan(), last.y.atan2(last.x));
        let marks: Vec<f64> = (1..=MOST_FEET).map(|k| f64::from(k) * FOOT_M).collect();
        let struck = object.map(|at| reach(gear, stick, (Point::ORIGIN, at), 0.0));
        let met = struck.as_ref().map(Option::is_some);
        let struck: Option<Struck> = struck.flatten();
        let until_m = struck.map_or(f64::INFINITY, |s| s.arrival.at.x);
        let feet = feet(gear, stick, (Point::ORIGIN, 0.0), &marks)
            .iter()
            .filter(|m| m.along_m < until_m)
            .map(foot)
            .collect();
        let of = |value: fn(&Struck) -> f64| struck.as_ref().map(value);
        Some(Self {
            gear: gear.name.clone(),
            stick: StickAnswer {
                speed_m_s: stick.speed_m_s,
                across_mm: 1e3 * stick.across_m,
                height_mm: 1e3 * stick.height_m,
                elevation_deg: stick.elevation_rad.to_degrees(),
                pivot_mm: 1e3 * stick.pivot_m,
            },
            squirt_deg: start_rad.to_degrees(),
            final_deg: final_rad.to_degrees(),
            curve_deg: (final_rad - start_rad).to_degrees(),
            rolls_after_mm: 1e3 * run.rolls_from.map_or(0.0, |p| p.x),
            feet,
            met,
            arrive_deg: of(|s| s.arrival.direction_rad.to_degrees()),
            cut_deg: of(|s| s.cut_rad.to_degrees()),
            object_deg: of(|s| s.object_rad.to_degrees()),
            speed_m_s: of(|s| s.arrival.speed_m_s),
            roll: of(|s| s.arrival.roll),
            side_w: of(|s| s.arrival.side_right),
            object_speed_m_s: of(|s| s.object_speed_m_s),
        })
    }
}

fn foot(mark: &FootMark) -> FootAnswer {
    let Arrival {
        direction_rad,
        speed_m_s,
        roll,
        side_right,
        ..
    } = mark.arrival;
    FootAnswer {
        along_mm: 1e3 * mark.along_m,
        left_mm: 1e3 * mark.left_m,
        direction_deg: direction_rad.to_degrees(),
        speed_m_s,
        roll,
        side_w: side_right,
    }
}

/// "1.3° left", "straight".
fn turned(deg: f64) -> String {
    if deg.to_radians().abs() < NO_ANGLE_RAD {
        return "straight".to_owned();
    }
    let side = if deg > 0.0 { "left" } else { "right" };
    format!("{} {side}", speak::degrees(Angle::from_deg(deg.abs())))
}

/// "rolling", "sliding with half its roll (0.45)".
fn roll_words(roll: f64) -> String {
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
pub fn strike_text(answer: &StrikeAnswer, system: UnitSystem) -> String {
    let small = |mm: f64| speak::small_length(Length::from_mm(mm.abs()), system);
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
        speak::speed(Speed::from_m_s(stick.speed_m_s), system),
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
            speak::distance(Length::from_mm(answer.rolls_after_mm), system),
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
            speak::speed(Speed::from_m_s(foot.speed_m_s), system),
            roll_words(foot.roll),
            side_words(foot.side_w)
        ));
    }
    out.push_str(&object_text(answer, system));
    out.push_str(&format!(
        "A stick {} up, its pivot {} from the ball's middle; open cloth. Lengths across are from the stick's line.\n",
        speak::degrees(Angle::from_deg(stick.elevation_deg)),
        speak::small_length(Length::from_mm(stick.pivot_mm), system)
    ));
    out
}

/// What it does to the object ball; nothing without one.
fn object_text(answer: &StrikeAnswer, system: UnitSystem) -> String {
    let (Some(cut), Some(object), Some(arrive)) =
        (answer.cut_deg, answer.object_deg, answer.arrive_deg)
    else {
        return match answer.met {
            Some(false) => "It misses the object ball or stops before it.\n".to_owned(),
            _ => String::new(),
        };
    };
    let speed = |m_s: Option<f64>| speak::speed(Speed::from_m_s(m_s.unwrap_or_default()), system);
    let side = if cut > 0.0 { "left" } else { "right" };
    let thrown = object - (arrive + cut);
    format!(
        "It meets the object ball going {}, at {}, {} with {}: a cut of {} to the {side}.\n\
         The object ball leaves {} at {}; throw turned it {}.\n",
        turned(arrive),
        speed(answer.speed_m_s),
        roll_words(answer.roll.unwrap_or_default()),
        side_words(answer.side_w.unwrap_or_default()),
        speak::cut(Angle::from_deg(cut.abs())),
        turned(object),
        speed(answer.object_speed_m_s),
        turned(thrown)
    )
}
