//! Speed of tables of shots, each as a whole process, and of the start of the program.
//!
//! Run with `cargo bench --bench batch`.

use std::fmt::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use divan::Bencher;
use divan::counter::ItemsCount;

fn main() {
    divan::main();
}

/// Ten columns of the answer.
const COLUMNS: &str = "aim_deg,cut_deg,throw_deg,cue_speed_m_s,cue_travel_mm,clean_thick_deg,clean_thin_deg,direct_total_deg,drop_total_deg,drop_thick_contact_mm";

/// Runs the program once; it must succeed.
fn run(folder: &Path, args: &[&str]) {
    let done = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(args)
        .current_dir(folder)
        .stdout(Stdio::null())
        .status()
        .expect("the program runs");
    assert!(done.success(), "{args:?}");
}

/// Cuts and distances that share 1,050 places of the object ball.
fn sharing(rows: u32) -> String {
    let mut table = String::from("cut,apart,to-pocket,approach\n");
    for n in 0..rows {
        let (apart, to_pocket) = (300 + n % 997, 400 + 20 * (n % 50));
        let cut = f64::from(n % 600) / 10.0;
        let _ = writeln!(table, "{cut}deg,{apart}mm,{to_pocket}mm,{}deg", n % 21);
    }
    table
}

/// The same with a place of its own for each.
fn different(rows: u32) -> String {
    let mut table = String::from("cut,apart,to-pocket,approach\n");
    for n in 0..rows {
        let apart = 300 + n % 997;
        let cut = f64::from(n % 600) / 10.0;
        let to_pocket = 400.0 + 1000.0 * (f64::from(n) * 0.618_034).fract();
        let approach = 20.0 * (f64::from(n) * 0.324_718).fract();
        let _ = writeln!(
            table,
            "{cut}deg,{apart}mm,{to_pocket:.4}mm,{approach:.5}deg"
        );
    }
    table
}

fn bench(bencher: Bencher, rows: u32, table: String) {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("shots.csv"), table).expect("written");
    let args = ["batch", "shots.csv", "--columns", COLUMNS];
    bencher
        .counter(ItemsCount::new(rows))
        .bench_local(|| run(folder.path(), &args));
}

/// Rows that share acceptances, ten columns (target 3 µs a row on two cores).
#[divan::bench(sample_count = 10)]
fn rows_that_share(bencher: Bencher) {
    bench(bencher, 200_000, sharing(200_000));
}

/// Rows with an acceptance each, ten columns (target 35 µs a row on two cores).
#[divan::bench(sample_count = 10)]
fn rows_all_different(bencher: Bencher) {
    bench(bencher, 40_000, different(40_000));
}

/// One shot as a whole process (targets 1.8 ms without a player, 5 ms with one and the range).
#[divan::bench(args = ["", "--level club"])]
fn a_shot(bencher: Bencher, who: &str) {
    let folder = tempfile::tempdir().expect("a folder");
    let shot = "shot --cue 3,1 --object 5,2.4 --pocket foot-left";
    let args: Vec<&str> = shot.split(' ').chain(who.split_whitespace()).collect();
    bencher.bench_local(|| run(folder.path(), &args));
}

/// A process that does nothing: what the system takes of the two above.
#[divan::bench]
fn a_process_that_does_nothing(bencher: Bencher) {
    bencher.bench_local(|| {
        let done = Command::new("true").stdout(Stdio::null()).status();
        assert!(done.expect("it runs").success());
    });
}
