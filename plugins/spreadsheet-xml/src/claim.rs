//! The bid for a source.

use windrow_source::{Probe, Verdict, xml};

/// Namespace of the format; its reference writes it with different case here and there.
const NAMESPACE: &str = "urn:schemas-microsoft-com:office:spreadsheet";

/// Bids for the root element of the format, nothing else.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    let decoded = xml::decode(probe.head);
    match xml::root(&decoded.text) {
        Some(root)
            if root.name == "Workbook" && root.namespaces.iter().any(|name| name.eq_ignore_ascii_case(NAMESPACE)) =>
        {
            Verdict::new(0.9, "XML whose root is a spreadsheet of 2003")
        }
        Some(root) => Verdict::refuse(format!("XML whose root <{}> is no spreadsheet of 2003", root.name)),
        None => Verdict::refuse("it is not XML"),
    }
}
