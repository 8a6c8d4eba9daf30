//! A list of steps, each timed, with a summary.
//!
//! - Enters: named pieces of work.
//! - Leaves: a line per step with its seconds, and one result for all.
//! - Always true: a failed step does not hide the later ones, and makes the whole fail.
//! - Never: repeats a step or leaves one out of the summary.

use std::time::{Duration, Instant};

use anyhow::{Result, bail};

/// Steps run so far.
#[derive(Default)]
pub struct Steps {
    done: Vec<Done>,
}

struct Done {
    name: String,
    took: Duration,
    failure: Option<String>,
}

impl Steps {
    /// Runs one step now. Returns whether it passed, for steps that need its result.
    pub fn step(&mut self, name: &str, work: impl FnOnce() -> Result<()>) -> bool {
        println!("\n--- {name}");
        let start = Instant::now();
        let failure = work().err().map(|cause| format!("{cause:#}"));
        let took = start.elapsed();
        match &failure {
            None => println!("--- {name}: passed in {:.1} s", took.as_secs_f64()),
            Some(cause) => println!(
                "{cause}\n--- {name}: FAILED after {:.1} s",
                took.as_secs_f64()
            ),
        }
        let passed = failure.is_none();
        self.done.push(Done {
            name: name.to_owned(),
            took,
            failure,
        });
        passed
    }

    /// Notes a step that cannot run because an earlier one failed. It counts as failed.
    pub fn cannot(&mut self, name: &str, because: &str) {
        println!("\n--- {name}: cannot run: {because}");
        self.done.push(Done {
            name: name.to_owned(),
            took: Duration::ZERO,
            failure: Some(because.to_owned()),
        });
    }

    /// Prints the summary. Fails if any step failed.
    pub fn finish(self) -> Result<()> {
        let width = self
            .done
            .iter()
            .map(|step| step.name.len())
            .max()
            .unwrap_or(0);
        println!("\nSummary");
        for step in &self.done {
            let verdict = if step.failure.is_none() {
                "passed"
            } else {
                "FAILED"
            };
            println!(
                "  {:width$}  {verdict}  {:7.1} s",
                step.name,
                step.took.as_secs_f64()
            );
        }
        let total: Duration = self.done.iter().map(|step| step.took).sum();
        println!(
            "  {:width$}          {:7.1} s",
            "together",
            total.as_secs_f64()
        );
        let failed: Vec<_> = self
            .done
            .iter()
            .filter(|step| step.failure.is_some())
            .collect();
        for step in &failed {
            println!(
                "\n{}: {}",
                step.name,
                step.failure.as_deref().unwrap_or_default()
            );
        }
        match failed.len() {
            0 => Ok(()),
            1 => bail!("1 step of {} failed.", self.done.len()),
            count => bail!("{count} steps of {} failed.", self.done.len()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_failed_step_fails_the_whole_and_later_steps_still_run() {
        let mut steps = Steps::default();
        assert!(!steps.step("first", || bail!("broken")));
        assert!(steps.step("second", || Ok(())));
        assert_eq!(
            steps.finish().expect_err("a step failed").to_string(),
            "1 step of 2 failed."
        );
    }

    #[test]
    fn a_step_that_cannot_run_is_a_failure() {
        let mut steps = Steps::default();
        steps.cannot("journeys", "no browser");
        assert!(steps.finish().is_err());
    }

    #[test]
    fn all_passed_is_success() {
        let mut steps = Steps::default();
        steps.step("only", || Ok(()));
        assert!(steps.finish().is_ok());
    }
}
