//! A way of aiming that somebody adds: one type, nothing else to touch.

use super::*;

/// The cue ball's middle to the object ball's edge: a half-ball hit, whatever the shot asks for.
#[derive(Debug)]
struct ToTheEdge;

impl Way for ToTheEdge {
    fn name(&self) -> String {
        "to-the-edge".into()
    }

    fn rule(&self) -> String {
        "send the cue ball's middle to the edge of the object ball".into()
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        // The edge lies its radius beside the line of the balls: sin = R/d.
        let edge = (scene.gear.object_radius_m() / scene.apart_m()).asin();
        Ok(-scene.fuller_sign() * edge)
    }
}

#[test]
fn somebodys_own_way_is_judged_like_the_others() {
    // Balls of one size: the line passes a radius beside the middle, so sin φ = R/2R and φ = 30°.
    for apart_m in [0.3, 1.2, 2.4] {
        let half = Solved::new(&no_throw(), &at(30.0, apart_m), Stroke::default());
        assert!(half.judge(&ToTheEdge).bias_rad.abs() < WINDOW_RAD);
        let fuller = Solved::new(&no_throw(), &at(20.0, apart_m), Stroke::default());
        assert_eq!(fuller.judge(&ToTheEdge).lean(), "too thin");
        let thinner = Solved::new(&no_throw(), &at(45.0, apart_m), Stroke::default());
        assert_eq!(thinner.judge(&ToTheEdge).lean(), "too full");
    }
}
