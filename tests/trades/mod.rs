//! Words by which the trades are told apart: none of one may stand in what the other reads.

/// Words of American pool that snooker and English pool do not use (usage from memory).
pub(crate) const US: [&str; 46] = [
    "rail",
    "rails",
    "diamond",
    "diamonds",
    "scratch",
    "scratches",
    "scratching",
    "scratched",
    "bank",
    "banks",
    "kick",
    "kicks",
    "combination",
    "combinations",
    "carom",
    "head-left",
    "head-right",
    "foot-left",
    "foot-right",
    "side-left",
    "side-right",
    "side pocket",
    "side pockets",
    "head rail",
    "foot rail",
    "long rail",
    "frozen",
    "english",
    "undercut",
    "overcut",
    "too full",
    "fuller",
    "full side",
    "shooter",
    "shooting",
    "inning",
    "head string",
    "head corner",
    "foot corner",
    "head spot",
    "foot spot",
    "kitchen",
    "pocketed",
    "stick",
    "hanger",
    "makes in ten",
];

/// Words of snooker and English pool that American pool does not use (usage from memory).
pub(crate) const UK: [&str; 35] = [
    "potted",
    "pots",
    "pot",
    "in-off",
    "plant",
    "plants",
    "cannon",
    "screw",
    "baulk",
    "baulk cushion",
    "top cushion",
    "side cushion",
    "middle pocket",
    "middle pockets",
    "middle-left",
    "middle-right",
    "top-left",
    "top-right",
    "baulk-left",
    "baulk-right",
    "baulk line",
    "tight on",
    "striker",
    "visit",
    "clearance",
    "nominate",
    "check side",
    "running side",
    "too thick",
    "thicker",
    "thick side",
    "eight-ball spot",
    "brown spot",
    "colour is on",
    "fall of the slate",
];

/// Whether a text has a word or phrase as such, its first letter large or small.
pub(crate) fn has(text: &str, word: &str) -> bool {
    let (first, rest) = word.split_at(1);
    let large = format!("{}{rest}", first.to_uppercase());
    // English pool is no english.
    let own = ["english"].contains(&word);
    stands_in(text, word) || (!own && stands_in(text, &large))
}

fn stands_in(text: &str, word: &str) -> bool {
    let part = |c: char| c.is_alphanumeric() || c == '-' || c == '_' || c == '/';
    text.match_indices(word).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + word.len()..].chars().next();
        !before.is_some_and(part) && !after.is_some_and(part)
    })
}

/// No word of a list stands in a text.
pub(crate) fn none_of(words: &[&str], text: &str, what: &str) {
    for word in words {
        if has(text, word) {
            let line = text.lines().find(|line| has(line, word)).unwrap_or(text);
            panic!("{what}: \"{word}\" in: {line}");
        }
    }
}
