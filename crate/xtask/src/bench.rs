//! `cargo xtask bench`: the measurements behind docs/benchmarks.md.
//!
//! - Enters: the names of measurements, or none for all.
//! - Leaves: what each measurement prints and writes.
//! - Always true: a measurement runs the code that ships, in the release profile.
//! - Never: decides whether a number is good; the budgets stand in docs/benchmarks.md.
//!
//! To add one: write it in its own module and give it a line in [`MEASUREMENTS`].

use anyhow::{Result, bail};

/// One measurement: its name on the command line, what it is about, and the work.
struct Measurement {
    name: &'static str,
    about: &'static str,
    run: fn() -> Result<()>,
}

/// All measurements, in the order they run.
const MEASUREMENTS: &[Measurement] = &[Measurement {
    name: "size",
    about: "bytes of the release site, raw and gzipped",
    run: size,
}];

/// Measure, and print the figures beside what they are compared with.
#[derive(clap::Args)]
pub struct Arguments {
    /// Which measurements to run; all if none is named.
    names: Vec<String>,
    /// List the measurements and run none.
    #[arg(long)]
    list: bool,
}

/// Runs the command.
pub fn bench(arguments: &Arguments) -> Result<()> {
    if arguments.list {
        for measurement in MEASUREMENTS {
            println!("{:12} {}", measurement.name, measurement.about);
        }
        return Ok(());
    }
    if let Some(unknown) = arguments
        .names
        .iter()
        .find(|name| !MEASUREMENTS.iter().any(|known| known.name == name.as_str()))
    {
        bail!("There is no measurement \"{unknown}\". `cargo xtask bench --list` names them.");
    }
    for measurement in MEASUREMENTS {
        if arguments.names.is_empty() || arguments.names.iter().any(|name| name == measurement.name)
        {
            println!("\n--- {}: {}", measurement.name, measurement.about);
            (measurement.run)()?;
        }
    }
    Ok(())
}

/// The build prints the size of every file it writes.
fn size() -> Result<()> {
    crate::build::site(crate::wasm::Effort::Release)
}
