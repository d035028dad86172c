//! Relationship parts: which part belongs to which, and as what.

use windrow_source::spreadsheet::REPAIR;
use windrow_source::{ReadError, Refusal};

use crate::package::Package;
use crate::xml::{Item, Tag};

/// A part that another refers to.
#[derive(Debug)]
pub(crate) struct Relation {
    /// Id that the other part uses.
    pub(crate) id: String,
    /// Last word of the type: `worksheet`, `comments`.
    pub(crate) kind: String,
    /// Name of the part within the package.
    pub(crate) part: String,
}

/// The name of the workbook part.
pub(crate) fn main_part(package: &mut Package<'_>) -> Result<String, ReadError> {
    let named = of(package, "")?.into_iter().find(|relation| relation.kind == "officeDocument");
    let part = named.map(|relation| relation.part).filter(|part| package.has(part));
    let usual = || ["xl/workbook.xml", "xl/workbook.bin"].into_iter().find(|part| package.has(part));
    part.or_else(|| usual().map(str::to_owned))
        .ok_or_else(|| ReadError::new(Refusal::Damaged, "the package has no workbook part", REPAIR))
}

/// What `part` refers to within the package; nothing if it has no relationships.
pub(crate) fn of(package: &mut Package<'_>, part: &str) -> Result<Vec<Relation>, ReadError> {
    let (folder, file) = part.rsplit_once('/').unwrap_or(("", part));
    let name = if folder.is_empty() { format!("_rels/{file}.rels") } else { format!("{folder}/_rels/{file}.rels") };
    let mut relations = Vec::new();
    if !package.has(&name) {
        return Ok(relations);
    }
    let mut xml = package.xml(&name)?;
    loop {
        match xml.next()? {
            Item::Open(tag) if tag.name() == "Relationship" => relations.extend(relation(&tag, folder)?),
            Item::End => return Ok(relations),
            _ => {}
        }
    }
}

fn relation(tag: &Tag<'_>, folder: &str) -> Result<Option<Relation>, ReadError> {
    let (mut id, mut kind, mut target) = (String::new(), String::new(), String::new());
    for attribute in tag.attributes() {
        match attribute? {
            ("Id", value) => id = value.into_owned(),
            ("Type", value) => value.rsplit('/').next().unwrap_or_default().clone_into(&mut kind),
            ("Target", value) => target = value.replace('\\', "/"),
            ("TargetMode", value) if value == "External" => return Ok(None),
            _ => {}
        }
    }
    Ok(Some(Relation { id, kind, part: resolved(folder, &target) }))
}

/// A target as the name of a part: absolute, or relative to the folder of the part that refers to it.
fn resolved(folder: &str, target: &str) -> String {
    let mut steps: Vec<&str> = if target.starts_with('/') { Vec::new() } else { folder.split('/').collect() };
    for step in target.split('/') {
        match step {
            "" | "." => {}
            ".." => drop(steps.pop()),
            step => steps.push(step),
        }
    }
    steps.retain(|step| !step.is_empty());
    steps.join("/")
}

#[cfg(test)]
mod tests {
    use super::resolved;

    #[test]
    fn targets_are_relative_to_their_folder_or_absolute() {
        assert_eq!(resolved("xl", "worksheets/sheet1.xml"), "xl/worksheets/sheet1.xml");
        assert_eq!(resolved("xl/worksheets", "../comments1.xml"), "xl/comments1.xml");
        assert_eq!(resolved("xl/worksheets", "/xl/comments/comment1.xml"), "xl/comments/comment1.xml");
        assert_eq!(resolved("", "../../xl/workbook.xml"), "xl/workbook.xml");
    }
}
