//! The files: the same bytes every time, tagged, with title, language and date.

use thincut::draw::pdf::Stamp;
use thincut::sheets::Style;

use super::page::run;
use super::samples::{sheets, styles};

#[test]
fn the_same_bytes_every_time() {
    let style = Style::default();
    for ((name, a, _), (_, b, _)) in sheets(&style).into_iter().zip(sheets(&style)) {
        let (a, b) = (
            a.pdf(Stamp::default()).unwrap(),
            b.pdf(Stamp::default()).unwrap(),
        );
        assert!(a == b, "{name}");
        let text = String::from_utf8_lossy(&a);
        assert!(text.contains("/Lang") && text.contains("/Title"), "{name}");
    }
}

#[test]
fn files_say_title_language_and_date_and_embed_their_fonts() {
    let folder = tempfile::tempdir().unwrap();
    // 2001-09-09 01:46:40 UTC, the billionth second of Unix time.
    let stamp = Stamp::from_epoch_text(Some("1000000000")).unwrap();
    for (name, sheet, count) in sheets(&Style::default()) {
        std::fs::write(folder.path().join("a.pdf"), sheet.pdf(stamp).unwrap()).unwrap();
        run("qpdf", &["--check", "a.pdf"], folder.path());
        let info = run("pdfinfo", &["-isodates", "a.pdf"], folder.path());
        let line = |key: &str| {
            let all = info.lines().find_map(|l| l.strip_prefix(key));
            all.unwrap_or_else(|| panic!("{name}: no {key} in {info}"))
                .trim()
                .to_owned()
        };
        assert!(!line("Title:").is_empty(), "{name}");
        assert_eq!(line("Tagged:"), "yes", "{name}");
        assert_eq!(line("Pages:"), count.to_string(), "{name}");
        assert_eq!(line("CreationDate:"), "2001-09-09T01:46:40Z", "{name}");
        let fonts = run("pdffonts", &["a.pdf"], folder.path());
        for font in fonts.lines().skip(2) {
            // name, type, encoding, embedded, subset, Unicode map
            assert!(
                font.contains("Identity-H") && font.contains("yes yes yes"),
                "{font}"
            );
        }
        assert!(fonts.lines().count() > 2, "{name}: {fonts}");
        let bytes = std::fs::read(folder.path().join("a.pdf")).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        let catalog = text.split("/Type /Catalog").nth(1).unwrap();
        let catalog = catalog.split("endobj").next().unwrap();
        for entry in [
            "/Lang (en)",
            "/DisplayDocTitle true",
            "/Marked true",
            "/StructTreeRoot ",
            "/Metadata ",
        ] {
            assert!(catalog.contains(entry), "{name}: no {entry} in {catalog}");
        }
    }
}

/// Readers that speak get every word in order: one sheet's heading first, tables as tables, pictures
/// in words. Poppler reads the tree back.
#[test]
fn every_part_is_tagged() {
    let folder = tempfile::tempdir().unwrap();
    for style in styles() {
        for (name, sheet, _) in sheets(&style) {
            let pdf = sheet.pdf(Stamp::default()).unwrap();
            std::fs::write(folder.path().join("a.pdf"), pdf).unwrap();
            let tree = run("pdfinfo", &["-struct-text", "a.pdf"], folder.path());
            let lines: Vec<&str> = tree.lines().map(str::trim_start).collect();
            assert!(lines[0].starts_with("Document"), "{name}: {tree}");
            assert!(lines[1].starts_with("H1"), "{name}: {tree}");
            let count = |what: &str| lines.iter().filter(|l| l.starts_with(what)).count();
            assert_eq!(count("H1"), 1, "{name}");
            assert!(count("P (block)") > 0, "{name}: {tree}");
            if ["pocket", "scale", "card", "room", "lesson"].contains(&name) {
                assert!(count("Table") > 0 && count("TH") > 1, "{name}: {tree}");
            }
            if !["card", "room"].contains(&name) {
                assert!(count("Figure") > 0, "{name}: {tree}");
            }
            // All that is printed is in the tree, but for the strip below each page.
            let squeeze = |t: &str| t.split_whitespace().collect::<String>();
            let said = squeeze(&tree.replace('"', ""));
            let printed = run("pdftotext", &["-raw", "a.pdf", "-"], folder.path());
            let first = printed.lines().next().unwrap();
            assert!(
                said.contains(&squeeze(first)),
                "{name}: no {first} in {tree}"
            );
            assert!(!said.contains("page1of"), "{name}: {tree}");
        }
    }
}
