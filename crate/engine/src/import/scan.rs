//! Bytes of a delimited text file as fields and records.
//!
//! Enters: a file in chunks of any size. Leaves: the bytes of every field, in order, and the end of every
//! record with its line.
//! Always true: the fields are those of RFC 4180, read as the csv crate reads them (held against it in the
//! tests): a quote is special at the start of a field only, a doubled quote inside quotes is one, line feed,
//! carriage return and both together end a line. How the file is cut into chunks never matters.
//! Never: looks at what a field means; allocates for a field that is whole and without quotes.

use memchr::memchr;

/// Takes what the scanner finds.
pub trait Sink {
    /// One field, unquoted.
    fn field(&mut self, text: &[u8]);
    /// The record is whole; it began on this line (1 is the first).
    fn record(&mut self, line: u32);
    /// A line without any character.
    fn blank_line(&mut self, line: u32);
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    /// At the first character of a line.
    Line,
    /// At the first character of a field.
    Field,
    /// Inside a field without quotes, or after the closing quote.
    Plain,
    /// Between quotes.
    Quoted,
    /// After a quote between quotes: the end, or the first half of a doubled one.
    Quote,
}

/// A scanner between two chunks.
#[derive(Debug)]
pub struct Scanner {
    delimiter: u8,
    state: State,
    /// What is known of a field that is not whole yet.
    part: Vec<u8>,
    line: u32,
    record_line: u32,
    quote_line: u32,
    after_return: bool,
}

impl Scanner {
    /// At the start of a file.
    pub fn new(delimiter: u8) -> Scanner {
        Scanner {
            delimiter,
            state: State::Line,
            part: Vec::new(),
            line: 1,
            record_line: 1,
            quote_line: 1,
            after_return: false,
        }
    }

    /// Scans the next chunk.
    pub fn feed<S: Sink>(&mut self, chunk: &[u8], sink: &mut S) {
        let mut at = 0;
        while let Some(&byte) = chunk.get(at) {
            match self.state {
                State::Line => {
                    let second_half = self.after_return && byte == b'\n';
                    self.after_return = false;
                    if second_half {
                        at += 1;
                    } else if byte == b'\n' || byte == b'\r' {
                        self.after_return = byte == b'\r';
                        sink.blank_line(self.line);
                        self.line = self.line.saturating_add(1);
                        at += 1;
                    } else {
                        self.record_line = self.line;
                        self.state = State::Field;
                    }
                }
                State::Field if byte == b'"' => {
                    self.quote_line = self.line;
                    self.state = State::Quoted;
                    at += 1;
                }
                State::Field => match self.end_of_plain(chunk, at) {
                    Some(end) => {
                        sink.field(&chunk[at..end]);
                        at = end + 1;
                        self.after_field(chunk[end], sink);
                    }
                    None => {
                        self.part.extend_from_slice(&chunk[at..]);
                        self.state = State::Plain;
                        return;
                    }
                },
                State::Plain => match self.end_of_plain(chunk, at) {
                    Some(end) => {
                        self.part.extend_from_slice(&chunk[at..end]);
                        self.whole_part(sink);
                        at = end + 1;
                        self.after_field(chunk[end], sink);
                    }
                    None => {
                        self.part.extend_from_slice(&chunk[at..]);
                        return;
                    }
                },
                State::Quoted => {
                    let end = memchr(b'"', &chunk[at..]).map_or(chunk.len(), |found| at + found);
                    let inside = &chunk[at..end];
                    self.part.extend_from_slice(inside);
                    let n_lines = memchr::memchr_iter(b'\n', inside).count();
                    self.line = self
                        .line
                        .saturating_add(u32::try_from(n_lines).unwrap_or(u32::MAX));
                    if end < chunk.len() {
                        self.state = State::Quote;
                    }
                    at = end + 1;
                }
                State::Quote => {
                    if byte == b'"' {
                        self.part.push(byte);
                        self.state = State::Quoted;
                        at += 1;
                    } else if byte == self.delimiter || byte == b'\n' || byte == b'\r' {
                        self.whole_part(sink);
                        self.after_field(byte, sink);
                        at += 1;
                    } else {
                        self.state = State::Plain;
                    }
                }
            }
        }
    }

    /// Ends the file. Returns the line of a quote that was opened and never closed.
    pub fn finish<S: Sink>(&mut self, sink: &mut S) -> Option<u32> {
        let unclosed = (self.state == State::Quoted).then_some(self.quote_line);
        if self.state != State::Line {
            self.whole_part(sink);
            sink.record(self.record_line);
            self.state = State::Line;
        }
        unclosed
    }

    fn whole_part<S: Sink>(&mut self, sink: &mut S) {
        sink.field(&self.part);
        self.part.clear();
    }

    #[inline]
    fn after_field<S: Sink>(&mut self, ended_by: u8, sink: &mut S) {
        if ended_by == self.delimiter {
            self.state = State::Field;
        } else {
            sink.record(self.record_line);
            self.line = self.line.saturating_add(1);
            self.after_return = ended_by == b'\r';
            self.state = State::Line;
        }
    }

    /// Where a field without quotes ends, if it does in this chunk. Fields are short: a plain loop beats a
    /// vector search here.
    #[inline]
    fn end_of_plain(&self, chunk: &[u8], at: usize) -> Option<usize> {
        let delimiter = self.delimiter;
        chunk[at..]
            .iter()
            .position(|&byte| byte == delimiter || byte == b'\n' || byte == b'\r')
            .map(|found| at + found)
    }
}

/// A record: the line it began on, and its fields.
pub type Record = (u32, Vec<Vec<u8>>);

/// Fields and records as text, for the few records that are looked at before a file is read.
#[derive(Debug, Default)]
pub struct Records {
    /// The records, with the line each began on.
    pub records: Vec<Record>,
    /// Lines without any character.
    pub n_blank: u32,
    current: Vec<Vec<u8>>,
}

impl Sink for Records {
    fn field(&mut self, text: &[u8]) {
        self.current.push(text.to_vec());
    }

    fn record(&mut self, line: u32) {
        self.records.push((line, std::mem::take(&mut self.current)));
    }

    fn blank_line(&mut self, _line: u32) {
        self.n_blank += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn scan(chunks: &[&[u8]], delimiter: u8) -> (Records, Option<u32>) {
        let mut records = Records::default();
        let mut scanner = Scanner::new(delimiter);
        for chunk in chunks {
            scanner.feed(chunk, &mut records);
        }
        let unclosed = scanner.finish(&mut records);
        (records, unclosed)
    }

    fn by_csv_crate(bytes: &[u8], delimiter: u8) -> Vec<Vec<Vec<u8>>> {
        csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(bytes)
            .byte_records()
            .map(|record| {
                let record = record.expect("bytes from memory");
                record.iter().map(<[u8]>::to_vec).collect()
            })
            .collect()
    }

    fn fields(records: &Records) -> Vec<Vec<Vec<u8>>> {
        records
            .records
            .iter()
            .map(|(_, fields)| fields.clone())
            .collect()
    }

    #[test]
    fn lines_and_unclosed_quotes_are_named() {
        let text = b"a,b\r\n\r\n\"x\ny\",2\rz,\"open\nstill";
        let (records, unclosed) = scan(&[text], b',');
        let lines: Vec<u32> = records.records.iter().map(|(line, _)| *line).collect();
        assert_eq!(lines, [1, 3, 5]);
        assert_eq!(records.n_blank, 1);
        assert_eq!(unclosed, Some(5));
        assert_eq!(records.records[1].1, [b"x\ny".to_vec(), b"2".to_vec()]);
        assert_eq!(
            records.records[2].1,
            [b"z".to_vec(), b"open\nstill".to_vec()]
        );
    }

    /// Text in which the signs that matter are frequent.
    fn tricky() -> impl Strategy<Value = Vec<u8>> {
        proptest::collection::vec(
            prop_oneof![
                Just(b','),
                Just(b'"'),
                Just(b'\n'),
                Just(b'\r'),
                Just(b'a'),
                Just(b';'),
                Just(b'\t'),
                any::<u8>()
            ],
            0..120,
        )
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4_000))]

        #[test]
        fn reads_what_the_csv_crate_reads_however_it_is_cut(
            bytes in tricky(),
            cuts in proptest::collection::vec(0_usize..120, 0..6),
            delimiter in prop_oneof![Just(b','), Just(b';'), Just(b'\t')],
        ) {
            // The csv crate takes a byte order mark off by itself; here that is the reader's work.
            prop_assume!(!bytes.starts_with(b"\xef\xbb\xbf"));
            let (whole, unclosed) = scan(&[&bytes], delimiter);
            prop_assert_eq!(fields(&whole), by_csv_crate(&bytes, delimiter));

            let mut cuts: Vec<usize> = cuts.into_iter().map(|cut| cut.min(bytes.len())).collect();
            cuts.extend([0, bytes.len()]);
            cuts.sort_unstable();
            let chunks: Vec<&[u8]> = cuts.windows(2).map(|pair| &bytes[pair[0]..pair[1]]).collect();
            let (cut, cut_unclosed) = scan(&chunks, delimiter);
            prop_assert_eq!(&cut.records, &whole.records);
            prop_assert_eq!((cut.n_blank, cut_unclosed), (whole.n_blank, unclosed));

            let bytewise: Vec<&[u8]> = bytes.chunks(1).collect();
            let (cut, _) = scan(&bytewise, delimiter);
            prop_assert_eq!(&cut.records, &whole.records);
        }
    }
}
