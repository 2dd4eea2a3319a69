//! No file needs, by whatever way round, a file that needs it.

use std::collections::{BTreeMap, BTreeSet};

use petgraph::{algo::tarjan_scc, graph::DiGraph};
use syn::{Attribute, Item, visit::Visit};

use super::files::{crates, none};
use super::modules::{Module, ModulePath, from_root, leaves, modules, place};

/// Paths that a file names, outside its unit tests.
#[derive(Default)]
struct Names {
    paths: Vec<Vec<String>>,
}

fn for_tests(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|a| {
        a.path().is_ident("cfg") && a.parse_args::<syn::Ident>().is_ok_and(|i| i == "test")
    })
}

impl<'a> Visit<'a> for Names {
    fn visit_item(&mut self, item: &'a Item) {
        let attributes: &[Attribute] = match item {
            Item::Mod(i) => &i.attrs,
            Item::Fn(i) => &i.attrs,
            Item::Impl(i) => &i.attrs,
            Item::Use(i) => &i.attrs,
            _ => &[],
        };
        if !for_tests(attributes) {
            syn::visit::visit_item(self, item);
        }
    }

    fn visit_item_use(&mut self, item: &'a syn::ItemUse) {
        let mut names = Vec::new();
        leaves(&item.tree, &[], &mut names);
        self.paths.extend(names.into_iter().map(|(path, _)| path));
    }

    fn visit_path(&mut self, path: &'a syn::Path) {
        let first = path.segments.first().map(|s| s.ident.to_string());
        if path.segments.len() > 1
            && first.is_some_and(|f| ["crate", "super"].contains(&f.as_str()))
        {
            self.paths
                .push(path.segments.iter().map(|s| s.ident.to_string()).collect());
        }
        syn::visit::visit_path(self, path);
    }
}

/// Which modules a module needs; lists of modules are passed through and need nothing themselves.
fn needs(all: &BTreeMap<ModulePath, Module>, here: &ModulePath) -> BTreeSet<ModulePath> {
    if all[here].is_list {
        return BTreeSet::new();
    }
    let mut names = Names::default();
    for item in &all[here].items {
        names.visit_item(item);
    }
    names
        .paths
        .iter()
        .filter_map(|path| from_root(all, here, path))
        .filter_map(|path| place(all, &path))
        .filter(|to| to != here && !all[to].is_list)
        .collect()
}

#[test]
fn no_files_import_each_other_in_a_circle() {
    let mut breaches = Vec::new();
    for name in crates() {
        let all = modules(&name);
        let mut graph = DiGraph::new();
        let nodes: BTreeMap<&ModulePath, _> = all
            .keys()
            .map(|path| (path, graph.add_node(path)))
            .collect();
        for from in all.keys() {
            for to in needs(&all, from) {
                graph.add_edge(nodes[from], nodes[&to], ());
            }
        }
        for circle in tarjan_scc(&graph).into_iter().filter(|c| c.len() > 1) {
            let files: Vec<String> = circle
                .iter()
                .map(|node| all[graph[*node]].file.display().to_string())
                .collect();
            breaches.push(format!("{} files: {}", files.len(), files.join(", ")));
        }
    }
    none("import circles", &breaches);
}

#[test]
fn a_circle_through_a_door_is_seen() {
    let module = |file: &str, text: &str| Module {
        file: file.into(),
        items: syn::parse_file(text).unwrap().items,
        is_list: file == "lib.rs",
    };
    let path = |p: &str| vec![p.to_owned()];
    let all = BTreeMap::from([
        (
            Vec::new(),
            module("lib.rs", "mod a; mod b; pub use a::*; pub use b::B;"),
        ),
        (path("a"), module("a.rs", "use crate::B; pub struct A(B);")),
        (
            path("b"),
            module(
                "b.rs",
                "pub struct B; fn f() { crate::A; }\n#[cfg(test)] mod t {}",
            ),
        ),
    ]);
    assert_eq!(needs(&all, &path("a")), BTreeSet::from([path("b")]));
    assert_eq!(needs(&all, &path("b")), BTreeSet::from([path("a")]));
}
