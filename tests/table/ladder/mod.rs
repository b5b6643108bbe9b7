//! Ladders, marks, the pass rule, turns, races, lessons and their codes.

mod cushion;
mod evening;
mod kept;
mod obstacles;
mod passing;
mod place;
mod rungs;
mod stance;

use approx::assert_relative_eq;
use thincut::gear::Gear;
use thincut::ladder::{Ladder, LadderError, Student, Topic, students};
use thincut::lesson::LessonWishes;
use thincut::player::{AimError, Aimed, chance_of_solution, ranged};
use thincut::request::{PlacesRequest, ShotRequest};
use thincut::units::UnitSystem;
use thincut::window::{Shot, solve};

/// A range's other cases are looked at roughly, edges to a millionth of a radian.
const ROUGH: f64 = 1e-5;
/// The same numbers by another way of calling the same solver.
pub(crate) const SAME: f64 = 1e-9;
/// Even spacing: half a make in ten.
pub(crate) const HALF_A_MAKE: f64 = 0.05;
/// Students of the Tuesday beginners' evening at Millpond Hall (invented).
pub(crate) const GROUP: &str = "K=first-evening,L=first-evening,M=0.8deg/5mm,N=starting,P=starting,Q=0.4deg/3mm,R=0.35deg/3mm,S=club";

pub(crate) fn about(topic: Topic, minutes: u32) -> LessonWishes {
    LessonWishes {
        pocket: None,
        topic,
        because: None,
        minutes,
        tables: 1,
        units: UnitSystem::Metric,
    }
}

pub(crate) fn gear() -> Gear {
    Gear::preset("pool-9ft").expect("a built-in table")
}

pub(crate) fn group(text: &str) -> Result<Vec<Student>, LadderError> {
    students(&[text.to_owned()], &|_| Err("nothing is known".to_owned()))
}

/// The chance as `thincut shot` works it out, from the texts of the rung.
pub(crate) fn chance_by_request(
    gear: &Gear,
    cue: &str,
    object: &str,
    pocket: &str,
    player: &AimError,
) -> f64 {
    let shot = by_request(gear, cue, object, pocket);
    chance_of_solution(gear, &shot, &solve(gear, &shot).expect("it solves"), player)
}

fn by_request(gear: &Gear, cue: &str, object: &str, pocket: &str) -> Shot {
    let request = ShotRequest {
        places: PlacesRequest {
            cue: Some(cue.to_owned()),
            object: Some(object.to_owned()),
            pocket: Some(pocket.to_owned()),
            ..PlacesRequest::default()
        },
        ..ShotRequest::default()
    };
    request.shot(gear).expect("a shot")
}

pub(crate) fn recomputed(gear: &Gear, ladder: &Ladder, player: &AimError) {
    for rung in &ladder.rungs {
        let s = &rung.shot;
        let (cue, object) = (s.cue.to_string(), s.object.to_string());
        let again = chance_by_request(gear, &cue, &object, s.pocket.name(), player);
        assert_relative_eq!(s.chance, again, epsilon = SAME);
        // The range is that of the shot by itself, too.
        let shot = by_request(gear, &cue, &object, s.pocket.name());
        let solution = solve(gear, &shot).expect("it solves");
        let aimed = Aimed::of(gear, &shot, &solution).expect("it is on");
        let (range, found) = (ranged(&aimed, player).0, rung.range.expect("a range"));
        assert_relative_eq!(found.low, range.low, epsilon = ROUGH);
        assert_relative_eq!(found.high, range.high, epsilon = ROUGH);
        assert!(found.low <= s.chance && s.chance <= found.high);
    }
}
