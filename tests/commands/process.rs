//! Running the binary.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Output, Stdio};

/// The binary, with nothing of our own surroundings that it would listen to.
pub fn binary() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_borrowed-light"));
    for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("BORROWED_LIGHT_")) {
        command.env_remove(name);
    }
    command
}

/// Runs a command to its end.
pub fn run(arguments: &[&str], data: &Path) -> Output {
    binary().args(arguments).env("BORROWED_LIGHT_DATA", data).output().unwrap()
}

pub fn stdout(output: &Output) -> &str {
    std::str::from_utf8(&output.stdout).unwrap()
}

pub fn stderr(output: &Output) -> &str {
    std::str::from_utf8(&output.stderr).unwrap()
}

/// Asks an address for a path; the connection closes after the answer.
pub fn get_at(address: &str, path: &str) -> String {
    let mut stream = TcpStream::connect(address).unwrap();
    let asked = format!("GET {path} HTTP/1.1\r\nhost: {address}\r\nconnection: close\r\n\r\n");
    stream.write_all(asked.as_bytes()).unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    answer
}

/// A server that is ended with the test.
pub struct Server {
    child: Child,
    lines: BufReader<ChildStdout>,
    pub address: String,
}

impl Server {
    /// Starts `demo` or `serve` on any free port and waits until it has told its address.
    pub fn start(arguments: &[&str]) -> Self {
        Self::anywhere(&[arguments, &["--listen", "127.0.0.1:0"]].concat())
    }

    /// Starts it where it wants to be.
    pub fn anywhere(arguments: &[&str]) -> Self {
        let mut command = binary();
        command.args(arguments);
        Self::of(command)
    }

    /// Starts it with its system calls written to a file, each with the path of what it is about.
    pub fn traced(arguments: &[&str], calls: &str, file: &Path) -> Self {
        let mut command = Command::new("strace");
        command.args(["-f", "-y", "-s", "40", "-e", calls, "-o"]).arg(file);
        command.arg(env!("CARGO_BIN_EXE_borrowed-light"));
        command.args([arguments, &["--listen", "127.0.0.1:0"]].concat());
        for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("BORROWED_LIGHT_")) {
            command.env_remove(name);
        }
        Self::of(command)
    }

    /// Starts it as this command says, with what it tells its operator written to a file.
    pub fn heard(mut command: Command, file: &Path) -> Self {
        let file = std::fs::File::options().create(true).append(true).open(file).unwrap();
        command.stderr(file);
        Self::spawned(command)
    }

    fn of(mut command: Command) -> Self {
        command.stderr(Stdio::null());
        Self::spawned(command)
    }

    fn spawned(mut command: Command) -> Self {
        let mut child = command.stdout(Stdio::piped()).spawn().unwrap_or_else(|error| {
            panic!("it does not start ({error}); a traced one needs strace")
        });
        let mut lines = BufReader::new(child.stdout.take().unwrap());
        let mut first = String::new();
        lines.read_line(&mut first).unwrap();
        let address = first.trim().rsplit_once("://").unwrap().1.to_owned();
        Self { child, lines, address }
    }

    /// The next printed line that holds this.
    pub fn line_with(&mut self, words: &str) -> String {
        loop {
            let mut line = String::new();
            assert_ne!(self.lines.read_line(&mut line).unwrap(), 0, "no line says {words:?}");
            if line.contains(words) {
                return line.trim().to_owned();
            }
        }
    }

    /// Asks for a path; the connection closes after the answer.
    pub fn get(&self, path: &str) -> String {
        get_at(&self.address, path)
    }

    /// Sends a form as a browser does and gives the session's cookie that the answer sets.
    pub fn sign_in_with(&self, path: &str, form: &str) -> String {
        let mut stream = self.connect(&format!(
            "POST {path} HTTP/1.1\r\nhost: {}\r\nconnection: close\r\nsec-fetch-site: same-origin\r\n\
             content-type: application/x-www-form-urlencoded\r\ncontent-length: {}\r\n\r\n{form}",
            self.address,
            form.len()
        ));
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        let line = answer.lines().find(|line| line.starts_with("set-cookie: borrowed-light="));
        let line = line.unwrap_or_else(|| panic!("no session in:\n{answer}"));
        line.trim_start_matches("set-cookie: ").split(';').next().unwrap().to_owned()
    }

    /// A connection on which this was said.
    pub fn connect(&self, words: &str) -> TcpStream {
        let mut stream = TcpStream::connect(&self.address).unwrap();
        stream.write_all(words.as_bytes()).unwrap();
        stream
    }

    /// Sends a form as a browser does, with a session, and gives the whole answer.
    pub fn post(&self, path: &str, session: &str, form: &str) -> String {
        let mut stream = self.connect(&format!(
            "POST {path} HTTP/1.1\r\nhost: {}\r\nconnection: close\r\nsec-fetch-site: same-origin\r\n\
             accept: text/html\r\ncookie: {session}\r\n\
             content-type: application/x-www-form-urlencoded\r\ncontent-length: {}\r\n\r\n{form}",
            self.address,
            form.len()
        ));
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    }

    /// Asks for a page with a session.
    pub fn page(&self, path: &str, session: &str) -> String {
        self.get(&format!("{path} HTTP/1.1\r\naccept: text/html\r\ncookie: {session}\r\nx-rest:"))
    }

    /// Number of its process.
    pub fn id(&self) -> u32 {
        self.child.id()
    }

    /// Sends a signal.
    pub fn signal(&self, name: &str) {
        let sent = Command::new("kill").args([name, &self.child.id().to_string()]).status();
        assert!(sent.unwrap().success());
    }

    /// Waits for the end and gives the exit status.
    pub fn end(mut self) -> Option<i32> {
        self.child.wait().unwrap().code()
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // A tracer that is killed lets go of what it traces, so that ends first.
        let id = self.child.id();
        let task = format!("/proc/{id}/task/{id}/children");
        for traced in std::fs::read_to_string(task).unwrap_or_default().split_whitespace() {
            let _ = Command::new("kill").args(["-KILL", traced]).status();
        }
        // Gone already, where the test went well.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
