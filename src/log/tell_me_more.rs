//! Shots on the table whose outcome would tell most about a student, ready to be logged.

use kurbo::Point;

use super::attempt::ShotEntered;
use super::windows::Windows;
use crate::gear::Gear;
use crate::player::Observation;
use crate::player::aim_error::AimError;
use crate::player::fault::PlayerError;
use crate::player::probe::{Candidate, Probe, pick_probes};
use crate::pocket::PocketName;
use crate::request::{PlacesRequest, ShotRequest};
use crate::units::Side;
use crate::window::solve;

/// A place in diamonds, along and across.
#[derive(Clone, Copy)]
struct Spot(u8, u8);

/// Where the object ball is put, diamonds. Assumption: places easy to set up by eye.
const OBJECTS: [Spot; 8] = [
    Spot(1, 1),
    Spot(1, 3),
    Spot(3, 1),
    Spot(4, 2),
    Spot(5, 3),
    Spot(6, 2),
    Spot(7, 1),
    Spot(7, 3),
];
/// Where the cue ball is put, diamonds. Assumption, as above.
const CUES: [Spot; 8] = [
    Spot(1, 2),
    Spot(2, 1),
    Spot(2, 3),
    Spot(3, 2),
    Spot(4, 1),
    Spot(4, 3),
    Spot(5, 2),
    Spot(6, 3),
];
/// Cuts thinner than this are left out, degrees: luck, not skill. Assumption.
const THINNEST_DEG: f64 = 70.0;

/// A shot worth trying.
#[derive(Debug, Clone, PartialEq)]
pub struct Worth {
    /// As it would be entered.
    pub shot: ShotEntered,
    /// Which way it cuts.
    pub cut: Side,
    /// Its windows.
    pub windows: Windows,
    /// Why it was chosen, and the chance.
    pub probe: Probe,
}

/// Up to `count` shots for a student as estimated, given the tries so far. `gear_name` is what
/// the rows are to say.
///
/// # Errors
/// [`PlayerError::BadObservation`] for tries that cannot be used.
pub fn tell_me_more(
    gear: &Gear,
    gear_name: &str,
    tries: &[Observation],
    estimate: AimError,
    count: usize,
) -> Result<Vec<Worth>, PlayerError> {
    let places = places(gear, gear_name);
    let candidates: Vec<Candidate> = places.iter().map(|p| p.1.clone()).collect();
    let probes = pick_probes(tries, &candidates, estimate, count)?;
    Ok(probes
        .into_iter()
        .filter_map(|probe| {
            let (worth, _) = places.get(probe.candidate)?;
            Some(Worth {
                probe,
                ..worth.clone()
            })
        })
        .collect())
}

/// All candidates: what can be hit, is not a graze, and has a free way.
fn places(gear: &Gear, name: &str) -> Vec<(Worth, Candidate)> {
    let mut out = Vec::new();
    for object in OBJECTS {
        for cue in CUES {
            for pocket in PocketName::ALL {
                out.extend(place(gear, name, cue, object, pocket));
            }
        }
    }
    out
}

fn place(
    gear: &Gear,
    name: &str,
    cue: Spot,
    object: Spot,
    pocket: PocketName,
) -> Option<(Worth, Candidate)> {
    let at = |Spot(x, y): Spot| {
        Point::new(
            f64::from(x) * gear.bed.length_m / 8.0,
            f64::from(y) * gear.bed.width_m / 4.0,
        )
    };
    // A quick look before solving: the object ball must go roughly onward.
    let mouth = pocket.frame(gear).to_plan(Point::ORIGIN);
    let (onward, to_pocket) = (at(object) - at(cue), mouth - at(object));
    if onward.dot(to_pocket) <= 0.0 {
        return None;
    }
    let text = |Spot(x, y): Spot| Some(format!("{x},{y}"));
    let request = ShotRequest {
        places: PlacesRequest {
            cue: text(cue),
            object: text(object),
            pocket: Some(pocket.name().to_owned()),
            ..PlacesRequest::default()
        },
        ..ShotRequest::default()
    };
    let shot = request.shot(gear).ok()?;
    let solution = solve(gear, &shot).ok()?;
    let (window, acceptance) = (solution.window.ok()?, solution.acceptance?);
    if window.clean.is_none() || window.cut_rad.abs().to_degrees() > THINNEST_DEG {
        return None;
    }
    let cut = window.cut_side;
    let windows = Windows::of(&window, &acceptance);
    let side = cut.name();
    let entered = ShotEntered {
        request,
        gear: name.to_owned(),
        set: Vec::new(),
    };
    let candidate = Candidate {
        shot: windows.observation(cut),
        // Cuts within 15° of each other are alike.
        cut_tag: format!("{:.0}", (windows.cut_deg / 15.0).floor()),
        side_tag: side.to_owned(),
        pocket_tag: pocket.name().to_owned(),
    };
    let probe = Probe {
        candidate: 0,
        chance: 0.0,
        gain: 0.0,
    };
    Some((
        Worth {
            shot: entered,
            cut,
            windows,
            probe,
        },
        candidate,
    ))
}
