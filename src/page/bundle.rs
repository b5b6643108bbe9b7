//! Modules put together as one script, so that a browser asks once. It reads the few forms that the
//! page's modules are written in: imports of names, one a line, and `export` before a declaration.

use std::fmt::Write as _;

/// A module by its path.
#[derive(Debug, Clone, Copy)]
pub(super) struct Module {
    /// From the folder of all, such as `views/views.js`.
    pub(super) name: &'static str,
    /// Its text.
    pub(super) text: &'static str,
}

/// The entry with all that it imports, each module once and after those that it imports.
pub(super) fn bundle(entry: &str, modules: &[Module]) -> String {
    let mut out = String::new();
    let mut done = Vec::new();
    add(entry, modules, &mut done, &mut out);
    out
}

fn add(name: &str, modules: &[Module], done: &mut Vec<String>, out: &mut String) {
    let Some(module) = modules.iter().find(|m| m.name == name) else {
        return;
    };
    done.push(name.to_owned());
    let mut body = String::new();
    let mut exports = Vec::new();
    for line in module.text.lines() {
        if let Some(import) = line.strip_prefix("import ") {
            let Some((names, from)) = import.trim_end_matches([';', '"']).rsplit_once('"') else {
                continue;
            };
            let from = beside(name, from);
            if !done.contains(&from) {
                add(&from, modules, done, out);
            }
            if let Some(names) = names.trim_end().strip_suffix("from") {
                // `a as b` is `a: b` where an object is taken apart.
                let names = names.split(" as ").collect::<Vec<_>>().join(": ");
                let _ = writeln!(body, "const {names}= {};", variable(&from));
            }
        } else if let Some(declared) = line.strip_prefix("export ") {
            exports.push(declared_name(declared));
            let _ = writeln!(body, "{declared}");
        } else {
            let _ = writeln!(body, "{line}");
        }
    }
    if done.first().is_some_and(|entry| entry == name) {
        // The entry stays at the top, where it may wait.
        out.push_str(&body);
        return;
    }
    let _ = writeln!(
        out,
        "const {} = (() => {{\n{body}return {{ {} }};\n}})();",
        variable(name),
        exports.join(", ")
    );
}

/// What a module's exports are called in the bundle.
fn variable(name: &str) -> String {
    format!("${}", name.trim_end_matches(".js").replace('/', "_"))
}

/// The path of what `name` imports as `from`.
fn beside(name: &str, from: &str) -> String {
    let mut folders: Vec<&str> = name.split('/').collect();
    folders.pop();
    for part in from.split('/') {
        match part {
            "." => {}
            ".." => {
                folders.pop();
            }
            part => folders.push(part),
        }
    }
    folders.join("/")
}

/// `async function ask(…` declares `ask`.
fn declared_name(text: &str) -> &str {
    let rest = text.trim_start_matches("async ");
    let rest = rest.split_once(' ').map_or(rest, |(_, name)| name);
    let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_' && c != '$');
    end.map_or(rest, |k| &rest[..k])
}
