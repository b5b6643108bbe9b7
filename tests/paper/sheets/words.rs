//! All text can be selected, lies inside the margins and apart; plain sheets are plain.

use thincut::draw::pdf::Stamp;
use thincut::sheets::Style;

use super::page::run;
use super::samples::{sheets, styles};

/// Margin that printers leave, mm, less what letters may reach beyond their box.
const MARGIN_MM: f64 = 14.5;

#[test]
fn all_text_is_there_inside_the_margins_and_apart() {
    let folder = tempfile::tempdir().unwrap();
    for style in styles() {
        for ((name, sheet, _), (_, again, _)) in sheets(&style).into_iter().zip(sheets(&style)) {
            let svgs = again.svgs().unwrap();
            std::fs::write(
                folder.path().join("a.pdf"),
                sheet.pdf(Stamp::default()).unwrap(),
            )
            .unwrap();
            let squeeze = |t: &str| t.split_whitespace().collect::<String>();
            let text = squeeze(&run("pdftotext", &["-raw", "a.pdf", "-"], folder.path()));
            for words in svgs.iter().flat_map(|s| texts(s)) {
                assert!(
                    text.contains(&squeeze(&words)),
                    "{name} {style:?}: no \"{words}\""
                );
            }
            let boxes = run("pdftotext", &["-bbox", "a.pdf", "-"], folder.path());
            words_lie_well(&boxes, &style, name);
        }
    }
}

/// What the texts of an SVG say.
pub(crate) fn texts(svg: &str) -> Vec<String> {
    let inner = |t: &str| Some(t.split_once('>')?.1.split_once("</text>")?.0.to_owned());
    let plain = |t: String| {
        t.replace("&quot;", "\"")
            .replace("&lt;", "<")
            .replace("&gt;", ">")
    };
    svg.split("<text ")
        .skip(1)
        .filter_map(inner)
        .map(plain)
        .collect()
}

pub(crate) fn words_lie_well(boxes: &str, style: &Style, name: &str) {
    let (w, h) = style.paper.size_mm();
    for page in boxes.split("<page ").skip(1) {
        let words: Vec<([f64; 4], &str)> = page.split("<word ").skip(1).map(word).collect();
        assert!(!words.is_empty(), "{name}: a page without words");
        for (i, (a, text)) in words.iter().enumerate() {
            let inside = a[0] > MARGIN_MM && a[2] < w - MARGIN_MM && a[1] > 13.0 && a[3] < h - 13.0;
            assert!(inside, "{name} {style:?}: {text} at {a:?} mm");
            for (b, other) in &words[i + 1..] {
                // Boxes reach from ascent to descent: letters fill the middle of them.
                let shrink = |r: &[f64; 4]| {
                    let d = 0.25 * (r[3] - r[1]);
                    [r[0] + 0.2, r[1] + d, r[2] - 0.2, r[3] - d]
                };
                let (a, b) = (shrink(a), shrink(b));
                let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                assert!(apart, "{name} {style:?}: {text} and {other} overlap");
            }
        }
    }
}

fn word(text: &str) -> ([f64; 4], &str) {
    let (attributes, rest) = text.split_once('>').unwrap();
    let numbers: Vec<f64> = attributes
        .split('"')
        .filter_map(|n| n.parse::<f64>().ok())
        .map(|pt| pt * 25.4 / 72.0)
        .collect();
    let said = rest.split("</word>").next().unwrap();
    ([numbers[0], numbers[1], numbers[2], numbers[3]], said)
}

#[test]
fn plain_sheets_have_large_letters_and_no_degrees_or_decimals() {
    for style in styles().filter(|s| s.plain) {
        for (name, sheet, _) in sheets(&style) {
            for svg in sheet.svgs().unwrap() {
                for words in texts(&svg) {
                    let decimal = words
                        .as_bytes()
                        .windows(3)
                        .any(|w| w[0].is_ascii_digit() && w[1] == b'.' && w[2].is_ascii_digit());
                    assert!(!words.contains('°') && !decimal, "{name}: {words}");
                }
                for size in svg.split("font-size=\"").skip(1) {
                    let mm: f64 = size.split('"').next().unwrap().parse().unwrap();
                    // 16 pt, or the strip's 7.5 pt at the foot of each page.
                    let strip = (mm - 7.5 * 25.4 / 72.0).abs() < 1e-3;
                    assert!(strip || mm > 15.9 * 25.4 / 72.0, "{name}: {mm} mm");
                }
            }
        }
    }
}
