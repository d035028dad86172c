//! The document as a tree of elements, each with the path of names that leads to it.

use std::collections::BTreeMap;

use windrow_source::xml::{self, Attribute, Step};
use windrow_source::{FEWER_CELLS, Limits, ReadError, Refusal};

/// A path of element names from the root, shared by all elements that have it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Path {
    pub(crate) name: String,
    pub(crate) parent: Option<usize>,
    children: BTreeMap<String, usize>,
}

/// An element.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Element {
    /// Index of its path.
    pub(crate) path: usize,
    /// Number among the children of its parent that have its name, from 1.
    pub(crate) number: u32,
    pub(crate) parent: Option<usize>,
    pub(crate) children: Vec<usize>,
    pub(crate) attributes: Vec<Attribute>,
    pub(crate) text: String,
}

/// A document: element 0 is the root, path 0 its path.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Tree {
    pub(crate) elements: Vec<Element>,
    pub(crate) paths: Vec<Path>,
}

/// An element that is not ended yet, and how many children it has by path.
struct Open {
    element: usize,
    counts: BTreeMap<usize, u32>,
}

/// Parses `text`; attributes and texts that are blank are left out.
pub(crate) fn parse(text: &str, limits: &Limits) -> Result<Tree, ReadError> {
    let mut tree = Tree::default();
    let mut open: Vec<Open> = Vec::new();
    let mut leaves = 0;
    xml::walk(text, limits, |step| {
        match step {
            Step::Open(name, attributes) => {
                let attributes: Vec<Attribute> =
                    attributes.iter().filter(|a| !a.value.trim().is_empty()).cloned().collect();
                leaves += attributes.len() + 1;
                let at = tree.add(&mut open, name, attributes);
                open.push(Open { element: at, counts: BTreeMap::new() });
            }
            Step::Text(found) => {
                let element = open.last().and_then(|open| tree.elements.get_mut(open.element));
                if let Some(element) = element.filter(|_| !found.trim().is_empty()) {
                    if !element.text.is_empty() {
                        element.text.push(' ');
                    }
                    element.text.push_str(found.trim());
                }
            }
            Step::Close => {
                open.pop();
            }
        }
        if leaves > limits.cells {
            let found = format!("more than {} elements and attributes", limits.cells);
            return Err(ReadError::new(Refusal::TooLarge, found, FEWER_CELLS));
        }
        Ok(())
    })?;
    Ok(tree)
}

impl Tree {
    fn add(&mut self, open: &mut [Open], name: &str, attributes: Vec<Attribute>) -> usize {
        let at = self.elements.len();
        let parent = open.last_mut();
        let above = parent.as_ref().and_then(|parent| self.elements.get(parent.element)).map(|parent| parent.path);
        let path = self.path(above, name);
        let mut element = Element { path, number: 1, attributes, ..Element::default() };
        if let Some(parent) = parent {
            let number = parent.counts.entry(path).or_insert(0);
            *number += 1;
            (element.number, element.parent) = (*number, Some(parent.element));
            if let Some(parent) = self.elements.get_mut(parent.element) {
                parent.children.push(at);
            }
        }
        self.elements.push(element);
        at
    }

    fn path(&mut self, above: Option<usize>, name: &str) -> usize {
        let known = above.and_then(|above| self.paths.get(above)).and_then(|above| above.children.get(name));
        if let Some(known) = known {
            return *known;
        }
        let at = self.paths.len();
        if let Some(above) = above.and_then(|above| self.paths.get_mut(above)) {
            above.children.insert(name.to_owned(), at);
        }
        self.paths.push(Path { name: name.to_owned(), parent: above, children: BTreeMap::new() });
        at
    }

    /// XPath of an element, with the number of each step whose path `is_counted`.
    pub(crate) fn xpath(&self, element: usize, is_counted: &dyn Fn(usize) -> bool) -> String {
        let up = std::iter::successors(self.elements.get(element), |element| self.elements.get(element.parent?));
        let mut steps: Vec<String> = up
            .map(|element| {
                let name = self.paths.get(element.path).map_or("", |path| &path.name);
                if is_counted(element.path) { format!("/{name}[{}]", element.number) } else { format!("/{name}") }
            })
            .collect();
        steps.reverse();
        steps.concat()
    }
}
