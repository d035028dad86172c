//! What stands on the sheets of one machine.

use std::collections::BTreeMap;
use windrow_analyze::plan::DueTest;
use windrow_criteria::cautions;
use windrow_model::{Asset, TestKind, TestSummary};

/// The sheets of one machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine<'a> {
    /// The machine.
    pub asset: &'a Asset,
    /// One sheet a due test, in the order in which the tests are made.
    pub(crate) sheets: Vec<Sheet<'a>>,
}

/// A sheet for one test.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sheet<'a> {
    pub(crate) test: &'a DueTest,
    pub(crate) form: Form,
    /// Results of the last tests of this kind, newest first, in words.
    pub(crate) last: Vec<String>,
}

/// What is to be filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// Insulation resistance after 0.5, 1 and 10 minutes.
    Insulation,
    /// Winding resistance between terminals.
    Winding,
    /// Direct voltage held on each phase, leakage current at its end.
    Withstand,
    /// Direct voltage raised in steps, leakage current at the end of each.
    Steps,
    /// Direct voltage raised steadily, leakage current on the way.
    Ramp,
    /// Alternating voltage held on each phase.
    Alternating,
    /// Surges on each pair of terminals.
    Surge,
    /// Dissipation factor and capacitance of each phase at rising alternating voltages.
    Dissipation,
    /// Partial discharges of each phase at alternating voltage.
    Discharge,
}

/// Most earlier results that are told.
const MOST_EARLIER: usize = 3;

/// The machines of `plan` that have a test for which there is a form, in the order of the plan.
#[must_use]
pub fn machines<'a>(plan: &'a [DueTest], summaries: &[TestSummary]) -> Vec<Machine<'a>> {
    let mut machines: Vec<Machine<'a>> = Vec::new();
    for test in plan {
        let Some(form) = form(test) else { continue };
        let sheet = Sheet { test, form, last: last(test, summaries) };
        match machines.last_mut() {
            Some(machine) if machine.asset.asset_id == test.asset.asset_id => machine.sheets.push(sheet),
            _ => machines.push(Machine { asset: &test.asset, sheets: vec![sheet] }),
        }
    }
    machines
}

fn form(test: &DueTest) -> Option<Form> {
    match TestKind::from_code(test.facts.kind())? {
        TestKind::InsulationResistance => Some(Form::Insulation),
        TestKind::WindingResistance => Some(Form::Winding),
        TestKind::DcWithstand => Some(Form::Withstand),
        TestKind::DcStep => Some(Form::Steps),
        TestKind::DcRamp => Some(Form::Ramp),
        TestKind::AcWithstand => Some(Form::Alternating),
        TestKind::Surge => Some(Form::Surge),
        TestKind::DissipationFactor => Some(Form::Dissipation),
        TestKind::PartialDischarge => Some(Form::Discharge),
        TestKind::Inductance | TestKind::Waveform => None,
    }
}

fn last(test: &DueTest, summaries: &[TestSummary]) -> Vec<String> {
    let mut of_kind: BTreeMap<_, &TestSummary> = BTreeMap::new();
    for summary in summaries {
        let here = summary.asset_id.as_deref() == Some(test.asset.asset_id.as_str());
        if here && summary.kind == test.facts.kind() && summary.duplicate_of.is_none() {
            of_kind.insert((summary.performed_on, &summary.test_id), summary);
        }
    }
    of_kind.values().rev().take(MOST_EARLIER).map(|summary| result(summary)).collect()
}

/// A result in words: `2019-04-01: 820 MΩ after 1 min, 205 MΩ at 40 °C, polarization index 2.10`.
fn result(summary: &TestSummary) -> String {
    let day = summary.performed_on.map_or_else(|| "day not known".to_owned(), |date| date.to_string());
    let sign = match summary.ir_bound.as_deref() {
        Some("at_least") => "at least ",
        Some("at_most") => "at most ",
        _ => "",
    };
    let mut parts = Vec::new();
    parts.extend(summary.ir_1min_ohm.map(|ohm| format!("{sign}{} after 1 min", megohms(ohm))));
    parts.extend(summary.ir_1min_40c_ohm.map(|ohm| format!("{sign}{} at 40 °C", megohms(ohm))));
    parts.extend(summary.polarization_index.map(|index| format!("polarization index {index:.2}")));
    parts.extend(summary.unbalance.map(|unbalance| format!("unbalance {:.2} %", unbalance * 100.0)));
    parts.extend(summary.dissipation_factor.map(|factor| format!("dissipation factor {:.2} %", factor * 100.0)));
    let voltages = summary.dissipation_from_v.zip(summary.dissipation_to_v);
    parts.extend(summary.dissipation_tip_up.zip(voltages).map(|(growth, (from, to))| {
        format!("growing by {:.2} percentage points from {:.2} to {:.2} kV", growth * 100.0, from / 1e3, to / 1e3)
    }));
    parts.extend(summary.pd_magnitude_c.map(|charge| format!("partial discharges {:.0} pC", charge * 1e12)));
    parts.extend(summary.max_voltage_v.map(|volts| format!("at {volts:.0} V")));
    parts.extend(summary.leakage_at_max_v_a.map(|amperes| format!("leakage current {:.2} µA", amperes * 1e6)));
    parts.extend(summary.withstood.map(|held| if held { "withstood" } else { "broke down or was stopped" }.to_owned()));
    format!("{day}: {}", if parts.is_empty() { "recorded".to_owned() } else { parts.join(", ") })
}

fn megohms(ohm: f64) -> String {
    let value = ohm / 1e6;
    if value >= 100.0 { format!("{value:.0} MΩ") } else { format!("{value:.2} MΩ") }
}

/// Nameplate as label and value.
pub(crate) fn plate(asset: &Asset) -> Vec<(&'static str, String)> {
    let mut fields = vec![("Machine", asset.tag.clone())];
    let mut add = |label, value: Option<String>| fields.extend(value.map(|value| (label, value)));
    add("Site", asset.site.clone());
    add("Serial number", asset.serial_number.clone());
    add("Rated voltage (V)", asset.rated_voltage_v.map(|volts| volts.to_string()));
    add("Rated power (kW)", asset.rated_power_w.map(|watts| (watts / 1000.0).to_string()));
    fields
}

impl Sheet<'_> {
    /// Earlier results, levels and cautions under their headings.
    pub(crate) fn notes(&self) -> Vec<(&'static str, Vec<String>)> {
        let earlier = if self.last.is_empty() { vec!["none on record".to_owned()] } else { self.last.clone() };
        let facts = self.test.facts;
        let mut told = vec![self.test.caution.to_owned()];
        told.extend(self.form.earthing());
        told.extend(cautions::GENERAL.iter().map(|caution| (*caution).to_owned()));
        vec![
            ("Last results", earlier),
            ("What the standards ask, in service (no order to test)", self.test.asks.clone()),
            ("Before the test", vec![facts.before.clone()]),
            ("What the test cannot see", vec![facts.cannot_see.clone()]),
            ("Cautions", told),
        ]
    }
}

/// Phases with as many lines as the measurement has steps.
const DISSIPATION_ROWS: [&str; 15] =
    ["U-E", "U-E", "U-E", "U-E", "U-E", "V-E", "V-E", "V-E", "V-E", "V-E", "W-E", "W-E", "W-E", "W-E", "W-E"];

/// Circumstances that every test of the insulation is read in the light of.
const CIRCUMSTANCES: [&str; 6] = [
    "Date",
    "Winding temperature (°C)",
    "Ambient temperature (°C)",
    "Relative humidity (%)",
    "Tested by",
    "Instrument",
];

impl Form {
    /// Name of the sheet.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Insulation => "Insulation resistance",
            Self::Winding => "Winding resistance",
            Self::Withstand => "DC withstand test",
            Self::Steps => "DC step test",
            Self::Ramp => "DC ramp test",
            Self::Alternating => "AC withstand test",
            Self::Surge => "Surge test",
            Self::Dissipation => "Dissipation factor test",
            Self::Discharge => "Partial discharge test",
        }
    }

    /// How long the winding stays earthed after the test as the sheet has it; `None` where nothing charges it for long, and for a ramp,
    /// whose time the highest voltage tells.
    fn earthing(self) -> Option<String> {
        let charged_s = match self {
            Self::Insulation => 600.0,
            Self::Withstand => 60.0,
            Self::Steps => 60.0 * f64::from(u8::try_from(self.rows().len()).unwrap_or(u8::MAX)),
            Self::Winding | Self::Ramp | Self::Alternating | Self::Surge | Self::Dissipation | Self::Discharge => {
                return None;
            }
        };
        let (charged, earthed) = (charged_s / 60.0, cautions::least_earthing_s(charged_s) / 60.0);
        Some(format!(
            "Charged for {charged} min, the winding stays earthed for at least {earthed} min (four times as long: IEEE 43 clause 5 and IEEE 95, \
             from memory)."
        ))
    }

    /// Labels beside which a person writes once; the first is the day.
    pub(crate) const fn blanks(self) -> &'static [&'static str] {
        match self {
            Self::Insulation => &[
                "Date",
                "Test voltage (V)",
                "Winding temperature (°C)",
                "Ambient temperature (°C)",
                "Relative humidity (%)",
                "Tested by",
                "Instrument",
            ],
            Self::Winding => &["Date", "Winding temperature (°C)", "Tested by", "Instrument"],
            Self::Withstand
            | Self::Steps
            | Self::Ramp
            | Self::Alternating
            | Self::Surge
            | Self::Dissipation
            | Self::Discharge => &CIRCUMSTANCES,
        }
    }

    /// Heads of the table of readings: what is filled in, then the blanks.
    pub(crate) const fn head(self) -> &'static [&'static str] {
        match self {
            Self::Insulation => &["Minutes", "Insulation resistance UVW-E (MΩ)"],
            Self::Winding => &["Terminals", "Resistance (Ω)"],
            Self::Withstand => &["Circuit", "DC test voltage (kV)", "Leakage current (µA)", "Result"],
            Self::Steps => &["Step", "DC test voltage (kV)", "Leakage current UVW-E (µA)", "Result"],
            Self::Ramp => &["No.", "DC test voltage (kV)", "Leakage current UVW-E (µA)", "Result"],
            Self::Alternating => &["Circuit", "AC test voltage (kV)", "Current (mA)", "Result"],
            Self::Surge => &["Terminals", "Surge peak voltage (kV)", "Difference (%)", "Result"],
            Self::Dissipation => &["Circuit", "AC test voltage (kV)", "Dissipation factor (%)", "Capacitance (nF)"],
            Self::Discharge => &[
                "Circuit",
                "AC test voltage (kV)",
                "Partial discharge (pC)",
                "Inception voltage (kV)",
                "Extinction voltage (kV)",
            ],
        }
    }

    /// What the rows of that table are for.
    pub(crate) const fn rows(self) -> &'static [&'static str] {
        match self {
            Self::Insulation => &["0.5", "1", "10"],
            Self::Winding | Self::Surge => &["U-V", "V-W", "W-U"],
            Self::Withstand | Self::Alternating | Self::Discharge => &["U-E", "V-E", "W-E"],
            // Five steps a phase: from 0.2 to 1.0 of the rated voltage in IEC 60034-27-3 (from memory).
            Self::Dissipation => &DISSIPATION_ROWS,
            Self::Steps | Self::Ramp => &["1", "2", "3", "4", "5", "6", "7", "8", "9", "10"],
        }
    }
}
