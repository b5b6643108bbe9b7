//! What travels together into a function is a type with a name: no parameter in `src/` is a tuple, a
//! reference to one, or a tuple that may be missing. Lists of pairs and what closures take may stay.

use std::collections::BTreeSet;
use std::path::Path;

use syn::{
    Block, FnArg, GenericArgument, ImplItem, Item, Pat, PathArguments, Signature, Stmt, TraitItem,
    Type,
};

use crate::layers::sources;

/// Whether a type is a tuple, itself or behind a reference or an `Option`; `aliases` are names of tuples.
fn is_tuple(ty: &Type, aliases: &BTreeSet<String>) -> bool {
    match ty {
        Type::Tuple(tuple) => !tuple.elems.is_empty(),
        Type::Reference(to) => is_tuple(&to.elem, aliases),
        Type::Paren(inner) => is_tuple(&inner.elem, aliases),
        Type::Group(inner) => is_tuple(&inner.elem, aliases),
        Type::Path(path) => path.path.segments.last().is_some_and(|last| {
            let name = last.ident.to_string();
            let of_tuple = match &last.arguments {
                PathArguments::AngleBracketed(of) if name == "Option" => {
                    of.args.iter().any(|of| match of {
                        GenericArgument::Type(ty) => is_tuple(ty, aliases),
                        _ => false,
                    })
                }
                _ => false,
            };
            of_tuple || aliases.contains(&name)
        }),
        _ => false,
    }
}

/// Looks through a file for such parameters: `function: parameter`.
struct Search {
    aliases: BTreeSet<String>,
    found: Vec<String>,
}

impl Search {
    fn of(text: &str) -> Vec<String> {
        let file = syn::parse_file(text).expect("Rust");
        let aliases = file.items.iter().filter_map(|item| match item {
            Item::Type(alias) => {
                is_tuple(&alias.ty, &BTreeSet::new()).then(|| alias.ident.to_string())
            }
            _ => None,
        });
        let mut search = Self {
            aliases: aliases.collect(),
            found: Vec::new(),
        };
        file.items.iter().for_each(|item| search.item(item));
        search.found
    }

    fn item(&mut self, item: &Item) {
        match item {
            Item::Fn(function) => self.function(&function.sig, Some(&function.block)),
            // What another's trait wants cannot be chosen; our own are looked at where they are.
            Item::Impl(own) => {
                for item in &own.items {
                    if let ImplItem::Fn(function) = item {
                        if own.trait_.is_none() {
                            self.function(&function.sig, Some(&function.block));
                        } else {
                            self.block(&function.block);
                        }
                    }
                }
            }
            Item::Trait(own) => {
                for item in &own.items {
                    if let TraitItem::Fn(function) = item {
                        self.function(&function.sig, function.default.as_ref());
                    }
                }
            }
            Item::Mod(inner) => {
                let items = inner.content.iter().flat_map(|(_, items)| items);
                items.for_each(|item| self.item(item));
            }
            _ => {}
        }
    }

    fn block(&mut self, block: &Block) {
        for statement in &block.stmts {
            if let Stmt::Item(item) = statement {
                self.item(item);
            }
        }
    }

    fn function(&mut self, signature: &Signature, block: Option<&Block>) {
        for (number, input) in signature.inputs.iter().enumerate() {
            let FnArg::Typed(input) = input else { continue };
            if is_tuple(&input.ty, &self.aliases) {
                let name = match &*input.pat {
                    Pat::Ident(name) => name.ident.to_string(),
                    _ => format!("parameter {}", number + 1),
                };
                self.found.push(format!("{}: {name}", signature.ident));
            }
        }
        if let Some(block) = block {
            self.block(block);
        }
    }
}

#[test]
fn no_parameter_is_a_tuple() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    assert!(files.len() > 100);
    let mut found = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("readable");
        let inside = file.strip_prefix(&root).expect("below src").display();
        let those = Search::of(&text);
        found.extend(those.into_iter().map(|one| format!("src/{inside}: {one}")));
    }
    assert!(
        found.is_empty(),
        "what travels together is a type with a name, or goes as parameters of its own:\n{}",
        found.join("\n")
    );
}

#[test]
fn tuples_are_found_where_they_hide() {
    let text = "
        type Pair = (f64, f64);
        type Pairs<'a> = &'a [(f64, f64)];
        fn plain((low, high): (f64, f64)) { fn within(at: (u8, u8)) {} }
        fn lists(all: &[(f64, f64)], kept: Vec<(u8, u8)>, named: Pairs<'_>, nothing: ()) {}
        fn closures(each: impl Fn((f64, f64)) -> (f64, f64), work: fn(u8, u8) -> u8) {}
        impl Own { fn maybe(&self, range: Option<(f64, f64)>, known: &mut Option<Pair>) {} }
        impl Other for Own { fn wanted(&self, range: (i32, i32)) {} }
        trait Ours { fn asked(&self, of: &(u8, u8)); }
        mod inner { fn deep(pair: (u8, u8)) {} }
    ";
    let expected = [
        "plain: parameter 1",
        "within: at",
        "maybe: range",
        "maybe: known",
        "asked: of",
        "deep: pair",
    ];
    assert_eq!(Search::of(text), expected);
}
