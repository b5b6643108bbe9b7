//! `THIRD-PARTY.md` names every crate and font that is inside the program, with its licence.
//!
//! `THINCUT_UPDATE=1 cargo test --test repository notices` writes it anew.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

const INTRODUCTION: &str = "# Third-party notices

What the program holds besides its own code, as built with all features on 64-bit Linux. Where a
crate may be used under Apache-2.0, it is used under that licence, whose text is in
[LICENSE-APACHE](LICENSE-APACHE); texts of the other licences follow the table, each with the crates
it covers. SQLite, inside libsqlite3-sys, is in the public domain. Sources of all of them, option-ext
(MPL-2.0) included, are at https://crates.io under their names. Changed by a test, not by hand.

";

struct Package {
    name: String,
    version: String,
    licence: String,
    /// Where it is kept; empty where it does not say.
    repository: String,
    folder: PathBuf,
}

/// The packages linked into the program: normal dependencies, all features.
fn linked() -> Vec<Package> {
    let out = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--format-version=1",
            "--all-features",
            // Features that nothing else here builds may still have to be fetched.
            "--locked",
        ])
        .args(["--filter-platform", "x86_64-unknown-linux-gnu"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo runs");
    let all: Value = serde_json::from_slice(&out.stdout).expect("JSON");
    let list = |v: &Value| v.as_array().expect("a list").clone();
    let text = |v: &Value| v.as_str().expect("a text").to_owned();
    let nodes: HashMap<String, Value> = list(&all["resolve"]["nodes"])
        .into_iter()
        .map(|n| (text(&n["id"]), n))
        .collect();
    let (mut seen, mut open) = (BTreeSet::new(), vec![text(&all["resolve"]["root"])]);
    let root = open[0].clone();
    while let Some(id) = open.pop() {
        if seen.insert(id.clone()) {
            let normal = |d: &&Value| list(&d["dep_kinds"]).iter().any(|k| k["kind"].is_null());
            open.extend(
                list(&nodes[&id]["deps"])
                    .iter()
                    .filter(normal)
                    .map(|d| text(&d["pkg"])),
            );
        }
    }
    seen.remove(&root);
    let mut packages: Vec<Package> = list(&all["packages"])
        .iter()
        .filter(|p| seen.contains(p["id"].as_str().expect("a text")))
        .map(|p| Package {
            name: text(&p["name"]),
            version: text(&p["version"]),
            licence: p["license"].as_str().unwrap_or("its own").to_owned(),
            repository: p["repository"].as_str().unwrap_or_default().to_owned(),
            folder: Path::new(&text(&p["manifest_path"]))
                .parent()
                .expect("a folder")
                .to_owned(),
        })
        .collect();
    packages.sort_by(|a, b| (&a.name, &a.version).cmp(&(&b.name, &b.version)));
    packages
}

/// Licence files in a folder.
fn licence_files(folder: &Path, also_copying: bool) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder)
        .expect("a folder")
        .map(|e| e.expect("an entry").path())
        .filter(|p| p.is_file())
        .filter(|p| {
            let name = p
                .file_name()
                .expect("a name")
                .to_string_lossy()
                .to_uppercase();
            name.starts_with("LICEN") || (also_copying && name == "COPYING")
        })
        .collect();
    files.sort();
    files
}

/// Texts a package must come with: what is not covered by Apache-2.0, and the fonts' own.
fn texts(package: &Package, all: &[Package]) -> Vec<String> {
    let mut files = Vec::new();
    let licence = &package.licence;
    if !licence.contains("Apache-2.0") || licence.contains("AND") {
        // A package without a text has the one of the repository that it is part of.
        files = std::iter::once(package)
            .chain(
                all.iter()
                    .filter(|p| !p.repository.is_empty() && p.repository == package.repository),
            )
            .map(|p| licence_files(&p.folder, licence == "BSD-3-Clause"))
            .find(|files| !files.is_empty())
            .unwrap_or_default();
        assert!(
            !files.is_empty(),
            "{} ({licence}) brings no text",
            package.name
        );
    }
    if package.name == "dejavu" {
        let assets = package.folder.join("assets/dejavu-fonts-ttf-2.37");
        files.extend(licence_files(&assets, false));
    }
    files
        .iter()
        .map(|p| {
            fs::read_to_string(p)
                .expect("a text")
                .replace("\r\n", "\n")
                .trim()
                .to_owned()
        })
        .filter(|t| !t.contains("Apache License"))
        .collect()
}

fn notices() -> String {
    let packages = linked();
    let mut out = INTRODUCTION.to_owned();
    out.push_str("| crate | version | licence |\n|---|---|---|\n");
    let mut by_text: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for p in &packages {
        let name = format!("{} {}", p.name, p.version);
        writeln!(out, "| {} | {} | {} |", p.name, p.version, p.licence).expect("a text");
        for text in texts(p, &packages) {
            by_text.entry(text).or_default().push(name.clone());
        }
    }
    let mut sections: Vec<(Vec<String>, String)> =
        by_text.into_iter().map(|(t, n)| (n, t)).collect();
    sections.sort();
    for (names, text) in sections {
        write!(out, "\n## {}\n\n```text\n{text}\n```\n", names.join(", ")).expect("a text");
    }
    out
}

#[test]
fn third_party_notices_are_complete() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("THIRD-PARTY.md");
    let fresh = notices();
    // The font in pictures and papers is inside the program too.
    assert!(
        fresh.contains("Bitstream Vera"),
        "the font's notice is missing"
    );
    if std::env::var_os("THINCUT_UPDATE").is_some() {
        fs::write(&path, &fresh).expect("written");
    }
    let kept = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == fresh,
        "THIRD-PARTY.md is stale: THINCUT_UPDATE=1 cargo test --test repository notices"
    );
}
