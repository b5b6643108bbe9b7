//! What the sheet of the pivot-length test says.

use crate::field::Hint;
use crate::measure::PivotTest;
use crate::sheets::parts::Style;
use crate::units::UnitSystem;

/// The sheet's title.
pub(crate) const TITLE: &str = "Pivot test of a cue";
/// What the sheet is.
pub(crate) const ABOUT: &str =
    "A scale in millimetres and room for readings struck right and left of the ball's middle.";
/// Its question.
pub(crate) const QUESTION: &str = "How much does this cue squirt?";
/// Over the table.
pub(crate) const READINGS: &str = "Readings in millimetres, left of 0 plus";
/// Over the first column.
pub(crate) const BRIDGE: &str = "bridge";

/// How to play it.
pub(crate) fn how(test: &PivotTest, style: &Style) -> Vec<String> {
    let (far, off) = (style.distance(test.distance_m), style.small(test.tip_m));
    if style.plain {
        return vec![
            format!(
                "Tape the scale onto a rail. Front of the cue ball {far} from the nose. Aim at 0. Now keep your bridge hand still and turn the cue until the tip is half a tip right of the middle. Strike firmly. Where does the ball arrive?"
            ),
            "Five times right, five times left.".to_owned(),
        ];
    }
    vec![
        format!(
            "Cut the scale out and tape it flat on top of a rail, marks at the nose, + on the left as you shoot. Set the cue ball in front of 0, its front {far} from the nose. Aim at 0 through the middle of the ball, with a bridge of the length that the row says, measured from the ball's middle."
        ),
        format!(
            "Leave the bridge hand where it is and turn the cue about it until the tip faces a place {off}, half a tip, right of the middle; strike firmly, with the butt as low as the rail allows, so that the ball does not curve. Read where it arrives. Five times right (R), five times left (L) of the middle. Turning sends the ball to the side of the tip, squirt sends it back: with a bridge as long as the cue's pivot both cancel."
        ),
    ]
}

/// A length of the bridge.
pub(crate) fn bridge(cm: u32, style: &Style) -> String {
    match style.units {
        UnitSystem::Metric => format!("{cm} cm"),
        UnitSystem::Inches => format!("{:.0} in", f64::from(cm) / 2.5),
    }
}

/// How the readings become a cue; empty where nobody tells.
pub(crate) fn then() -> String {
    Hint::ReadCue.to_string()
}
