//! `backup` and `restore`

use std::fs;
use std::os::unix::fs::{MetadataExt as _, chown};

use super::process::{Server, run, stderr, stdout};
use super::trouble::not_run;

#[test]
fn a_club_is_backed_up_while_it_is_served_and_restored_when_it_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data");
    let mut server = Server::start(&["demo", "--data", data.to_str().unwrap()]);
    server.line_with("Stop it with");
    let copy = folder.path().join("copy.sqlite");
    let copy_text = copy.to_str().unwrap();

    let backup = run(&["backup", copy_text], &data);
    assert_eq!(backup.status.code(), Some(0), "{}", stderr(&backup));
    assert!(stdout(&backup).contains("sound"), "{}", stdout(&backup));
    let again = run(&["backup", copy_text], &data);
    assert_eq!(again.status.code(), Some(2), "a backup was overwritten");

    let in_use = run(&["restore", copy_text], &data);
    assert_eq!(in_use.status.code(), Some(1));
    assert!(stderr(&in_use).contains("stop it first"), "{}", stderr(&in_use));
    assert!(server.get("/readyz").starts_with("HTTP/1.1 200"), "the club was disturbed");
    server.signal("-TERM");
    assert_eq!(server.end(), Some(0));

    let before = stdout(&run(&["export", "members"], &data)).to_owned();
    let elsewhere = folder.path().join("elsewhere");
    for place in [&data, &elsewhere] {
        let restored = run(&["restore", copy_text], place);
        assert_eq!(restored.status.code(), Some(0), "{}", stderr(&restored));
        assert_eq!(stdout(&run(&["export", "members"], place)), before);
        assert_eq!(stdout(&run(&["check"], place)), "All is well.\n");
    }
    let kept = fs::read_dir(&data).unwrap().any(|entry| {
        entry.unwrap().file_name().to_string_lossy().starts_with("club.sqlite.before-restore-")
    });
    assert!(kept, "what stood there before was not kept");

    // Restored as root, it is the service's own all the same.
    let theirs = folder.path().join("theirs");
    fs::create_dir(&theirs).unwrap();
    if chown(&theirs, Some(8420), Some(8420)).is_err() {
        return not_run("no folder can be given away here (that needs root)");
    }
    let restored = run(&["restore", copy_text], &theirs);
    assert_eq!(restored.status.code(), Some(0), "{}", stderr(&restored));
    for file in fs::read_dir(&theirs).unwrap().map(Result::unwrap) {
        assert_eq!(file.metadata().unwrap().uid(), 8420, "{}", file.path().display());
    }
}

#[test]
fn what_is_no_backup_is_refused_by_name() {
    let folder = tempfile::tempdir().unwrap();
    let table = folder.path().join("table.csv");
    fs::write(&table, "asset_tag,name\n").unwrap();
    let refused = run(&["restore", table.to_str().unwrap()], &folder.path().join("data"));
    assert_eq!(refused.status.code(), Some(1));
    assert!(stderr(&refused).contains("table.csv is no sound copy of a club"));
    let missing = run(&["backup", "x.sqlite"], folder.path());
    assert_eq!(missing.status.code(), Some(2), "{}", stderr(&missing));
}
