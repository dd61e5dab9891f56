//! Files that are damaged: bytes overwritten, cut off, no database at all, a spoilt log. Each is told
//! in a sentence, and a copy puts it right.

use std::fs::OpenOptions;
use std::io::{Seek as _, SeekFrom, Write as _};
use std::path::{Path, PathBuf};

use super::process::{Server, run, stderr, stdout};
use super::trouble::{Demo, asked, status};

/// A club at rest, with a copy of it and a program's token.
struct Club {
    folder: tempfile::TempDir,
    data: PathBuf,
    copy: PathBuf,
    token: String,
}

fn club() -> Club {
    let folder = tempfile::tempdir().unwrap();
    let demo = Demo::in_folder(folder.path());
    let copy = folder.path().join("copy.sqlite");
    let token = demo.access("member")["token"].as_str().unwrap().to_owned();
    let data = demo.data.clone();
    demo.server.signal("-TERM");
    assert_eq!(demo.server.end(), Some(0));
    assert_eq!(run(&["backup", copy.to_str().unwrap()], &data).status.code(), Some(0));
    Club { folder, data, copy, token }
}

impl Club {
    fn database(&self) -> PathBuf {
        self.data.join("club.sqlite")
    }

    /// What must hold of every damaged club: `check` says so, no copy of it is made, and the older
    /// copy puts it right while the damaged file is kept.
    fn is_put_right_by_its_copy(&self) {
        let check = run(&["check"], &self.data);
        assert_eq!(check.status.code(), Some(1), "{}", stdout(&check));
        let said = format!("{}{}", stdout(&check), stderr(&check));
        assert!(said.contains("damaged") || said.contains("fails its own check"), "{said}");
        let another = self.folder.path().join("another.sqlite");
        let refused = run(&["backup", another.to_str().unwrap()], &self.data);
        assert_eq!(refused.status.code(), Some(1), "{}", stdout(&refused));
        assert!(!another.exists(), "a damaged copy was kept");
        let restored = run(&["restore", self.copy.to_str().unwrap()], &self.data);
        assert_eq!(restored.status.code(), Some(0), "{}", stderr(&restored));
        assert!(stdout(&restored).contains("What was there before is kept as"));
        assert_eq!(stdout(&run(&["check"], &self.data)), "All is well.\n");
    }
}

fn overwrite(path: &Path, from: u64, bytes: &[u8]) {
    let mut file = OpenOptions::new().write(true).open(path).unwrap();
    file.seek(SeekFrom::Start(from)).unwrap();
    file.write_all(bytes).unwrap();
    file.sync_all().unwrap();
}

#[test]
fn a_damaged_table_is_told_to_its_reader_and_the_rest_goes_on() {
    let club = club();
    let database = club.database();
    let root = asked(&database, "SELECT rootpage FROM sqlite_schema WHERE name = 'filter'");
    let page = asked(&database, "PRAGMA page_size");
    overwrite(&database, (root as u64 - 1) * page as u64, &vec![0xa5; page as usize]);
    let server = Server::start(&["serve", "--data", club.data.to_str().unwrap()]);
    let ask = |path: &str| {
        let token = &club.token;
        server.get(&format!("{path} HTTP/1.1\r\nauthorization: Bearer {token}\r\nx-rest:"))
    };
    let broken = ask("/api/v1/filters");
    assert_eq!(status(&broken), 500, "{broken}");
    assert!(broken.contains("A part of the club’s records can’t be read"), "{broken}");
    assert!(broken.contains("put right from a copy"), "{broken}");
    assert_eq!(status(&ask("/api/v1/sites")), 200, "what is sound is still there");
    server.signal("-TERM");
    server.end();
    club.is_put_right_by_its_copy();
}

#[test]
fn bytes_overwritten_in_the_middle_are_found() {
    let club = club();
    let length = club.database().metadata().unwrap().len();
    let damage = vec![0xa5; 128 * 1024];
    overwrite(&club.database(), length / 2, &damage);
    club.is_put_right_by_its_copy();
}

#[test]
fn a_file_that_is_cut_off_is_not_served() {
    let club = club();
    let file = OpenOptions::new().write(true).open(club.database()).unwrap();
    file.set_len(file.metadata().unwrap().len() / 2).unwrap();
    drop(file);
    club.is_put_right_by_its_copy();
}

#[test]
fn what_is_no_database_is_refused_with_the_way_out() {
    let club = club();
    std::fs::write(club.database(), "this is a shopping list, ".repeat(400)).unwrap();
    let refused = run(&["serve", "--listen", "127.0.0.1:0"], &club.data);
    assert_eq!(refused.status.code(), Some(1));
    let told = stderr(&refused);
    assert!(told.contains("club.sqlite: the database is damaged, or no database at all"), "{told}");
    assert!(told.contains("`borrowed-light restore`"), "{told}");
    club.is_put_right_by_its_copy();
}

#[test]
fn a_spoilt_log_costs_what_it_held_and_nothing_before_it() {
    let folder = tempfile::tempdir().unwrap();
    let demo = Demo::in_folder(folder.path());
    let desk = demo.session("quartermaster");
    let database = demo.database();
    let folded = "PRAGMA wal_checkpoint(TRUNCATE)";
    assert_eq!(status(&demo.close_night(&desk, "2027-03-01", "in+the+file")), 303);
    asked(&database, folded);
    assert_eq!(status(&demo.close_night(&desk, "2027-03-02", "in+the+log")), 303);
    demo.server.signal("-KILL");
    let log = database.with_file_name("club.sqlite-wal");
    let length = log.metadata().unwrap().len();
    assert!(length > 0, "there is no log to spoil");
    overwrite(&log, length / 2, &vec![0xa5; (length / 2) as usize]);
    let check = run(&["check"], &demo.data);
    assert_eq!(stdout(&check), "All is well.\n", "{}", stderr(&check));
    let kept = asked(&database, "SELECT count(*) FROM closed_night WHERE reason = 'in the file'");
    assert_eq!(kept, 1);
}
