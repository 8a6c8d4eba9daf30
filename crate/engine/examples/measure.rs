//! Measures the engine on this machine; `cargo xtask bench` starts it.
//!
//! Enters: `measure herd FILE ROWS SEED` writes a herd; `measure run FILE` then takes one `run` per line of
//! standard input. Leaves: for each run a line of JSON: milliseconds and a checksum of the answer.
//! Always true: a run reads the file from disk, in chunks, and keeps nothing of the run before.
//! Never: ships.

use std::error::Error;
use std::fs::File;
use std::io::{BufRead, BufWriter, Read, Write};
use std::time::Instant;

use fairpen_engine::import::{ImportOptions, Reader};
use fairpen_engine::results::Results;
use fairpen_engine::sheet::day::Day;
use fairpen_engine::sheet::settings::WeightUnit;
use fairpen_engine::sheet::workbook::Workbook;

/// Bytes given to the engine at once.
const CHUNK: usize = 256 * 1024;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["herd", path, n_rows, seed] => {
            let mut file = BufWriter::new(File::create(path)?);
            fairpen_samples::large_herd::write(&mut file, n_rows.parse()?, seed.parse()?)?;
            file.flush()?;
        }
        ["run", path] => {
            for line in std::io::stdin().lock().lines() {
                if line?.trim() == "run" {
                    println!("{}", once(path)?);
                }
            }
        }
        _ => return Err("measure herd FILE ROWS SEED, or measure run FILE".into()),
    }
    Ok(())
}

fn once(path: &str) -> Result<serde_json::Value, Box<dyn Error>> {
    let start = Instant::now();
    let options = ImportOptions::of_book(WeightUnit::Pound, Day::MISSING);
    let mut reader = Reader::begin("calves.csv", options);
    let mut file = File::open(path)?;
    let mut chunk = vec![0; CHUNK];
    loop {
        let n = file.read(&mut chunk)?;
        if n == 0 {
            break;
        }
        reader.push(&chunk[..n])?;
    }
    let imported = reader.finish()?;
    let read = start.elapsed();
    let mut book = Workbook::default();
    let sheet = imported.table.kind;
    *book.sheet_mut(sheet) = imported.table;
    let results = Results::recalculate(&book);
    let total = start.elapsed();

    let groups = &results.groups;
    let ratios = || groups.ratio.iter().filter(|ratio| !ratio.is_nan());
    Ok(serde_json::json!({
        "ms": total.as_secs_f64() * 1e3,
        "read_ms": read.as_secs_f64() * 1e3,
        "n_rows": groups.ratio.len(),
        "n_groups": groups.groups.len(),
        "n_ratios": ratios().count(),
        "sum_of_ratios": ratios().sum::<f64>(),
        "sum_of_squares": ratios().map(|ratio| ratio * ratio).sum::<f64>(),
        "sum_of_ranks": groups.rank.iter().map(|&rank| f64::from(rank)).sum::<f64>(),
    }))
}
