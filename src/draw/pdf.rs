//! PDF: several SVG pages in one file, true to scale or fitted to paper, the same bytes every time.
//!
//! svg2pdf keeps fonts and resources in hash maps, so the order of its objects changes from run to
//! run. `settled` sorts the resource entries and renumbers the objects in the order in which they
//! are first referred to; equal pictures then give equal bytes.

use std::collections::{BTreeMap, HashMap};

use pdf_writer::{Chunk, Content, Date, Finish as _, Name, Pdf, Primitive, Rect, Ref, TextStr};

use usvg::Transform;

use super::fault::RenderError;
use super::picture::Paper;
use super::tags::{self, Tag};
use super::tree::{CSS_DPI, tree};

/// PDF points per CSS pixel (published: 72 points to the inch).
const POINTS_PER_PX: f32 = 72.0 / CSS_DPI;
/// PDF points per millimetre.
const POINTS_PER_MM: f32 = 72.0 / 25.4;
/// Paper left free around a fitted picture, mm (common practice: most printers need less).
const FITTED_MARGIN_MM: f32 = 12.0;
/// Object numbers of the file's own objects and room for its pages; chunks follow.
const CATALOG: i32 = 1;
const PAGE_TREE: i32 = 2;
const INFO: i32 = 3;
const STRUCTURE: i32 = 4;
const METADATA: i32 = 5;
const FIRST_PAGE: i32 = 6;

/// When the file says it was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    seconds: i64,
}

impl Default for Stamp {
    /// 1980-01-01, the usual "no date" of reproducible archives (common practice).
    fn default() -> Self {
        Self {
            seconds: 315_532_800,
        }
    }
}

impl Stamp {
    /// Last second of the year 9999.
    const LAST: i64 = 253_402_300_799;

    /// From the text of `SOURCE_DATE_EPOCH` (seconds since 1970), if set; else the fixed default.
    ///
    /// # Errors
    /// [`RenderError::Epoch`].
    pub fn from_epoch_text(text: Option<&str>) -> Result<Self, RenderError> {
        let Some(text) = text else {
            return Ok(Self::default());
        };
        text.trim()
            .parse::<i64>()
            .ok()
            .filter(|s| (0..=Self::LAST).contains(s))
            .map(|seconds| Self { seconds })
            .ok_or_else(|| RenderError::Epoch(text.to_owned()))
    }

    /// From the environment.
    ///
    /// # Errors
    /// [`RenderError::Epoch`].
    pub fn from_env() -> Result<Self, RenderError> {
        let value = std::env::var_os("SOURCE_DATE_EPOCH");
        Self::from_epoch_text(value.as_ref().map(|v| v.to_string_lossy()).as_deref())
    }

    fn date(self) -> Date {
        let (day, second) = (
            self.seconds.div_euclid(86_400),
            self.seconds.rem_euclid(86_400),
        );
        let (year, month, day) = civil(day);
        let small = |v: i64| u8::try_from(v).unwrap_or(0);
        Date::new(u16::try_from(year).unwrap_or(9999))
            .month(small(month))
            .day(small(day))
            .hour(small(second / 3600))
            .minute(small(second / 60 % 60))
            .second(small(second % 60))
            .utc_offset_hour(0)
            .utc_offset_minute(0)
    }
}

/// Year, month and day of a day counted from 1970-01-01 (published: H. Hinnant,
/// "chrono-compatible low-level date algorithms", `civil_from_days`).
fn civil(days: i64) -> (i64, i64, i64) {
    let z = days + 719_468;
    let era = z.div_euclid(146_097);
    let doe = z.rem_euclid(146_097);
    let yoe = (doe - doe / 1460 + doe / 36_524 - doe / 146_096) / 365;
    let doy = doe - (365 * yoe + yoe / 4 - yoe / 100);
    let mp = (5 * doy + 2) / 153;
    let day = doy - (153 * mp + 2) / 5 + 1;
    let month = if mp < 10 { mp + 3 } else { mp - 9 };
    (yoe + era * 400 + i64::from(month <= 2), month, day)
}

/// How a picture lies on its page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Placement {
    /// The page is the picture: a millimetre in the SVG is a millimetre on paper.
    TrueSize,
    /// As large as the paper allows, turned to the picture's shape.
    Fitted(Paper),
}

/// One page of a PDF.
#[derive(Debug, Clone, Copy)]
pub struct Page<'a> {
    /// What is on it.
    pub svg: &'a str,
    /// What its parts are, in the order of [`super::canvas::Canvas::part`]; a single part is the whole page.
    pub parts: &'a [Tag],
}

/// A PDF to be written.
#[derive(Debug, Clone, Copy)]
pub struct Document<'a> {
    /// Its title.
    pub title: &'a str,
    /// The pages.
    pub pages: &'a [Page<'a>],
    /// How each lies on its page.
    pub placement: Placement,
    /// Date.
    pub stamp: Stamp,
}

/// Writes the file: title and language set, every part tagged, nothing in it that changes from run
/// to run. It is tagged in the way of PDF/UA (ISO 14289-1) but does not claim to conform to it.
///
/// # Errors
/// [`RenderError`] when a page's SVG cannot be read or converted.
pub fn write(document: &Document<'_>) -> Result<Vec<u8>, RenderError> {
    let mut pdf = Pdf::new();
    let count = i32::try_from(document.pages.len())
        .map_err(|_| RenderError::Encode("too many pages".to_owned()))?;
    let page_refs: Vec<Ref> = (0..count).map(|i| Ref::new(FIRST_PAGE + 2 * i)).collect();
    front_matter(&mut pdf, document, &page_refs, count);
    let mut next = FIRST_PAGE + 2 * count;
    let tagged: Vec<(Ref, &[Tag])> = page_refs
        .iter()
        .copied()
        .zip(document.pages.iter().map(|p| p.parts))
        .collect();
    tags::write(&mut pdf, Ref::new(STRUCTURE), &tagged, &mut next);
    for ((key, own), id) in (0..).zip(document.pages).zip(page_refs) {
        let tree = tree(own.svg)?;
        let size = (tree.size().width(), tree.size().height());
        let options = svg2pdf::ConversionOptions::default();
        let (chunk, root) =
            svg2pdf::to_chunk(&tree, options).map_err(|e| RenderError::Encode(e.to_string()))?;
        let (mut objects, root) = settled(&chunk, root, &mut next)?;
        let painted = if own.parts.len() > 1 {
            // The page paints the parts itself, each with its mark.
            let whole = objects.remove(0).1;
            let parts = parts_of(&whole, own.parts.len())?;
            let units = user_units(tree.root()).unwrap_or_default();
            let box_of = [size.0 / units.sx, size.1 / units.sy];
            for (id, bytes) in &mut objects {
                if parts.contains(id) {
                    *bytes = unclipped(bytes, box_of);
                }
            }
            Painted::Parts(parts, units)
        } else {
            Painted::Whole(root)
        };
        let sheet = PageObject { id, key, size };
        write_page(&mut pdf, document.placement, &sheet, &painted, own.parts);
        for (id, bytes) in objects {
            pdf.indirect(id).primitive(Raw(&bytes));
        }
    }
    Ok(pdf.finish())
}

/// What a page paints: one picture one unit wide and high, or parts in the drawing's own units and
/// where those lie in pixels, y down.
enum Painted {
    Whole(Ref),
    Parts(Vec<Ref>, Transform),
}

/// From the units of the first part to pixels.
fn user_units(group: &usvg::Group) -> Option<Transform> {
    group.children().iter().find_map(|node| match node {
        usvg::Node::Group(inner) if inner.isolate() => Some(inner.abs_transform()),
        usvg::Node::Group(inner) => user_units(inner),
        _ => None,
    })
}

/// A page's object, its key in the structure tree, its size in pixels.
struct PageObject {
    id: Ref,
    key: i32,
    size: (f32, f32),
}

/// The form objects a picture of parts is made of, in the order they are painted.
fn parts_of(whole: &[u8], wanted: usize) -> Result<Vec<Ref>, RenderError> {
    let head = whole.split(|b| *b == b'\n').take_while(|l| *l != b"stream");
    let mut named: Vec<(u32, Ref)> = head
        .filter_map(|line| {
            let line = std::str::from_utf8(line).ok()?.trim();
            let (name, object) = line.strip_prefix("/xo")?.split_once(' ')?;
            let object = object.strip_suffix(" 0 R")?.parse().ok()?;
            Some((name.parse().ok()?, Ref::new(object)))
        })
        .collect();
    named.sort_by_key(|(number, _)| *number);
    if named.len() == wanted {
        Ok(named.into_iter().map(|(_, object)| object).collect())
    } else {
        let found = named.len();
        let problem = format!("a page has {wanted} parts and {found} of them were drawn");
        Err(RenderError::Encode(problem))
    }
}

/// A form object that may paint on the whole page: the box of a part hugs its outlines, and printers
/// that round it cut letters.
fn unclipped(object: &[u8], [wide, high]: [f32; 2]) -> Vec<u8> {
    const BOX: &[u8] = b"/BBox [";
    let find = |from: usize, what: &[u8]| {
        let at = object[from..].windows(what.len()).position(|w| w == what)?;
        Some(from + at)
    };
    let Some((from, to)) = find(0, BOX).and_then(|at| Some((at, find(at, b"]")?))) else {
        return object.to_vec();
    };
    let whole = format!("/BBox [0 0 {wide} {high}");
    [&object[..from], whole.as_bytes(), &object[to..]].concat()
}

fn front_matter(pdf: &mut Pdf, document: &Document<'_>, pages: &[Ref], count: i32) {
    let mut catalog = pdf.catalog(Ref::new(CATALOG));
    catalog.pages(Ref::new(PAGE_TREE)).lang(TextStr("en"));
    catalog.viewer_preferences().display_doc_title(true);
    catalog.mark_info().marked(true);
    catalog.pair(Name(b"StructTreeRoot"), Ref::new(STRUCTURE));
    catalog.metadata(Ref::new(METADATA));
    catalog.finish();
    pdf.pages(Ref::new(PAGE_TREE))
        .count(count)
        .kids(pages.iter().copied());
    let maker = concat!("thincut ", env!("CARGO_PKG_VERSION"));
    pdf.document_info(Ref::new(INFO))
        .title(TextStr(document.title))
        .creator(TextStr(maker))
        .producer(TextStr(maker))
        .creation_date(document.stamp.date())
        .modified_date(document.stamp.date());
    let packet = metadata(document.title, maker);
    pdf.metadata(Ref::new(METADATA), packet.as_bytes());
}

/// Title and language as XMP (published: ISO 16684-1).
fn metadata(title: &str, maker: &str) -> String {
    let title = super::xml::escape(title);
    format!(
        "<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n\
         <x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\
         <rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\">\
         <dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">{title}</rdf:li></rdf:Alt></dc:title>\
         <dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>\
         <pdf:Producer>{maker}</pdf:Producer></rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>"
    )
}

/// Page box and the picture's place on it, in points: x, y, width, height.
fn layout(placement: Placement, w: f32, h: f32) -> (Rect, [f32; 4]) {
    match placement {
        Placement::TrueSize => {
            let (w, h) = (w * POINTS_PER_PX, h * POINTS_PER_PX);
            (Rect::new(0.0, 0.0, w, h), [0.0, 0.0, w, h])
        }
        Placement::Fitted(paper) => {
            let (short, long) = paper.size_mm();
            #[expect(clippy::cast_possible_truncation, reason = "PDF numbers are single")]
            let (short, long) = (short as f32 * POINTS_PER_MM, long as f32 * POINTS_PER_MM);
            let (pw, ph) = if w > h { (long, short) } else { (short, long) };
            let m = FITTED_MARGIN_MM * POINTS_PER_MM;
            let scale = ((pw - 2.0 * m) / w).min((ph - 2.0 * m) / h);
            let (dw, dh) = (w * scale, h * scale);
            let at = [(pw - dw) / 2.0, (ph - dh) / 2.0, dw, dh];
            (Rect::new(0.0, 0.0, pw, ph), at)
        }
    }
}

fn write_page(
    pdf: &mut Pdf,
    placement: Placement,
    sheet: &PageObject,
    painted: &Painted,
    parts: &[Tag],
) {
    let content_ref = Ref::new(sheet.id.get() + 1);
    let (media, [x, y, w, h]) = layout(placement, sheet.size.0, sheet.size.1);
    let objects: &[Ref] = match painted {
        Painted::Whole(picture) => std::slice::from_ref(picture),
        Painted::Parts(objects, _) => objects,
    };
    let names: Vec<String> = (0..objects.len()).map(|i| format!("P{i}")).collect();
    let mut p = pdf.page(sheet.id);
    p.media_box(media)
        .parent(Ref::new(PAGE_TREE))
        .contents(content_ref)
        .struct_parents(sheet.key);
    let mut resources = p.resources();
    let mut named = resources.x_objects();
    for (name, object) in names.iter().zip(objects) {
        named.pair(Name(name.as_bytes()), *object);
    }
    named.finish();
    resources.finish();
    p.finish();
    let place = match painted {
        Painted::Whole(_) => [w, 0.0, 0.0, h, x, y],
        Painted::Parts(_, units) => {
            let (across, down) = (w / sheet.size.0, h / sheet.size.1);
            [
                across * units.sx,
                0.0,
                0.0,
                -down * units.sy,
                x + across * units.tx,
                y + h - down * units.ty,
            ]
        }
    };
    let mut content = Content::new();
    content.save_state().transform(place);
    let mut mark = 0;
    for (name, tag) in names.iter().zip(parts) {
        if *tag == Tag::Artifact {
            content.begin_marked_content(tag.name());
        } else {
            let mut begun = content.begin_marked_content_with_properties(tag.name());
            begun.properties().identify(mark);
            begun.finish();
            mark += 1;
        }
        content.x_object(Name(name.as_bytes()));
        content.end_marked_content();
    }
    content.restore_state();
    pdf.stream(content_ref, &content.finish());
}

/// Bytes written as they are.
struct Raw<'a>(&'a [u8]);

impl Primitive for Raw<'_> {
    fn write(self, buf: &mut Vec<u8>) {
        buf.extend_from_slice(self.0);
    }
}

/// One object: its dictionary or value, and its stream if it has one.
struct Object {
    head: String,
    stream: Vec<u8>,
}

/// Objects of a PDF by number.
type Objects = Vec<(Ref, Vec<u8>)>;

/// The chunk's objects in an order that depends on the picture only, numbered from `next`.
fn settled(chunk: &Chunk, root: Ref, next: &mut i32) -> Result<(Objects, Ref), RenderError> {
    let broken = || RenderError::Encode("an object of the PDF could not be followed".to_owned());
    let objects = split(chunk.as_bytes()).ok_or_else(broken)?;
    let mut numbers: HashMap<i32, i32> = HashMap::new();
    let mut order = Vec::new();
    let mut waiting = vec![root.get()];
    while let Some(id) = waiting.pop() {
        if numbers.contains_key(&id) {
            continue;
        }
        numbers.insert(id, *next);
        *next += 1;
        order.push(id);
        let object = objects.get(&id).ok_or_else(broken)?;
        let mut found = Vec::new();
        patch_references(&object.head, |r| {
            found.push(r);
            r
        });
        waiting.extend(found.into_iter().rev());
    }
    let new = |id: i32| numbers.get(&id).copied().unwrap_or(id);
    let mut out = Vec::with_capacity(order.len());
    for id in order {
        let object = objects.get(&id).ok_or_else(broken)?;
        let mut bytes = patch_references(&object.head, new).into_bytes();
        bytes.extend_from_slice(&object.stream);
        out.push((Ref::new(new(id)), bytes));
    }
    Ok((out, Ref::new(new(root.get()))))
}

/// Splits a chunk into its objects. A stream's end is found by its length, never by searching.
fn split(mut bytes: &[u8]) -> Option<BTreeMap<i32, Object>> {
    let find = |b: &[u8], what: &[u8]| b.windows(what.len()).position(|w| w == what);
    let mut objects = BTreeMap::new();
    while !bytes.is_empty() {
        let start = find(bytes, b" 0 obj\n")?;
        let id = std::str::from_utf8(&bytes[..start])
            .ok()?
            .trim()
            .parse()
            .ok()?;
        bytes = &bytes[start + 7..];
        let end = find(bytes, b"\nendobj")?;
        let stream = find(&bytes[..end], b"\nstream\n");
        let head = std::str::from_utf8(&bytes[..stream.unwrap_or(end)]).ok()?;
        let (stream, used) = match stream {
            None => (Vec::new(), end),
            Some(at) => {
                let length = head
                    .split("/Length ")
                    .nth(1)?
                    .split(|c: char| !c.is_ascii_digit())
                    .next()?
                    .parse::<usize>()
                    .ok()?;
                let close = at + 8 + length;
                let close = close + find(bytes.get(close..)?, b"\nendobj")?;
                (bytes[at..close].to_vec(), close)
            }
        };
        let head = sorted_entries(head);
        objects.insert(id, Object { head, stream });
        bytes = bytes.get(used + 7..)?;
        let blank = bytes.iter().take_while(|b| b.is_ascii_whitespace()).count();
        bytes = &bytes[blank..];
    }
    Some(objects)
}

/// Sorts runs of neighbouring lines that name one resource each (`/f0 12 0 R`), longer names after
/// shorter ones so that `/f10` follows `/f9`.
fn sorted_entries(head: &str) -> String {
    let is_entry = |line: &str| {
        let t = line.trim_start();
        let mut words = t.split(' ');
        let named = words
            .next()
            .is_some_and(|w| w.starts_with('/') && w.ends_with(|c: char| c.is_ascii_digit()));
        named && (t.ends_with(" 0 R") || t.ends_with(" 0 R]"))
    };
    let key = |line: &str| {
        let name = line.trim_start().split(' ').next().unwrap_or("").to_owned();
        (name.len(), name)
    };
    let mut lines: Vec<&str> = head.split('\n').collect();
    let mut at = 0;
    while at < lines.len() {
        let run = lines[at..].iter().take_while(|l| is_entry(l)).count();
        lines[at..at + run].sort_by_key(|l| key(l));
        at += run.max(1);
    }
    lines.join("\n")
}

/// Replaces every `N 0 R` by `f(N) 0 R`.
fn patch_references(head: &str, mut f: impl FnMut(i32) -> i32) -> String {
    let mut out = String::with_capacity(head.len());
    let mut rest = head;
    while let Some(at) = rest.find(" 0 R") {
        let digits = rest[..at]
            .bytes()
            .rev()
            .take_while(u8::is_ascii_digit)
            .count();
        let before = &rest[..at - digits];
        out.push_str(before);
        match rest[at - digits..at].parse() {
            Ok(id) => out.push_str(&f(id).to_string()),
            Err(_) => out.push_str(&rest[at - digits..at]),
        }
        out.push_str(" 0 R");
        rest = &rest[at + 4..];
    }
    out.push_str(rest);
    out
}
