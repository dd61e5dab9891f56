//! Slower disks than this machine's, as small computers and cheap rented ones have them.

use std::process::Command;

use crate::club::Club;
use crate::service::Service;
use crate::writing;

/// Milliseconds that a sync takes longer: a plain solid-state disk, a good and a poor memory card.
const LONGER_MS: [&str; 3] = ["2", "5", "20"];

/// Runs this program again, once for each disk.
pub fn all() {
    let folder = tempfile::tempdir().unwrap();
    let library = folder.path().join("slow_disk.so");
    let source = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/load/slow_disk.c");
    let built = Command::new("cc")
        .args(["-O2", "-shared", "-fPIC", source, "-ldl", "-o"])
        .arg(&library)
        .status();
    assert!(built.expect("this needs a C compiler").success());
    for longer in LONGER_MS {
        println!("### A disk on which a sync takes {longer} ms longer, 1000 past loans\n");
        let done = Command::new(std::env::current_exe().unwrap())
            .arg("--only-writing")
            .env("LD_PRELOAD", &library)
            .env("SYNC_LONGER_MS", longer)
            .status();
        assert!(done.unwrap().success());
    }
}

/// What is done on each of them.
pub async fn writing() {
    let club = Club::with(2_000, 1_000).await;
    let service = Service::on(club.folder.path());
    writing::one_client(&service, &club).await;
    writing::fifty_clients(&service, &club).await;
    writing::reading_meanwhile(&service, &club);
}
