//! README and the manual are true: every command in them runs, and prints what it says it prints.
//!
//! A block marked `console` holds commands after `$ ` and their output; a line `…` stands for any
//! lines left out. The blocks of a page run in order in one empty folder with an empty log.
//! `THINCUT_UPDATE=1 cargo test --test repository readme` writes whole outputs anew (blocks without `…`).

use std::path::{Path, PathBuf};
use std::process::Command;

/// A command with the output README gives for it.
struct Example {
    command: String,
    output: Vec<String>,
}

fn readme() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")
}

fn examples(text: &str) -> Vec<Example> {
    let mut out: Vec<Example> = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        match line {
            "```console" => inside = true,
            "```" => inside = false,
            _ if !inside => {}
            _ => match (line.strip_prefix("$ "), out.last_mut()) {
                (Some(command), _) => {
                    out.push(Example {
                        command: command.to_owned(),
                        output: Vec::new(),
                    });
                }
                (None, Some(example)) => example.output.push(line.to_owned()),
                (None, None) => panic!("a console block starts with a command: {line}"),
            },
        }
    }
    out
}

/// Commands in sentences, and in blocks that are typed but not compared.
fn mentioned(text: &str) -> Vec<&str> {
    let mut fence = None;
    let mut out = Vec::new();
    for line in text.lines() {
        match (line.strip_prefix("```"), fence) {
            (Some(kind), None) => fence = Some(kind),
            (Some(_), Some(_)) => fence = None,
            (None, None) => out.extend(line.split('`').skip(1).step_by(2)),
            (None, Some("sh")) => out.push(line.split(" #").next().unwrap_or(line).trim()),
            (None, Some(_)) => {}
        }
    }
    out.retain(|command| command.starts_with("thincut "));
    out
}

/// Runs a line of shell with the program just built on the path.
fn run(line: &str, folder: &Path) -> String {
    let program = Path::new(env!("CARGO_BIN_EXE_thincut"));
    let path = format!(
        "{}:{}",
        program.parent().expect("a folder").display(),
        std::env::var("PATH").unwrap_or_default()
    );
    let out = Command::new("bash")
        .args(["-o", "pipefail", "-c", line])
        .current_dir(folder)
        .env("PATH", path)
        .env("HOME", folder)
        .env("XDG_DATA_HOME", folder.join("data"))
        .env("XDG_CONFIG_HOME", folder.join("config"))
        .env("SOURCE_DATE_EPOCH", "0")
        .env_remove("THINCUT_GEAR")
        .env_remove("THINCUT_UNITS")
        .env_remove("THINCUT_LOG")
        .output()
        .expect("bash runs");
    assert!(
        out.status.success(),
        "`{line}` failed: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    String::from_utf8(out.stdout).expect("UTF-8")
}

fn matches(expected: &[String], printed: &[&str]) -> bool {
    match expected.split_first() {
        None => printed.is_empty(),
        Some((first, rest)) if first == "…" => {
            (0..=printed.len()).any(|k| matches(rest, &printed[k..]))
        }
        Some((first, rest)) => {
            printed
                .first()
                .is_some_and(|p| p.trim_end() == first.trim_end())
                && matches(rest, &printed[1..])
        }
    }
}

/// Runs what a page says, and compares; writes whole outputs anew when asked to.
fn is_true(page: &Path) {
    let name = page.display();
    let mut text = std::fs::read_to_string(page).unwrap_or_else(|e| panic!("{name}: {e}"));
    let update = std::env::var_os("THINCUT_UPDATE").is_some();
    let folder = tempfile::tempdir().expect("a temporary folder");
    let all = examples(&text);
    assert!(!all.is_empty(), "{name} has no examples");
    for example in &all {
        let printed = run(&example.command, folder.path());
        let lines: Vec<&str> = printed.lines().collect();
        if update && !example.output.iter().any(|l| l == "…") {
            let old = format!(
                "$ {}\n{}",
                example.command,
                example
                    .output
                    .iter()
                    .map(|l| format!("{l}\n"))
                    .collect::<String>()
            );
            text = text.replacen(&old, &format!("$ {}\n{printed}", example.command), 1);
        } else {
            assert!(
                matches(&example.output, &lines),
                "{name} says of `{}`:\n{}\nbut it prints:\n{printed}",
                example.command,
                example.output.join("\n")
            );
        }
    }
    for command in mentioned(&text) {
        run(&format!("{command} --help"), folder.path());
    }
    if update {
        std::fs::write(page, &text).unwrap_or_else(|e| panic!("{name}: {e}"));
    }
}

#[test]
fn every_command_prints_what_readme_says() {
    is_true(&readme());
}

/// The pages of the manual that have commands; the first page only leads to them.
#[test]
fn every_command_prints_what_the_manual_says() {
    let manual = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs");
    let contents = std::fs::read_to_string(manual.join("README.md")).expect("docs/README.md");
    let mut pages = 0;
    for entry in std::fs::read_dir(&manual).expect("docs") {
        let page = entry.expect("a page").path();
        let name = page.file_name().unwrap_or_default().to_string_lossy();
        if name == "README.md" {
            continue;
        }
        assert!(
            contents.contains(name.as_ref()),
            "{name} is not in docs/README.md"
        );
        is_true(&page);
        pages += 1;
    }
    assert!(pages >= 4, "{pages}");
}

/// The two commands that do everything stand in README as they are.
#[test]
fn the_two_commands_are_there() {
    let text = std::fs::read_to_string(readme()).expect("README.md");
    for command in ["cargo run --release -- survey", "bash tests/run.sh"] {
        assert!(text.contains(command), "README lost `{command}`");
    }
    let survey = run(
        "thincut survey",
        tempfile::tempdir().expect("a folder").path(),
    );
    assert!(survey.contains("survey-pool-9ft.csv"), "{survey}");
}
