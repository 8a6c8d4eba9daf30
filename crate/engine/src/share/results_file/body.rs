//! The file as it reads with scripts off: one document of headings, sentences and tables.
//!
//! Enters: a payload. Leaves: markup for the template's body.
//! Always true: every text of the payload is escaped; the viewer finds calves by `data-row`, columns by
//! `data-key` and groups by `data-group`, and adds to this document without replacing it.
//! Never: says that a figure was recomputed; only the engine in the file can.

use crate::note::counted;
use std::fmt::Write;

use super::comparison_body;
use super::markup::{escaped, folded, list};
use super::payload::{Cell, ColumnRecord, GroupsRecord, Payload};
use crate::sheet::write::with_minus;

/// The document.
pub fn body(payload: &Payload) -> String {
    let mut out = String::new();
    masthead(&mut out, payload);
    if let Some(comparison) = &payload.comparison {
        comparison_body::section(&mut out, payload, comparison);
    }
    out.push_str(
        "<div class=\"beside\"><section id=\"marks\" aria-labelledby=\"marks-title\"><h2 id=\"marks-title\">Checked here</h2>\
         <p id=\"engine\" role=\"status\">The figures below are as stated. With scripts on, the engine in this \
         file computes them again and marks each one.</p></section>",
    );
    out.push_str("<section id=\"cautions\" aria-labelledby=\"cautions-title\"><h2 id=\"cautions-title\">Keep in mind</h2>");
    out.push_str(&list("cautions", &payload.cautions));
    out.push_str("</section></div>");
    if let Some(groups) = &payload.groups {
        groups_section(&mut out, payload, groups);
    }
    calves(&mut out, payload);
    out.push_str("<section id=\"method\" aria-labelledby=\"method-title\"><h2 id=\"method-title\">How this was made</h2><dl>");
    for (heading, text) in &payload.method {
        push(
            &mut out,
            format_args!("<dt>{}</dt><dd>{}</dd>", escaped(heading), escaped(text)),
        );
    }
    out.push_str("</dl></section>");
    if !payload.stays_home.is_empty() {
        out.push_str("<section id=\"home\" aria-labelledby=\"home-title\"><h2 id=\"home-title\">What stays home</h2>");
        out.push_str(&list("home", &payload.stays_home));
        out.push_str("</section>");
    }
    fingerprints(&mut out, payload);
    out
}

fn push(out: &mut String, text: std::fmt::Arguments) {
    out.write_fmt(text).expect("a String takes every text");
}

fn masthead(out: &mut String, payload: &Payload) {
    push(
        out,
        format_args!("<header><h1>{}</h1>", escaped(title(payload))),
    );
    if !payload.message.is_empty() {
        push(
            out,
            format_args!("<p class=\"message\">{}</p>", folded(&payload.message)),
        );
    }
    let made_on = if payload.made_on.is_empty() {
        String::new()
    } else {
        format!(" on {}", payload.made_on)
    };
    push(
        out,
        format_args!(
            "<p class=\"made\">{} {} in this file. Weights in {}. Made{} with Fairpen {}.</p></header>",
            payload.n_calves,
            if payload.n_calves == 1 {
                "calf"
            } else {
                "calves"
            },
            escaped(&payload.weight_unit),
            escaped(&made_on),
            escaped(&payload.program)
        ),
    );
}

/// What to call the file.
pub fn title(payload: &Payload) -> &str {
    if payload.title.trim().is_empty() {
        "Calf results"
    } else {
        &payload.title
    }
}

fn groups_section(out: &mut String, payload: &Payload, groups: &GroupsRecord) {
    out.push_str("<section id=\"groups\" aria-labelledby=\"groups-title\"><h2 id=\"groups-title\">Groups</h2>");
    push(
        out,
        format_args!(
            "<p class=\"reading\">{} {} of calves that can fairly be set side by side. The mean is of all calves of a group{}.</p>",
            groups.groups.len(),
            if groups.groups.len() == 1 {
                "group"
            } else {
                "groups"
            },
            if payload.every_calf {
                ""
            } else {
                ", also of those that stay home"
            }
        ),
    );
    let unit = escaped(&payload.weight_unit);
    push(
        out,
        format_args!(
            "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Table of groups\"><table id=\"group-table\"><thead><tr>\
             <th scope=\"col\">Group</th><th scope=\"col\" class=\"n\">Calves</th><th scope=\"col\" class=\"n\">Here</th>\
             <th scope=\"col\" class=\"n\">Mean adjusted weight <span class=\"unit\">{unit}</span></th>\
             <th scope=\"col\" class=\"n\">Spread (s.d.) <span class=\"unit\">{unit}</span></th>\
             <th scope=\"col\">To mind</th><th scope=\"col\">What made it</th></tr></thead><tbody>"
        ),
    );
    for (at, group) in groups.groups.iter().enumerate() {
        let parts: Vec<String> = group
            .parts
            .iter()
            .map(|(label, words)| format!("{label}: {words}"))
            .collect();
        let made_it = if parts.is_empty() {
            "stays home".to_owned()
        } else {
            format!(
                "<details><summary>{} alike</summary>{}</details>",
                counted(parts.len(), "thing"),
                list("parts", &parts)
            )
        };
        push(
            out,
            format_args!(
                "<tr data-group=\"{at}\"><th scope=\"row\">{}</th><td class=\"n\">{}</td><td class=\"n\">{}</td>\
                 <td class=\"n f\">{}</td><td class=\"n\">{}</td><td>{}</td><td>{}</td></tr>",
                folded(&group.name),
                group.n,
                group.rows.len(),
                escaped(&group.mean_shown),
                escaped(&group.sd_shown),
                escaped(&group.flags.join("; ")),
                made_it
            ),
        );
    }
    out.push_str(
        "</tbody></table></div><details class=\"rule\"><summary>How groups are formed</summary>",
    );
    out.push_str(&list("rule", &groups.rule));
    out.push_str("</details></section>");
}

fn calves(out: &mut String, payload: &Payload) {
    out.push_str(
        "<section id=\"calves\" aria-labelledby=\"calves-title\"><h2 id=\"calves-title\">Calves</h2>\
         <div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Table of calves\"><table id=\"calf-table\"><thead><tr>",
    );
    for column in &payload.columns {
        let unit = if column.unit.is_empty() || column.label.contains(&format!("({})", column.unit))
        {
            String::new()
        } else {
            format!(" <span class=\"unit\">{}</span>", escaped(&column.unit))
        };
        push(
            out,
            format_args!(
                "<th scope=\"col\" class=\"{}\" data-key=\"{}\" title=\"{}\">{}{unit}</th>",
                class(column),
                escaped(&column.key),
                escaped(&column.help),
                escaped(&column.label)
            ),
        );
    }
    out.push_str("</tr></thead><tbody>");
    let named_by = payload
        .columns
        .iter()
        .position(|column| column.key == "tag");
    for row in 0..payload.n_calves as usize {
        push(out, format_args!("<tr data-row=\"{row}\">"));
        for (at, column) in payload.columns.iter().enumerate() {
            let text = match column.cells.get(row) {
                Some(Cell::Number(_)) => folded(&with_minus(column.shown(row).to_owned())),
                _ => folded(column.shown(row)),
            };
            if named_by == Some(at) {
                // A heading without text would name its row nothing.
                match text.is_empty() {
                    true => out.push_str("<td class=\"tag\"></td>"),
                    false => push(
                        out,
                        format_args!("<th scope=\"row\" class=\"tag\">{text}</th>"),
                    ),
                }
                continue;
            }
            let doubtful = match column.cells.get(row) {
                Some(Cell::Unreadable { .. }) => " (not understood)",
                _ => "",
            };
            match class(column) {
                "" => push(out, format_args!("<td>{text}{doubtful}</td>")),
                class => push(
                    out,
                    format_args!("<td class=\"{class}\">{text}{doubtful}</td>"),
                ),
            }
        }
        out.push_str("</tr>");
    }
    out.push_str("</tbody></table></div></section>");
}

/// `n` a number, `f` a computed figure, `tag` what names the row.
fn class(column: &ColumnRecord) -> &'static str {
    if column.key == "tag" {
        return "tag";
    }
    let number = matches!(column.kind.as_str(), "number" | "weight");
    match (number, column.basis.is_some()) {
        (true, true) => "n f",
        (true, false) => "n",
        (false, true) => "f",
        (false, false) => "",
    }
}

fn fingerprints(out: &mut String, payload: &Payload) {
    push(
        out,
        format_args!(
            "<section id=\"digest\" aria-labelledby=\"digest-title\"><h2 id=\"digest-title\">Fingerprints</h2>\
             <p>Two files made of the same entries have the same first line. Anyone can make a file with a \
             right fingerprint: it shows that nothing changed on the way, not who made it. Compare it with the \
             one the ranch reads out to you.</p>\
             <dl><dt>Entries and settings (SHA-256)</dt><dd><code id=\"digest-inputs\">{}</code></dd>\
             <dt>The whole file (SHA-256)</dt><dd><code id=\"digest-contents\">{}</code></dd></dl></section>",
            escaped(&payload.digest.inputs),
            escaped(&payload.digest.contents)
        ),
    );
}
