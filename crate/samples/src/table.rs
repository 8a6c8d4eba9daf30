//! Tables of text on their way to a CSV file.
//!
//! Enters: a header and rows of text. Leaves: the bytes of a CSV file (UTF-8, comma, line feed,
//! quotes only where needed). Always true: every row has as many cells as the header. Never:
//! reading, or guessing a cell that was not given.

use csv::{QuoteStyle, Terminator, WriterBuilder};

/// One file on its way to disk: a path from the output folder, with `/` between folders, and bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrittenFile {
    /// Path below the output folder.
    pub path: String,
    /// What the file holds.
    pub bytes: Vec<u8>,
}

/// How a CSV file is laid out.
#[derive(Debug, Clone, Copy)]
pub struct Layout {
    /// The byte between cells.
    pub delimiter: u8,
    /// Carriage return and line feed at the end of a line, rather than line feed alone.
    pub crlf: bool,
    /// Quotes around every cell, rather than only where a cell needs them.
    pub quote_all: bool,
    /// A UTF-8 byte-order mark in front.
    pub byte_order_mark: bool,
}

/// The layout of the sample books.
pub const PLAIN: Layout = Layout {
    delimiter: b',',
    crlf: false,
    quote_all: false,
    byte_order_mark: false,
};

/// A header and its rows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Column names.
    pub header: Vec<String>,
    /// Rows; each as long as the header.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// An empty table with these columns.
    pub fn new(header: &[&str]) -> Self {
        Self {
            header: header.iter().map(|name| (*name).to_owned()).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row. Panics when it is not as long as the header, which would be a slip in the
    /// generator and must not reach a file.
    pub fn push(&mut self, row: Vec<String>) {
        assert_eq!(
            row.len(),
            self.header.len(),
            "row {row:?} does not fit {:?}",
            self.header
        );
        self.rows.push(row);
    }

    /// The table as a plain CSV file.
    pub fn file(&self, path: &str) -> WrittenFile {
        WrittenFile {
            path: path.to_owned(),
            bytes: self.bytes(PLAIN),
        }
    }

    /// The table as CSV bytes in `layout`.
    pub fn bytes(&self, layout: Layout) -> Vec<u8> {
        let mut writer = WriterBuilder::new()
            .delimiter(layout.delimiter)
            .terminator(if layout.crlf {
                Terminator::CRLF
            } else {
                Terminator::Any(b'\n')
            })
            .quote_style(if layout.quote_all {
                QuoteStyle::Always
            } else {
                QuoteStyle::Necessary
            })
            .from_writer(if layout.byte_order_mark {
                "\u{feff}".as_bytes().to_vec()
            } else {
                Vec::new()
            });
        writer
            .write_record(&self.header)
            .expect("writing to memory does not fail");
        for row in &self.rows {
            writer
                .write_record(row)
                .expect("writing to memory does not fail, and rows are even");
        }
        writer
            .into_inner()
            .expect("writing to memory does not fail")
    }
}
