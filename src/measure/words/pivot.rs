//! What the pivot-length test says of a cue, in words.

use super::bounce::effect_lines;
use crate::gear::Gear;
use crate::measure::bounce::RangeEffect;
use crate::measure::pivot::{PivotFound, PivotTest};
use crate::speech::{Caution, Speech, cautions};
use crate::stroke::{PIVOT_M, Stick};
use crate::units::{Angle, Length, Speed, speak};

/// How to play the test, on a screen.
#[must_use]
pub fn plan(test: &PivotTest, speech: Speech) -> String {
    let far = speak::distance(Length::from_m(test.distance_m), speech);
    let off = speak::small_length(Length::from_m(test.tip_m), speech);
    let fast = speak::speed(Speed::from_m_s(test.speed_m_s), speech);
    format!(
        "Pivot test: how much your cue squirts. The scale of the stroke test lies on a {rail}; the front of the cue ball is {far} from its nose.\n\
         Aim at 0 through the middle of the ball, bridge 20 cm from the ball's middle. Leave the bridge hand where it is and turn the cue about it until the tip faces a place {off} right of the middle; strike firmly, about {fast}, butt low. Read where the ball arrives, left plus. Five times.\n\
         The same {off} left of the middle; then all of it with a bridge of 40 cm.\n\
         {}\n",
        cautions(&[Caution::Body, Caution::Rail], false),
        rail = speech.nouns().rail,
    )
}

/// What was found, and what it does.
#[must_use]
pub fn found(
    gear: &Gear,
    test: &PivotTest,
    found: &PivotFound,
    effect: &Effect<'_>,
    speech: Speech,
) -> String {
    let small = |m: f64| speak::small_length(Length::from_m(m), speech);
    let was = gear.cue_pivot_m.unwrap_or(PIVOT_M);
    let whence = if gear.cue_pivot_m.is_some() {
        "as it was measured before"
    } else {
        "which is assumed of any cue"
    };
    let squirt = |pivot_m: f64| {
        let stick = Stick {
            across_m: test.tip_m,
            pivot_m,
            ..Stick::centre(test.speed_m_s)
        };
        stick.squirt_rad(gear.cue_radius_m())
    };
    let (now, before) = (squirt(found.pivot_m), squirt(was));
    let degrees = |rad: f64| speak::degrees(Angle::from_rad(rad));
    format!(
        "Your cue pivots {} from the ball's middle ({} to {}, right 95 times in 100), not {}, {whence}; from {} readings that scatter by {}.\n\
         Struck {} off the middle it squirts {}, not {}: after a metre the cue ball is {} off its line, not {}.\n\
         With the bridge {} from the ball's middle, turning the cue about it undoes the squirt.\n\
         Struck half a tip to the side, chances for: {}.\n{}\
         Assumed: a butt raised 3°, the tip off the middle as said to 1 mm (two in three).\n",
        small(found.pivot_m),
        small(found.low_m),
        small(found.high_m),
        small(was),
        found.readings,
        small(found.spread_m),
        small(test.tip_m),
        degrees(now),
        degrees(before),
        small(now.tan()),
        small(before.tan()),
        small(found.pivot_m),
        effect.who,
        effect_lines(effect.shots),
    )
}

/// Who plays which shots, before and after.
#[derive(Debug, Clone, Copy)]
pub struct Effect<'a> {
    /// Who.
    pub who: &'a str,
    /// The shots.
    pub shots: &'a [RangeEffect],
}
