//! Times a mixed model of 100,000 made-up rows: 25,000 dams and 500 sires at random, 23 fixed columns.
//!
//! Takes about two seconds of one processor. Run: `cargo run --release -p fairpen-stats --example large_herd`

// A program to be run by hand may stop where it fails.
#![allow(clippy::unwrap_used)]

use std::ops::ControlFlow;
use std::time::Instant;

use fairpen_stats::distribution::ConfidenceLevel;
use fairpen_stats::linear::{CovariateIndex, Data, Factor, FactorIndex, Margins, Term};
use fairpen_stats::mixed::{Approximation, MixedSettings, RandomFactor, RandomIndex, fit_mixed};

const ROWS: usize = 100_000;
const DAMS: u32 = 25_000;
const SIRES: u32 = 500;
/// Levels of place, sex, dam-age class, year, creep.
const LEVELS: [u32; 5] = [3, 2, 7, 10, 2];

/// The mixer of `SplitMix` (Steele, Lea and Flood 2014).
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, limit: u32) -> u32 {
        u32::try_from(self.next() % u64::from(limit)).unwrap()
    }

    #[allow(clippy::cast_precision_loss)]
    fn normal(&mut self) -> f64 {
        let unit = |bits: u64| (bits >> 11) as f64 / (1u64 << 53) as f64;
        (0..12).map(|_| unit(self.next())).sum::<f64>() - 6.0
    }
}

fn main() {
    let mut numbers = Numbers(2);
    let dam_effects: Vec<f64> = (0..DAMS).map(|_| 22.0 * numbers.normal()).collect();
    let sire_effects: Vec<f64> = (0..SIRES).map(|_| 12.0 * numbers.normal()).collect();
    let mut codes: Vec<Vec<u32>> = LEVELS.iter().map(|_| Vec::with_capacity(ROWS)).collect();
    let (mut dams, mut sires) = (Vec::new(), Vec::new());
    let (mut birth_day, mut weight) = (Vec::new(), Vec::new());
    for _ in 0..ROWS {
        let dam = numbers.below(DAMS);
        let sire = numbers.below(SIRES);
        let mut value = 520.0 + dam_effects[dam as usize] + sire_effects[sire as usize];
        for (column, levels) in codes.iter_mut().zip(LEVELS) {
            let code = numbers.below(levels);
            value += 4.0 * f64::from(code);
            column.push(code);
        }
        let day = 20.0 * numbers.normal();
        value += 0.3 * day + 35.0 * numbers.normal();
        dams.push(dam);
        sires.push(sire);
        birth_day.push(day);
        weight.push(value);
    }
    let factors: Vec<Factor<'_>> = codes
        .iter()
        .zip(LEVELS)
        .map(|(codes, levels)| Factor { codes, levels })
        .collect();
    let mut terms: Vec<Term> = (0..factors.len())
        .map(|at| Term::Factor(FactorIndex(at)))
        .collect();
    terms.push(Term::Covariate(CovariateIndex(0)));
    terms.push(Term::Cross(vec![FactorIndex(0), FactorIndex(1)]));
    let data = Data {
        response: &weight,
        factors: &factors,
        covariates: &[&birth_day],
    };
    let random = [
        RandomFactor::Codes(Factor {
            codes: &sires,
            levels: SIRES,
        }),
        RandomFactor::Codes(Factor {
            codes: &dams,
            levels: DAMS,
        }),
    ];

    let start = Instant::now();
    let fit = fit_mixed(
        &data,
        &terms,
        &random,
        MixedSettings::default(),
        &mut |progress| {
            println!(
                "{:8.2?}  step {}, log-likelihood {:.4}, to gain {:.1e}",
                start.elapsed(),
                progress.iteration,
                progress.log_likelihood,
                progress.expected_gain
            );
            ControlFlow::Continue(())
        },
    )
    .unwrap();
    println!(
        "{:8.2?}  fitted, {} fixed columns",
        start.elapsed(),
        fit.fixed_part().rank()
    );
    for (name, component) in ["sire", "dam"].iter().zip(fit.components()) {
        let error = component.standard_error.unwrap_or(f64::NAN);
        println!(
            "          {name}: variance {:.3} (s.e. {error:.3})",
            component.variance
        );
    }
    println!(
        "          residual: variance {:.3}",
        fit.residual_variance()
    );
    let first = fit.predictions(RandomIndex(1)).unwrap()[0];
    println!(
        "          first dam: {:.3}, error variance {:.3}",
        first.value, first.error_variance
    );
    for method in [Approximation::Satterthwaite, Approximation::KenwardRoger] {
        let inference = fit.inference(method).unwrap();
        let level = ConfidenceLevel::NINETY_FIVE;
        let means = inference
            .means(&[FactorIndex(0)], Margins::Equal, level)
            .unwrap();
        for difference in inference.differences(&means, level) {
            let estimate = difference.estimate.unwrap();
            let known = estimate.uncertainty.unwrap();
            println!(
                "          place {} less {}: {:.4}, s.e. {:.4}, df {:.0}",
                difference.first, difference.second, estimate.value, known.standard_error, known.df
            );
        }
        println!("{:8.2?}  {method:?}", start.elapsed());
    }
}
