//! Pairs of words that one trade has for what the other calls something else, where a word alone tells:
//! these are exchanged in a sentence as a whole word.
//!
//! What a word alone does not tell (side, break, rack, spot, mouth, make as any verb, draw, undercut as a
//! cushion's shape) is no pair here: it is said by [`super::Nouns`] or by a `match` where it stands.
//! Usage from memory apart from terms of the rules.

use super::letters::first_large;
use super::listener::Speech;
use super::word_set::WordSet;

/// American pool, and snooker and English pool. A phrase stands before the words in it; # is any digit.
pub const PAIRS: &[(&str, &str)] = &[
    ("rail's outer edge", "edge of the table"),
    (
        "diamonds from the head rail, then from the right rail",
        "eighths of the table from the baulk cushion, then quarters from the right cushion",
    ),
    ("quarter-diamond place", "place"),
    ("diamonds", "eighths of the table"),
    ("diamond", "eighth of the table"),
    ("head rail", "baulk cushion"),
    ("foot rail", "top cushion"),
    ("long rails", "side cushions"),
    ("long rail", "side cushion"),
    ("side rails", "side cushions"),
    ("side rail", "side cushion"),
    ("short rails", "end cushions"),
    ("short rail", "end cushion"),
    ("head nose to foot nose", "baulk nose to top nose"),
    (
        "from the head spot up and down the middle",
        "from the middle of the table, a quarter of its length off the baulk cushion, up and down",
    ),
    ("head corner", "baulk corner"),
    ("foot corner", "top corner"),
    ("head-left", "baulk-left"),
    ("head-right", "baulk-right"),
    ("side-left", "middle-left"),
    ("side-right", "middle-right"),
    ("foot-left", "top-left"),
    ("foot-right", "top-right"),
    ("side pockets", "middle pockets"),
    ("side pocket", "middle pocket"),
    ("head string", "baulk line"),
    ("kitchen", "baulk"),
    ("frozen to", "tight on"),
    ("rails", "cushions"),
    ("rail", "cushion"),
    ("bank cards", "credit cards"),
    ("bank card", "credit card"),
    ("bank shots", "doubles"),
    ("bank shot", "double"),
    ("banks", "doubles"),
    ("kicks", "escapes off a cushion"),
    ("kick", "escape off a cushion"),
    ("combinations", "plants"),
    ("combination", "plant"),
    ("caroms", "cannons"),
    ("carom", "cannon"),
    ("without a scratch", "without an in-off"),
    ("a scratch", "an in-off"),
    ("scratches", "goes in-off"),
    ("scratching", "going in-off"),
    ("scratched", "went in-off"),
    ("scratch", "in-off"),
    ("how far your makes go", "how far your pots go"),
    ("makes in ten", "pots in ten"),
    ("makes of a", "pots of a"),
    ("makes where", "pots where"),
    ("makes most", "pots most"),
    ("made in 10", "potted in 10"),
    ("made in ten", "potted in ten"),
    ("made #", "potted #"),
    ("made)", "potted)"),
    ("makes in 10", "pots in 10"),
    ("makes and tries", "pots and tries"),
    ("write down makes", "write down pots"),
    ("write down the makes", "write down the pots"),
    ("of the makes", "of the pots"),
    ("your makes", "your pots"),
    ("make rate", "pot success"),
    ("player makes it", "player pots it"),
    ("pocketed", "potted"),
    ("too full (undercut)", "too thick"),
    ("too thin (overcut)", "too thin"),
    ("too full", "too thick"),
    ("on the full side", "on the thick side"),
    ("fuller", "thicker"),
    ("overcut", "too thin"),
    ("outside english", "running side"),
    ("inside english", "check side"),
    ("massé", "swerve"),
    ("cue stick", "cue"),
    ("stick's", "cue's"),
    ("stick", "cue"),
    ("shooter", "striker"),
    ("as you shoot", "as you play"),
    ("shooting", "playing"),
    ("negative draw", "negative screw"),
    ("hit: draw", "hit: screw"),
    ("head left", "baulk left"),
    ("most makes", "most pots"),
    ("side mouth", "middle mouth"),
    ("mechanical bridge", "rest"),
    ("a hanger", "a sitter"),
    ("run out", "clear up"),
    ("inning", "visit"),
    ("felt", "cloth"),
    ("center", "centre"),
    ("color", "colour"),
];

impl Speech {
    /// A sentence in the words of whoever listens: of the pairs, the word that is theirs. Names between
    /// backquotes and options stay.
    #[must_use]
    pub fn said(self, text: &str) -> String {
        match self.words {
            WordSet::Us => text.to_owned(),
            WordSet::Uk => exchanged(text),
        }
    }
}

/// Every first word of a pair for its second, a large first letter kept.
fn exchanged(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    // A word begins where no letter, digit or hyphen stands before.
    let mut at_start = true;
    let mut quoted = false;
    while let Some(letter) = rest.chars().next() {
        if letter == '`' {
            quoted = !quoted;
        }
        let found = (at_start && !quoted)
            .then(|| PAIRS.iter().find(|(us, _)| begins_with(rest, us)))
            .flatten();
        if let Some((us, uk)) = found {
            let (us, uk) = (us.trim_end_matches('#'), uk.trim_end_matches('#'));
            if letter.is_uppercase() {
                out.push_str(&first_large(uk));
            } else {
                out.push_str(uk);
            }
            rest = &rest[us.len()..];
            at_start = false;
            continue;
        }
        out.push(letter);
        at_start = !part_of_a_word(letter);
        rest = &rest[letter.len_utf8()..];
    }
    out
}

fn part_of_a_word(letter: char) -> bool {
    letter.is_alphanumeric() || matches!(letter, '-' | '_' | '\'' | '.' | '/')
}

/// Whether a text begins with a word or phrase as such, whatever the size of its first letter.
fn begins_with(text: &str, phrase: &str) -> bool {
    let before_digit = phrase.ends_with('#');
    let phrase = phrase.trim_end_matches('#');
    let Some(head) = text.get(..phrase.len()) else {
        return false;
    };
    let (Some(first), Some(wanted)) = (head.chars().next(), phrase.chars().next()) else {
        return false;
    };
    let same = first.to_lowercase().eq(wanted.to_lowercase())
        && head[first.len_utf8()..] == phrase[wanted.len_utf8()..];
    let after = text[phrase.len()..].chars().next();
    if before_digit {
        return same && after.is_some_and(|c| c.is_ascii_digit());
    }
    // A phrase that ends in a mark is whole by itself.
    let ended = phrase.ends_with(|c: char| !c.is_alphanumeric());
    same && (ended || !after.is_some_and(|c| c.is_alphanumeric() || matches!(c, '-' | '_')))
}
