//! The tests of one machine in time.

use crate::coverage::{is_of_this_winding, replaced_in};
use crate::judge::Judged;
use crate::resistance::{self, Series};
use crate::rules::curves::{Recorded, by_circuit};
use jiff::civil::Date;
use windrow_model::Quantity;

/// A machine with its judged tests, oldest first; repeats from other sources are left out.
#[derive(Debug)]
pub(crate) struct History<'a> {
    pub(crate) asset_id: &'a str,
    pub(crate) tag: &'a str,
    pub(crate) tests: Vec<&'a Judged<'a>>,
    /// See [`History::of_this_winding`]: most rules ask for it.
    of_this_winding: Vec<&'a Judged<'a>>,
    /// See [`resistance::series`], likewise.
    pub(crate) resistance: Option<Series<'a>>,
    /// Leakage currents over the voltage in tests of this winding, see [`by_circuit`]: several rules look at them.
    pub(crate) leakage: Vec<Vec<Recorded<'a>>>,
}

/// History of one machine from its tests, oldest first; `None` where no test has a machine, or all are repeats.
pub(crate) fn of_machine<'a>(judged: &'a [Judged<'a>]) -> Option<History<'a>> {
    let mut tests: Vec<&Judged<'_>> = judged.iter().filter(|judged| judged.test.duplicate_of.is_none()).collect();
    tests.sort_by_key(|judged| judged.test.performed_on);
    let machine = tests.first()?.test.machine?;
    let of_this_winding = of_this_winding(&tests);
    Some(History {
        asset_id: &machine.asset_id,
        tag: machine.tag.as_deref().unwrap_or("unnamed machine"),
        resistance: resistance::series(&of_this_winding),
        leakage: by_circuit(&of_this_winding, Quantity::LeakageCurrent),
        of_this_winding,
        tests,
    })
}

fn of_this_winding<'a>(tests: &[&'a Judged<'a>]) -> Vec<&'a Judged<'a>> {
    let replaced = tests.last().and_then(|judged| replaced_in(judged.test));
    let is_new = |judged: &&&Judged<'_>| matches!(judged.test.stage.as_deref(), Some("new" | "after_rewind"));
    let fresh: Option<Date> = tests.iter().filter(is_new).filter_map(|judged| judged.test.performed_on).max();
    let since =
        |judged: &&&Judged<'_>| judged.test.performed_on.is_some_and(|on| fresh.is_none_or(|fresh| on >= fresh));
    let tests = tests.iter().filter(since).filter(|judged| is_of_this_winding(judged.test, replaced));
    tests.copied().collect()
}

impl<'a> History<'a> {
    /// Dated tests of the winding that is in the machine now, oldest first: behind the last rewind that is recorded, be it as a year on
    /// the nameplate or as the stage of a test.
    pub(crate) fn of_this_winding(&self) -> &[&'a Judged<'a>] {
        &self.of_this_winding
    }

    /// The newest dated test for which `has` gives something.
    pub(crate) fn newest<T>(&self, has: impl Fn(&'a Judged<'a>) -> Option<T>) -> Option<(&'a Judged<'a>, T)> {
        self.tests
            .iter()
            .rev()
            .filter(|judged| judged.test.performed_on.is_some())
            .find_map(|judged| Some((*judged, has(judged)?)))
    }
}
