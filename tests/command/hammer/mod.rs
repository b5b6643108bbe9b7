//! Changed texts break no reader: gear files, layouts, imports of a log, quantities, bodies sent to
//! the local page.
//!
//! Each seed in `tests/corpus` is changed at random, in ways that keep some of its form. A run tries
//! a few thousand; `THINCUT_HAMMER_SECONDS=600 cargo test --release --test command hammer` goes on as long
//! as it says. The same checks are the targets in `fuzz/`, where coverage leads the changes.

mod api;
mod gear;
mod layout;
mod log_import;
mod quantities;

use std::path::Path;
use std::time::{Duration, Instant};

use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;

/// Pieces that readers care about.
const PIECES: &[&str] = &[
    "\"",
    ",",
    "\n",
    "=",
    "[",
    "]",
    "{",
    "}",
    ":",
    "-",
    ".",
    "/",
    "e",
    "E9",
    "1e308",
    "1e-308",
    "nan",
    "inf",
    "0",
    "-0",
    "9",
    "½",
    "°",
    "'",
    "\u{feff}",
    "\0",
    "日",
    "mm",
    "in",
    "ft",
    "deg",
    "rad",
    "m/s",
    "frozen-left",
    "foot-spot",
    "half-ball",
    "null",
    "true",
    "\\u0000",
    "#",
    " ",
    "\t",
    "\r\n",
];

fn seeds(name: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/corpus")
        .join(name);
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .expect("seeds")
        .map(|e| e.expect("an entry").path())
        .collect();
    paths.sort();
    paths
        .iter()
        .map(|p| std::fs::read(p).expect("readable"))
        .collect()
}

/// A place to cut: mostly at the border of a word.
fn place(text: &[u8], random: &mut Pcg64Mcg) -> usize {
    let mut at = random.random_range(0..=text.len());
    if random.random_bool(0.7) {
        while at < text.len() && text[at].is_ascii_alphanumeric() {
            at += 1;
        }
    }
    at
}

fn change(text: &mut Vec<u8>, other: &[u8], random: &mut Pcg64Mcg) {
    let (a, b) = (place(text, random), place(text, random));
    let (from, to) = (a.min(b), a.max(b).min(a.min(b) + 40));
    match random.random_range(0..7) {
        0 => {
            text.drain(from..to);
        }
        1 => {
            let piece = PIECES.choose(random).expect("pieces");
            text.splice(from..from, piece.bytes());
        }
        2 => {
            let piece = PIECES.choose(random).expect("pieces");
            text.splice(from..to, piece.bytes());
        }
        3 => {
            let again = text[from..to].to_vec();
            text.splice(from..from, again);
        }
        4 => {
            let (c, d) = (place(other, random), place(other, random));
            text.splice(from..to, other[c.min(d)..c.max(d)].iter().copied());
        }
        5 if from < text.len() => text[from] = random.random(),
        _ => {
            // Another number in the place of one.
            if let Some(at) = (from..text.len()).find(|&k| text[k].is_ascii_digit()) {
                let number = format!(
                    "{}",
                    random.random_range(-1e4..1e4) * 1e-2_f64.powi(random.random_range(0..3))
                );
                text.splice(at..=at, number.bytes());
            }
        }
    }
}

/// Longest input, bytes.
const LONGEST: usize = 20_000;

fn hammer(name: &str, usual: u32, check: fn(&[u8])) {
    let seconds = std::env::var("THINCUT_HAMMER_SECONDS").ok();
    let seconds: Option<u64> = seconds.map(|s| s.parse().expect("whole seconds"));
    let seeds = seeds(name);
    for seed in &seeds {
        check(seed);
    }
    let mut random = match seconds {
        Some(_) => Pcg64Mcg::from_os_rng(),
        None => Pcg64Mcg::seed_from_u64(1),
    };
    let last = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("hammer-{name}"));
    let start = Instant::now();
    let mut tried = 0_u64;
    while seconds.map_or(tried < usual.into(), |s| {
        start.elapsed() < Duration::from_secs(s)
    }) {
        let mut text = seeds.choose(&mut random).expect("seeds").clone();
        let other = seeds.choose(&mut random).expect("seeds");
        for _ in 0..random.random_range(1..=6) {
            change(&mut text, other, &mut random);
        }
        text.truncate(LONGEST);
        let fine = std::panic::catch_unwind(|| check(&text)).is_ok();
        if !fine {
            std::fs::write(&last, &text).expect("kept");
            panic!("{name}: an input broke it, kept in {}", last.display());
        }
        tried += 1;
    }
    println!("{name}: {tried} inputs in {} s", start.elapsed().as_secs());
}

#[test]
fn gear_files() {
    hammer("gear", 3000, gear::check);
}

#[test]
fn layouts() {
    hammer("layout", 5000, layout::check);
}

#[test]
fn imports() {
    hammer("log_import", 500, log_import::check);
}

#[test]
fn values() {
    hammer("quantities", 20_000, quantities::check);
}

#[test]
fn bodies() {
    hammer("api", 500, api::check);
}
