//! Speed of a ladder, of a marks sheet and of a lesson, each as a whole process: what somebody at
//! the table waits for.
//!
//! Run with `cargo bench --bench ladder`.

use std::path::Path;
use std::process::Command;

use divan::Bencher;

fn main() {
    divan::main();
}

/// Runs the program once; it must succeed.
fn run(folder: &Path, args: &[&str]) {
    let done = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(args)
        .env("THINCUT_LOG", folder.join("practice.sqlite"))
        .current_dir(folder)
        .output()
        .expect("the program runs");
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{args:?}: {said}");
}

/// A folder with the invented evening class in its log.
fn evening() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    run(folder.path(), &["log", "demo"]);
    folder
}

fn bench(bencher: Bencher, args: &str) {
    let folder = evening();
    let args: Vec<&str> = args.split(' ').collect();
    bencher.bench_local(|| run(folder.path(), &args));
}

/// Ten rungs (target 60 ms for a level alone).
#[divan::bench(sample_count = 10, args = [
    "--level first-evening",
    "--level club",
    "--level expert",
    "--level club --practise thin-cuts",
    "--level club --practise long-straight",
    "--level club --practise side-pocket",
    "--level club --practise along-the-rail",
    "--student K",
    "--level club --hand left --reach 700mm",
    "--level club --obstacle 4,2",
    "--level club --lengths 2lengths",
])]
fn ten_rungs(bencher: Bencher, args: &str) {
    bench(bencher, &format!("ladder {args}"));
}

/// Marks for eight students, place of the object ball free (target 1 s).
#[divan::bench(sample_count = 10, args = [
    "K=first-evening,L=first-evening,M=0.8deg/5mm,N=starting,P=starting,Q=0.4deg/3mm,R=0.35deg/3mm,S=club",
    "K,L,M,N,P,Q,R=starting,S=club",
])]
fn eight_marks(bencher: Bencher, students: &str) {
    bench(
        bencher,
        &format!("ladder marks --chance 6 --students {students}"),
    );
}

/// A lesson for one, about what the log shows.
#[divan::bench(sample_count = 10)]
fn lesson(bencher: Bencher) {
    bench(bencher, "lesson new --student N");
}
