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
    /// The rail at the end the cue ball starts from.
    pub head_rail: &'static str,
    /// The rail at the other end.
    pub foot_rail: &'static str,
    /// Touching a rail: "frozen to the left side rail".
    pub frozen_to: &'static str,
    /// Of two balls that touch.
    pub frozen_balls: &'static str,
    /// Of a shot beside a rail.
    pub along_the_rail: &'static str,
    /// The line that the cue ball may not cross at the start.
    pub head_string: &'static str,
    /// What lies behind it.
    pub kitchen: &'static str,
    /// What a player does with a shot: "a club player makes it 4 times in 10".
    pub makes_it: &'static str,
    /// To bring a ball in.
    pub to_make: &'static str,
    /// Bringing it in.
    pub making: &'static str,
    /// How often it drops.
    pub make_rate: &'static str,
    /// To strike a shot.
    pub to_shoot: &'static str,
    /// Who strikes.
    pub shooter: &'static str,
    /// What is held.
    pub cue_stick: &'static str,
    /// What carries the cue where the arm does not reach.
    pub rest: &'static str,
    /// Forward roll given on purpose.
    pub follow: &'static str,
    /// No roll at contact.
    pub stun: &'static str,
    /// Spin about the vertical as the trade calls it.
    pub english: &'static str,
    /// Side away from the cut.
    pub outside_side: &'static str,
    /// Side towards the cut.
    pub inside_side: &'static str,
    /// A curve on purpose.
    pub masse: &'static str,
    /// A hit fuller than meant.
    pub too_full: &'static str,
    /// A hit thinner than meant.
    pub too_thin: &'static str,
    /// On which side there is more margin: the fuller.
    pub on_the_full_side: &'static str,
    /// The cue ball goes from one ball to another.
    pub carom: &'static str,
    /// The cue ball may be placed.
    pub ball_in_hand: &'static str,
    /// What may be hit first.
    pub ball_on: &'static str,
    /// To say which ball and pocket.
    pub call: &'static str,
    /// A ball that waits at the edge of a pocket.
    pub hanger: &'static str,
    /// Balls close together.
    pub cluster: &'static str,
    /// Balls set up for a start.
    pub rack: &'static str,
    /// A start to an end of play.
    pub rack_played: &'static str,
    /// Makes one after another.
    pub run: &'static str,
    /// Making all that is left.
    pub run_out: &'static str,
    /// A turn at the table.
    pub inning: &'static str,
    /// The first stroke.
    pub break_shot: &'static str,
    /// Balls or points given to the weaker.
    pub handicap: &'static str,
    /// Where rail and facing meet.
    pub jaw_point: &'static str,
    /// To go between the jaws and stay out.
    pub rattle: &'static str,
    /// The outside of the table.
    pub edge_of_table: &'static str,
    /// The two groups.
    pub solids_stripes: &'static str,
    /// The ball that ends the game.
    pub eight: &'static str,
    /// How the middle of something is spelled.
    pub middle: &'static str,
    /// How colour is spelled.
    pub color: &'static str,
}
