//! Why the window is as wide as it is.

use super::aim::{AimWindow, Part, Window};

/// Factors that multiply to the first-order window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Why {
    /// Which part of the window they explain.
    pub of: Part,
    /// Width of the object ball's accepted directions, rad.
    pub pocket_opening_rad: f64,
    /// `D/t_c`: ball size over the cue ball's travel.
    pub distance_factor: f64,
    /// `cos φ` at the aim.
    pub cut_factor: f64,
    /// `1/(1 − T′ d cos a/t_c)`: throw.
    pub throw_factor: f64,
}

impl Why {
    /// First-order width of the window, rad. The exact one is what is reported.
    #[must_use]
    pub fn first_order_rad(&self) -> f64 {
        self.pocket_opening_rad * self.distance_factor * self.cut_factor * self.throw_factor
    }
}

/// The factors at the aim.
///
/// `T′` is the slope of the throw; where the window spans the kink of the friction law it is the
/// difference quotient over the window.
#[must_use]
pub fn why(window: &AimWindow) -> Option<Why> {
    let (of, part) = window.best_part()?;
    let (approach, aim) = (&window.approach, &window.aim);
    // d cos a/t_c = 1 + D cos φ/t_c, a the angle between aim line and cue → object
    let lever = approach.cut_slope(aim);
    Some(Why {
        of,
        pocket_opening_rad: part.object.width_rad(),
        distance_factor: approach.contact_m / aim.travel_m,
        cut_factor: aim.cos_cut,
        throw_factor: 1.0 / (1.0 - throw_slope(window, &part) * lever),
    })
}

fn throw_slope(window: &AimWindow, part: &Window) -> f64 {
    let at = |delta: f64| {
        let g = window.approach.sent(window.aim.aim_rad + delta)?;
        Some((g.cut_rad(), window.law.throw(g.sin_cut, g.cos_cut)))
    };
    match (at(part.aim_from_rad), at(part.aim_to_rad)) {
        (Some((c1, t1)), Some((c2, t2))) if t1.gripping != t2.gripping && (c2 - c1).abs() > 0.0 => {
            (t2.angle_rad - t1.angle_rad) / (c2 - c1)
        }
        _ => window.throw_slope,
    }
}
