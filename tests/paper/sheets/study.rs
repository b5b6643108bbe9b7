//! The steps of lessons.

use thincut::gear::Gear;
use thincut::inside::paper::{plain_steps, steps};
use thincut::ladder::Topic;
use thincut::player::Level;
use thincut::units::UnitSystem;

/// What is said of a topic is what its pictures show: each step is harder, with less room.
#[test]
fn every_step_is_harder_than_the_one_before() {
    for name in Gear::preset_names() {
        let gear = Gear::preset(name).expect("a built-in table");
        let both = [UnitSystem::Metric, UnitSystem::Inches];
        let all = Topic::ALL.into_iter().flat_map(|t| both.map(|u| (t, u)));
        for (topic, units) in all {
            let player = Level::Starting.aim_error();
            let steps = steps(&gear, player, topic, units);
            let chances = steps.map(|(chance, _)| chance);
            assert!(chances[0] > 0.1, "{name} {topic:?} {units:?}: {chances:?}");
            assert!(
                chances[0] > chances[1] && chances[1] > chances[2],
                "{name} {topic:?} {units:?}: {chances:?}"
            );
            let rooms = steps.map(|(_, room)| room);
            assert!(
                rooms[0] > rooms[1] && rooms[1] > rooms[2],
                "{name} {topic:?} {units:?}: {rooms:?}"
            );
        }
    }
}

/// Rows of ten show what is said of them: every step takes some away, for beginners and good players alike.
#[test]
fn plain_pages_prove_their_point() {
    let players = [Level::FirstEvening, Level::Starting, Level::Club];
    for name in Gear::preset_names() {
        let gear = Gear::preset(name).expect("a built-in table");
        for topic in Topic::ALL {
            for (level, units) in players
                .iter()
                .flat_map(|l| [UnitSystem::Metric, UnitSystem::Inches].map(|u| (l, u)))
            {
                let made = plain_steps(&gear, level.aim_error(), topic, units);
                assert!(
                    made[0] > made[1] && made[1] > made[2] && made[0] - made[2] >= 2.0,
                    "{name} {topic:?} {level:?} {units:?}: {made:?}"
                );
            }
        }
    }
}
