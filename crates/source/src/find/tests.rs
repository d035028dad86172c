use super::{DEEPEST, Obstacle, Walk, below};
use std::fs;
use std::path::Path;

fn write(folder: &Path, name: &str) {
    let path = folder.join(name);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, "x").unwrap();
}

/// Names of what is to be read, and the obstacle of everything else by name.
fn look(folder: &Path) -> (Vec<String>, Vec<(String, Obstacle)>) {
    let (mut read, mut not) = (Vec::new(), Vec::new());
    for found in below(&[folder.to_path_buf()]) {
        match found.obstacle {
            None => read.push(found.source_file),
            Some(obstacle) => not.push((found.source_file, obstacle)),
        }
    }
    (read, not)
}

#[test]
fn files_are_found_in_order_and_links_are_not_followed() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["b/2.csv", "a.csv", "b/10.csv", "c/d/e.xls"] {
        write(folder.path(), name);
    }
    #[cfg(unix)]
    std::os::unix::fs::symlink(folder.path(), folder.path().join("c/loop")).unwrap();
    let (read, not) = look(folder.path());
    assert_eq!(read, ["a.csv", "b/10.csv", "b/2.csv", "c/d/e.xls"]);
    #[cfg(unix)]
    assert!(matches!(&not[..], [(name, Obstacle::Barred(why))] if name == "c/loop" && why.contains("a link")));
    #[cfg(not(unix))]
    assert!(not.is_empty());
}

#[test]
fn what_is_no_record_is_listed_with_its_reason() {
    let folder = tempfile::tempdir().unwrap();
    let passed = ["~$log.xlsx", ".~lock.log.ods#", ".DS_Store", "Thumbs.db", "desktop.ini", "._log.xlsx"];
    for name in passed.iter().chain(&["log.xlsx", ".git/config", "fleet/windrow.toml", "fleet/store/x"]) {
        write(folder.path(), name);
    }
    let (read, not) = look(folder.path());
    assert_eq!(read, ["log.xlsx"]);
    let mut names: Vec<&str> = not.iter().map(|(name, _)| name.as_str()).collect();
    names.sort_unstable();
    let mut expected = [&passed[..], &[".git", "fleet"]].concat();
    expected.sort_unstable();
    assert_eq!(names, expected);
    assert!(not.iter().all(|(_, obstacle)| matches!(obstacle, Obstacle::Passed(why) if why.contains("nothing to do"))));
}

#[test]
fn what_is_not_there_is_said() {
    let found = below(&["/no/such/folder".into()]);
    assert!(found[0].obstacle.as_ref().unwrap().to_string().contains("check the path"));
}

#[test]
fn a_file_by_itself_goes_by_its_name_and_is_meant() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["one.csv", "~$two.csv"] {
        write(folder.path(), name);
        let found = below(&[folder.path().join(name)]);
        assert_eq!((found[0].source_file.as_str(), &found[0].obstacle), (name, &None));
    }
}

#[test]
fn a_file_given_twice_is_found_once() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "one.csv");
    assert_eq!(below(&[folder.path().to_path_buf(), folder.path().to_path_buf()]).len(), 1);
}

#[test]
fn what_lies_too_deep_is_reported_and_the_rest_is_found() {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), &format!("{}x.csv", "d/".repeat(DEEPEST + 2)));
    write(folder.path(), "z.csv");
    let (read, not) = look(folder.path());
    assert_eq!(read, ["z.csv"]);
    assert!(not[0].1.to_string().contains("64 folders deep"));
}

#[test]
fn too_many_files_are_reported() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["1.csv", "2.csv", "3.csv"] {
        write(folder.path(), name);
    }
    let mut found = Vec::new();
    Walk { origin: folder.path(), found: &mut found, most: 2 }.enter(folder.path(), "", 0);
    assert_eq!(found.len(), 3);
    assert!(found[2].obstacle.as_ref().unwrap().to_string().contains("more than the 2 files"));
}

#[cfg(unix)]
#[test]
fn devices_and_pipes_are_not_opened() {
    use std::os::unix::net::UnixListener;
    let folder = tempfile::tempdir().unwrap();
    let _socket = UnixListener::bind(folder.path().join("socket")).unwrap();
    let (_, not) = look(folder.path());
    assert!(not[0].1.to_string().contains("no regular file"));
    assert!(below(&["/dev/null".into()])[0].obstacle.is_some());
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_read_is_reported() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "shut/1.csv");
    let shut = folder.path().join("shut");
    fs::set_permissions(&shut, fs::Permissions::from_mode(0o000)).unwrap();
    let may_read_all = fs::read_dir(&shut).is_ok();
    let (read, not) = look(folder.path());
    fs::set_permissions(&shut, fs::Permissions::from_mode(0o755)).unwrap();
    if may_read_all {
        assert_eq!(read, ["shut/1.csv"], "an administrator may read everything");
    } else {
        assert!(matches!(&not[0].1, Obstacle::Barred(why) if why.contains("cannot be read")));
    }
}
