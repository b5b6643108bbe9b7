//! What the pack of a lesson says beside its topic's own words.

use crate::ladder::Topic;
use crate::lesson::PartKind;
use crate::player::AimError;
use crate::pocket::PocketKind;
use crate::sheets::parts::Style;
use crate::speech::named;
use crate::window::{Part, part_words};

/// What the pack is.
pub(crate) const ABOUT: &str =
    "A lesson: a page to carry, diagrams of its shots with boxes, and a page to take home.";
/// Whose makes stand beside the margins.
pub(crate) const LESSONS_PLAYER: &str = "player of this lesson";
/// How a test's boxes are ticked.
pub(crate) const TEST_BOXES: &str =
    "In each box: a tick when it went in, F for a miss hit full, T for one hit thin.";
/// Over the columns of the plan; plain sheets have no column of shots.
pub(crate) const PLAN: [&str; 3] = ["Part", "Shots", "What to say"];
/// The same on plain sheets.
pub(crate) const PLAIN_PLAN: [&str; 2] = ["Part", "What to do"];
/// What the plan says of a game that has a page of its own.
pub(crate) const GAME: &str = "A fair game on one shot; the page with the string says how.";
/// Over the first column of a grid of days.
pub(crate) const DAY: &str = "Day";
/// Over the grids of a group.
pub(crate) const EVERYBODY: &str = "Everybody's homework";

/// The pack's title.
pub(crate) fn title(lesson: &str) -> String {
    format!("Lesson: {lesson}")
}

/// With the code first: a long title may be cut.
pub(crate) fn known(code: Option<&str>, title: &str) -> String {
    code.map_or_else(|| title.to_owned(), |code| format!("{code}. {title}"))
}

/// Why this topic.
pub(crate) fn because(why: &str) -> String {
    format!("Why this topic: {}.", why.trim_end().trim_end_matches('.'))
}

/// For whom a lesson is, and what it takes.
pub(crate) struct Takes<'a> {
    pub(crate) students: &'a [String],
    pub(crate) minutes: u32,
    /// Minutes that are not spent in the lesson.
    pub(crate) homework: Option<u32>,
    pub(crate) balls: u32,
    pub(crate) gear: &'a str,
    pub(crate) player: &'a AimError,
}

/// For whom it is, and what it takes.
pub(crate) fn takes(lesson: &Takes<'_>, style: &Style) -> String {
    let (who, minutes, balls) = (named(lesson.students), lesson.minutes, lesson.balls);
    if style.plain {
        let home = lesson
            .homework
            .map_or_else(String::new, |m| format!(", and {m} minutes of homework"));
        return format!("For {who}. {minutes} minutes{home}. {balls} balls.");
    }
    let home = lesson.homework.map_or_else(String::new, |m| {
        format!(" and {m} minutes of homework on other days")
    });
    format!(
        "For {who}: {minutes} minutes at the table{home}, {balls} balls, {}. Chances are for {}{}.",
        lesson.gear,
        style.aim(lesson.player),
        if lesson.students.len() > 1 {
            ", the student in the middle of the group"
        } else {
            ""
        }
    )
}

/// How to read the diagrams.
pub(crate) fn diagrams(style: &Style) -> &'static str {
    let speech = style.speech();
    if style.plain {
        speech.pick(
            "Here the head of the table is on the left. Diamonds are the marks on the rails: count from the left, then from below.",
            "Here the baulk end is on the left. Measure from the left cushion, then from the one below.",
        )
    } else {
        speech.pick(
            "In the diagrams the head of the table is left, the white ball is the cue ball and the blue band its path, 1 is the object ball. Places count diamonds from the head rail, then from the right rail. Balls are drawn larger than they are.",
            "In the diagrams the baulk end is on the left, the white ball is the cue ball and the blue band its path, 1 is the object ball. Places are from the nose of a cushion to the middle of the ball. Balls are drawn larger than they are.",
        )
    }
}

/// A part's time in the plan.
fn time(kind: PartKind, minutes: u32) -> String {
    match kind {
        PartKind::Homework => format!("{minutes} min, later"),
        _ => format!("{minutes} min"),
    }
}

/// A part and its time.
pub(crate) fn timed(name: &str, kind: PartKind, minutes: u32) -> String {
    format!("{name}: {}", time(kind, minutes))
}

/// How places are found at home.
pub(crate) fn count_at_home(style: &Style) -> &'static str {
    style.speech().pick(
        "Count diamonds from the left (the head), then from below.",
        "Measure from the left (baulk), then from below.",
    )
}

/// Which shots a part has, by their numbers.
pub(crate) fn numbers(first: usize, count: usize) -> String {
    match count {
        0 => String::new(),
        1 => first.to_string(),
        2 => format!("{first} and {}", first + 1),
        n => format!("{first} to {}", first + n - 1),
    }
}

/// The same with how hard they are.
pub(crate) fn how_hard(numbers: &str, spread: &str) -> String {
    format!("{numbers}: {spread}")
}

/// Over a part.
pub(crate) fn part(name: &str, minutes: u32) -> String {
    format!("{name}: {minutes} minutes")
}

/// How everybody's homework is written down.
pub(crate) fn days(style: &Style) -> &'static str {
    if style.plain {
        "For the coach: a line for a day, its date, and how many went in."
    } else {
        "For the coach: a line for each day, its date, and makes and tries of each shot, such as 6/10."
    }
}

/// What a grid is, and whose.
pub(crate) fn grid(name: &str) -> String {
    if name.is_empty() {
        "A grid to fill in: a line a day, a column a shot.".to_owned()
    } else {
        format!("A grid to fill in for {name}: a line a day, a column a shot.")
    }
}

/// A column that goes on in the next.
pub(crate) fn goes_on(part: &str) -> String {
    format!("{part}, continued")
}

/// How a pack's tally is typed, for its first student.
pub(crate) fn tally(student: Option<&str>) -> String {
    format!("\"3: {} 6/10\"", student.unwrap_or("K"))
}

/// A shot's heading: "Shot 3", "Shot 3, A's mark".
pub(crate) fn shot(number: usize, mark_of: Option<&str>) -> String {
    match mark_of {
        Some(student) => format!("Shot {number}, {student}'s mark"),
        None => format!("Shot {number}"),
    }
}

/// What each of several has to make.
pub(crate) fn each_passes(makes: u32, tries: u32) -> String {
    format!("pass mark {makes} of {tries} each")
}

/// How often to play a shot that nobody counts.
pub(crate) fn uncounted(tries: u32, people: u32) -> String {
    let said = |n: u32| format!("{n} {}", if n == 1 { "try" } else { "tries" });
    if people < 2 {
        said(tries)
    } else if tries.is_multiple_of(people) {
        format!("{} each", said(tries / people))
    } else {
        format!("{} together", said(tries))
    }
}

/// A step of the answer: where, its room, its chance.
pub(crate) fn step(axis: &str, step: &str, room: &str, chance: f64) -> String {
    format!(
        "{axis} {step}: {room} either side, {:.1}\u{a0}in\u{a0}10",
        10.0 * chance
    )
}

/// The answer with its steps.
pub(crate) fn answer(answer: &str, topic: Topic, places: &str, steps: &[String]) -> String {
    let part = match topic {
        Topic::AlongTheRail => "Off jaws and rail too, at the ghost ball",
        Topic::LongStraight => "Going in clean, the aim may be off",
        _ => "Clean, at the ghost ball",
    };
    format!("{answer} {part}, {places}: {}.", steps.join("; "))
}

/// What the lines of a topic are, with their distance.
pub(crate) fn line(topic: Topic, m: f64, style: &Style) -> String {
    let far = style.distance(m);
    match topic {
        Topic::ThinCuts | Topic::Mixed => format!("{far} apart"),
        Topic::LongStraight | Topic::SidePocket | Topic::AlongTheRail => to_pocket(m, style),
    }
}

/// So far to the pocket.
pub(crate) fn to_pocket(m: f64, style: &Style) -> String {
    format!("{} to the pocket", style.distance(m))
}

/// All distances on a line: `1 m apart, 60 cm to the pocket`.
pub(crate) fn places(topic: Topic, line_m: f64, held_m: f64, style: &Style) -> String {
    let (line, held) = (line(topic, line_m, style), style.distance(held_m));
    match topic {
        Topic::ThinCuts | Topic::Mixed => format!("{line}, {held} to the pocket"),
        Topic::LongStraight => line,
        Topic::SidePocket | Topic::AlongTheRail => format!("{line}, {held} between the balls"),
    }
}

/// A step of a topic: `30°`, `1 m`.
pub(crate) fn step_at(topic: Topic, x: f64, style: &Style) -> String {
    match topic {
        Topic::LongStraight => style.distance(x),
        Topic::AlongTheRail => style.speed(x),
        _ => format!("{:.0}°", x.to_degrees()),
    }
}

/// What is held fixed; along the rail so far off square.
pub(crate) fn held(
    topic: Topic,
    kind: PocketKind,
    held_m: f64,
    off_square_rad: f64,
    style: &Style,
) -> String {
    let far = style.distance(held_m);
    match topic {
        Topic::ThinCuts | Topic::Mixed => format!("Straight into a {kind} pocket, {far} away"),
        Topic::LongStraight => format!("Straight shots, straight into a {kind} pocket"),
        Topic::AlongTheRail => format!(
            "Shots {:.0}° off straight in to a {kind} pocket, no cut, {far} between the balls",
            off_square_rad.to_degrees(),
        ),
        Topic::SidePocket => {
            format!("Straight shots into a {kind} pocket, {far} between the balls")
        }
    }
}

/// The title of the chart of chances.
pub(crate) const CHANCES: &str = "How often does it go in?";

/// Below it: for whom; the pace where it is the same along the chart.
pub(crate) fn chances_for(player: &AimError, pace_m_s: Option<f64>, style: &Style) -> String {
    format!(
        "For {}; a rolling cue ball, {}standard bounce: assumed.",
        style.aim(player),
        pace_m_s.map_or_else(String::new, |pace| format!(
            "{} at the pocket, ",
            style.speed(pace)
        ))
    )
}

/// Along a chart's side.
pub(crate) const MAKES: &str = "makes in 10";

/// A chart in words: its steps, each as [`value_at`] says it, on one line.
pub(crate) fn chart(what: &str, line: &str, steps: &[String]) -> String {
    format!("{what}, {line}: {}.", steps.join(", "))
}

/// What a chart has at a step.
pub(crate) fn value_at(value: &str, step: &str) -> String {
    format!("{value} at {step}")
}

/// The chart of chances in words.
pub(crate) const CHANCES_SHOW: &str = "Makes in ten";
/// From the easiest to the hardest shot: `7.0 to 5.1 in 10`, `6.0 in 10 each`.
#[must_use]
pub fn spread(low: f64, high: f64, shots: usize) -> String {
    let (low, high) = (format!("{low:.1}"), format!("{high:.1}"));
    match shots {
        1 => format!("{high} in 10"),
        _ if low == high => format!("{high} in 10 each"),
        _ => format!("{high} to {low} in 10"),
    }
}

/// Beside the strip.
pub(crate) const TOO_FULL: &str = "too full";
/// On its other side.
pub(crate) const TOO_THIN: &str = "too thin";

/// Over the room at true size.
pub(crate) fn true_size(shot: &str, style: &Style) -> String {
    if style.plain {
        format!("{shot}: how exact must it be?")
    } else {
        format!("{shot}: its margin at true size")
    }
}

/// What to look at there.
pub(crate) fn strip(width: &str, how: Part, style: &Style) -> String {
    if style.plain {
        return format!(
            "When the balls meet, the middle of the white ball must be in the gap: {width} wide!"
        );
    }
    let how = part_words(how);
    format!(
        "Where the balls meet, the cue ball's middle may be anywhere in the white gap, {width} wide, and the ball goes in {how}."
    )
}

/// What the picture of the strip shows.
pub(crate) fn strip_shows(width: &str) -> String {
    format!(
        "Two blocks with the gap between them that the cue ball's middle has at the ghost ball, at true size: {width}."
    )
}

/// What a row of ten balls shows.
pub(crate) fn ten_balls(name: &str, made: f64) -> String {
    format!("{name}: {made:.0} of ten go in.")
}

/// Where the balls lie along the steps, in plain words.
pub(crate) fn plain_places(topic: Topic, line_m: f64, held_m: f64, style: &Style) -> String {
    let (line, held) = (style.distance(line_m), style.distance(held_m));
    match topic {
        Topic::ThinCuts | Topic::Mixed => format!("Balls {line} apart. Pocket {held} away."),
        Topic::LongStraight => format!("Pocket {line} away."),
        Topic::SidePocket | Topic::AlongTheRail => {
            format!("Balls {held} apart. Pocket {line} away.")
        }
    }
}

/// A step in plain words, with what is measured along it.
pub(crate) fn plain_step(topic: Topic, words: &str, x: f64, style: &Style) -> String {
    match topic {
        Topic::LongStraight => format!("{words}: {}", style.distance(x)),
        _ => words.to_owned(),
    }
}

/// Over the page to take home.
pub(crate) const TAKE_HOME: &str = "To take home";
/// To fill in there.
pub(crate) const NAME_AND_DATE: [&str; 2] = ["Name", "Date"];
/// Over what to remember.
pub(crate) const REMEMBER: &str = "Remember";
/// Over homework there.
pub(crate) const HOMEWORK: &str = "Homework";
/// How homework is done.
pub(crate) const DO_HOMEWORK: &str = "Play on two or three days. Write down how many went in.";

/// What the rows of ten are.
pub(crate) fn most_likely(places: &str) -> String {
    format!("Out of ten, about this many go in. {places}")
}
