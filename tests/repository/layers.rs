//! Layers point one way: a module imports only modules named before it in the crate's order, and the
//! library leaves it to each face how inputs are called.

use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, TokenStream, TokenTree};

pub(crate) fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
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

/// Library and program are built without a test harness, so a test inside them would never run.
#[test]
fn all_is_tested_from_outside() {
    let mut files = Vec::new();
    sources(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src"),
        &mut files,
    );
    assert!(files.len() > 100);
    for path in files {
        let text = std::fs::read_to_string(&path).expect("readable");
        for mark in ["#[test]", "cfg(test)"] {
            assert!(!text.contains(mark), "{}: {mark}", path.display());
        }
    }
}

/// The string literals of some code, and those that a method `replace` looks for. Comments are none.
#[derive(Default)]
struct Strings {
    all: Vec<String>,
    replaced: Vec<String>,
}

impl Strings {
    fn read(&mut self, code: TokenStream) {
        let tokens: Vec<TokenTree> = code.into_iter().collect();
        for (k, token) in tokens.iter().enumerate() {
            match token {
                TokenTree::Group(group) if is_doc(group.stream()) => {}
                TokenTree::Group(group) => {
                    let called = k
                        .checked_sub(1)
                        .is_some_and(|k| tokens[k].to_string() == "replace");
                    if called && group.delimiter() == Delimiter::Parenthesis {
                        let first = group.stream().into_iter().next();
                        self.replaced.extend(first.and_then(|t| string(&t)));
                    }
                    self.read(group.stream());
                }
                other => self.all.extend(string(other)),
            }
        }
    }
}

/// Whether it is the inside of a comment's `#[doc = "…"]`.
fn is_doc(inside: TokenStream) -> bool {
    let first = inside.into_iter().next();
    first.is_some_and(|t| matches!(t, TokenTree::Ident(name) if name == "doc"))
}

fn string(token: &TokenTree) -> Option<String> {
    let TokenTree::Literal(literal) = token else {
        return None;
    };
    let text = literal.to_string();
    text.contains('"').then_some(text)
}

/// Whether it holds an option as it is typed: two dashes and a letter.
fn has_option(text: &str) -> bool {
    text.split("--")
        .skip(1)
        .any(|rest| rest.starts_with(|c: char| c.is_ascii_lowercase()))
}

#[test]
fn the_library_speaks_no_command_line() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    let mut read = 0;
    for file in files.iter().filter(|f| !f.starts_with(root.join("cli"))) {
        let text = std::fs::read_to_string(file).expect("readable");
        let mut strings = Strings::default();
        strings.read(text.parse().expect("it compiles"));
        read += strings.all.len();
        for text in &strings.all {
            assert!(
                !has_option(text),
                "{}: {text} names an option; hold a Field or a Hint instead",
                file.display()
            );
        }
        for text in &strings.replaced {
            assert!(
                !text.contains(' '),
                "{}: words are replaced after they were written: {text}",
                file.display()
            );
        }
    }
    assert!(read > 3000, "only {read} strings were read");
}

#[test]
fn options_are_seen_in_strings_alone() {
    let mut strings = Strings::default();
    let code = r##"
        /// Not `--here`.
        #[error("give --cue")]
        // nor --here
        fn f<'a>(x: &'a str) { x.replace("a b", ""); g('"', b"--raw", r#"--"x"#); }
    "##;
    strings.read(code.parse().expect("code"));
    let options: Vec<&String> = strings.all.iter().filter(|s| has_option(s)).collect();
    assert_eq!(options, ["\"give --cue\"", "b\"--raw\""]);
    assert_eq!(strings.replaced, ["\"a b\""]);
}
