//! Spans of hidden rows or columns.

/// Spans as they are told: in any order, over each other, up to the end of the sheet.
#[derive(Debug, Default)]
pub struct Spans(Vec<(u32, u32)>);

impl Spans {
    /// Adds the rows or columns from `first` to `last`.
    pub fn add(&mut self, first: u32, last: u32) {
        match self.0.last_mut() {
            Some(span) if span.1.saturating_add(1) == first => span.1 = last,
            _ if first <= last => self.0.push((first, last)),
            _ => {}
        }
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The numbers in the spans up to `end`, sorted, each once.
    #[must_use]
    pub fn up_to(mut self, end: u32) -> Vec<u32> {
        self.0.sort_unstable();
        let mut numbers: Vec<u32> = Vec::new();
        for (first, last) in self.0 {
            let next = numbers.last().map_or(0, |number| number + 1);
            numbers.extend(first.max(next)..=last.min(end));
        }
        numbers
    }
}

#[cfg(test)]
mod tests {
    use super::Spans;

    #[test]
    fn overlapping_spans_give_each_number_once_and_none_beyond_the_end() {
        let mut spans = Spans::default();
        for (first, last) in [(4, 6), (7, 7), (0, 1), (5, 9), (20, 4_000_000_000)] {
            spans.add(first, last);
        }
        assert_eq!(spans.up_to(21), [0, 1, 4, 5, 6, 7, 8, 9, 20, 21]);
    }
}
