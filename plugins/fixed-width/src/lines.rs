//! Text to lines as a printer would set them: tabs spread, overprinting folded, printer commands dropped, pages told apart.

use windrow_source::shape;

/// Width of a tab stop.
const TAB: usize = 8;
/// Signs that rulers and frames are made of.
const RULER: &str = "-=_*+|.~─━│┃┄┅┆┇┈┉┊┋┌┍┎┏┐┑┒┓└┕┖┗┘┙┚┛├┝┠┣┤┥┨┫┬┯┰┳┴┷┸┻┼┿╂╋═║╒╓╔╕╖╗╘╙╚╛╜╝╞╟╠╡╢╣╤╥╦╧╨╩╪╫╬";

/// What a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Blank,
    /// Drawn, not written.
    Ruler,
    Text,
}

/// A line of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Line {
    /// Number of the line in the file, from 1.
    pub(crate) number: u32,
    /// Number of the page, from 0.
    pub(crate) page: u32,
    pub(crate) kind: Kind,
    /// Whether it is a line of a table: three words or more, many of them numbers, dates, codes or signs, and no label with a
    /// colon.
    pub(crate) is_body: bool,
    /// Characters at their printed places.
    pub(crate) print: Vec<char>,
    /// For each printed place the column in the file's line, from 1.
    origin: Vec<u32>,
}

/// A piece of a line between blanks: printed places from `start` up to `end`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Span {
    pub(crate) start: usize,
    pub(crate) end: usize,
}

impl Span {
    pub(crate) const fn overlaps(self, other: Self) -> bool {
        self.start < other.end && other.start < self.end
    }
}

impl Line {
    /// Pieces that stand at least `gap` blanks apart. A colon belongs to the label before it, however far ("Machine      : RM-3").
    pub(crate) fn pieces(&self, gap: usize) -> Vec<Span> {
        let mut pieces: Vec<Span> = Vec::new();
        for (at, _) in self.print.iter().enumerate().filter(|(_, c)| !c.is_whitespace()) {
            match pieces.last_mut() {
                Some(last) if at < last.end + gap || self.is_colon_alone(at) => last.end = at + 1,
                _ => pieces.push(Span { start: at, end: at + 1 }),
            }
        }
        pieces
    }

    fn is_colon_alone(&self, at: usize) -> bool {
        let blank = |place: Option<&char>| place.is_none_or(|c| c.is_whitespace());
        self.print.get(at) == Some(&':') && blank(self.print.get(at + 1))
    }

    /// Text of a piece.
    pub(crate) fn text(&self, span: Span) -> String {
        self.print.get(span.start..span.end).unwrap_or_default().iter().collect()
    }

    /// Address of a printed place: `line:column`, both from 1.
    pub(crate) fn address(&self, at: usize) -> String {
        let column = self.origin.get(at).copied().unwrap_or(1);
        format!("{}:{column}", self.number)
    }
}

/// The lines of `text`. Where line feeds end lines, a lone carriage return goes back to print bold or underline, which adds nothing;
/// else it ends lines itself.
pub(crate) fn all(text: &str) -> Vec<Line> {
    let end = if text.contains('\n') { '\n' } else { '\r' };
    let mut page = 0;
    let mut lines = Vec::new();
    for (number, source) in (1_u32..).zip(text.split(end)) {
        let mut source = source.strip_suffix('\r').unwrap_or(source);
        let mut offset = 0_u32;
        // A form feed before the text begins a page, one after it ends the page for the next line.
        while let Some(rest) = source.strip_prefix('\u{C}') {
            (source, offset, page) = (rest, offset + 1, page + 1);
        }
        let (body, feeds) = split_feeds(source);
        let mut printed = body.split('\r').scan(offset, |from, pass| {
            let start = *from;
            *from += u32::try_from(pass.chars().count()).unwrap_or(0) + 1;
            Some((start, pass))
        });
        let first = printed.next().unwrap_or((offset, ""));
        lines.push(line(number, page, first.0, first.1));
        let others =
            printed.filter(|(_, pass)| *pass != first.1 && !pass.chars().all(|c| c == '_' || c.is_whitespace()));
        lines.extend(others.map(|(start, pass)| line(number, page, start, pass)));
        page += feeds;
    }
    if lines.last().is_some_and(|line| line.kind == Kind::Blank) {
        lines.pop();
    }
    mark_pairs_of_numbers(&mut lines);
    for at in 1..lines.len() {
        if heads_groups(&lines, at - 1) {
            lines[at - 1].is_body = false;
        }
    }
    lines
}

/// Fewest lines of two numbers that are a table.
const FEWEST_PAIRS: usize = 4;
/// Lines between the names of two columns and their numbers: units and a ruler.
const BETWEEN: usize = 3;

/// Lines of two numbers far apart, four or more beneath each other under two headings ("Time   Resistance"), are those of a table.
fn mark_pairs_of_numbers(lines: &mut [Line]) {
    let mut at = 0;
    while at < lines.len() {
        let count = lines
            .iter()
            .skip(at)
            .take_while(|line| tells(line, |text| shape::of(text) == shape::Shape::Number))
            .count();
        let above = lines.get(at.saturating_sub(BETWEEN)..at).unwrap_or_default();
        let is_name = |text: &str| shape::of(text) == shape::Shape::Words;
        if count >= FEWEST_PAIRS && above.iter().any(|line| tells(line, is_name)) {
            lines.iter_mut().skip(at).take(count).for_each(|line| line.is_body = true);
        }
        at += count.max(1);
    }
}

/// Whether a line is two words far apart that are both such.
fn tells(line: &Line, is_such: impl Fn(&str) -> bool) -> bool {
    let (pieces, words) = (line.pieces(2), line.pieces(1));
    line.kind == Kind::Text
        && pieces.len() == 2
        && words.len() == 2
        && words.iter().all(|word| is_such(&line.text(*word)))
}

/// Whether a line is the dates, years or times over groups of columns: nothing else in it, and headings in more columns right below.
fn heads_groups(lines: &[Line], at: usize) -> bool {
    let (Some(line), Some(below)) = (lines.get(at), lines.get(at + 1)) else { return false };
    let pieces = line.pieces(2);
    let is_date = |text: &str| {
        let is_year = text.len() == 4 && (text.starts_with("19") || text.starts_with("20"));
        is_year && text.bytes().all(|b| b.is_ascii_digit()) || shape::of(text) == shape::Shape::Date
    };
    // "15 s", "10 min": a number and a unit of time.
    let is_time = |text: &str| {
        let unit = text.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == ',').trim_start();
        unit.len() < text.len() && matches!(unit, "s" | "sec" | "min" | "mn" | "h")
    };
    below.kind == Kind::Text
        && !below.is_body
        && below.pieces(2).len() > pieces.len()
        && pieces.len() >= 2
        && pieces.iter().map(|piece| line.text(*piece)).all(|text| is_date(&text) || is_time(&text))
}

/// The text before trailing form feeds, and how many there are.
fn split_feeds(source: &str) -> (&str, u32) {
    let body = source.trim_end_matches('\u{C}');
    (body, u32::try_from(source.len() - body.len()).unwrap_or(u32::MAX))
}

fn line(number: u32, page: u32, offset: u32, source: &str) -> Line {
    let (mut print, mut origin): (Vec<char>, Vec<u32>) = (Vec::new(), Vec::new());
    let (mut at, mut is_command) = (0_usize, false);
    for (column, c) in (offset + 1..).zip(source.chars()) {
        match c {
            _ if is_command => is_command = false,
            '\u{1B}' => is_command = true,
            '\t' => at = (at / TAB + 1) * TAB,
            '\u{8}' => at = at.saturating_sub(1),
            _ if c.is_control() || c == '\u{FEFF}' => {}
            _ => {
                print.resize(print.len().max(at + 1), ' ');
                origin.resize(origin.len().max(at + 1), column);
                let is_free = print.get(at).is_some_and(|place| place.is_whitespace() || *place == '_');
                if let (true, Some(place), Some(from)) = (is_free, print.get_mut(at), origin.get_mut(at)) {
                    (*place, *from) = (c, column);
                }
                at += 1;
            }
        }
    }
    let kind = kind(&print);
    if kind == Kind::Text {
        blank_out_frames(&mut print);
        blank_out_leaders(&mut print);
    }
    let mut line = Line { number, page, kind, is_body: false, print, origin };
    line.is_body = is_body(&line);
    line
}

fn is_body(line: &Line) -> bool {
    if line.kind != Kind::Text {
        return false;
    }
    let words = without_days_in_words(line, line.pieces(1));
    let typed = words.iter().filter(|word| shape::of(&line.text(**word)).is_typed()).count();
    let is_label = |word: &Span| line.print.get(word.end - 1) == Some(&':');
    // "Page 2 of 3" is a sentence.
    let is_one_piece = line.pieces(2).len() == 1;
    let is_sentence = is_one_piece && words.len() - typed >= 2;
    // "--- BOILER 1", "** LINE 2 **" stand over the lines of a section.
    let is_drawn = |word: &Span| word.end - word.start >= 2 && line.text(*word).chars().all(|c| RULER.contains(c));
    let is_section = is_one_piece && words.first().is_some_and(is_drawn) && typed < words.len();
    words.len() >= 3
        && !is_sentence
        && !is_section
        && !names_terminals(line, &words)
        && !is_quotient_with_value(line)
        && !words.iter().any(is_label)
        && typed * 5 >= words.len() * 2
        && typed >= 2
}

/// The words of a line, of which a day with its month in letters ("25 November 1994") is one.
fn without_days_in_words(line: &Line, words: Vec<Span>) -> Vec<Span> {
    let is_number = |span: Option<&Span>, lengths: std::ops::RangeInclusive<usize>| {
        let text = span.map(|span| line.text(*span)).unwrap_or_default();
        let digits = text.trim_end_matches('.');
        lengths.contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit())
    };
    let is_month = |span: Option<&Span>| {
        let text = span.map(|span| line.text(*span)).unwrap_or_default();
        text.chars().count() >= 3 && text.chars().all(char::is_alphabetic)
    };
    let mut kept: Vec<Span> = Vec::new();
    let mut at = 0;
    while let Some(word) = words.get(at) {
        let is_near = words.get(at + 2).is_some_and(|last| last.start.saturating_sub(word.end) <= 20);
        let is_day = is_near
            && is_number(Some(word), 1..=2)
            && is_month(words.get(at + 1))
            && is_number(words.get(at + 2), 4..=4);
        let last = if is_day { words.get(at + 2).unwrap_or(word) } else { word };
        kept.push(Span { start: word.start, end: last.end });
        at += if is_day { 3 } else { 1 };
    }
    kept
}

/// "RATIO 10M/1M      3.17": the name of a quotient of two times and its value, which are no line of a table.
fn is_quotient_with_value(line: &Line) -> bool {
    let pieces = line.pieces(2);
    let [label, value] = pieces.as_slice() else { return false };
    let label = line.text(*label);
    let is_time = |text: &str| {
        let digits = text.trim_start_matches(char::is_alphabetic);
        digits.starts_with(|c: char| c.is_ascii_digit()) && text.len() <= 5
    };
    let is_quotient = |word: &str| word.split_once('/').is_some_and(|(over, under)| is_time(over) && is_time(under));
    let mut words = label.split_whitespace();
    let is_led = words.next().is_some_and(|word| word.chars().all(char::is_alphabetic));
    is_led && words.any(is_quotient) && shape::of(&line.text(*value)) == shape::Shape::Number
}

/// "L1 - L2   L2 - L3": letters with or without a digit, and signs between them, head groups of columns.
fn names_terminals(line: &Line, words: &[Span]) -> bool {
    let is_terminal = |text: &str| {
        let mut letters = text.chars();
        let first = letters.next().is_some_and(|c| c.is_alphabetic() || "-/–→".contains(c));
        first && text.chars().count() <= 2 && letters.all(|c| c.is_ascii_digit())
    };
    words.iter().all(|word| is_terminal(&line.text(*word)))
}

fn kind(print: &[char]) -> Kind {
    let drawn = print.iter().filter(|c| RULER.contains(**c)).count();
    let written = print.iter().filter(|c| !c.is_whitespace()).count();
    match written {
        0 => Kind::Blank,
        _ if drawn == written && longest_run(print) >= 3 => Kind::Ruler,
        _ => Kind::Text,
    }
}

fn longest_run(print: &[char]) -> usize {
    let same = print.chunk_by(|a, b| a == b && !a.is_whitespace());
    same.map(<[char]>::len).max().unwrap_or(0)
}

/// Upright strokes between columns are drawn, not written.
fn blank_out_frames(print: &mut [char]) {
    let is_blank = |c: Option<&char>| c.is_none_or(|c| c.is_whitespace());
    for at in 0..print.len() {
        let alone = is_blank(at.checked_sub(1).and_then(|i| print.get(i))) || is_blank(print.get(at + 1));
        match print.get_mut(at) {
            Some(c) if matches!(c, '│' | '║' | '┃') || (*c == '|' && alone) => *c = ' ',
            _ => {}
        }
    }
}

/// Dots and underscores that lead from a label to its value are blanks.
fn blank_out_leaders(print: &mut [char]) {
    let mut at = 0;
    while let Some(first) = print.get(at).copied() {
        let run = print.get(at..).unwrap_or_default().iter().take_while(|c| **c == first).count();
        let is_blank = |place: Option<&char>| place.is_none_or(|c| c.is_whitespace());
        let stands_alone =
            is_blank(at.checked_sub(1).and_then(|before| print.get(before))) && is_blank(print.get(at + run));
        if matches!(first, '.' | '_') && (run >= 4 || (run >= 2 && stands_alone)) {
            print.get_mut(at..at + run).unwrap_or_default().fill(' ');
        }
        at += run;
    }
}
