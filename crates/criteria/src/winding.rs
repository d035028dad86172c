//! Of which insulation system the winding was that a test measured, by what the nameplate tells.

/// Insulation system of a winding at the time of a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Era {
    /// The records tell it; `true` for thermosetting.
    Told(bool),
    /// The year in which the winding was made tells it; `true` for thermosetting.
    ByYear(bool),
    /// Nobody can say, and why.
    Open(&'static str),
}

/// Years of a machine's windings.
#[derive(Debug, Clone, Copy)]
pub struct Years<'a> {
    /// Year of manufacture.
    pub made: Option<i32>,
    /// Years of rewinds.
    pub rewound: &'a [i32],
}

impl Years<'_> {
    /// Earliest and latest year in which the winding tested in the year `tested` could have been made; `None` if no year is
    /// told.
    ///
    /// Only the years of rewinds are known, so a rewind in the year of the test leaves both windings possible, and without a
    /// date every winding that the machine ever had.
    #[must_use]
    pub fn of_winding(self, tested: Option<i32>) -> Option<[i32; 2]> {
        let years = || self.made.into_iter().chain(self.rewound.iter().copied());
        let Some(tested) = tested else {
            return Some([years().min()?, years().max()?]);
        };
        let latest = years().filter(|year| *year <= tested).max();
        let latest_before = years().filter(|year| *year < tested).max();
        match (latest, latest_before) {
            (Some(latest), Some(before)) => Some([before.min(latest), latest]),
            (Some(latest), None) => Some([latest, latest]),
            // Made or rewound after the test: the winding tested is older than any year told.
            (None, _) => None,
        }
    }
}

/// The insulation system of the winding tested in the year `tested`: as `told`, else by the year and the year
/// `thermosetting_since` from which windings count as thermosetting.
///
/// ```
/// use windrow_criteria::winding::{Era, Years, era};
/// let rewound = Years { made: Some(1955), rewound: &[1992] };
/// assert_eq!(era(None, rewound, Some(1980), 1970), Era::ByYear(false));
/// assert_eq!(era(None, rewound, Some(2001), 1970), Era::ByYear(true));
/// assert!(matches!(era(None, rewound, Some(1992), 1970), Era::Open(_)), "before or after the rewind?");
/// ```
#[must_use]
pub fn era(told: Option<&str>, years: Years<'_>, tested: Option<i32>, thermosetting_since: i32) -> Era {
    let told = match told {
        Some("thermosetting") => Some(true),
        Some("thermoplastic") => Some(false),
        _ => None,
    };
    let by_year = years.of_winding(tested).map(|years| years.map(|year| year >= thermosetting_since));
    match (told, by_year) {
        (Some(told), Some([a, b])) if !years.rewound.is_empty() && (a != told || b != told) => {
            Era::Open("the insulation system told and the years of the rewinds disagree")
        }
        (Some(told), _) => Era::Told(told),
        (None, Some([a, b])) if a == b => Era::ByYear(a),
        (None, Some(_)) => Era::Open("the winding was replaced at about the time of the test"),
        (None, None) => Era::Open("the records tell neither the insulation system nor the year"),
    }
}
