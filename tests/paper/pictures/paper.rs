//! True size, measured on what a printer would get: pages at 300 dpi.

use std::process::Command;

use kurbo::Point;
use thincut::draw::Paper;
use thincut::draw::canvas::{Paint, Stroke};
use thincut::draw::colour::Rgb;
use thincut::draw::pdf::Stamp;
use thincut::sheets::page::{BODY_PT, PLAIN_PT, cut_marks};
use thincut::sheets::{Sheet, SheetError};

/// Dots per millimetre at 300 dpi.
const DOTS_PER_MM: f64 = 300.0 / 25.4;
/// What the paper must keep.
const TRUE_MM: f64 = 0.1;
/// A ball, mm (WPA).
const BALL_MM: f64 = 57.15;

/// A PDF on disk for the tools to read.
pub(crate) struct PdfFile(tempfile::NamedTempFile);

impl PdfFile {
    pub(crate) fn path_str(&self) -> &str {
        self.0.path().to_str().expect("a plain path")
    }
}

pub(crate) fn pdf_file(bytes: &[u8]) -> PdfFile {
    let mut file = tempfile::Builder::new()
        .suffix(".pdf")
        .tempfile()
        .expect("a file");
    std::io::Write::write_all(&mut file, bytes).expect("written");
    PdfFile(file)
}

/// What a tool prints; a tool that is missing or complains fails the test.
pub(crate) fn output(tool: &str, args: &[&str]) -> String {
    let done = Command::new(tool)
        .args(args)
        .output()
        .unwrap_or_else(|e| panic!("{tool} is needed (Debian: poppler-utils, qpdf): {e}"));
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(done.status.success(), "{tool} {args:?}: {said}");
    String::from_utf8_lossy(&done.stdout).into_owned()
}

/// A grey page.
struct Page {
    width: usize,
    height: usize,
    grey: Vec<u8>,
}

impl Page {
    fn dark(&self, x: usize, y: usize) -> bool {
        self.grey[y * self.width + x] < 128
    }

    /// First and last dark column among rows between two heights, mm.
    fn dark_columns(&self, from_mm: f64, to_mm: f64) -> (f64, f64) {
        let rows = Self::dots(from_mm)..Self::dots(to_mm).min(self.height);
        let is_dark = |x: &usize| rows.clone().any(|y| self.dark(*x, y));
        let first = (0..self.width).find(is_dark).expect("something dark");
        let last = (0..self.width).rev().find(is_dark).expect("something dark");
        (Self::mm(first), Self::mm(last + 1))
    }

    /// First and last dark row of the whole width between two heights, mm.
    fn dark_rows(&self, from_mm: f64, to_mm: f64) -> (f64, f64) {
        let dark: Vec<usize> = (Self::dots(from_mm)..Self::dots(to_mm).min(self.height))
            .filter(|y| (0..self.width).any(|x| self.dark(x, *y)))
            .collect();
        (Self::mm(dark[0]), Self::mm(dark[dark.len() - 1] + 1))
    }

    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    fn dots(mm: f64) -> usize {
        (mm * DOTS_PER_MM).round() as usize
    }

    #[allow(clippy::cast_precision_loss)]
    fn mm(dots: usize) -> f64 {
        dots as f64 / DOTS_PER_MM
    }

    /// Lengths of the dark runs along one row, mm.
    fn runs(&self, at_mm: f64) -> Vec<f64> {
        let y = Self::dots(at_mm);
        let mut runs = Vec::new();
        let mut long = 0;
        for x in 0..self.width {
            if self.dark(x, y) {
                long += 1;
            } else if long > 0 {
                runs.push(Self::mm(long));
                long = 0;
            }
        }
        runs
    }
}

/// Renders one page at 300 dpi.
fn page(file: &PdfFile, number: usize) -> Page {
    let folder = tempfile::tempdir().expect("a folder");
    let stem = folder.path().join("page");
    let n = number.to_string();
    output(
        "pdftoppm",
        &[
            "-r",
            "300",
            "-gray",
            "-f",
            &n,
            "-l",
            &n,
            "-singlefile",
            file.path_str(),
            stem.to_str().expect("plain"),
        ],
    );
    let bytes = std::fs::read(stem.with_extension("pgm")).expect("a page");
    // P5, width height, 255, pixels.
    let mut fields = bytes.splitn(4, |b| b.is_ascii_whitespace());
    assert_eq!(fields.next(), Some(&b"P5"[..]));
    let mut read = || -> usize {
        std::str::from_utf8(fields.next().expect("field"))
            .expect("text")
            .parse()
            .expect("number")
    };
    let (width, height) = (read(), read());
    let grey = bytes[bytes.len() - width * height..].to_vec();
    Page {
        width,
        height,
        grey,
    }
}

fn sample(paper: Paper, body_pt: f64) -> Sheet {
    let mut sheet = Sheet::new(
        "Millpond Hall: a ball",
        "A ball at true size.",
        paper,
        body_pt,
    );
    let (canvas, strip) = sheet.reserve("the ball", 70.0).expect("fits");
    canvas.circle(
        strip.center(),
        0.5 * BALL_MM,
        &Paint::fill(Rgb(0x20, 0x20, 0x20)),
    );
    sheet.space(6.0);
    let (canvas, strip) = sheet.reserve("a piece to cut", 40.0).expect("fits");
    cut_marks(canvas, strip.inset(-6.0));
    canvas.line(
        Point::new(strip.x0 + 40.0, strip.center().y),
        Point::new(strip.x0 + 90.0, strip.center().y),
        &Stroke::new(Rgb::BLACK, 1.0),
    );
    sheet.heading("What is this?").expect("fits");
    for _ in 0..14 {
        sheet
            .paragraph(
                "Lay a ball on the disc: both have the same width. If they differ, the page was not \
                 printed at actual size, and nothing on it can be measured with. Supercalifragilistic\
                 expialidociousnessesofaverylongkindthatnopagecouldeverholdinasinglelineoftextatanysize!",
            )
            .expect("fits");
    }
    sheet
}

#[test]
fn a_ball_and_both_check_bars_have_their_true_size() {
    for paper in [Paper::A4, Paper::Letter] {
        let bytes = sample(paper, BODY_PT).pdf(Stamp::default()).expect("pdf");
        let file = pdf_file(&bytes);
        let (w_mm, h_mm) = paper.size_mm();
        let first = page(&file, 1);
        // The page itself, to the dot.
        assert!(
            (Page::mm(first.width) - w_mm).abs() < TRUE_MM,
            "{paper:?}: {}",
            Page::mm(first.width)
        );
        assert!((Page::mm(first.height) - h_mm).abs() < TRUE_MM);
        let (top, low) = (15.0, 85.0);
        let (left, right) = first.dark_columns(top, low);
        assert!(
            (right - left - BALL_MM).abs() < TRUE_MM,
            "{paper:?} across: {}",
            right - left
        );
        let (up, down) = first.dark_rows(top, low);
        assert!(
            (down - up - BALL_MM).abs() < TRUE_MM,
            "{paper:?} down: {}",
            down - up
        );
        let strip = h_mm - 15.0 - 19.0 + 2.5;
        for (bar, length) in [(6.5, 100.0), (11.5, 101.6)] {
            // From middle to middle of the end lines, each 0.4 mm thick.
            let longest = first.runs(strip + bar).into_iter().fold(0.0, f64::max) - 0.4;
            assert!(
                (longest - length).abs() < TRUE_MM,
                "{paper:?}: bar of {length} is {longest}"
            );
        }
    }
}

#[test]
fn long_text_runs_over_pages_inside_the_margins_and_can_be_selected() {
    for (paper, body) in [(Paper::A4, BODY_PT), (Paper::Letter, PLAIN_PT)] {
        let sheet = sample(paper, body);
        let room = sheet.room();
        let count = sheet.page_count();
        assert!(count >= 2, "{count} pages");
        for svg in sheet.svgs().expect("pages") {
            super::svg::assert_texts_are_clear(&svg);
            let doc = super::svg::parse(&svg);
            let wide = super::svg::canvas(&doc).inset(-14.9);
            for label in super::svg::labels(&doc) {
                assert!(
                    wide.contains_rect(label.bounds),
                    "{label:?} beyond the margin {room:?}"
                );
            }
        }
        let bytes = sample(paper, body).pdf(Stamp::default()).expect("pdf");
        assert!(
            bytes == sample(paper, body).pdf(Stamp::default()).expect("pdf"),
            "same bytes"
        );
        let file = pdf_file(&bytes);
        if let Some(folder) = std::env::var_os("PICTURES_OUT") {
            let name = format!("sheet-{}.pdf", paper.name());
            std::fs::write(std::path::Path::new(&folder).join(name), &bytes).expect("kept");
        }
        let words = output("pdftotext", &["-layout", file.path_str(), "-"]);
        for wanted in [
            "What is this?",
            "Print at actual size",
            "100 mm",
            "4 in",
            &format!("page 1 of {count}"),
            &format!("page {count} of {count}"),
            "both have the same width",
        ] {
            let flat = words.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(flat.contains(wanted), "{wanted:?} missing in {flat}");
        }
        let info = output("pdfinfo", &[file.path_str()]);
        assert!(info.contains("Millpond Hall: a ball"), "{info}");
        output("qpdf", &["--check", file.path_str()]);
    }
}

#[test]
fn what_does_not_fit_is_refused() {
    let mut sheet = Sheet::new("t", "d", Paper::Letter, BODY_PT);
    let said = sheet
        .reserve("the rose", 400.0)
        .map(|_| ())
        .expect_err("too high");
    assert!(matches!(said, SheetError::TooLarge { .. }));
    assert!(said.to_string().contains("the rose"), "{said}");
    let none = Sheet::new("Nothing", "d", Paper::A4, BODY_PT).pdf(Stamp::default());
    assert_eq!(none.err(), Some(SheetError::Empty("Nothing".to_owned())));
}
