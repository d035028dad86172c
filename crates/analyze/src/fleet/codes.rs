//! Numbers for what the model only compares: sites and years, instruments, testers, makers, kinds of windings.

use crate::loaded::{Distinct, Loaded};
use foldhash::fast::FixedState;
use std::collections::HashSet;
use windrow_fleet::UNTOLD;
use windrow_model::Text;

/// Numbers of texts, in the order in which they are met.
#[derive(Debug, Default)]
pub(crate) struct Names<'a>(Distinct<&'a str>);

impl<'a> Names<'a> {
    pub(crate) fn code(&mut self, name: Option<&'a str>) -> u32 {
        let Some(name) = name.map(str::trim).filter(|name| !name.is_empty()) else { return UNTOLD };
        self.0.code(name)
    }

    /// Number of a text that was met before.
    pub(crate) fn known(&self, name: Option<&str>) -> u32 {
        name.map_or(UNTOLD, |name| self.0.known(name.trim()))
    }

    pub(crate) fn name(&self, code: u32) -> Option<&'a str> {
        self.0.get(code).copied()
    }
}

/// What the numbers of campaigns, instruments and testers stand for.
#[derive(Debug, Default)]
pub(crate) struct Codes<'a> {
    pub(crate) sites: Names<'a>,
    pub(crate) instruments: Names<'a>,
    pub(crate) testers: Names<'a>,
    pub(crate) makers: Names<'a>,
    pub(crate) classes: Names<'a>,
    pub(crate) kinds: Names<'a>,
}

impl<'a> Codes<'a> {
    /// Numbers of all texts of a fleet.
    pub(crate) fn of(loaded: &'a Loaded) -> Self {
        let mut codes = Self::default();
        for machine in &loaded.machines {
            codes.sites.code(machine.site.as_deref());
            codes.makers.code(machine.manufacturer.as_deref());
            codes.classes.code(machine.insulation_class.as_deref());
            codes.kinds.code(machine.winding_kind.as_deref());
        }
        // Few people and instruments made all tests.
        let mut met: HashSet<(u32, u32), FixedState> = HashSet::default();
        for test in loaded.tests().filter(|test| met.insert((test.instrument_code(), test.tester_code()))) {
            codes.instruments.code(test.instrument().map(Text::as_str));
            codes.testers.code(test.tester().map(Text::as_str));
        }
        codes
    }
}

/// Number of an insulation system.
pub(crate) fn era(era: Option<&str>) -> u32 {
    era.map_or(UNTOLD, |era| u32::from(era != "thermoplastic"))
}

/// Years that fit into a code beside the site.
const YEARS: u32 = 4096;

/// A site and a year as one number. Machines of no site are one group: most fleets without sites are one plant.
pub(crate) fn campaign(site: u32, year: u32) -> u32 {
    let site = if site == UNTOLD { 0 } else { site + 1 };
    site.checked_mul(YEARS)
        .and_then(|site| site.checked_add(year.min(YEARS - 1)))
        .filter(|code| *code < UNTOLD - 1)
        .unwrap_or(UNTOLD)
}

/// Site and year of such a number.
pub(crate) fn site_and_year(campaign: u32) -> (Option<u32>, u32) {
    ((campaign / YEARS).checked_sub(1), campaign % YEARS)
}

/// Two codes as one.
pub(crate) fn pair(a: u32, b: u32) -> u32 {
    const MOST: u32 = 1 << 16;
    a.min(MOST - 1) * MOST + b.min(MOST - 2)
}
