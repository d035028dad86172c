//! The kit held to noticing: a plugin folder made for the test, good at first, then spoiled in one way after another.

use super::{Complaints, Loss, bless, check, folders, ids_are_folders, unclaimed};
use crate::Registry;
use std::fs;
use std::path::PathBuf;

/// A folder for the reader that the engine's tests register; what it reads begins with CELLS.
struct Plugin {
    root: tempfile::TempDir,
}

impl Plugin {
    fn good() -> Self {
        let plugin = Self { root: tempfile::tempdir().unwrap() };
        plugin.write("Cargo.toml", "name = \"windrow-plugin-of-the-test\"\n");
        plugin.write("README.md", "# of-the-test\n");
        plugin.write("src/lib.rs", "//! # What it reads\n//! # How it is recognised\n//! # What is lost\n");
        for (case, bytes, said) in [
            ("one.bin", "CELLS", "expect = \"read\"\ncells = 2"),
            ("two.bin", "CELLS and more", "expect = \"read\"\ncells = 2"),
            ("broken.bin", "CELLS?", "expect = \"error\""),
            ("like.bin", "cells", "expect = \"refuse\""),
        ] {
            plugin.write(&format!("samples/{case}"), bytes);
            plugin
                .write(&format!("samples/{}", case.replace(".bin", ".toml")), &format!("why = \"because\"\n{said}\n"));
        }
        plugin.bless();
        plugin
    }

    fn folder(&self) -> PathBuf {
        self.root.path().join("plugins/of-the-test")
    }

    fn write(&self, file: &str, text: &str) {
        let path = self.folder().join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    fn bless(&self) {
        bless(&self.folder(), &Registry::of_linked().unwrap(), Loss::Allowed).unwrap();
    }

    fn check(&self) -> Result<(), Complaints> {
        check(&self.folder(), &Registry::of_linked().unwrap())
    }

    /// The first complaint contains `part`, and no more than one follows from it.
    fn complains(&self, part: &str) {
        let complaints = self.check().unwrap_err();
        assert!(complaints.all().len() <= 2 && complaints.all()[0].contains(part), "{part:?} in {complaints}");
    }
}

#[test]
fn a_good_plugin_conforms() {
    assert_eq!(Plugin::good().check(), Ok(()));
}

#[test]
fn what_a_folder_lacks_is_said() {
    let lacks = |file: &str, part: &str| {
        let plugin = Plugin::good();
        fs::remove_file(plugin.folder().join(file)).unwrap();
        plugin.complains(part);
    };
    lacks("README.md", "no README.md");
    lacks("golden/one.jsonl", "has no golden: run `cargo xtask bless of-the-test`");
    lacks("samples/one.toml", "one.toml");
    lacks("samples/one.bin", "is about 0 samples");
    let plugin = Plugin::good();
    for file in ["samples/two.toml", "samples/two.bin", "golden/two.jsonl"] {
        fs::remove_file(plugin.folder().join(file)).unwrap();
    }
    plugin.complains("1 samples to Read, and needs 2");
    let plugin = Plugin::good();
    plugin.write("golden/three.jsonl", "");
    plugin.complains("golden/three.jsonl belongs to no case");
}

#[test]
fn an_outcome_other_than_said_is_noticed() {
    let spoiled = |file: &str, text: &str, part: &str| {
        let plugin = Plugin::good();
        plugin.write(file, text);
        plugin.complains(part);
    };
    spoiled(
        "samples/one.toml",
        "why = \"because\"\nexpect = \"read\"\ncells = 3\n",
        "has 2 cells, and its .toml says Some(3)",
    );
    spoiled("samples/one.toml", "why = \"because\"\nexpect = \"read\"\n", "must say exactly what can be counted");
    spoiled("samples/one.toml", "why = \"because\"\nexpect = \"read\"\ncels = 2\n", "unknown field");
    spoiled("golden/one.jsonl", "{\"sheet\":0,\"name\":\"Two\"}\n", "differs from its golden in line 1");
    spoiled("samples/like.bin", "CELLS", "must refuse it and bids 0.9");
    spoiled("samples/one.bin", &format!("CELLS{}", " ".repeat(20_000)), "20005 bytes");
}

#[test]
fn goldens_do_not_lose_anything_without_leave() {
    let plugin = Plugin::good();
    let registry = Registry::of_linked().unwrap();
    let path = plugin.folder().join("golden/one.jsonl");
    let golden = fs::read_to_string(&path).unwrap();
    let richer = golden.replace("\"name\":\"One\"", "\"name\":\"Two\",\"hidden\":true")
        + "{\"sheet\":0,\"at\":\"Z9\",\"text\":\"gone\"}\n";
    fs::write(&path, &richer).unwrap();
    let refused = bless(&plugin.folder(), &registry, Loss::Refused).unwrap();
    assert!(!refused.is_written);
    assert_eq!(refused.changed, ["of-the-test/samples/one.bin"]);
    assert!(refused.lost[0].contains("lost /hidden"), "{refused:?}");
    assert!(refused.lost[1].contains("Z9"), "{refused:?}");
    assert_eq!(fs::read_to_string(&path).unwrap(), richer, "nothing is written");
    assert!(bless(&plugin.folder(), &registry, Loss::Allowed).unwrap().is_written);
    assert_eq!(fs::read_to_string(&path).unwrap(), golden);
    let again = bless(&plugin.folder(), &registry, Loss::Refused).unwrap();
    assert!(again.changed.is_empty() && again.lost.is_empty());
}

#[test]
fn a_folder_that_is_not_linked_is_noticed_and_an_id_without_a_folder_too() {
    let plugin = Plugin::good();
    let registry = Registry::of_linked().unwrap();
    let plugins = plugin.root.path().join("plugins");
    assert_eq!(ids_are_folders(&folders(&plugins).unwrap(), &registry).into_result(), Ok(()));
    fs::create_dir_all(plugins.join("forgotten")).unwrap();
    fs::write(plugins.join("forgotten/Cargo.toml"), "").unwrap();
    let complaints = ids_are_folders(&folders(&plugins).unwrap(), &registry);
    assert!(complaints.to_string().contains("plugins/forgotten is not linked in"), "{complaints}");
    let complaints = ids_are_folders(&[], &registry);
    assert!(complaints.to_string().contains("there is no folder plugins/of-the-test"), "{complaints}");
}

#[test]
fn what_is_nobodys_stays_nobodys() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("memo.txt"), "Dear all,").unwrap();
    let registry = Registry::of_linked().unwrap();
    assert_eq!(unclaimed(folder.path(), &registry).unwrap(), Complaints::none());
    fs::write(folder.path().join("stray.bin"), "CELLS").unwrap();
    let complaints = unclaimed(folder.path(), &registry).unwrap();
    assert!(complaints.to_string().contains("stray.bin is nobody's and of-the-test reads it"));
}
