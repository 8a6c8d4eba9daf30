//! `cargo xtask serve`: build quickly, serve on this machine, open the browser.
//!
//! - Enters: the working tree, a port.
//! - Leaves: a web server on 127.0.0.1 until it is stopped.
//! - Always true: only this machine can reach it; only files of `web/dist` are sent.
//! - Never: used for anything but development.

use std::fs::File;
use std::path::{Component, Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result, anyhow};
use tiny_http::{Header, Request, Response, Server};

use crate::run::on_path;
use crate::wasm::Effort;
use crate::{build, tree};

/// Build Fairpen and open it in the browser on a sample book. Installs the parts it needs the first time.
#[derive(clap::Args)]
pub struct Arguments {
    /// The sample book to open, by its folder name in sample-books/; "none" opens an empty page.
    #[arg(long, value_name = "NAME")]
    book: Option<String>,
    /// The port on this machine; the next free one is used if it is taken.
    #[arg(long, default_value_t = 8205)]
    port: u16,
    /// Print the address and open no browser.
    #[arg(long)]
    no_open: bool,
    /// Optimise as for a release; slower to build.
    #[arg(long)]
    release: bool,
}

/// The book opened when none is named: the weaning comparison, Fairpen's main job.
const FIRST_BOOK: &str = "two-barns";

/// How many ports to try from the first on.
const PORTS_TRIED: u16 = 20;

/// Runs the command; returns only on an error.
pub fn serve(arguments: &Arguments) -> Result<()> {
    let query = query(arguments.book.as_deref(), &books()?)?;
    build::site(if arguments.release {
        Effort::Release
    } else {
        Effort::Quick
    })?;
    let (server, port) = listen(arguments.port)?;
    let address = format!("http://localhost:{port}/{query}");
    println!("\nFairpen is at {address}\nStop it with Ctrl-C.");
    if !arguments.no_open && !open(&address) {
        println!("No browser could be opened from here: go to that address yourself.");
    }
    let dist = tree::web()?.join("dist");
    for request in server.incoming_requests() {
        // The browser may go away in the middle of an answer; that is no reason to stop.
        let _ = answer(request, &dist);
    }
    Ok(())
}

/// The sample books there are, by name.
fn books() -> Result<Vec<String>> {
    let Ok(entries) = std::fs::read_dir(tree::root()?.join("sample-books")) else {
        return Ok(Vec::new());
    };
    let mut names: Vec<String> = entries
        .filter_map(|entry| entry.ok())
        .filter(|entry| entry.path().is_dir())
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    Ok(names)
}

/// The part of the address that names the book to open.
fn query(wanted: Option<&str>, books: &[String]) -> Result<String> {
    let name = match wanted {
        Some("none") => return Ok(String::new()),
        Some(name) => books.iter().find(|book| *book == name).ok_or_else(|| {
            anyhow!(
                "There is no sample book \"{name}\". There are: {}.",
                if books.is_empty() {
                    "none yet".to_owned()
                } else {
                    books.join(", ")
                }
            )
        })?,
        None => match books
            .iter()
            .find(|book| *book == FIRST_BOOK)
            .or(books.first())
        {
            Some(first) => first,
            None => return Ok(String::new()),
        },
    };
    Ok(format!("?sample={name}"))
}

fn listen(first: u16) -> Result<(Server, u16)> {
    let mut refusal = anyhow!("no port");
    for port in first..=first.saturating_add(PORTS_TRIED) {
        match Server::http(("127.0.0.1", port)) {
            Ok(server) => return Ok((server, port)),
            Err(cause) => refusal = anyhow!(cause),
        }
    }
    Err(refusal.context(format!(
        "None of the ports from {first} on could be opened. Choose another with --port."
    )))
}

fn answer(request: Request, dist: &Path) -> Result<()> {
    let Some(path) = file_for(request.url(), dist) else {
        return Ok(request
            .respond(Response::from_string("There is no such file.").with_status_code(404))?);
    };
    let file = File::open(&path).context("read")?;
    let header = |name: &str, value: &str| {
        Header::from_bytes(name, value).map_err(|()| anyhow!("{name}: {value}"))
    };
    Ok(request.respond(
        Response::from_file(file)
            .with_header(header("Content-Type", content_type(&path))?)
            .with_header(header("Cache-Control", "no-cache")?)
            .with_header(header("X-Content-Type-Options", "nosniff")?),
    )?)
}

/// The file an address means: `None` if there is none, or if it would lie outside the folder.
fn file_for(url: &str, dist: &Path) -> Option<PathBuf> {
    let path = url.split(['?', '#']).next()?.trim_start_matches('/');
    let relative = Path::new(if path.is_empty() { "index.html" } else { path });
    if !relative
        .components()
        .all(|part| matches!(part, Component::Normal(_)))
    {
        return None;
    }
    let file = dist.join(relative);
    let file = if file.is_dir() {
        file.join("index.html")
    } else {
        file
    };
    file.is_file().then_some(file)
}

fn content_type(path: &Path) -> &'static str {
    match path.extension().and_then(|extension| extension.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js" | "mjs") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("wasm") => "application/wasm",
        Some("json") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("csv") => "text/csv; charset=utf-8",
        Some("md" | "txt") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

/// Asks the desktop to open an address. Returns whether there was something to ask.
fn open(address: &str) -> bool {
    let mut command = if cfg!(target_os = "macos") {
        let mut command = Command::new("open");
        command.arg(address);
        command
    } else if cfg!(target_os = "windows") {
        let mut command = Command::new("cmd");
        // The empty word is the window's title; without it `start` takes the address for one.
        command.args(["/C", "start", "", address]);
        command
    } else {
        // Without a display xdg-open would look for a text browser and take over the terminal.
        let display = std::env::var_os("DISPLAY").or_else(|| std::env::var_os("WAYLAND_DISPLAY"));
        let Some(program) = display.and_then(|_| on_path(&["xdg-open"])) else {
            return false;
        };
        let mut command = Command::new(program);
        command.arg(address);
        command
    };
    command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_outside_the_folder_are_not_served() {
        let folder = std::env::temp_dir();
        assert_eq!(file_for("/../secret", &folder), None);
        assert_eq!(file_for("//etc/passwd/../x", &folder), None);
        assert_eq!(file_for("/no-such-file-here", &folder), None);
    }

    #[test]
    fn an_unknown_book_is_refused_by_name() {
        let books = ["hens-no".to_owned(), FIRST_BOOK.to_owned()];
        assert_eq!(
            query(None, &books).expect("the first"),
            format!("?sample={FIRST_BOOK}")
        );
        assert_eq!(query(None, &books[..1]).expect("any"), "?sample=hens-no");
        assert_eq!(query(Some("none"), &books).expect("no book"), "");
        let message = query(Some("hens"), &books)
            .expect_err("unknown")
            .to_string();
        assert!(
            message.contains("\"hens\"") && message.contains(FIRST_BOOK),
            "{message}"
        );
    }

    #[test]
    fn the_core_is_sent_as_webassembly() {
        assert_eq!(content_type(Path::new("core-1.wasm")), "application/wasm");
    }
}
