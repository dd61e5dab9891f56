//! The repository itself: nothing of one developer's machine in it, nothing where it does not
//! belong, no room that has outgrown its door.
#![allow(clippy::unwrap_used, clippy::expect_used)] // helpers of tests

use std::path::{Path, PathBuf};
use std::process::Command;

/// What the top level may hold, besides dotfiles and licences.
const TOP_LEVEL: [&str; 12] = [
    "Cargo.toml",
    "Cargo.lock",
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "build.rs",
    "docker-compose.yml",
    "src",
    "migrations",
    "templates",
    "static",
    "tests",
];

/// Folders of one machine; a path into them means nothing on another.
const MACHINE_FOLDERS: [&str; 4] = ["work", "home", "root", "Users"];

/// A Rust file longer than this is two rooms.
const MOST_LINES: usize = 400;

/// Files that wait to be divided. The list only ever gets shorter.
const TO_BE_DIVIDED: [&str; 1] = ["tests/kit_answers.rs"];

struct File {
    path: String,
    text: String,
}

/// Every fault of one file, one sentence each.
fn faults(file: &File) -> Vec<String> {
    let path = &file.path;
    let mut faults = Vec::new();
    let top = path.split('/').next().unwrap_or_default();
    let allowed = TOP_LEVEL.contains(&top)
        || top == "demo-data"
        || top.starts_with('.')
        || top.starts_with("LICENSE-");
    if !allowed {
        faults.push(format!("{path}: the top level is kept short; this belongs in a folder"));
    }
    let is = |ending: &str| Path::new(path).extension().is_some_and(|found| found == ending);
    let lines = file.text.lines().count();
    let waits = TO_BE_DIVIDED.contains(&path.as_str());
    if is("rs") && waits && lines <= MOST_LINES {
        faults.push(format!("{path}: was divided; take it off the list in tests/tidy.rs"));
    }
    if is("rs") && !waits && lines > MOST_LINES {
        faults.push(format!("{path}: {lines} lines; past {MOST_LINES} it is two rooms"));
    }
    for (number, line) in file.text.lines().enumerate() {
        let at = number + 1;
        if let Some(folder) = MACHINE_FOLDERS.iter().find(|folder| names_folder(line, folder)) {
            faults.push(format!("{path}:{at}: a path into /{folder} exists on one machine only"));
        }
        if path.ends_with("package-lock.json") && line.contains("\"resolved\"") {
            faults
                .push(format!("{path}:{at}: a lock file names packages, not where they came from"));
        }
        let settings = ["requirements.txt", ".npmrc", "pip.conf", ".cargo/config.toml"];
        if settings.iter().any(|name| path.ends_with(name)) && line.contains("://") {
            faults.push(format!("{path}:{at}: which registry to ask is the machine's business"));
        }
        if is("html") && line.contains("|safe") && !line.contains("{#") {
            faults.push(format!("{path}:{at}: `safe` needs a comment that says why it is"));
        }
        if line.starts_with("<<<<<<< ") || line.starts_with(">>>>>>> ") {
            faults.push(format!("{path}:{at}: a merge was left unfinished"));
        }
    }
    if !file.text.is_empty() && !file.text.ends_with('\n') {
        faults.push(format!("{path}: the last line has no end"));
    }
    faults
}

/// Whether a line holds `/folder/` at the start of a path.
fn names_folder(line: &str, folder: &str) -> bool {
    let wanted = format!("/{folder}/");
    line.match_indices(&wanted).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        before.is_none_or(|c| !c.is_alphanumeric() && !['.', '_', '-', '*', '}', '/'].contains(&c))
    })
}

/// Text files under version control; this file is left out, for it must name what it forbids.
fn tracked() -> Vec<File> {
    let house = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let listed = Command::new("git")
        .args(["ls-files", "-z", "--cached", "--others", "--exclude-standard"])
        .current_dir(&house)
        .output()
        .expect("git lists the files of the repository");
    assert!(listed.status.success(), "{}", String::from_utf8_lossy(&listed.stderr));
    String::from_utf8(listed.stdout)
        .unwrap()
        .split('\0')
        .filter(|path| !path.is_empty() && *path != "tests/tidy.rs")
        .filter_map(|path| {
            let text = String::from_utf8(std::fs::read(house.join(path)).ok()?).ok()?;
            Some(File { path: path.into(), text })
        })
        .collect()
}

#[test]
fn the_repository_is_tidy() {
    let files = tracked();
    assert!(files.len() > 50, "only {} files found", files.len());
    let faults: Vec<String> = files.iter().flat_map(faults).collect();
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn each_kind_of_untidiness_is_found_in_a_bad_sample() {
    let long = "//\n".repeat(MOST_LINES + 1);
    for (path, text, fault) in [
        ("notes.txt", "x\n", "top level"),
        ("src/long.rs", long.as_str(), "two rooms"),
        ("src/a.rs", "const A: &str = \"/home/someone/data\";\n", "/home"),
        (TO_BE_DIVIDED[0], "//\n", "off the list"),
        ("tests/run", "cd /root/x\n", "/root"),
        ("tests/browser/package-lock.json", "\"resolved\": \"x\"\n", "lock file"),
        (
            "tests/outside/requirements.txt",
            "--index-url https://packages.example/simple\n",
            "registry",
        ),
        ("templates/a.html", "{{ text|safe }}\n", "safe"),
        ("src/b.rs", "<<<<<<< ours\n", "unfinished"),
        ("src/c.rs", "fn f() {}", "no end"),
    ] {
        let found = faults(&File { path: path.into(), text: text.into() });
        assert!(found.len() == 1 && found[0].contains(fault), "{path}: {found:?}");
    }
}

#[test]
fn addresses_of_the_service_are_no_paths_of_a_machine() {
    for line in ["GET /api/v1/root/x", "https://example.org/home/x", "see ../work/x", "/homes/x"] {
        assert!(MACHINE_FOLDERS.iter().all(|folder| !names_folder(line, folder)), "{line}");
    }
}

/// What stands between the image's builder and what it needs, one sentence each: a path that is copied
/// and kept out by `.dockerignore`, or not copied though `Cargo.toml` names it or cargo looks for it.
fn kept_from_the_image(compose: &str, ignored: &str, manifest: &str) -> Vec<String> {
    let into = |path: &str, folder: &str| Path::new(path).starts_with(folder);
    let let_in: Vec<&str> = ignored.lines().filter_map(|line| line.strip_prefix('!')).collect();
    let copied: Vec<&str> = compose
        .lines()
        .filter_map(|line| line.trim().strip_prefix("COPY "))
        .filter(|line| !line.starts_with("--from"))
        .flat_map(|line| {
            let words: Vec<&str> = line.split_whitespace().collect();
            words[..words.len().saturating_sub(1)].to_vec()
        })
        .collect();
    let named = manifest.lines().filter_map(|line| line.strip_prefix("path = ")?.split('"').nth(1));
    let shut_out = copied
        .iter()
        .filter(|path| !let_in.iter().any(|open| into(path, open)))
        .map(|path| format!("{path} is copied, and .dockerignore keeps it out"));
    let missed = named
        .filter(|path| !copied.iter().any(|folder| into(path, folder)))
        .map(|path| format!("{path} is named in Cargo.toml, and the image has no copy of it"));
    let settings = (!copied.contains(&".cargo"))
        .then(|| ".cargo says how SQLite is built, and the image has no copy of it".to_owned());
    shut_out.chain(missed).chain(settings).collect()
}

#[test]
fn the_image_is_given_all_that_its_build_names() {
    let house = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let read = |name: &str| std::fs::read_to_string(house.join(name)).unwrap();
    let (compose, ignored, manifest) =
        (read("docker-compose.yml"), read(".dockerignore"), read("Cargo.toml"));
    let faults = kept_from_the_image(&compose, &ignored, &manifest);
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    let without = ignored.replace("!tests/load\n", "!tests/other\n");
    let shut_out = kept_from_the_image(&compose, &without, &manifest);
    assert_eq!(shut_out, ["tests/load is copied, and .dockerignore keeps it out"]);
    let fewer = compose.replace("COPY tests/load tests/load\n", "");
    let missed = kept_from_the_image(&fewer, &ignored, &manifest);
    assert_eq!(missed.len(), 1, "{missed:?}");
    let bare = compose.replace("COPY .cargo .cargo\n", "");
    let missed = kept_from_the_image(&bare, &ignored, &manifest);
    assert_eq!(missed, [".cargo says how SQLite is built, and the image has no copy of it"]);
    let without = ignored.replace("!.cargo\n", "");
    let shut_out = kept_from_the_image(&compose, &without, &manifest);
    assert_eq!(shut_out, [".cargo is copied, and .dockerignore keeps it out"]);
}
