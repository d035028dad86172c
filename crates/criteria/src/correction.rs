//! Corrections to a common temperature, with the range in which each law holds.

/// Reference temperature of insulation resistance, °C (IEEE 43-2013 clause 6.3, from memory).
pub const INSULATION_REFERENCE_C: f64 = 40.0;
/// Reference temperature of winding resistance, °C (common practice, no source).
pub const WINDING_REFERENCE_C: f64 = 25.0;

/// A law that brings a value to a reference temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Correction {
    /// Insulation resistance halves per 10 K: thermoplastic systems. IEEE 43-2000 clause 6.3 and IEEE 43-2013, from memory.
    ThermoplasticHalving,
    /// exp[−1245 (1/(T+273) − 1/313)] from 10 to 40 °C, exp[−4230 (…)] from 40 to 85 °C: thermosetting systems.
    /// IEEE 43-2013 clause 6.3, from memory.
    ThermosettingExponential,
    /// No correction from 10 to 40 °C, halving per 17 K above: synthetic resin. IEC 60034-27-4:2018 Table 1, quoted second-hand.
    IecResin,
    /// To 25 °C, doubling for each 15 K decrease: MIL-M-17413A(NAVY), verified.
    Navy,
    /// Copper conductor, k = 234.5: IEEE 112 clause 5.2.1, quoted second-hand.
    CopperLinear,
    /// Copper conductor, k = 235: IEC 60034-1 clause 8.6.2, from memory.
    CopperLinearIec,
    /// Aluminium conductor, k = 225: IEC 60034-1 and IEEE 112, from memory.
    AluminiumLinear,
    /// Aluminium conductor, k = 228.1: tables of electrical-grade aluminium (228 verified in a tutorial).
    AluminiumLinearElectrical,
}

/// A value at the reference temperature, and how it got there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corrected {
    /// The value, in the unit it came in.
    pub value: f64,
    /// What it was multiplied by.
    pub factor: f64,
    /// The law.
    pub law: Correction,
    /// From this temperature, °C.
    pub temperature_c: f64,
    /// To this one, °C.
    pub reference_c: f64,
}

/// A temperature at which a law says nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutsideRange {
    /// The temperature, °C.
    pub temperature_c: f64,
    /// Lowest temperature of the law, °C.
    pub from_c: f64,
    /// Highest temperature of the law, °C.
    pub to_c: f64,
}

impl std::fmt::Display for OutsideRange {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{} °C is outside the range of the correction, {} to {} °C",
            self.temperature_c, self.from_c, self.to_c
        )
    }
}

impl std::error::Error for OutsideRange {}

impl Correction {
    /// Code as stored in `readings.correction`.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::ThermoplasticHalving => "thermoplastic_halving",
            Self::ThermosettingExponential => "thermosetting_exponential",
            Self::IecResin => "iec_resin",
            Self::Navy => "navy_15k",
            Self::CopperLinear | Self::CopperLinearIec => "copper_linear",
            Self::AluminiumLinear | Self::AluminiumLinearElectrical => "aluminium_linear",
        }
    }

    /// Standard, clause and how it is known.
    #[must_use]
    pub const fn basis(self) -> &'static str {
        match self {
            Self::ThermoplasticHalving => "IEEE 43-2013 clause 6.3, thermoplastic (from memory)",
            Self::ThermosettingExponential => "IEEE 43-2013 clause 6.3, thermosetting (from memory)",
            Self::IecResin => "IEC 60034-27-4:2018 Table 1 (quoted second-hand)",
            Self::Navy => "MIL-M-17413A(NAVY) (verified)",
            Self::CopperLinear => "IEEE 112 clause 5.2.1, k = 234.5 (quoted second-hand)",
            Self::CopperLinearIec => "IEC 60034-1 clause 8.6.2, k = 235 (from memory)",
            Self::AluminiumLinear => "IEC 60034-1 clause 8.6.2, k = 225 (from memory)",
            Self::AluminiumLinearElectrical => {
                "tables of electrical-grade aluminium, k = 228.1 (228 verified in a tutorial)"
            }
        }
    }

    /// Range of temperatures in which the law holds, °C.
    ///
    /// The halving rule has no published range in our sources; it is kept to the range of the standard's other law widened to
    /// freezing: below 0 °C a winding may be frozen, and above 85 °C no law of IEEE 43 speaks.
    #[must_use]
    pub const fn range_c(self) -> (f64, f64) {
        match self {
            Self::ThermoplasticHalving => (0.0, 85.0),
            Self::ThermosettingExponential | Self::IecResin => (10.0, 85.0),
            Self::Navy => (0.0, 75.0),
            Self::CopperLinear | Self::CopperLinearIec | Self::AluminiumLinear | Self::AluminiumLinearElectrical => {
                (-40.0, 200.0)
            }
        }
    }

    /// `value` at `temperature_c` brought to `reference_c` (°C).
    ///
    /// # Errors
    /// When either temperature is outside the law's range: there is no value then.
    ///
    /// ```
    /// use windrow_criteria::Correction;
    /// // worked example IR-08, and IR-17: at 5 °C the thermosetting law says nothing
    /// let at_40 = Correction::ThermosettingExponential.apply(350e6, 60.0, 40.0).unwrap();
    /// assert!((at_40.value / 1e6 - 788.086_179_4).abs() < 1e-6);
    /// assert!(Correction::ThermosettingExponential.apply(820e6, 5.0, 40.0).is_err());
    /// ```
    pub fn apply(self, value: f64, temperature_c: f64, reference_c: f64) -> Result<Corrected, OutsideRange> {
        let factor = self.factor(temperature_c, reference_c)?;
        Ok(Corrected { value: value * factor, factor, law: self, temperature_c, reference_c })
    }

    /// Factor that brings a value at `temperature_c` to `reference_c` (°C).
    ///
    /// # Errors
    /// When either temperature is outside the law's range: nothing is extrapolated silently.
    ///
    /// ```
    /// use windrow_criteria::Correction;
    /// // worked example IR-02: 150 MΩ at 25 °C by the halving rule is 53.033 MΩ at 40 °C
    /// let factor = Correction::ThermoplasticHalving.factor(25.0, 40.0).unwrap();
    /// assert!((150.0 * factor - 53.033_008_59).abs() < 1e-6);
    /// ```
    pub fn factor(self, temperature_c: f64, reference_c: f64) -> Result<f64, OutsideRange> {
        let (from_c, to_c) = self.range_c();
        for temperature in [temperature_c, reference_c] {
            if !(from_c..=to_c).contains(&temperature) {
                return Err(OutsideRange { temperature_c: temperature, from_c, to_c });
            }
        }
        Ok(self.level(temperature_c) / self.level(reference_c))
    }

    /// A function proportional to the factor to 40 °C (insulation) or inversely to the resistance (conductor).
    fn level(self, t: f64) -> f64 {
        match self {
            Self::ThermoplasticHalving => 2_f64.powf((t - 40.0) / 10.0),
            Self::ThermosettingExponential => {
                let slope = if t <= 40.0 { 1245.0 } else { 4230.0 };
                f64::exp(-slope * (1.0 / (t + 273.0) - 1.0 / 313.0))
            }
            Self::IecResin => 2_f64.powf((t - 40.0).max(0.0) / 17.0),
            Self::Navy => 2_f64.powf((t - 25.0) / 15.0),
            Self::CopperLinear => 1.0 / (234.5 + t),
            Self::CopperLinearIec => 1.0 / (235.0 + t),
            Self::AluminiumLinear => 1.0 / (225.0 + t),
            Self::AluminiumLinearElectrical => 1.0 / (228.1 + t),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Correction::{
        self, AluminiumLinear, AluminiumLinearElectrical, CopperLinear, CopperLinearIec, IecResin, Navy,
        ThermoplasticHalving, ThermosettingExponential,
    };
    use proptest::prelude::*;

    const LAWS: [Correction; 8] = [
        ThermoplasticHalving,
        ThermosettingExponential,
        IecResin,
        Navy,
        CopperLinear,
        CopperLinearIec,
        AluminiumLinear,
        AluminiumLinearElectrical,
    ];

    /// IR-10: at the reference every law is exactly 1; IR-17: 5 °C is outside the thermosetting law.
    #[test]
    fn boundaries() {
        for law in LAWS {
            let (from, to) = law.range_c();
            assert!((law.factor(40.0, 40.0).unwrap() - 1.0).abs() < f64::EPSILON);
            for (t, is_in) in [(from - 0.01, false), (from, true), (to, true), (to + 0.01, false), (f64::NAN, false)] {
                assert_eq!(law.factor(t, 40.0).is_ok(), is_in, "{law:?} at {t}");
                assert_eq!(law.factor(40.0, t).is_ok(), is_in, "{law:?} to {t}");
            }
        }
        let told = ThermosettingExponential.apply(820e6, 5.0, 40.0).unwrap_err().to_string();
        assert_eq!(told, "5 °C is outside the range of the correction, 10 to 85 °C");
    }

    /// The two branches of the thermosetting law meet at 40 °C.
    #[test]
    fn the_thermosetting_law_has_no_jump() {
        let below = ThermosettingExponential.factor(39.999_999, 40.0).unwrap();
        let above = ThermosettingExponential.factor(40.000_001, 40.0).unwrap();
        assert!(above - below < 1e-6 && above > below);
    }

    proptest! {
        #[test]
        fn forth_and_back_is_the_identity(index in 0_usize..8, value in 1e-3_f64..1e15, a in 10.0_f64..75.0, b in 10.0_f64..75.0) {
            let law = LAWS[index];
            let forth = law.apply(value, a, b).unwrap();
            let back = law.apply(forth.value, b, a).unwrap();
            prop_assert!((back.value / value - 1.0).abs() < 1e-12);
        }

        #[test]
        fn warmer_readings_are_corrected_upward_for_insulation(index in 0_usize..4, a in 10.0_f64..74.0, step in 0.1_f64..1.0) {
            let law = LAWS[index];
            prop_assert!(law.factor(a + step, 25.0).unwrap() >= law.factor(a, 25.0).unwrap());
        }

        #[test]
        fn warmer_readings_are_corrected_downward_for_conductors(index in 4_usize..8, a in -40.0_f64..199.0, step in 0.1_f64..1.0) {
            let law = LAWS[index];
            prop_assert!(law.factor(a + step, 25.0).unwrap() < law.factor(a, 25.0).unwrap());
        }
    }
}
