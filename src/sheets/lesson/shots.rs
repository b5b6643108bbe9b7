//! The shots of a lesson as they are printed: numbered through, with what passes and boxes for all.

use crate::gear::Gear;
use crate::lesson::{Lesson, LessonShot, PartKind};
use crate::sheets::drill::Drill;
use crate::sheets::fault::BookletError;
use crate::sheets::parts::Style;
use crate::sheets::words::drill::passes;
use crate::sheets::words::lesson as words;
use crate::speech::{Speech, place_words};
use crate::units::Position;
use crate::window::{Solution, Stroke, solve};

/// A lesson's shots in the order in which they are numbered.
pub fn shots(lesson: &Lesson) -> impl Iterator<Item = &LessonShot> {
    lesson.parts.iter().flat_map(|p| &p.shots)
}

/// A shot as printed, and what the solver says of it.
pub(super) struct Solved {
    pub(super) drill: Drill,
    pub(super) solution: Solution,
}

/// The shots, numbered through the lesson.
pub(super) fn drills(
    gear: &Gear,
    lesson: &Lesson,
    style: &Style,
) -> Result<Vec<Solved>, BookletError> {
    let all = lesson
        .parts
        .iter()
        .flat_map(|p| p.shots.iter().map(|s| (p.kind, s)));
    (1..)
        .zip(all)
        .map(|(number, (kind, shot))| {
            let here = format!("shot {number}");
            let of = |e: &dyn std::fmt::Display| BookletError::shot(&here, e);
            let mut asked = shot.request().shot(gear).map_err(|e| of(&e))?;
            asked.stroke = Stroke::centre_ball();
            let solution = solve(gear, &asked).map_err(|e| of(&e))?;
            let here = Numbered { kind, number, shot };
            let drill = drill(gear, lesson, &here, &solution, style.speech())?;
            Ok(Solved { drill, solution })
        })
        .collect()
}

/// A shot with its number in the lesson and the kind of its part.
struct Numbered<'a> {
    kind: PartKind,
    number: usize,
    shot: &'a LessonShot,
}

fn drill(
    gear: &Gear,
    lesson: &Lesson,
    here: &Numbered<'_>,
    solution: &Solution,
    speech: Speech,
) -> Result<Drill, BookletError> {
    let Numbered { kind, number, shot } = *here;
    let said = |text: &str| -> Result<String, BookletError> {
        Ok(place_words(text.parse::<Position>()?, &gear.bed, speech))
    };
    // A mark is one student's own, and homework everybody's own at home.
    let own = match kind {
        PartKind::Homework => Some(&[][..]),
        _ => shot.student.as_ref().map(std::slice::from_ref),
    };
    let alone = own.is_some() || lesson.students.len() == 1;
    let count = u32::try_from(lesson.students.len()).unwrap_or(u32::MAX);
    Ok(Drill {
        name: words::shot(number, shot.student.as_deref()),
        cue: shot.cue.clone(),
        object: shot.object.clone(),
        pocket: shot.pocket.clone(),
        cue_words: said(&shot.cue)?,
        object_words: said(&shot.object)?,
        makes_in_ten: shot.makes_in_ten,
        cut: Drill::cut_of(solution),
        pass: match (kind, shot.pass) {
            (PartKind::WarmUp, _) => {
                Some(words::uncounted(shot.tries, if alone { 1 } else { count }))
            }
            (_, None) => None,
            (_, Some(pass)) if alone || count < 2 => Some(passes(pass, shot.tries)),
            (_, Some(pass)) => Some(words::each_passes(pass, shot.tries / count)),
        },
        awkward: Vec::new(),
        boxes: match kind {
            // Nobody counts, so there is nothing to tick.
            PartKind::WarmUp => Vec::new(),
            _ => boxes(own.unwrap_or(&lesson.students), shot.tries),
        },
    })
}

/// The tries of all, in turns: who comes first has one more when they do not come out even.
fn boxes(students: &[String], tries: u32) -> Vec<(String, u32)> {
    if students.len() < 2 {
        return vec![(String::new(), tries)];
    }
    let count = u32::try_from(students.len()).unwrap_or(u32::MAX);
    (0..)
        .zip(students)
        .map(|(k, name)| (name.clone(), tries / count + u32::from(k < tries % count)))
        .filter(|(_, own)| *own > 0)
        .collect()
}
