//! What a cue ball can meet between the noses.

use kurbo::{Point, Vec2};
use rand::{Rng as _, SeedableRng as _};
use rand_pcg::Pcg64;

use thincut::gear::Gear;
use thincut::inside::balls_alone;
use thincut::layout::{Ball, Layout, Table};
use thincut::motion::straight_hit;

/// Wherever the cushions are left out, a cue ball meets what it meets with them.
#[test]
fn between_the_noses_only_balls_are_met() -> Result<(), Box<dyn std::error::Error>> {
    let gear = Gear::preset("pool-9ft")?;
    let mut rng = Pcg64::seed_from_u64(7);
    let (l, w, edge) = (
        gear.bed.length_m,
        gear.bed.width_m,
        gear.cue_contact_radius_m(),
    );
    let mut met = [0_u32; 2];
    for _ in 0..2000 {
        // Also places frozen to a rail and in a corner.
        let mut place = || {
            let mut along = |size: f64| match rng.random_range(0..6) {
                0 => edge,
                1 => size - edge,
                _ => rng.random_range(edge..size - edge),
            };
            Point::new(along(l), along(w))
        };
        let ball = |at| Ball {
            label: String::new(),
            at,
        };
        let (cue, played) = (place(), place());
        // The other one near the way, where it may be met first.
        let aside = Vec2::new(rng.random_range(-0.06..0.06), rng.random_range(-0.06..0.06));
        let other = cue.lerp(played, rng.random_range(0.3..0.7)) + aside;
        let layout = Layout {
            cue,
            balls: vec![ball(played), ball(other)],
        };
        let table = Table::new(&gear, &layout);
        let to = table.at(0) - layout.cue;
        let apart = |a: Point, b: Point| (a - b).hypot() > table.cue_object_m;
        if !table.open_bed_to(table.at(0))
            || !apart(layout.cue, table.at(0))
            || !apart(layout.cue, table.at(1))
        {
            continue;
        }
        let (balls, played) = balls_alone(&table, 0, &[1]);
        let all = table.cue_features(None);
        let half = (table.cue_object_m / to.hypot()).asin();
        let direction = Vec2::from_angle(to.atan2() + half * rng.random_range(-0.999..0.999));
        let alone = straight_hit(&balls, layout.cue, direction).map(|(_, i)| i == played);
        let first = table.cue_bed.first_ball();
        let whole = straight_hit(&all, layout.cue, direction).map(|(_, i)| i == first);
        assert_eq!(alone, whole, "{layout:?} {direction:?}");
        met[usize::from(whole == Some(true))] += 1;
    }
    assert!(met[0] > 100 && met[1] > 100, "{met:?}");
    Ok(())
}
