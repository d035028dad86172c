//! Insulation power factors, which are stored as the tangent of the same angle.

use windrow_model::raw::Told;
use windrow_model::{Quantity, Step, Unit};
use windrow_text::marks::{names_power_factor, names_tangent};

/// What a number is that a label calls a power factor or a dissipation factor.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Loss {
    /// A dissipation factor, or no loss at all: as it stands.
    AsRead,
    /// A power factor, as the dissipation factor in the same unit, with the step that says so.
    Converted(f64, Step),
    /// The label names both, or the number is none that a power factor can be: why.
    Open(&'static str),
}

/// What the number in `unit` is under the label of `quantity`.
///
/// By definition pf = sin δ and DF = tan δ, so DF = pf / √(1 − pf²).
pub(super) fn loss(quantity: &Told<Quantity>, number: f64, unit: Unit) -> Loss {
    if quantity.value != Quantity::DissipationFactor || !names_power_factor(&quantity.text) {
        return Loss::AsRead;
    }
    if names_tangent(&quantity.text) {
        return Loss::Open("power factor and tan delta are named, and they are different numbers");
    }
    let factor = unit.to_stored(number);
    if !(0.0..1.0).contains(&factor) || unit.factor <= 0.0 {
        return Loss::Open("a power factor lies between 0 and 1 (100 %)");
    }
    let tangent = factor / (1.0 - factor * factor).sqrt();
    let step = Step::new("power factor", "the source tells the power factor pf; stored is tan δ = pf / √(1 − pf²)");
    Loss::Converted(tangent / unit.factor, step)
}

#[cfg(test)]
mod tests {
    use super::{Loss, loss};
    use windrow_model::raw::{Told, Via};
    use windrow_model::{Quantity, Unit};

    /// Worked examples DF-01 and DF-02 (definition), read backwards: tan δ 0.0200 is a power factor of 0.0199960, 0.100 one of 0.0995037.
    #[test]
    fn a_power_factor_becomes_the_tangent_of_its_angle() {
        let told = |text: &str| Told::without_place(Quantity::DissipationFactor, Via::Column, text);
        for (factor, tangent) in [(0.019_996_001_2, 0.02), (0.099_503_719_02, 0.1)] {
            let read = loss(&told("Power factor of insulation"), factor, Unit::ONE);
            assert!(matches!(&read, Loss::Converted(number, _) if (number - tangent).abs() < 1e-9), "{read:?}");
        }
        assert_eq!(loss(&told("tan delta"), 0.1, Unit::ONE), Loss::AsRead);
        assert!(matches!(loss(&told("power factor"), 1.2, Unit::ONE), Loss::Open(_)));
        assert!(matches!(loss(&told("Tan delta / power factor"), 0.1, Unit::ONE), Loss::Open(_)));
    }
}
