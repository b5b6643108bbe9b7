//! Gear files: any text is refused with words or gives equipment that writes back the same and
//! answers a shot.

use thincut::gear::Gear;
use thincut::request::ShotRequest;
use thincut::window::solve;

/// One input.
pub(crate) fn check(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else {
        return;
    };
    let gear = match Gear::from_toml_str(text) {
        Ok(gear) => gear,
        Err(error) => {
            assert!(!error.to_string().is_empty());
            return;
        }
    };
    let again = Gear::from_toml_str(&gear.to_toml()).expect("what was written reads back");
    assert_eq!(gear, again);
    let mut request = ShotRequest::default();
    request.places.cut = Some("30deg".to_owned());
    request.places.apart = Some("50cm".to_owned());
    request.places.to_pocket = Some("60cm".to_owned());
    if let Ok(shot) = request.shot(&gear)
        && let Ok(solution) = solve(&gear, &shot)
        && let Ok(window) = solution.window
    {
        for part in [window.clean, window.direct, window.drop]
            .into_iter()
            .flatten()
        {
            assert!(
                part.total_rad().is_finite() && part.total_rad() >= 0.0,
                "{part:?}"
            );
        }
    }
}
