//! Long lists, a page at a time.

use crate::params::Params;
use maud::{Markup, html};

/// Rows on a page.
const AT_ONCE: usize = 50;

/// One page of a list.
pub(super) struct Paged<T> {
    /// The rows of the page.
    pub(super) shown: Vec<T>,
    at: usize,
    pages: usize,
}

/// The page of `found` that is asked for; the nearest where there is no such page.
pub(super) fn paged<T: Copy>(found: &[T], params: &Params) -> Paged<T> {
    let pages = found.len().div_ceil(AT_ONCE).max(1);
    let at = params.number("page").unwrap_or(1).clamp(1, pages);
    Paged { shown: found.iter().copied().skip((at - 1) * AT_ONCE).take(AT_ONCE).collect(), at, pages }
}

impl<T> Paged<T> {
    /// The way to the pages before and after.
    pub(super) fn turn(&self, params: &Params) -> Markup {
        let to = |page: usize| params.with(&[("page", &page.to_string())]);
        html! {
            @if self.pages > 1 {
                nav.turn aria-label="Pages of the list" {
                    @if self.at > 1 { a rel="prev" href=(to(self.at - 1)) { "Before" } }
                    span { "page " (self.at) " of " (self.pages) }
                    @if self.at < self.pages { a rel="next" href=(to(self.at + 1)) { "After" } }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::paged;
    use crate::params::Params;

    #[test]
    fn every_row_stands_on_one_page() {
        let all: Vec<usize> = (0..101).collect();
        let page = |told: &str| paged(&all, &Params::read(told.as_bytes())).shown;
        assert_eq!([page(""), page("page=2"), page("page=3")].concat(), all);
        assert_eq!((page("page=0"), page("page=99")), (page("page=1"), page("page=3")));
    }
}
