//! What a lesson's parts say to the coach.

use crate::field::Hint;
use crate::gear::Bed;
use crate::ladder::{Marks, Topic, Turn, topic_words, turn_line};
use crate::lesson::part::{LeftOut, PartKind};
use crate::speech::{Speech, by_diamonds, first_large, named, place_words, rail_words};

/// What a lesson says besides the cautions that every sheet prints; empty it, or write your own.
pub const CAUTION: &str = "Change the shot every few tries and stand up straight between tries.";

/// What stands at the head of a lesson file.
pub(crate) fn how_to_edit() -> String {
    format!(
        "\
# A lesson to edit.{}
# minutes are at the table; homework is outside them.
# arm_deg and picture_mm: how well the student aims it is drawn up for; in [[skill]], each student.
# lean_deg: the aim's lean on left and on right cuts, left positive.
# [[part]]: kind is warm-up, test, topic, drill, marks or homework; say is what the coach says;
# balls counts the cue ball.
# [[part.shot]]: cue, object and pocket as a shot takes them; tries are everybody's together;
# pass is the makes that pass it; makes_in_ten is what the student's aim gives. To change a shot,
# ask for its chance{} and write it here.
",
        Hint::CheckLesson,
        Hint::AskChance
    )
}

/// "Thin cuts for K, L".
pub(crate) fn title(topic: Topic, students: &[String]) -> String {
    format!(
        "{} for {}",
        first_large(&topic_words(topic, Speech::default())),
        students.join(", ")
    )
}

/// A fair game on one shot, `each` tries from every mark.
pub(crate) fn game_words(sheet: &Marks, bed: &Bed, each: u32, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let typed = if by_diamonds(bed, speech) {
        format!(" ({})", sheet.object)
    } else {
        String::new()
    };
    format!(
        "A fair game, {}: object ball {}{typed} into the {} pocket. Hold a string from its middle to {} and chalk a mark on it for everybody. From their own mark the shot is {:.0} in 10 for everybody, so the most makes win. Needs a string, a tape and chalk.",
        tries_each(each, 2),
        place_words(sheet.object, bed, speech),
        speech.pocket_name(sheet.pocket),
        rail_words(sheet.towards, bed, speech),
        10.0 * sheet.chance,
    )
}

/// What those play meanwhile whom the string is not fair to; nothing where it is fair to all.
pub(crate) fn left_out_words(left_out: &LeftOut) -> String {
    let meanwhile = |names: &[String], shot: &str| {
        let (has, s) = match names.len() {
            0 => return String::new(),
            1 => ("has", "s"),
            _ => ("have", ""),
        };
        let names = named(names);
        format!(
            " {names} {has} no mark, since no one string is fair to all: {names} play{s} {shot} meanwhile."
        )
    };
    meanwhile(&left_out.better, "the hardest shot of the drill")
        + &meanwhile(&left_out.weaker, "the easiest shot of the warm-up")
}

/// "5 tries each", "1 try".
pub(crate) fn tries_each(each: u32, people: u32) -> String {
    let many = if people > 1 { " each" } else { "" };
    let tries = if each == 1 { "try" } else { "tries" };
    format!("{each} {tries}{many}")
}

/// A turn in one line, single blanks.
pub(crate) fn turn_words(turn: &Turn) -> String {
    let line = turn_line(turn);
    let words: Vec<&str> = line.split_whitespace().collect();
    words.join(" ")
}

/// What the coach says; `passed` where every shot has a pass score, `tries` as said.
pub(crate) fn part_words(kind: PartKind, topic: Topic, passed: bool, tries: &str) -> String {
    let count = format!("{tries} at every shot");
    match kind {
        PartKind::WarmUp => format!("Easy shots, a smooth stroke; nobody counts. {count}."),
        PartKind::Test => format!(
            "Test, {}: {count}. Write down the makes, and for every miss whether it was too full or too thin.",
            topic_words(topic, Speech::default())
        ),
        PartKind::Topic => format!("{} {count}.", advice(topic)),
        PartKind::Drill if !passed => format!(
            "Climb: each shot is a little harder than the one before; play them in turn and see how far you get. {count}."
        ),
        PartKind::Drill => {
            format!("Climb: pass a shot and go on to the next; if not, go back one. {count}.")
        }
        PartKind::Homework => {
            "On two or three days, not all at once; write down the makes and the tries.".to_owned()
        }
        PartKind::Marks => String::new(),
    }
}

/// What to look at in a topic (common practice of the trade).
fn advice(topic: Topic) -> &'static str {
    match topic {
        Topic::ThinCuts => {
            "Thin cuts: see the whole ghost ball, stand behind its line, and watch where a miss goes; most are too full (common practice)."
        }
        Topic::LongStraight => {
            "Long straight shots: line up from well behind, pause before the last stroke, send the cue straight through and leave it there. Note on which side each miss went."
        }
        Topic::SidePocket => {
            "Side pockets: play softly enough to use the whole opening, and aim at the middle of what is open from where the ball lies, not at the middle of the hole."
        }
        Topic::AlongTheRail => {
            "Along the rail: hit ball and rail together or the ball a hair first, and softly: a firm one rattles in the jaws (common practice)."
        }
        Topic::Mixed => {
            "Mixed shots: the same routine for each: see the ghost ball, stand behind its line, then stroke."
        }
    }
}
