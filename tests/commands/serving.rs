//! `demo` and `serve`

use std::fs;
use std::os::unix::fs::PermissionsExt as _;

use super::process::{Server, binary, get_at, run, stderr, stdout};

#[test]
fn the_help_fits_eighty_columns_and_tells_no_values_of_variables() {
    for words in [&["help"][..], &["serve", "--help"], &["serve", "-h"], &["demo", "--help"]] {
        let mut command = binary();
        let asked = command.args(words).env("COLUMNS", "80").env("BORROWED_LIGHT_CLUB", "Secret");
        let output = asked.output().unwrap();
        let help = stdout(&output);
        let widest = help.lines().max_by_key(|line| line.chars().count()).unwrap();
        assert!(widest.chars().count() <= 80, "{words:?}: {widest}");
        assert!(!help.contains("Secret"), "{help}");
    }
    let output = run(&["serve", "--help"], std::path::Path::new("."));
    let (mail, copies) =
        (stdout(&output).find("\nMail (").unwrap(), stdout(&output).find("\nCopies:").unwrap());
    let at = |option: &str| stdout(&output).find(option).unwrap();
    assert!((mail..copies).contains(&at("--smtp-from")) && at("--backups-kept") > copies);
}

#[test]
fn a_demo_is_ready_with_a_sign_in_for_each_role_and_leaves_a_tidy_database() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("new");
    let data_text = data.to_str().unwrap();
    let mut server = Server::start(&["demo", "--data", data_text, "--today", "2026-06-01"]);
    server.line_with("Stop it with");
    assert!(server.get("/readyz").starts_with("HTTP/1.1 200"));

    let file = data.join("demo-access.json");
    assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o600);
    assert_eq!(fs::metadata(&data).unwrap().permissions().mode() & 0o777, 0o700);
    let access: serde_json::Value = serde_json::from_slice(&fs::read(&file).unwrap()).unwrap();
    assert_eq!(access["base_url"], format!("http://{}", server.address));
    let accounts = access["accounts"].as_array().unwrap();
    for role in ["member", "quartermaster", "outreach", "admin"] {
        let one = accounts.iter().find(|one| one["role"] == role).unwrap();
        for field in ["email", "password", "token"] {
            assert!(one[field].as_str().unwrap().len() >= 10, "{role} {field}");
        }
    }
    let token = accounts[0]["token"].as_str().unwrap();
    let api = server
        .get(&format!("/api/v1/openapi.json HTTP/1.1\r\nauthorization: Bearer {token}\r\nx-rest:"));
    assert!(api.starts_with("HTTP/1.1 200"), "{api}");

    server.signal("-TERM");
    assert_eq!(server.end(), Some(0));
    assert!(!data.join("club.sqlite-wal").exists(), "the log was not folded in");
    let check = run(&["check"], &data);
    assert_eq!((check.status.code(), stdout(&check)), (Some(0), "All is well.\n"));
    let nights = run(&["export", "reservations"], &data);
    assert!(stdout(&nights).contains("2026-06-05"), "the pinned date did not hold");
}

#[test]
fn figures_for_watchers_are_told_on_a_listener_of_their_own_and_nowhere_else() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().to_str().unwrap();
    // A port that was free a moment ago.
    let free = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap();
    let watched = free.to_string();
    let server = Server::start(&["serve", "--data", data, "--metrics", &watched]);
    assert!(server.get("/healthz").starts_with("HTTP/1.1 200"));
    assert!(server.get("/metrics").starts_with("HTTP/1.1 404"), "not where browsers come");
    let secret = "/setup/a-secret-that-nobody-may-learn";
    server.get(secret);
    let figures = get_at(&watched, "/metrics");
    assert!(figures.contains("application/openmetrics-text; version=1.0.0"), "{figures}");
    for line in [
        "borrowed_light_requests_total{method=\"GET\",route=\"/healthz\",status=\"200\"} 1",
        "borrowed_light_requests_total{method=\"GET\",route=\"/setup/{token}\",status=\"404\"} 1",
        "borrowed_light_database_bytes ",
        "borrowed_light_letters_waiting 0",
        "# EOF",
    ] {
        assert!(figures.contains(line), "{line} is not in\n{figures}");
    }
    assert!(!figures.contains("a-secret"), "a route is a pattern");
    assert!(get_at(&watched, "/").starts_with("HTTP/1.1 404"), "nothing else there");
}

#[test]
fn a_demo_overwrites_nothing() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("mine.txt"), "mine").unwrap();
    let refused = run(&["demo", "--listen", "127.0.0.1:0"], folder.path());
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).contains("is not empty"), "{}", stderr(&refused));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn a_demo_without_a_folder_clears_up_behind_itself() {
    let mut server = Server::start(&["demo"]);
    let line = server.line_with("demo-access.json");
    let path = line.split_whitespace().find(|word| word.ends_with("demo-access.json")).unwrap();
    let folder = std::path::Path::new(path).parent().unwrap().to_owned();
    server.line_with("Stop it with");
    assert!(folder.join("club.sqlite").exists());
    server.signal("-INT");
    assert_eq!(server.end(), Some(0));
    assert!(!folder.exists());
}

#[test]
fn the_first_start_prints_a_link_until_an_administrator_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let options =
        ["serve", "--data", folder.path().to_str().unwrap(), "--time-zone", "Europe/Vienna"];
    let mut links: Vec<String> = Vec::new();
    for _ in 0..2 {
        let mut server = Server::start(&options);
        let link = server.line_with("/setup/");
        let path = link.strip_prefix(&format!("http://{}", server.address)).unwrap().to_owned();
        assert!(server.get(&path).starts_with("HTTP/1.1 200"));
        if let Some(older) = links.last() {
            assert!(server.get(older).starts_with("HTTP/1.1 404"), "the older link still holds");
        }
        links.push(path);
        server.signal("-TERM");
        assert_eq!(server.end(), Some(0));
    }
}

#[test]
fn a_second_signal_ends_at_once_what_the_first_would_wait_for() {
    let folder = tempfile::tempdir().unwrap();
    let mut server = Server::start(&["demo", "--data", folder.path().to_str().unwrap()]);
    server.line_with("Stop it with");
    // A request that never ends: its body is announced and not sent.
    let _hanging = server.connect(
        "POST /sign-in HTTP/1.1\r\nhost: a\r\nsec-fetch-site: same-origin\r\n\
         content-type: application/x-www-form-urlencoded\r\ncontent-length: 100\r\n\r\nemail=",
    );
    assert!(server.get("/healthz").starts_with("HTTP/1.1 200"));
    server.signal("-TERM");
    // The first signal has arrived once nobody is let in any more.
    while std::net::TcpStream::connect(&server.address).is_ok() {
        std::thread::yield_now();
    }
    server.signal("-TERM");
    assert_eq!(server.end(), Some(130));
}

#[test]
fn an_address_that_is_taken_is_named() {
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let address = taken.local_addr().unwrap().to_string();
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("new");
    let refused = run(&["demo", "--listen", &address], &data);
    assert_eq!(refused.status.code(), Some(1));
    assert!(stderr(&refused).contains(&address) && stderr(&refused).contains("--listen"));
    assert!(!data.exists(), "something was left behind");
}

#[test]
fn wrong_use_is_told_apart_from_failure() {
    for arguments in [&["serve", "--listen", "nowhere"][..], &["demo", "--today", "soon"], &["x"]] {
        let refused = binary().args(arguments).output().unwrap();
        assert_eq!(refused.status.code(), Some(2), "{arguments:?}");
    }
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().to_str().unwrap();
    let bad = ["serve", "--data", data, "--public-url", "lend.example.org"];
    let refused = binary().args(bad).output().unwrap();
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).contains("is not a public address"), "{}", stderr(&refused));
}

#[test]
fn two_demos_find_an_address_each() {
    let mut both = [Server::anywhere(&["demo"]), Server::anywhere(&["demo"])];
    for server in &mut both {
        server.line_with("Stop it with");
        assert!(server.get("/readyz").starts_with("HTTP/1.1 200"));
    }
    assert_ne!(both[0].address, both[1].address);
    for server in both {
        server.signal("-TERM");
        assert_eq!(server.end(), Some(0));
    }
}

#[test]
fn serve_asks_its_first_administrator_for_a_second_factor_and_the_demo_does_not() {
    let folder = tempfile::tempdir().unwrap();
    let options =
        ["serve", "--data", folder.path().to_str().unwrap(), "--time-zone", "Europe/Vienna"];
    let mut server = Server::start(&options);
    let link = server.line_with("/setup/");
    let path = link.strip_prefix(&format!("http://{}", server.address)).unwrap().to_owned();
    let form = "name=Ada&email=ada%40example.org&password=the+first+evening+star";
    let session = server.sign_in_with(&path, form);
    let start = server.get(&format!("/telescopes HTTP/1.1\r\ncookie: {session}\r\nx-rest:"));
    assert!(start.starts_with("HTTP/1.1 303"), "{start}");
    assert!(start.contains("location: /account/second-factor"), "{start}");

    let data = tempfile::tempdir().unwrap();
    let mut demo = Server::start(&["demo", "--data", data.path().join("new").to_str().unwrap()]);
    demo.line_with("Stop it with");
    let file = fs::read(data.path().join("new/demo-access.json")).unwrap();
    let access: serde_json::Value = serde_json::from_slice(&file).unwrap();
    let accounts = access["accounts"].as_array().unwrap();
    let admin = accounts.iter().find(|one| one["role"] == "admin").unwrap();
    let encoded = admin["email"].as_str().unwrap().replace('@', "%40");
    let form = format!("email={encoded}&password={}", admin["password"].as_str().unwrap());
    let session = demo.sign_in_with("/sign-in", &form);
    let start = demo.get(&format!("/telescopes HTTP/1.1\r\ncookie: {session}\r\nx-rest:"));
    assert!(start.starts_with("HTTP/1.1 200"), "{start}");
}

#[test]
fn a_mail_server_that_cannot_be_used_is_told_before_anything_starts() {
    let folder = tempfile::tempdir().unwrap();
    let server = ["serve", "--smtp-server", "mail.example.org"];
    for (more, words) in [
        (&["--smtp-from", "nobody"][..], "no address that letters can come from"),
        (&["--smtp-from", "a@example.org", "--smtp-user", "lend"], "needs a pass phrase"),
        (
            &[
                "--smtp-from",
                "a@example.org",
                "--smtp-user",
                "lend",
                "--smtp-passphrase-file",
                "/dev/null",
                "--smtp-tls",
                "none",
            ],
            "would travel unprotected",
        ),
    ] {
        let refused = run(&[&server[..], more].concat(), &folder.path().join("new"));
        assert_eq!(refused.status.code(), Some(2), "{more:?}");
        assert!(stderr(&refused).contains(words), "{}", stderr(&refused));
    }
    // A file that is missing or half written may be better at the next start.
    let (missing, half) = (folder.path().join("missing"), folder.path().join("half.pem"));
    fs::write(&half, "-----BEGIN CERTIFICATE-----\nMIIB").unwrap();
    let from = ["--smtp-from", "a@example.org", "--smtp-user", "lend"];
    let (missing, half) = (missing.to_str().unwrap(), half.to_str().unwrap());
    for (more, words) in [
        (["--smtp-passphrase-file", missing, "--smtp-port", "465"], "pass phrase file"),
        (["--smtp-passphrase-file", half, "--smtp-authority-file", missing], "can't be read"),
        (
            ["--smtp-passphrase-file", half, "--smtp-authority-file", half],
            "server's certificate can't be read",
        ),
    ] {
        let refused = run(&[&server[..], &from, &more].concat(), &folder.path().join("new"));
        assert_eq!(refused.status.code(), Some(1), "{more:?}");
        assert!(stderr(&refused).contains(words), "{}", stderr(&refused));
    }
    assert!(!folder.path().join("new").exists());
}

#[test]
fn more_idle_connections_than_are_served_keep_nobody_out_for_long() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().to_str().unwrap();
    let server = Server::start(&["serve", "--data", data, "--time-zone", "Europe/Vienna"]);
    // They say nothing, so each is given up after ten seconds; no file is left without a handle.
    let idle: Vec<_> = (0..600).map(|_| server.connect("")).collect();
    assert!(server.get("/readyz").starts_with("HTTP/1.1 200"));
    let copy = folder.path().join("copy.sqlite");
    assert_eq!(run(&["backup", copy.to_str().unwrap()], folder.path()).status.code(), Some(0));
    assert!(server.get("/sign-in").starts_with("HTTP/1.1 200"));
    drop(idle);
}

#[test]
fn a_club_is_named_by_a_command_and_keeps_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let new = folder.path().join("north.example.org");
    let half = run(&["club", "--name", "Northern Lights"], &new);
    assert_eq!(half.status.code(), Some(2));
    assert!(stderr(&half).contains("give it both --name and --time-zone"), "{}", stderr(&half));
    assert!(!new.exists(), "something was left behind");
    let made = run(&["club", "--name", "Northern Lights", "--time-zone", "Europe/Oslo"], &new);
    assert_eq!(stdout(&made), "Northern Lights, Europe/Oslo\n", "{}", stderr(&made));
    let renamed = run(&["club", "--name", "Northern Lights II"], &new);
    assert_eq!(stdout(&renamed), "Northern Lights II, Europe/Oslo\n");
    assert_eq!(stdout(&run(&["club"], &new)), "Northern Lights II, Europe/Oslo\n");
}
