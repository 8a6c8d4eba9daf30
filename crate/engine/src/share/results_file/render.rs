//! The file's text: the viewer's template with its slots filled.
//!
//! Enters: the template and a payload. Leaves: HTML.
//! Always true: the template has each slot once - `<!--fairpen:title-->` (escaped text),
//! `<!--fairpen:body-->` (markup that reads with scripts off) and `<!--fairpen:payloads-->` (inert script
//! elements) - and what fills a slot is never searched for slots; the payload stands as gzip in base64, so
//! no text of it can be taken for markup.
//! Never: adds a script, a style or an address.

use std::io::Write;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use flate2::Compression;
use flate2::write::GzEncoder;

use super::body;
use super::markup::escaped;
use super::payload::Payload;
use crate::error::Error;

/// Name of the payload element; the viewer reads it.
pub const PAYLOAD_NAME: &str = "handed-over";

const SLOTS: [&str; 3] = [
    "<!--fairpen:title-->",
    "<!--fairpen:body-->",
    "<!--fairpen:payloads-->",
];

/// Fills the template.
///
/// # Errors
///
/// `share.results.template` when a slot is not there exactly once.
pub fn render(template: &str, payload: &Payload) -> Result<String, Error> {
    let fillings = [
        escaped(body::title(payload)),
        body::body(payload),
        format!(
            "<script type=\"text/plain\" data-payload=\"{PAYLOAD_NAME}\" data-encoding=\"gzip+base64\">{}</script>",
            packed(&payload.to_json())
        ),
    ];
    let mut slots: Vec<(usize, &str, &String)> = Vec::new();
    for (slot, filling) in SLOTS.into_iter().zip(&fillings) {
        let mut places = template.match_indices(slot);
        let (Some((at, _)), None) = (places.next(), places.next()) else {
            return Err(Error::new(
                "share.results.template",
                format!("The template of the results file does not have {slot} exactly once."),
                "Build the program again with `cargo xtask build`.",
            ));
        };
        slots.push((at, slot, filling));
    }
    fairpen_stats::in_order::order_by_key(&mut slots, |(at, _, _)| *at);
    let length = template.len() + fillings.iter().map(String::len).sum::<usize>();
    let mut text = String::with_capacity(length);
    let mut from = 0;
    for (at, slot, filling) in slots {
        text.push_str(&template[from..at]);
        text.push_str(filling);
        from = at + slot.len();
    }
    text.push_str(&template[from..]);
    Ok(text)
}

fn packed(text: &str) -> String {
    // The header holds no time and no name, so the same payload gives the same bytes.
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder
        .write_all(text.as_bytes())
        .expect("a Vec takes every byte");
    STANDARD.encode(encoder.finish().expect("a Vec takes every byte"))
}
