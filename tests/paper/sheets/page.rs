//! Pages as poppler draws them at 300 dpi.

use std::path::Path;
use std::process::Command;

use kurbo::{Point, Rect, Vec2};

/// How true a print must be, mm: what a good ruler shows. At 300 dpi a pixel is 0.085 mm.
pub(crate) const TRUE_MM: f64 = 0.1;
/// Dots a millimetre at 300 dpi.
const DOTS_MM: f64 = 300.0 / 25.4;

pub(crate) fn run(program: &str, args: &[&str], folder: &Path) -> String {
    let output = Command::new(program)
        .args(args)
        .current_dir(folder)
        .output()
        .unwrap_or_else(|e| panic!("{program} (Debian: poppler-utils): {e}"));
    assert!(output.status.success(), "{program} {args:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// One page, or a strip across it, in grey, as poppler draws it.
pub(crate) struct Page {
    pub(crate) width: usize,
    /// First row that was drawn.
    top: usize,
    dots: Vec<u8>,
}

impl Page {
    pub(crate) fn new(pdf: &[u8], page: usize, folder: &Path) -> Self {
        Self::drawn(pdf, page, folder, None)
    }

    /// Only what lies between two heights, mm.
    pub(crate) fn strip(pdf: &[u8], page: usize, folder: &Path, from_to_mm: (f64, f64)) -> Self {
        Self::drawn(pdf, page, folder, Some(from_to_mm))
    }

    fn drawn(pdf: &[u8], page: usize, folder: &Path, strip_mm: Option<(f64, f64)>) -> Self {
        std::fs::write(folder.join("sheet.pdf"), pdf).unwrap();
        let number = page.to_string();
        let (top, rows) = strip_mm.map_or((0, 0), |(from, to)| {
            let dots = |mm: f64| (mm * DOTS_MM) as usize;
            (dots(from), dots(to) - dots(from) + 1)
        });
        let (y, height) = (top.to_string(), rows.to_string());
        let mut args = vec!["-r", "300", "-gray", "-singlefile", "-f", &number];
        if strip_mm.is_some() {
            args.extend(["-y", &y, "-H", &height]);
        }
        args.extend(["sheet.pdf", "page"]);
        run("pdftoppm", &args, folder);
        let bytes = std::fs::read(folder.join("page.pgm")).unwrap();
        // P5, width and height, 255: three lines of text, then the dots.
        let head: Vec<&[u8]> = bytes.splitn(4, |b| *b == b'\n').collect();
        let size = std::str::from_utf8(head[1]).unwrap();
        let width = size.split(' ').next().unwrap().parse().unwrap();
        Self {
            width,
            top,
            dots: head[3].to_vec(),
        }
    }

    /// How dark it is at a place in mm, 0 to 1, between the dots.
    pub(crate) fn dark(&self, at: Point) -> f64 {
        let (x, y) = (at.x * DOTS_MM - 0.5, at.y * DOTS_MM - 0.5);
        let (fx, fy) = (x - x.floor(), y - y.floor());
        let dot = |dx: usize, dy: usize| {
            let (x, y) = (x.floor() as usize + dx, y.floor() as usize + dy - self.top);
            1.0 - f64::from(self.dots[y * self.width + x]) / 255.0
        };
        let upper = (1.0 - fx) * dot(0, 0) + fx * dot(1, 0);
        let lower = (1.0 - fx) * dot(0, 1) + fx * dot(1, 1);
        (1.0 - fy) * upper + fy * lower
    }

    /// Where the middle of a line crosses a probe of ±`reach` mm through a place; mm from it.
    pub(crate) fn line_at(&self, at: Point, across: Vec2, reach_mm: f64) -> f64 {
        let (mut sum, mut moment) = (0.0, 0.0);
        let steps = 200;
        for i in -steps..=steps {
            let off = reach_mm * f64::from(i) / f64::from(steps);
            let dark = self.dark(at + across * off);
            sum += dark;
            moment += dark * off;
        }
        assert!(sum > 2.0, "no line at {at:?}");
        moment / sum
    }

    /// Longest dark runs of the rows between two heights in mm, each row's longest.
    pub(crate) fn longest_run_mm(&self, from_mm: f64, to_mm: f64) -> f64 {
        let rows = (from_mm * DOTS_MM) as usize..(to_mm * DOTS_MM) as usize;
        rows.map(|y| {
            let y = y - self.top;
            let row = &self.dots[y * self.width..(y + 1) * self.width];
            let runs = row.split(|d| *d > 127);
            runs.map(<[u8]>::len).max().unwrap_or(0)
        })
        .max()
        .map_or(0.0, |run| run as f64 / DOTS_MM)
    }
}

/// Numbers of an attribute of the first element after a marker.
pub(crate) fn numbers_after(svg: &str, marker: &str, attribute: &str) -> Vec<f64> {
    let from = svg.find(marker).expect(marker);
    let start = svg[from..].find(&format!(" {attribute}=\"")).unwrap() + from;
    let value = svg[start..].split('"').nth(1).unwrap();
    value
        .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter_map(|n| n.parse().ok())
        .collect()
}

/// The two blocks of every gap with its size in millimetres, as drawn.
pub(crate) fn gaps(svg: &str) -> Vec<(f64, Rect, Rect)> {
    let number = |text: &str, name: &str| -> f64 {
        let value = text.split(&format!(" {name}=\"")).nth(1).unwrap();
        value.split('"').next().unwrap().parse().unwrap()
    };
    svg.split("class=\"gap\"")
        .skip(1)
        .map(|rest| {
            let own = rest.split("</g>").next().unwrap();
            let blocks: Vec<Rect> = own
                .split("<rect")
                .skip(1)
                .map(|r| {
                    let (x, y) = (number(r, "x"), number(r, "y"));
                    Rect::new(x, y, x + number(r, "width"), y + number(r, "height"))
                })
                .collect();
            assert_eq!(blocks.len(), 2, "{own}");
            (number(rest, "data-gap-mm"), blocks[0], blocks[1])
        })
        .collect()
}

/// White between two blocks along a row: how light it is, over how light paper is, mm. Blur at an
/// edge takes from the one what it gives to the other.
pub(crate) fn white_mm(page: &Page, left: Rect, right: Rect) -> f64 {
    let y = left.center().y;
    let (from, to) = (left.x1 - 1.5, right.x0 + 1.5);
    let block = page.dark(Point::new(from, y));
    assert!(block > 0.5, "no block at {from} {y}");
    let steps = 4000;
    let step = (to - from) / f64::from(steps);
    let light = |i: i32| 1.0 - page.dark(Point::new(from + step * (f64::from(i) + 0.5), y)) / block;
    (0..steps).map(light).sum::<f64>() * step
}
