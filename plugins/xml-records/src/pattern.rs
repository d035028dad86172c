//! Which elements are rows.

use crate::tree::Tree;

/// How the elements of a path relate to their parents.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum Role {
    /// At most one in each parent: its values belong to the row of the parent.
    #[default]
    Single,
    /// Several in a parent: each is a row.
    Row,
    /// Several in a parent, told apart by nothing but their order, and nearly always as many: cells of the row of the parent.
    Cell,
}

/// The role of each path of `tree`.
pub(crate) fn roles(tree: &Tree) -> Vec<Role> {
    let mut facts = vec![Facts::default(); tree.paths.len()];
    for element in &tree.elements {
        if let Some(fact) = facts.get_mut(element.path) {
            fact.is_repeated |= element.number > 1;
            fact.is_marked |= !element.attributes.is_empty() || !element.children.is_empty();
        }
        let counts = element.children.chunk_by(|a, b| path_of(tree, *a) == path_of(tree, *b));
        for run in counts {
            let fact = run.first().and_then(|at| facts.get_mut(path_of(tree, *at)));
            if let Some(fact) = fact {
                fact.runs.push(run.len());
            }
        }
    }
    let is_repeated: Vec<bool> = facts.iter().map(|fact| fact.is_repeated).collect();
    let parent_is_row = |at: usize| {
        let parent = tree.paths.get(at).and_then(|path| path.parent);
        parent.is_some_and(|parent| is_repeated.get(parent).copied().unwrap_or(false))
    };
    let role = |(at, fact): (usize, &Facts)| match fact.is_repeated {
        false => Role::Single,
        true if parent_is_row(at) && !fact.is_marked && fact.is_steady() => Role::Cell,
        true => Role::Row,
    };
    facts.iter().enumerate().map(role).collect()
}

fn path_of(tree: &Tree, element: usize) -> usize {
    tree.elements.get(element).map_or(0, |element| element.path)
}

#[derive(Debug, Clone, Default)]
struct Facts {
    is_repeated: bool,
    /// Whether one of them has attributes or elements inside.
    is_marked: bool,
    /// How many stand in a row in each parent.
    runs: Vec<usize>,
}

impl Facts {
    /// Whether four in five parents have the same number of them, more than one.
    fn is_steady(&self) -> bool {
        let mut runs = self.runs.clone();
        runs.sort_unstable();
        let middle = runs.get(runs.len() / 2).copied().unwrap_or(0);
        let same = runs.iter().filter(|run| **run == middle).count();
        middle > 1 && runs.len() > 1 && same * 5 >= runs.len() * 4
    }
}
