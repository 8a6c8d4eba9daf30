//! The comparison as it reads with scripts off: the sentence, the picture beside its own numbers, the tables.
//!
//! Enters: the comparison of a payload. Leaves: markup; pictures are drawn line by line inside the tables,
//! so that a picture and its table are one thing.
//! Always true: positions are percentages of the line's width, so that the same drawing fits a phone.
//! Never: draws what cannot be estimated.

use std::fmt::Write;

use super::markup::{escaped, list};
use super::payload::{ComparisonRecord, EstimateRecord, PairRecord, Payload};
use super::shown::fixed;
use crate::sheet::write::spoken;

/// The section.
pub fn section(out: &mut String, payload: &Payload, comparison: &ComparisonRecord) {
    push(
        out,
        format_args!(
            "<section id=\"comparison\" aria-labelledby=\"comparison-title\"><h2 id=\"comparison-title\">Compared by {}</h2>\
             <p class=\"sentence\">{}</p><p id=\"comparison-mark\"></p>",
            escaped(&comparison.column_label.to_lowercase()),
            escaped(&comparison.sentence)
        ),
    );
    if !comparison.cautions.is_empty() {
        out.push_str(&list("cautions", &comparison.cautions));
    }
    means(out, payload, comparison);
    for pair in leading_first(comparison) {
        steps(out, payload, comparison, pair);
    }
    tables(out, comparison);
    out.push_str("</section>");
}

fn push(out: &mut String, text: std::fmt::Arguments) {
    out.write_fmt(text).expect("a String takes every text");
}

/// The pairs, those with a difference first; the order of levels otherwise.
fn leading_first(comparison: &ComparisonRecord) -> Vec<&PairRecord> {
    let mut pairs: Vec<&PairRecord> = comparison.pairs.iter().collect();
    fairpen_stats::in_order::order_by_key(&mut pairs, |pair| match pair.verdict.as_str() {
        "differs" => 0,
        "not_shown" => 1,
        _ => 2,
    });
    pairs
}

/// A scale from the smallest to the largest of some numbers, with a margin.
struct Scale {
    from: f64,
    to: f64,
}

impl Scale {
    fn over(numbers: impl Iterator<Item = f64>) -> Option<Scale> {
        let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
        for number in numbers.filter(|number| number.is_finite()) {
            from = from.min(number);
            to = to.max(number);
        }
        (from <= to).then(|| {
            let margin = ((to - from) * 0.06).max(0.5);
            Scale {
                from: from - margin,
                to: to + margin,
            }
        })
    }

    fn percent(&self, number: f64) -> String {
        fixed((number - self.from) / (self.to - self.from) * 100.0, 2)
    }
}

/// An interval with its middle, and a line at zero where the scale has one.
fn drawing(scale: &Scale, estimate: &EstimateRecord, zero: bool) -> String {
    let mut svg = String::from("<svg class=\"track\" aria-hidden=\"true\" focusable=\"false\">");
    if zero {
        let at = scale.percent(0.0);
        push(
            &mut svg,
            format_args!("<line class=\"zero\" x1=\"{at}%\" x2=\"{at}%\" y1=\"0\" y2=\"100%\"/>"),
        );
    }
    push(
        &mut svg,
        format_args!(
            "<line class=\"interval\" x1=\"{}%\" x2=\"{}%\" y1=\"50%\" y2=\"50%\"/><circle class=\"middle\" cx=\"{}%\" cy=\"50%\" r=\"5\"/></svg>",
            scale.percent(estimate.lower),
            scale.percent(estimate.upper),
            scale.percent(estimate.value)
        ),
    );
    svg
}

fn means(out: &mut String, payload: &Payload, comparison: &ComparisonRecord) {
    let unit = escaped(comparison.unit.as_ref().unwrap_or(&payload.weight_unit));
    let estimates = || {
        comparison
            .levels
            .iter()
            .filter_map(|level| level.ls_mean.as_ref())
    };
    let scale = Scale::over(estimates().flat_map(|mean| [mean.lower, mean.upper]));
    push(
        out,
        format_args!(
            "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Means\"><table class=\"picture\"><caption>Means in {unit}; \
             the line is the interval of the fair mean</caption><thead><tr><th scope=\"col\">{}</th>\
             <th scope=\"col\" class=\"n\">Calves</th><th scope=\"col\" class=\"n\">As recorded</th>\
             <th scope=\"col\" class=\"n\">On age alone</th><th scope=\"col\" class=\"n\">By published factors</th>\
             <th scope=\"col\" class=\"n\">Fair mean</th><th scope=\"col\" class=\"draw\">Interval</th>\
             <th scope=\"col\">Left out</th></tr></thead><tbody>",
            escaped(&comparison.column_label)
        ),
    );
    for level in &comparison.levels {
        let (shown, drawn) = match (&level.ls_mean, &scale) {
            (Some(mean), Some(scale)) => (escaped(&mean.shown), drawing(scale, mean, false)),
            _ => ("cannot be estimated".to_owned(), String::new()),
        };
        let left_out: Vec<String> = level
            .left_out
            .iter()
            .map(|(reason, n)| format!("{n} {reason}"))
            .collect();
        push(
            out,
            format_args!(
                "<tr><th scope=\"row\">{}</th><td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td>\
                 <td class=\"n\">{}</td><td class=\"n\">{shown}</td><td class=\"draw\">{drawn}</td><td>{}</td></tr>",
                escaped(&level.name),
                level.n,
                escaped(&level.shown[0]),
                escaped(&level.shown[1]),
                escaped(&level.shown[2]),
                escaped(&left_out.join("; "))
            ),
        );
    }
    out.push_str("</tbody></table></div>");
}

fn steps(out: &mut String, payload: &Payload, comparison: &ComparisonRecord, pair: &PairRecord) {
    let (first, second) = (
        escaped(&comparison.levels[pair.first as usize].name),
        escaped(&comparison.levels[pair.second as usize].name),
    );
    let unit = escaped(comparison.unit.as_ref().unwrap_or(&payload.weight_unit));
    let estimates = || {
        pair.steps
            .iter()
            .filter_map(|step| step.difference.as_ref())
    };
    let scale = Scale::over(
        estimates()
            .flat_map(|one| [one.lower, one.upper])
            .chain([0.0]),
    );
    if comparison.pairs.len() > 1 {
        push(
            out,
            format_args!(
                "<h3>{first} and {second}</h3><p>{}</p>",
                escaped(&pair.sentence)
            ),
        );
    }
    push(
        out,
        format_args!(
            "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"{first} less {second}, from raw to fair\"><table class=\"picture\">\
             <caption>From raw to fair: {first} less {second}, {unit}. The upright line is no difference.</caption>\
             <thead><tr><th scope=\"col\">Held equal</th><th scope=\"col\" class=\"draw\">Difference with its interval</th>\
             <th scope=\"col\" class=\"n\">{unit}</th><th scope=\"col\" class=\"n\">p</th></tr></thead><tbody>"
        ),
    );
    for step in &pair.steps {
        let (drawn, shown, p) = match (&step.difference, &scale) {
            (Some(difference), Some(scale)) => (
                drawing(scale, difference, true),
                escaped(&difference.shown),
                difference.p.map_or_else(String::new, |p| {
                    if p < 0.001 {
                        "below 0.001".to_owned()
                    } else {
                        fixed(p, 3)
                    }
                }),
            ),
            _ => (
                String::new(),
                "cannot be estimated".to_owned(),
                String::new(),
            ),
        };
        push(
            out,
            format_args!(
                "<tr><th scope=\"row\">{}</th><td class=\"draw\">{drawn}</td><td class=\"n\">{shown}</td><td class=\"n\">{}</td></tr>",
                escaped(&step.words),
                escaped(&p)
            ),
        );
    }
    out.push_str("</tbody></table></div>");
}

fn tables(out: &mut String, comparison: &ComparisonRecord) {
    if !comparison.balance.is_empty() {
        out.push_str(
            "<details><summary>What else differs between them</summary><div class=\"scroll\" tabindex=\"0\" role=\"region\" \
             aria-label=\"What else differs\"><table><thead><tr><th scope=\"col\">Of the calves used</th>",
        );
        for level in &comparison.levels {
            push(
                out,
                format_args!(
                    "<th scope=\"col\" class=\"n\">{}</th>",
                    escaped(&level.name)
                ),
            );
        }
        out.push_str(
            "<th scope=\"col\" class=\"n\">Standardised difference</th></tr></thead><tbody>",
        );
        for row in &comparison.balance {
            push(
                out,
                format_args!("<tr><th scope=\"row\">{}</th>", escaped(&row.words)),
            );
            for shown in &row.shown {
                push(out, format_args!("<td class=\"n\">{}</td>", escaped(shown)));
            }
            let standardised = row
                .standardised_difference
                .map_or_else(String::new, |size| spoken(size, 2));
            push(
                out,
                format_args!("<td class=\"n\">{standardised}</td></tr>"),
            );
        }
        out.push_str("</tbody></table></div></details>");
    }
    if !comparison.reached.is_empty() {
        out.push_str(
            "<details><summary>Calves that never reached the scale</summary><div class=\"scroll\" tabindex=\"0\" role=\"region\" \
             aria-label=\"Calves that never reached the scale\"><table><thead><tr><th scope=\"col\">Level</th><th scope=\"col\" class=\"n\">Started</th>\
             <th scope=\"col\" class=\"n\">Born dead</th><th scope=\"col\" class=\"n\">Died</th><th scope=\"col\" class=\"n\">Sold early</th>\
             <th scope=\"col\" class=\"n\">Weighed</th><th scope=\"col\" class=\"n\">No weight</th></tr></thead><tbody>",
        );
        for reached in &comparison.reached {
            push(
                out,
                format_args!(
                    "<tr><th scope=\"row\">{}</th><td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td>\
                     <td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td></tr>",
                    escaped(&reached.level),
                    reached.started,
                    reached.born_dead,
                    reached.died,
                    reached.sold_early,
                    reached.weighed,
                    reached.no_weight
                ),
            );
        }
        out.push_str("</tbody></table></div></details>");
    }
    if !comparison.aliased.is_empty() {
        out.push_str("<details><summary>What these records cannot separate</summary>");
        out.push_str(&list("aliased", &comparison.aliased));
        out.push_str("</details>");
    }
}
