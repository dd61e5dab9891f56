//! Prepares what the binary carries inside it: the files under `static/`, hashed and compressed.

use std::error::Error;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::{env, fs};

use sha2::{Digest, Sha256};

fn main() -> Result<(), Box<dyn Error>> {
    println!("cargo::rerun-if-changed=static");
    println!("cargo::rerun-if-changed=migrations");
    if loads_packed() {
        println!("cargo::rustc-link-arg-bins=-Wl,-z,pack-relative-relocs");
    }
    let root = Path::new("static");
    let mut names = Vec::new();
    list(root, root, &mut names)?;
    // Style sheets come last: they name other files by their hashes.
    names.sort_by_key(|name| (is_style_sheet(name), name.clone()));

    let out = PathBuf::from(env::var("OUT_DIR")?).join("static");
    let mut done: Vec<(String, String)> = Vec::new();
    let mut entries = Vec::new();
    for name in names {
        let mut bytes = fs::read(root.join(&name))?;
        if is_style_sheet(&name) {
            bytes = with_hashes(&String::from_utf8(bytes)?, &done).into_bytes();
        }
        let hash = hash(&bytes);
        entries.push((name.clone(), entry(&out, &name, &hash, &bytes)?));
        done.push((name, hash));
    }
    entries.sort();
    let mut table = String::from("static FILES: &[File] = &[\n");
    for (_, entry) in entries {
        table.push_str(&entry);
    }
    table.push_str("];\n");
    fs::write(PathBuf::from(env::var("OUT_DIR")?).join("files.rs"), table)?;
    Ok(())
}

/// Whether the C library can read the packed list of addresses that it fills in at the start, which is
/// a megabyte less to keep in memory: glibc from 2.36 on (its release notes). Asked of this machine's; what
/// is made here then starts only where that can be read too.
fn loads_packed() -> bool {
    let (host, target) = (env::var("HOST"), env::var("TARGET"));
    if host != target || target.as_deref() != Ok("x86_64-unknown-linux-gnu") {
        return false;
    }
    let Ok(told) = Command::new("getconf").arg("GNU_LIBC_VERSION").output() else { return false };
    let told = String::from_utf8_lossy(&told.stdout);
    let mut numbers = told.trim().trim_start_matches("glibc ").split('.').map(str::parse::<u32>);
    matches!((numbers.next(), numbers.next()), (Some(Ok(major)), Some(Ok(minor))) if (major, minor) >= (2, 36))
}

fn is_style_sheet(name: &str) -> bool {
    Path::new(name).extension().is_some_and(|ending| ending == "css")
}

/// Names of all files under `folder`, relative to `root`, with forward slashes.
fn list(root: &Path, folder: &Path, names: &mut Vec<String>) -> Result<(), Box<dyn Error>> {
    for found in fs::read_dir(folder)? {
        let path = found?.path();
        if path.is_dir() {
            list(root, &path, names)?;
        } else {
            let name = path.strip_prefix(root)?.to_str().ok_or("a file name is not UTF-8")?;
            names.push(name.replace('\\', "/"));
        }
    }
    Ok(())
}

/// Adds its hash to every file that a style sheet names.
fn with_hashes(text: &str, done: &[(String, String)]) -> String {
    done.iter().fold(text.to_owned(), |text, (name, hash)| {
        ["\"", "'", ""].iter().fold(text, |text, quote| {
            text.replace(
                &format!("url({quote}{name}{quote})"),
                &format!("url({quote}{name}?v={hash}{quote})"),
            )
        })
    })
}

fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().take(6).fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// One line of the table; writes the file's forms beside it.
fn entry(out: &Path, name: &str, hash: &str, bytes: &[u8]) -> Result<String, Box<dyn Error>> {
    let (kind, compressible) = kind(name)?;
    let plain = out.join(name);
    fs::create_dir_all(plain.parent().ok_or("a file without a folder")?)?;
    fs::write(&plain, bytes)?;
    let mut forms = [String::from("None"), String::from("None")];
    if compressible {
        for (form, (ending, small)) in
            forms.iter_mut().zip([("br", brotli(bytes)?), ("gz", gzip(bytes)?)])
        {
            if small.len() < bytes.len() {
                let path = out.join(format!("{name}.{ending}"));
                fs::write(&path, small)?;
                *form = format!("Some(include_bytes!({:?}))", text(&path)?);
            }
        }
    }
    let [br, gz] = forms;
    let plain = text(&plain)?;
    Ok(format!(
        "    File {{ name: {name:?}, kind: {kind:?}, hash: {hash:?}, plain: include_bytes!({plain:?}), brotli: {br}, gzip: {gz} }},\n"
    ))
}

fn text(path: &Path) -> Result<&str, Box<dyn Error>> {
    path.to_str().ok_or_else(|| "the build folder's name is not UTF-8".into())
}

/// The media type, and whether compressing helps.
fn kind(name: &str) -> Result<(&'static str, bool), Box<dyn Error>> {
    match name.rsplit('.').next() {
        Some("css") => Ok(("text/css; charset=utf-8", true)),
        Some("js") => Ok(("text/javascript; charset=utf-8", true)),
        Some("svg") => Ok(("image/svg+xml", true)),
        Some("txt") => Ok(("text/plain; charset=utf-8", true)),
        Some("woff2") => Ok(("font/woff2", false)),
        Some("png") => Ok(("image/png", false)),
        Some("webp") => Ok(("image/webp", false)),
        _ => Err(format!("static/{name}: say in build.rs which media type it has").into()),
    }
}

fn brotli(bytes: &[u8]) -> Result<Vec<u8>, Box<dyn Error>> {
    let mut small = Vec::new();
    brotli::BrotliCompress(&mut &*bytes, &mut small, &brotli::enc::BrotliEncoderParams::default())?;
    Ok(small)
}

fn gzip(bytes: &[u8]) -> Result<Vec<u8>, Box<dyn Error>> {
    let mut writer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    writer.write_all(bytes)?;
    Ok(writer.finish()?)
}
