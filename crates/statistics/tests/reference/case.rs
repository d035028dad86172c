//! One reference case.

use serde_json::Value;
use std::cell::Cell;

/// A case, which counts what was held against it.
pub(crate) struct Case {
    value: Value,
    held: Cell<usize>,
}

/// Cases of `stats_<name>.json`.
pub(crate) fn cases(name: &str) -> Vec<Case> {
    let all: Vec<Value> = serde_json::from_str(&text(name)).unwrap();
    all.into_iter().map(|value| Case { value, held: Cell::new(0) }).collect()
}

fn text(name: &str) -> String {
    let path = format!("{}/../../tests/reference/stats_{name}.json", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

pub(crate) fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

/// Truth values, written as true and false or as 1 and 0.
pub(crate) fn truths(value: &Value) -> Vec<bool> {
    value.as_array().unwrap().iter().map(|flag| flag.as_bool().unwrap_or_else(|| flag.as_u64() == Some(1))).collect()
}

impl Case {
    pub(crate) fn id(&self) -> &str {
        self.value["id"].as_str().unwrap()
    }

    /// What stands before the slash of its id.
    pub(crate) fn group(&self) -> &str {
        self.id().split('/').next().unwrap()
    }

    pub(crate) fn input(&self, name: &str) -> &Value {
        &self.value["inputs"][name]
    }

    pub(crate) fn expected(&self, name: &str) -> &Value {
        &self.value["expected"][name]
    }

    pub(crate) fn all_expected(&self) -> &Value {
        &self.value["expected"]
    }

    /// The shared data set that its inputs name.
    pub(crate) fn dataset(&self) -> Option<Value> {
        let name = self.input("dataset").as_str()?.split(' ').next()?.to_owned();
        let sets: Vec<Value> = serde_json::from_str(&text("datasets")).unwrap();
        Some(sets.into_iter().find(|set| set["id"] == name.as_str()).unwrap())
    }

    /// A number at the tolerance of the case; absolute 1e-12 where 0 is expected, as the README says.
    pub(crate) fn holds(&self, name: &str, have: f64) {
        self.near(name, have, self.expected(name).as_f64().unwrap_or_else(|| panic!("{}: no {name}", self.id())));
    }

    /// The same against a number that stands deeper in the case.
    pub(crate) fn near(&self, name: &str, have: f64, want: f64) {
        self.within(name, have, want, self.value["rel_tol"].as_f64().unwrap());
    }

    /// The same at a tolerance that the case's note gives.
    pub(crate) fn within(&self, name: &str, have: f64, want: f64, relative: f64) {
        let allowed = if want == 0.0 { 1e-12 } else { relative * want.abs() };
        assert!((have - want).abs() <= allowed, "{}: {name} is {have}, {want} by {}", self.id(), self.value["library"]);
        self.held.set(self.held.get() + 1);
    }

    pub(crate) fn all_hold(&self, name: &str, have: &[f64]) {
        let wanted = numbers(self.expected(name));
        assert_eq!(have.len(), wanted.len(), "{}: {name}", self.id());
        for (have, want) in have.iter().zip(wanted) {
            self.near(name, *have, want);
        }
    }

    /// A number that may be open: null.
    pub(crate) fn holds_or_open(&self, name: &str, have: Option<f64>, want: &Value) {
        match (have, want.as_f64()) {
            (Some(have), Some(want)) => self.near(name, have, want),
            (None, None) => self.held.set(self.held.get() + 1),
            (have, want) => panic!("{}: {name} is {have:?}, {want:?} by {}", self.id(), self.value["library"]),
        }
    }

    /// Fails for a case of which nothing was compared.
    pub(crate) fn was_held(&self) {
        assert!(self.held.get() > 0, "{}: nothing was held against it", self.id());
    }

    pub(crate) fn unknown(&self) -> ! {
        panic!("no function runs the case {}", self.id())
    }
}
