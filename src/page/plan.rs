//! The table as outlines to draw, in millimetres from the head rail and the right rail.

use std::f64::consts::PI;

use kurbo::{Point, Vec2};
use schemars::JsonSchema;
use serde::Serialize;

use crate::charts::view::spots;
use crate::gear::{Gear, Marks};
use crate::pocket::{PocketFrame, PocketName};

/// Depth of a cushion from nose to rail, m (common practice: about 2 in). Drawing only.
const CUSHION_DEPTH_M: f64 = 0.0508;
/// Points along a rounded jaw.
const JAW_POINTS: u32 = 6;
/// Diamonds along a long and a short rail.
const DIAMONDS: [u32; 2] = [8, 4];

/// A place on the table, mm.
pub(super) type PlaceMm = [f64; 2];

/// Millimetres to a tenth of a micrometre: far finer than a magnified picture shows.
pub(super) fn place_mm(p: Point) -> PlaceMm {
    let round = |m: f64| (m * 1e7).round() / 1e4;
    [round(p.x), round(p.y)]
}

/// One pocket.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlanPocket {
    /// `foot-left` and so on.
    pub name: String,
    /// `corner` or `side`.
    pub kind: String,
    /// Middle of the mouth.
    pub mouth: PlaceMm,
    /// Direction of the axis into the pocket.
    pub axis_deg: f64,
    /// Between the jaw points.
    pub mouth_mm: f64,
    /// Centre of the slate cut.
    pub hole: PlaceMm,
    /// Radius of the slate cut.
    pub hole_radius_mm: f64,
}

/// One cushion: nose, facings, and the back at the rail.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Cushion {
    /// Closed outline.
    pub outline: Vec<PlaceMm>,
}

/// A spot.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PlanSpot {
    /// `black-spot` and so on.
    pub name: String,
    /// Where.
    pub at: PlaceMm,
}

/// The whole table.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Plan {
    /// Along the long rails, between the noses.
    pub length_mm: f64,
    /// Across.
    pub width_mm: f64,
    /// Cue-ball radius.
    pub cue_radius_mm: f64,
    /// Object-ball radius.
    pub object_radius_mm: f64,
    /// Nearest a cue ball's centre can be to a nose line.
    pub cue_edge_mm: f64,
    /// Nearest an object ball's centre can be to a nose line.
    pub object_edge_mm: f64,
    /// Nearest two centres can be, in plan.
    pub contact_mm: f64,
    /// Diamonds along a long rail and along a short one.
    pub diamonds: [u32; 2],
    /// `diamonds`, `snooker` or `english`: what is marked on bed and rails.
    pub marks: String,
    /// Baulk cushion to baulk line; absent on a table with diamonds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub baulk_mm: Option<f64>,
    /// Radius of the D, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub d_radius_mm: Option<f64>,
    /// Spots that are marked, by name.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub spots: Vec<PlanSpot>,
    /// All six pockets.
    pub pockets: Vec<PlanPocket>,
    /// All six cushions.
    pub cushions: Vec<Cushion>,
}

impl Plan {
    /// The outlines of a gear.
    #[must_use]
    pub fn new(gear: &Gear) -> Self {
        let bed = &gear.bed;
        let lined = bed.marks != Marks::Diamonds;
        Self {
            length_mm: gear.bed.length_m * 1e3,
            width_mm: gear.bed.width_m * 1e3,
            cue_radius_mm: gear.cue_radius_m() * 1e3,
            object_radius_mm: gear.object_radius_m() * 1e3,
            cue_edge_mm: gear.cue_contact_radius_m() * 1e3,
            object_edge_mm: gear.object_contact_radius_m() * 1e3,
            contact_mm: gear.contact_distance_m() * 1e3,
            diamonds: DIAMONDS,
            marks: bed.marks.name().to_owned(),
            baulk_mm: lined.then(|| bed.baulk_m() * 1e3),
            d_radius_mm: (bed.marks == Marks::Snooker).then(|| bed.d_radius_m() * 1e3),
            spots: spots(bed.marks)
                .iter()
                .map(|spot| PlanSpot {
                    name: spot.name().to_owned(),
                    at: place_mm(bed.spot(*spot)),
                })
                .collect(),
            pockets: PocketName::ALL.iter().map(|&p| pocket(gear, p)).collect(),
            cushions: cushions(gear),
        }
    }
}

fn pocket(gear: &Gear, name: PocketName) -> PlanPocket {
    let frame = name.frame(gear);
    let spec = frame.spec(gear);
    let hole = Point::new(spec.shelf_m + spec.cutout_radius_m, 0.0);
    PlanPocket {
        name: name.name().to_owned(),
        kind: frame.kind.name().to_owned(),
        mouth: place_mm(frame.mouth_middle),
        axis_deg: name.axis_deg(),
        mouth_mm: spec.mouth_m * 1e3,
        hole: place_mm(frame.to_plan(hole)),
        hole_radius_mm: spec.cutout_radius_m * 1e3,
    }
}

/// Six cushions, each from one pocket to the next, counter-clockwise round the table.
fn cushions(gear: &Gear) -> Vec<Cushion> {
    use PocketName::{FootLeft, FootRight, HeadLeft, HeadRight, SideLeft, SideRight};
    let ring = [
        HeadRight, SideRight, FootRight, FootLeft, SideLeft, HeadLeft,
    ];
    (0..ring.len())
        .map(|k| {
            let (from, to) = (ring[k], ring[(k + 1) % ring.len()]);
            // Seen along its axis a pocket has the cushion behind us on its right … and, going
            // round counter-clockwise, the next cushion begins at its left jaw.
            let mut outline = jaw(gear, &from.frame(gear), true);
            outline.extend(jaw(gear, &to.frame(gear), false).into_iter().rev());
            Cushion {
                outline: outline.into_iter().map(place_mm).collect(),
            }
        })
        .collect()
}

/// From the back of a facing to the nose line, on the left or the right of a pocket.
fn jaw(gear: &Gear, frame: &PocketFrame, left: bool) -> Vec<Point> {
    let spec = frame.spec(gear);
    let rail = frame.kind.rail_angle_rad();
    let closing = spec.facing_angle_rad - (PI - rail);
    let point = Point::new(0.0, 0.5 * spec.mouth_m);
    let rail_along = Vec2::new(-rail.cos(), rail.sin());
    let facing_along = Vec2::new(closing.cos(), -closing.sin());
    // The facing leaves the nose line at the facing angle, so depth = length · sin(angle).
    let length = CUSHION_DEPTH_M / spec.facing_angle_rad.sin();
    let mut points = vec![point + facing_along * length];
    if spec.jaw_radius_m > 0.0 {
        points.extend(rounding(
            spec.jaw_radius_m,
            spec.jaw_tangent_m(),
            point,
            rail_along,
            facing_along,
        ));
    } else {
        points.push(point);
    }
    let flip = |p: Point| if left { p } else { Point::new(p.x, -p.y) };
    points.into_iter().map(|p| frame.to_plan(flip(p))).collect()
}

/// The arc of a rounded jaw, from the facing to the nose line.
fn rounding(radius: f64, tangent: f64, point: Point, rail: Vec2, facing: Vec2) -> Vec<Point> {
    // The centre lies on the bisector, at √(radius² + tangent²) from the sharp point.
    let bisector = (rail + facing).normalize();
    let centre = point + bisector * radius.hypot(tangent);
    let (from, to) = (
        point + facing * tangent - centre,
        point + rail * tangent - centre,
    );
    let turn = from.cross(to).atan2(from.dot(to));
    (0..=JAW_POINTS)
        .map(|k| {
            let angle = from.atan2() + turn * f64::from(k) / f64::from(JAW_POINTS);
            centre + Vec2::from_angle(angle) * radius
        })
        .collect()
}
