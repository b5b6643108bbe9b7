//! Numbers as text.

use rand::{Rng, SeedableRng};
use thincut::inside::shortest;

#[test]
fn numbers_are_written_as_the_standard_library_does() {
    let mut random = rand_pcg::Pcg64Mcg::seed_from_u64(1);
    let plain = [
        0.0,
        -0.0,
        1.0,
        -1.5,
        1e15,
        1e16,
        1e21,
        1e-5,
        1e-7,
        f64::MAX,
        f64::MIN_POSITIVE,
    ];
    let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];
    let any = (0..20_000).map(|k| {
        let x = f64::from_bits(random.random());
        if k % 2 == 0 {
            x
        } else {
            random.random_range(-1e3..1e3)
        }
    });
    for x in plain.into_iter().chain(odd).chain(any) {
        let (ours, theirs) = (shortest(x), x.to_string());
        // Between two texts equally near and equally short either is right.
        if ours != theirs {
            assert_eq!(ours.len(), theirs.len(), "{ours} for {theirs}");
            assert_eq!(
                ours.parse::<f64>().unwrap().to_bits(),
                x.to_bits(),
                "{ours}"
            );
        }
    }
}
