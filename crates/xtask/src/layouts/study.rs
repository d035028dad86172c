//! What was measured: invented machines, days, circuits, times and values. No physics is claimed beyond orders of magnitude.

use super::habits::{DateStyle, Habits};
use super::layout::Circuits;
use jiff::civil::Date;
use windrow_dice::Dice;

/// What distinguishes one reading from another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Dim {
    Machine,
    Date,
    Circuit,
    Elapsed,
    Step,
    Measure,
}

/// An index per dimension.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Point([Option<usize>; 6]);

impl Point {
    pub(super) fn get(&self, dim: Dim) -> Option<usize> {
        self.0[dim as usize]
    }

    pub(super) fn with(mut self, dim: Dim, index: usize) -> Self {
        self.0[dim as usize] = Some(index);
        self
    }

    /// What either says.
    pub(super) fn and(self, other: Self) -> Self {
        let mut both = self;
        for (mine, theirs) in both.0.iter_mut().zip(other.0) {
            *mine = mine.or(theirs);
        }
        both
    }
}

/// A machine.
#[derive(Debug, Clone)]
pub(super) struct Machine {
    pub(super) tag: String,
    pub(super) serial: String,
    pub(super) volts: f64,
}

/// A unit as written, and what one of it is in the stored unit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Unit(pub(super) &'static str, pub(super) f64);

/// A measured quantity in its unit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measure {
    pub(super) quantity: &'static str,
    pub(super) unit: Unit,
}

impl Measure {
    pub(super) fn kind(&self, stepped: bool) -> &'static str {
        match self.quantity {
            "leakage_current" if stepped => "dc_step",
            "leakage_current" => "dc_withstand",
            "surge_peak_voltage" | "surge_difference" => "surge",
            "capacitance" | "dissipation_factor" => "dissipation_factor",
            "polarization_index" => "insulation_resistance",
            other => other,
        }
    }

    /// Digits that count.
    pub(super) fn digits(&self) -> i32 {
        match self.quantity {
            "winding_resistance" | "capacitance" => 4,
            "surge_difference" => 2,
            _ => 3,
        }
    }

    fn draw(quantity: &'static str, dice: &mut Dice) -> Self {
        let units: &[Unit] = match quantity {
            "insulation_resistance" => &[
                Unit("MΩ", 1e6),
                Unit("MΩ", 1e6),
                Unit("Mohm", 1e6),
                Unit("Megohms", 1e6),
                Unit("MOhm", 1e6),
                Unit("GΩ", 1e9),
                Unit("Gohm", 1e9),
                Unit("kΩ", 1e3),
            ],
            "leakage_current" => &[Unit("µA", 1e-6), Unit("uA", 1e-6), Unit("nA", 1e-9), Unit("mA", 1e-3)],
            "winding_resistance" => &[Unit("mΩ", 1e-3), Unit("Ω", 1.0), Unit("ohms", 1.0), Unit("milliohm", 1e-3)],
            "capacitance" => &[Unit("nF", 1e-9), Unit("µF", 1e-6)],
            "dissipation_factor" | "surge_difference" => &[Unit("%", 1e-2)],
            "polarization_index" => &[Unit("", 1.0)],
            "winding_temperature" => &[Unit("°C", 1.0)],
            _ => &[Unit("V", 1.0), Unit("kV", 1e3)],
        };
        Self { quantity, unit: dice.pick(units) }
    }
}

/// Everything that was measured for one file.
#[derive(Debug, Clone)]
pub(super) struct Study {
    seed: u64,
    pub(super) site: String,
    pub(super) volts: f64,
    pub(super) machines: Vec<Machine>,
    pub(super) dates: Vec<Date>,
    /// Code and name of each circuit.
    pub(super) circuits: Vec<(&'static str, String)>,
    pub(super) times: Vec<u32>,
    pub(super) steps: Vec<f64>,
    pub(super) measures: Vec<Measure>,
}

impl Study {
    /// Draws what was measured; tags carry the number of the file, so that a machine of another file is seen.
    pub(super) fn draw(seed: u64, file: u32, quantities: &[&'static str], which: Circuits, habits: &Habits) -> Self {
        let mut dice = Dice::new(seed, 1);
        let dice = &mut dice;
        let volts = dice.pick(&[500.0, 1000.0, 2500.0, 5000.0]);
        let prefixes = ["P", "FAN", "M", "CWP", "C", "BF", "MTR", "PU"];
        let tag_style = dice.between(0, 3);
        let count = dice.between(3, 7);
        let machines = (0..count)
            .map(|at| {
                let (prefix, number) = (dice.pick(&prefixes), (file * 10 + at) % 10_000);
                let tag = match tag_style {
                    0 => format!("{prefix}-{number:03}"),
                    1 => format!("{prefix}-{number:03}{}", dice.pick(&["A", "B", ""])),
                    2 => format!("{}-{prefix}-{number:03}", dice.between(1, 9)),
                    _ => format!("{prefix}{number:04}"),
                };
                let serial = format!("{}{:06}", dice.pick(&["", "S", "K-"]), 100_000 + file * 83 + at * 7);
                Machine { tag, serial, volts: dice.pick(&[500.0, 1000.0, 2500.0, 5000.0]) }
            })
            .collect();
        Self {
            seed,
            site: dice
                .pick(&["Oakley Works", "Birch Mill Station", "Tern River Plant", "Holt Power Station"])
                .to_owned(),
            volts,
            machines,
            dates: dates(habits, dice),
            circuits: circuits(which, habits),
            times: dice.pick(&[vec![60, 600], vec![30, 60, 600], vec![60, 120, 300, 600], vec![15, 30, 45, 60]]),
            steps: (1..=dice.between(4, 7)).map(|step| f64::from(step) * volts.max(1000.0)).collect(),
            measures: quantities.iter().map(|quantity| Measure::draw(quantity, dice)).collect(),
        }
    }

    /// Number of members of a dimension.
    pub(super) fn count(&self, dim: Dim) -> usize {
        match dim {
            Dim::Machine => self.machines.len(),
            Dim::Date => self.dates.len(),
            Dim::Circuit => self.circuits.len(),
            Dim::Elapsed => self.times.len(),
            Dim::Step => self.steps.len(),
            Dim::Measure => self.measures.len(),
        }
    }

    /// The measure at a point.
    pub(super) fn measure(&self, point: Point) -> Measure {
        self.measures[point.get(Dim::Measure).unwrap_or(0)]
    }

    /// The machine at a point.
    pub(super) fn machine(&self, point: Point) -> &Machine {
        &self.machines[point.get(Dim::Machine).unwrap_or(0)]
    }

    fn dice(&self, point: Point, purpose: u64) -> Dice {
        let index = |dim: Dim| point.get(dim).map_or(0, |at| at as u64 + 1);
        Dice::new(self.seed ^ (purpose << 32), index(Dim::Machine) * 64 + index(Dim::Date))
    }

    /// Temperature of the winding at a test, in whole degrees Celsius.
    pub(super) fn celsius(&self, point: Point) -> u32 {
        self.dice(point, 3).between(8, 55)
    }

    /// The value in the stored unit.
    pub(super) fn value(&self, point: Point) -> f64 {
        let mut dice = self.dice(point, 2);
        let base = dice.part();
        let seconds = point.get(Dim::Elapsed).map_or(60.0, |at| f64::from(self.times[at]));
        let absorption = 1.3 + 2.7 * dice.part();
        let resistance = 10_f64.powf(7.5 + 2.8 * base) * absorption.powf((seconds / 60.0).log10());
        let circuit = point.get(Dim::Circuit).unwrap_or(1);
        let asymmetry = [0.957, 1.0, 1.043, 1.61, 1.7, 1.66].get(circuit).copied().unwrap_or(1.0);
        let volts = point.get(Dim::Step).map_or(self.volts, |at| self.steps[at]);
        let percent = f64::from(u32::try_from(circuit).unwrap_or(0));
        match self.measure(point).quantity {
            "leakage_current" => volts / (resistance * asymmetry) * (1.0 + volts / 60_000.0),
            "winding_resistance" => 10_f64.powf(2.5 * base - 1.7) * (1.0 + 0.006 * percent),
            "capacitance" => 1e-8 * 10_f64.powf(base) * (1.0 + 0.03 * percent + volts * 1e-7),
            "dissipation_factor" => (0.004 + 0.02 * base) * (1.0 + 0.05 * percent + volts * 2e-5),
            "surge_peak_voltage" => (1500.0 + 6000.0 * base).round() * (1.0 + 0.01 * percent),
            "polarization_index" => absorption,
            "surge_difference" => 0.006 + 0.03 * base + 0.007 * percent,
            _ => resistance * asymmetry,
        }
    }
}

/// Days at least seven months apart; most of them prove the order of day and month.
fn dates(habits: &Habits, dice: &mut Dice) -> Vec<Date> {
    let mut year = i16::try_from(dice.between(1979, 2012)).unwrap_or(1990);
    let count = dice.between(3, 6);
    (0..count)
        .filter_map(|_| {
            year += i16::try_from(dice.between(1, 2)).unwrap_or(1);
            let low = if dice.chance(0.6) { 13 } else { 1 };
            let month = i8::try_from(dice.between(1, 12)).unwrap_or(1);
            let day = i8::try_from(dice.between(low, 28)).unwrap_or(1);
            match habits.dates {
                DateStyle::Year => Date::new(year, 1, 1).ok(),
                DateStyle::Month | DateStyle::MonthNumber => Date::new(year, month, 1).ok(),
                DateStyle::Quarter => Date::new(year, (month - 1) / 3 * 3 + 1, 1).ok(),
                _ => Date::new(year, month, day).ok(),
            }
        })
        .collect()
}

fn circuits(which: Circuits, habits: &Habits) -> Vec<(&'static str, String)> {
    let [u, v, w] = habits.phases;
    let pair = |a: &str, b: &str| format!("{a}{}{b}", habits.pair);
    // Where pairs stand beside, a phase alone would not say what it was measured against.
    let ground = if which == Circuits::Both && habits.earth.is_empty() { "-E" } else { &habits.earth };
    let earth = |phase: &str| format!("{phase}{ground}");
    let earths = [("U-E", earth(u)), ("V-E", earth(v)), ("W-E", earth(w))];
    let pairs = [("U-V", pair(u, v)), ("V-W", pair(v, w)), ("W-U", pair(w, u))];
    match which {
        Circuits::ToEarth => earths.into(),
        Circuits::Pairs => pairs.into(),
        Circuits::Both => earths.into_iter().chain(pairs).collect(),
    }
}
