//! Node and the page's packages.
//!
//! - Enters: `web/package-lock.json`.
//! - Leaves: `web/node_modules` matching it; `Command`s for Node.
//! - Always true: packages are those of the lock file, and their install scripts do not run.
//! - Never: changes the lock file.

use std::path::Path;
use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::run::{on_path, printed, run};
use crate::tree;

const OLDEST_MAJOR: u32 = 20;

/// Node, in the folder of the page.
pub fn node() -> Result<Command> {
    let mut command = Command::new("node");
    command.current_dir(tree::web()?);
    Ok(command)
}

/// Checks Node and installs the page's packages when they are missing or the lock file has changed.
pub fn ensure() -> Result<()> {
    let version = printed(Command::new("node").arg("--version")).unwrap_or_default();
    match major(&version) {
        Some(found) if found >= OLDEST_MAJOR => {}
        Some(_) => bail!(
            "Fairpen's page is built with Node {OLDEST_MAJOR} or later; this machine has {version}. Install a newer one from https://nodejs.org and try again."
        ),
        None => bail!(
            "Fairpen's page is built with Node {OLDEST_MAJOR} or later, which was not found. Install it from https://nodejs.org (it brings npm) and try again."
        ),
    }
    let web = tree::web()?;
    let wanted = std::fs::read(web.join("package-lock.json"))
        .context("web/package-lock.json cannot be read.")?;
    // A copy of the lock file the packages were installed from. npm's own record has another form.
    let installed = web.join("node_modules/.installed-from.json");
    if std::fs::read(&installed).is_ok_and(|installed| installed == wanted) {
        return Ok(());
    }
    let npm = on_path(&["npm", "npm.cmd"]).context("npm was not found beside Node. Install Node with npm from https://nodejs.org and try again.")?;
    println!("Installing the page's packages (npm ci).");
    install(&npm, &web).context(
        "The page's packages could not be installed. npm needs the network the first time.",
    )?;
    std::fs::write(installed, wanted).context("web/node_modules cannot be written.")
}

fn install(npm: &Path, web: &Path) -> Result<()> {
    run(Command::new(npm).current_dir(web).args([
        "ci",
        "--ignore-scripts",
        "--no-audit",
        "--no-fund",
    ]))
}

/// The first number of a version such as `v20.20.2`.
fn major(version: &str) -> Option<u32> {
    version
        .trim_start_matches('v')
        .split('.')
        .next()?
        .parse()
        .ok()
}

#[cfg(test)]
mod tests {
    use super::major;

    #[test]
    fn versions_are_read() {
        assert_eq!(major("v20.20.2"), Some(20));
        assert_eq!(major("9.1.0"), Some(9));
        assert_eq!(major(""), None);
    }
}
