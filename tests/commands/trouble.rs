//! Helpers of the tests that make things break: a demo with its sign-ins, and disks of its own.

use std::path::{Path, PathBuf};
use std::process::Command;

use super::process::{Server, binary};

/// A demo on a folder, with what it told its operator.
pub struct Demo {
    pub server: Server,
    pub data: PathBuf,
    access: serde_json::Value,
    heard: PathBuf,
}

impl Demo {
    /// Starts one in a new folder inside this one.
    pub fn in_folder(folder: &Path) -> Self {
        Self::by(binary(), folder)
    }

    /// Starts one with a command to which the rest of the words is added; its log lies beside its
    /// data, on the same disk.
    pub fn by(command: Command, folder: &Path) -> Self {
        Self::logging_to(&folder.join("heard.txt"), command, folder)
    }

    /// The same with its log elsewhere.
    pub fn logging_to(heard: &Path, mut command: Command, folder: &Path) -> Self {
        let (data, heard) = (folder.join("data"), heard.to_owned());
        command.args(["demo", "--listen", "127.0.0.1:0", "--data"]).arg(&data);
        let mut server = Server::heard(command, &heard);
        server.line_with("Stop it with");
        let access = std::fs::read(data.join("demo-access.json")).unwrap();
        let access = serde_json::from_slice(&access).unwrap();
        Self { server, data, access, heard }
    }

    /// The access of whoever has this role.
    pub fn access(&self, role: &str) -> &serde_json::Value {
        let accounts = self.access["accounts"].as_array().unwrap();
        accounts.iter().find(|one| one["role"] == role).unwrap()
    }

    /// Signs in and gives the session's cookie.
    pub fn session(&self, role: &str) -> String {
        let (email, password) = (&self.access(role)["email"], &self.access(role)["password"]);
        let email = email.as_str().unwrap().replace('@', "%40");
        let form = format!("email={email}&password={}", password.as_str().unwrap());
        self.server.sign_in_with("/sign-in", &form)
    }

    /// Writes something down: a night without lending. Gives the whole answer.
    pub fn close_night(&self, session: &str, night: &str, reason: &str) -> String {
        let form = format!("from={night}&to={night}&reason={reason}");
        self.server.post("/desk/rules/off", session, &form)
    }

    /// What the operator was told until now.
    pub fn heard(&self) -> String {
        std::fs::read_to_string(&self.heard).unwrap()
    }

    pub fn database(&self) -> PathBuf {
        self.data.join("club.sqlite")
    }
}

/// Says that a test proved nothing, past the runner that keeps the words of tests that pass.
pub fn not_run(why: &str) {
    use std::io::Write as _;
    // Where nobody can be told, nothing is lost but the word.
    let _ = writeln!(std::io::stderr(), "NOT RUN: {why}");
}

/// A small disk of its own, gone with the test; none where the system doesn't let us mount one.
pub struct Disk(PathBuf);

impl Disk {
    pub fn of_megabytes(size: u32, at: &Path) -> Option<Self> {
        std::fs::create_dir_all(at).unwrap();
        let size = format!("size={size}m");
        let mounted =
            Command::new("mount").args(["-t", "tmpfs", "-o", &size, "none"]).arg(at).output();
        if mounted.is_ok_and(|done| done.status.success()) {
            return Some(Self(at.to_owned()));
        }
        not_run("no disk can be mounted here (that needs root)");
        None
    }

    /// Writes until nothing more fits and gives the file that fills it.
    pub fn fill(&self) -> PathBuf {
        use std::io::Write as _;
        let path = self.0.join("ballast");
        let mut file = std::fs::File::create(&path).unwrap();
        while file.write_all(&[0xff; 4096]).is_ok() {}
        path
    }

    pub fn read_only(&self) {
        let done = Command::new("mount").args(["-o", "remount,ro"]).arg(&self.0).status();
        assert!(done.unwrap().success());
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        // Lazily: a server may still be ending.
        let _ = Command::new("umount").arg("-l").arg(&self.0).status();
    }
}

/// A small ext4 disk in a file, which can be made to fail as a worn one does; none where the system
/// doesn't let us.
pub struct Worn {
    image: PathBuf,
    at: PathBuf,
}

fn done(program: &str, words: &[&str]) -> bool {
    Command::new(program).args(words).output().is_ok_and(|done| done.status.success())
}

impl Worn {
    pub fn at(folder: &Path) -> Option<Self> {
        let worn = Self { image: folder.join("disk.img"), at: folder.join("disk") };
        std::fs::create_dir(&worn.at).unwrap();
        std::fs::File::create(&worn.image).unwrap().set_len(96 * 1024 * 1024).unwrap();
        let image = worn.image.to_str().unwrap();
        if done("mkfs.ext4", &["-q", "-F", image]) && worn.mount() && worn.trigger().exists() {
            return Some(worn);
        }
        not_run("no ext4 disk can be made to fail here (that needs root and loop devices)");
        None
    }

    pub fn place(&self) -> &Path {
        &self.at
    }

    fn mount(&self) -> bool {
        let (image, at) = (self.image.to_str().unwrap(), self.at.to_str().unwrap());
        done("mount", &["-o", "loop,errors=remount-ro", image, at])
    }

    /// Where the kernel takes the order to find an error on this disk.
    fn trigger(&self) -> PathBuf {
        let found = Command::new("losetup").arg("-j").arg(&self.image).output().unwrap();
        let line = String::from_utf8(found.stdout).unwrap();
        let device = line.split(':').next().unwrap_or_default();
        let name = device.rsplit('/').next().unwrap_or_default();
        Path::new("/sys/fs/ext4").join(name).join("trigger_fs_error")
    }

    /// The kernel finds an error and lets nobody write any more.
    pub fn fail(&self) {
        std::fs::write(self.trigger(), "1").unwrap();
    }

    /// As after taking the disk out, repairing it and putting it in again.
    pub fn repair(&self) {
        assert!(done("umount", &[self.at.to_str().unwrap()]), "it is still in use");
        // Status 1: errors were found and repaired.
        let _ = Command::new("e2fsck").arg("-fy").arg(&self.image).output().unwrap();
        assert!(self.mount());
    }
}

impl Drop for Worn {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(&self.at).output();
    }
}

/// Status line and body's words of an answer.
pub fn status(answer: &str) -> u16 {
    answer.split(' ').nth(1).and_then(|code| code.parse().ok()).unwrap_or_default()
}

/// Asks the database itself for a number, past the service.
pub fn asked(database: &Path, sql: &'static str) -> i64 {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        use sqlx::{ConnectOptions as _, Connection as _};
        let options = sqlx::sqlite::SqliteConnectOptions::new().filename(database);
        let mut connection = options.connect().await.unwrap();
        let number = sqlx::query_scalar(sql).fetch_one(&mut connection).await.unwrap();
        connection.close().await.unwrap();
        number
    })
}
