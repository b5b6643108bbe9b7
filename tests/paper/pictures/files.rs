//! SVG, PNG and PDF of the same picture.

use std::path::Path;

use thincut::draw::pdf::Stamp;
use thincut::draw::render::{Format, encode};
use thincut::draw::{Paper, Size, png};

use super::paper::{output, pdf_file};
use super::samples;

#[test]
fn png_has_the_size_asked_for_and_something_on_it() {
    for (name, picture) in samples::all("1200x800") {
        let bytes = png(&picture.svg, 1.0).expect("png");
        assert_eq!(bytes[..8], *b"\x89PNG\r\n\x1a\n", "{name}");
        let side = |at: usize| {
            u32::from_be_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]])
        };
        assert_eq!((side(16), side(20)), (1200, 800), "{name}");
        let tree_pixels = resvg::tiny_skia::Pixmap::decode_png(&bytes).expect("decodes");
        let inked = tree_pixels
            .pixels()
            .iter()
            .filter(|p| p.red() < 128)
            .count();
        assert!(inked > 2000, "{name}: only {inked} dark pixels");
        if let Some(folder) = std::env::var_os("PICTURES_OUT") {
            std::fs::write(Path::new(&folder).join(format!("{name}.png")), &bytes).expect("kept");
        }
    }
}

#[test]
fn pdf_is_the_same_every_time_and_opens() {
    for (name, picture) in samples::all("1200x800") {
        let make = || encode(&picture, Format::Pdf, Paper::A4, Stamp::default()).expect("pdf");
        let first = make();
        for _ in 0..6 {
            assert!(first == make(), "{name}: bytes differ from run to run");
        }
        let file = pdf_file(&first);
        let words = output("pdftotext", &[file.path_str(), "-"]);
        let flat: String = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let head: String = picture
            .title
            .split(' ')
            .take(3)
            .collect::<Vec<_>>()
            .join(" ");
        assert!(flat.contains(&head), "{name}: {flat}");
        let fonts = output("pdffonts", &[file.path_str()]);
        let rows: Vec<&str> = fonts.lines().skip(2).collect();
        assert!(!rows.is_empty(), "{name}: no fonts");
        for row in rows {
            // Columns: name, type, encoding, emb, sub, uni; a subset name carries a tag and a plus.
            assert!(
                row.contains("+DejaVuSans") && row.contains("yes yes yes"),
                "{name}: {row}"
            );
        }
        output("qpdf", &["--check", file.path_str()]);
    }
}

#[test]
fn pdf_tells_title_language_and_date() {
    let picture = samples::heat().draw(Size::default()).expect("drawn");
    let stamp = Stamp::from_epoch_text(Some("951826154")).expect("a time");
    let bytes = encode(&picture, Format::Pdf, Paper::Letter, stamp).expect("pdf");
    let file = pdf_file(&bytes);
    let info = output("pdfinfo", &["-rawdates", file.path_str()]);
    assert!(
        info.contains("Where is the room: cut or distance?"),
        "{info}"
    );
    // 951826154 s after 1970 is 2000-02-29 12:09:14 UTC (date -u -d @951826154).
    assert!(info.contains("20000229120914"), "{info}");
    assert!(
        info.contains("792 x 612"),
        "wide pictures lie on their side: {info}"
    );
    assert!(bytes.windows(10).any(|w| w == b"/Lang (en)"), "language");
}

#[test]
fn dates_sizes_papers_and_endings_are_checked() {
    assert_eq!(Stamp::from_epoch_text(None).ok(), Some(Stamp::default()));
    for wrong in ["", "now", "-1", "1.5", "253402300800"] {
        let said = Stamp::from_epoch_text(Some(wrong))
            .expect_err(wrong)
            .to_string();
        assert!(
            said.contains("SOURCE_DATE_EPOCH") && said.contains(wrong),
            "{said}"
        );
    }
    let size = |s: &str| s.parse::<Size>().map_err(|e| e.to_string());
    assert_eq!(
        size("320x240"),
        Ok(Size {
            width_px: 320,
            height_px: 240
        })
    );
    assert_eq!(
        size("8000x8000"),
        Ok(Size {
            width_px: 8000,
            height_px: 8000
        })
    );
    for wrong in [
        "",
        "1200",
        "1200x",
        "axb",
        "319x240",
        "320x239",
        "8001x800",
        "-5x900",
        "1e3x900",
        "1200x800x2",
    ] {
        let said = size(wrong).expect_err(wrong);
        assert!(
            said.contains(&format!("`{wrong}`")) && said.contains("1200x800"),
            "{said}"
        );
    }
    assert_eq!("A4".parse::<Paper>().ok(), Some(Paper::A4));
    let said = "a5".parse::<Paper>().expect_err("a5").to_string();
    assert!(said.contains("a5") && said.contains("letter"), "{said}");
    assert_eq!(
        Format::from_path(Path::new("x/y.PDF")).ok(),
        Some(Format::Pdf)
    );
    for wrong in ["picture", "picture.jpg", ".svg"] {
        let said = Format::from_path(Path::new(wrong))
            .expect_err(wrong)
            .to_string();
        assert!(said.contains(wrong) && said.contains(".png"), "{said}");
    }
}

#[test]
fn the_smallest_picture_still_draws_or_says_why_not() {
    for chart in [samples::lines(false), samples::lines(true)] {
        match chart.draw(samples::size("320x240")) {
            Ok(p) => super::svg::assert_texts_are_clear(&p.svg),
            Err(e) => assert!(e.to_string().contains("try size "), "{e}"),
        }
    }
}
