//! What a lesson asks and what is said to a student, topic by topic.

use crate::ladder::Topic;
use crate::lesson::file::Part;
use crate::lesson::part::PartKind;

/// The words of a topic.
#[derive(Debug)]
pub(crate) struct TopicWords {
    /// The lesson's question.
    pub(crate) ask: &'static str,
    /// The same for children and beginners.
    pub(crate) ask_plain: &'static str,
    /// What changes along the pictures.
    pub(crate) axis: &'static str,
    /// Three steps of it in plain words, easy to hard.
    pub(crate) steps: [&'static str; 3],
    /// The answer in plain words.
    pub(crate) answer: &'static str,
    /// To take home.
    pub(crate) remember: [&'static str; 3],
}

const THIN_CUTS: TopicWords = TopicWords {
    ask: "Why do thin cuts miss?",
    ask_plain: "Why is thin hard?",
    axis: "cut",
    steps: ["Hit it full", "Hit half of it", "Hit it thin"],
    answer: "The thinner you hit, the less you may be off.",
    remember: [
        "See the ghost ball: where must the cue ball be when it hits?",
        "Stand behind its line before you bend down.",
        "Missed? Say it: too full or too thin?",
    ],
};

const LONG_STRAIGHT: TopicWords = TopicWords {
    ask: "Why do long straight shots miss?",
    ask_plain: "Why is far away hard?",
    axis: "between the balls",
    steps: ["Cue ball near", "Cue ball farther", "Cue ball far away"],
    answer: "The farther the cue ball rolls, the less you may be off.",
    remember: [
        "A long shot asks for a straight stroke, nothing else.",
        "Keep the head still until the cue ball has hit.",
        "Missed? Say it: left or right?",
    ],
};

const SIDE_POCKET: TopicWords = TopicWords {
    ask: "When does a side pocket take the ball?",
    ask_plain: "When is the side pocket open?",
    axis: "off straight in",
    steps: ["Straight in", "From the side", "Far from the side"],
    answer: "A side pocket is wide from the front and closed from the side.",
    remember: [
        "Look from behind the ball: how much of the pocket do you see?",
        "From far to the side, choose another pocket.",
        "Soft is better: a soft ball is taken more often.",
    ],
};

const ALONG_THE_RAIL: TopicWords = TopicWords {
    ask: "Why do balls along the rail stay out?",
    ask_plain: "Why is the rail hard?",
    axis: "speed at the pocket",
    steps: ["Soft", "Firm", "Hard"],
    answer: "Along the rail the corner takes a soft ball and throws a hard one out.",
    remember: [
        "Along the rail, play soft.",
        "Look from behind the ball: how wide is the pocket from there?",
        "Missed? Say it: did it touch the rail first?",
    ],
};

const MIXED: TopicWords = TopicWords {
    ask: "What makes a shot hard?",
    ask_plain: "What makes a shot hard?",
    axis: "cut",
    steps: ["Hit it full", "Hit half of it", "Hit it thin"],
    answer: "Far is hard. Thin is hard. Far and thin is very hard.",
    remember: [
        "Two shots to choose from? Take the near one.",
        "See the ghost ball: where must the cue ball be when it hits?",
        "Missed? Say it: too full or too thin?",
    ],
};

/// The words of a topic.
pub(crate) fn topic_words(topic: Topic) -> &'static TopicWords {
    match topic {
        Topic::ThinCuts => &THIN_CUTS,
        Topic::LongStraight => &LONG_STRAIGHT,
        Topic::SidePocket => &SIDE_POCKET,
        Topic::AlongTheRail => &ALONG_THE_RAIL,
        Topic::Mixed => &MIXED,
    }
}

/// How a part is headed.
pub(crate) fn part_name(kind: PartKind) -> &'static str {
    match kind {
        PartKind::WarmUp => "Warm-up",
        PartKind::Test => "Test",
        PartKind::Topic => "Topic",
        PartKind::Drill => "Drill",
        PartKind::Marks => "Marks",
        PartKind::Homework => "Homework",
    }
}

/// What a student does in a part, in plain words.
pub(crate) fn part_plain(part: &Part) -> &'static str {
    match part.kind {
        PartKind::WarmUp => "Easy shots. Nobody counts. Stroke slowly.",
        PartKind::Test => "Tick what goes in. Do not change anything yet.",
        PartKind::Topic => "Look first, then bend down, then play. Tick what goes in.",
        PartKind::Drill if part.shots.iter().all(|s| s.pass.is_some()) => {
            "Tick what goes in. Enough ticks? Go on to the next shot. Not enough? Go back one."
        }
        PartKind::Drill => "Each shot is a bit harder. Play them in turn. Tick what goes in.",
        PartKind::Marks => {
            "Everybody plays from their own mark. Tick what goes in. Who makes most?"
        }
        PartKind::Homework => "Not all on one day. Tick what goes in.",
    }
}

/// Plain words for [`super::CAUTION`].
pub(crate) const CAUTION_PLAIN: &str = "Change the shot often and stand up between tries.";
