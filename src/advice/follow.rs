//! Where the balls lie after a contact: cue ball and object ball followed over the whole bed, and the balls
//! that they run into, one after the other.
//!
//! Limits: two balls that move do not meet each other, and what lay where a ball has left is out of the way;
//! after so many contacts a ball that comes to another stops there (`lost_m_s`).

use kurbo::{Point, Vec2};

use crate::contact::{Pair, aftermath};
use crate::layout::{Layout, Table};
use crate::motion::{BallBody, BallState, End, FeatureKind, Step, trace};
use crate::pocket::{FullBed, PocketName};

/// Contacts that are followed on either ball's way (assumption: what comes later is a break).
const CONTACTS: u32 = 8;
/// How much room two balls get that would come to lie in one place, m (assumption: a hair).
const BESIDE_M: f64 = 1e-3;
/// A ball that is slower than this when it comes to a third one moves that little, m/s (assumption: a foot
/// and a half on a pool cloth, shared by both).
const SLOW_M_S: f64 = 0.3;
/// Balls lie together where less than this is between them, m (assumption: a tenth of a ball).
const TOGETHER_M: f64 = 5e-3;
/// A ball that leaves slower than this moves less than its own width, m/s.
const STIRS_M_S: f64 = 0.1;
/// Corner of the place where balls lie that are gone, m: no path leads there.
const GONE_M: f64 = -10.0;

/// Where a ball lies that is gone.
pub(crate) fn gone(ball: usize) -> Point {
    let row = u32::try_from(ball).unwrap_or(u32::MAX);
    Point::new(GONE_M, GONE_M - f64::from(row))
}

/// Whether a ball is on the table.
pub(crate) fn is_up(at: Point) -> bool {
    at.x > 0.5 * GONE_M
}

/// Where everything lies when all is still.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Still {
    /// The balls; the cue ball's place is that of before where it dropped.
    pub(crate) layout: Layout,
    /// The pocket the cue ball dropped into.
    pub(crate) scratched: Option<PocketName>,
    /// Balls that moved.
    pub(crate) moved: Vec<usize>,
    /// Balls that dropped, and where.
    pub(crate) dropped: Vec<(usize, PocketName)>,
    /// Something touched a cushion or dropped.
    pub(crate) cushion: bool,
    /// How often a ball sent off another that lay together with it: each went its way after the other, while
    /// in truth they all push at once.
    pub(crate) apart: u32,
    /// The fastest ball whose path ended at one that it would have gone on from, m/s.
    pub(crate) lost_m_s: f64,
    /// How little is known of the cue ball's way since a ball that it struck lay against others, 0 to 1.
    pub(crate) pushed_back: f64,
    /// What the cue ball and the ball that it met first ran off and into.
    pub(crate) ways: Ways,
}

/// What the cue ball and the ball that it met first came off and ran into.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Ways {
    /// Cushions of the cue ball after the contact.
    pub cue_cushions: u32,
    /// Cushions of the ball that it met first.
    pub object_cushions: u32,
    /// The ball that this one ran into.
    pub object_meets: Option<usize>,
}

impl Still {
    /// Nothing has moved yet.
    fn before(table: &Table<'_>) -> Self {
        Self {
            layout: table.layout.clone(),
            scratched: None,
            moved: Vec::new(),
            dropped: Vec::new(),
            cushion: false,
            apart: 0,
            lost_m_s: 0.0,
            pushed_back: 0.0,
            ways: Ways::default(),
        }
    }

    /// Whether it is known well enough where everything lies: what was lost sight of was slow.
    pub(crate) fn is_known(&self) -> bool {
        self.lost_m_s < SLOW_M_S
    }
}

/// Which ball moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Mover {
    Cue,
    Ball(usize),
}

struct Following<'a> {
    table: &'a Table<'a>,
    still: Still,
}

/// Follows both balls after the cue ball met `met`. Without a velocity the ball it met is gone.
pub(crate) fn settled(
    table: &Table<'_>,
    met: usize,
    cue: BallState,
    object_m_s: Option<Vec2>,
) -> Still {
    let mut following = Following {
        table,
        still: Still {
            moved: vec![met],
            ..Still::before(table)
        },
    };
    match object_m_s {
        None => following.still.layout.balls[met].at = gone(met),
        Some(v) => {
            following.pushes_back(met, v, cue.v);
            let start = BallState::sliding(table.at(met), v);
            following.follow(Mover::Ball(met), start);
        }
    }
    following.follow(Mover::Cue, cue);
    following.set_apart();
    following.still
}

/// A cue ball that met no ball, sent off in this state.
pub(crate) fn alone(table: &Table<'_>, cue: BallState) -> Still {
    let mut following = Following {
        table,
        still: Still::before(table),
    };
    following.follow(Mover::Cue, cue);
    following.still
}

impl Following<'_> {
    fn bed(&self, mover: Mover) -> &FullBed {
        match mover {
            Mover::Cue => &self.table.cue_bed,
            Mover::Ball(_) => &self.table.object_bed,
        }
    }

    /// Follows a ball among those that lie still, and those it sets going.
    fn follow(&mut self, mover: Mover, start: BallState) {
        let balls = &self.table.gear.balls;
        let mut going = vec![(mover, start)];
        let mut contacts = 0;
        while let Some((mover, start)) = going.pop() {
            let Some((hit, state)) = self.run(mover, start) else {
                continue;
            };
            contacts += 1;
            if contacts > CONTACTS {
                self.loses(&state);
                continue;
            }
            let (body, mass_kg): (&BallBody, f64) = match mover {
                Mover::Cue => (&self.table.cue_bed.body, balls.cue_mass_kg),
                Mover::Ball(_) => (&self.table.object_bed.body, balls.object_mass_kg),
            };
            let pair = Pair {
                first_mass_kg: mass_kg,
                second_mass_kg: balls.object_mass_kg,
                first_radius_m: body.radius_m,
            };
            let to = self.table.at(hit);
            let centres = (to - state.at).normalize();
            let after = aftermath(&self.table.gear.contact, &pair, &state, centres);
            if mover == Mover::Cue {
                self.pushes_back(hit, after.second_velocity, after.first.v);
            }
            if let Mover::Ball(ball) = mover {
                if self.still.moved.first() == Some(&ball) {
                    self.still.ways.object_meets.get_or_insert(hit);
                }
                let gap_m = (self.table.at(ball) - to).hypot() - self.table.object_object_m;
                let goes = after.second_velocity.hypot() > STIRS_M_S;
                self.still.apart += u32::from(gap_m < TOGETHER_M && goes);
            }
            self.still.moved.push(hit);
            let struck = BallState::sliding(to, after.second_velocity);
            going.push((mover, after.first));
            going.push((Mover::Ball(hit), struck));
        }
    }

    /// The cue ball struck `ball`, which leaves like that: where others lie against it that way they all push
    /// at once, and the cue ball, followed as if the first stood alone, comes off in truth with more of a
    /// rebound. What it would get more is about in proportion to what is pushed; beside what the cue ball keeps
    /// anyway that is much after a full hit and little after a thin one.
    fn pushes_back(&mut self, ball: usize, leaves_m_s: Vec2, cue_m_s: Vec2) {
        let (table, at) = (self.table, self.table.at(ball));
        let against = table
            .others(Some(ball))
            .filter(|(i, to)| !self.still.moved.contains(i) && is_up(*to))
            .map(|(_, to)| to - at)
            .filter(|way| way.hypot() - table.object_object_m < TOGETHER_M)
            .map(|way| leaves_m_s.dot(way.normalize()))
            .fold(0.0, f64::max);
        if against > 0.0 {
            let share = against / (against + cue_m_s.hypot());
            let doubt = share * (against / SLOW_M_S).min(1.0);
            self.still.pushed_back = self.still.pushed_back.max(doubt);
        }
    }

    /// A ball is not followed from here on.
    fn loses(&mut self, state: &BallState) {
        self.still.lost_m_s = self.still.lost_m_s.max(state.v.hypot());
    }

    /// Follows a ball to rest, a pocket or another ball, and puts it there; the ball it came to.
    fn run(&mut self, mover: Mover, start: BallState) -> Option<(usize, BallState)> {
        let table = self.table;
        let others: Vec<(usize, Point)> = table
            .others(None)
            .filter(|(i, at)| !self.still.moved.contains(i) && is_up(*at))
            .collect();
        let contact_m = match mover {
            Mover::Cue => table.cue_object_m,
            Mover::Ball(_) => table.object_object_m,
        };
        let bed = self.bed(mover);
        let features = bed.with_balls(others.iter().map(|(_, at)| *at), contact_m);
        let (mut cushion, mut rails) = (false, 0);
        let ended = trace(&features, &bed.body, &table.gear.cloth, start, |step| {
            if let Step::Impact(i, _) = step {
                cushion |= features[i].kind != FeatureKind::Ball;
                rails += u32::from(features[i].kind == FeatureKind::Rail);
            }
        });
        let pocket = match ended {
            Ok((End::Drop(i), _)) => bed.pocket_of(i),
            _ => None,
        };
        let hit = match ended {
            Ok((End::Ball(i), _)) => i
                .checked_sub(bed.first_ball())
                .and_then(|k| others.get(k))
                .map(|(ball, _)| *ball),
            _ => None,
        };
        match mover {
            Mover::Cue => self.still.ways.cue_cushions += rails,
            Mover::Ball(ball) if self.still.moved.first() == Some(&ball) => {
                self.still.ways.object_cushions += rails;
            }
            Mover::Ball(_) => {}
        }
        self.still.cushion |= cushion || pocket.is_some();
        let Ok((_, state)) = ended else {
            self.still.lost_m_s = f64::INFINITY;
            return None;
        };
        match (mover, pocket) {
            (Mover::Cue, Some(pocket)) => self.still.scratched = Some(pocket),
            (Mover::Cue, None) => self.still.layout.cue = state.at,
            (Mover::Ball(i), Some(pocket)) => {
                self.still.dropped.push((i, pocket));
                self.still.layout.balls[i].at = gone(i);
            }
            (Mover::Ball(i), None) => self.still.layout.balls[i].at = state.at,
        }
        hit.map(|ball| (ball, state))
    }

    /// Two balls that moved may end in one place, since neither saw the other: the cue ball is put beside.
    fn set_apart(&mut self) {
        let need_m = self.table.cue_object_m + BESIDE_M;
        let cue = self.still.layout.cue;
        let near = self.still.layout.balls.iter().map(|b| b.at);
        let Some(at) = near
            .filter(|at| (*at - cue).hypot() < self.table.cue_object_m)
            .min_by(|a, b| (*a - cue).hypot2().total_cmp(&(*b - cue).hypot2()))
        else {
            return;
        };
        let off = cue - at;
        let off = if off.hypot() > 0.0 {
            off.normalize()
        } else {
            Vec2::new(-1.0, 0.0)
        };
        self.still.layout.cue = at + off * need_m;
    }
}
