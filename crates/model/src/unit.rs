//! Units by UCUM code, with the factor to the stored (SI) unit of their dimension.
//!
//! Codes and prefixes: UCUM essence file 2.2 (2024-06-17). `[HP]` = 745.699872 W (550 ft·lbf/s);
//! metric horsepower has no UCUM atom and is written as a multiple of the watt (735.49875 W). Tens and hundreds of a unit
//! (`10.MOhm`) are what a heading such as "MΩ × 10" makes of the numbers below it.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Physical dimension of a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Dimension {
    /// Ohm.
    Resistance,
    /// Ampere.
    Current,
    /// Volt.
    Voltage,
    /// Volt per second.
    VoltageRate,
    /// Farad.
    Capacitance,
    /// Coulomb.
    Charge,
    /// Henry.
    Inductance,
    /// Degree Celsius.
    Temperature,
    /// Second.
    Time,
    /// Pure number.
    Ratio,
    /// Watt.
    Power,
    /// Volt-ampere.
    ApparentPower,
    /// Revolutions per minute.
    Speed,
    /// Hertz.
    Frequency,
}

impl Dimension {
    /// Unit in which values of this dimension are stored.
    #[must_use]
    pub const fn stored_unit(self) -> Unit {
        match self {
            Self::Resistance => Unit::OHM,
            Self::Current => Unit::AMPERE,
            Self::Voltage => Unit::VOLT,
            Self::VoltageRate => Unit::VOLT_PER_SECOND,
            Self::Capacitance => Unit::FARAD,
            Self::Charge => Unit::COULOMB,
            Self::Inductance => Unit::HENRY,
            Self::Temperature => Unit::CELSIUS,
            Self::Time => Unit::SECOND,
            Self::Ratio => Unit::ONE,
            Self::Power => Unit::WATT,
            Self::ApparentPower => Unit::VOLT_AMPERE,
            Self::Speed => Unit::PER_MINUTE,
            Self::Frequency => Unit::HERTZ,
        }
    }
}

/// A unit of measure. Compare and print it by its UCUM code.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// UCUM code (case-sensitive).
    pub ucum: &'static str,
    /// As people write it.
    pub symbol: &'static str,
    /// Physical dimension.
    pub dimension: Dimension,
    /// Stored value = (written value − `offset`) × `factor`.
    pub factor: f64,
    /// Zero point of the scale, 0 for all but degrees Fahrenheit and kelvins.
    pub offset: f64,
}

macro_rules! units {
    ($( $name:ident = $ucum:literal, $symbol:literal, $dimension:ident, $factor:expr, $offset:expr; )+) => {
        impl Unit {
            $(
                #[doc = concat!("`", $ucum, "`")]
                pub const $name: Self = Self {
                    ucum: $ucum, symbol: $symbol, dimension: Dimension::$dimension, factor: $factor, offset: $offset,
                };
            )+
            /// Every unit the program knows.
            pub const ALL: &'static [Self] = &[ $( Self::$name ),+ ];
        }
    };
}

units! {
    MICROHM = "uOhm", "µΩ", Resistance, 1e-6, 0.0;
    MILLIOHM = "mOhm", "mΩ", Resistance, 1e-3, 0.0;
    OHM = "Ohm", "Ω", Resistance, 1.0, 0.0;
    KILOHM = "kOhm", "kΩ", Resistance, 1e3, 0.0;
    MEGOHM = "MOhm", "MΩ", Resistance, 1e6, 0.0;
    GIGOHM = "GOhm", "GΩ", Resistance, 1e9, 0.0;
    TEROHM = "TOhm", "TΩ", Resistance, 1e12, 0.0;
    TEN_OHM = "10.Ohm", "×10 Ω", Resistance, 1e1, 0.0;
    HUNDRED_OHM = "100.Ohm", "×100 Ω", Resistance, 1e2, 0.0;
    TEN_KILOHM = "10.kOhm", "×10 kΩ", Resistance, 1e4, 0.0;
    HUNDRED_KILOHM = "100.kOhm", "×100 kΩ", Resistance, 1e5, 0.0;
    TEN_MEGOHM = "10.MOhm", "×10 MΩ", Resistance, 1e7, 0.0;
    HUNDRED_MEGOHM = "100.MOhm", "×100 MΩ", Resistance, 1e8, 0.0;
    TEN_GIGOHM = "10.GOhm", "×10 GΩ", Resistance, 1e10, 0.0;
    HUNDRED_GIGOHM = "100.GOhm", "×100 GΩ", Resistance, 1e11, 0.0;
    PICOAMPERE = "pA", "pA", Current, 1e-12, 0.0;
    NANOAMPERE = "nA", "nA", Current, 1e-9, 0.0;
    MICROAMPERE = "uA", "µA", Current, 1e-6, 0.0;
    MILLIAMPERE = "mA", "mA", Current, 1e-3, 0.0;
    TEN_NANOAMPERE = "10.nA", "×10 nA", Current, 1e-8, 0.0;
    HUNDRED_NANOAMPERE = "100.nA", "×100 nA", Current, 1e-7, 0.0;
    TEN_MICROAMPERE = "10.uA", "×10 µA", Current, 1e-5, 0.0;
    HUNDRED_MICROAMPERE = "100.uA", "×100 µA", Current, 1e-4, 0.0;
    AMPERE = "A", "A", Current, 1.0, 0.0;
    MILLIVOLT = "mV", "mV", Voltage, 1e-3, 0.0;
    VOLT = "V", "V", Voltage, 1.0, 0.0;
    KILOVOLT = "kV", "kV", Voltage, 1e3, 0.0;
    VOLT_PER_SECOND = "V/s", "V/s", VoltageRate, 1.0, 0.0;
    KILOVOLT_PER_SECOND = "kV/s", "kV/s", VoltageRate, 1e3, 0.0;
    VOLT_PER_MINUTE = "V/min", "V/min", VoltageRate, 1.0 / 60.0, 0.0;
    KILOVOLT_PER_MINUTE = "kV/min", "kV/min", VoltageRate, 1e3 / 60.0, 0.0;
    PICOFARAD = "pF", "pF", Capacitance, 1e-12, 0.0;
    NANOFARAD = "nF", "nF", Capacitance, 1e-9, 0.0;
    MICROFARAD = "uF", "µF", Capacitance, 1e-6, 0.0;
    MILLIFARAD = "mF", "mF", Capacitance, 1e-3, 0.0;
    FARAD = "F", "F", Capacitance, 1.0, 0.0;
    PICOCOULOMB = "pC", "pC", Charge, 1e-12, 0.0;
    NANOCOULOMB = "nC", "nC", Charge, 1e-9, 0.0;
    COULOMB = "C", "C", Charge, 1.0, 0.0;
    MICROHENRY = "uH", "µH", Inductance, 1e-6, 0.0;
    MILLIHENRY = "mH", "mH", Inductance, 1e-3, 0.0;
    HENRY = "H", "H", Inductance, 1.0, 0.0;
    CELSIUS = "Cel", "°C", Temperature, 1.0, 0.0;
    FAHRENHEIT = "[degF]", "°F", Temperature, 1.0 / 1.8, 32.0;
    KELVIN = "K", "K", Temperature, 1.0, 273.15;
    MILLISECOND = "ms", "ms", Time, 1e-3, 0.0;
    SECOND = "s", "s", Time, 1.0, 0.0;
    MINUTE = "min", "min", Time, 60.0, 0.0;
    HOUR = "h", "h", Time, 3600.0, 0.0;
    ONE = "1", "", Ratio, 1.0, 0.0;
    PERCENT = "%", "%", Ratio, 1e-2, 0.0;
    PER_MILLE = "[ppth]", "‰", Ratio, 1e-3, 0.0;
    TEN_THOUSANDTH = "10*-4", "×10⁻⁴", Ratio, 1e-4, 0.0;
    WATT = "W", "W", Power, 1.0, 0.0;
    KILOWATT = "kW", "kW", Power, 1e3, 0.0;
    MEGAWATT = "MW", "MW", Power, 1e6, 0.0;
    HORSEPOWER = "[HP]", "hp", Power, 745.699_872, 0.0;
    METRIC_HORSEPOWER = "735.49875.W", "PS", Power, 735.498_75, 0.0;
    VOLT_AMPERE = "V.A", "VA", ApparentPower, 1.0, 0.0;
    KILOVOLT_AMPERE = "kV.A", "kVA", ApparentPower, 1e3, 0.0;
    MEGAVOLT_AMPERE = "MV.A", "MVA", ApparentPower, 1e6, 0.0;
    PER_MINUTE = "/min", "1/min", Speed, 1.0, 0.0;
    HERTZ = "Hz", "Hz", Frequency, 1.0, 0.0;
}

impl Unit {
    /// The unit with this UCUM code, if the program knows it.
    #[must_use]
    pub fn from_ucum(code: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|unit| unit.ucum == code)
    }

    /// Value in the stored unit of the dimension.
    ///
    /// ```
    /// use windrow_model::Unit;
    /// // worked example UN-08: 113 °F is 45 °C
    /// assert!((Unit::FAHRENHEIT.to_stored(113.0) - 45.0).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn to_stored(self, written: f64) -> f64 {
        match self.decimal_exponent() {
            Some(exponent) => shifted(written, exponent),
            None => (written - self.offset) * self.factor,
        }
    }

    /// Inverse of [`Unit::to_stored`].
    #[must_use]
    pub fn from_stored(self, stored: f64) -> f64 {
        match self.decimal_exponent() {
            Some(exponent) => shifted(stored, -exponent),
            None => stored / self.factor + self.offset,
        }
    }

    /// The unit that is 10^`power` of this one ("×10 MΩ" for a power of 1); `None` where no known unit is.
    ///
    /// ```
    /// use windrow_model::Unit;
    /// assert_eq!(Unit::MEGOHM.times_ten_to(3), Some(Unit::GIGOHM));
    /// assert_eq!(Unit::MEGOHM.times_ten_to(1), Some(Unit::TEN_MEGOHM));
    /// assert_eq!(Unit::CELSIUS.times_ten_to(1), None);
    /// ```
    #[must_use]
    pub fn times_ten_to(self, power: i32) -> Option<Self> {
        let wanted = self.decimal_exponent()?.checked_add(power)?;
        let is_it = |unit: &&Self| unit.dimension == self.dimension && unit.decimal_exponent() == Some(wanted);
        if power == 0 { Some(self) } else { Self::ALL.iter().find(is_it).copied() }
    }

    /// The power of ten that the factor is; `None` for units with another factor or a zero point of their own.
    fn decimal_exponent(self) -> Option<i32> {
        let exponent = (-12..=12).find(|exponent| power_of_ten(*exponent).total_cmp(&self.factor).is_eq());
        exponent.filter(|_| self.offset == 0.0)
    }
}

/// 10^`exponent`, from −12 to 12, as the nearest number to the decimal text; 1 outside.
const fn power_of_ten(exponent: i32) -> f64 {
    const POWERS: [f64; 25] = [
        1e-12, 1e-11, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 1e-1, 1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6,
        1e7, 1e8, 1e9, 1e10, 1e11, 1e12,
    ];
    if exponent >= -12 && exponent <= 12 { POWERS[(exponent + 12).unsigned_abs() as usize] } else { 1.0 }
}

/// `number` · 10^`exponent` as the nearest number to the decimal text, so that "45.6 GΩ" is 45600000000 and "0.31 µA" 3.1e-7:
/// a product of floating-point numbers can be off in the last digit.
fn shifted(number: f64, exponent: i32) -> f64 {
    if exponent == 0 || !number.is_finite() {
        return number;
    }
    let text = format!("{number:e}");
    let parts = text.split_once('e').and_then(|(digits, power)| Some((digits, power.parse::<i32>().ok()?)));
    parts
        .and_then(|(digits, power)| format!("{digits}e{}", power + exponent).parse().ok())
        .unwrap_or_else(|| number * 10_f64.powi(exponent))
}

impl std::fmt::Display for Unit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.symbol)
    }
}

impl Serialize for Unit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.ucum)
    }
}

impl<'de> Deserialize<'de> for Unit {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let code = String::deserialize(deserializer)?;
        Self::from_ucum(&code).ok_or_else(|| serde::de::Error::custom(format!("unknown UCUM code {code:?}")))
    }
}

#[cfg(test)]
mod tests {
    use super::Unit;

    /// Scaling by powers of ten equals reading the shifted decimal text (worked examples UN-01 to UN-05 among others).
    #[test]
    #[expect(clippy::float_cmp, reason = "exactness is what is tested")]
    fn decimal_scaling_is_exact() {
        for (unit, written, stored) in [
            (Unit::GIGOHM, 2.5, 2.5e9),
            (Unit::GIGOHM, 1.2, 1.2e9),
            (Unit::TEROHM, 0.8, 0.8e12),
            (Unit::KILOHM, 550.0, 550e3),
            (Unit::GIGOHM, 4.35, 4.35e9),
            (Unit::MEGOHM, 16.9, 16.9e6),
            (Unit::MICROAMPERE, 0.31, 3.1e-7),
            (Unit::MILLIOHM, 504.3, 0.5043),
            (Unit::PERCENT, 1.85, 0.0185),
            (Unit::PICOCOULOMB, 120.0, 120e-12),
        ] {
            assert_eq!(unit.to_stored(written), stored, "{written} {unit}");
            assert_eq!(unit.from_stored(stored), written, "{written} {unit}");
        }
        assert!(Unit::MEGOHM.to_stored(f64::NAN).is_nan());
        assert_eq!(Unit::MEGOHM.to_stored(0.0), 0.0);
    }
}
