//! `serve --clubs`: several clubs from one server, chosen by host name.

use std::fs;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::time::{Duration, Instant};

use super::process::{Server, binary, get_at, run, stderr, stdout};
use super::trouble::{Demo, status};

const NORTH: &str = "north.example.org";
const SOUTH: &str = "south.example.org";

/// One server for the clubs in a folder.
struct Clubs {
    server: Server,
}

impl Clubs {
    fn serve(folder: &Path, more: &[&str]) -> Self {
        let folder_text = folder.to_str().unwrap();
        let words = ["serve", "--time-zone", "Europe/Vienna", "--clubs", folder_text];
        let mut command = binary();
        command.args(words).args(["--listen", "127.0.0.1:0"]).args(more);
        Self { server: Server::heard(command, &folder.join("heard.txt")) }
    }

    fn say(&self, words: &str) -> String {
        let mut stream = TcpStream::connect(&self.server.address).unwrap();
        stream.write_all(words.as_bytes()).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    }

    fn get(&self, host: &str, path: &str, headers: &str) -> String {
        self.say(&format!(
            "GET {path} HTTP/1.1\r\nhost: {host}\r\nconnection: close\r\n{headers}\r\n"
        ))
    }

    fn post(&self, host: &str, path: &str, form: &str) -> String {
        self.say(&format!(
            "POST {path} HTTP/1.1\r\nhost: {host}\r\nconnection: close\r\nsec-fetch-site: same-origin\
             \r\ncontent-type: application/x-www-form-urlencoded\r\ncontent-length: {}\r\n\r\n{form}",
            form.len()
        ))
    }

    /// Asks until the answer has this status, because a folder is looked through now and then.
    fn until(&self, host: &str, path: &str, wanted: u16) -> String {
        let begun = Instant::now();
        loop {
            let answer = self.get(host, path, "");
            if status(&answer) == wanted {
                return answer;
            }
            assert!(begun.elapsed() < Duration::from_secs(40), "still {answer}");
            std::thread::sleep(Duration::from_millis(200));
        }
    }
}

/// The session cookie that an answer sets.
fn session(answer: &str) -> String {
    let line = answer.lines().find(|line| line.starts_with("set-cookie: borrowed-light="));
    let line = line.unwrap_or_else(|| panic!("no session in:\n{answer}"));
    line.trim_start_matches("set-cookie: ").split(';').next().unwrap().to_owned()
}

/// Two clubs with an administrator of the same address and another password each; gives the server
/// and both sessions.
fn two_clubs(folder: &Path, more: &[&str]) -> (Clubs, [String; 2]) {
    for host in [NORTH, SOUTH] {
        fs::create_dir(folder.join(host)).unwrap();
    }
    let mut clubs = Clubs::serve(folder, more);
    let links = [0, 1].map(|_| clubs.server.line_with("/setup/"));
    let sessions = [(NORTH, "the+first+evening+star"), (SOUTH, "the+last+morning+cloud")].map(
        |(host, password)| {
            let link = links.iter().find(|link| link.contains(&format!("//{host}"))).unwrap();
            let path = &link[link.find("/setup/").unwrap()..];
            let form = format!("name=Ada&email=ada%40example.org&password={password}");
            session(&clubs.post(host, path, &form))
        },
    );
    (clubs, sessions)
}

#[test]
fn two_clubs_share_a_server_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let (clubs, [north, south]) = two_clubs(folder.path(), &[]);
    // The same address signs in at each with its own password only.
    let sign_in = |host: &str, password: &str| {
        clubs.post(host, "/sign-in", &format!("email=ada%40example.org&password={password}"))
    };
    assert_eq!(status(&sign_in(NORTH, "the+first+evening+star")), 303);
    assert_ne!(status(&sign_in(SOUTH, "the+first+evening+star")), 303);
    assert_ne!(status(&sign_in(NORTH, "the+last+morning+cloud")), 303);
    // A session opens its own club and is nobody's at the other.
    let at = |host: &str, cookie: &str| {
        clubs.get(host, "/account/second-factor", &format!("cookie: {cookie}\r\n"))
    };
    assert_eq!(status(&at(NORTH, &north)), 200);
    assert_eq!(status(&at(SOUTH, &south)), 200);
    assert_ne!(status(&at(SOUTH, &north)), 200);
    assert_ne!(status(&at(NORTH, &south)), 200);
    // Cookies name no domain, so browsers keep them to the host as well.
    assert!(!sign_in(NORTH, "the+first+evening+star").to_lowercase().contains("domain="));
    // A port, another case and a last dot are the same host; another host is nobody's.
    assert_eq!(status(&clubs.get("NORTH.example.org.:8420", "/sign-in", "")), 200);
    for stranger in ["example.org", "127.0.0.1", "..", "north.example.org.evil.example"] {
        let lost = clubs.get(stranger, "/sign-in", "accept: text/html\r\n");
        assert_eq!(status(&lost), 421, "{stranger}: {lost}");
        assert!(lost.contains("No club lives under this name"), "{lost}");
        assert!(lost.contains("content-security-policy: "), "{lost}");
        assert!(!lost.contains("north.") && !lost.contains("south."), "{lost}");
        // Even who is lost may ask for red light, and comes back to where they were.
        let red = clubs.post(stranger, "/scheme", "scheme=red&return=%2Fsign-in");
        assert_eq!(status(&red), 303, "{red}");
        assert!(red.contains("location: /sign-in\r\n"), "{red}");
        let lost = clubs.get(stranger, "/sign-in", "accept: text/html\r\ncookie: scheme=red\r\n");
        assert!(red.contains("set-cookie: scheme=red;") && lost.contains("data-scheme=\"red\""));
    }
    let two = clubs.say(&format!(
        "GET /sign-in HTTP/1.1\r\nhost: {NORTH}\r\nhost: {SOUTH}\r\nconnection: close\r\n\r\n"
    ));
    assert_ne!(status(&two), 200, "{two}");
    assert_eq!(status(&clubs.get("127.0.0.1", "/healthz", "")), 200);
    assert_eq!(status(&clubs.get("127.0.0.1", "/readyz", "")), 200);
    clubs.server.signal("-TERM");
    assert_eq!(clubs.server.end(), Some(0));
    for host in [NORTH, SOUTH] {
        let data = folder.path().join(host);
        assert!(!data.join("club.sqlite-wal").exists(), "{host}: the log was not folded in");
        assert_eq!(stdout(&run(&["check"], &data)), "All is well.\n");
        assert_eq!(fs::read_dir(data.join("backups")).unwrap().count(), 1, "{host}: no copy");
    }
}

#[test]
fn figures_are_told_for_each_host_and_name_nobody() {
    let folder = tempfile::tempdir().unwrap();
    let free = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap();
    let watched = free.to_string();
    let (clubs, _) = two_clubs(folder.path(), &["--metrics", &watched]);
    let figures = get_at(&watched, "/metrics");
    for host in [NORTH, SOUTH] {
        let line = format!("borrowed_light_database_bytes{{host=\"{host}\"}} ");
        assert!(figures.contains(&line), "{figures}");
    }
    assert!(figures.contains("# EOF") && !figures.contains("ada"), "{figures}");
    drop(clubs);
}

#[test]
fn a_damaged_club_stops_no_other_and_is_opened_once_it_is_mended() {
    let folder = tempfile::tempdir().unwrap();
    let demo = Demo::in_folder(folder.path());
    let sound = folder.path().join("sound.sqlite");
    assert_eq!(run(&["backup", sound.to_str().unwrap()], &demo.data).status.code(), Some(0));
    drop(demo);
    let all = folder.path().join("clubs");
    for host in [NORTH, SOUTH] {
        fs::create_dir_all(all.join(host)).unwrap();
    }
    fs::copy(&sound, all.join(SOUTH).join("club.sqlite")).unwrap();
    fs::write(all.join(NORTH).join("club.sqlite"), "a shopping list, ".repeat(500)).unwrap();
    let clubs = Clubs::serve(&all, &[]);
    assert_eq!(status(&clubs.get(SOUTH, "/sign-in", "")), 200);
    let shut = clubs.get(NORTH, "/sign-in", "accept: text/html\r\n");
    assert_eq!(status(&shut), 503, "{shut}");
    assert!(shut.contains("records can’t be opened at the moment"), "{shut}");
    let heard = fs::read_to_string(all.join("heard.txt")).unwrap();
    assert!(heard.contains("north.example.org is not served: "), "{heard}");
    assert!(heard.contains("the database is damaged, or no database at all"), "{heard}");
    // Mended beside the running server, which tries again by itself.
    let restored = run(&["restore", sound.to_str().unwrap()], &all.join(NORTH));
    assert_eq!(restored.status.code(), Some(0), "{}", stderr(&restored));
    clubs.server.signal("-HUP");
    clubs.until(NORTH, "/sign-in", 200);
}

#[test]
fn clubs_come_and_go_without_a_restart() {
    let folder = tempfile::tempdir().unwrap();
    let mut clubs = Clubs::serve(folder.path(), &["--public-url", "https://*"]);
    clubs.server.line_with("There is no club in it yet");
    assert_eq!(status(&clubs.get(NORTH, "/sign-in", "")), 421);
    let data = folder.path().join(NORTH);
    fs::create_dir(&data).unwrap();
    clubs.server.signal("-HUP");
    let link = clubs.server.line_with("/setup/");
    assert!(link.starts_with("https://north.example.org/setup/"), "{link}");
    let open = clubs.until(NORTH, "/sign-in", 200);
    assert!(open.contains("strict-transport-security: "), "{open}");
    // Closed for a while: its database is let go of and can be restored.
    let copy = folder.path().join("copy.sqlite");
    assert_eq!(run(&["backup", copy.to_str().unwrap()], &data).status.code(), Some(0));
    let in_use = run(&["restore", copy.to_str().unwrap()], &data);
    assert!(stderr(&in_use).contains("a server is using this club"), "{}", stderr(&in_use));
    fs::write(data.join("closed"), "").unwrap();
    clubs.server.signal("-HUP");
    clubs.until(NORTH, "/sign-in", 503);
    let begun = Instant::now();
    while run(&["restore", copy.to_str().unwrap()], &data).status.code() != Some(0) {
        assert!(begun.elapsed() < Duration::from_secs(20), "its database is still in use");
    }
    fs::remove_file(data.join("closed")).unwrap();
    clubs.server.signal("-HUP");
    clubs.until(NORTH, "/sign-in", 200);
    // One that is closed when it is first seen has its door, too, and loses it with its folder.
    let closed = folder.path().join(SOUTH);
    fs::create_dir(&closed).unwrap();
    fs::write(closed.join("closed"), "").unwrap();
    clubs.server.signal("-HUP");
    clubs.until(SOUTH, "/sign-in", 503);
    fs::remove_dir_all(&closed).unwrap();
    clubs.server.signal("-HUP");
    clubs.until(SOUTH, "/sign-in", 421);
    fs::rename(&data, folder.path().join("Gone")).unwrap();
    clubs.server.signal("-HUP");
    clubs.until(NORTH, "/sign-in", 421);
}

#[test]
fn a_club_may_have_a_sender_of_its_own_and_a_bad_one_stops_nobody() {
    let folder = tempfile::tempdir().unwrap();
    for host in [NORTH, SOUTH] {
        fs::create_dir(folder.path().join(host)).unwrap();
    }
    let sender = folder.path().join(NORTH).join("sender");
    fs::write(&sender, "Northern Lights <lend@north.example.org>\n").unwrap();
    fs::write(folder.path().join(SOUTH).join("sender"), "nobody at all\n").unwrap();
    let mail = ["--smtp-server", "127.0.0.1", "--smtp-port", "9", "--smtp-tls", "none"];
    let mut clubs =
        Clubs::serve(folder.path(), &[&mail[..], &["--smtp-from", "all@example.org"]].concat());
    let link = clubs.server.line_with("/setup/");
    let path = &link[link.find("/setup/").unwrap()..];
    let ada = session(&clubs.post(
        NORTH,
        path,
        "name=Ada&email=ada%40example.org&password=the+first+evening+star",
    ));
    assert!(ada.starts_with("borrowed-light="));
    // A sender that can't be one is told, and the club waits for a better one.
    assert_eq!(status(&clubs.get(SOUTH, "/sign-in", "")), 503);
    let heard = || fs::read_to_string(folder.path().join("heard.txt")).unwrap();
    let told = "“nobody at all” is no address that letters can come from";
    assert!(heard().contains("south.example.org is not served: ") && heard().contains(told));
    fs::remove_file(folder.path().join(SOUTH).join("sender")).unwrap();
    clubs.server.signal("-HUP");
    clubs.until(SOUTH, "/sign-in", 200);
    // An open club goes on with the sender it had.
    fs::write(&sender, "gone wrong").unwrap();
    clubs.server.signal("-HUP");
    let begun = Instant::now();
    while !heard().contains("north.example.org goes on as it was: ") {
        assert!(begun.elapsed() < Duration::from_secs(20), "{}", heard());
        std::thread::sleep(Duration::from_millis(100));
    }
    assert_eq!(status(&clubs.get(NORTH, "/sign-in", "")), 200);
}

#[test]
fn without_a_mail_server_another_sender_closes_no_club() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join(NORTH)).unwrap();
    let mut clubs = Clubs::serve(folder.path(), &[]);
    clubs.server.line_with("/setup/");
    let heard = || fs::read_to_string(folder.path().join("heard.txt")).unwrap();
    let sender = folder.path().join(NORTH).join("sender");
    // A new club in the same look shows that the look is over.
    for (text, host) in [("lend@north.example.org\n", SOUTH), ("nobody at all\n", "w.example.org")]
    {
        fs::write(&sender, text).unwrap();
        fs::create_dir(folder.path().join(host)).unwrap();
        clubs.server.signal("-HUP");
        clubs.until(host, "/sign-in", 200);
    }
    assert!(!heard().contains("a club is closed"), "{}", heard());
    assert!(!heard().contains("north.example.org goes on as it was"), "{}", heard());
    fs::remove_dir_all(folder.path().join(SOUTH)).unwrap();
    clubs.server.signal("-HUP");
    clubs.until(SOUTH, "/sign-in", 421);
    let begun = Instant::now();
    while !heard().contains("a club is closed") {
        assert!(begun.elapsed() < Duration::from_secs(20), "{}", heard());
        std::thread::sleep(Duration::from_millis(50));
    }
}

#[test]
fn an_address_without_a_star_does_not_fit_several_clubs() {
    let folder = tempfile::tempdir().unwrap();
    let clubs = folder.path().to_str().unwrap();
    let words = ["serve", "--clubs", clubs, "--listen", "127.0.0.1:0"];
    let refused =
        run(&[&words[..], &["--public-url", "https://lend.example.org"]].concat(), folder.path());
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).contains("--public-url https://*"), "{}", stderr(&refused));
}
