//! A document in reading order: pieces of text, and tables as rows of cells.

use std::collections::BTreeMap;

use ego_tree::iter::Edge;
use scraper::{Html, Node, node::Element};
use windrow_source::{FEWER_CELLS, Limits, ReadError, Refusal};

/// Elements within elements that are read.
const DEEPEST: usize = 400;

/// A piece of text outside tables.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Block {
    /// XPath of the element it stands in.
    pub(crate) address: String,
    pub(crate) words: Words,
}

/// Text as shown, and what of it was struck through.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Words {
    pub(crate) text: String,
    pub(crate) struck: String,
}

impl Words {
    /// Adds `text` with its white space folded as a browser shows it.
    fn push(&mut self, text: &str, is_struck: bool) {
        let target = if is_struck { &mut self.struck } else { &mut self.text };
        for c in text.chars() {
            let c = if c.is_whitespace() || c.is_control() { ' ' } else { c };
            if c != ' ' || !target.ends_with([' ', '\n']) {
                target.push(c);
            }
        }
    }

    /// Without blanks around its lines.
    pub(crate) fn tidy(&self) -> Self {
        let tidy = |text: &str| {
            let lines: Vec<&str> = text.split('\n').map(str::trim).filter(|line| !line.is_empty()).collect();
            lines.join("\n")
        };
        Self { text: tidy(&self.text), struck: tidy(&self.struck) }
    }

    fn is_empty(&self) -> bool {
        self.text.trim().is_empty() && self.struck.trim().is_empty()
    }
}

/// A cell as marked up.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Marked {
    pub(crate) words: Words,
    pub(crate) columns: u32,
    /// Rows; 0 for all that follow.
    pub(crate) rows: u32,
    /// The number behind the text, if the exporting program kept it.
    pub(crate) stored: Option<String>,
    address: String,
    /// How much of the words was told as text of a table that only arranges others.
    told: (usize, usize),
}

/// Rows of cells; a row may be hidden.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Table {
    pub(crate) rows: Vec<Vec<Marked>>,
    pub(crate) hidden: Vec<usize>,
}

/// What a document consists of, in reading order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Item {
    Text(Block),
    Table(Table),
}

/// The items of `html`, and the title of the page.
pub(crate) fn items(html: &Html, limits: &Limits) -> Result<(Vec<Item>, String), ReadError> {
    let mut walker = Walker { cells_left: limits.cells, ..Walker::default() };
    let mut skipped = None;
    for edge in html.tree.root().traverse() {
        match edge {
            Edge::Open(node) if skipped.is_none() => match node.value() {
                Node::Element(element) if is_silent(element.name()) => skipped = Some(node.id()),
                Node::Element(element) => walker.open(element)?,
                Node::Text(text) => walker.text(text),
                _ => {}
            },
            Edge::Close(node) if skipped == Some(node.id()) => skipped = None,
            Edge::Close(node) if skipped.is_none() => {
                if let Node::Element(element) = node.value() {
                    walker.close(element.name());
                }
            }
            _ => {}
        }
    }
    walker.end_block();
    Ok((walker.top.into_iter().map(Told::item).collect(), walker.title.trim().to_owned()))
}

/// Elements whose text nobody reads.
fn is_silent(name: &str) -> bool {
    matches!(name, "script" | "style" | "template" | "noscript" | "svg" | "object")
}

/// Elements that begin a new line.
fn is_block(name: &str) -> bool {
    matches!(
        name,
        "p" | "div"
            | "br"
            | "hr"
            | "li"
            | "ul"
            | "ol"
            | "dl"
            | "dt"
            | "dd"
            | "h1"
            | "h2"
            | "h3"
            | "h4"
            | "h5"
            | "h6"
            | "pre"
            | "table"
            | "caption"
            | "center"
            | "body"
            | "form"
            | "section"
            | "article"
            | "header"
            | "footer"
            | "blockquote"
            | "address"
            | "fieldset"
            | "legend"
    )
}

fn is_struck(name: &str) -> bool {
    matches!(name, "s" | "strike" | "del")
}

/// An item, or the text of a cell of a table that may turn out to be there for arrangement only.
#[derive(Debug)]
enum Told {
    Item(Item),
    OfCell(Block),
}

impl Told {
    fn item(self) -> Item {
        match self {
            Self::Item(item) => item,
            Self::OfCell(block) => Item::Text(block),
        }
    }
}

#[derive(Debug, Default)]
struct Open {
    table: Table,
    cell: Option<Marked>,
    captions: Vec<Told>,
    /// What the cells hold, in order; kept only when a table within was met.
    arranged: Option<Vec<Told>>,
}

#[derive(Debug)]
struct Step {
    name: String,
    index: u32,
    children: BTreeMap<String, u32>,
    blocks: u32,
}

#[derive(Debug, Default)]
struct Walker {
    top: Vec<Told>,
    open: Vec<Open>,
    path: Vec<Step>,
    block: Option<Block>,
    title: String,
    struck: usize,
    cells_left: usize,
}

impl Walker {
    fn open(&mut self, element: &Element) -> Result<(), ReadError> {
        let name = element.name();
        self.enter(name)?;
        self.struck += usize::from(is_struck(name));
        if is_block(name) {
            self.new_line();
        }
        match name {
            "table" => self.open_table(),
            "tr" => {
                let is_hidden =
                    element.attr("style").is_some_and(|style| style.replace(' ', "").contains("display:none"));
                if let Some(open) = self.open.last_mut() {
                    open.table.hidden.extend(is_hidden.then_some(open.table.rows.len()));
                    open.table.rows.push(Vec::new());
                }
            }
            "td" | "th" => self.open_cell(element)?,
            "input" if element.attr("type").is_none_or(|kind| kind.eq_ignore_ascii_case("text")) => {
                self.text(element.attr("value").unwrap_or_default());
            }
            _ => {}
        }
        Ok(())
    }

    fn close(&mut self, name: &str) {
        match name {
            "table" => self.close_table(),
            "td" | "th" => self.close_cell(),
            _ if is_block(name) => self.new_line(),
            _ => {}
        }
        self.struck -= usize::from(is_struck(name) && self.struck > 0);
        self.path.pop();
    }

    fn enter(&mut self, name: &str) -> Result<(), ReadError> {
        if self.path.len() >= DEEPEST {
            let found = format!("elements within elements, more than {DEEPEST} deep");
            return Err(ReadError::new(Refusal::Damaged, found, "save the page again from a browser"));
        }
        let index = self.path.last_mut().map_or(1, |parent| {
            let count = parent.children.entry(name.to_owned()).or_insert(0);
            *count += 1;
            *count
        });
        self.path.push(Step { name: name.to_owned(), index, children: BTreeMap::new(), blocks: 0 });
        Ok(())
    }

    fn address(&self) -> String {
        let step = |step: &Step| match step.index {
            1 => format!("/{}", step.name),
            n => format!("/{}[{n}]", step.name),
        };
        self.path.iter().map(step).collect()
    }

    fn open_table(&mut self) {
        if let Some(parent) = self.open.last_mut() {
            if parent.arranged.is_none() {
                let cells = std::mem::take(&mut parent.captions);
                let texts = parent.table.rows.iter().flatten().map(|cell| Told::OfCell(cell.block((0, 0))));
                parent.arranged = Some(cells.into_iter().chain(texts).collect());
            }
            parent.tell_cell();
        }
        self.open.push(Open::default());
    }

    fn open_cell(&mut self, element: &Element) -> Result<(), ReadError> {
        self.close_cell();
        self.cells_left = self
            .cells_left
            .checked_sub(1)
            .ok_or_else(|| ReadError::new(Refusal::TooLarge, "more cells than the limit", FEWER_CELLS))?;
        let number = |name: &str| element.attr(name).and_then(|text| text.trim().parse::<u32>().ok());
        let kept = element.attr("x:num").or_else(|| element.attr("sdval"));
        let cell = Marked {
            columns: number("colspan").unwrap_or(1).clamp(1, 1_000),
            rows: number("rowspan").unwrap_or(1).min(65_534),
            stored: kept.map(str::to_owned),
            address: self.address(),
            ..Marked::default()
        };
        if let Some(open) = self.open.last_mut() {
            open.cell = Some(cell);
        }
        Ok(())
    }

    fn close_cell(&mut self) {
        let Some(open) = self.open.last_mut() else { return };
        if open.arranged.is_some() {
            open.tell_cell();
        }
        let Some(cell) = open.cell.take() else { return };
        match open.table.rows.last_mut() {
            Some(row) => row.push(cell),
            None => open.table.rows.push(vec![cell]),
        }
    }

    fn close_table(&mut self) {
        self.close_cell();
        self.end_block();
        let Some(open) = self.open.pop() else { return };
        let told = open.told();
        match self.open.last_mut() {
            Some(parent) => parent.arranged.get_or_insert_default().extend(told),
            None => self.top.extend(told),
        }
    }

    fn text(&mut self, text: &str) {
        if self.path.last().is_some_and(|step| step.name == "title") {
            self.title.push_str(text);
            return;
        }
        let is_struck = self.struck > 0;
        if let Some(cell) = self.open.last_mut().and_then(|open| open.cell.as_mut()) {
            cell.words.push(text, is_struck);
        } else if !text.trim().is_empty() || self.block.is_some() {
            if self.block.is_none() {
                let mut address = self.address();
                if let Some(step) = self.path.last_mut() {
                    step.blocks += 1;
                    if step.blocks > 1 {
                        address = format!("{address}/text()[{}]", step.blocks);
                    }
                }
                self.block = Some(Block { address, words: Words::default() });
            }
            if let Some(block) = &mut self.block {
                block.words.push(text, is_struck);
            }
        }
    }

    fn new_line(&mut self) {
        match self.open.last_mut().and_then(|open| open.cell.as_mut()) {
            Some(cell) => {
                if !cell.words.text.is_empty() {
                    cell.words.text.push('\n');
                }
            }
            None => self.end_block(),
        }
    }

    fn end_block(&mut self) {
        let Some(block) = self.block.take().filter(|block| !block.words.is_empty()) else { return };
        let told = Told::Item(Item::Text(block));
        match self.open.last_mut() {
            Some(open) => open.arranged.as_mut().unwrap_or(&mut open.captions).push(told),
            None => self.top.push(told),
        }
    }
}

impl Marked {
    fn block(&self, (text, struck): (usize, usize)) -> Block {
        let rest = |words: &str, from: usize| words.get(from..).unwrap_or_default().to_owned();
        let words = Words { text: rest(&self.words.text, text), struck: rest(&self.words.struck, struck) };
        Block { address: self.address.clone(), words }
    }
}

impl Open {
    /// Keeps what the open cell has said so far, in order with the tables in it.
    fn tell_cell(&mut self) {
        let (Some(cell), Some(arranged)) = (&mut self.cell, &mut self.arranged) else { return };
        arranged.push(Told::OfCell(cell.block(cell.told)));
        cell.told = (cell.words.text.len(), cell.words.struck.len());
    }

    /// What the closed table is: a table; or, when it only arranges others, what stands in its cells.
    fn told(self) -> Vec<Told> {
        let table = Told::Item(Item::Table(self.table));
        let Some(arranged) = self.arranged else {
            return self.captions.into_iter().chain([table]).collect();
        };
        let Told::Item(Item::Table(own)) = &table else { return arranged };
        let filled = |row: &&Vec<Marked>| row.iter().filter(|cell| !cell.words.is_empty()).count() >= 2;
        if own.rows.iter().filter(filled).count() >= 3 {
            let others = arranged.into_iter().filter(|told| matches!(told, Told::Item(_)));
            std::iter::once(table).chain(others).collect()
        } else {
            arranged.into_iter().filter(|told| !matches!(told, Told::OfCell(block) if block.words.is_empty())).collect()
        }
    }
}
