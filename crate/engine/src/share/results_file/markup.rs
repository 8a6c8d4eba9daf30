//! Text into markup.
//!
//! Enters: any text. Leaves: HTML that shows it and is nothing else.
//! Always true: of the text no character that opens or closes markup is left; characters that turn the
//! direction of what follows, or that HTML does not allow, are shown as U+FFFD, since a reader could be
//! misled by text that runs the other way.
//! Never: shortens a text without saying so.

use std::fmt::Write;

/// Text longer than this is folded, characters.
const LONG: usize = 160;

/// The text, escaped for element content and for attribute values in double quotes.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for ch in text.chars() {
        match ch {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            '\u{202a}'..='\u{202e}'
            | '\u{2066}'..='\u{2069}'
            | '\u{200e}'
            | '\u{200f}'
            | '\u{61c}' => {
                out.push('\u{fffd}');
            }
            ch if ch.is_control() => out.push('\u{fffd}'),
            ch => out.push(ch),
        }
    }
    out
}

/// The same, folded behind its beginning when it is long.
pub fn folded(text: &str) -> String {
    if text.chars().count() <= LONG {
        return escaped(text);
    }
    let start: String = text.chars().take(60).collect();
    format!(
        "<details><summary>{}… (long text)</summary>{}</details>",
        escaped(&start),
        escaped(text)
    )
}

/// A list of sentences.
pub fn list(class: &str, sentences: &[String]) -> String {
    let mut out = format!("<ul class=\"{class}\">");
    for sentence in sentences {
        write!(out, "<li>{}</li>", escaped(sentence)).expect("a String takes every text");
    }
    out.push_str("</ul>");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_becomes_text() {
        assert_eq!(
            escaped("<b onclick=\"x\">&'\u{202e}\0"),
            "&lt;b onclick=&quot;x&quot;&gt;&amp;&#39;\u{fffd}\u{fffd}"
        );
    }

    #[test]
    fn long_text_is_whole_behind_its_beginning() {
        let long = "x".repeat(10_000);
        assert!(folded(&long).contains(&long));
        assert!(folded("short").len() < 10);
    }
}
