//! Plain lists as offices keep them. Common practice in records, no source; all sheets are invented.

use crate::grid::Read;

#[test]
fn a_group_without_a_merged_heading_parts_no_table() {
    let read = Read::texts(&[
        "Serie|CV|Fecha|Resistencia (Ω)|||T dev.|Aislam. a masa|Impulso, dif. %|||Ensayó",
        "|||U-V|V-W|W-U|°C|MΩ 1 min 1000 V|U-V|V-W|W-U|",
        "70315|25|2021-01-11|1.756|1.75|1.724|17|810|2.6|1.8|3.2|RG",
        "70362|40|2021-01-30|1.748|1.738|1.746|15|910|no|no|no|RG",
        "70409|40|2021-02-18|1.748|1.726|1.752|24|1500|3.6|3.6|1.9|RG",
        "70456|10|2021-03-09|0.413|0.412|0.412|18|4700|2.0|2.1|3.1|AP",
    ]);
    let serial = |cell: &str| read.found(cell)?.0.machine.serial.as_ref().map(|told| told.value.as_str());
    for cell in ["D5", "H5", "I5", "K5"] {
        assert_eq!(serial(cell), Some("70409"), "{cell}");
    }
    assert_eq!(read.quantity("D5"), Some("winding_resistance"));
    // The deviation of an impulse is that of its traces, though resistances stand beside it.
    assert_eq!(read.quantity("I5"), Some("surge_difference"));
    assert_eq!(read.celsius("D5"), Some(24.0));
}
