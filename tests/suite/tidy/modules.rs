//! The modules of a crate as its files give them, and which file a path names in the end.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use syn::{Item, UseTree, Visibility};

use super::files::sources;

/// Path of a module from the root of its crate.
pub(super) type ModulePath = Vec<String>;

/// One file of a crate.
pub(super) struct Module {
    pub(super) file: PathBuf,
    pub(super) items: Vec<Item>,
    /// Only lists modules and names them again: a door, not a place.
    pub(super) is_list: bool,
}

/// All files of a crate by module path.
pub(super) fn modules(name: &str) -> BTreeMap<ModulePath, Module> {
    let src = PathBuf::from(format!("crates/{name}/src"));
    sources(&format!("crates/{name}/src"))
        .into_iter()
        .map(|(file, text)| {
            let items = syn::parse_file(&text)
                .unwrap_or_else(|e| panic!("{}: {e}", file.display()))
                .items;
            let path = module_path(file.strip_prefix(&src).unwrap());
            let is_list = items
                .iter()
                .all(|item| matches!(item, Item::Mod(_) | Item::Use(_) | Item::Const(_)));
            (
                path,
                Module {
                    file,
                    items,
                    is_list,
                },
            )
        })
        .collect()
}

fn module_path(file: &Path) -> ModulePath {
    let mut path: ModulePath = file
        .with_extension("")
        .iter()
        .map(|part| part.to_str().unwrap().to_owned())
        .collect();
    if path
        .last()
        .is_some_and(|last| ["mod", "lib", "main"].contains(&last.as_str()))
    {
        path.pop();
    }
    path
}

/// Every name that a tree of `use` brings, as full path and the name it gets; a glob is called `*`.
pub(super) fn leaves(tree: &UseTree, before: &[String], out: &mut Vec<(Vec<String>, String)>) {
    let with = |name: &syn::Ident| {
        let mut path = before.to_vec();
        path.push(name.to_string());
        path
    };
    match tree {
        UseTree::Path(p) => leaves(&p.tree, &with(&p.ident), out),
        UseTree::Name(n) if n.ident == "self" => {
            let name = before.last().cloned().unwrap_or_default();
            out.push((before.to_vec(), name));
        }
        UseTree::Name(n) => out.push((with(&n.ident), n.ident.to_string())),
        UseTree::Rename(r) => out.push((with(&r.ident), r.rename.to_string())),
        UseTree::Glob(_) => out.push((before.to_vec(), "*".to_owned())),
        UseTree::Group(g) => g.items.iter().for_each(|tree| leaves(tree, before, out)),
    }
}

/// A path from a module as a path from the root of its crate; nothing if it leads out of the crate.
pub(super) fn from_root(
    modules: &BTreeMap<ModulePath, Module>,
    here: &[String],
    path: &[String],
) -> Option<Vec<String>> {
    let first = path.first()?;
    let rest = |n: usize| path[n..].iter().cloned();
    match first.as_str() {
        "crate" => Some(rest(1).collect()),
        "self" => Some(here.iter().cloned().chain(rest(1)).collect()),
        "super" => {
            let ups = path.iter().take_while(|part| *part == "super").count();
            let kept = here.len().checked_sub(ups)?;
            Some(here[..kept].iter().cloned().chain(rest(ups)).collect())
        }
        child => {
            let below: Vec<String> = here.iter().cloned().chain([child.to_owned()]).collect();
            modules
                .contains_key(&below)
                .then(|| below.into_iter().chain(rest(1)).collect())
        }
    }
}

/// The module that defines what a path from the root names: doors are followed to the place itself.
pub(super) fn place(modules: &BTreeMap<ModulePath, Module>, path: &[String]) -> Option<ModulePath> {
    place_within(modules, path, MOST_DOORS)
}

/// More doors than any name goes through.
const MOST_DOORS: usize = 8;

fn place_within(
    modules: &BTreeMap<ModulePath, Module>,
    path: &[String],
    doors_left: usize,
) -> Option<ModulePath> {
    let deepest = (0..=path.len())
        .rev()
        .find(|n| modules.contains_key(&path[..*n]))?;
    let here = path[..deepest].to_vec();
    let Some(name) = path.get(deepest) else {
        return Some(here);
    };
    if doors_left == 0 || modules[&here].items.iter().any(|item| defines(item, name)) {
        return Some(here);
    }
    let through = |to: &[String]| {
        from_root(modules, &here, to).and_then(|to| place_within(modules, &to, doors_left - 1))
    };
    let (open, named): (Vec<_>, Vec<_>) = doors(&modules[&here])
        .into_iter()
        .partition(|(_, called)| called == "*");
    if let Some((to, _)) = named.iter().find(|(_, called)| called == name) {
        return through(to);
    }
    // A name that comes through `*` lies where a module behind that door, or behind its doors, defines it.
    open.iter()
        .filter_map(|(to, _)| through(&[&to[..], std::slice::from_ref(name)].concat()))
        .find(|to| modules[to].items.iter().any(|item| defines(item, name)))
        .or(Some(here))
}

/// What a module names again for others: full path and the name it gets.
fn doors(module: &Module) -> Vec<(Vec<String>, String)> {
    let mut names = Vec::new();
    for item in &module.items {
        if let Item::Use(door) = item
            && !matches!(door.vis, Visibility::Inherited)
        {
            leaves(&door.tree, &[], &mut names);
        }
    }
    names
}

fn defines(item: &Item, name: &str) -> bool {
    match item {
        Item::Const(i) => i.ident == name,
        Item::Enum(i) => i.ident == name,
        Item::Fn(i) => i.sig.ident == name,
        Item::Static(i) => i.ident == name,
        Item::Struct(i) => i.ident == name,
        Item::Trait(i) => i.ident == name,
        Item::Type(i) => i.ident == name,
        _ => false,
    }
}
