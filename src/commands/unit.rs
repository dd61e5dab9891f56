//! `unit`: a systemd unit that runs the service with as few rights as it needs.

use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;

use super::running::Failure;

/// Options of `unit`.
#[derive(Debug, Args)]
pub struct Options {
    /// The program, as the unit calls it; by default this one where it lies now.
    #[arg(long)]
    program: Option<PathBuf>,
    /// Address and port to listen on.
    #[arg(long, default_value = "127.0.0.1:8420")]
    listen: SocketAddr,
    /// The address that browsers use, such as <https://lend.example.org>, where a proxy stands in
    /// front.
    #[arg(long)]
    public_url: Option<String>,
    /// Address of that proxy, whose word on the client's address is believed; may be given again.
    #[arg(long, value_delimiter = ',')]
    trusted_proxy: Vec<IpAddr>,
}

/// Prints the unit.
///
/// # Errors
/// The program can't be found, or a value would break the unit's lines.
pub fn run(options: Options) -> Result<ExitCode, Failure> {
    let program = match options.program {
        Some(program) => program,
        None => std::env::current_exe().map_err(|error| {
            Failure::Failed(format!("{error}: say where the program lies with --program"))
        })?,
    };
    let program = program.display().to_string();
    let mut settings = vec![
        "BORROWED_LIGHT_DATA=/var/lib/borrowed-light".to_owned(),
        format!("BORROWED_LIGHT_LISTEN={}", options.listen),
    ];
    settings.extend(options.public_url.map(|url| format!("BORROWED_LIGHT_PUBLIC_URL={url}")));
    if !options.trusted_proxy.is_empty() {
        let proxies: Vec<String> = options.trusted_proxy.iter().map(IpAddr::to_string).collect();
        settings.push(format!("BORROWED_LIGHT_TRUSTED_PROXY={}", proxies.join(",")));
    }
    let broken = |text: &String| {
        text.chars().any(|c| c.is_control() || c.is_whitespace() || "\"'\\%$".contains(c))
    };
    if settings.iter().chain([&program]).any(broken) {
        return Err(Failure::WrongUse(
            "a path or address with spaces, quotes or % can't stand in a unit; choose a plainer one"
                .into(),
        ));
    }
    print!("{}", unit(&program, &settings, rights(options.listen)));
    Ok(ExitCode::SUCCESS)
}

/// A port below 1024 takes a right of its own, which counts only outside a user namespace
/// (capabilities(7), `user_namespaces(7)`).
fn rights(listen: SocketAddr) -> &'static str {
    if (1..1024).contains(&listen.port()) {
        "# The one right that a port below 1024 takes.
CapabilityBoundingSet=CAP_NET_BIND_SERVICE
AmbientCapabilities=CAP_NET_BIND_SERVICE"
    } else {
        "PrivateUsers=yes
CapabilityBoundingSet=
AmbientCapabilities="
    }
}

/// The words of systemd.service(5), systemd.exec(5) and systemd.resource-control(5).
fn unit(program: &str, settings: &[String], rights: &str) -> String {
    let settings = settings.join("\nEnvironment=");
    format!(
        "[Unit]
Description=Borrowed Light lends a club's telescopes
After=network-online.target
Wants=network-online.target

[Service]
ExecStart={program} serve
Environment={settings}
# Settings with secrets, such as the mail server's pass phrase, go in there, readable by root only.
EnvironmentFile=-/etc/borrowed-light.env
Restart=on-failure
RestartSec=2
# A value that it can't use gets no better by trying again; a file may, such as a certificate.
RestartPreventExitStatus=2
# It finishes what is under way, folds its log in and ends.
KillSignal=SIGTERM
TimeoutStopSec=20

# A user of its own, made when it starts, and a folder that only this user reads.
DynamicUser=yes
StateDirectory=borrowed-light
StateDirectoryMode=0700
UMask=0077

# Nothing but its folder and the network.
ProtectSystem=strict
ProtectHome=yes
PrivateTmp=yes
PrivateDevices=yes
ProtectProc=invisible
ProcSubset=pid
ProtectClock=yes
ProtectHostname=yes
ProtectKernelLogs=yes
ProtectKernelModules=yes
ProtectKernelTunables=yes
ProtectControlGroups=yes
RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX
RestrictNamespaces=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
LockPersonality=yes
MemoryDenyWriteExecute=yes
NoNewPrivileges=yes
{rights}
RemoveIPC=yes
SystemCallArchitectures=native
SystemCallFilter=@system-service
SystemCallFilter=~@privileged @resources
SystemCallErrorNumber=EPERM
MemoryMax=512M
TasksMax=128

[Install]
WantedBy=multi-user.target
"
    )
}
