//! A layout from above, to scale: every ball with its label, and for shots on it where the cue ball
//! may go, what stands in the way, the balls' ways and where the cue ball stops.

use kurbo::{Circle, Point, Rect};

use super::chart::Found;
use super::corridor::{BAND, CUE_RUN, Corridor, Margin, OBJECT_RUN, ribbon};
use super::fault::ChartError;
use super::view::{BallLook, Fan, Inset, View, ball, fan, furniture, inset, lie_for};
use super::words::{layout as words, spoken_on};
use crate::draw::canvas::{Anchor, Canvas, Paint, Text};
use crate::draw::colour::{self, Fill, LINE_COLOURS, Rgb};
use crate::draw::text::{self, Weight};
use crate::draw::theme::{Board, Caption, Theme};
use crate::draw::{DrawError, Picture, Size};
use crate::game::Colour;
use crate::gear::Marks;
use crate::layout::{
    BlockedSector, Candidate, CueEnd, Forward, Paths, RankedShot, Refusal, Table,
    sectors_of_refusal, sectors_of_shot,
};
use crate::speech::Speech;

/// As listed.
pub const CHART: Found = Found {
    name: "layout",
    question: "Where does every ball lie, and which ways do they go?",
};

/// Shots in one picture at most: more cannot be told apart.
pub const MOST_SHOTS: usize = 3;
/// Grey of what is closed.
const CLOSED: Rgb = Rgb(0x6B, 0x72, 0x78);
/// Label of a ball as a share of its diameter, in height and width (for the eye).
const LABEL_HIGH: f64 = 0.62;
const LABEL_WIDE: f64 = 0.86;
/// Letters on a ball darker than this (relative luminance) are white.
const DARK: f64 = 0.18;
/// Smaller than this share of the diameter a label is set beside its ball (for the eye).
const LABEL_LEAST: f64 = 0.45;

/// A shot to be drawn, with the words over it.
#[derive(Debug, Clone)]
pub struct Pictured<'a> {
    /// "Play the 9 into the foot-right pocket: 7 in 10".
    title: String,
    what: What<'a>,
}

#[derive(Debug, Clone)]
enum What<'a> {
    On(&'a RankedShot),
    NotOn(usize, &'a Refusal),
}

impl<'a> Pictured<'a> {
    /// A shot that is on.
    #[must_use]
    pub fn on(shot: &'a RankedShot, title: String) -> Self {
        Self {
            title,
            what: What::On(shot),
        }
    }

    /// A shot of a ball that is not on.
    #[must_use]
    pub fn not_on(ball: usize, why: &'a Refusal, title: String) -> Self {
        Self {
            title,
            what: What::NotOn(ball, why),
        }
    }
}

/// One shot with what is drawn of it.
struct Scene<'a> {
    shot: &'a Candidate,
    paths: Paths,
    /// Radii of the cue ball and of the object balls, m.
    radius_m: f64,
    object_radius_m: f64,
    /// How many times as wide the margins of its corridor are drawn.
    times: f64,
    /// Where the cue ball ends, in words.
    said: String,
    ink: Rgb,
}

/// Draws a layout with up to [`MOST_SHOTS`] shots; `who` plays them.
///
/// # Errors
/// [`ChartError`]: too many shots, or no room.
pub fn draw_layout(
    table: &Table<'_>,
    shots: &[Pictured<'_>],
    who: &str,
    size: Size,
) -> Result<Picture, ChartError> {
    if shots.len() > MOST_SHOTS {
        return Err(DrawError::TooManyLines { count: shots.len() }.into());
    }
    let scenes: Vec<Scene<'_>> = shots
        .iter()
        .enumerate()
        .filter_map(|(k, s)| match s.what {
            What::On(ranked) => Some(scene(table, ranked, k, shots.len() > 1)),
            What::NotOn(..) => None,
        })
        .collect();
    let (closed, played) = (closed_by(table, shots), played(shots));
    let caption = caption(table, shots, &scenes, who, !closed.is_empty());
    let mut board = Board::new(size, &caption);
    board.need(240.0, 120.0)?;
    let (theme, body) = (board.theme, board.body);
    let glass = match &scenes[..] {
        [one] => Some(one),
        _ => None,
    };
    let (room, corner) = split(body, size, glass.is_some());
    let view = View::whole(table.gear, room, lie_for(size));
    let canvas = &mut board.canvas;
    canvas.open_group(&[("class", "layout")]);
    furniture(canvas, table.gear, &view, theme.hair);
    let everything = |canvas: &mut Canvas, view: &View| {
        for sector in &closed {
            closed_sector(canvas, view, sector);
        }
        for scene in &scenes {
            ways(canvas, view, &theme, scene);
        }
        balls(canvas, table, view, &played);
    };
    everything(canvas, &view);
    canvas.close_group();
    if let Some(scene) = glass {
        let spec = look_at(table, scene, &view, corner, &theme);
        inset(canvas, &theme, &view, &spec, |canvas, inner| {
            furniture(canvas, table.gear, inner, theme.hair);
            everything(canvas, inner);
        });
    }
    for scene in &scenes {
        ending(canvas, table, &view, &theme, scene);
    }
    Ok(board.finish(&caption)?)
}

/// All that closes a way of one of the shots.
fn closed_by(table: &Table<'_>, shots: &[Pictured<'_>]) -> Vec<BlockedSector> {
    shots
        .iter()
        .flat_map(|s| match s.what {
            What::On(ranked) => sectors_of_shot(table, &ranked.shot),
            What::NotOn(ball, why) => sectors_of_refusal(table, ball, why),
        })
        .collect()
}

/// The balls that the shots are about.
fn played(shots: &[Pictured<'_>]) -> Vec<usize> {
    shots
        .iter()
        .flat_map(|s| match s.what {
            What::On(ranked) => vec![ranked.shot.first, ranked.shot.ball],
            What::NotOn(ball, _) => vec![ball],
        })
        .collect()
}

fn cue_radius(table: &Table<'_>) -> f64 {
    0.5 * table.gear.balls.cue_diameter_m
}

/// The `k`-th shot, numbered where there are several.
fn scene<'a>(table: &Table<'_>, ranked: &'a RankedShot, k: usize, several: bool) -> Scene<'a> {
    let shot = &ranked.shot;
    let forward = Forward::new(table, shot);
    let paths = forward.paths(0.0);
    let label = |i: usize| table.layout.balls[i].label.clone();
    let number = several.then_some(k + 1);
    let mut scene = Scene {
        shot,
        radius_m: cue_radius(table),
        object_radius_m: table.gear.object_radius_m(),
        times: 1.0,
        said: Speech::of(&table.gear.bed).said(&words::ending(paths.cue_after.end, label, number)),
        paths,
        ink: LINE_COLOURS[2 * k % LINE_COLOURS.len()],
    };
    if let [a, b, ..] = scene.paths.cue_before[..] {
        scene.times = scene.corridor(a, (b - a).hypot()).times();
    }
    scene
}

impl Scene<'_> {
    /// Where the cue ball may run on its first leg.
    fn corridor(&self, from: Point, reach_m: f64) -> Corridor {
        let fill = Fill {
            area: self.ink,
            edge: self.ink,
        };
        let ends = self.shot.intervals_rad();
        Corridor {
            cue: from,
            aim_rad: self.shot.aim_rad,
            reach_m,
            radius_m: self.radius_m,
            margins: ends
                .iter()
                .map(|&ends_rad| Margin { fill, ends_rad })
                .collect(),
        }
    }
}

fn caption(
    table: &Table<'_>,
    shots: &[Pictured<'_>],
    scenes: &[Scene<'_>],
    who: &str,
    closed: bool,
) -> Caption {
    let times: Vec<f64> = scenes.iter().map(|s| s.times).collect();
    let titles: Vec<&str> = shots.iter().map(|s| s.title.as_str()).collect();
    let caption = words::caption(&words::Drawn {
        gear: &table.gear.spoken(),
        who,
        balls: table.layout.balls.len(),
        titles: &titles,
        followed: !scenes.is_empty(),
        closed,
        times: &times,
    });
    spoken_on(table.gear, &caption)
}

/// Room for the table and for the glass: a fifth of the longer side (for the eye).
fn split(body: Rect, size: Size, glass: bool) -> (Rect, Rect) {
    const SHARE: f64 = 0.2;
    if !glass {
        return (body, Rect::ZERO);
    }
    if size.height_px > size.width_px {
        let cut = body.y0 + SHARE * body.height();
        (
            Rect::new(body.x0, cut, body.x1, body.y1),
            Rect::new(body.x0, body.y0, body.x1, cut),
        )
    } else {
        let cut = body.x1 - SHARE * body.width();
        (
            Rect::new(body.x0, body.y0, cut, body.y1),
            Rect::new(cut, body.y0, body.x1, body.y1),
        )
    }
}

/// A glass at the first contact: three ball widths across.
fn look_at(table: &Table<'_>, scene: &Scene<'_>, view: &View, place: Rect, theme: &Theme) -> Inset {
    let contact = scene
        .paths
        .cue_before
        .last()
        .copied()
        .unwrap_or(table.layout.cue);
    let reach_m = 3.0 * table.gear.object_radius_m();
    let words = 2.0 * theme.tick;
    let radius = 0.46 * place.width().min(place.height() - words);
    Inset {
        focus_m: contact.midpoint(table.at(scene.shot.first)),
        at: Point::new(place.center().x, place.center().y - 0.5 * words),
        radius,
        // whole halves, so that the words below are exact
        factor: (2.0 * radius / (reach_m * view.scale)).floor().max(2.0) / 2.0,
    }
}

fn closed_sector(canvas: &mut Canvas, view: &View, sector: &BlockedSector) {
    let spread = Fan {
        apex_m: sector.apex,
        directions_rad: (sector.from_rad, sector.to_rad),
        reach_m: sector.far_m,
    };
    canvas.open_group(&[("class", "closed")]);
    fan(canvas, view, &spread, &Paint::fill(CLOSED).see_through(0.3));
    canvas.close_group();
}

/// The cue ball's corridor, the object balls' paths and the cue ball's after them.
fn ways(canvas: &mut Canvas, view: &View, theme: &Theme, scene: &Scene<'_>) {
    let (from, first_leg_m) = match &scene.paths.cue_before[..] {
        [a, b, ..] => (*a, (*b - *a).hypot()),
        _ => return,
    };
    canvas.open_group(&[("class", "shot")]);
    let radius = scene.radius_m;
    for (_, way) in &scene.paths.objects {
        ribbon(canvas, view, way, scene.object_radius_m, OBJECT_RUN);
    }
    ribbon(
        canvas,
        view,
        &scene.paths.cue_after.path,
        0.6 * radius,
        CUE_RUN,
    );
    // off cushions, from the first of them on
    let banked = scene.paths.cue_before.get(1..).unwrap_or_default();
    ribbon(canvas, view, banked, radius, BAND);
    let corridor = scene.corridor(from, first_leg_m);
    corridor.draw(canvas, view, scene.times, theme.hair);
    canvas.close_group();
}

/// All balls with their labels, and the cue ball.
fn balls(canvas: &mut Canvas, table: &Table<'_>, view: &View, played: &[usize]) {
    played_and_labelled(canvas, table, view, played, None);
    ball(
        canvas,
        view,
        table.layout.cue,
        cue_radius(table),
        BallLook::Cue,
    );
}

/// The object balls with their labels: those that are played in colour, one that is gone by its rim.
pub(crate) fn played_and_labelled(
    canvas: &mut Canvas,
    table: &Table<'_>,
    view: &View,
    played: &[usize],
    gone: Option<usize>,
) {
    let radius = table.gear.object_radius_m();
    let mut labels = Vec::new();
    for (i, b) in table.layout.balls.iter().enumerate() {
        let coloured = colour_of(table, &b.label);
        let look = if gone == Some(i) {
            BallLook::Ghost
        } else if let Some(fill) = coloured {
            BallLook::Coloured(fill, played.contains(&i))
        } else if played.contains(&i) {
            BallLook::Object
        } else {
            BallLook::Other
        };
        ball(canvas, view, b.at, radius, look);
        // Of several reds the number is enough.
        let short = match b.label.rsplit_once('-') {
            Some((_, number)) if coloured.is_some() => number,
            _ if coloured.is_some() && b.label == "red" => continue,
            _ => &b.label,
        };
        labels.push((b.at, short, look));
    }
    // Beside a ball words stand where no other ball is.
    let on_view = |at: Point, radius_m: f64| Circle::new(view.map(at), radius_m * view.scale);
    let mut taken: Vec<Circle> = table
        .layout
        .balls
        .iter()
        .map(|b| on_view(b.at, radius))
        .collect();
    taken.push(on_view(table.layout.cue, cue_radius(table)));
    for (at, short, look) in labels {
        label(canvas, on_view(at, radius), short, look, &taken);
    }
}

/// The fill of a ball of snooker or English pool on its own kind of table; ours, told apart in grey by
/// their labels.
fn colour_of(table: &Table<'_>, label: &str) -> Option<Rgb> {
    if table.gear.bed.marks == Marks::Diamonds {
        return None;
    }
    Some(match Colour::named(label)? {
        Colour::Red => Rgb(0xA8, 0x2A, 0x26),
        Colour::Yellow => Rgb(0xF0, 0xCF, 0x45),
        Colour::Green => Rgb(0x1F, 0x6B, 0x43),
        Colour::Brown => Rgb(0x74, 0x48, 0x26),
        Colour::Blue => Rgb(0x2A, 0x63, 0xA6),
        Colour::Pink => Rgb(0xEF, 0xA3, 0xB6),
        Colour::Black => Rgb(0x1C, 0x1F, 0x21),
    })
}

/// A ball's label, on it where it fits, else beside it and off the balls.
fn label(canvas: &mut Canvas, ball: Circle, words: &str, look: BallLook, balls: &[Circle]) {
    let (at, across) = (ball.center, 2.0 * ball.radius);
    let high = (LABEL_HIGH * across).max(9.0);
    // two figures are set a little smaller
    let shrunk = LABEL_WIDE * across / text::width(words, 1.0, Weight::Bold).max(1e-9);
    let size = high.min(shrunk).max(9.0_f64.max(LABEL_LEAST * across));
    if size <= shrunk {
        let ink = match look {
            BallLook::Object => Rgb::WHITE,
            BallLook::Coloured(fill, _) if fill.luminance() < DARK => Rgb::WHITE,
            _ => colour::INK,
        };
        let on = Text::new(words, at, size)
            .bold()
            .colour(ink)
            .anchor(Anchor::Middle);
        canvas.text(&on.centred());
    } else {
        let off = 0.6 * across;
        let tries = [
            (Point::new(at.x + off, at.y), Anchor::Start),
            (Point::new(at.x - off, at.y), Anchor::End),
            (Point::new(at.x, at.y - off - 0.5 * size), Anchor::Middle),
            (Point::new(at.x, at.y + off + 0.5 * size), Anchor::Middle),
        ];
        let text = |(at, anchor): (Point, Anchor)| {
            Text::new(words, at, size).anchor(anchor).bold().centred()
        };
        let clear = |t: &Text<'_>| {
            let b = t.bounds();
            canvas.is_free(b) && balls.iter().all(|o| !covers(b, *o))
        };
        let chosen = tries.into_iter().map(text).find(clear);
        plate(canvas, &chosen.unwrap_or_else(|| text(tries[0])));
    }
}

/// Whether a rectangle lies over some of a disc.
fn covers(r: Rect, disc: Circle) -> bool {
    let c = disc.center;
    let nearest = Point::new(c.x.clamp(r.x0, r.x1), c.y.clamp(r.y0, r.y1));
    (nearest - c).hypot() < disc.radius
}

/// Words on white, so that nothing runs through them.
fn plate(canvas: &mut Canvas, t: &Text<'_>) {
    canvas.rect(
        t.bounds().inflate(2.0, 1.0),
        &Paint::fill(Rgb::WHITE).see_through(0.85),
    );
    canvas.text(t);
}

/// Where the cue ball ends, in words beside the place.
fn ending(canvas: &mut Canvas, table: &Table<'_>, view: &View, theme: &Theme, scene: &Scene<'_>) {
    let run = &scene.paths.cue_after;
    if !matches!(run.end, CueEnd::Scratch(_)) {
        ball(canvas, view, run.at, cue_radius(table), BallLook::Ghost);
    }
    let at = view.map(run.at);
    let off = cue_radius(table) * view.scale + 0.3 * theme.tick;
    let size = 0.9 * theme.tick;
    let tries = [
        (Point::new(at.x + off, at.y), Anchor::Start),
        (Point::new(at.x - off, at.y), Anchor::End),
        (Point::new(at.x, at.y - off - 0.4 * size), Anchor::Middle),
        (Point::new(at.x, at.y + off + 0.4 * size), Anchor::Middle),
    ];
    let text =
        |(at, anchor): (Point, Anchor)| Text::new(&scene.said, at, size).anchor(anchor).centred();
    let inside = canvas.area();
    let clear = |t: &Text<'_>| {
        let b = t.bounds();
        inside.contains_rect(b)
            && canvas.is_free(b)
            && table
                .layout
                .balls
                .iter()
                .all(|o| !b.inflate(6.0, 6.0).contains(view.map(o.at)))
    };
    let chosen = tries
        .into_iter()
        .map(text)
        .find(clear)
        .unwrap_or_else(|| text(tries[0]));
    plate(canvas, &chosen);
}
