//! What a document consists of: paragraphs, and tables as rows of cells.

/// Text as shown, and what of it was struck through or deleted under tracking.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Words {
    pub(crate) text: String,
    pub(crate) struck: String,
    /// Comments and notes anchored in it, by kind and number.
    pub(crate) anchors: Vec<(Anchor, String)>,
}

impl Words {
    /// Whether there is nothing to show.
    pub(crate) fn is_blank(&self) -> bool {
        self.text.trim().is_empty() && self.struck.trim().is_empty()
    }

    /// Adds a further paragraph.
    pub(crate) fn append(&mut self, next: Self) {
        for (all, more) in [(&mut self.text, next.text), (&mut self.struck, next.struck)] {
            if !all.is_empty() && !more.is_empty() {
                all.push('\n');
            }
            all.push_str(&more);
        }
        self.anchors.extend(next.anchors);
    }
}

/// A kind of text that stands in another part and is anchored in the document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Anchor {
    Comment,
    Footnote,
    Endnote,
}

/// How a cell goes on in the next rows.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum Down {
    /// Not.
    #[default]
    Single,
    /// It is the first of several.
    First,
    /// It belongs to the cell above.
    Goes,
}

/// A cell as marked up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Marked {
    pub(crate) words: Words,
    pub(crate) columns: u32,
    pub(crate) down: Down,
}

impl Default for Marked {
    fn default() -> Self {
        Self { words: Words::default(), columns: 1, down: Down::Single }
    }
}

/// A row: columns left out before its first cell, and cells.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Row {
    pub(crate) before: u32,
    pub(crate) cells: Vec<Marked>,
}

/// A piece of the document, in reading order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Block {
    /// A paragraph with its number in its part, from 1.
    Paragraph(usize, Words),
    /// A table with its number in its part, from 1.
    Table(usize, Vec<Row>),
}
