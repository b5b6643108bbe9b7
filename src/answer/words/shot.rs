//! One shot in words: at most six lines, clean first.

use std::ops::Range;

use crate::answer::easier::{Change, closer_m};
use crate::answer::shot::{NO_SIDE, OFF_TABLE, ShotAnswer, StrokeBy, WindowAnswer};
use crate::gear::Bed;
use crate::player::chance::EqualStraight;
use crate::player::factors::Factor;
use crate::player::{in_ten, range_is_said};
use crate::speech::{Speech, by_diamonds, first_large};
use crate::units::{Angle, Length, Speed, UnitSystem, decimals, speak};
use crate::window::{Flags, NoWindow, Part, part_words, roll_words};

/// Thickness of a credit card, mm (published: ISO/IEC 7810, ID-1 cards).
const CARD_MM: f64 = 0.76;
/// Sides that differ by less than this share count as even (assumption: nobody feels it).
const EVEN_SHARE: f64 = 0.08;

fn room(part: &WindowAnswer, speech: Speech) -> String {
    let each = 0.5 * (part.thick_ghost_mm + part.thin_ghost_mm);
    let length = |mm| speak::small_length(Length::from_mm(mm), speech);
    let deg = speak::room_degrees(Angle::from_deg(0.5 * part.total_deg));
    if part.thick_ghost_mm.min(part.thin_ghost_mm) < 0.0 {
        return format!(
            "a margin of {} in all at the ghost ball, off to one side of the middle ({deg} each way)",
            length(2.0 * each)
        );
    }
    format!(
        "a margin of about {} either side at the ghost ball ({deg})",
        length(each)
    )
}

fn sides(answer: &ShotAnswer, part: &WindowAnswer, speech: Speech) -> String {
    let length = |mm| speak::small_length(Length::from_mm(mm), speech);
    let (full, thin) = (part.thick_ghost_mm, part.thin_ghost_mm);
    let is_even = (full - thin).abs() <= EVEN_SHARE * (full + thin);
    if is_straight(answer) {
        // Neither side is the full one.
        if is_even {
            return format!("{} either way", length(0.5 * (full + thin)));
        }
        let sides = if answer.cut_side.as_deref() == Some("right") {
            ["right", "left"]
        } else {
            ["left", "right"]
        };
        let more = sides[usize::from(thin > full)];
        return format!(
            "{} to the {}, {} to the {}: more margin on the {more}",
            length(full),
            sides[0],
            length(thin),
            sides[1]
        );
    }
    let more = if is_even {
        "the same on both sides"
    } else if full > thin {
        "more margin on the full side"
    } else {
        "more margin on the thin side"
    };
    format!(
        "{} too full (undercut), {} too thin (overcut): {more}",
        length(full),
        length(thin)
    )
}

/// A small change: `cue ball one diamond closer`, where places are said by diamonds; else by how much.
#[must_use]
pub fn change_words(change: Change, bed: &Bed, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    match change {
        Change::CueCloser if by_diamonds(bed, speech) => {
            format!("cue ball one {} closer", speech.nouns().diamond)
        }
        Change::CueCloser => {
            let closer = Length::from_m(closer_m(bed));
            format!("cue ball {} closer", speak::distance(closer, speech))
        }
        Change::Softer => "half the pace at the pocket".to_owned(),
        Change::NoSide => format!("no {}", speech.nouns().the_side.trim_start_matches("the ")),
    }
}

/// What is said of a shot besides its answer, and how.
#[derive(Debug, Clone, Copy)]
pub struct Beside<'a> {
    /// A first line about a player, where one is named.
    pub chance: Option<&'a str>,
    /// What would make it easier.
    pub easier: Option<&'a str>,
    /// What a pocket is that no hit sends the object ball to. Where people also say how far an arm
    /// reaches, "out of reach" would be taken for that.
    pub out_of_reach: &'a str,
}

impl Default for Beside<'_> {
    fn default() -> Self {
        Self {
            chance: None,
            easier: None,
            out_of_reach: "Out of reach",
        }
    }
}

/// The answer in at most six lines.
#[must_use]
pub fn shot_lines(
    answer: &ShotAnswer,
    beside: &Beside<'_>,
    speech: impl Into<Speech>,
) -> Vec<String> {
    let speech = speech.into();
    let mut lines: Vec<String> = Vec::with_capacity(6);
    lines.extend(beside.chance.map(str::to_owned));
    let too_fast =
        not_playable_words(answer, speech.units).map_or_else(String::new, |why| format!("{why}. "));
    match (
        &answer.clean,
        answer.direct.as_ref().or(answer.drop.as_ref()),
    ) {
        (None, None) => lines.push(no_window_line(answer, beside.out_of_reach)),
        (Some(clean), _) => {
            let cards = (clean.thick_ghost_mm + clean.thin_ghost_mm) / CARD_MM;
            let goes = if too_fast.is_empty() {
                "Goes"
            } else {
                "It would go"
            };
            lines.push(format!(
                "{too_fast}{goes} in clean with {}: {}.",
                room(clean, speech),
                in_cards(cards, speech)
            ));
        }
        (None, Some(part)) => {
            lines.push(format!(
                "{too_fast}Never clean; off the jaws or a {} it goes in with {}.",
                speech.nouns().rail,
                room(part, speech)
            ));
        }
    }
    lines.extend(still_goes(answer, speech));
    if answer.clean.is_some() || answer.drop.is_some() {
        lines.push(cut_line(answer));
        let stick = stick_line(answer, speech);
        let with_stick = stick.is_some();
        lines.extend(stick);
        // What would be easier on a table that has no place for it helps nobody.
        let easier = beside.easier.filter(|_| !is_off_table(answer));
        let easier = easier.map(|e| format!("Easier: {e}."));
        match (reason(answer, speech), easier) {
            (Some(why), Some(easier)) if with_stick => lines.push(format!("{why} {easier}")),
            (why, easier) => lines.extend(why.into_iter().chain(easier)),
        }
    } else {
        lines.extend(beside.easier.map(|e| format!("Easier: {e}.")));
    }
    if lines.len() < 6 {
        lines.push(assumed_line(answer, speech));
    } else if let Some(last) = lines.last_mut() {
        last.push_str(&format!(" {}", assumed_line(answer, speech)));
    }
    lines
}

fn flagged(answer: &ShotAnswer, flag: Flags) -> bool {
    let named = |name: &str| answer.flags.iter().any(|f| f == name);
    flag.names().all(named)
}

/// Whether the table has no place for it.
fn is_off_table(answer: &ShotAnswer) -> bool {
    answer.flags.iter().any(|flag| flag == OFF_TABLE)
}

/// Why nobody can set it up or play it, without a stop at the end; nothing where somebody can.
#[must_use]
pub fn not_playable_words(answer: &ShotAnswer, units: UnitSystem) -> Option<String> {
    if is_off_table(answer) {
        return Some(
            "Cannot be set up on this table: it is too small for balls and pocket so far apart"
                .to_owned(),
        );
    }
    let is_fast = flagged(answer, Flags::TOO_FAST);
    is_fast.then(|| not_playable(answer.cue_speed_m_s.unwrap_or(0.0), units))
}

/// A stroke that is too hard: `Not playable: the cue ball would need 61 m/s, faster than anyone can
/// control`.
#[must_use]
pub fn not_playable(cue_speed_m_s: f64, units: UnitSystem) -> String {
    let digits = if cue_speed_m_s < 10.0 { 10.0 } else { 1.0 };
    let speed = Speed::from_m_s((digits * cue_speed_m_s).round() / digits);
    format!(
        "Not playable: the cue ball would need {}, faster than anyone can control",
        speak::speed(speed, units)
    )
}

fn in_cards(cards: f64, speech: Speech) -> String {
    let card = speech.nouns().card;
    match cards {
        c if c < 0.35 => format!("less than half a {card} in all"),
        c if c < 1.3 => format!("about one {card} in all"),
        c => format!("about {} {card}s in all", counted(c.round().max(2.0))),
    }
}

/// A small count as a word.
fn counted(count: f64) -> String {
    const WORDS: [&str; 8] = [
        "two", "three", "four", "five", "six", "seven", "eight", "nine",
    ];
    let at = (2.0..10.0).contains(&count).then(|| {
        let mut words = (2u32..).zip(WORDS);
        words.find(|(n, _)| (f64::from(*n) - count).abs() < 0.5)
    });
    at.flatten()
        .map_or_else(|| format!("{count:.0}"), |(_, word)| word.to_owned())
}

fn no_window_line(answer: &ShotAnswer, out_of_reach: &str) -> String {
    let is = |no: NoWindow| answer.flags.iter().any(|f| f == no.name());
    if is(NoWindow::TooSteep) {
        format!(
            "Does not drop, however hard or soft: coming {} off straight in, the jaws turn every ball away.",
            speak::degrees(Angle::from_deg(answer.approach_deg.abs()))
        )
    } else if is(NoWindow::NoDrop) {
        format!(
            "Does not drop in any direction: coming {} off straight in at {} m/s, the jaws turn it away or it stops before the pocket.",
            speak::degrees(Angle::from_deg(answer.approach_deg.abs())),
            answer.pace_m_s
        )
    } else if is(NoWindow::InTheJaws) {
        "A hanger: the object ball lies on or past the line of the mouth, and almost any hit drops it.".to_owned()
    } else if is(NoWindow::OutOfReach) {
        format!("{out_of_reach}: even the thinnest hit sends the object ball past the pocket.")
    } else if is(NoWindow::Blocked) {
        "Blocked: other balls block every path.".to_owned()
    } else {
        "Too close: with the balls this near, turning the aim no longer turns the object ball steadily.".to_owned()
    }
}

fn still_goes(answer: &ShotAnswer, speech: Speech) -> Option<String> {
    let (direct, drop) = (answer.direct.as_ref(), answer.drop.as_ref());
    if let Some(direct) = direct
        && answer.clean.is_some()
    {
        let rail = drop
            .filter(|d| d.total_deg > 1.001 * direct.total_deg)
            .map_or(String::new(), |d| {
                format!(
                    "; with the {}, {} in all",
                    speech.nouns().rail,
                    speak::degrees(Angle::from_deg(d.total_deg))
                )
            });
        return Some(format!(
            "It still goes in off the jaws up to {}{rail}.",
            sides(answer, direct, speech)
        ));
    }
    let part = direct.or(drop)?;
    Some(format!("That is {}.", sides(answer, part, speech)))
}

/// A cut that reads as none.
fn is_straight(answer: &ShotAnswer) -> bool {
    answer.cut_deg.is_none_or(|deg| deg.abs() < 0.05)
}

fn cut_line(answer: &ShotAnswer) -> String {
    let cut = Angle::from_deg(answer.cut_deg.unwrap_or(0.0));
    let said = if is_straight(answer) {
        format!("A straight shot, {}", speak::hit(cut))
    } else {
        format!(
            "The cut is {} to the {}, {}",
            speak::degrees(cut),
            answer.cut_side.as_deref().unwrap_or("left"),
            speak::hit(cut)
        )
    };
    let throw = answer.throw_deg.unwrap_or(0.0);
    let allowed = if throw.abs() < 0.005 {
        "there is no throw".to_owned()
    } else {
        let which = if throw > 0.0 { "fuller" } else { "thinner" };
        format!(
            "throw sends the object ball {} {which}; the aim includes it",
            speak::degrees(Angle::from_deg(throw.abs()))
        )
    };
    let reach = if flagged(answer, Flags::OUT_OF_REACH) {
        "; the middle of the pocket cannot be hit from here, this is the part that can".to_owned()
    } else if flagged(answer, Flags::TRUNCATED) {
        "; the thin side ends where the cue ball misses".to_owned()
    } else {
        String::new()
    };
    format!("{said}; {allowed}{reach}.")
}

/// Why it is as hard as it is: the verdict, with what the pocket's opening shrinks to.
#[must_use]
pub fn reason(answer: &ShotAnswer, speech: impl Into<Speech>) -> Option<String> {
    let speech = speech.into();
    let rail = speech.nouns().rail;
    let why = answer.why.as_ref()?;
    let but = if why.mostly_jaws && why.product > 0.0 {
        format!(", but most of it is off the jaws and {rail}")
    } else {
        String::new()
    };
    if why.main.is_empty() {
        return Some(format!("Nothing makes it hard{but}."));
    }
    let named: Vec<&str> = why
        .main
        .iter()
        .map(|factor| factor_words(*factor, answer, speech))
        .collect();
    let named = match named.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    };
    let shrinks = answer.first_order.as_ref().map_or_else(String::new, |f| {
        let part = match f.of {
            Part::Clean => String::new(),
            Part::Direct => ", jaws counted,".to_owned(),
            Part::Drop => format!(", jaws and {rail} counted,"),
        };
        format!(
            ": the pocket's {}{part} shrinks to {} of aim",
            speak::degrees(Angle::from_deg(f.pocket_opening_deg)),
            speak::room_degrees(Angle::from_deg(f.first_order_deg))
        )
    });
    Some(format!("Mainly {named}{shrinks}."))
}

/// What a factor is called.
#[must_use]
pub fn factor_words(
    factor: Factor,
    answer: &ShotAnswer,
    speech: impl Into<Speech>,
) -> &'static str {
    match factor {
        Factor::ObjectDistance => "the object ball's distance from the pocket",
        Factor::PocketAngle => "the angle into the pocket",
        Factor::Pace => "the pace",
        Factor::CueDistance => "the cue ball's distance",
        Factor::Cut => "the cut",
        Factor::Throw if answer.side.abs() > NO_SIDE => speech.into().nouns().the_side,
        Factor::Throw => "throw",
        Factor::Others => "what stands in the way",
        Factor::DiesShort => "that it may die short",
    }
}

/// A tip less than this off the middle strikes the middle, mm (assumption: chalk leaves more).
const MIDDLE_MM: f64 = 0.05;

/// Where the stick points when that is not where the cue ball goes, or why no stick does it.
fn stick_line(answer: &ShotAnswer, speech: Speech) -> Option<String> {
    if let Some(why) = &answer.cannot_arrive {
        return Some(format!("No stroke does that: {why}."));
    }
    let stick = answer.stick.as_ref()?;
    if stick.tip_across_mm.abs() < MIDDLE_MM {
        return None;
    }
    let length = |mm: f64| speak::small_length(Length::from_mm(mm.abs()), speech);
    let degrees = |deg: f64| speak::degrees(Angle::from_deg(deg.abs()));
    let side = |left: f64| if left > 0.0 { "left" } else { "right" };
    let curve = match stick.swerve_deg {
        s if s.abs() < 0.005 => String::new(),
        s if s * stick.squirt_deg < 0.0 => format!(" and swerves {} back on the way", degrees(s)),
        s => format!(" and swerves {} farther on the way", degrees(s)),
    };
    let pays = match answer.chance.zip(answer.chance_without_side) {
        Some((with, without)) if with > without => {
            let throw = if answer.side_adds_throw {
                "more throw leaves more margin here"
            } else {
                "it takes throw off"
            };
            format!(
                " {} pays: {throw}, and without it {:.1} in 10 go in.",
                first_large(speech.nouns().the_side),
                10.0 * without
            )
        }
        _ => String::new(),
    };
    Some(format!(
        "Point the stick {} {} of the middle of the ghost ball: the cue ball squirts {} {}{curve}.{pays}",
        length(stick.left_of_ghost_mm),
        side(stick.left_of_ghost_mm),
        degrees(stick.squirt_deg),
        side(stick.squirt_deg)
    ))
}

/// "struck in the middle, rolling on arrival", or what was asked to arrive.
fn struck_words(answer: &ShotAnswer, speech: Speech) -> String {
    let (true, Some(stick)) = (answer.stroke_by == StrokeBy::Tip, &answer.stick) else {
        return roll_words(answer.roll, speech);
    };
    let place = tip_words(stick.tip_across_mm, stick.tip_height_mm, speech);
    let arrives = match answer.roll {
        r if (r - 1.0).abs() < 0.005 => "rolling on arrival".to_owned(),
        r if r.abs() < 0.05 => "stunned on arrival".to_owned(),
        r if r < 0.0 => format!("still with draw on arrival ({r:.2})"),
        r if r > 1.0 => format!("with topspin on arrival ({r:.2})"),
        r => format!("still sliding on arrival (roll {r:.2})"),
    };
    format!("struck {place}, {arrives}")
}

/// "in the middle", "6 mm right and 3 mm low".
#[must_use]
pub fn tip_words(across_mm: f64, height_mm: f64, speech: Speech) -> String {
    let part = |mm: f64, plus: &str, minus: &str| {
        (mm.abs() >= MIDDLE_MM).then(|| {
            let length = speak::small_length(Length::from_mm(mm.abs()), speech);
            format!("{length} {}", if mm > 0.0 { plus } else { minus })
        })
    };
    let parts: Vec<String> = [
        part(across_mm, "right", "left"),
        part(height_mm, "high", "low"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if parts.is_empty() {
        "in the middle".to_owned()
    } else {
        parts.join(" and ")
    }
}

fn assumed_line(answer: &ShotAnswer, speech: Speech) -> String {
    let rails = speech.nouns().rails;
    let measured = &answer.measured;
    let bounce = match (measured.facings.is_known(), measured.cushions.is_known()) {
        (false, false) if answer.chance_low.is_some() => {
            format!(", the usual bounce of jaws and {rails}")
        }
        (false, false) => {
            format!(", the usual bounce of jaws and {rails} (no published values)")
        }
        (true, false) => format!(", the usual bounce of {rails} (jaws as measured)"),
        (false, true) => format!(", the usual bounce of jaws ({rails} as measured)"),
        (true, true) => String::new(),
    };
    let ends = if answer.pocket.is_none() {
        format!("; no places given, so the {rails} are taken as endless")
    } else {
        String::new()
    };
    format!(
        "Assumed: {}, {}{bounce}{ends}.",
        struck_words(answer, speech),
        pace_words(answer.pace_m_s, answer.stroke_lengths),
    )
}

/// Both ways of saying how hard: `1 m/s at the pocket (a 1.3-length stroke)`.
#[must_use]
pub fn pace_words(pace_m_s: f64, lengths: Option<f64>) -> String {
    // to a centimetre per second: nobody strokes closer
    let pace = format!("{} m/s at the pocket", (100.0 * pace_m_s).round() / 100.0);
    match lengths {
        Some(lengths) => format!("{pace} ({})", stroke_words(lengths)),
        None => pace,
    }
}

/// `a 1.3-length stroke`, `a two-length stroke`.
#[must_use]
pub fn stroke_words(lengths: f64) -> String {
    let said = decimals(lengths, 1);
    let said = match said.as_str() {
        "1" => "one",
        "2" => "two",
        "3" => "three",
        "4" => "four",
        "5" => "five",
        other => other,
    };
    // Eight, eleven and eighteen begin with a vowel.
    let an = ["8", "11", "18"].iter().any(|v| said.starts_with(v));
    format!("{} {said}-length stroke", if an { "an" } else { "a" })
}

/// First line about a player: chance and the straight shot that is as hard; none where there is no
/// window to take it from, or nobody strikes so hard.
#[must_use]
pub fn chance_line(answer: &ShotAnswer, speech: impl Into<Speech>) -> Option<String> {
    let speech = speech.into();
    let (who, chance) = (answer.player.as_ref()?, answer.chance?);
    if flagged(answer, Flags::TOO_FAST) || is_off_table(answer) {
        // What nobody can play has no makes in ten.
        return None;
    }
    if answer.drop.is_none() {
        return Some(format!("Never {}, whoever plays it.", speech.nouns().made));
    }
    let range = answer
        .chance_low
        .zip(answer.chance_high)
        .map(|(low, high)| low..high);
    let (subject, whence) = who_plays(who);
    let range = range.and_then(range_words);
    let aside: Vec<String> = whence.into_iter().chain(range).collect();
    let aside = if aside.is_empty() {
        String::new()
    } else {
        format!(" ({})", aside.join("; "))
    };
    let equal = match answer.equal_straight {
        Some(EqualStraight::At { distance_m }) => {
            let x = speak::distance(Length::from_m(distance_m), speech);
            format!("as hard as a straight shot with {x} between the balls and {x} to the pocket")
        }
        Some(EqualStraight::EasierThanAny) => "easier than any straight shot".to_owned(),
        Some(EqualStraight::BeyondTable) | None => {
            "harder than any straight shot on this table".to_owned()
        }
    };
    let aim = match answer.best_aim_gain {
        Some(gain) if gain > WORTH_SAYING => {
            let gain = 10.0 * gain;
            format!("; aiming {} gains {gain:.1} in 10", best_aim_words(answer))
        }
        _ => String::new(),
    };
    let short = match answer.dies_short {
        Some(short) if short > SHORT_SAID => {
            // With side a softer stroke curves off the line before it dies.
            let why = if answer.side.abs() > NO_SIDE {
                "are struck too softly"
            } else {
                "die short"
            };
            format!("; {} in 10 {why}", (10.0 * short).round().max(1.0))
        }
        _ => String::new(),
    };
    // "A club player makes it 4 times in 10": the plural of the noun is the verb in every set of words.
    let verb = speech.nouns().makes;
    Some(format!(
        "{subject} {verb} it {}{aside}: {equal}{aim}{short}.",
        times(chance)
    ))
}

/// Who plays, at the start of a sentence, and where that is from: `A club player` and `assumed`,
/// `Student K` and `from 400 tries`.
#[must_use]
pub fn who_plays(who: &str) -> (String, Option<String>) {
    let (name, whence) = match who.split_once(", ") {
        Some((name, whence)) if name.contains(" player") || name.starts_with("student ") => {
            (name, Some(whence.to_owned()))
        }
        _ => (who, None),
    };
    if name.contains(" player") {
        let article = match name.chars().next() {
            Some('a' | 'e' | 'i' | 'o' | 'u') => "An",
            _ => "A",
        };
        (format!("{article} {name}"), whence)
    } else if name.starts_with("student ") {
        (first_large(name), whence)
    } else {
        (format!("A player with {name}"), whence)
    }
}

/// `4 times in 10`, `fewer than 1 time in 20`.
fn times(chance: f64) -> String {
    let said = in_ten(chance);
    let one = said.starts_with("1 in") || said.contains(" 1 in");
    said.replacen(" in ", if one { " time in " } else { " times in " }, 1)
}

/// "4 to 8, depending on how jaws and rails bounce"; `None` where that is too narrow to say.
fn range_words(range: Range<f64>) -> Option<String> {
    let Range { start, end } = range;
    if !range_is_said(start, end) {
        return None;
    }
    let said = |p: f64| match p {
        p if p < 0.05 => "fewer than 1".to_owned(),
        p if p > 0.95 => "nearly 10".to_owned(),
        p => format!("{:.0}", (10.0 * p).round().clamp(1.0, 9.0)),
    };
    let (low, high) = (said(start), said(end));
    (low != high).then(|| format!("{low} to {high}, depending on how jaws and rails bounce"))
}

/// Gains below this are not worth a word (assumption).
const WORTH_SAYING: f64 = 0.015;
/// Balls that die short less often than this go unsaid (assumption).
const SHORT_SAID: f64 = 0.05;

fn best_aim_words(answer: &ShotAnswer) -> String {
    let (Some(best), Some(aim)) = (answer.best_aim_deg, answer.aim_deg) else {
        return "elsewhere".to_owned();
    };
    let turn = (best - aim + 540.0).rem_euclid(360.0) - 180.0;
    // turning left is fuller on a left cut
    let fuller = (turn > 0.0) == (answer.cut_side.as_deref() == Some("left"));
    format!(
        "{} {}",
        speak::degrees(Angle::from_deg(turn.abs())),
        if fuller { "fuller" } else { "thinner" }
    )
}

/// The factors, one a line.
#[must_use]
pub fn why_text(answer: &ShotAnswer) -> String {
    let Some(why) = &answer.first_order else {
        return String::new();
    };
    let total = answer
        .clean
        .as_ref()
        .or(answer.direct.as_ref())
        .or(answer.drop.as_ref());
    format!(
        "Why ({} window):\n  pocket opening      {:>8.4}°   directions of the object ball\n  distance            x{:>8.5}   ball width over the cue ball's travel\n  cut                 x{:>8.5}   cosine of the cut\n  throw               x{:>8.5}\n  first order         {:>8.4}°   exact {:.4}°\n",
        match why.of {
            Part::Clean => "clean",
            Part::Direct => "direct",
            Part::Drop => "drop",
        },
        why.pocket_opening_deg,
        why.distance_factor,
        why.cut_factor,
        why.throw_factor,
        why.first_order_deg,
        total.map_or(0.0, |w| w.total_deg),
    )
}

/// The band of the assumptions, one window a line.
#[must_use]
pub fn band_text(answer: &ShotAnswer) -> String {
    let Some(band) = &answer.band else {
        return String::new();
    };
    let measured = &answer.measured;
    let known = measured.facings.is_known() || measured.cushions.is_known();
    let mut out = String::from(if known {
        "As jaws and rails may bounce: 95 times in 100 as they were measured; what was not, 0.1 more or less and half or twice the rub (assumed range):\n"
    } else {
        "If jaws and rails bounce 0.1 more or less and rub half or twice as much (assumed range):\n"
    });
    for (name, range) in [
        (Part::Clean, &band.clean),
        (Part::Direct, &band.direct),
        (Part::Drop, &band.drop),
    ] {
        let name = part_words(name);
        match range {
            Some(r) => out.push_str(&format!(
                "  {name:<13} {:.4}° to {:.4}°\n",
                r.low_deg, r.high_deg
            )),
            None => out.push_str(&format!("  {name:<13} none\n")),
        }
    }
    out
}
