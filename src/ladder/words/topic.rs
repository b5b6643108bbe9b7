//! What is practised, in words.

use crate::ladder::wishes::Topic;
use crate::speech::Speech;

/// "thin cuts", "long straight shots".
#[must_use]
pub fn topic_words(topic: Topic, speech: impl Into<Speech>) -> String {
    let nouns = speech.into().nouns();
    match topic {
        Topic::ThinCuts => "thin cuts".to_owned(),
        Topic::LongStraight => "long straight shots".to_owned(),
        Topic::SidePocket => nouns.side_pockets.to_owned(),
        Topic::AlongTheRail => format!("shots along the {}", nouns.rail),
        Topic::Mixed => "mixed shots".to_owned(),
    }
}
