//! `serve --tls-cert --tls-key`: TLS without a proxy.

use std::fs;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use rcgen::{CertifiedKey, generate_simple_self_signed};
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName};
use tokio_rustls::rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

use super::process::{Server, binary, run, stderr};
use super::trouble::status;

const HOST: &str = "lend.example.org";

/// Makes a certificate and its key in a folder and gives the certificate.
fn certificate(folder: &Path) -> CertificateDer<'static> {
    let CertifiedKey { cert, signing_key } = generate_simple_self_signed([HOST.into()]).unwrap();
    fs::write(folder.join("key.pem"), signing_key.serialize_pem()).unwrap();
    fs::write(folder.join("cert.pem"), cert.pem()).unwrap();
    cert.der().clone()
}

/// Asks over TLS, believing this certificate alone.
fn get(address: &str, believed: &CertificateDer<'static>, path: &str) -> std::io::Result<String> {
    let mut roots = RootCertStore::empty();
    roots.add(believed.clone()).unwrap();
    let provider = Arc::new(tokio_rustls::rustls::crypto::ring::default_provider());
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .unwrap()
        .with_root_certificates(roots)
        .with_no_client_auth();
    let name = ServerName::try_from(HOST).unwrap();
    let connection = ClientConnection::new(Arc::new(config), name).unwrap();
    let mut stream = StreamOwned::new(connection, TcpStream::connect(address)?);
    let asked = format!(
        "GET {path} HTTP/1.1\r\nhost: {HOST}\r\nconnection: close\r\naccept: text/html\r\n\r\n"
    );
    stream.write_all(asked.as_bytes())?;
    let mut answer = String::new();
    stream.read_to_string(&mut answer)?;
    Ok(answer)
}

fn options(folder: &Path) -> [String; 4] {
    let file = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    ["--tls-cert".into(), file("cert.pem"), "--tls-key".into(), file("key.pem")]
}

/// A server with TLS on a port that was free a moment ago.
fn served(folder: &Path) -> (Server, String) {
    let free = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap();
    let mut command = binary();
    command.args(["serve", "--time-zone", "Europe/Vienna", "--listen", &free.to_string()]);
    command.args(["--public-url", &format!("https://{HOST}"), "--data"]);
    command.arg(folder.join("data")).args(options(folder));
    (Server::heard(command, &folder.join("heard.txt")), free.to_string())
}

#[test]
fn pages_come_over_tls_with_strict_cookies_and_plain_connections_get_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let believed = certificate(folder.path());
    let (server, address) = served(folder.path());
    let page = get(&address, &believed, "/sign-in").unwrap();
    assert_eq!(status(&page), 200, "{page}");
    assert!(page.contains("strict-transport-security: max-age=63072000"), "{page}");
    assert!(page.contains("set-cookie: __Host-visitor="), "{page}");
    assert!(page.contains("; Secure"), "{page}");
    let mut plain = TcpStream::connect(&address).unwrap();
    plain.write_all(b"GET /sign-in HTTP/1.1\r\nhost: a\r\n\r\n").unwrap();
    let mut answer = Vec::new();
    // An alert, or a connection that is closed: no page in any case.
    let _ = plain.read_to_end(&mut answer);
    assert!(!String::from_utf8_lossy(&answer).contains("HTTP/1.1"));
    server.signal("-TERM");
    assert_eq!(server.end(), Some(0));
}

#[test]
fn a_connection_that_never_begins_tls_is_given_up() {
    let folder = tempfile::tempdir().unwrap();
    let believed = certificate(folder.path());
    let (_server, address) = served(folder.path());
    let mut silent = TcpStream::connect(&address).unwrap();
    silent.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    let mut answer = Vec::new();
    // The patience above is the limit: without an end by then, this fails.
    silent.read_to_end(&mut answer).unwrap();
    assert!(answer.is_empty());
    assert!(get(&address, &believed, "/healthz").is_ok(), "others were served meanwhile");
}

#[test]
fn a_renewed_certificate_is_taken_without_a_restart_and_a_bad_one_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let old = certificate(folder.path());
    let (server, address) = served(folder.path());
    let until = |what: &str, done: &dyn Fn() -> bool| {
        let begun = Instant::now();
        while !done() {
            assert!(begun.elapsed() < Duration::from_secs(20), "{what}");
            std::thread::sleep(Duration::from_millis(50));
        }
    };
    assert!(get(&address, &old, "/healthz").is_ok());
    let heard = || fs::read_to_string(folder.path().join("heard.txt")).unwrap();
    fs::write(folder.path().join("key.pem"), "half a key").unwrap();
    server.signal("-HUP");
    until("nothing was said of the bad key", &|| heard().contains("the old one goes on"));
    assert!(get(&address, &old, "/healthz").is_ok(), "a bad pair put the good one out");
    let new = certificate(folder.path());
    server.signal("-HUP");
    until("the new one was not taken", &|| get(&address, &new, "/healthz").is_ok());
    assert!(get(&address, &old, "/healthz").is_err(), "the old one is still shown");
}

#[test]
fn what_cannot_be_a_certificate_is_told_before_anything_starts() {
    let folder = tempfile::tempdir().unwrap();
    let (one, two) = (folder.path().join("one"), folder.path().join("two"));
    for place in [&one, &two] {
        fs::create_dir(place).unwrap();
        certificate(place);
    }
    fs::write(folder.path().join("empty.pem"), "").unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let public = ["--public-url", "https://lend.example.org"];
    // What a file holds may be better at the next start; an address that doesn't fit won't.
    let (file, value) = (Some(1), Some(2));
    let tried = |certificate: &str, key: &str, more: &[&str], words: &str, status| {
        let (certificate, key) = (path(certificate), path(key));
        let given = ["serve", "--tls-cert", &certificate, "--tls-key", &key];
        let refused = run(&[&given[..], more].concat(), &folder.path().join("data"));
        assert_eq!(refused.status.code(), status, "{words}");
        assert!(stderr(&refused).contains(words), "{}", stderr(&refused));
    };
    tried("none.pem", "one/key.pem", &public, "none.pem can't be read", file);
    tried("one/cert.pem", "none.pem", &public, "give another file with --tls-key", file);
    tried("empty.pem", "one/key.pem", &public, "holds no certificate in PEM form", file);
    tried("one/key.pem", "one/key.pem", &public, "holds no certificate in PEM form", file);
    tried("one/cert.pem", "one/cert.pem", &public, "holds no private key in PEM form", file);
    tried("one/cert.pem", "two/key.pem", &public, "give the two that were made together", file);
    tried("one/cert.pem", "one/key.pem", &[], "--public-url https://lend.example.org", value);
    tried(
        "one/cert.pem",
        "one/key.pem",
        &["--public-url", "http://a.example"],
        "--public-url",
        value,
    );
    let alone = run(&["serve", "--tls-cert", &path("one/cert.pem")], &folder.path().join("data"));
    assert_eq!(alone.status.code(), Some(2));
    assert!(!folder.path().join("data").exists());
}
