//! Everything for a lesson: its question, three pictures and two diagrams that answer it, the parts
//! with diagrams and boxes, homework, and a page in plain words to take home.

use kurbo::Rect;

use super::booklet::{BookletError, code_line};
use super::diagram::Placed;
use super::drill::Drill;
use super::lesson_pictures::{CloseUp, Study, chart_size, parts_chart, place_chart, tens};
use super::lesson_words::{self as words, CAUTION_PLAIN, Words};
use super::marks::fits;
use super::page::{PLAIN_PT, Sheet};
use super::parts::{Style, Table, blanks, table};
use crate::charts::ChartError;
use crate::gear::Gear;
use crate::ladder::{Lesson, LessonShot, Part, PartKind, words as place_words};
use crate::player::AimError;
use crate::request::{PlacesRequest, ShotRequest};
use crate::units::Position;
use crate::window::{Solution, Stroke, solve};

/// Height of a chart, mm (for the eye: three fit a page of Letter paper).
const CHART_MM: f64 = 72.0;
/// Most parts of a lesson (assumption: more do not fit their chart).
const MOST_PARTS: usize = 12;

/// A lesson's shots as the request of each, in the order in which they are numbered.
pub fn shots(lesson: &Lesson) -> impl Iterator<Item = ShotRequest> + '_ {
    let all = lesson.parts.iter().flat_map(|p| &p.shots);
    all.map(|shot| ShotRequest {
        places: PlacesRequest {
            cue: Some(shot.cue.clone()),
            object: Some(shot.object.clone()),
            pocket: Some(shot.pocket.clone()),
            ..PlacesRequest::default()
        },
        ..ShotRequest::default()
    })
}

/// The pack of a lesson, with the code under which its shots are kept in the practice log.
///
/// # Errors
/// [`BookletError`]: another gear, a lesson without shots or with a fault, too many parts, labels
/// too long.
pub fn lesson_sheet(
    gear: &Gear,
    lesson: &Lesson,
    code: Option<&str>,
    style: &Style,
) -> Result<Sheet, BookletError> {
    lesson.check(gear)?;
    if lesson.parts.iter().all(|p| p.shots.is_empty()) {
        return Err(fault(
            "part",
            "no part has a shot; add [[part.shot]] tables, or draw up a lesson with thincut lesson new",
        ));
    }
    if lesson.parts.len() > MOST_PARTS {
        let problem = format!(
            "{} parts; a pack has at most {MOST_PARTS}",
            lesson.parts.len()
        );
        return Err(fault("part", &problem));
    }
    let marked = lesson.parts.iter().flat_map(|p| &p.shots);
    for label in lesson
        .students
        .iter()
        .chain(marked.filter_map(|s| s.student.as_ref()))
    {
        fits(label)?;
    }
    let pack = Pack {
        gear,
        lesson,
        code,
        style,
        words: words::of(lesson.topic),
        study: Study {
            gear,
            player: AimError::new(lesson.arm_deg.to_radians(), 1e-3 * lesson.picture_mm)
                .map_err(|e| fault("arm_deg and picture_mm", &e.to_string()))?,
            topic: lesson.topic,
        },
        drills: drills(gear, lesson)?,
    };
    pack.sheet()
}

fn fault(place: &str, problem: &str) -> BookletError {
    BookletError::Shot {
        place: place.to_owned(),
        problem: problem.to_owned(),
    }
}

impl From<ChartError> for BookletError {
    fn from(e: ChartError) -> Self {
        fault("a chart of the lesson", &e.to_string())
    }
}

/// A shot as printed, and what the solver says of it.
struct Solved {
    drill: Drill,
    solution: Solution,
}

/// The shots, numbered through the lesson.
fn drills(gear: &Gear, lesson: &Lesson) -> Result<Vec<Solved>, BookletError> {
    let all = lesson
        .parts
        .iter()
        .flat_map(|p| p.shots.iter().map(|s| (p.kind, s)));
    (1..)
        .zip(all.zip(shots(lesson)))
        .map(|(number, ((kind, shot), request))| {
            let here = format!("shot {number}");
            let of = |e: &dyn std::fmt::Display| fault(&here, &e.to_string());
            let mut asked = request.shot(gear).map_err(|e| of(&e))?;
            asked.stroke = Stroke::default();
            let solution = solve(gear, &asked).map_err(|e| of(&e))?;
            let drill = drill(gear, lesson, (kind, number, shot), &solution)?;
            Ok(Solved { drill, solution })
        })
        .collect()
}

fn drill(
    gear: &Gear,
    lesson: &Lesson,
    (kind, number, shot): (PartKind, usize, &LessonShot),
    solution: &Solution,
) -> Result<Drill, BookletError> {
    let said = |text: &str| -> Result<String, BookletError> {
        Ok(place_words(text.parse::<Position>()?, &gear.bed))
    };
    // A mark is one student's own, and homework everybody's own at home.
    let own = match kind {
        PartKind::Homework => Some(&[][..]),
        _ => shot.student.as_ref().map(std::slice::from_ref),
    };
    let alone = own.is_some() || lesson.students.len() == 1;
    Ok(Drill {
        name: match &shot.student {
            Some(student) => format!("Shot {number}, {student}'s mark"),
            None => format!("Shot {number}"),
        },
        cue: shot.cue.clone(),
        object: shot.object.clone(),
        pocket: shot.pocket.clone(),
        cue_words: said(&shot.cue)?,
        object_words: said(&shot.object)?,
        makes_in_ten: shot.makes_in_ten,
        cut: Drill::cut_of(solution),
        pass: shot.pass.map(|pass| {
            let count = u32::try_from(lesson.students.len()).unwrap_or(u32::MAX);
            if alone || count < 2 {
                format!("{pass} of {} pass", shot.tries)
            } else {
                format!("{pass} of {} each pass", shot.tries / count)
            }
        }),
        awkward: Vec::new(),
        boxes: boxes(own.unwrap_or(&lesson.students), shot.tries),
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

/// "A, B and C".
fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// The first letter as a capital.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// With a full stop at its end.
fn ended(words: &str) -> String {
    format!("{}.", words.trim_end().trim_end_matches('.'))
}

struct Pack<'a> {
    gear: &'a Gear,
    lesson: &'a Lesson,
    code: Option<&'a str>,
    style: &'a Style,
    words: &'static Words,
    study: Study<'a>,
    drills: Vec<Solved>,
}

impl Pack<'_> {
    fn sheet(&self) -> Result<Sheet, BookletError> {
        let mut sheet = self.style.sheet(
            format!("Lesson: {}", self.lesson.title),
            "A lesson: its question, pictures that answer it, shots with diagrams and boxes, homework, a page to take home.",
        );
        self.plan(&mut sheet)?;
        sheet.break_page();
        if self.style.plain {
            self.plain_pictures(&mut sheet)?;
        } else {
            self.charts(&mut sheet)?;
        }
        sheet.break_page();
        self.diagrams(&mut sheet)?;
        sheet.break_page();
        let mut first = 0;
        for part in &self.lesson.parts {
            if part.kind == PartKind::Homework {
                sheet.break_page();
            }
            let own = &self.drills[first..first + part.shots.len()];
            first += part.shots.len();
            self.part(&mut sheet, part, own)?;
        }
        sheet.break_page();
        self.take_home(&mut sheet)?;
        Ok(sheet)
    }

    fn ask(&self) -> &'static str {
        if self.style.plain {
            self.words.ask_plain
        } else {
            self.words.ask
        }
    }

    /// Question, answer in numbers, what is needed, the plan, the caution.
    fn plan(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let (lesson, plain) = (self.lesson, self.style.plain);
        sheet.heading(&capital(&lesson.title))?;
        sheet.space(3.0);
        sheet.heading(self.ask())?;
        if plain {
            sheet.paragraph(self.words.answer)?;
        } else {
            sheet.paragraph(&self.answer())?;
        }
        if let Some(why) = lesson.because.as_ref().filter(|_| !plain) {
            sheet.paragraph(&format!("This topic because: {}", ended(why)))?;
        }
        let balls = lesson.parts.iter().map(|p| p.balls).max().unwrap_or(2);
        let who = listed(&lesson.students);
        sheet.paragraph(&if plain {
            format!("For {who}. {} minutes. {balls} balls.", lesson.minutes)
        } else {
            format!(
                "For {who}: {} minutes at the table, {balls} balls, {}. Chances are for arm ±{}°, picture ±{} mm{}.",
                lesson.minutes,
                self.gear.name,
                lesson.arm_deg,
                lesson.picture_mm,
                if lesson.students.len() > 1 { ", the student in the middle of the group" } else { "" }
            )
        })?;
        self.plan_table(sheet)?;
        sheet.space(4.0);
        let caution = if plain {
            CAUTION_PLAIN
        } else {
            &lesson.caution
        };
        sheet.paragraph(caution)?;
        code_line(sheet, self.code, "\"3: A 6/10\"", self.style)?;
        sheet.paragraph(if plain {
            "In the pictures of the table the head is on the left; the white ball is the cue ball."
        } else {
            "In the diagrams the head of the table is left, the white ball is the cue ball and the dashed line its way; places count diamonds from the head rail, then from the right rail."
        })?;
        Ok(())
    }

    /// Part, time, number of shots.
    fn plan_table(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let row = |p: &Part| {
            vec![
                words::part(p.kind).to_owned(),
                format!("{} min", p.minutes),
                match p.shots.len() {
                    1 => "1 shot".to_owned(),
                    n => format!("{n} shots"),
                },
            ]
        };
        let rows: Vec<Vec<String>> = self.lesson.parts.iter().map(row).collect();
        let head = ["Part", "Time", "Shots"].map(str::to_owned);
        table(
            sheet,
            self.style,
            &Table {
                columns: &[0.0, 0.4, 0.6],
                head: &head,
                rows: &rows,
            },
        )?;
        Ok(())
    }

    /// The answer with its numbers.
    fn answer(&self) -> String {
        let (style, study) = (self.style, &self.study);
        let line = study.lines()[1];
        let steps = study.steps().map(|x| {
            format!(
                "{} {}: {} each side, {:.1}\u{a0}in\u{a0}10",
                self.words.axis,
                study.step_words(x, style),
                study.room_words(x, line, style),
                10.0 * study.chance(x, line)
            )
        });
        format!(
            "{} {}, {}: {}.",
            self.words.answer,
            study.room_part(),
            study.line_name(line, style),
            steps.join("; ")
        )
    }

    fn charts(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let size = chart_size(sheet.room().width(), CHART_MM);
        let axis = self.words.axis;
        sheet.heading("Three pictures")?;
        for chart in [
            self.study.chance_chart(axis, self.style, size)?,
            self.study.room_chart(axis, self.style, size)?,
            parts_chart(
                &self.makes(),
                chart_size(sheet.room().width(), self.parts_mm()),
            )?,
        ] {
            place_chart(sheet, &chart)?;
        }
        Ok(())
    }

    /// Height of the chart of parts, mm.
    fn parts_mm(&self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a few parts")]
        let parts = self.makes().len() as f64;
        (30.0 + 7.0 * parts).max(CHART_MM - 5.0)
    }

    /// Makes in ten of the shots of each part that has some.
    fn makes(&self) -> Vec<(String, Vec<f64>)> {
        let with_shots = self.lesson.parts.iter().filter(|p| !p.shots.is_empty());
        with_shots
            .map(|p| {
                let makes = p.shots.iter().map(|s| s.makes_in_ten).collect();
                (words::part(p.kind).to_owned(), makes)
            })
            .collect()
    }

    fn plain_pictures(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let study = &self.study;
        let (easy, middle) = (study.steps()[0], study.steps()[1]);
        let line = study.lines()[1];
        sheet.heading("How many of ten go in?")?;
        let by_step = self.words.steps.map(str::to_owned).into_iter();
        let by_step: Vec<(String, f64)> = by_step
            .zip(study.steps().map(|x| study.chance(x, line)))
            .collect();
        tens(sheet, self.style, &by_step)?;
        sheet.space(6.0);
        sheet.heading("And from farther away?")?;
        let names = ["Near", "Farther", "Far away"]
            .map(str::to_owned)
            .into_iter();
        let step = if study.chance(middle, line) > 0.05 {
            middle
        } else {
            easy
        };
        let by_line: Vec<(String, f64)> = names
            .zip(study.lines().map(|m| study.chance(step, m)))
            .collect();
        tens(sheet, self.style, &by_line)?;
        sheet.space(6.0);
        sheet.heading("Today's shots")?;
        let parts: Vec<(String, f64)> = self
            .makes()
            .into_iter()
            .map(|(name, makes)| {
                #[expect(clippy::cast_precision_loss, reason = "a few shots")]
                let middle = makes.iter().sum::<f64>() / makes.len() as f64;
                (name, 0.1 * middle)
            })
            .collect();
        tens(sheet, self.style, &parts)?;
        Ok(())
    }

    /// The hardest shot of the topic: on the table, and its room at true size.
    fn diagrams(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let (style, gear) = (self.style, self.gear);
        let Some(shown) = self.shown() else {
            return Err(fault("part", "no shot of the lesson has a window to draw"));
        };
        let drill = &shown.drill;
        sheet.heading(&format!("{} on the table", drill.name))?;
        let wide = sheet.room().width();
        let (canvas, strip) = sheet.figure("a diagram", drill.alt(), 0.38 * wide)?;
        let places = (
            drill.cue.as_str(),
            drill.object.as_str(),
            drill.pocket.as_str(),
        );
        let room = Rect::new(strip.x0, strip.y0, strip.x1, strip.y1);
        Placed::new(gear, places)?.draw(canvas, gear, room, &[]);
        let close = shown.solution.window.as_ref().ok().and_then(CloseUp::new);
        let Some(close) = close else { return Ok(()) };
        sheet.space(6.0);
        let width = style.measure(close.width_m());
        let high = close.height_mm(gear, style);
        let title = if style.plain {
            "How exact must it be?"
        } else {
            "Its room at true size"
        };
        sheet.heading_with(title, 22.0 + high)?;
        let how = if style.plain {
            String::new()
        } else {
            format!(", {}", close.how)
        };
        sheet.paragraph(&if style.plain {
            format!("The middle of the cue ball must come along the blue strip. It is {width} wide!")
        } else {
            format!("The cue ball's middle must come along the strip, {width} wide{how}. The two outlines are the fullest and the thinnest hit.")
        })?;
        let shows = format!(
            "Object ball and ghost ball at true size; the strip for the cue ball's middle is {width} wide."
        );
        let (canvas, strip) = sheet.figure("the room at true size", shows, high)?;
        close.draw(canvas, strip, gear, style);
        Ok(())
    }

    /// The last shot of the topic part that has a window, else the last of any part.
    fn shown(&self) -> Option<&Solved> {
        let kinds = self
            .lesson
            .parts
            .iter()
            .flat_map(|p| p.shots.iter().map(|_| p.kind));
        let mut all: Vec<(PartKind, &Solved)> = kinds.zip(&self.drills).collect();
        all.retain(|(_, s)| s.solution.window.is_ok());
        let of_topic = all.iter().rfind(|(kind, _)| *kind == PartKind::Topic);
        of_topic.or(all.last()).map(|(_, solved)| *solved)
    }

    fn part(&self, sheet: &mut Sheet, part: &Part, shots: &[Solved]) -> Result<(), BookletError> {
        let name = words::part(part.kind);
        let time = format!("{} minutes", part.minutes);
        sheet.space(5.0);
        sheet.heading_with(
            &format!("{name}: {time}"),
            if shots.is_empty() { 25.0 } else { 80.0 },
        )?;
        if self.style.plain {
            sheet.paragraph(words::part_plain(part.kind))?;
        } else {
            sheet.paragraph(&part.say)?;
        }
        if part.kind == PartKind::Test && !self.style.plain {
            sheet.paragraph("In each box: a tick when it went in, F when it was too full, T when it was too thin.")?;
        }
        if part.kind == PartKind::Homework {
            code_line(sheet, self.code, "\"3: A 6/10\"", self.style)?;
        }
        for turn in &part.turns {
            sheet.paragraph(turn)?;
        }
        for shot in shots {
            sheet.space(4.0);
            shot.drill.print(sheet, self.gear, (self.style, &[]))?;
        }
        Ok(())
    }

    /// For the pocket: in plain words whatever the rest is set in.
    fn take_home(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        let style = Style {
            plain: true,
            ..*self.style
        };
        sheet.set_body(PLAIN_PT);
        sheet.heading("To take home")?;
        blanks(sheet, &style, ["Name", "Date"])?;
        sheet.space(5.0);
        sheet.heading(self.words.ask_plain)?;
        sheet.paragraph(self.words.answer)?;
        let study = &self.study;
        let line = study.lines()[1];
        sheet.paragraph("So many of ten go in, most likely:")?;
        let steps = self.words.steps.map(str::to_owned).into_iter();
        let rows: Vec<(String, f64)> = steps
            .zip(study.steps().map(|x| study.chance(x, line)))
            .collect();
        tens(sheet, &style, &rows)?;
        sheet.space(5.0);
        sheet.heading("Remember")?;
        for (k, words) in (1..).zip(self.words.remember) {
            sheet.paragraph(&format!("{k}. {words}"))?;
        }
        let homework = self
            .lesson
            .parts
            .iter()
            .any(|p| p.kind == PartKind::Homework);
        if homework {
            sheet.space(3.0);
            sheet.heading("Homework")?;
            sheet.paragraph("Play the shots of the homework page on two or three days. Tick what goes in. Bring the page back.")?;
        }
        sheet.paragraph(CAUTION_PLAIN)?;
        Ok(())
    }
}
