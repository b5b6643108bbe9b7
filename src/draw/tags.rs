//! What each part of a page is, for readers that speak: the structure tree of a PDF.
//!
//! A page is a list of parts in reading order. Each part is painted on its own and marked with what
//! it is (published: ISO 32000-1, 14.7 and 14.8). Neighbouring cells make a table.

use pdf_writer::types::{StructRole, TableHeaderScope};
use pdf_writer::{Finish as _, Name, Pdf, Ref, TextStr};

/// What a part of a page is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Tag {
    /// A heading; 1 is the sheet's own.
    Heading(u8),
    /// A paragraph, or the part of it on one page.
    Paragraph,
    /// A picture, and what it shows in words.
    Figure(String),
    /// A cell of a table: its row, counted over the whole sheet, and whether it heads its column.
    Cell {
        /// Row.
        row: u32,
        /// Heads its column.
        head: bool,
    },
    /// Nothing to read: page numbers, check bars.
    Artifact,
}

impl Tag {
    /// The name in the page's content.
    pub(crate) fn name(&self) -> Name<'static> {
        Name(match self {
            Self::Heading(1) => b"H1",
            Self::Heading(2) => b"H2",
            Self::Heading(_) => b"H3",
            Self::Paragraph => b"P",
            Self::Figure(_) => b"Figure",
            Self::Cell { head: true, .. } => b"TH",
            Self::Cell { head: false, .. } => b"TD",
            Self::Artifact => b"Artifact",
        })
    }

    fn role(&self) -> Option<StructRole> {
        Some(match self {
            Self::Heading(1) => StructRole::H1,
            Self::Heading(2) => StructRole::H2,
            Self::Heading(_) => StructRole::H3,
            Self::Paragraph => StructRole::P,
            Self::Figure(_) => StructRole::Figure,
            Self::Cell { head: true, .. } => StructRole::TH,
            Self::Cell { head: false, .. } => StructRole::TD,
            Self::Artifact => return None,
        })
    }
}

/// One element of the tree.
struct Node {
    id: Ref,
    parent: Ref,
    role: StructRole,
    alt: Option<String>,
    kids: Vec<Ref>,
    /// Page and marked content of a leaf.
    leaf: Option<(Ref, i32)>,
}

/// Builds the tree for the pages and gives, for each page, the elements of its marks in order.
struct Tree<'a> {
    next: &'a mut i32,
    nodes: Vec<Node>,
    /// The table being filled and its latest row: places in `nodes` and the row's number.
    open: Option<(usize, usize, u32)>,
}

impl Tree<'_> {
    fn add(&mut self, parent: usize, role: StructRole) -> usize {
        let id = Ref::new(*self.next);
        *self.next += 1;
        let above = self.nodes[parent].id;
        self.nodes[parent].kids.push(id);
        self.nodes.push(Node {
            id,
            parent: above,
            role,
            alt: None,
            kids: Vec::new(),
            leaf: None,
        });
        self.nodes.len() - 1
    }

    /// Where a part hangs: below the document, or in the row of its table.
    fn above(&mut self, tag: &Tag) -> usize {
        let Tag::Cell { row, .. } = tag else {
            self.open = None;
            return 0;
        };
        let (table, last) = match self.open {
            Some((table, at, number)) if number == *row => return self.keep(table, at, *row),
            Some((table, ..)) => (table, self.add(table, StructRole::TR)),
            None => {
                let table = self.add(0, StructRole::Table);
                (table, self.add(table, StructRole::TR))
            }
        };
        self.keep(table, last, *row)
    }

    fn keep(&mut self, table: usize, row: usize, number: u32) -> usize {
        self.open = Some((table, row, number));
        row
    }
}

/// Writes the structure tree of pages whose parts carry these tags; `next` is the first free object.
/// Marks are numbered on each page in order, artifacts left out.
pub(crate) fn write(pdf: &mut Pdf, root: Ref, pages: &[(Ref, &[Tag])], next: &mut i32) {
    let document = Node {
        id: Ref::new(*next),
        parent: root,
        role: StructRole::Document,
        alt: None,
        kids: Vec::new(),
        leaf: None,
    };
    *next += 1;
    let mut tree = Tree {
        next,
        nodes: vec![document],
        open: None,
    };
    let mut parents: Vec<Vec<Ref>> = Vec::with_capacity(pages.len());
    for (page, tags) in pages {
        let mut own = Vec::new();
        for (mark, (tag, role)) in
            (0..).zip(tags.iter().filter_map(|t| t.role().map(|role| (t, role))))
        {
            let above = tree.above(tag);
            let at = tree.add(above, role);
            let node = &mut tree.nodes[at];
            node.leaf = Some((*page, mark));
            if let Tag::Figure(words) = tag {
                node.alt = Some(words.clone());
            }
            own.push(node.id);
        }
        parents.push(own);
    }
    let Tree { next, nodes, .. } = tree;
    root_and_parents(pdf, root, nodes[0].id, &parents, next);
    for node in &nodes {
        element(pdf, node);
    }
}

fn root_and_parents(pdf: &mut Pdf, root: Ref, document: Ref, parents: &[Vec<Ref>], next: &mut i32) {
    let lists: Vec<Ref> = parents
        .iter()
        .map(|_| {
            *next += 1;
            Ref::new(*next - 1)
        })
        .collect();
    let mut dict = pdf.indirect(root).dict();
    dict.pair(Name(b"Type"), Name(b"StructTreeRoot"))
        .pair(Name(b"K"), document);
    let mut numbers = dict.insert(Name(b"ParentTree")).dict();
    let mut entries = numbers.insert(Name(b"Nums")).array();
    for (key, list) in (0..).zip(&lists) {
        entries.item(key).item(*list);
    }
    entries.finish();
    numbers.finish();
    let count = i32::try_from(parents.len()).unwrap_or(i32::MAX);
    dict.pair(Name(b"ParentTreeNextKey"), count);
    dict.finish();
    for (list, own) in lists.iter().zip(parents) {
        pdf.indirect(*list).array().items(own.iter().copied());
    }
}

fn element(pdf: &mut Pdf, node: &Node) {
    let mut element = pdf.struct_element(node.id);
    element.kind(node.role).parent(node.parent);
    if let Some(words) = &node.alt {
        element.alt(TextStr(words));
    }
    if node.role == StructRole::TH {
        let mut all = element.attributes();
        all.push().table().scope(TableHeaderScope::Column);
    }
    match node.leaf {
        Some((page, mark)) => {
            element.page(page);
            element.children().marked_content_id(mark);
        }
        None => {
            let mut kids = element.children();
            for kid in &node.kids {
                kids.struct_element(*kid);
            }
        }
    }
}
