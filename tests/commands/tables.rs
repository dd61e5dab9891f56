//! `import`, `export`, `check` and `account`

use std::fs;

use super::process::{Server, run, stderr, stdout};

/// A folder with a club in it that nobody serves.
fn club() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let mut server = Server::start(&["demo", "--data", folder.path().to_str().unwrap()]);
    server.line_with("Stop it with");
    server.signal("-TERM");
    assert_eq!(server.end(), Some(0));
    folder
}

#[test]
fn a_table_goes_out_and_comes_in_again_unchanged() {
    let folder = club();
    let out = run(&["export", "eyepieces"], folder.path());
    assert_eq!(out.status.code(), Some(0));
    let file = folder.path().join("eyepieces.csv");
    fs::write(&file, &out.stdout).unwrap();
    let back = run(&["import", "eyepieces", file.to_str().unwrap()], folder.path());
    assert_eq!(back.status.code(), Some(0), "{}", stderr(&back));
    assert!(stdout(&back).starts_with("eyepieces: 0 added, 0 changed, "), "{}", stdout(&back));
}

#[test]
fn a_table_with_a_bad_cell_is_refused_by_line_and_nothing_is_stored() {
    let folder = club();
    let before = run(&["export", "barlows"], folder.path()).stdout;
    let file = folder.path().join("barlows.csv");
    let header = std::str::from_utf8(&before).unwrap().lines().next().unwrap();
    let good = "B-90,Fine,2,31.75,plain,115,2009,in_service,";
    let bad = "B-91,Bad,2,1.25,plain,115,2009,in_service,";
    fs::write(&file, format!("{header}\n{good}\n{bad}\n")).unwrap();
    let refused = run(&["import", "barlows", file.to_str().unwrap()], folder.path());
    assert_eq!(refused.status.code(), Some(1));
    assert!(stderr(&refused).contains("barrel_mm"), "{}", stderr(&refused));
    assert_eq!(run(&["export", "barlows"], folder.path()).stdout, before);

    fs::write(&file, format!("{header}\n{good}\n")).unwrap();
    let dry = run(&["import", "barlows", file.to_str().unwrap(), "--dry-run"], folder.path());
    assert!(stdout(&dry).starts_with("barlows: 1 added"), "{}", stdout(&dry));
    assert_eq!(run(&["export", "barlows"], folder.path()).stdout, before);
}

#[test]
fn eyes_go_out_only_when_asked_for() {
    let folder = club();
    let plain = run(&["export", "members"], folder.path());
    assert!(!stdout(&plain).contains("birth_year"));
    let with_eyes = run(&["export", "members", "--with-eyes"], folder.path());
    assert!(stdout(&with_eyes).contains("birth_year"));
}

#[test]
fn somebody_who_is_invited_gets_a_link() {
    let folder = club();
    let invite = ["account", "invite", "--email", "greta.l@example.com", "--role", "member"];
    let link = run(&invite, folder.path());
    assert_eq!(link.status.code(), Some(0), "{}", stderr(&link));
    assert!(stdout(&link).starts_with("http://127.0.0.1:8420/setup/"), "{}", stdout(&link));
    let wrong = ["account", "invite", "--email", "greta", "--role", "member"];
    assert_eq!(run(&wrong, folder.path()).status.code(), Some(2));
    let wrong = ["account", "invite", "--email", "greta.l@example.com", "--role", "king"];
    assert_eq!(run(&wrong, folder.path()).status.code(), Some(2));
}

#[test]
fn without_a_club_or_a_file_the_sentence_says_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    for arguments in [&["check"][..], &["export", "members"]] {
        let refused = run(arguments, folder.path());
        assert_eq!(refused.status.code(), Some(2), "{arguments:?}");
        assert!(stderr(&refused).contains("borrowed-light serve"), "{}", stderr(&refused));
    }
    let refused = run(&["import", "filters", "nowhere.csv"], folder.path());
    assert_eq!(refused.status.code(), Some(2));
    let refused = run(&["export", "spoons"], folder.path());
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).contains("telescopes, eyepieces"), "{}", stderr(&refused));
}

#[test]
fn a_file_of_any_size_is_refused_without_being_read_to_its_end() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("endless.csv");
    // Eight gigabytes that take no room: read whole, they would not fit into the limit below.
    fs::File::create(&file).unwrap().set_len(8 * 1024 * 1024 * 1024).unwrap();
    let data = folder.path().join("data");
    run(&["club", "--name", "Windmill Hill", "--time-zone", "Europe/London"], &data);
    let words = "ulimit -v 4000000; exec \"$0\" \"$@\"";
    let refused = std::process::Command::new("bash")
        .args(["-c", words, env!("CARGO_BIN_EXE_borrowed-light"), "import", "members"])
        .arg(&file)
        .env("BORROWED_LIGHT_DATA", &data)
        .output()
        .unwrap();
    assert_eq!(refused.status.code(), Some(1), "{}", stderr(&refused));
    assert!(stderr(&refused).contains("larger than 32 MB"), "{}", stderr(&refused));
}
