//! What makes the topic of a lesson hard, in numbers.
//!
//! Each topic has one thing that changes (the cut, the distance between the balls, how far off
//! square the ball comes to the pocket, the speed) and three distances; the rest is held fixed. All of
//! them are round numbers in the units of the sheet.

use crate::gear::Gear;
use crate::ladder::Topic;
use crate::player::{AimError, chance_of_solution};
use crate::pocket::PocketKind;
use crate::sheets::parts::{Style, of_ten};
use crate::sheets::words::lesson as words;
use crate::units::{Angle, Side, UnitSystem, speak};
use crate::window::{AbstractShot, AimWindow, Shot, Solution, Stroke as Hit, solve};

/// What is held fixed, object ball to the pocket or between the balls: m, and feet (assumption).
const HELD: (f64, f64) = (0.6, 2.0);
const FOOT_M: f64 = 0.3048;
/// Off square along the rail, rad: 42° (assumption: 45° would be frozen to it).
const ALONG_RAD: f64 = 42.0 * std::f64::consts::PI / 180.0;

/// What is studied: a topic on a gear, for a student.
pub(crate) struct Study<'a> {
    pub(crate) gear: &'a Gear,
    pub(crate) player: AimError,
    pub(crate) topic: Topic,
    pub(crate) units: UnitSystem,
}

impl Study<'_> {
    pub(super) fn kind(&self) -> PocketKind {
        match self.topic {
            Topic::SidePocket => PocketKind::Side,
            _ => PocketKind::Corner,
        }
    }

    /// Metres, or feet in metres.
    fn round<const N: usize>(&self, metres: [f64; N], feet: [f64; N]) -> [f64; N] {
        match self.units {
            UnitSystem::Metric => metres,
            UnitSystem::Inches => feet.map(|f| FOOT_M * f),
        }
    }

    /// What is held fixed, m.
    pub(super) fn held_m(&self) -> f64 {
        let [held] = self.round([HELD.0], [HELD.1]);
        held
    }

    /// From and to of what changes: radians, metres for long straight shots, m/s along the rail.
    pub(super) fn range(&self) -> (f64, f64) {
        match self.topic {
            Topic::ThinCuts | Topic::Mixed => (0.0, 75_f64.to_radians()),
            Topic::LongStraight => {
                let [from, to] = self.round([0.3, 2.0], [1.0, 6.5]);
                (from, to)
            }
            Topic::SidePocket => (0.0, 65_f64.to_radians()),
            Topic::AlongTheRail => (0.4, 4.0),
        }
    }

    /// Easy, middle, hard: the steps said in words.
    pub(crate) fn steps(&self) -> [f64; 3] {
        match self.topic {
            Topic::ThinCuts | Topic::Mixed => [0.0, 30_f64.to_radians(), 60_f64.to_radians()],
            Topic::LongStraight => self.round([0.5, 1.0, 2.0], [1.5, 3.0, 6.0]),
            Topic::SidePocket => [0.0, 30_f64.to_radians(), 60_f64.to_radians()],
            Topic::AlongTheRail => self.round([0.5, 1.5, 3.0], [1.5, 5.0, 10.0]),
        }
    }

    /// Whether the lines are for distances between the balls; else to the pocket.
    pub(super) fn by_apart(&self) -> bool {
        matches!(self.topic, Topic::ThinCuts | Topic::Mixed)
    }

    /// The distances of the three lines, m.
    pub(crate) fn lines(&self) -> [f64; 3] {
        if self.by_apart() {
            self.round([0.5, 1.0, 1.5], [1.5, 3.0, 5.0])
        } else {
            self.room_lines()
        }
    }

    /// Of some distances the one where whole makes of ten show best that every step is harder than the one
    /// before: a beginner makes hardly anything from far away, and a good player everything from near by.
    pub(crate) fn telling_line(&self) -> f64 {
        let tried = match self.topic {
            Topic::ThinCuts | Topic::Mixed => self
                .round([1.0, 0.3, 0.5, 0.8, 1.5], [3.0, 1.0, 1.5, 2.5, 5.0])
                .to_vec(),
            // No farther than a small table is wide.
            Topic::SidePocket => self
                .round([0.8, 0.3, 0.4, 0.6, 0.9], [2.5, 1.0, 1.5, 2.0, 3.0])
                .to_vec(),
            Topic::LongStraight | Topic::AlongTheRail => {
                let feet = [2.5, 1.0, 1.5, 3.0, 4.0, 2.0, 1.25];
                self.round([0.8, 0.3, 0.5, 1.0, 1.2, 0.6, 0.4], feet)
                    .to_vec()
            }
        };
        let shown = |m: f64| {
            let [easy, middle, hard] = self.steps().map(|x| of_ten(self.chance(x, m)));
            let falls = easy > middle && middle > hard;
            easy - hard + if falls { 10.0 } else { 0.0 }
        };
        let mut best = (tried[0], shown(tried[0]));
        for m in tried.into_iter().skip(1) {
            let found = shown(m);
            if found > best.1 {
                best = (m, found);
            }
        }
        best.0
    }

    /// Distances to the pocket where the room is drawn for those, m.
    pub(super) fn room_lines(&self) -> [f64; 3] {
        self.round([0.4, 0.8, 1.2], [1.5, 2.5, 4.0])
    }

    /// What the lines are, with the last one's distance in words.
    pub(super) fn line_name(&self, m: f64, style: &Style) -> String {
        words::line(self.topic, m, style)
    }

    /// All distances of the steps on a line: `1 m apart, 60 cm to the pocket`.
    pub(super) fn places(&self, line_m: f64, style: &Style) -> String {
        words::places(self.topic, line_m, self.held_m(), style)
    }

    /// Whether room is an angle here: in millimetres it is the same from near and far.
    pub(super) fn by_angle(&self) -> bool {
        self.topic == Topic::LongStraight
    }

    /// Room each side in words.
    pub(super) fn room_words(&self, x: f64, line_m: f64, style: &Style) -> String {
        if self.by_angle() {
            return speak::degrees(Angle::from_rad(self.room_rad(x, line_m)));
        }
        style.small(self.room_m(x, line_m))
    }

    fn solve(&self, shot: &AbstractShot, hit: Hit) -> Option<(Shot, Solution)> {
        let shot = Shot::from_angles(self.gear, shot, hit).ok()?;
        Some((shot, solve(self.gear, &shot).ok()?))
    }

    fn solved(&self, x: f64, line_m: f64) -> Option<(Shot, Solution)> {
        let mut shot = AbstractShot {
            kind: self.kind(),
            cut_rad: 0.0,
            cut_side: Side::Left,
            apart_m: self.held_m(),
            to_pocket_m: self.held_m(),
            approach_rad: 0.0,
        };
        if self.by_apart() {
            (shot.cut_rad, shot.apart_m) = (x, line_m);
        } else if self.topic == Topic::LongStraight {
            (shot.apart_m, shot.to_pocket_m) = (x, line_m);
        } else if self.topic == Topic::AlongTheRail {
            (shot.approach_rad, shot.to_pocket_m) = (ALONG_RAD, line_m);
            return self.solve(
                &shot,
                Hit {
                    pace_m_s: x,
                    ..Hit::centre_ball()
                },
            );
        } else {
            (shot.approach_rad, shot.to_pocket_m) = (x, line_m);
        }
        self.solve(&shot, Hit::centre_ball())
    }

    /// Chance, 0 to 1; 0 where there is no such shot.
    pub(crate) fn chance(&self, x: f64, line_m: f64) -> f64 {
        self.solved(x, line_m).map_or(0.0, |(shot, s)| {
            chance_of_solution(self.gear, &shot, &s, &self.player)
        })
    }

    /// Room each side at the ghost ball, untouched, m; 0 where there is none.
    fn room_m(&self, x: f64, line_m: f64) -> f64 {
        self.each(self.solved(x, line_m).map(|(_, s)| s).as_ref(), |w| {
            w.aim.travel_m
        })
    }

    /// Room each side of the aim, untouched, rad.
    pub(crate) fn room_rad(&self, x: f64, line_m: f64) -> f64 {
        self.each(self.solved(x, line_m).map(|(_, s)| s).as_ref(), |_| 1.0)
    }

    /// Half of the window times a length; 0 without one. Along the rail it is the window of all ways
    /// of going in, since that is what changes with the speed; else the untouched one.
    pub(super) fn each(
        &self,
        solution: Option<&Solution>,
        times: impl Fn(&AimWindow) -> f64,
    ) -> f64 {
        let window = solution.and_then(|s| s.window.as_ref().ok());
        window.map_or(0.0, |w| {
            let part = if self.topic == Topic::AlongTheRail {
                w.drop
            } else {
                w.clean
            };
            0.5 * part.map_or(0.0, |p| p.total_rad()) * times(w)
        })
    }

    /// A step in words: `30°`, `1 m`.
    pub(super) fn step_words(&self, x: f64, style: &Style) -> String {
        words::step_at(self.topic, x, style)
    }

    /// What is held fixed.
    pub(super) fn held(&self, style: &Style) -> String {
        words::held(self.topic, self.kind(), self.held_m(), ALONG_RAD, style)
    }
}
