//! Chromium and its driver.
//!
//! - Enters: `CHROME_BIN`, the search path.
//! - Leaves: the two programs' paths, and the driver's settings in `target/webdriver.json`.
//! - Always true: what is missing is installed on Debian as root, else named with the way to install it.
//! - Never: downloads a browser by itself, or uses a person's own browser profile.

use std::path::PathBuf;
use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::run::{on_path, printed, run};
use crate::tree;

/// A browser to test in.
pub struct Browser {
    /// Chromium or Chrome.
    pub program: PathBuf,
    /// chromedriver of the same version.
    pub driver: PathBuf,
    /// The settings file for the driver.
    pub settings: PathBuf,
}

const FLAGS: [&str; 9] = [
    "headless",
    "no-sandbox",
    "disable-gpu",
    "disable-quic",
    "no-first-run",
    "disable-background-networking",
    "disable-component-update",
    "disable-sync",
    "disable-dev-shm-usage",
];

/// Finds Chromium and its driver, installing them where that is possible.
pub fn ensure() -> Result<Browser> {
    if program().is_none() || driver().is_none() {
        install()?;
    }
    let (Some(program), Some(driver)) = (program(), driver()) else {
        bail!("Chromium was installed but its programs were not found on the search path.");
    };
    let settings = tree::target()?.join("webdriver.json");
    std::fs::write(&settings, driver_settings(&program.to_string_lossy()))
        .context("The settings for the browser's driver cannot be written.")?;
    Ok(Browser {
        program,
        driver,
        settings,
    })
}

fn program() -> Option<PathBuf> {
    if let Some(chosen) = std::env::var_os("CHROME_BIN")
        .map(PathBuf::from)
        .filter(|chosen| chosen.is_file())
    {
        return Some(chosen);
    }
    on_path(&[
        "chromium",
        "chromium-browser",
        "google-chrome",
        "google-chrome-stable",
    ])
}

fn driver() -> Option<PathBuf> {
    if let Some(chosen) = std::env::var_os("CHROMEDRIVER")
        .map(PathBuf::from)
        .filter(|chosen| chosen.is_file())
    {
        return Some(chosen);
    }
    on_path(&["chromedriver"])
}

fn install() -> Result<()> {
    let root = printed(Command::new("id").arg("-u")).as_deref() == Some("0");
    if on_path(&["apt-get"]).is_none() || !root {
        bail!(
            "The browser tests need Chromium and its driver, and this command cannot install them here.\n\
             On Debian or Ubuntu: sudo apt-get install chromium chromium-driver\n\
             Elsewhere: install Chrome or Chromium and the chromedriver of the same version, put both on the\n\
             search path or name them in CHROME_BIN and CHROMEDRIVER.\n\
             `cargo xtask test --quick` runs everything that needs no browser."
        );
    }
    println!("Installing Chromium and its driver (apt-get).");
    run(Command::new("apt-get").args(["update", "-qq"]))
        .context("The list of Debian packages could not be fetched.")?;
    run(Command::new("apt-get")
        .env("DEBIAN_FRONTEND", "noninteractive")
        .args([
            "install",
            "-y",
            "-qq",
            "--no-install-recommends",
            "chromium",
            "chromium-driver",
        ]))
    .context("Chromium could not be installed.")
}

fn driver_settings(program: &str) -> String {
    let flags: Vec<String> = FLAGS.iter().map(|flag| format!("\"{flag}\"")).collect();
    let program = program.replace('\\', "\\\\").replace('"', "\\\"");
    format!(
        "{{\"goog:chromeOptions\":{{\"binary\":\"{program}\",\"args\":[{}]}}}}\n",
        flags.join(",")
    )
}

#[cfg(test)]
mod tests {
    use super::driver_settings;

    #[test]
    fn the_driver_is_told_the_program_and_to_show_no_window() {
        let text = driver_settings(r"C:\browser.exe");
        assert!(
            text.starts_with(
                r#"{"goog:chromeOptions":{"binary":"C:\\browser.exe","args":["headless","#
            ),
            "{text}"
        );
    }
}
