//! `unit`

use std::process::Command;

use super::process::{binary, run, stderr, stdout};

#[test]
fn the_unit_is_one_that_systemd_takes_and_calls_safe() {
    let folder = tempfile::tempdir().unwrap();
    let printed = run(&["unit", "--public-url", "https://lend.example.org"], folder.path());
    assert_eq!(printed.status.code(), Some(0));
    let unit = stdout(&printed);
    let program = binary().get_program().to_str().unwrap().to_owned();
    assert!(unit.contains(&format!("ExecStart={program} serve\n")), "{unit}");
    assert!(unit.contains("Environment=BORROWED_LIGHT_PUBLIC_URL=https://lend.example.org\n"));
    let file = folder.path().join("borrowed-light.service");
    std::fs::write(&file, unit).unwrap();
    let Ok(verified) = Command::new("systemd-analyze").arg("verify").arg(&file).output() else {
        println!("systemd-analyze is not on this machine: the unit was not verified");
        return;
    };
    // It speaks of every other unit of the machine too; only what it says of ours counts.
    let said = stderr(&verified);
    let ours: Vec<&str> = said.lines().filter(|line| line.contains("borrowed-light")).collect();
    assert!(ours.is_empty(), "{ours:#?}");
    let rated = Command::new("systemd-analyze")
        .args(["security", "--offline=true", "--no-pager", "--threshold=20"])
        .arg(&file)
        .output()
        .unwrap();
    let rating = stdout(&rated).lines().last().unwrap_or_default().to_owned();
    println!("{rating}");
    assert!(rated.status.success(), "exposure above 2.0: {rating}{}", stderr(&rated));
}

#[test]
fn the_proxy_in_front_is_named_in_the_unit() {
    let folder = tempfile::tempdir().unwrap();
    let printed =
        run(&["unit", "--trusted-proxy", "127.0.0.1", "--trusted-proxy", "::1"], folder.path());
    let line = "Environment=BORROWED_LIGHT_TRUSTED_PROXY=127.0.0.1,::1\n";
    assert!(stdout(&printed).contains(line), "{}", stdout(&printed));
    let none = run(&["unit"], folder.path());
    assert!(!stdout(&none).contains("TRUSTED_PROXY"), "{}", stdout(&none));
}

#[test]
fn a_value_that_would_begin_a_line_of_its_own_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let sly = "https://lend.example.org\nExecStartPre=/bin/sh";
    let refused = run(&["unit", "--public-url", sly], folder.path());
    assert_eq!((refused.status.code(), stdout(&refused)), (Some(2), ""));
    assert!(stderr(&refused).contains("choose a plainer one"));
}

#[test]
fn a_port_below_1024_gets_the_one_right_that_it_takes() {
    let folder = tempfile::tempdir().unwrap();
    let low = run(&["unit", "--listen", "0.0.0.0:443"], folder.path());
    for line in ["CapabilityBoundingSet", "AmbientCapabilities"] {
        let line = format!("{line}=CAP_NET_BIND_SERVICE\n");
        assert!(stdout(&low).contains(&line), "{}", stdout(&low));
    }
    assert!(!stdout(&low).contains("PrivateUsers="), "{}", stdout(&low));
    let high = run(&["unit", "--listen", "0.0.0.0:8443"], folder.path());
    assert!(stdout(&high).contains("PrivateUsers=yes\nCapabilityBoundingSet=\n"));
    assert!(!stdout(&high).contains("CAP_NET_BIND_SERVICE"));
}
