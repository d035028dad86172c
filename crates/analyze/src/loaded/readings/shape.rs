//! What many readings share: quantity, circuit, bound and the like, kept once, with what rules and checks ask of it.

use crate::features::Part;
use windrow_model::kind::Outcome;
use windrow_model::{Bound, Quantity, Text};

/// What many readings share.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(in crate::loaded) struct Shape {
    pub(in crate::loaded) quantity: Text,
    pub(in crate::loaded) circuit: Option<Text>,
    pub(in crate::loaded) bound: Text,
    pub(in crate::loaded) as_reported: Text,
    pub(in crate::loaded) outcome: Option<Text>,
    pub(in crate::loaded) voltage_assumed: bool,
}

/// A [`Shape`] as a row tells it; it must hash as that does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct ToldShape<'a> {
    pub(super) quantity: &'a str,
    pub(super) circuit: Option<&'a str>,
    pub(super) bound: &'a str,
    pub(super) as_reported: &'a str,
    pub(super) outcome: Option<&'a str>,
    pub(super) voltage_assumed: bool,
}

impl Shape {
    fn told(&self) -> ToldShape<'_> {
        ToldShape {
            quantity: &self.quantity,
            circuit: self.circuit.as_deref(),
            bound: &self.bound,
            as_reported: &self.as_reported,
            outcome: self.outcome.as_deref(),
            voltage_assumed: self.voltage_assumed,
        }
    }
}

impl ToldShape<'_> {
    /// The same, kept.
    pub(super) fn shape(&self) -> Shape {
        Shape {
            quantity: Text::new(self.quantity),
            circuit: self.circuit.map(Text::new),
            bound: Text::new(self.bound),
            as_reported: Text::new(self.as_reported),
            outcome: self.outcome.map(Text::new),
            voltage_assumed: self.voltage_assumed,
        }
    }
}

impl indexmap::Equivalent<Shape> for ToldShape<'_> {
    fn equivalent(&self, shape: &Shape) -> bool {
        *self == shape.told()
    }
}

/// What a shape says, worked out once: rules and checks ask it of every reading, again and again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::loaded) struct Said {
    /// `None` for one that the schema does not know.
    pub(super) quantity: Option<Quantity>,
    pub(super) part: Option<Part>,
    pub(super) bound: Option<Bound>,
    pub(super) is_as_read: bool,
    pub(super) fate: Option<Outcome>,
}

impl Said {
    /// What a reading says whose shape is not known.
    pub(super) const NOTHING: Self = Self { quantity: None, part: None, bound: None, is_as_read: false, fate: None };

    pub(in crate::loaded) fn of(shape: &Shape) -> Self {
        Self {
            quantity: Quantity::from_code(&shape.quantity),
            part: Part::of(shape.circuit.as_deref()),
            bound: Bound::from_code(&shape.bound),
            is_as_read: shape.as_reported == "as_read",
            fate: shape.outcome.as_deref().and_then(Outcome::from_code),
        }
    }
}
