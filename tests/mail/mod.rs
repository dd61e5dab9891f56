//! A small mail server of our own, which does as it is told and remembers what it took.
#![allow(dead_code, reason = "each test binary uses its own part of it")]

use std::collections::VecDeque;
use std::sync::{Arc, Mutex};

use borrowed_light::post::{MailServer, Tls};
use tokio::io::{AsyncBufReadExt as _, AsyncReadExt as _, AsyncWriteExt as _, BufReader};
use tokio::net::{TcpListener, TcpStream};

/// What the server does with the next letter; without any it takes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Does {
    /// Takes it.
    Takes,
    /// Refuses its reader with this code.
    RefusesReader(u16),
    /// Listens to the whole letter and refuses it with this code.
    RefusesLetter(u16),
    /// Listens to the whole letter, keeps it, and hangs up without an answer.
    TakesAndHangsUp,
    /// Hangs up at the first word about the letter.
    HangsUpEarly,
}

/// A letter that it took, and who was said to write it to whom.
#[derive(Clone, Debug)]
pub struct Taken {
    pub from: String,
    pub to: String,
    pub mail: String,
}

impl Taken {
    /// The plain text, decoded.
    pub fn plain(&self) -> String {
        let part = self.mail.split("Content-Type: text/plain").nth(1).unwrap();
        let (_, body) = part.split_once("\r\n\r\n").unwrap();
        let body = body.split("\r\n--").next().unwrap();
        unquoted(body)
    }

    /// A header.
    pub fn header(&self, name: &str) -> &str {
        let head = self.mail.split("\r\n\r\n").next().unwrap();
        let start = format!("{name}: ");
        head.lines().find_map(|line| line.strip_prefix(&start)).unwrap_or("")
    }
}

/// Takes quoted-printable apart (RFC 2045, section 6.7).
fn unquoted(text: &str) -> String {
    let text = text.replace("=\r\n", "").replace("\r\n", "\n");
    let mut bytes = Vec::new();
    let mut rest = text.as_bytes();
    while let Some((first, more)) = rest.split_first() {
        let code = (*first == b'=')
            .then(|| more.get(..2).and_then(|hex| std::str::from_utf8(hex).ok()))
            .flatten()
            .and_then(|hex| u8::from_str_radix(hex, 16).ok());
        if let Some(byte) = code {
            bytes.push(byte);
            rest = &more[2..];
        } else {
            bytes.push(*first);
            rest = more;
        }
    }
    String::from_utf8(bytes).unwrap()
}

/// The server. It ends with the test's runtime.
#[derive(Clone, Debug)]
pub struct TestMailServer {
    port: u16,
    taken: Arc<Mutex<Vec<Taken>>>,
    plan: Arc<Mutex<VecDeque<Does>>>,
}

impl TestMailServer {
    /// Starts one on any free port.
    pub async fn start() -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let port = listener.local_addr().unwrap().port();
        let server = Self { port, taken: Arc::default(), plan: Arc::default() };
        let own = server.clone();
        tokio::spawn(async move {
            while let Ok((stream, _)) = listener.accept().await {
                let own = own.clone();
                tokio::spawn(async move { own.converse(stream).await });
            }
        });
        server
    }

    /// How the service is told of it.
    pub fn settings(&self) -> MailServer {
        MailServer::new("127.0.0.1", self.port, Tls::Plain, "Windmill Hill <lend@example.org>")
            .unwrap()
    }

    /// Says what it does with the next letters.
    pub fn plans(&self, plan: impl IntoIterator<Item = Does>) {
        self.plan.lock().unwrap().extend(plan);
    }

    /// What it took so far.
    pub fn taken(&self) -> Vec<Taken> {
        self.taken.lock().unwrap().clone()
    }

    /// The only letter that it took.
    pub fn only(&self) -> Taken {
        let taken = self.taken();
        assert_eq!(taken.len(), 1, "{taken:?}");
        taken[0].clone()
    }

    async fn converse(&self, stream: TcpStream) -> Option<()> {
        let mut stream = BufReader::new(stream);
        stream.write_all(b"220 test\r\n").await.ok()?;
        let (mut from, mut to, mut does) = (String::new(), String::new(), Does::Takes);
        loop {
            let mut line = String::new();
            if stream.read_line(&mut line).await.ok()? == 0 {
                return None;
            }
            let word = line.trim_end().to_owned();
            let answer = if word.starts_with("MAIL") {
                does = self.plan.lock().unwrap().pop_front().unwrap_or(Does::Takes);
                if does == Does::HangsUpEarly {
                    return None;
                }
                from = between(&word);
                "250 fine".to_owned()
            } else if word.starts_with("RCPT") {
                to = between(&word);
                match does {
                    Does::RefusesReader(code) => format!("{code} <{to}> not this one"),
                    _ => "250 fine".into(),
                }
            } else if word == "DATA" {
                stream.write_all(b"354 go on\r\n").await.ok()?;
                let mail = whole_letter(&mut stream).await?;
                if let Does::RefusesLetter(code) = does {
                    format!("{code} <{to}> not this letter")
                } else {
                    let taken = Taken { from: from.clone(), to: to.clone(), mail };
                    self.taken.lock().unwrap().push(taken);
                    if does == Does::TakesAndHangsUp {
                        return None;
                    }
                    "250 taken".into()
                }
            } else if word == "QUIT" {
                stream.write_all(b"221 bye\r\n").await.ok()?;
                return None;
            } else {
                "250 fine".to_owned()
            };
            stream.write_all(format!("{answer}\r\n").as_bytes()).await.ok()?;
        }
    }
}

fn between(line: &str) -> String {
    line.split(['<', '>']).nth(1).unwrap_or_default().to_owned()
}

async fn whole_letter(stream: &mut BufReader<TcpStream>) -> Option<String> {
    let mut mail = Vec::new();
    while !mail.ends_with(b"\r\n.\r\n") {
        mail.push(stream.read_u8().await.ok()?);
    }
    mail.truncate(mail.len() - 3);
    Some(String::from_utf8_lossy(&mail).replace("\r\n..", "\r\n."))
}
