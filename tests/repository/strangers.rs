//! What a stranger adds takes its own file and one line: nothing else in the library names a single
//! chart, aiming method, sheet or table.

use std::path::Path;

use thincut::aims::way_names;
use thincut::charts;
use thincut::gear::{DEFAULT_PRESET, Preset};

use crate::layers::sources;

/// Files below a folder of the library whose code, tests and comments left out, has a text.
fn files_with(folder: &str, text: &str) -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root.join(folder), &mut files);
    let has = |file: &Path| {
        let all = std::fs::read_to_string(file).expect("readable");
        let code = all.split("#[cfg(test)]").next().unwrap_or_default();
        let mut lines = code.lines().map(str::trim_start);
        lines.any(|line| !line.starts_with("//") && line.contains(text))
    };
    let name = |file: &Path| {
        let inside = file.strip_prefix(&root).expect("below src");
        inside.to_string_lossy().into_owned()
    };
    let mut found: Vec<String> = files
        .iter()
        .filter(|file| has(file))
        .map(|file| name(file))
        .collect();
    found.sort();
    found
}

#[test]
fn a_chart_is_one_file_and_one_line() {
    let registry =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/charts/mod.rs"))
            .expect("the registry");
    let asked: Vec<&str> = registry
        .lines()
        .filter_map(|l| l.trim().strip_prefix("Entry::Asked(&")?.strip_suffix("),"))
        .collect();
    assert_eq!(asked.len(), charts::asked().count());
    for entry in asked {
        let (file, kind) = entry.split_once("::").expect("a file's chart");
        // Words such as GridChart stand for themselves alone.
        let mut found = files_with("charts", kind);
        found.extend(files_with("sheets", kind));
        found.retain(|f| f != "charts/mod.rs");
        assert_eq!(found, [format!("charts/{file}.rs")], "{entry}");
    }
}

#[test]
fn an_aiming_method_is_one_file_and_one_line() {
    let mut checked = 0;
    for name in way_names().filter(|name| *name != "own") {
        let found = files_with("aims", &format!("\"{name}\""));
        assert!(
            found.contains(&"aims/catalogue.rs".to_owned()),
            "{name}: {found:?}"
        );
        assert!(found.len() <= 2, "{name} stands in {found:?}");
        checked += 1;
    }
    assert!(checked > 10);
}

#[test]
fn a_table_is_one_file_and_one_line() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/gear/presets");
    let files = std::fs::read_dir(folder).expect("the presets").count();
    assert_eq!(files, Preset::ALL.len());
    for preset in Preset::ALL.iter().filter(|p| p.name() != DEFAULT_PRESET) {
        let found = files_with("", &format!("\"{}\"", preset.name()));
        assert_eq!(found, ["gear/presets.rs"], "{preset:?}");
    }
}

/// Its options stand in a file of the program (the library speaks no options), its page in one of the
/// library; the list is a line.
#[test]
fn a_sheet_is_one_file_and_one_line() {
    let cli = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/cli");
    let list = std::fs::read_to_string(cli.join("sheet.rs")).expect("the list");
    let inside = list.split("sheets! {\n").nth(1).expect("a list");
    let entries: Vec<&str> = inside
        .lines()
        .map_while(|line| line.trim().strip_suffix("),")?.split_once('(').map(|e| e.1))
        .collect();
    assert!(entries.len() >= 7, "{entries:?}");
    for sheet in entries {
        assert!(cli.join(format!("sheet/{sheet}.rs")).is_file(), "{sheet}");
        // Beside the list and Rust's own line nothing of the program names it.
        let named = files_with("cli", &format!("sheet::{sheet}"));
        assert!(named.is_empty(), "{sheet} stands in {named:?}");
        let lines = list.lines().filter(|line| {
            line.contains(&format!("({sheet}),")) || *line == format!("mod {sheet};")
        });
        assert_eq!(lines.count(), 2, "{sheet}");
    }
}
