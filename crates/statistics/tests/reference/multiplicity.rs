//! False-discovery control: scipy 1.17.1, equal to statsmodels 0.15.0.

use crate::case::{Case, numbers};
use windrow_statistics::multiplicity::{benjamini_hochberg, benjamini_yekutieli};

pub(crate) fn run(case: &Case) {
    let p = numbers(case.input("p"));
    case.all_hold("bh", &benjamini_hochberg(&p));
    case.all_hold("by", &benjamini_yekutieli(&p));
}
