//! Quantities and the unit in which each is stored.

use crate::unit::{Dimension, Unit};

crate::coded_enum! {
    /// A measured quantity.
    pub enum Quantity {
        /// Resistance of the insulation.
        InsulationResistance = "insulation_resistance",
        /// Current through or over the insulation under direct voltage.
        LeakageCurrent = "leakage_current",
        /// A voltage that is itself the reading (withstand level reached).
        Voltage = "voltage",
        /// Direct-current resistance of the conductor.
        WindingResistance = "winding_resistance",
        /// Capacitance of the insulation.
        Capacitance = "capacitance",
        /// Dissipation factor, tan delta.
        DissipationFactor = "dissipation_factor",
        /// Apparent charge of partial discharges.
        PdMagnitude = "pd_magnitude",
        /// Voltage at which partial discharges begin.
        PdInceptionVoltage = "pd_inception_voltage",
        /// Voltage at which partial discharges cease.
        PdExtinctionVoltage = "pd_extinction_voltage",
        /// Peak voltage of a surge.
        SurgePeakVoltage = "surge_peak_voltage",
        /// Surge voltage at which the turn insulation begins to discharge.
        SurgeInceptionVoltage = "surge_inception_voltage",
        /// Difference of two surge responses.
        SurgeDifference = "surge_difference",
        /// Inductance.
        Inductance = "inductance",
        /// Ten-minute over one-minute resistance, as the source reports it.
        PolarizationIndex = "polarization_index",
        /// Sixty-second over thirty-second resistance, as the source reports it.
        AbsorptionRatio = "absorption_ratio",
        /// Unbalance between phases, as the source reports it.
        Unbalance = "unbalance",
        /// Temperature.
        Temperature = "temperature",
        /// Time.
        Time = "time",
    }
}

impl Quantity {
    /// Physical dimension of the quantity.
    #[must_use]
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::InsulationResistance | Self::WindingResistance => Dimension::Resistance,
            Self::LeakageCurrent => Dimension::Current,
            Self::Voltage
            | Self::PdInceptionVoltage
            | Self::PdExtinctionVoltage
            | Self::SurgePeakVoltage
            | Self::SurgeInceptionVoltage => Dimension::Voltage,
            Self::Capacitance => Dimension::Capacitance,
            Self::PdMagnitude => Dimension::Charge,
            Self::Inductance => Dimension::Inductance,
            Self::DissipationFactor
            | Self::SurgeDifference
            | Self::PolarizationIndex
            | Self::AbsorptionRatio
            | Self::Unbalance => Dimension::Ratio,
            Self::Temperature => Dimension::Temperature,
            Self::Time => Dimension::Time,
        }
    }

    /// Unit in which values of the quantity are stored.
    #[must_use]
    pub const fn stored_unit(self) -> Unit {
        self.dimension().stored_unit()
    }
}
