//! No two files of the library need each other in a circle, and what draws stands apart.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use crate::layers::sources;

/// A module's path below the crate's root.
type Module = Vec<String>;

fn module(path: &str) -> Module {
    path.split("::").map(str::to_owned).collect()
}

/// The library's files and what each needs of the others, read off their `use` lines and the paths
/// in their code, tests at the end of a file left out. A name handed on by `pub use` counts as that
/// of the file that has it.
struct Library {
    uses: BTreeMap<Module, Vec<(Module, String)>>,
    needs: BTreeMap<Module, BTreeSet<Module>>,
}

impl Library {
    fn read() -> Self {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
        let mut files = Vec::new();
        sources(&root, &mut files);
        let mut code = BTreeMap::new();
        for file in files {
            let inside = file.strip_prefix(&root).expect("below src");
            if inside.starts_with("cli") {
                continue;
            }
            let words = inside.with_extension("");
            let words = words.iter().map(|w| w.to_string_lossy().into_owned());
            let module: Module = words.filter(|w| w != "lib" && w != "mod").collect();
            let text = std::fs::read_to_string(&file).expect("readable");
            code.insert(module, without_words(&text));
        }
        let mut library = Self {
            uses: BTreeMap::new(),
            needs: BTreeMap::new(),
        };
        let mut paths = BTreeMap::new();
        for (module, text) in &code {
            let (uses, rest) = split_uses(text);
            paths.insert(module.clone(), paths_in(&rest));
            library.uses.insert(module.clone(), uses);
        }
        for (module, paths) in paths {
            let own = library.uses[&module].clone();
            let named = paths.into_iter().map(|path| {
                let known = own.iter().find(|(_, name)| *name == path[0]);
                match known {
                    Some((to, _)) => [to.as_slice(), &path[1..]].concat(),
                    None => path,
                }
            });
            let all = own.iter().map(|(path, _)| path.clone()).chain(named);
            let needed = all.filter_map(|path| library.home(&module, &path, 0));
            let needed = needed.filter(|m| *m != module).collect();
            library.needs.insert(module, needed);
        }
        library
    }

    /// The file that has what a path in `from` names; none outside the library.
    fn home(&self, from: &Module, path: &[String], depth: usize) -> Option<Module> {
        let mut at = from.clone();
        let mut rest = path;
        match path[0].as_str() {
            "crate" => (at, rest) = (Vec::new(), &path[1..]),
            "self" => rest = &path[1..],
            "super" => {
                while rest.first().is_some_and(|w| w == "super") {
                    at.pop();
                    rest = &rest[1..];
                }
            }
            _ => {
                self.below(&at, path.first())?;
            }
        }
        while let Some(below) = self.below(&at, rest.first()) {
            (at, rest) = (below, &rest[1..]);
        }
        let handed_on = rest.first().and_then(|name| {
            let (to, _) = self
                .uses
                .get(&at)?
                .iter()
                .find(|(_, known)| known == name)?;
            Some([to.as_slice(), &rest[1..]].concat())
        });
        match handed_on {
            Some(path) if depth < 8 => self.home(&at, &path, depth + 1),
            _ => Some(at),
        }
    }

    fn below(&self, at: &Module, name: Option<&String>) -> Option<Module> {
        let mut below = at.clone();
        below.push(name?.clone());
        self.uses.contains_key(&below).then_some(below)
    }

    /// The sets of files that need each other, two or more in each.
    fn circles(&self) -> BTreeSet<BTreeSet<String>> {
        let reach: BTreeMap<&Module, BTreeSet<&Module>> =
            self.needs.keys().map(|m| (m, self.reach(m))).collect();
        let said = |m: &Module| m.join("::");
        let of = |m: &Module| {
            let all = reach[m].iter().filter(|o| reach[**o].contains(m));
            all.map(|o| said(o)).collect::<BTreeSet<_>>()
        };
        self.needs.keys().map(of).filter(|c| c.len() > 1).collect()
    }

    /// All that a file needs, and what that needs in turn.
    fn reach(&self, from: &Module) -> BTreeSet<&Module> {
        let mut seen = BTreeSet::new();
        let mut waiting: Vec<&Module> = self.needs[from].iter().collect();
        while let Some(next) = waiting.pop() {
            if seen.insert(next) {
                waiting.extend(&self.needs[next]);
            }
        }
        seen
    }
}

/// Code without comments, texts and the tests at its end.
fn without_words(text: &str) -> String {
    let text = text.split("#[cfg(test)]").next().unwrap_or_default();
    let mut out = String::new();
    for line in text.lines().map(str::trim_start) {
        if !line.starts_with("//") {
            out.push_str(line);
            out.push('\n');
        }
    }
    // Every second piece between quotes is a text.
    let out = out
        .replace("\\\\", "")
        .replace("\\\"", "")
        .replace("'\"'", "");
    out.split('"').step_by(2).collect()
}

/// The `use` lines, each name with the path it stands for, and the code without them.
fn split_uses(code: &str) -> (Vec<(Module, String)>, String) {
    let (mut uses, mut rest) = (Vec::new(), String::new());
    let mut open: Option<String> = None;
    for line in code.lines() {
        let bare = line.strip_prefix("pub").map_or(line, |l| {
            l.trim_start_matches("(super)")
                .trim_start_matches("(crate)")
                .trim_start()
        });
        let begun = bare.strip_prefix("use ").map(str::to_owned);
        match open.take().map(|so_far| so_far + line).or(begun) {
            Some(whole) if whole.ends_with(';') => {
                named(&[], whole.trim_end_matches(';'), &mut uses);
            }
            Some(part) => open = Some(part),
            None => {
                rest.push_str(line);
                rest.push('\n');
            }
        }
    }
    (uses, rest)
}

/// The names of a `use` tree below a path.
fn named(above: &[String], tree: &str, out: &mut Vec<(Module, String)>) {
    let tree = tree.trim();
    let Some((before, inside)) = tree.split_once('{') else {
        let (path, name) = tree.split_once(" as ").unwrap_or((tree, ""));
        let mut path = [above, &module(path)].concat();
        if path.last().is_some_and(|w| w == "self") {
            path.pop();
        }
        let name = if name.is_empty() {
            path.last().cloned()
        } else {
            Some(name.to_owned())
        };
        out.extend(name.map(|name| (path, name)));
        return;
    };
    let before = before.trim_end_matches("::");
    let above = if before.is_empty() {
        above.to_vec()
    } else {
        [above, &module(before)].concat()
    };
    let inside = inside.strip_suffix('}').unwrap_or(inside);
    let (mut depth, mut from) = (0_usize, 0);
    for (at, c) in inside.char_indices().chain([(inside.len(), ',')]) {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                let part = &inside[from..at];
                from = (at + 1).min(inside.len());
                if !part.trim().is_empty() {
                    named(&above, part, out);
                }
            }
            _ => {}
        }
    }
}

/// The paths of two words or more in code.
fn paths_in(code: &str) -> Vec<Module> {
    code.split(|c: char| !(c.is_alphanumeric() || c == '_' || c == ':'))
        .map(|word| word.trim_matches(':'))
        .filter(|word| word.contains("::") && !word.contains(":::"))
        .map(module)
        .collect()
}

/// Drawing knows nothing of what is drawn, and only what shows pictures needs it, so both can be
/// left out (feature `paper`).
#[test]
fn what_draws_stands_apart() {
    let library = Library::read();
    let room = |path: &Module| path.first().cloned().unwrap_or_default();
    let mut checked = 0;
    for (file, needs) in &library.needs {
        for needed in needs {
            let (from, to) = (room(file), room(needed));
            checked += usize::from(from == "draw");
            let shows = ["draw", "charts", "sheets"].contains(&to.as_str());
            let may = ["draw", "charts", "sheets", "page", "bad_input", "inside"]
                .contains(&from.as_str());
            let plain = ["draw", "field", "units"].contains(&to.as_str());
            assert!(from != "draw" || plain, "{file:?} needs {needed:?}");
            assert!(!shows || may, "{file:?} needs {needed:?}");
        }
    }
    assert!(checked > 40, "only {checked} needs were found in draw");
}

#[test]
fn no_files_need_each_other_in_a_circle() {
    let library = Library::read();
    let circles = library.circles();
    assert!(
        circles.is_empty(),
        "these files need each other in a circle: {circles:?}"
    );
    // What the reading finds: a need written out, one through a name handed on, none where there
    // is none.
    let needs = |from: &str, to: &str| library.needs[&module(from)].contains(&module(to));
    assert!(needs("charts::shot", "charts::chart") && needs("charts::shot", "draw::theme"));
    assert!(needs("charts::pace", "window::aim") && !needs("draw::theme", "charts::chart"));
}
