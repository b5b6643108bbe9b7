//! The largest weakness a log shows.

use rand::SeedableRng;
use rand_pcg::Pcg64;
use thincut::ladder::Topic;
use thincut::log::{Attempt, Practice, demo, shortfalls};
use thincut::player::Level;

/// The invented evening: N's arm scatters, so the long straight ones go astray; P does not see the
/// ghost ball, so the near thin ones do.
#[test]
fn what_is_true_of_the_invented_students_is_found() {
    let rows = demo::attempts(&mut Pcg64::seed_from_u64(1)).unwrap();
    let of = |label: &str| -> Vec<Attempt> {
        rows.iter()
            .filter(|r| r.student == label)
            .cloned()
            .collect()
    };
    let usual = Level::Club.aim_error();
    for (label, topic) in [("N", Topic::LongStraight), ("P", Topic::ThinCuts)] {
        let found = shortfalls(&[Practice::of(&of(label))], usual);
        assert_eq!(found[0].topic, topic, "{label} {found:?}");
        assert!(found[0].is_weakness(), "{label} {found:?}");
        assert!(found[0].made < found[0].tries);
    }
    // S only ever made easy ones, if all went in nothing can be said
    let all_made: Vec<Attempt> = of("S").into_iter().filter(|r| r.made == r.tries).collect();
    assert!(!all_made.is_empty() && shortfalls(&[Practice::of(&all_made)], usual).is_empty());
    assert!(shortfalls(&[], usual).is_empty());
}
