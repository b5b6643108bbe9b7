//! The words of American pool.

use super::nouns::Nouns;

pub(super) static NOUNS: Nouns = Nouns {
    pockets: [
        "left head corner",
        "right head corner",
        "left side pocket",
        "right side pocket",
        "left foot corner",
        "right foot corner",
    ],
    side_pockets: "side pockets",
    side_pocket: "side pocket",
    rail: "rail",
    rails: "rails",
    long_rail: "side rail",
    head: "head",
    foot: "foot",
    diamond: "diamond",
    diamonds: "diamonds",
    make: "make",
    makes: "makes",
    made: "made",
    bank: "bank",
    kick: "kick",
    combination: "combination",
    scratch: "scratch",
    scratches: "scratches",
    scratching: "scratching",
    the_side: "the side",
    side: "side",
    draw: "draw",
    card: "credit card",
};
