//! What became of a cell: exactly one disposition each, so that nothing is silently lost.

crate::coded_enum! {
    /// What became of one non-empty cell.
    pub enum Disposition {
        /// It became a field of a row.
        Value = "value",
        /// A header, unit or caption that gave meaning to others.
        Label = "label",
        /// A total, average or ratio that the source computed; checked against ours.
        Derived = "derived",
        /// A ditto mark or a repeat of a merged cell.
        Repeat = "repeat",
        /// Title, logo text, page number, signature line.
        Decor = "decor",
        /// Needs a person.
        Held = "held",
        /// No importer understood it.
        Unread = "unread",
    }
}
