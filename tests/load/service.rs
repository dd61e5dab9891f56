//! The binary as a process of its own, how much memory it has, and an outside load generator.

use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::client::{Client, Who};

/// A running service, ended with its value.
pub struct Service {
    child: Child,
    pub address: String,
    /// From the start of the process to its first answer.
    pub cold_start: Duration,
}

impl Service {
    pub fn on(folder: &Path) -> Self {
        let port = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
        let address = format!("127.0.0.1:{port}");
        let mut command = Command::new(env!("CARGO_BIN_EXE_borrowed-light"));
        for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("BORROWED_LIGHT_")) {
            command.env_remove(name);
        }
        // A copy of the database would be measured along.
        command.args(["serve", "--backups-kept", "0", "--listen", &address, "--data"]).arg(folder);
        let started = Instant::now();
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
        while std::net::TcpStream::connect(&address).is_err() {
            assert!(started.elapsed() < Duration::from_mins(1), "it does not start");
            std::thread::sleep(Duration::from_millis(1));
        }
        assert_eq!(Client::to(&address).get("/readyz", &Who::nobody()).status, 200);
        let cold_start = started.elapsed();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        std::thread::spawn(move || lines.for_each(drop));
        Self { child, address, cold_start }
    }

    /// Resident memory now and at its highest, in megabytes.
    pub fn memory_mb(&self) -> (f64, f64) {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap();
        let mb = |name: &str| {
            let line = status.lines().find(|line| line.starts_with(name)).unwrap();
            line.split_whitespace().nth(1).unwrap().parse::<f64>().unwrap() / 1024.0
        };
        (mb("VmRSS:"), mb("VmHWM:"))
    }

    /// Answers a second to 32 connections that ask as fast as they can, by `wrk`.
    pub fn per_second(&self, path: &str, who: &Who) -> f64 {
        let mut command = Command::new("wrk");
        command.args(["-t1", "-c32", "-d3s"]);
        for line in who.0.lines() {
            command.args(["-H", line]);
        }
        let output = command.arg(format!("http://{}{path}", self.address)).output();
        let output = output.expect("this needs wrk (Debian: apt-get install wrk)");
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(!text.contains("Non-2xx"), "{path}:\n{text}");
        let line = text.lines().find(|line| line.starts_with("Requests/sec:"));
        line.unwrap_or_else(|| panic!("{text}")).split_whitespace().nth(1).unwrap().parse().unwrap()
    }
}

impl Drop for Service {
    fn drop(&mut self) {
        let _ = Command::new("kill").args(["-TERM", &self.child.id().to_string()]).status();
        let _ = self.child.wait();
    }
}
