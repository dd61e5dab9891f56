//! A client that costs little: one connection, kept open, and nothing but what is asked.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::time::{Duration, Instant};

/// Who asks: a line for the head of the request, or nothing.
#[derive(Clone, Debug)]
pub struct Who(pub String);

impl Who {
    pub fn nobody() -> Self {
        Self(String::new())
    }

    /// What browsers ask for: which of the three it is, is the service's choice.
    pub fn browser(cookie: &str) -> Self {
        Self(format!("cookie: {cookie}\r\naccept-encoding: gzip, deflate, br\r\n"))
    }

    pub fn program(token: &str) -> Self {
        Self(format!("authorization: Bearer {token}\r\n"))
    }
}

/// A connection to the service.
pub struct Client {
    address: String,
    stream: BufReader<TcpStream>,
}

/// What came back, and how long it took.
pub struct Answer {
    pub status: u16,
    pub took: Duration,
}

impl Client {
    pub fn to(address: &str) -> Self {
        Self { address: address.to_owned(), stream: open(address) }
    }

    pub fn get(&mut self, path: &str, who: &Who) -> Answer {
        let request = format!("GET {path} HTTP/1.1\r\nhost: {}\r\n{}\r\n", self.address, who.0);
        self.ask(&request)
    }

    pub fn post(&mut self, path: &str, who: &Who, kind: &str, body: &str) -> Answer {
        let request = format!(
            "POST {path} HTTP/1.1\r\nhost: {}\r\n{}sec-fetch-site: same-origin\r\n\
             content-type: {kind}\r\ncontent-length: {}\r\n\r\n{body}",
            self.address,
            who.0,
            body.len()
        );
        self.ask(&request)
    }

    fn ask(&mut self, request: &str) -> Answer {
        let started = Instant::now();
        self.stream.get_mut().write_all(request.as_bytes()).unwrap();
        let (mut status, mut length, mut chunked) = (0, 0, false);
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line).unwrap();
            let line = line.trim_end().to_ascii_lowercase();
            if line.is_empty() {
                break;
            }
            if status == 0 {
                status = line.split(' ').nth(1).unwrap().parse().unwrap();
            }
            if let Some(text) = line.strip_prefix("content-length: ") {
                length = text.parse().unwrap();
            }
            chunked |= line == "transfer-encoding: chunked";
        }
        if chunked {
            self.chunks();
        } else {
            self.plain(length);
        }
        Answer { status, took: started.elapsed() }
    }

    fn plain(&mut self, length: usize) {
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body).unwrap();
    }

    fn chunks(&mut self) {
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line).unwrap();
            let size = usize::from_str_radix(line.trim(), 16).unwrap();
            self.plain(size + 2);
            if size == 0 {
                break;
            }
        }
    }
}

fn open(address: &str) -> BufReader<TcpStream> {
    let stream = TcpStream::connect(address).unwrap();
    stream.set_nodelay(true).unwrap();
    stream.set_read_timeout(Some(Duration::from_mins(1))).unwrap();
    BufReader::new(stream)
}

/// The value below which this share of them lies, in milliseconds.
pub fn quantile(times: &[Duration], share: f64) -> f64 {
    let mut times = times.to_vec();
    times.sort_unstable();
    let at = ((times.len() - 1) as f64 * share).round() as usize;
    times[at].as_secs_f64() * 1e3
}
