//! What decides which rule applies to a winding.

use crate::rated;
use serde::Deserialize;

/// Which winding of a machine is meant.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Stator of an alternating-current machine.
    #[default]
    Stator,
    /// Armature of a direct-current machine.
    Armature,
    /// Wound rotor of an induction machine.
    WoundRotor,
    /// Field of a direct-current machine.
    DcField,
    /// Field of a synchronous machine.
    SynchronousField,
    /// Field of a synchronous machine that is started with the field shorted or over a low resistance.
    SynchronousFieldShorted,
    /// Main field of a brushless synchronous machine.
    BrushlessField,
}

/// State of a winding, which decides the level of a voltage test.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// Coils inserted in the core, before they are processed.
    Unprocessed,
    /// New.
    New,
    /// New, ordered with reinforced insulation.
    NewReinforced,
    /// Wholly rewound.
    Rewound,
    /// Partly rewound.
    PartlyRewound,
    /// Cleaned and dried, not rewound.
    Overhauled,
    /// The acceptance test once more.
    Repeat,
    /// In service.
    InService,
}

impl State {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Unprocessed => "before processing",
            Self::New => "new",
            Self::NewReinforced => "new, reinforced insulation",
            Self::Rewound => "rewound",
            Self::PartlyRewound => "partly rewound",
            Self::Overhauled => "overhauled",
            Self::Repeat => "acceptance test repeated",
            Self::InService => "in service",
        }
    }
}

/// What is known of a winding; every field but the part may be unknown.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Machine {
    /// Rated line-to-line voltage, V; for a field winding its rated field voltage.
    pub rated_voltage_v: Option<f64>,
    /// `random` or `form`.
    pub winding_kind: Option<String>,
    /// Year in which the winding was made.
    pub made_year: Option<i32>,
    /// `thermoplastic` or `thermosetting`.
    pub insulation_era: Option<String>,
    /// IEC 60085 thermal class.
    pub insulation_class: Option<String>,
    /// Rated power, W.
    pub rated_power_w: Option<f64>,
    /// Which winding.
    pub part: Part,
    /// Whether the site vouches that the rated voltage is line to line although it looks like a phase voltage.
    pub voltage_confirmed: bool,
}

/// A field of the nameplate that a rule needs and that is missing or cannot be true.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// Column of `assets`.
    pub field: &'static str,
    /// What is wrong and what to do, in words.
    pub reason: String,
}

impl Missing {
    pub(crate) fn new(field: &'static str, reason: impl Into<String>) -> Self {
        Self { field, reason: reason.into() }
    }
}

impl std::fmt::Display for Missing {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.reason)
    }
}

impl std::error::Error for Missing {}

impl Machine {
    /// Rated voltage, V, if it can be one.
    ///
    /// # Errors
    /// When it is not told, not positive, so low or high that its unit must be wrong, or looks like a phase voltage that nobody
    /// confirmed to be line to line: no level is made from such a figure.
    pub fn rated_voltage(&self) -> Result<f64, Missing> {
        let missing = |reason: String| Err(Missing::new("rated_voltage_v", reason));
        let Some(volts) = self.rated_voltage_v else { return missing("the records tell no rated voltage".into()) };
        match rated::doubt(volts) {
            // A field's voltage is of no series, and a rotor's neither; a site may know better than the series.
            Some(_) if rated::is_a_machines(volts) && (self.voltage_confirmed || self.part != Part::Stator) => {
                Ok(volts)
            }
            Some(doubt) => missing(doubt.reason),
            None => Ok(volts),
        }
    }

    /// Rated power, W, if it can be one.
    ///
    /// # Errors
    /// When it is not told or not positive.
    pub fn rated_power(&self) -> Result<f64, Missing> {
        self.rated_power_w
            .filter(|power| power.is_finite() && *power > 0.0)
            .ok_or_else(|| Missing::new("rated_power_w", "the records tell no rated power"))
    }

    /// `thermoplastic` or `thermosetting`: as told, else by the year in which the winding was made and the year
    /// `thermosetting_since` from which windings count as thermosetting.
    #[must_use]
    pub fn era(&self, thermosetting_since: i32) -> Option<&str> {
        match (self.insulation_era.as_deref(), self.made_year) {
            (Some(era @ ("thermoplastic" | "thermosetting")), _) => Some(era),
            (_, Some(year)) if year < thermosetting_since => Some("thermoplastic"),
            (_, Some(_)) => Some("thermosetting"),
            _ => None,
        }
    }
}
