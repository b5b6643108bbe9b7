//! Layers point one way: a module imports only modules named before it in the crate's order.

use std::path::{Path, PathBuf};

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

/// The order as the crate's documentation gives it.
fn order(root: &Path) -> Vec<String> {
    let lib = std::fs::read_to_string(root.join("lib.rs")).expect("lib.rs");
    let doc: String = lib.lines().filter_map(|l| l.strip_prefix("//!")).collect();
    let list = doc
        .split("in this order:")
        .nth(1)
        .and_then(|rest| rest.split('.').next())
        .expect("the order is documented");
    // The list ends with its sentence; examples follow.
    let list = list.split("`.").next().expect("a sentence");
    let names: Vec<String> = list
        .split('`')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect();
    for name in &names {
        assert!(
            lib.contains(&format!("pub mod {name};")),
            "{name} is no module"
        );
    }
    assert_eq!(
        lib.matches("pub mod ").count(),
        names.len(),
        "a module is missing from the order"
    );
    names
}

#[test]
fn no_module_imports_one_below_it() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let order = order(&root);
    let rank = |name: &str| order.iter().position(|n| n == name);
    let mut files = Vec::new();
    sources(&root, &mut files);
    let mut checked = 0;
    for file in files {
        let inside = file.strip_prefix(&root).expect("below src");
        let own = inside
            .components()
            .next()
            .expect("a part")
            .as_os_str()
            .to_string_lossy();
        let Some(own) = rank(own.trim_end_matches(".rs")) else {
            continue;
        };
        let text = std::fs::read_to_string(&file).expect("readable");
        let code = text.lines().filter(|l| !l.trim_start().starts_with("//"));
        for line in code {
            for used in line.split("crate::").skip(1) {
                let name: String = used
                    .chars()
                    .take_while(|c| c.is_alphanumeric() || *c == '_')
                    .collect();
                if let Some(other) = rank(&name) {
                    checked += 1;
                    assert!(
                        other <= own,
                        "{}: {} is below {}",
                        inside.display(),
                        order[other],
                        order[own]
                    );
                }
            }
        }
    }
    assert!(checked > 100, "only {checked} imports were found");
}

/// `tests/run.sh` builds the program without a test harness, so a test inside it would never run.
#[test]
fn the_program_is_tested_from_outside() {
    let mut files = Vec::new();
    sources(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src/cli"),
        &mut files,
    );
    assert!(!files.is_empty());
    for path in files {
        let text = std::fs::read_to_string(&path).expect("readable");
        assert!(!text.contains("#[test]"), "{}", path.display());
    }
}
