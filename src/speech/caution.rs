//! What could hurt, said alike wherever somebody practises: on screen, in a file, on paper.

/// Something that could hurt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Caution {
    /// The same stroke many times over.
    Body,
    /// A ball far over the table.
    Reach,
    /// A string across the table.
    String,
    /// A face where balls arrive.
    Rail,
    /// Paper to cut.
    Scissors,
}

impl Caution {
    /// For coaches and players.
    fn said(self) -> &'static str {
        match self {
            Self::Body => {
                "Stop when it hurts; change shots and, if you can, hands; the club's, the coach's or the therapist's rules come first."
            }
            Self::Reach => "One foot stays on the floor: use the rest rather than stretch.",
            Self::String => {
                "Mark the string, not the cloth, and take it away before anyone walks by or plays."
            }
            Self::Rail => "Nobody's face near a rail while balls come to it.",
            Self::Scissors => {
                "Scissors cut fingers too: cut on a firm surface, away from the hand that holds the paper; for a child, let a grown-up cut."
            }
        }
    }

    /// For children and beginners.
    fn said_plainly(self) -> &'static str {
        match self {
            Self::Body => "If something hurts, stop. Change the shot often.",
            Self::Reach => "One foot on the floor. Too far? Take the rest.",
            Self::String => "Mark the string, not the table. Take the string away before you play.",
            Self::Rail => "Keep your face away from the rail.",
            Self::Scissors => "Careful: scissors cut fingers. Let a grown-up help.",
        }
    }
}

/// What to mind where somebody plays the same shots again: on every drill.
pub const PRACTICE: &[Caution] = &[Caution::Body, Caution::Reach];
/// The same with marks on a string.
pub const MARKS: &[Caution] = &[Caution::Body, Caution::Reach, Caution::String];
/// The same where the cue ball is read at a rail.
pub const STROKE_TEST: &[Caution] = &[Caution::Body, Caution::Rail];

/// The cautions in one line; `plain` for children and beginners.
///
/// ```
/// use thincut::speech::{PRACTICE, cautions};
///
/// assert!(cautions(PRACTICE, false).starts_with("Stop when it hurts"));
/// ```
#[must_use]
pub fn cautions(of: &[Caution], plain: bool) -> String {
    let said = of
        .iter()
        .map(|c| if plain { c.said_plainly() } else { c.said() });
    said.collect::<Vec<_>>().join(" ")
}
