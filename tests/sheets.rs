//! Paper, measured: every sheet is drawn by poppler (pdftoppm, pdftotext), not by our own code.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "dots of a page"
)]

use std::path::Path;
use std::process::Command;

use assert_cmd::cargo::cargo_bin_cmd;
use kurbo::{Point, Vec2};
use thincut::charts::pdf::Stamp;
use thincut::charts::render::Paper;
use thincut::gear::Gear;
use thincut::ladder::{
    LadderAnswer, MarksAnswer, MarksWishes, Wishes, ladder, marks, rotation, students,
};
use thincut::player::{Level, Player};
use thincut::pocket::PocketKind;
use thincut::sheets::booklet::{BookletError, ladder_sheet, marks_sheet};
use thincut::sheets::card::{CARD_MM, Card, card_sheet};
use thincut::sheets::pocket::pocket_sheet;
use thincut::sheets::rose::{RINGS_MM, Rose, RoseError, rose_sheet};
use thincut::sheets::scale::{ROOM_MM, scale_sheet};
use thincut::sheets::{Sheet, SheetError, Style};
use thincut::units::UnitSystem;
use thincut::window::Stroke;

/// How true a print must be, mm: what a good ruler shows. At 300 dpi a pixel is 0.085 mm.
const TRUE_MM: f64 = 0.1;
/// Dots a millimetre at 300 dpi.
const DOTS_MM: f64 = 300.0 / 25.4;
/// Margin that printers leave, mm, less what letters may reach beyond their box.
const MARGIN_MM: f64 = 14.5;

fn gear() -> Gear {
    Gear::preset("pool-9ft").unwrap()
}

fn club() -> Player {
    Player {
        error: Level::Club.aim_error(),
        who: Level::Club.spoken(),
        assumed: true,
    }
}

fn styles() -> impl Iterator<Item = Style> {
    let units = UnitSystem::Metric;
    [Paper::A4, Paper::Letter]
        .into_iter()
        .flat_map(move |paper| {
            [false, true].map(|plain| Style {
                paper,
                plain,
                units,
            })
        })
}

fn ladder_answer() -> LadderAnswer {
    let wishes = Wishes::new(Level::Club.aim_error());
    LadderAnswer::new(
        &gear(),
        &ladder(&gear(), &wishes).unwrap(),
        &club(),
        UnitSystem::Metric,
    )
}

fn marks_answer() -> MarksAnswer {
    let group = students(
        &["A=first-evening,B=starting,C=club,D=club".to_owned()],
        &|_| Err("unknown".to_owned()),
    )
    .unwrap();
    let labels: Vec<String> = group.iter().map(|s| s.label.clone()).collect();
    let wishes = MarksWishes {
        chance: 0.7,
        object: None,
        pocket: None,
        stroke: Stroke::default(),
    };
    let turns = rotation(&labels, 2, 30).unwrap();
    MarksAnswer::new(
        &gear(),
        &marks(&gear(), &group, &wishes).unwrap(),
        &group,
        turns,
    )
}

/// All sheets in a style, with the number of pages each must have.
fn sheets(style: &Style) -> Vec<(&'static str, Sheet, usize)> {
    let (gear, card) = (
        gear(),
        Card {
            player: Some(club()),
            ..Card::default()
        },
    );
    vec![
        ("pocket", pocket_sheet(&gear, style).unwrap(), 2),
        (
            "rose",
            rose_sheet(&gear, &Rose::default(), style).unwrap(),
            1,
        ),
        ("scale", scale_sheet(&gear, 1.0, style).unwrap(), 1),
        (
            "room",
            card_sheet(&gear, &Card::default(), style).unwrap(),
            1,
        ),
        ("card", card_sheet(&gear, &card, style).unwrap(), 1),
        (
            "ladder",
            ladder_sheet(&gear, &ladder_answer(), Some("K7Q2"), style).unwrap(),
            if style.plain { 4 } else { 3 },
        ),
        (
            "marks",
            marks_sheet(&gear, &marks_answer(), Some("M4T9"), style).unwrap(),
            1,
        ),
    ]
}

fn run(program: &str, args: &[&str], folder: &Path) -> String {
    let output = Command::new(program)
        .args(args)
        .current_dir(folder)
        .output()
        .unwrap_or_else(|e| panic!("{program} (Debian: poppler-utils): {e}"));
    assert!(output.status.success(), "{program} {args:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// One page in grey, as poppler draws it.
struct Page {
    width: usize,
    dots: Vec<u8>,
}

impl Page {
    fn new(pdf: &[u8], page: usize, folder: &Path) -> Self {
        std::fs::write(folder.join("sheet.pdf"), pdf).unwrap();
        let number = page.to_string();
        let args = [
            "-r",
            "300",
            "-gray",
            "-singlefile",
            "-f",
            &number,
            "sheet.pdf",
            "page",
        ];
        run("pdftoppm", &args, folder);
        let bytes = std::fs::read(folder.join("page.pgm")).unwrap();
        // P5, width and height, 255: three lines of text, then the dots.
        let head: Vec<&[u8]> = bytes.splitn(4, |b| *b == b'\n').collect();
        let size = std::str::from_utf8(head[1]).unwrap();
        let width = size.split(' ').next().unwrap().parse().unwrap();
        Self {
            width,
            dots: head[3].to_vec(),
        }
    }

    /// How dark it is at a place in mm, 0 to 1, between the dots.
    fn dark(&self, at: Point) -> f64 {
        let (x, y) = (at.x * DOTS_MM - 0.5, at.y * DOTS_MM - 0.5);
        let (fx, fy) = (x - x.floor(), y - y.floor());
        let dot = |dx: usize, dy: usize| {
            let (x, y) = (x.floor() as usize + dx, y.floor() as usize + dy);
            1.0 - f64::from(self.dots[y * self.width + x]) / 255.0
        };
        let upper = (1.0 - fx) * dot(0, 0) + fx * dot(1, 0);
        let lower = (1.0 - fx) * dot(0, 1) + fx * dot(1, 1);
        (1.0 - fy) * upper + fy * lower
    }

    /// Where the middle of a line crosses a probe of ±`reach` mm through a place; mm from it.
    fn line_at(&self, at: Point, across: Vec2, reach_mm: f64) -> f64 {
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
    fn longest_run_mm(&self, from_mm: f64, to_mm: f64) -> f64 {
        let rows = (from_mm * DOTS_MM) as usize..(to_mm * DOTS_MM) as usize;
        rows.map(|y| {
            let row = &self.dots[y * self.width..(y + 1) * self.width];
            let runs = row.split(|d| *d > 127);
            runs.map(<[u8]>::len).max().unwrap_or(0)
        })
        .max()
        .map_or(0.0, |run| run as f64 / DOTS_MM)
    }
}

/// Numbers of an attribute of the first element after a marker.
fn numbers_after(svg: &str, marker: &str, attribute: &str) -> Vec<f64> {
    let from = svg.find(marker).expect(marker);
    let start = svg[from..].find(&format!(" {attribute}=\"")).unwrap() + from;
    let value = svg[start..].split('"').nth(1).unwrap();
    value
        .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter_map(|n| n.parse().ok())
        .collect()
}

fn circle_after(svg: &str, marker: &str) -> (Point, f64) {
    let one = |name| numbers_after(svg, marker, name)[0];
    (Point::new(one("cx"), one("cy")), one("r"))
}

#[test]
fn check_bars_are_true_on_every_page() {
    let folder = tempfile::tempdir().unwrap();
    for style in styles() {
        let height = style.paper.size_mm().1;
        for (name, sheet, count) in sheets(&style) {
            assert_eq!(sheet.page_count(), count, "{name} {style:?}");
            let pdf = sheet.pdf(Stamp::default()).unwrap();
            let page = Page::new(&pdf, count, folder.path());
            // The bars lie 6.5 and 11.5 mm below the strip's top, 31.5 mm above the paper's end.
            let metric = page.longest_run_mm(height - 27.0, height - 23.5);
            let inches = page.longest_run_mm(height - 22.0, height - 18.0);
            assert!(
                (metric - 100.0).abs() < TRUE_MM,
                "{name} {style:?}: {metric} mm"
            );
            assert!(
                (inches - 101.6).abs() < TRUE_MM,
                "{name} {style:?}: {inches} mm"
            );
        }
    }
}

#[test]
fn ball_and_rings_of_the_rose_are_true() {
    let folder = tempfile::tempdir().unwrap();
    for style in styles() {
        let rose = || rose_sheet(&gear(), &Rose::default(), &style).unwrap();
        let svg = rose().svgs().unwrap().swap_remove(0);
        let page = Page::new(&rose().pdf(Stamp::default()).unwrap(), 1, folder.path());
        let (object, radius) = circle_after(&svg, "class=\"object ball\"");
        assert!((2.0 * radius - 57.15).abs() < 1e-3, "{radius}");
        let ghost = circle_after(&svg, "class=\"ghost ball\"").0;
        assert!((object.distance(ghost) - 57.15).abs() < 2e-3);
        let mut diameter = 2.0 * radius;
        for deg in [0.0_f64, 180.0] {
            let out = Vec2::from_angle(deg.to_radians());
            // Grey inside: the steepest place outwards is the rim, whose middle is the radius.
            diameter += rim(&page, object, out, radius) - radius;
        }
        assert!((diameter - 57.15).abs() < TRUE_MM, "{style:?}: {diameter}");
        // Between the outermost petal and the rings' ends, where only rings are.
        for ring in RINGS_MM {
            for side in [-1.0, 1.0] {
                let out = Vec2::from_angle((90.0 + side * 82.0_f64).to_radians());
                let off = page.line_at(ghost + out * ring, out, 0.8);
                assert!(
                    off.abs() < TRUE_MM,
                    "{style:?}: ring {ring} is off by {off}"
                );
            }
        }
    }
}

/// Middle of the rim: halfway between where darkness passes half on both sides, mm from the middle.
fn rim(page: &Page, middle: Point, out: Vec2, radius: f64) -> f64 {
    let dark = |i: i32| page.dark(middle + out * (radius - 1.0 + 0.005 * f64::from(i)));
    let hits: Vec<i32> = (0..400).filter(|i| dark(*i) > 0.5).collect();
    let (first, last) = (hits[0], hits[hits.len() - 1]);
    radius - 1.0 + 0.0025 * f64::from(first + last)
}

#[test]
fn petals_are_as_wide_as_the_room() {
    let petals = Rose::default().petals(&gear(), false).unwrap();
    assert_eq!(petals.len(), 11);
    for (left, right) in petals.iter().zip(petals.iter().rev()) {
        assert!((left.cut_rad + right.cut_rad).abs() < 1e-12);
        for (l, r) in left.room_m.iter().zip(right.room_m) {
            // Mirrored shots: the room changes sides.
            let ((a, b), (c, d)) = (l.unwrap(), r.unwrap());
            assert!(
                (a - d).abs() < 1e-7 && (b - c).abs() < 1e-7,
                "{left:?} {right:?}"
            );
        }
        for (near, far) in left.room_m.iter().zip(&left.room_m[1..]) {
            assert!(
                near.unwrap().0 > far.unwrap().0,
                "farther is narrower: {left:?}"
            );
        }
    }
}

/// A full hit worked out on paper. The ball leaves the slate at (x, y) in the pocket's frame, where
/// y = (0.4 m + x) tan δ and (x_c − x)² + y² = r²; it is untouched while the facing, which closes by
/// c, stays ρ away: (m/2 − x tan c − y) cos c = ρ. A direction δ asks for D sin δ at the ghost ball.
#[test]
fn the_full_hit_has_the_room_worked_out_on_paper() {
    // Throw is left out on paper, so here too.
    let mut gear = gear();
    gear.contact.friction_scale = 0.0;
    let spec = &gear.corner;
    let closing = spec.facing_angle_rad - 0.75 * std::f64::consts::PI;
    let middle = spec.shelf_m + spec.cutout_radius_m;
    let mut x = spec.shelf_m;
    let mut y = 0.0;
    for _ in 0..50 {
        y = 0.5 * spec.mouth_m - x * closing.tan() - gear.object_contact_radius_m() / closing.cos();
        x = middle - (spec.cutout_radius_m.powi(2) - y * y).sqrt();
    }
    let expected = gear.contact_distance_m() * (y / (0.4 + x)).atan().sin();
    let petals = Rose::default().petals(&gear, false).unwrap();
    let (left, right) = petals[5].room_m[0].unwrap();
    // The window is an angle times the way of the cue ball: tan θ ≈ θ to 1 in 10⁵ here.
    assert!((left - right).abs() < 1e-7);
    assert!(
        (left / expected - 1.0).abs() < 1e-3,
        "{left} against {expected}"
    );
}

#[test]
fn pocket_outlines_are_true() {
    let folder = tempfile::tempdir().unwrap();
    let gear = gear();
    for style in styles() {
        let svgs = pocket_sheet(&gear, &style).unwrap().svgs().unwrap();
        let pdf = pocket_sheet(&gear, &style)
            .unwrap()
            .pdf(Stamp::default())
            .unwrap();
        for (k, kind) in [PocketKind::Corner, PocketKind::Side]
            .into_iter()
            .enumerate()
        {
            let flat = numbers_after(&svgs[k], "class=\"pocket\"", "d");
            let points: Vec<Point> = flat.chunks(2).map(|p| Point::new(p[0], p[1])).collect();
            same_as_gear(&gear, kind, &points);
            let page = Page::new(&pdf, k + 1, folder.path());
            for pair in points.windows(2) {
                let along = pair[1] - pair[0];
                // At the middle of an edge, off the ends of arrows.
                let at = pair[0].midpoint(pair[1]);
                let across = Vec2::new(-along.y, along.x).normalize();
                let jaws = [2, 3, points.len() - 4, points.len() - 3];
                let corners = jaws.map(|i| at.distance(points[i]));
                let alone = corners.iter().all(|d| *d > 6.0);
                let shelf = (at.x - 0.5 * style.paper.size_mm().0).abs() < 8.0;
                if alone && !shelf && along.hypot() > 0.5 {
                    let off = page.line_at(at, across, 0.6);
                    assert!(off.abs() < TRUE_MM, "{style:?} {kind} {at:?}: {off}");
                }
            }
        }
    }
}

/// The outline against the gear's own numbers: mouth, facing angle, shelf, cut-out.
fn same_as_gear(gear: &Gear, kind: PocketKind, points: &[Point]) {
    let spec = kind.spec(gear);
    // Front corner, rail's end, jaw point, facing's end, arc …, facing's end, jaw, rail, corner.
    let n = points.len();
    let (rail, jaw, facing) = (points[1], points[2], points[3]);
    let mouth = jaw.distance(points[n - 3]);
    assert!(
        (mouth - 1e3 * spec.mouth_m).abs() < 5e-3,
        "{kind} mouth {mouth}"
    );
    let (a, b) = (rail - jaw, facing - jaw);
    let angle = (a.dot(b) / (a.hypot() * b.hypot())).acos();
    // Coordinates carry three decimals: 1 µm at 40 mm is 25 µrad.
    let off = (angle - spec.facing_angle_rad).abs();
    assert!(off < 1e-4, "{kind}: {} degrees", angle.to_degrees());
    let middle = jaw.midpoint(points[n - 3]);
    let centre = middle - Vec2::new(0.0, 1e3 * (spec.shelf_m + spec.cutout_radius_m));
    for p in &points[3..n - 3] {
        let radius = p.distance(centre);
        assert!(
            (radius - 1e3 * spec.cutout_radius_m).abs() < 0.01,
            "{kind} cut-out {radius}"
        );
    }
    let deepest = points[4..n - 4].iter().map(|p| p.y).fold(0.0, f64::max);
    let shelf = middle.y - deepest;
    assert!(
        (shelf - 1e3 * spec.shelf_m).abs() < 0.02,
        "{kind} shelf {shelf}"
    );
}

#[test]
fn scale_spacers_and_card_are_true() {
    let folder = tempfile::tempdir().unwrap();
    for style in styles() {
        let scale = || scale_sheet(&gear(), 1.0, &style).unwrap();
        let svg = scale().svgs().unwrap().swap_remove(0);
        let page = Page::new(&scale().pdf(Stamp::default()).unwrap(), 1, folder.path());
        let start = numbers_after(&svg, "class=\"scale\"", "d");
        // The first mark is −80 on the right; the last +80: long marks every ten.
        let (right, y) = (start[0], start[1] + 8.0);
        for tens in 0..=16 {
            let at = Point::new(right - 10.0 * f64::from(tens), y);
            let off = page.line_at(at, Vec2::new(1.0, 0.0), 0.4);
            assert!(off.abs() < TRUE_MM, "{style:?} {tens}: {off}");
        }
        let mut rest = svg.as_str();
        for room in ROOM_MM {
            let from = rest.find("class=\"spacer\"").unwrap();
            rest = &rest[from..];
            let width = numbers_after(rest, "class=\"spacer\"", "width")[0];
            assert!((width - (57.15 + 2.0 * room)).abs() < 1e-3);
            let left = numbers_after(rest, "class=\"spacer\"", "x")[0];
            let top = numbers_after(rest, "class=\"spacer\"", "y")[0] + 2.0;
            for x in [left, left + width] {
                let off = page.line_at(Point::new(x, top), Vec2::new(1.0, 0.0), 0.5);
                assert!(off.abs() < TRUE_MM, "{style:?} {room}: {off}");
            }
            rest = &rest[10..];
        }
        let svg = card_sheet(&gear(), &Card::default(), &style)
            .unwrap()
            .svgs()
            .unwrap();
        let size = format!("width=\"{}\" height=\"{}\"", CARD_MM.0, 2.0 * CARD_MM.1);
        assert!(svg[0].contains(&size), "{size}");
    }
}

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
fn texts(svg: &str) -> Vec<String> {
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

fn words_lie_well(boxes: &str, style: &Style, name: &str) {
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
fn what_cannot_be_printed_is_said() {
    let (gear, style) = (gear(), Style::default());
    let far = scale_sheet(&gear, 50.0, &style).unwrap_err();
    assert_eq!(
        far.to_string(),
        "--distance is 50 m; it must be from 20cm to 5m"
    );
    let long = Card {
        player: Some(Player {
            who: "x".repeat(60),
            ..club()
        }),
        ..Card::default()
    };
    let error = card_sheet(&gear, &long, &style).unwrap_err();
    assert!(
        matches!(
            error,
            RoseError::Sheet(SheetError::TooLong { most: 34, .. })
        ),
        "{error}"
    );
    let empty = LadderAnswer {
        rungs: Vec::new(),
        ..ladder_answer()
    };
    let error = ladder_sheet(&gear, &empty, None, &style).unwrap_err();
    assert!(error.to_string().contains("no pages"), "{error}");
    let other = Gear::preset("snooker-12ft").unwrap();
    let error = ladder_sheet(&other, &ladder_answer(), None, &style).unwrap_err();
    assert!(matches!(error, BookletError::Gear { .. }), "{error}");
    let mut wide = gear.clone();
    wide.corner.mouth_m = 0.3;
    let error = pocket_sheet(&wide, &style).unwrap_err();
    assert!(matches!(error, SheetError::TooLarge { .. }), "{error}");
}

#[test]
fn the_command_prints_whole_files_or_none() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = |args: &[&str], code: i32| {
        let mut command = cargo_bin_cmd!("thincut");
        command
            .current_dir(folder.path())
            .env("HOME", folder.path())
            .env_remove("THINCUT_GEAR");
        let output = command.arg("sheet").args(args).output().unwrap();
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        let err = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(code), "{text}{err}");
        text + &err
    };
    let said = sheet(&["scale", "--out", "s.pdf", "--paper", "letter"], 0);
    assert!(said.starts_with("s.pdf: 1 page of Letter paper."), "{said}");
    assert!(sheet(&["scale", "--out", "s.pdf"], 2).contains("--force"));
    sheet(&["scale", "--out", "s.pdf", "--force"], 0);
    assert!(sheet(&["rose", "--out", "r.pdf", "--paper", "a5"], 2).contains("a5"));
    assert!(sheet(&["rose", "--out", "r.png"], 2).contains("ends in .pdf"));
    let three = sheet(&["rose", "--to-pockets", "1m,2m", "--out", "r.pdf"], 2);
    assert!(three.contains("2 lengths; it takes 3"), "{three}");
    std::fs::write(folder.path().join("bad.json"), "{}").unwrap();
    let bad = sheet(&["ladder", "bad.json", "--out", "l.pdf"], 2);
    assert!(bad.contains("thincut ladder --format json"), "{bad}");
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 2, "{left:?}");
}
