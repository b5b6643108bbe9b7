//! How much room is there around the ghost ball, from every side? A paper aid at true size.
//!
//! Around the middle of the ghost ball stand petals, one for each direction the cue ball may come
//! from. A petal is three pieces long; the nearest piece is for the shortest way to the pocket. A
//! piece is as wide as the cue ball's middle may pass there, at true size, and the object ball still
//! goes in untouched; each side of the petal's line by its own room. Untouched, since that part
//! does not depend on how jaws bounce.
//!
//! Limits: one stroke, one distance between the balls, square in to the pocket. The room in
//! millimetres at the ghost ball hardly changes with the distance between the balls: the window's
//! angle shrinks as that distance grows.

use kurbo::{Point, Rect, Vec2};

use super::fault::SheetError;
use super::page::Sheet;
use super::parts::{AROUND_MM, Style, block, label, piece};
use super::words::cut::scissors;
use super::words::rose::{self as words, Crowd};
use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke as Line};
use crate::draw::colour;
use crate::draw::text::{self, Weight};
use crate::gear::Gear;
use crate::pocket::PocketKind;
use crate::units::{Angle, Side};
use crate::window::{AbstractShot, Shot, ShotError, Stroke, solve};

/// Rings between which the pieces of the petals lie, mm from the ghost ball's middle (assumption:
/// the largest that both papers take).
pub const RINGS_MM: [f64; 4] = [38.0, 51.0, 64.0, 77.0];
/// Cuts of the petals, degrees.
const CUTS_DEG: [f64; 6] = [0.0, 15.0, 30.0, 45.0, 60.0, 75.0];
/// Fractions of a ball of the petals on plain sheets, with their words.
const FRACTIONS: [(f64, &str); 5] = [
    (1.0, "full"),
    (0.75, "¾"),
    (0.5, "½"),
    (0.25, "¼"),
    (0.125, "thin"),
];

/// What the rose shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Rose {
    /// Corner or side pocket.
    pub kind: PocketKind,
    /// Object ball to the middle of the mouth, shortest first, m.
    pub to_pocket_m: [f64; 3],
    /// Between the two balls, centre to centre, m.
    pub apart_m: f64,
    /// How it is hit.
    pub stroke: Stroke,
}

impl Default for Rose {
    /// Corner pocket at 0.4, 0.8 and 1.6 m, 1 m between the balls (assumptions).
    fn default() -> Self {
        Self {
            kind: PocketKind::Corner,
            to_pocket_m: [0.4, 0.8, 1.6],
            apart_m: 1.0,
            stroke: Stroke::centre_ball(),
        }
    }
}

/// One petal: the direction and the room of its three pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Petal {
    /// Cut; positive for an object ball cut to the left.
    pub cut_rad: f64,
    /// For each distance the room to the left and to the right of the line as the shooter looks
    /// along it, m at the ghost ball; `None` where nothing goes in untouched.
    pub room_m: [Option<(f64, f64)>; 3],
    name: String,
}

impl Rose {
    /// All petals, from the largest cut to the right to the largest to the left.
    ///
    /// # Errors
    /// [`ShotError`] for distances or a stroke out of range.
    pub fn petals(&self, gear: &Gear, plain: bool) -> Result<Vec<Petal>, ShotError> {
        let cuts: Vec<(f64, String)> = if plain {
            let named = |(f, n): (f64, &str)| (Angle::from_ball_fraction(f).rad(), n.to_owned());
            FRACTIONS.into_iter().map(named).collect()
        } else {
            let named = |d: f64| (d.to_radians(), format!("{d:.0}°"));
            CUTS_DEG.into_iter().map(named).collect()
        };
        let mirrored = cuts.iter().skip(1).rev().map(|(c, n)| (-c, n.clone()));
        let all: Vec<(f64, String)> = mirrored.chain(cuts.iter().cloned()).collect();
        all.into_iter()
            .map(|(cut_rad, name)| {
                let mut room_m = [None; 3];
                for (room, to_pocket) in room_m.iter_mut().zip(self.to_pocket_m) {
                    *room = self.room(gear, cut_rad, to_pocket)?;
                }
                Ok(Petal {
                    cut_rad,
                    room_m,
                    name,
                })
            })
            .collect()
    }

    fn room(
        &self,
        gear: &Gear,
        cut_rad: f64,
        to_pocket_m: f64,
    ) -> Result<Option<(f64, f64)>, ShotError> {
        let shot = AbstractShot {
            kind: self.kind,
            cut_rad: cut_rad.abs(),
            cut_side: Side::left_if(cut_rad >= 0.0),
            apart_m: self.apart_m,
            to_pocket_m,
            approach_rad: 0.0,
        };
        let solution = solve(gear, &Shot::from_angles(gear, &shot, self.stroke)?)?;
        Ok(solution.window.ok().and_then(|window| {
            let (low, high) = window.clean?.interval_rad();
            // Room at the ghost ball: y = θ · t_c, left positive.
            let travel = window.aim.travel_m;
            (low < 0.0 && high > 0.0).then_some((high * travel, -low * travel))
        }))
    }
}

/// The rose of a gear on one page.
///
/// # Errors
/// [`RoseError`].
pub fn rose_sheet(gear: &Gear, rose: &Rose, style: &Style) -> Result<Sheet, RoseError> {
    let (petals, crowd) = apart(rose.petals(gear, style.plain)?);
    let mut sheet = style.sheet(words::title(gear, rose.kind), words::ABOUT);
    sheet.heading(words::question(style))?;
    sheet.space(AROUND_MM - 1.0);
    let (radius, gap) = (
        1e3 * gear.object_radius_m(),
        1e3 * gear.contact_distance_m(),
    );
    let above = gap + radius + if style.plain { 21.5 } else { 19.0 };
    let below = RINGS_MM[3] + 4.0 + 1.6 * style.label_mm();
    let (canvas, strip) = sheet.figure("the rose", words::SHOWS, above + below)?;
    let edge = strip;
    piece(canvas, edge);
    let ghost = Point::new(strip.center().x, strip.y0 + above);
    let picture = Picture {
        ghost,
        radius_mm: radius,
        contact_mm: gap,
        cue_radius_mm: 1e3 * gear.cue_radius_m(),
    };
    picture.balls(canvas, style);
    picture.rings(canvas);
    for petal in &petals {
        picture.petal(canvas, petal, style);
    }
    let width = 0.5 * strip.width() - radius - 7.0;
    let bottom = ghost.y - 0.3 * RINGS_MM[3];
    let column = |x: f64| Rect::new(x, strip.y0 + 2.0, x + width, bottom);
    let size = style.label_mm();
    let left = words::how_to_use(crowd, style);
    block(canvas, &left, size, column(edge.x0 + 3.0))?;
    let drawn = words::Drawn {
        gear,
        kind: rose.kind,
        to_pocket_m: rose.to_pocket_m,
        apart_m: rose.apart_m,
        stroke: &rose.stroke,
    };
    let right = words::pieces(&drawn, style);
    block(canvas, &right, size, column(edge.x1 - 3.0 - width))?;
    sheet.space(AROUND_MM);
    sheet.paragraph(scissors(style))?;
    Ok(sheet)
}

/// A rose that cannot be printed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RoseError {
    /// The shots.
    #[error(transparent)]
    Shot(#[from] ShotError),
    /// The paper.
    #[error(transparent)]
    Sheet(#[from] SheetError),
}

impl RoseError {
    /// Whether somebody asked for what cannot be, rather than that something failed.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        match self {
            Self::Sheet(e) => e.is_bad_input(),
            _ => true,
        }
    }
}

/// As many of the petals as lie apart, every second or third where they must; never fewer than three.
fn apart(petals: Vec<Petal>) -> (Vec<Petal>, Crowd) {
    let middle = petals.len() / 2;
    let every = |step: usize| -> Vec<Petal> {
        let own = petals.iter().enumerate();
        own.filter(|(k, _)| k.abs_diff(middle) % step == 0)
            .map(|(_, p)| p.clone())
            .collect()
    };
    for step in 1..=middle.max(1) {
        let left = every(step);
        if !left.windows(2).any(|w| w[0].overlaps(&w[1])) {
            let crowd = if step == 1 {
                Crowd::None
            } else {
                Crowd::Thinned
            };
            return (left, crowd);
        }
    }
    (every(middle.max(1)), Crowd::Overlapping)
}

impl Petal {
    /// Whether it lies on the next one to its left: edges at a and b beside two lines that open by γ
    /// cross at (b + a cos γ)/sin γ along the first, and pieces begin at their rings.
    fn overlaps(&self, next: &Self) -> bool {
        let (sin, cos) = (next.cut_rad - self.cut_rad).sin_cos();
        let pieces = std::iter::zip(&self.room_m, &next.room_m).zip(RINGS_MM);
        pieces.into_iter().any(|((own, other), from_mm)| {
            let (Some((a, _)), Some((_, b))) = (own, other) else {
                return false;
            };
            let along_m = (b + a * cos).max(a + b * cos) / sin;
            1e3 * along_m > from_mm
        })
    }
}

/// Where things are, mm.
struct Picture {
    ghost: Point,
    radius_mm: f64,
    contact_mm: f64,
    cue_radius_mm: f64,
}

impl Picture {
    fn balls(&self, canvas: &mut Canvas, style: &Style) {
        let object = self.ghost - Vec2::new(0.0, self.contact_mm);
        let rim = Line::new(colour::INK, 0.3);
        canvas.open_group(&[("class", "object ball")]);
        canvas.circle(
            object,
            self.radius_mm,
            &Paint::fill(colour::GRID).edged(rim.clone()),
        );
        canvas.close_group();
        canvas.open_group(&[("class", "ghost ball")]);
        let dashed = rim.dashed(&[6.0, 4.0]);
        canvas.circle(self.ghost, self.cue_radius_mm, &Paint::line(dashed));
        canvas.close_group();
        let cross = Line::new(colour::INK, 0.25);
        for arm in [Vec2::new(3.0, 0.0), Vec2::new(0.0, 3.0)] {
            canvas.line(self.ghost - arm, self.ghost + arm, &cross);
        }
        let top = object - Vec2::new(0.0, self.radius_mm);
        let way = Line::new(colour::INK, 0.8);
        let tip = top - Vec2::new(0.0, 12.0);
        canvas.arrow(top - Vec2::new(0.0, 1.0), tip, &way);
        let above = tip - Vec2::new(0.0, 1.5);
        label(canvas, style, words::TO_POCKET, above, Anchor::Middle);
        let drop = Vec2::new(0.0, 0.35 * style.label_mm());
        label(
            canvas,
            style,
            words::OBJECT_BALL,
            object + drop,
            Anchor::Middle,
        );
        let at = self.ghost + Vec2::new(0.0, -0.45 * self.cue_radius_mm);
        label(canvas, style, words::GHOST_BALL, at, Anchor::Middle);
    }

    fn rings(&self, canvas: &mut Canvas) {
        let hair = Line::new(colour::SOFT_INK, 0.12);
        canvas.open_group(&[("class", "rings")]);
        for ring in RINGS_MM {
            let reach = 85.0_f64.to_radians();
            let quarter = std::f64::consts::FRAC_PI_2;
            let arc = super::parts::fine_arc(self.ghost, ring, quarter - reach, quarter + reach);
            canvas.polyline(&arc, &hair);
        }
        canvas.close_group();
    }

    /// Away from the ghost ball towards the cue ball, and to the shooter's left.
    fn axes(cut_rad: f64) -> (Vec2, Vec2) {
        // The object ball goes up the page. Cut to the left, it leaves to the left of the cue
        // ball's way, so the cue ball comes from the left below.
        let way = Vec2::new(cut_rad.sin(), -cut_rad.cos());
        (-way, Vec2::new(way.y, -way.x))
    }

    fn petal(&self, canvas: &mut Canvas, petal: &Petal, style: &Style) {
        let (out, left) = Self::axes(petal.cut_rad);
        let at = |along: f64, across: f64| self.ghost + out * along + left * across;
        canvas.open_group(&[("class", "petal")]);
        for (k, room) in petal.room_m.iter().enumerate() {
            let Some((to_left, to_right)) = room else {
                continue;
            };
            let (from, to) = (RINGS_MM[k], RINGS_MM[k + 1]);
            let corners = [
                at(from, 1e3 * to_left),
                at(to, 1e3 * to_left),
                at(to, -1e3 * to_right),
                at(from, -1e3 * to_right),
            ];
            let tint = [0.6, 0.35, 0.0][k];
            let area = colour::BLUE.mix(colour::Rgb::WHITE, tint);
            canvas.polygon(&corners, &Paint::fill(area));
        }
        canvas.close_group();
        let hair = Line::new(colour::INK, 0.15);
        canvas.line(
            at(RINGS_MM[0] - 3.0, 0.0),
            at(RINGS_MM[3] + 1.5, 0.0),
            &hair,
        );
        let wide = text::width(&petal.name, style.label_mm(), Weight::Regular);
        let clear = 0.6 * style.label_mm() + 0.5 * wide * out.x.abs();
        let beyond = at(RINGS_MM[3] + 2.0 + clear, 0.0);
        let drop = Vec2::new(0.0, 0.35 * style.label_mm());
        label(canvas, style, &petal.name, beyond + drop, Anchor::Middle);
    }
}
