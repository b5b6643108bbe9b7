//! What the trades call differently.

/// What the trades call differently. Plurals stand beside their singulars, since not all end in s.
#[derive(Debug)]
pub struct Nouns {
    /// The six pockets, in the order of [`crate::pocket::PocketName::ALL`].
    pub pockets: [&'static str; 6],
    /// Both pockets in the long rails.
    pub side_pockets: &'static str,
    /// One of them.
    pub side_pocket: &'static str,
    /// A rail, as an end of the table or as what balls come off.
    pub rail: &'static str,
    /// Several.
    pub rails: &'static str,
    /// One of the two long ones.
    pub long_rail: &'static str,
    /// The end the cue ball starts from.
    pub head: &'static str,
    /// The other end.
    pub foot: &'static str,
    /// The marks a quarter of the width apart.
    pub diamond: &'static str,
    /// Several.
    pub diamonds: &'static str,
    /// A shot that drops.
    pub make: &'static str,
    /// Several.
    pub makes: &'static str,
    /// It dropped: "made 4 in 10".
    pub made: &'static str,
    /// The object ball comes off a rail.
    pub bank: &'static str,
    /// The cue ball comes off a rail first.
    pub kick: &'static str,
    /// One object ball sends another.
    pub combination: &'static str,
    /// The cue ball drops.
    pub scratch: &'static str,
    /// It does so.
    pub scratches: &'static str,
    /// Doing so.
    pub scratching: &'static str,
    /// The same as what is said of a shot: "the side".
    pub the_side: &'static str,
    /// Spin about the vertical.
    pub side: &'static str,
    /// Backspin at contact.
    pub draw: &'static str,
    /// A plastic card for a feel of a thickness.
    pub card: &'static str,
}
